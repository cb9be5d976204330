"""rooflab: the section of a wood roof from its planes, and the lessons that teach it.

``import rooflab as rl`` loads nothing heavy; each name is fetched when it is first used.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_HOME = {
    "start.installation": "what_is_missing",
    "base.measure": "InputError inches feet_inches pitch sixteenth",
    "base.inputs": "INPUTS",
    "house.planes": "Gable",
    "house.bays": "RafterBay ScissorBay",
    "house.readings": "READINGS",
    "checks.limits": "findings",
    "shop.review": "review",
    "shop.checklist": "completeness movement",
    "shop.field": "built_trusses set_trusses shim_schedule measured_seat taper",
    "job.jobfile": "Job",
    "job.option": "Option",
    "job.agreement": "Agreement",
    "job.sweep": "sweep",
    "job.seat_grid": "seat_grid",
    "job.wishes": "wish",
    "job.backwards": "ask_backwards",
    "draw.sheets.agreement": "agreement_sheet",
    "draw.sheets.profile": "profile_sheet",
    "draw.sheets.practice": "practice_sheet",
    "house.cutting": "Cut",
    "draw.sheets.template": "birdsmouth_template",
    "draw.sheets.cutting": "cut_sheet",
    "draw.sheets.exports": "profile_dxf readings_csv",
    "draw.sheets.reply": "write_reply",
    "live": "handout",
    "house.seam": "compare seat_for_heel depth_for_heel pitch_for_heel tail_and_soffit",
}
_WHERE = {name: module for module, names in _HOME.items() for name in names.split()}
__all__ = sorted(_WHERE)


def __getattr__(name: str) -> Any:
    if name not in _WHERE:
        raise AttributeError(f"rooflab has no {name!r}; it has {', '.join(__all__)}")
    value = globals()[name] = getattr(import_module(f"{__name__}.{_WHERE[name]}"), name)
    return value


def __dir__() -> list[str]:
    return [*globals(), *__all__]
