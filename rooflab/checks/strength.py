"""Whether a common rafter carries its loads: an early check for discussion, not a design.

Allowable stress design for sawn lumber (NDS): bending, shear beside the seat's notch, bearing on the seat, deflection.
The rafter is a simple beam between seat and ridge, dry, braced by its sheathing.  Left out: axial force from thrust,
wind and uplift, the tail's own strength, fastenings, and what ``loads`` leaves out.

Units: area loads psf (dead on the slope, the rest on the horizontal projection), line loads plf of horizontal run,
lengths in, forces lb, moments lb·ft, stresses psi; slopes are rise over run.  Functions take numbers or arrays; powers
are products, so that one rafter and a million agree bit for bit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from rooflab.base import geometry as geo
from rooflab.base.findings import ASK, MISSES, VERDICTS, Finding
from rooflab.base.geometry import Number
from rooflab.base.inputs import INPUTS, must_be, pair, stop_on
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import InputError, feet_inches, on_center
from rooflab.base.rows import Reading, Reasoning, Rows, Symbols, find_row
from rooflab.house.bays import RafterBay
from rooflab.house.planes import Bay, pick

from .grades import (
    SIZE_FACTORS,
    Amount,
    Grade,
    bearing_value,
    bearing_words,
    bending_value,
    grade_by_name,
    is_graded,
    read_quantities,
    repetitive,
    size_factor,
)
from .limits import LimitCheck, at_most
from .loads import LONGEST_UNBALANCED, Case, Loads, on_plan

# --- formulas --------------------------------------------------------------------------------------------------------


def line_load(dead: Number, live: Number, slope: Number, spacing: Number) -> Number:
    """Load on one rafter, plf of horizontal run: (dead k(m) + live) spacing / 12."""
    return (on_plan(dead, slope) + live) * spacing / 12


def moment(load: Number, span: Number) -> Number:
    """Largest moment of a simple beam, w L² / 8, lb·ft, for w in plf and the level span in inches.

    A slope changes nothing: the load square to the rafter is w / k(m)² over a length of L k(m).
    """
    feet = span / 12
    return load * (feet * feet) / 8


def section_modulus(thickness: Number, depth: Number) -> Number:
    """b D² / 6, in³."""
    return thickness * (depth * depth) / 6


def inertia(thickness: Number, depth: Number) -> Number:
    """b D³ / 12, in⁴."""
    return thickness * (depth * depth * depth) / 12


def end_shear(load: Number, span: Number, slope: Number) -> Number:
    """Shear square to the rafter at its end, w L / (2 k(m)), lb; the tail's relief is not counted."""
    return load * span / 24 / geo.stretch(slope)


def shear_capacity(value: Number, duration: Number, thickness: Number, depth: Number, notch: Number = 0.0) -> Number:
    """Shear beside an end notch, (2/3) Fv' b dn (dn/d)² with dn = d - notch, lb (tension side; NDS 2018 3.4.3.2)."""
    left = depth - notch
    part = left / depth
    return 2 / 3 * value * duration * thickness * left * (part * part)


def seat_reaction(load: Number, span: Number, overhang: Number = 0.0) -> Number:
    """Plumb load on the seat, w (L + o)² / (2 L), lb; ``overhang`` is all beyond the middle of the seat, in."""
    whole = span + overhang
    return load * (whole * whole) / (24 * span)


def deflection(load: Number, span: Number, slope: Number, thickness: Number, depth: Number, modulus: Number) -> Number:
    """Sag at mid-span, square to the rafter, 5 (w/12) L⁴ k(m)² / (384 E I), in, for w in plf of horizontal run."""
    square = span * span
    return 5 * (load / 12) * (square * square) * (1 + slope * slope) / (384 * modulus * inertia(thickness, depth))


def _use_of(demand: Number, capacity: Number) -> Number:
    """Demand over capacity; without capacity it is infinite."""
    if isinstance(demand, float) and isinstance(capacity, float):  # one rafter: far quicker than the arrays' way
        return demand / capacity if capacity > 0 else float("inf")
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(np.asarray(capacity) > 0, np.divide(demand, capacity), np.inf)


