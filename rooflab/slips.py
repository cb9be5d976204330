"""Slips: the mistakes people make with these numbers, each with a sentence of its own.

A slip acts on the symbols a reading is computed from and recomputes it, or on the finished number.  Practice answers
with the slip that fits what was typed.  A slip is said to *fit*, never to *be* what happened.
"""

from __future__ import annotations

from collections.abc import Callable
from math import radians, tan
from typing import Any, NamedTuple

from . import geometry as geo
from .house import Bay
from .lumber import WIDTHS
from .readings import READINGS, Reading

Symbols = dict[str, Any]
SAME = 1 / 16  # numbers nearer than this cannot be told apart on a tape, in


class Slip(NamedTuple):
    """A mistake: its name, what to say, and what it does: ``change`` to the symbols or ``result`` to the number."""

    name: str
    sentence: str
    change: Callable[[Symbols], Symbols] | None = None
    result: Callable[[str, float, Symbols], float | None] | None = None
    only: tuple[str, ...] = ()  # readings it can happen to; empty: any that it changes


def _nominal(symbols: Symbols) -> Symbols:
    names = {dressed: float(nominal) for nominal, dressed in WIDTHS.items()}
    return {key: names[symbols[key]] for key in ("D", "d_t", "d_b") if symbols.get(key) in names}


def _flat(name: str, value: float, s: Symbols) -> float | None:
    """The reading with every depth or length left square instead of stretched along the slope."""
    return {
        "heel": lambda: s["D"] - s["m"] * s["seat"] if "D" in s else None,
        "plumb_depth": lambda: s["D"],
        "line_length": lambda: s["run"],
        "cut_length": lambda: s["run"] - s["t"] / 2 + s["o"],
        "tail_underside": lambda: geo.drop(s["heel"], s["m"], s["o"]) - s.get("D", s.get("d_t")),
        "least_heel": lambda: s["d_t"] + geo.BUTT_CUT,
    }.get(name, lambda: None)()


def _cosine(name: str, value: float, s: Symbols) -> float | None:
    """Divided by k where it should be multiplied: the depth made shorter by the slope."""
    k = geo.stretch(s["m"])
    if name == "heel" and "D" in s:
        return s["D"] / k - s["m"] * s["seat"]
    return {"plumb_depth": lambda: s["D"] / k, "line_length": lambda: s["run"] / k}.get(name, lambda: None)()


SLIPS: tuple[Slip, ...] = (
    Slip(
        "seat forgotten",
        "That fits the plumb depth: the seat was forgotten. The birdsmouth lets the rafter down by m times the seat.",
        lambda s: {"seat": 0.0},
    ),
    Slip(
        "slope not stretched",
        "That fits a depth or length left square: along the slope, plumb, it grows by k(m).",
        None,
        _flat,
    ),
    Slip(
        "divided by the stretch",
        "That fits dividing by k(m) where the slope multiplies: plumb is always more than square.",
        None,
        _cosine,
    ),
    Slip(
        "nominal depth",
        "That fits the nominal size: a 2x10 is dressed to 9 1/4 in, so use the dressed depth.",
        _nominal,
    ),
    Slip(
        "pitch as an angle",
        "That fits the pitch taken as degrees: 8 in 12 is a slope of 8/12, about 33.7 degrees, not 8.",
        lambda s: {key: tan(radians(12 * s[key])) for key in ("m", "c") if key in s},
    ),
    Slip(
        "notch square for plumb",
        "That fits the notch measured square to the edge: a heel is plumb, so take off m times the seat.",
        None,
        lambda name, value, s: value + s["m"] * s["seat"] - geo.notch(s["m"], s["seat"]),
        ("heel",),
    ),
    Slip(
        "top of sheathing",
        "That fits a heel read to the top of 1/2 in sheathing: heels go to the rafter's own top edge.",
        None,
        lambda name, value, s: value + geo.plumb_depth(0.5, s["m"]),
        ("heel",),
    ),
    Slip(
        "inside face",
        "That fits the heel read at the inside face of the wall: read it at the outside face of the framing.",
        None,
        lambda name, value, s: value + s["m"] * s["bearing"],
        ("heel",),
    ),
    Slip(
        "face of the wall sheathing",
        "That fits the heel read at the face of 1/2 in wall sheathing: the framing's face is the line.",
        None,
        lambda name, value, s: value - s["m"] * 0.5,
        ("heel",),
    ),
    Slip(
        "span for run",
        "That fits the whole span used for the run: to the ridge it is half of it here.",
        lambda s: {key: 2 * s[key] for key in ("run", "apex") if key in s},
    ),
    Slip(
        "heel forgotten",
        "That fits the rise of the slope alone: the roof line starts a heel above the plate.",
        lambda s: {"heel": 0.0},
    ),
    Slip(
        "ceiling from the other face",
        "That fits a ceiling line begun at the outside face: here it leaves the plate at the inside face.",
        lambda s: {"start": 0.0} if s.get("start") else {"start": s["bearing"]},
        None,
        ("ceiling_rise",),
    ),
    Slip(
        "roof pitch for ceiling pitch",
        "That fits the roof's pitch used for the ceiling: the ceiling has its own.",
        lambda s: {"c": s["m"]},
        None,
        ("ceiling_rise",),
    ),
    Slip(
        "overhang left out",
        "That fits a rafter cut off at the wall: the overhang runs on past it.",
        lambda s: {"o": 0.0},
    ),
    Slip(
        "ridge board left out",
        "That fits the line length: half the ridge board comes off, measured level.",
        lambda s: {"t": 0.0},
        None,
        ("cut_length", "stock_length"),
    ),
    Slip(
        "whole ridge board",
        "That fits the whole ridge board taken off: each rafter gives way to half of it.",
        lambda s: {"t": 2 * s["t"]},
        None,
        ("cut_length", "stock_length"),
    ),
)


def slipped(row: Reading, symbols: Symbols, slip: Slip) -> float | None:
    """What a slip makes of a reading, or None where it cannot happen or does not show (by a sixteenth)."""
    if slip.only and row.name not in slip.only:
        return None
    right = row.of(symbols)
    if slip.change:
        changes = {key: value for key, value in slip.change(symbols).items() if key in row.args.split()}
        wrong = row.of({**symbols, **changes}) if changes else None
    else:
        assert slip.result is not None
        wrong = slip.result(row.name, right, symbols)
    if wrong is None or abs(wrong - right) <= SAME:
        return None
    return float(wrong)


def slips_of(bay: Bay, name: str) -> tuple[tuple[Slip, float], ...]:
    """Every slip that shows in a reading of this bay, with the number it gives, in the registry's order."""
    row = next(r for r in READINGS if r.bay == bay.kind and r.name == name)
    pairs = ((slip, slipped(row, bay.symbols(), slip)) for slip in SLIPS)
    return tuple((slip, wrong) for slip, wrong in pairs if wrong is not None)
