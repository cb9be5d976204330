"""Mistakes with insulation over the plate: its height, its air space, its R, and the attic wall."""

from __future__ import annotations

from collections.abc import Callable

from rooflab.base import geometry as geo
from rooflab.base.rows import Symbols

from .common import Change, Mistake

CLEAR = ("clear_outside", "clear_inside")
OVER = (*CLEAR, "r_outside", "r_inside")


def _air(by: Callable[[Symbols], float]) -> Change:
    return lambda s: {"air": s["air"] * by(s)} if "air" in s else {}


WARM_MISTAKES: tuple[Mistake, ...] = (
    # --- the air space
    Mistake(
        "air space left out",
        "That fits insulation up to the sheathing: the air space comes off first.",
        _air(lambda s: 0.0), only=OVER,
    ),
    Mistake(
        "height without the air space",
        "That fits the height of the insulation alone: the heel holds the air space above it too.",
        _air(lambda s: 0.0), only=("heel_wanted",),
    ),
    Mistake(
        "air space not stretched",
        "That fits the air space taken as it is: it is measured square to the roof, so plumb it is air·k(m).",
        _air(lambda s: 1 / geo.stretch(s["m"])),
    ),
    Mistake(
        "air space divided by the stretch",
        "That fits the air space divided by k(m): plumb it is longer than square, so multiply.",
        _air(lambda s: 1 / geo.stretch(s["m"]) ** 2),
    ),
    Mistake(
        "sign of the air space turned",
        "That fits the air space on the wrong side: insulation gets less than the heel, a heel is more than the "
        "insulation.",
        _air(lambda s: -1.0),
    ),
    # --- the height
    Mistake(
        "other face",
        "That fits the height at the other face of the wall: say which one is meant.",
        result=lambda value, s: s["clear_inside"], only=("clear_outside",),
    ),
    Mistake(
        "face outside for inside",
        "That fits the height at the outside face: further in the roof has risen.",
        result=lambda value, s: s["clear_outside"], only=("clear_inside",),
    ),
    Mistake(
        "square for plumb",
        "That fits the height square to the roof: what stands over the plate is measured plumb.",
        result=lambda value, s: value / geo.stretch(s["m"]), only=CLEAR,
    ),
    Mistake(
        "width for climb",
        "That fits the wall's width added as it is: over that width the roof climbs m times as much.",
        result=lambda value, s: s["clear_outside"] + s["bearing"], only=("clear_inside",),
    ),
    Mistake(
        "climb taken off",
        "That fits the climb taken off: inside the wall the roof is higher than at its outside face.",
        result=lambda value, s: s["clear_outside"] - s["m"] * s["bearing"], only=("clear_inside",),
    ),
    Mistake(
        "ceiling from the outside face",
        "That fits a ceiling that climbs from the outside face: it leaves the plate at the inside face.",
        result=lambda value, s: value - s["c"] * s["bearing"], only=("clear_inside",),
    ),
    # --- R
    Mistake(
        "height for R",
        "That fits the height itself: each inch of it counts as often as the R per inch.",
        result=lambda value, s: value / s["per_inch"], only=("r_outside", "r_inside"),
    ),
    Mistake(
        "R divided",
        "That fits dividing by the R per inch: every inch adds that much, so multiply.",
        result=lambda value, s: value / s["per_inch"] ** 2, only=("r_outside", "r_inside"),
    ),
    Mistake(
        "R of one inch",
        "That fits the R of a single inch: count the inches.",
        result=lambda value, s: s["per_inch"], only=("r_outside", "r_inside"),
    ),
    Mistake(
        "R of the other face",
        "That fits the R at the inside face: at the outside face the roof is lower.",
        result=lambda value, s: s["r_inside"], only=("r_outside",),
    ),
    Mistake(
        "R multiplied",
        "That fits R times R per inch: divide, for so many inches make up the R.",
        result=lambda value, s: value + s["r_wanted"] * (s["per_inch"] - 1 / s["per_inch"]), only=("heel_wanted",),
    ),
    Mistake(
        "R for inches",
        "That fits R taken for inches: divide it by the R of one inch.",
        result=lambda value, s: value + s["r_wanted"] * (1 - 1 / s["per_inch"]), only=("heel_wanted",),
    ),
    Mistake(
        "R not reduced",
        "That fits the R that is required elsewhere: at full height over the plate less will do.",
        lambda s: {"r_wanted": s["r_asked"]} if "r_asked" in s else {}, only=("heel_wanted",),
    ),
    # --- the attic wall
    Mistake(
        "half of the wall",
        "That fits one half: the wall runs from one outside wall to the other.",
        result=lambda value, s: value / 2, only=("area",),
    ),
    Mistake(
        "triangle not halved",
        "That fits base times height, a rectangle: a triangle is half of that.",
        result=lambda value, s: 2 * value, only=("area",),
    ),
    Mistake(
        "base from the outside face",
        "That fits a base begun at the outside face: the ceiling leaves the plate at the inside face.",
        result=lambda value, s: s["c"] * s["apex"] ** 2 / 144, only=("area",),
    ),
    Mistake(
        "whole base for half",
        "That fits the whole base where half of it is wanted: the ceiling climbs to the middle only.",
        result=lambda value, s: 4 * value, only=("area",),
    ),
    Mistake(
        "square inches",
        "That fits square inches: 144 of them make a square foot.",
        result=lambda value, s: 144 * value, only=("area",),
    ),
)  # fmt: skip