STRENGTH: tuple[Reading, ...] = tuple(
    Reading(name, label, unit, "strength", formula, function, args)
    for name, label, unit, formula, function, args in (
        ("line_load", "Load on the rafter", "plf", "(dead·k(m) + live)·s ÷ 12", line_load, "dead live m s"),
        ("live_load", "Of it live or snow", "plf", "live·s ÷ 12", lambda p, s: p * s / 12, "live s"),
        ("moment", "Moment", "lb·ft", "line_load·(L ÷ 12)² ÷ 8", moment, "line_load L"),
        (
            "bending_stress", "Bending stress", "psi", "12·moment ÷ (b·D² ÷ 6)",
            lambda most, b, depth: 12 * most / section_modulus(b, depth), "moment b D",
        ),
        (
            "bending_allowed", "Bending allowed", "psi", "F_b·C_F·C_r·C_D",
            lambda value, size, rep, time: value * size * rep * time, "F_b C_F C_r C_D",
        ),
        ("bending_ratio", "Bending", "", "bending_stress ÷ bending_allowed", _use_of, "bending_stress bending_allowed"),
        ("end_shear", "Shear at the seat", "lb", "line_load·L ÷ 24 ÷ k(m)", end_shear, "line_load L m"),
        (
            "shear_allowed", "Shear allowed beside the notch", "lb", "2 ÷ 3·F_v·C_D·b·(D − n)·((D − n) ÷ D)²",
            shear_capacity, "F_v C_D b D n",
        ),
        ("shear_ratio", "Shear", "", "end_shear ÷ shear_allowed", _use_of, "end_shear shear_allowed"),
        (
            "shear_whole", "Shear without the notch", "", "end_shear ÷ (2 ÷ 3·F_v·C_D·b·D)",
            lambda shear, fv, cd, b, depth: _use_of(shear, shear_capacity(fv, cd, b, depth)), "end_shear F_v C_D b D",
        ),
        (
            "seat_reaction", "Load on the seat", "lb", "line_load·(L + o + seat ÷ 2)² ÷ (24·L)",
            lambda w, span, o, seat: seat_reaction(w, span, o + seat / 2), "line_load L o seat",
        ),
        ("seat_allowed", "Allowed on the seat", "lb", "F_p·b·seat", lambda fp, b, seat: fp * b * seat, "F_p b seat"),
        ("bearing_ratio", "Bearing", "", "seat_reaction ÷ seat_allowed", _use_of, "seat_reaction seat_allowed"),
        (
            "deflection", "Sag under live or snow", "in", "5·(live_load ÷ 12)·L⁴·k(m)² ÷ (384·E·(b·D³ ÷ 12))",
            deflection, "live_load L m b D E",
        ),
        (
            "deflection_allowed", "Sag allowed", "in", "L·k(m) ÷ limit",
            lambda span, m, over: geo.line_length(span, m) / over, "L m limit",
        ),
        (
            "deflection_ratio", "Deflection", "", "deflection ÷ deflection_allowed", _use_of,
            "deflection deflection_allowed",
        ),
    )
)  # fmt: skip
"""Readings of a rafter's strength, each from those above it; the ratios are demand over capacity."""

RATIOS = ("bending_ratio", "shear_ratio", "bearing_ratio", "deflection_ratio")


def work_out(symbols: Symbols) -> Symbols:
    """The symbols with every row of ``STRENGTH`` added, for one rafter or for arrays of rafters.

    Wanted: dead live m s L o b D n seat F_b F_v F_p E C_F C_r C_D limit, in the units of this module.
    """
    return Rows(STRENGTH, symbols).all


# --- one rafter of a bay ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class RafterCheck:
    """A rafter under one load combination: its readings, and the one nearest to or furthest beyond its capacity."""

    case: Case
    grade: Grade
    values: Symbols

    def reading(self, name: str) -> Reasoning:
        """A reading with its reasoning.  InputError for a name that ``STRENGTH`` lacks."""
        return find_row(STRENGTH, name, "Reading of a rafter's strength").work(self.values)

    @property
    def readings(self) -> tuple[Reasoning, ...]:
        """Every reading of ``STRENGTH`` with its reasoning."""
        return tuple(row.work(self.values) for row in STRENGTH)

    @property
    def governs(self) -> str:
        """Name of the largest ratio."""
        return max(RATIOS, key=lambda name: float(self.values[name]))

    @property
    def ratio(self) -> float:
        """The largest demand over capacity."""
        return float(self.values[self.governs])


