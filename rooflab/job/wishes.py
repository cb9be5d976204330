"""What must hold, and what may move: wishes for a reading, and the steps that stock and trade allow.

``backwards`` finds the nearest houses.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

import numpy as np

from rooflab.base.geometry import sixteenths
from rooflab.base.inputs import pair, stop_on
from rooflab.base.lumber import RAFTERS, WIDTHS, dressed_size
from rooflab.base.measure import InputError, feet_inches, inches
from rooflab.checks.limits import LEAST_BEARING

from .sweep import READABLE, Readable, Sweep
from .values import House, at_ends, size_of

HOWS = ("is", "at least", "at most")
FINDINGS, MEET, NONE_MISSES = "findings", "all meet", "none misses"
SAME = {"in": 1 / 32, "": 0.005, "R": 0.5, "degrees": 0.05, "cu ft": 0.5}  # what reads the same when printed
UNLIKE = ("rafter.angle", "scissor.angle", "scissor.heel_state")  # nothing to wish for


# --- wishes ----------------------------------------------------------------------------------------------------------


class Wish(NamedTuple):
    """What must hold: a reading by its key, "is" (as printed), "at least" or "at most", and a number.

    ``Wish("findings", "all meet")`` asks that no finding misses or asks, reminders apart; "none misses" only the first.
    """

    key: str
    how: str
    value: float = 0.0

    @property
    def row(self) -> Readable:
        """The reading that is wished for: its key, label and unit."""
        return READABLE[self.key]

    @property
    def text(self) -> str:
        """The wish as printed: the reading, "is", "at least" or "at most", and the number."""
        if self.key == FINDINGS:
            return "all limits are met" if self.how == MEET else "no limit is missed"
        return f"{reading_label(self.key)} {self.how} {wish_value_text(self.key, self.value)}"


def wish(key: str, how: str, value: Any = None) -> Wish:
    """A wish from what people type: lengths as trade text, shares as percent.  InputError naming what is wrong.

    >>> wish("scissor.heel", "is", "9 1/4").text, wish("rafter.notch_ratio", "at most", "25 %").value
    ('truss heel is 9 1/4"', 0.25)
    """
    if key == FINDINGS:
        if how not in (MEET, NONE_MISSES):
            raise InputError(f"Wish for the findings: {how!r}; {MEET} or {NONE_MISSES} is allowed.")
        return Wish(key, how)
    problems = []
    if key not in READABLE or key in UNLIKE:
        allowed = ", ".join(name for name in READABLE if name not in UNLIKE)
        problems.append(f"Wish {key!r}: no reading to wish for; allowed is {FINDINGS}, {allowed}.")
    if how not in HOWS:
        problems.append(f"Wish {key!r}: {how!r} is not allowed; {', '.join(HOWS)} is.")
    stop_on(problems)
    label = reading_label(key).capitalize()
    if READABLE[key].unit == "in":
        return Wish(key, how, inches(value, label))
    number, share = value, False
    if isinstance(value, str):
        plain = value.strip().removeprefix("R-").removesuffix("cu ft").removesuffix("ft³").strip()
        share, number = plain.endswith("%"), plain.removesuffix("%").strip()
    try:
        made = float(number) / (100 if share else 1)
    except (TypeError, ValueError):
        made = np.nan
    if isinstance(value, bool) or not np.isfinite(made):
        raise InputError(f"{label}: {value} is not a number; give one such as 38, 0.25 or 25 %.")
    return Wish(key, how, made)


def reading_label(key: str) -> str:
    """A reading as a wish says it: the bay in front where both have one.

    >>> reading_label("rafter.heel"), reading_label("room.window_head")
    ('rafter heel', 'window head')
    """
    short = {"scissor.heel": "truss heel", "rafter.heel": "rafter heel", "room.window_head": "window head",
             "rafter.notch_ratio": "notch", "scissor.height": "overall height",
             "rafter.r_outside": "R at the rafters' plate", "scissor.r_outside": "R at the truss's plate"}  # fmt: skip
    if key in short:
        return short[key]
    kind, _, name = key.partition(".")
    label = READABLE[key].label
    both = sum(other.partition(".")[2] == name for other in READABLE) > 1
    label = label if label.startswith("R ") else label[0].lower() + label[1:]
    return f"{label}, {'truss' if kind == 'scissor' else kind}" if both else label


def wish_value_text(key: str, value: float) -> str:
    """A reading's value as it is printed."""
    unit = READABLE[key].unit
    if unit == "in":
        return feet_inches(value)
    if unit == "":
        return f"{100 * value:.0f} %"
    return f"R-{value:.0f}" if unit == "R" else f"{value:,.0f} {unit}"


