"""Mistakes with loads, forces and insulation: what each changes, and the sentence that says so.

Which of them are usual is common practice of teaching, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.lumber import WIDTHS
from rooflab.base.rows import Symbols


class Wrong(NamedTuple):
    """A mistake with a number: its name, what to say, and the symbols it changes or what it makes of the result."""

    name: str
    sentence: str
    change: Callable[[Symbols], Symbols] | None = None
    result: Callable[[float, Symbols], float] | None = None
    only: tuple[str, ...] = ()  # readings it can happen to; empty: any that it changes


def _scale(*names: str, by: float) -> Callable[[Symbols], Symbols]:
    return lambda s: {name: s[name] * by for name in names if name in s}


def _to(value: float, *names: str) -> Callable[[Symbols], Symbols]:
    return lambda s: {name: value for name in names if name in s}


def _nominal(s: Symbols) -> Symbols:
    names = {dressed: float(nominal) for nominal, dressed in WIDTHS.items()}
    found = {"D": names[s["D"]]} if s.get("D") in names else {}
    return found | ({"b": 2.0} if s.get("b") == 1.5 else {})


SLIPS: tuple[Wrong, ...] = (
    # --- slopes
    Wrong(
        "slope not stretched",
        "That fits a dead load used as it lies: on the horizontal projection it is k(m) times as much.",
        lambda s: {"dead": s["dead"] / geo.stretch(s["m"])} if "dead" in s else {},
    ),
    Wrong(
        "divided by the stretch",
        "That fits dividing by the stretch: a foot of plan carries more than a foot of slope, so multiply by k(m).",
        lambda s: {"dead": s["dead"] / geo.stretch(s["m"]) ** 2} if "dead" in s else {},
    ),
    Wrong(
        "everything stretched",
        "That fits live load or snow stretched as well: it is already given on the horizontal projection.",
        lambda s: {"live": s["live"] * geo.stretch(s["m"])} if "dead" in s and s.get("live") else {},
    ),
    Wrong(
        "pitch upside down",
        "That fits the slope upside down: it is rise over run, inches of rise over 12.",
        lambda s: {key: 1 / s[key] for key in ("m", "c") if s.get(key)},
    ),
    Wrong(
        "pitch not divided by 12",
        "That fits the pitch used as it stands: divide inches of rise by 12 of run first.",
        lambda s: {key: 12 * s[key] for key in ("m", "c") if s.get(key)},
    ),
    Wrong(
        "ceiling left out",
        "That fits a level ceiling: this one climbs too, and takes away from the difference of the slopes.",
        _to(0.0, "c"),
        None,
        ("top_chord", "bottom_chord", "clear_inside", "r_inside", "growth"),
    ),
    Wrong(
        "slopes added",
        "That fits the two slopes added: what counts is how far they differ, m − c.",
        lambda s: {"c": -s["c"]} if s.get("c") else {},
        None,
        ("top_chord", "growth"),
    ),
    # --- spans, spacings, depths
    Wrong(
        "span for run",
        "That fits the whole span where the run to the ridge is wanted: half of it.",
        _scale("l", "r", "L", by=2.0),
    ),
    Wrong(
        "run for span",
        "That fits half of the length: here both runs together count, the whole of what spans.",
        _scale("l", "r", "L", by=0.5),
    ),
    Wrong(
        "spacing in inches",
        "That fits a spacing left in inches: loads are for each foot, so divide it by 12.",
        _scale("s", by=12.0),
    ),
    Wrong(
        "spacing left out",
        "That fits a strip one foot wide: each rafter carries a strip as wide as the spacing, in feet.",
        _to(12.0, "s"),
    ),
    Wrong(
        "nominal size",
        "That fits the nominal size: planed, a 2x is 1 1/2 in thick, and a 2x10 9 1/4 in deep.",
        _nominal,
    ),
    # --- loads and factors
    Wrong("dead left out", "That fits the dead load left out: it is always there.", _to(0.0, "dead")),
    Wrong("live left out", "That fits live load or snow left out.", _to(0.0, "live")),
    Wrong(
        "load duration left out",
        "That fits CD left out: wood carries more for a short time, 1.15 with snow, 1.25 with roof live load.",
        _to(1.0, "C_D"),
    ),
    Wrong(
        "size factor left out",
        "That fits CF left out: for most species the table's Fb is for one size, and CF adapts it.",
        _to(1.0, "C_F"),
    ),
    Wrong(
        "repetitive factor left out",
        "That fits Cr left out: three or more rafters no more than 24 in apart help each other, 1.15.",
        _to(1.0, "C_r"),
    ),
    Wrong(
        "notch left out",
        "That fits the full depth: beside the birdsmouth only what the notch leaves takes the shear.",
        _to(0.0, "n"),
        None,
        ("shear_allowed", "shear_ratio"),
    ),
    Wrong(
        "upside down",
        "That fits capacity over demand: the ratio is demand over capacity, and 1 is full use.",
        None,
        lambda value, s: 1 / value,
        ("bending_ratio", "shear_ratio", "bearing_ratio", "deflection_ratio"),
    ),
    Wrong(
        "heat and exposure left out",
        "That fits Ce and Ct left out: both stand in the formula, and a cold roof keeps its snow longer.",
        _to(1.0, "C_e", "C_t", "I_s"),
    ),
    Wrong(
        "ground snow for roof snow",
        "That fits the ground's snow: a flat roof holds about 0.7 of it, and a steep one less.",
        None,
        lambda value, s: s["p_g"],
        ("flat_snow", "roof_snow"),
    ),
    Wrong(
        "slope factor left out",
        "That fits Cs left out: this slope sheds part of its snow.",
        None,
        lambda value, s: s["flat_snow"],
        ("roof_snow",),
    ),
    # --- statics
    Wrong(
        "twice the push",
        "That fits twice the push: the moment at mid-span is w·L² ÷ 8, and each plate takes that over the rise.",
        None,
        lambda value, s: 2 * value,
        ("thrust", "tie_force"),
    ),
    Wrong(
        "half of the load",
        "That fits the share of one plate, straight down: the push sideways also hangs on the rise.",
        None,
        lambda value, s: s["line_load"] * (s["l"] + s["r"]) / 24,
        ("thrust", "tie_force"),
    ),
    Wrong(
        "tie at the plates",
        "That fits a tie on the plates: higher up it pulls harder, 1 ÷ (1 − height ÷ rise) times.",
        _to(0.0, "tie"),
        None,
        ("tie_force", "tie_factor"),
    ),
    Wrong(
        "height for what is left",
        "That fits rise ÷ height of the tie: divide by what is left above it, 1 − height ÷ rise.",
        None,
        lambda value, s: value / s["tie_factor"] * s["h"] / s["tie"],
        ("tie_force", "tie_factor"),
    ),
    Wrong(
        "one side only",
        "That fits one side: the ridge gets half of each rafter, from the left and from the right.",
        None,
        lambda value, s: value / 2,
        ("ridge_load", "post"),
    ),
    Wrong(
        "whole roof on the ridge",
        "That fits the whole roof on the ridge: half of each rafter's load goes to the walls.",
        None,
        lambda value, s: 2 * value,
        ("ridge_load", "post"),
    ),
    Wrong(
        "whole load for the reaction",
        "That fits the whole load: each of the two bearings takes half, R = P ÷ 2.",
        lambda s: {"P": 2 * s["P"]} if "P" in s else {},
        None,
        ("reaction", "top_chord", "bottom_chord"),
    ),
    Wrong(
        "inches for feet",
        "That fits a length in inches where feet were meant, or the other way round.",
        None,
        lambda value, s: 12 * value,
        ("thrust", "ridge_load", "moment", "post"),
    ),
)