def design_span(bay: RafterBay, end: str = "left") -> float:
    """Level span of the rafter as a beam, in: from the middle of its seat to the ridge line (teaching simplification;
    span tables speak of the clear projection, framing tables of the run from the outside face)."""
    return float(getattr(bay, end).run - pair(bay.seat)[end == "right"] / 2)


SPAN_OVER = 240.0
"""Sag allowed under live load or snow, as a part of the span (IRC R301.7)."""

BARE_SPAN_OVER, BARE_FROM = 180.0, 3 / 12
"""The same for rafters without a ceiling attached, and the slope above which it holds (IRC R301.7)."""


def sag_over(ceiling: str, slope: Number) -> Number:
    """Sag allowed as a part of the span: L/180 without a ceiling attached above 3 in 12, else L/240 (IRC R301.7).

    >>> float(sag_over("none", 8 / 12)), float(sag_over("none", 3 / 12)), float(sag_over("attached", 8 / 12))
    (180.0, 240.0, 240.0)
    """
    bare = (np.asarray(slope) > BARE_FROM + 1e-9) & (ceiling == "none")
    return np.where(bare, BARE_SPAN_OVER, SPAN_OVER)


def rafter_symbols(
    bay: RafterBay, grade: Grade, spacing: float, over: Number, end: str = "left", plate: str = ""
) -> dict[str, Any]:
    """The symbols of ``work_out`` for the rafter of one end, loads and their duration apart; one bay or arrays."""
    common = bay.symbols(end)
    made = {
        **{name: common[name] for name in ("m", "o", "D", "seat")},
        "b": bay.thickness, "n": geo.notch(common["m"], common["seat"]), "s": spacing,
        "L": getattr(bay, end).run - common["seat"] / 2, "F_b": bending_value(grade, bay.depth), "F_v": grade.Fv,
        "F_p": bearing_value(grade, plate), "E": grade.E, "limit": over, "C_F": size_factor(grade, bay.depth),
        "C_r": repetitive(spacing),
    }  # fmt: skip
    return {name: value if np.ndim(value) else float(value) for name, value in made.items()}


def check_rafter(
    bay: RafterBay,
    loads: Loads,
    grade: str | Grade = "DFL No.2",
    spacing: Amount = 16,
    limit: Amount | None = None,
    end: str = "left",
    plate: str = "",
    ceiling: str = "attached",
) -> tuple[RafterCheck, ...]:
    """The rafter of one end under each combination of the loads; spacing in inches, the deflection limit as span over.

    ``plate`` is the species of the wall plates, a name of ``PLATES`` ("": not named, so the softest).  Without a
    deflection limit it is that of rafters with a ``ceiling`` "attached" or "none" (``sag_over``).

    InputError for a size that the published values do not hold for (engineered, ripped or measured stock).

    >>> from rooflab import Gable
    >>> bay = RafterBay(Gable("26'", 8, "5 1/2", 16), "2x10", seat="3 1/2")
    >>> max(check.ratio for check in check_rafter(bay, Loads(), "DFL No.2", 16)) < 1
    True
    """
    must_be(bay, RafterBay, "Rafter bay")
    must_be(loads, Loads, "Loads")
    row = grade_by_name(grade)
    slope = abs(getattr(bay, end).roof.slope)
    apart, over = read_quantities(spacing=spacing, limit=float(sag_over(ceiling, slope)) if limit is None else limit)
    if not is_graded(bay.thickness, bay.depth):
        raise InputError(_ungraded_sentence(bay))
    symbols = rafter_symbols(bay, row, apart, over, end, plate)
    return tuple(
        RafterCheck(case, row, work_out({**symbols, "dead": case.dead, "live": case.live, "C_D": case.duration}))
        for case in loads.cases(symbols["m"], float(slope_reach(bay, end)))
    )


def slope_reach(bay: RafterBay, end: str = "left") -> Number:
    """Level reach of one side of the roof from eave to ridge, in; one bay or arrays."""
    one = getattr(bay, end)
    reach: Number = one.run + one.overhang
    return reach