def shortfall(one: Wish, made: Sweep) -> Any:
    """By how much a wish is missed in every cell, 0 where it holds; nan where the house cannot be built."""
    if one.key == FINDINGS:
        worst = 1 if one.how == MEET else 2
        short = made.worse_than(worst)
    else:
        ends = [shortfall_of_values(one, made.reading(one.key, end)) for end in ("left", "right")]
        short = np.maximum(*ends)
    return np.where(made.unbuildable, np.nan, short)


def shortfall_of_values(one: Wish, values: Any) -> Any:
    """By how much each value of a wish's reading misses it, in the reading's unit; 0 where it holds."""
    with np.errstate(invalid="ignore"):
        if one.how == "is":
            if one.row.unit == "in":
                same = sixteenths(values) == sixteenths(one.value)
            else:
                same = np.abs(values - one.value) <= SAME[one.row.unit]
            return np.where(same, 0.0, np.abs(values - one.value))
        over = one.value - values if one.how == "at least" else values - one.value
        return np.where(over <= 1e-9, 0.0, over)


# --- what may move ---------------------------------------------------------------------------------------------------


class Move(NamedTuple):
    """An input that may move: the values it may take besides the present one, and how many steps away each is."""

    name: str
    values: tuple[Any, ...]
    steps: tuple[float, ...]


PLATES = tuple(WIDTHS.values())
"""Widths of plates: the dressed widths of lumber, in."""


def _numbers(name: str, step: float, low: float, high: float) -> Callable[[House], Move]:
    def move(house: House) -> Move:
        now = at_ends(house, name)
        every = [low + i * step for i in range(int((high - low) / step + 1e-9) + 1)]
        values = [v for v in every if (v, v) != now]
        return Move(name, tuple(values), tuple(max(abs(v - end) for end in now) / step for v in values))

    return move


def _seat(house: House) -> Move:
    """Seats in sixteenths from 1 1/2 in to the widest bearing in question."""
    return _numbers("seat", 1 / 16, LEAST_BEARING, max(pair(house["bearing"])))(house)


def _size_steps(name: str, every: Sequence[Any], sizes: Sequence[float], now: tuple[float, float]) -> Move:
    """Stock sizes: the next one is one step away."""

    def place(size: float) -> float:
        return sum(size > one + 1e-9 for one in sizes) + (0.0 if min(abs(size - s) for s in sizes) < 1e-9 else -0.5)

    rows = [(v, max(abs(place(s) - place(n)) for n in now), s) for v, s in zip(every, sizes, strict=True)]
    found = [(v, steps) for v, steps, s in rows if (s, s) != now]
    return Move(name, tuple(v for v, _ in found), tuple(steps for _, steps in found))


def _lumber(house: House) -> Move:
    depth = dressed_size(size_of(house))[1]
    return _size_steps("lumber", RAFTERS, [dressed_size(size)[1] for size in RAFTERS], (depth, depth))


def _bearing(house: House) -> Move:
    return _size_steps("bearing", PLATES, PLATES, at_ends(house, "bearing"))


MOVES: dict[str, Callable[[House], Move]] = {
    "lumber": _lumber,
    "seat": _seat,
    "ceiling_pitch": _numbers("ceiling_pitch", 0.5, 0.0, 23.5),
    "overhang": _numbers("overhang", 1.0, 0.0, 48.0),
    "pitch": _numbers("pitch", 0.5, 1.0, 24.0),
    "bearing": _bearing,
}
"""What may move, in the order in which equally near answers are named."""


def moves_of(house: House, may_move: Iterable[str]) -> tuple[Move, ...]:
    """The moves of a house, in the order of ``MOVES``; where bearings move, seats run to the widest of them."""
    names = [may_move] if isinstance(may_move, str) else list(may_move)
    stop_on(f"May move: {name!r} is not allowed; {', '.join(MOVES)} is." for name in names if name not in MOVES)
    made = {name: MOVES[name](house) for name in MOVES if name in names}
    if {"seat", "bearing"} <= set(made):
        wide = max(*PLATES, *pair(house["bearing"]))
        made["seat"] = _numbers("seat", 1 / 16, LEAST_BEARING, wide)(house)
    return tuple(made.values())
