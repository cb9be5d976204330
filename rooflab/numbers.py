"""Questions on loads, forces and insulation: any reading worked from symbols, and the slips people make with it.

As for lengths, a slip changes the symbols a reading is worked from, or the finished number; it is said to *fit*, never
to *be* what happened.  Which slips are usual is common practice of teaching, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

from . import geometry as geo
from .lumber import WIDTHS
from .measure import Given, InputError, feet_inches, inches
from .practice import Feedback
from .readings import Reading, Worked

Symbols = dict[str, Any]
NEAR = 0.01  # an answer this near, as a part of it, is right: slide-rule accuracy
LEAST = {"in": 1 / 16, "R": 0.5}  # or this near, by the unit
UNITS = {"in": "feet and inches, or decimal inches", "": "a ratio such as 0.85, or per cent",
         "R": "an R-value", "times": "a plain number"}  # fmt: skip


def said(worked: Worked) -> str:
    """A reading's value as it is printed: lengths as on a tape, forces whole, ratios to two places.

    >>> said(Worked("thrust", "Thrust", 2236.07, "lb", "", "")), said(Worked("r", "Bending", 0.5515, "", "", ""))
    ('2,236 lb', '0.55')
    """
    value = worked.value
    if isinstance(value, str):
        return value
    if worked.unit == "in":
        return feet_inches(value) if abs(value) >= 1 or value == 0 else f"{value:.2f} in"
    if worked.unit == "R":
        return f"R-{value:.0f}"
    if worked.name == "notch_ratio":
        return f"{100 * value:.0f} %"
    if worked.unit == "":
        return f"{value:.2f}" if value < 100 else "none to speak of"
    whole = worked.unit in ("lb", "lb/ft", "lb·ft", "psi") and abs(value) >= 100
    return f"{value:,.0f} {worked.unit}" if whole else f"{value:.1f} {worked.unit}"


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


@dataclass(frozen=True)
class Numbers:
    """Rows of readings, the symbols they are worked from, each row adding its own, and slips that are theirs alone."""

    rows: tuple[Reading, ...]
    symbols: Symbols
    own: tuple[Wrong, ...] = ()

    @cached_property
    def all(self) -> Symbols:
        """The symbols with every reading among them."""
        values = dict(self.symbols)
        for row in self.rows:
            values[row.name] = row.of(values)
        return values

    def worked(self, name: str) -> Worked:
        """A reading with its reasoning.  InputError for one that is not among the rows."""
        row = next((row for row in self.rows if row.name == name), None)
        if row is None:
            raise Given(name, "Reading", "", "").refused(f"is not one of {', '.join(row.name for row in self.rows)}")
        return row.work(self.all)

    def text(self, name: str) -> str:
        """A reading's value as it is printed."""
        row = next(row for row in self.rows if row.name == name)
        return said(Worked(name, row.label, self.all[name], row.unit, "", ""))

    def slack(self, unit: str, value: float) -> float:
        """How far off an answer may be and count as right."""
        return max(NEAR * abs(value), LEAST.get(unit, 0.0))

    def apart(self, name: str, right: float) -> float:
        """How far off a wrong number must be to be told from the right one."""
        return 2.5 * NEAR * abs(right)

    def slips(self, name: str) -> list[tuple[Wrong, float]]:
        """Each mistake that changes a reading, with the number it gives; the right answer's neighbours left out."""
        right, found, values = float(self.worked(name).value), list[tuple[Wrong, float]](), self.all
        for slip in (*SLIPS, *self.own):
            if slip.only and name not in slip.only:
                continue
            try:
                changed = slip.change(self.symbols) if slip.change else {}
                wrong = float(Numbers(self.rows, self.symbols | changed).worked(name).value)
                wrong = slip.result(wrong, values) if slip.result else wrong
            except (InputError, ZeroDivisionError, KeyError):
                continue
            if 0 < wrong < 1e9 and abs(wrong - right) > self.apart(name, right):
                found.append((slip, wrong))
        return found


class Taped(Numbers):
    """Readings of a room: lengths of many feet are still right to a sixteenth, and told apart by an eighth."""

    def slack(self, unit: str, value: float) -> float:
        return LEAST["in"] if unit == "in" else super().slack(unit, value)

    def apart(self, name: str, right: float) -> float:
        return 2 * LEAST["in"] if self.worked(name).unit == "in" else super().apart(name, right)


class NumberQuestion(NamedTuple):
    """A question for a number: right to one part in a hundred, or to a sixteenth of an inch.

    >>> from rooflab.thrust import THRUST
    >>> pair = Numbers(THRUST, dict(dead=0.0, live=30.0, m=2 / 3, s=16.0, l=144.0, r=144.0, h=96.0, tie=0.0))
    >>> one = NumberQuestion("How hard do the rafters push?", pair, "thrust")
    >>> one.judge("360 lb").right, one.judge("270").slip
    (True, 'spacing left out')
    """

    prompt: str
    numbers: Numbers
    reading: str

    @property
    def worked(self) -> Worked:
        return self.numbers.worked(self.reading)

    @property
    def unit(self) -> str:
        return UNITS.get(self.worked.unit, f"a number, in {self.worked.unit}")

    def judge(self, text: str) -> Feedback:
        """Right, a slip that fits, or neither: then which way to look.  Unreadable text gets its own sentence."""
        right = self.worked
        try:
            given = _number(text, right.unit)
        except InputError as error:
            return Feedback(False, "", " ".join(error.problems))
        if abs(given - right.value) <= self.numbers.slack(right.unit, right.value) + 1e-9:
            return Feedback(True, "", f"{right.label} {said(right)}, from {right.formula} = {right.worked}.")
        fits = sorted(((abs(given - wrong), slip, wrong) for slip, wrong in self.numbers.slips(self.reading)),
                      key=lambda fit: fit[0])  # fmt: skip
        half = LEAST.get(right.unit, 0.0) / 2
        near = [slip for off, slip, wrong in fits
                if off <= min(max(NEAR * abs(wrong), half), self.numbers.slack(right.unit, wrong))][:2]  # fmt: skip
        if near:
            also = [slip.sentence.replace("That fits", "Or it is", 1) for slip in near[1:]]
            return Feedback(False, near[0].name, " ".join([near[0].sentence, *also]))
        way = "smaller" if given > right.value else "larger"
        typed = said(right._replace(value=given))
        return Feedback(
            False, "", f"{typed} is not it, and no usual slip gives it: the answer is {way}. Use {right.formula}."
        )

    def show(self) -> str:
        """The whole working, for those who ask."""
        w = self.worked
        return f"{w.label}: {w.formula} = {w.worked} = {said(w)}."


def _number(text: str, unit: str) -> float:
    """An answer as a number: trade text for lengths, per cent for ratios, thousands and a unit allowed."""
    if unit == "in":
        return inches(text, "Answer")
    plain = text.strip().replace("−", "-").replace(",", "")
    bare = re.fullmatch(r"(?:R-?)?\s*([-+]?[0-9]*\.?[0-9]+)\s*(%|[^\d.]*)", plain, re.I)
    if not bare:
        raise Given(text, "Answer", "number", "a plain number such as 360 or 0.85").refused()
    return float(bare[1]) / (100 if bare[2].strip() == "%" else 1)