def _ungraded_sentence(bay: RafterBay) -> str:
    return (
        f"Rafter {feet_inches(bay.thickness)} x {feet_inches(bay.depth)}: published values hold for dressed 2x4 to "
        "2x12 only; for engineered, ripped or measured stock ask the manufacturer or the engineer."
    )


# --- longest spans ---------------------------------------------------------------------------------------------------


class LongestSpan(NamedTuple):
    """How far a size reaches: level span, in, and which check and combination stop it."""

    size: str
    span: float
    governs: str
    case: str


def span_limits(symbols: Symbols) -> Symbols:
    """Longest level span, in, by bending, shear and deflection (simple beam; symbols as for ``work_out`` without L)."""
    v, whole = symbols, line_load(symbols["dead"], symbols["live"], symbols["m"], symbols["s"])
    allowed, live, k = v["F_b"] * v["C_F"] * v["C_r"] * v["C_D"], v["live"] * v["s"] / 12, geo.stretch(v["m"])
    stiff = 384 * v["E"] * inertia(v["b"], v["D"])
    return {
        "bending": 12 * np.sqrt(_use_of(8 * allowed * section_modulus(v["b"], v["D"]) / 12, whole)),
        "shear": 24 * k * _use_of(shear_capacity(v["F_v"], v["C_D"], v["b"], v["D"], v["n"]), whole),
        "deflection": np.cbrt(_use_of(stiff, v["limit"] * 5 * (live / 12) * k)),
    }


def longest_spans(
    loads: Loads, grade: str | Grade = "DFL No.2", spacing: Amount = 16, pitch: Amount = 0, limit: Amount = SPAN_OVER,
    beyond: float = 0.0, reach: float | None = None,
) -> tuple[LongestSpan, ...]:  # fmt: skip
    """How far each size from 2x4 to 2x12 reaches, level from seat to ridge, without a notch and whatever the seat.

    ``pitch`` in inches in 12 (0 as in the span tables, which lay dead load on the projection).  Snow on one side stops
    spans whose slope is up to 20 ft from eave to ridge: the span itself and what lies ``beyond`` it to the eave, in, or
    the one ``reach`` of a slope that stands.

    >>> one = longest_spans(Loads(20, live=20), "SP No.2", 12)[2]  # IBC 2018 table 2308.7.2(2): 17'-1"
    >>> one.size, round(one.span / 12, 1)
    ('2x8', 17.1)
    """
    must_be(loads, Loads, "Loads")
    row, problems = grade_by_name(grade), list[str]()
    apart, over = read_quantities(problems, spacing=spacing, limit=limit)
    m = INPUTS["pitch"].read(pitch, problems) / 12 if pitch != 0 else 0.0
    stop_on(problems)
    found = []
    for size in SIZE_FACTORS:
        b, depth = dressed_size(size)
        common = {
            "m": m, "s": apart, "b": b, "D": depth, "n": 0.0, "E": row.E, "F_v": row.Fv, "limit": over,
            "F_b": float(bending_value(row, depth)), "C_F": float(size_factor(row, depth)),
            "C_r": float(repetitive(apart)),
        }  # fmt: skip
        spans = [
            LongestSpan(size, float(span), name, case.name)
            for case in loads.cases(m, reach or 0.0)
            for name, span in span_limits(
                {**common, "dead": case.dead, "live": case.live, "C_D": case.duration}
            ).items()
            if reach or not case.one_side or span + beyond <= LONGEST_UNBALANCED + 1e-9
        ]
        found.append(min(spans, key=lambda one: one.span))
    return tuple(found)


# --- findings --------------------------------------------------------------------------------------------------------

NDS = "NDS 2018 allowable stress"


def capacity_check(ratio: Number) -> LimitCheck:
    """Demand over capacity against full use; numbers or arrays.

    >>> VERDICTS[capacity_check(0.8).verdict], VERDICTS[capacity_check(1.2).verdict]
    ('meets', 'misses')
    """
    return at_most(ratio, 1.0)


def shear_check(ratio: Number, whole: Number) -> LimitCheck:
    """The same for shear at the seat: where the rafter holds without its notch (``whole``), it is asked."""
    held = capacity_check(ratio)
    return held._replace(verdict=pick((held.verdict == MISSES) & (whole <= 1), ASK, held.verdict))


