"""Mistakes with insulation over the plate, and with planes, shims and seats on the site, one row each.

Rows as in ``numbers``: a slip is said to *fit*, never to *be* what happened, and its sentence never gives the answer.
Which slips are usual is common practice of teaching, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import mean

from rooflab.base import geometry as geo
from rooflab.base.rows import Symbols

from .loads import Wrong

CLEAR = ("clear_outside", "clear_inside")
OVER = (*CLEAR, "r_outside", "r_inside")
HEELS = ("h_a", "h_b", "h_c", "h_d")
SHIMS = ("shim_a", "shim_b", "shim_c", "shim_d")
RAFTER = ("aim", "seat", "notch", "share")  # what hangs on the plane


def _air(by: Callable[[Symbols], float]) -> Callable[[Symbols], Symbols]:
    return lambda s: {"air": s["air"] * by(s)} if "air" in s else {}


WARM_SLIPS: tuple[Wrong, ...] = (
    # --- the air space
    Wrong(
        "air space left out",
        "That fits insulation up to the sheathing: the air space comes off first.",
        _air(lambda s: 0.0), None, OVER,
    ),
    Wrong(
        "height without the air space",
        "That fits the height of the insulation alone: the heel holds the air space above it too.",
        _air(lambda s: 0.0), None, ("heel_wanted",),
    ),
    Wrong(
        "air space not stretched",
        "That fits the air space taken as it is: it is measured square to the roof, so plumb it is air·k(m).",
        _air(lambda s: 1 / geo.stretch(s["m"])),
    ),
    Wrong(
        "air space divided by the stretch",
        "That fits the air space divided by k(m): plumb it is longer than square, so multiply.",
        _air(lambda s: 1 / geo.stretch(s["m"]) ** 2),
    ),
    Wrong(
        "sign of the air space turned",
        "That fits the air space on the wrong side: insulation gets less than the heel, a heel is more than the "
        "insulation.",
        _air(lambda s: -1.0),
    ),
    # --- the height
    Wrong(
        "other face",
        "That fits the height at the other face of the wall: say which one is meant.",
        None, lambda value, s: s["clear_inside"], ("clear_outside",),
    ),
    Wrong(
        "face outside for inside",
        "That fits the height at the outside face: further in the roof has risen.",
        None, lambda value, s: s["clear_outside"], ("clear_inside",),
    ),
    Wrong(
        "square for plumb",
        "That fits the height square to the roof: what stands over the plate is measured plumb.",
        None, lambda value, s: value / geo.stretch(s["m"]), CLEAR,
    ),
    Wrong(
        "width for climb",
        "That fits the wall's width added as it is: over that width the roof climbs m times as much.",
        None, lambda value, s: s["clear_outside"] + s["bearing"], ("clear_inside",),
    ),
    Wrong(
        "climb taken off",
        "That fits the climb taken off: inside the wall the roof is higher than at its outside face.",
        None, lambda value, s: s["clear_outside"] - s["m"] * s["bearing"], ("clear_inside",),
    ),
    Wrong(
        "ceiling from the outside face",
        "That fits a ceiling that climbs from the outside face: it leaves the plate at the inside face.",
        None, lambda value, s: value - s["c"] * s["bearing"], ("clear_inside",),
    ),
    # --- R
    Wrong(
        "height for R",
        "That fits the height itself: each inch of it counts as often as the R per inch.",
        None, lambda value, s: value / s["per_inch"], ("r_outside", "r_inside"),
    ),
    Wrong(
        "R divided",
        "That fits dividing by the R per inch: every inch adds that much, so multiply.",
        None, lambda value, s: value / s["per_inch"] ** 2, ("r_outside", "r_inside"),
    ),
    Wrong(
        "R of one inch",
        "That fits the R of a single inch: count the inches.",
        None, lambda value, s: s["per_inch"], ("r_outside", "r_inside"),
    ),
    Wrong(
        "R of the other face",
        "That fits the R at the inside face: at the outside face the roof is lower.",
        None, lambda value, s: s["r_inside"], ("r_outside",),
    ),
    Wrong(
        "R multiplied",
        "That fits R times R per inch: divide, for so many inches make up the R.",
        None, lambda value, s: value + s["r_wanted"] * (s["per_inch"] - 1 / s["per_inch"]), ("heel_wanted",),
    ),
    Wrong(
        "R for inches",
        "That fits R taken for inches: divide it by the R of one inch.",
        None, lambda value, s: value + s["r_wanted"] * (1 - 1 / s["per_inch"]), ("heel_wanted",),
    ),
    Wrong(
        "R not reduced",
        "That fits the R that is required elsewhere: at full height over the plate less will do.",
        lambda s: {"r_wanted": s["r_asked"]} if "r_asked" in s else {}, None, ("heel_wanted",),
    ),
    # --- the attic wall
    Wrong(
        "half of the wall",
        "That fits one half: the wall runs from one outside wall to the other.",
        None, lambda value, s: value / 2, ("area",),
    ),
    Wrong(
        "triangle not halved",
        "That fits base times height, a rectangle: a triangle is half of that.",
        None, lambda value, s: 2 * value, ("area",),
    ),
    Wrong(
        "base from the outside face",
        "That fits a base begun at the outside face: the ceiling leaves the plate at the inside face.",
        None, lambda value, s: s["c"] * s["apex"] ** 2 / 144, ("area",),
    ),
    Wrong(
        "whole base for half",
        "That fits the whole base where half of it is wanted: the ceiling climbs to the middle only.",
        None, lambda value, s: 4 * value, ("area",),
    ),
    Wrong(
        "square inches",
        "That fits square inches: 144 of them make a square foot.",
        None, lambda value, s: 144 * value, ("area",),
    ),
)  # fmt: skip


def _heels(to: Callable[[list[float]], float]) -> Callable[[Symbols], Symbols]:
    """Every heel the same: the plane as it comes out with a wrong rule."""
    return lambda s: dict.fromkeys(HEELS, to([s[name] for name in HEELS])) if "h_a" in s else {}


def _raised(by: float) -> Callable[[Symbols], Symbols]:
    return lambda s: {name: s[name] + by * s["tolerance"] for name in HEELS} if "h_a" in s else {}


def _up_to(to: Callable[[list[float]], float]) -> Callable[[float, Symbols], float]:
    """What is missing up to another plane than the highest truss's."""
    return lambda value, s: value - s["aim"] + to([s[name] for name in HEELS])


