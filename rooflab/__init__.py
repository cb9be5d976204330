"""rooflab: the section of a wood roof from its planes, and the lessons that teach it.

``import rooflab as rl`` loads nothing heavy; each name is fetched when it is first used.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_HOME = {
    "installation": "what_is_missing",
    "measure": "InputError inches feet_inches pitch sixteenth",
    "inputs": "INPUTS",
    "planes": "Gable",
    "house": "RafterBay ScissorBay",
    "readings": "READINGS",
    "limits": "findings",
    "returned": "review",
    "wanted": "completeness movement",
    "field": "built_trusses set_trusses shim_schedule measured_seat taper",
    "jobfile": "Job",
    "kept": "Option",
    "agreed": "Agreement",
    "sweeps": "sweep",
    "seatgrid": "seat_grid",
    "wishes": "wish",
    "backwards": "ask_backwards",
    "agreements": "agreement_sheet",
    "sheets": "profile_sheet",
    "worksheet": "practice_sheet",
    "cutting": "Cut",
    "templates": "birdsmouth_template",
    "cutsheets": "cut_sheet",
    "exports": "profile_dxf readings_csv",
    "reply": "write_reply",
    "live": "handout",
    "checks": "compare seat_for_heel depth_for_heel pitch_for_heel tail_and_soffit",
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