_CHECKS = {
    "bending_ratio": ("rafter_bending", f"{NDS}, 3.3", "psi", "bending_stress", "bending_allowed"),
    "shear_ratio": ("rafter_shear", f"{NDS}, 3.4.3.2", "lb", "end_shear", "shear_allowed"),
    "bearing_ratio": ("rafter_bearing", f"{NDS}, 3.10.2", "lb", "seat_reaction", "seat_allowed"),
    "deflection_ratio": ("rafter_deflection", "IRC R301.7", "in", "deflection", "deflection_allowed"),
}


def strength_findings(
    bay: Bay, loads: Loads, grade: str | Grade = "DFL No.2", spacing: Amount = 16,
    limit: Amount | None = None, checks: tuple[RafterCheck, ...] | None = None, plate: str = "",
    ceiling: str = "attached",
) -> tuple[Finding, ...]:  # fmt: skip
    """Demand over capacity of the rafter (1 is full use) as findings that join those of ``limits.findings``.

    The engineer decides.  A truss, or stock without published values, gets one finding that asks.  ``checks`` are those
    of ``check_rafter`` for the left end, where they are at hand.
    """
    must_be(bay, Bay, "Bay")
    if not isinstance(bay, RafterBay) or not is_graded(bay.thickness, bay.depth):
        who = _ungraded_sentence(bay) if isinstance(bay, RafterBay) else "A truss: its designer computes each member."
        return (Finding("strength", "not computed", "", "ask", NDS, who, "Have it designed for these loads."),)
    checks = checks or check_rafter(bay, loads, grade, spacing, limit, "left", plate, ceiling)
    found = [*_strength_rows(bay, loads, checks, plate, "left")]
    if not bay.equal_ends:
        right = check_rafter(bay, loads, grade, spacing, limit, "right", plate, ceiling)
        rows = _strength_rows(bay, loads, right, plate, "right")
        found += [f._replace(name=f"{f.name}_right") for f in rows]
    return tuple(found)


def _deeper(bay: RafterBay, loads: Loads, check: RafterCheck, reach: float) -> str:
    """The smallest deeper size that reaches as far on a slope of this reach from eave to ridge (in), in words."""
    v = check.values
    spans = longest_spans(loads, check.grade, v["s"], 12 * abs(v["m"]), v["limit"], reach=reach)
    fits = next((one.size for one in spans if one.span >= v["L"] and dressed_size(one.size)[1] > bay.depth), None)
    return f"A {fits} reaches that far before its notch" if fits else "No 2x size reaches that far"


def _strength_rows(
    bay: RafterBay, loads: Loads, checks: tuple[RafterCheck, ...], plate: str, end: str
) -> Iterator[Finding]:
    for ratio, (name, source, unit, demand, capacity) in _CHECKS.items():
        worst = max(checks, key=lambda check: float(check.values[ratio]))
        value = float(worst.values[ratio])
        amounts = [float(worst.values[one]) for one in (demand, capacity)]
        said = "{:.2f} of {:.2f}" if unit == "in" else "{:.0f} of {:.0f}"
        label = find_row(STRENGTH, ratio, "Reading").label
        sentence = (
            f"{label} uses {said.format(*amounts)} {unit}, {100 * value:.0f} %, under "
            f"{worst.case.name} ({worst.grade.name}, {on_center(worst.values['s'])})."
            if amounts[1] > 0
            else "There is no seat to bear on."
        )
        held = capacity_check(value)
        if name == "rafter_shear":
            held = shear_check(value, float(worst.values["shear_whole"]))
        verdict = VERDICTS[int(held.verdict)]
        reach = float(slope_reach(bay, end))
        deeper = _deeper(bay, loads, worst, reach) if verdict != "meets" else "A deeper rafter carries more"
        remedy = f"{deeper}; or set the rafters closer, or ask the engineer."
        if name == "rafter_shear" and verdict != "meets":
            if verdict == "ask":
                sentence += " Without the notch it holds; officials differ on whether a birdsmouth is an end notch."
            remedy = "Shorten the seat, use a deeper rafter, or ask the engineer."
        if name == "rafter_bearing":
            if amounts[1] > 0:
                sentence += f" {bearing_words(worst.grade, plate)}"
            remedy = "Lengthen the seat, set the rafters closer, or ask the engineer."
        yield Finding(name, value, 1.0, verdict, source, sentence, remedy)