SITE_SLIPS: tuple[Wrong, ...] = (
    # --- the plane, and what hangs on it
    Wrong(
        "lowest for highest",
        "That fits the lowest truss: no truss is trimmed, so the plane is the highest one's.",
        _heels(min), None, RAFTER,
    ),
    Wrong(
        "second highest",
        "That fits the second highest truss: one high truss decides, even alone.",
        _heels(lambda heels: sorted(heels)[-2]), None, RAFTER,
    ),
    Wrong(
        "average of the trusses",
        "That fits the average: whatever stands above it would have to be trimmed.",
        _heels(mean), None, RAFTER,
    ),
    Wrong(
        "first truss",
        "That fits the truss at 0: the plane is not where the tape begins, but where the highest one stands.",
        _heels(lambda heels: heels[0]), None, RAFTER,
    ),
    Wrong(
        "tolerance taken off the plane",
        "That fits a plane lower by the tolerance: it says how low a truss may stay, not where the plane is.",
        _raised(-1), None, RAFTER,
    ),
    Wrong(
        "tolerance added to the plane",
        "That fits a plane higher by the tolerance: it counts down from the plane, not up.",
        _raised(1), None, RAFTER,
    ),
    Wrong(
        "heel as drawn",
        "That fits the heel as it was drawn: once trusses stand, what is measured counts.",
        lambda s: dict.fromkeys(HEELS, s["drawn_heel"]) if "drawn_heel" in s else {}, None, RAFTER,
    ),
    Wrong(
        "heel square to the roof",
        "That fits a heel measured square to the roof: it is measured plumb.",
        None, lambda value, s: value / geo.stretch(s["m"]), ("aim",),
    ),
    # --- shims
    Wrong(
        "tolerance taken off the shim",
        "That fits the tolerance taken off: a truss that is shimmed comes up by all that is missing.",
        None, lambda value, s: value - s["tolerance"], SHIMS,
    ),
    Wrong(
        "tolerance added to the shim",
        "That fits the tolerance added: no truss may stand above the plane.",
        None, lambda value, s: value + s["tolerance"], SHIMS,
    ),
    Wrong(
        "tolerance as the shim",
        "That fits the tolerance itself: it says when to shim, not how thick.",
        None, lambda value, s: s["tolerance"], SHIMS,
    ),
    Wrong(
        "shim up to the average",
        "That fits a shim up to the average: the others would have to come down, and no truss does.",
        None, _up_to(mean), SHIMS,
    ),
    Wrong(
        "shim up to the first truss",
        "That fits a shim up to the truss at 0: bring it up to the highest one.",
        None, _up_to(lambda heels: heels[0]), SHIMS,
    ),
    Wrong(
        "shim square to the roof",
        "That fits furring on the top edge, square to the roof: a shim under the bearing works plumb.",
        None, lambda value, s: value / geo.stretch(s["m"]), SHIMS,
    ),
    Wrong(
        "shim stretched",
        "That fits the difference times k(m): both heels are measured plumb already.",
        None, lambda value, s: value * geo.stretch(s["m"]), SHIMS,
    ),
    # --- the rafter's seat and notch
    Wrong(
        "height for seat",
        "That fits the difference in height: a seat is level, so divide it by the slope.",
        None, lambda value, s: value * s["m"], ("seat",),
    ),
    Wrong(
        "multiplied by the slope",
        "That fits multiplying by the slope: the roof climbs m for each inch of seat, so divide.",
        None, lambda value, s: value * s["m"] ** 2, ("seat",),
    ),
    Wrong(
        "seat along the slope",
        "That fits a seat laid out along the slope: it is level.",
        None, lambda value, s: value * geo.stretch(s["m"]), ("seat",),
    ),
    Wrong(
        "longer for shorter",
        "That fits the change turned round: a longer seat lets the rafter down.",
        None, lambda value, s: 2 * s["drawn_seat"] - value, ("seat",),
    ),
    Wrong(
        "depth not stretched",
        "That fits the depth as it is: plumb, a rafter is k(m) times as deep.",
        None, lambda value, s: float(geo.seat_from(s["aim"], s["D"] / geo.stretch(s["m"]), s["m"])),
        ("seat",),
    ),
    Wrong(
        "plumb for square",
        "That fits the notch measured plumb: it is wanted square to the edge, and that is shorter.",
        None, lambda value, s: value * geo.stretch(s["m"]), ("notch", "share"),
    ),
    Wrong(
        "stretched for square",
        "That fits the plumb cut times k(m): square to the edge is shorter than plumb, so divide.",
        None, lambda value, s: value * geo.stretch(s["m"]) ** 2, ("notch", "share"),
    ),
    Wrong(
        "seat for notch",
        "That fits the seat itself, which is level: the notch goes square into the edge.",
        None, lambda value, s: s["seat"], ("notch",),
    ),
    # --- a taper
    Wrong(
        "feet for inches",
        "That fits feet typed where inches are read: put the mark ' behind feet.",
        None, lambda value, s: value / 12, ("taper",),
    ),
    Wrong(
        "half an inch in each foot",
        "That fits half an inch in each foot: it is allowed in two feet.",
        None, lambda value, s: value / 2, ("taper",),
    ),
    Wrong(
        "two feet for any step",
        "That fits two feet whatever the step: that is for half an inch, and the length grows with it.",
        None, lambda value, s: 24.0, ("taper",),
    ),
    Wrong(
        "step below the line",
        "That fits half an inch over the step: the larger the step, the longer its taper.",
        None, lambda value, s: 12 / s["step"], ("taper",),
    ),
    Wrong(
        "tapered on both sides",
        "That fits a taper on both sides: it lies on the low side alone.",
        None, lambda value, s: 2 * value, ("taper",),
    ),
)  # fmt: skip
