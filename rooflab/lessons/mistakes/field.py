"""Mistakes on the site: the plane of set trusses, shims under the low ones, the rafter's seat to match, tapers."""

from __future__ import annotations

from collections.abc import Callable
from statistics import mean

from rooflab.base import geometry as geo
from rooflab.base.rows import Symbols

from .common import Change, Mistake

HEELS = ("h_a", "h_b", "h_c", "h_d")
SHIMS = ("shim_a", "shim_b", "shim_c", "shim_d")
RAFTER = ("aim", "seat", "notch", "share")  # what depends on the plane


def _heels(to: Callable[[list[float]], float]) -> Change:
    """Every heel the same: the plane as it comes out with a wrong rule."""
    return lambda s: dict.fromkeys(HEELS, to([s[name] for name in HEELS])) if "h_a" in s else {}


def _all_heels_by(by: float) -> Change:
    return lambda s: {name: s[name] + by * s["tolerance"] for name in HEELS} if "h_a" in s else {}


def _up_to(to: Callable[[list[float]], float]) -> Callable[[float, Symbols], float]:
    """What is missing up to another plane than the highest truss's."""
    return lambda value, s: value - s["aim"] + to([s[name] for name in HEELS])


FIELD_MISTAKES: tuple[Mistake, ...] = (
    # --- the plane, and what depends on it
    Mistake(
        "lowest for highest",
        "That fits the lowest truss: no truss is trimmed, so the plane is the highest one's.",
        _heels(min), only=RAFTER,
    ),
    Mistake(
        "second highest",
        "That fits the second highest truss: one high truss decides, even alone.",
        _heels(lambda heels: sorted(heels)[-2]), only=RAFTER,
    ),
    Mistake(
        "average of the trusses",
        "That fits the average: whatever stands above it would have to be trimmed.",
        _heels(mean), only=RAFTER,
    ),
    Mistake(
        "first truss",
        "That fits the truss at 0: the plane is not where the tape begins, but where the highest one stands.",
        _heels(lambda heels: heels[0]), only=RAFTER,
    ),
    Mistake(
        "tolerance taken off the plane",
        "That fits a plane lower by the tolerance: it says how low a truss may stay, not where the plane is.",
        _all_heels_by(-1), only=RAFTER,
    ),
    Mistake(
        "tolerance added to the plane",
        "That fits a plane higher by the tolerance: it counts down from the plane, not up.",
        _all_heels_by(1), only=RAFTER,
    ),
    Mistake(
        "heel as drawn",
        "That fits the heel as it was drawn: once trusses stand, what is measured counts.",
        lambda s: dict.fromkeys(HEELS, s["drawn_heel"]) if "drawn_heel" in s else {}, only=RAFTER,
    ),
    Mistake(
        "heel square to the roof",
        "That fits a heel measured square to the roof: it is measured plumb.",
        result=lambda value, s: value / geo.stretch(s["m"]), only=("aim",),
    ),
    # --- shims
    Mistake(
        "tolerance taken off the shim",
        "That fits the tolerance taken off: a truss that is shimmed comes up by all that is missing.",
        result=lambda value, s: value - s["tolerance"], only=SHIMS,
    ),
    Mistake(
        "tolerance added to the shim",
        "That fits the tolerance added: no truss may stand above the plane.",
        result=lambda value, s: value + s["tolerance"], only=SHIMS,
    ),
    Mistake(
        "tolerance as the shim",
        "That fits the tolerance itself: it says when to shim, not how thick.",
        result=lambda value, s: s["tolerance"], only=SHIMS,
    ),
    Mistake(
        "shim up to the average",
        "That fits a shim up to the average: the others would have to come down, and no truss does.",
        result=_up_to(mean), only=SHIMS,
    ),
    Mistake(
        "shim up to the first truss",
        "That fits a shim up to the truss at 0: bring it up to the highest one.",
        result=_up_to(lambda heels: heels[0]), only=SHIMS,
    ),
    Mistake(
        "shim square to the roof",
        "That fits furring on the top edge, square to the roof: a shim under the bearing works plumb.",
        result=lambda value, s: value / geo.stretch(s["m"]), only=SHIMS,
    ),
    Mistake(
        "shim stretched",
        "That fits the difference times k(m): both heels are measured plumb already.",
        result=lambda value, s: value * geo.stretch(s["m"]), only=SHIMS,
    ),
    # --- the rafter's seat and notch
    Mistake(
        "height for seat",
        "That fits the difference in height: a seat is level, so divide it by the slope.",
        result=lambda value, s: value * s["m"], only=("seat",),
    ),
    Mistake(
        "multiplied by the slope",
        "That fits multiplying by the slope: the roof climbs m for each inch of seat, so divide.",
        result=lambda value, s: value * s["m"] ** 2, only=("seat",),
    ),
    Mistake(
        "seat along the slope",
        "That fits a seat laid out along the slope: it is level.",
        result=lambda value, s: value * geo.stretch(s["m"]), only=("seat",),
    ),
    Mistake(
        "longer for shorter",
        "That fits the change turned round: a longer seat lets the rafter down.",
        result=lambda value, s: 2 * s["drawn_seat"] - value, only=("seat",),
    ),
    Mistake(
        "depth not stretched",
        "That fits the depth as it is: plumb, a rafter is k(m) times as deep.",
        result=lambda value, s: float(geo.seat_from(s["aim"], s["D"] / geo.stretch(s["m"]), s["m"])),
        only=("seat",),
    ),
    Mistake(
        "plumb for square",
        "That fits the notch measured plumb: it is wanted square to the edge, and that is shorter.",
        result=lambda value, s: value * geo.stretch(s["m"]), only=("notch", "share"),
    ),
    Mistake(
        "stretched for square",
        "That fits the heel cut times k(m): square to the edge is shorter than plumb, so divide.",
        result=lambda value, s: value * geo.stretch(s["m"]) ** 2, only=("notch", "share"),
    ),
    Mistake(
        "seat for notch",
        "That fits the seat itself, which is level: the notch goes square into the edge.",
        result=lambda value, s: s["seat"], only=("notch",),
    ),
    # --- a taper
    Mistake(
        "feet for inches",
        "That fits feet typed where inches are read: put the mark ' behind feet.",
        result=lambda value, s: value / 12, only=("taper",),
    ),
    Mistake(
        "half an inch in each foot",
        "That fits half an inch in each foot: it is allowed in two feet.",
        result=lambda value, s: value / 2, only=("taper",),
    ),
    Mistake(
        "two feet for any step",
        "That fits two feet whatever the step: that is for half an inch, and the length grows with it.",
        result=lambda value, s: 24.0, only=("taper",),
    ),
    Mistake(
        "step below the line",
        "That fits half an inch over the step: the larger the step, the longer its taper.",
        result=lambda value, s: 12 / s["step"], only=("taper",),
    ),
    Mistake(
        "tapered on both sides",
        "That fits a taper on both sides: it lies on the low side alone.",
        result=lambda value, s: 2 * value, only=("taper",),
    ),
)  # fmt: skip
