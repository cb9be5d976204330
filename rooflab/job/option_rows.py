"""The rows of the table of options: label, text and number of each, which way is better, words for best and worst.

Whoever adds a row adds one line to ``KINDS``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf
from typing import NamedTuple

from rooflab.base.measure import LEVEL, feet_inches
from rooflab.checks.assumptions import ALWAYS, ORDER
from rooflab.house.readings import reading_of

from .option import OptionResult

# --- words for the numbers -------------------------------------------------------------------------------------------


def _by_end(values: Sequence[float], text: Callable[[float], str] = feet_inches) -> str:
    """Texts of both ends, one where they read alike."""
    return " and ".join(dict.fromkeys(text(value) for value in values))


def cubic(value: float) -> str:
    return f"{value + 0.0:,.0f} ft³"


def _stock(length: float) -> str:
    return feet_inches(length) if length else "longer than 24'-0\", not common stock"


def _off(gap: float) -> str:
    return f"{feet_inches(abs(gap))} {'high' if gap > 0 else 'low'}"


def seam_words(s: OptionResult) -> str:
    places = (("tail", s.seam.tail_gap), ("eave", s.seam.heel_gap), ("ridge", s.seam.ridge_gap))
    off = [f"{name} {_off(gap)}" for name, gap in places if abs(gap) >= LEVEL]
    if len({_off(gap) for _, gap in places}) == 1 and off:
        off = [f"{_off(s.seam.heel_gap)} all along"]
    if not off and not s.seam.coplanar:
        off = [f"right end {_off(s.seam.plane_offset)}"]
    return f"truss {', '.join(off)}" if off else "planes run through"


def _soffit(s: OptionResult) -> str:
    if s.tail is None:
        return "no overhang"
    board = f"subfascia {s.tail.subfascia}" if s.tail.subfascia else "subfascia deeper than stock"
    cut = f", level cut {feet_inches(s.tail.level_cut)}" if abs(s.tail.step) >= LEVEL else ""
    return f"soffit at {feet_inches(s.tail.soffit_height)}, {board}{cut}"


def _head(s: OptionResult) -> str:
    head = s.room.all["window_head"]
    return feet_inches(head) if head > 0 else "none fits"


def least_r(s: OptionResult) -> float:
    """The least R over a plate, at the outside face."""
    return min(plate.values["r_outside"] for plate in s.plates)


NOTCH = reading_of("rafter", "notch_ratio")


def notches(s: OptionResult) -> list[float]:
    """The notch of the depth at both ends."""
    return [NOTCH.of(s.rafters.symbols(side)) for side in ("left", "right")]


def per_cent(value: float) -> str:
    return f"{100 * value:.0f} %"


def used(s: OptionResult) -> tuple[float, str] | None:
    """Ratio and name of the rafter check nearest to or furthest beyond its capacity; None where it is not known."""
    rows = [one for one in s.carries.findings if isinstance(one.value, float)]
    if not rows:
        return None
    worst = min(rows, key=lambda one: (ORDER.index(one.verdict), -one.value))
    word = worst.name.removeprefix("rafter_").removesuffix("_right")
    return worst.value, "sag" if word == "deflection" else word


def rafter_use(s: OptionResult) -> str:
    made = used(s)
    if made is None:
        return "not known"
    return f"{per_cent(made[0])}, {made[1]}" if made[0] < 10 else f"far beyond, {made[1]}"


def bought_length(s: OptionResult) -> float:
    return max(buy or inf for _, buy in s.stock)


def finding_names(s: OptionResult, verdict: str) -> tuple[str, ...]:
    """Names of what an option misses or asks, each once; what is asked whatever the numbers is left away."""
    names = (one.name.removesuffix("_right") for one in s.findings if one.verdict == verdict)
    return tuple(dict.fromkeys(name.replace("_", " ") for name in names if name not in ALWAYS))


def _name_list(names: Sequence[str]) -> str:
    return f"{len(names)}: {', '.join(names)}" if names else "none"


# --- the rows --------------------------------------------------------------------------------------------------------


class Kind(NamedTuple):
    """A row of the table: key, label, text and number of an option, and the words for the best and the worst.

    ``better`` is 1 where more is better, -1 where less is, 0 where neither is.
    """

    key: str
    label: str
    text: Callable[[OptionResult], str]
    number: Callable[[OptionResult], float | None] = lambda s: None
    better: int = 0
    words: tuple[str, str] = ("", "")


def _room(name: str) -> Callable[[OptionResult], float]:
    return lambda s: s.room.all[name]


def _length(number: Callable[[OptionResult], float]) -> Callable[[OptionResult], str]:
    return lambda s: feet_inches(number(s))


HIGH, MUCH, LITTLE = ("highest", "lowest"), ("most", "least"), ("least", "most")

KINDS: tuple[Kind, ...] = (
    Kind("heel", "Truss heel", lambda s: _by_end([end.heel for end in s.scissor.ends]), lambda s: s.scissor.left.heel),
    Kind("gap", "At the seam", seam_words, lambda s: abs(s.seam.plane_offset), -1, ("closest", "furthest off")),
    Kind("height", "Overall height", lambda s: feet_inches(s.scissor.height), lambda s: s.scissor.height),
    Kind("tail", "Tail and soffit", _soffit),
    Kind("rise", "Ceiling rise", lambda s: feet_inches(s.scissor.ceiling_rise), lambda s: s.scissor.ceiling_rise),
    Kind("mid_height", "Mid-room, to the finish", _length(_room("mid_height")), _room("mid_height"), 1, HIGH),
    Kind("volume", "Room volume", lambda s: cubic(s.room.all["volume"]), _room("volume"), 1, MUCH),
    Kind("gain", "Gain over flat ceiling", lambda s: cubic(s.room.all["gain"]), _room("gain"), 1, MUCH),
    Kind("window", "Gable window head", _head, _room("window_head"), 1, HIGH),
    Kind("plate", "Insulation at the plate", lambda s: f"R-{least_r(s):.0f}", least_r, 1, MUCH),
    Kind("notch", "Notch of the rafter", lambda s: _by_end(notches(s), per_cent), lambda s: max(notches(s)), -1,
         ("shallowest", "deepest")),
    Kind("rafter", "Rafter use", rafter_use, lambda s: (used(s) or (None,))[0], -1, LITTLE),
    Kind("stock", "Rafter stock to buy", lambda s: _by_end([buy for _, buy in s.stock], _stock), bought_length, -1,
         ("shortest", "longest")),
    Kind("stud", "Stud length", lambda s: _by_end([s.room.all["stud_l"], s.room.all["stud_r"]]), _room("stud_l")),
    Kind("misses", "Misses", lambda s: _name_list(finding_names(s, "misses")),
         lambda s: len(finding_names(s, "misses")), -1, ("fewest", "most")),
    Kind("ask", "To ask", lambda s: _name_list(finding_names(s, "ask")),
         lambda s: len(finding_names(s, "ask")), -1, ("fewest", "most")),
)  # fmt: skip
"""The rows of the table, in the order in which they are shown."""
