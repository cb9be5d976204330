"""Readings: every dimension on every drawing, one row each.

A row names the formula's function on the ground floor and shows its text; ``work`` puts the numbers into that text.
Whoever adds a reading adds one row.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from . import geometry as geo
from .formulas import SLOPES
from .measure import feet_inches


class Worked(NamedTuple):
    """A reading with its reasoning; ``worked`` is the formula with the numbers in and evaluates to ``value``."""

    name: str
    label: str
    value: Any
    unit: str
    formula: str
    worked: str

    @property
    def text(self) -> str:
        """The value as it is printed: feet and inches, per cent, degrees or the word itself."""
        if self.unit == "in":
            return feet_inches(self.value)
        if self.unit == "":
            return f"{100 * self.value:.1f} %" if isinstance(self.value, float) else str(self.value)
        return f"{self.value:.1f} {self.unit}"


SPELLED = {
    "per_inch": "R per inch", "r_wanted": "R wanted", "p_g": "ground snow", "top_x": "x of the top", "K": "Kcr",
    "r_live": "rafters live", "r_dead": "rafters dead", "t_live": "truss live", "t_dead": "truss dead",
    "low": "low end",
}  # fmt: skip
"""Symbols that are read by another name than their own."""
SIDED = {"l": "left", "r": "right"}


def spelled(formula: str) -> str:
    """A formula's text as it is read: its symbols as words; factors such as F_b as Fb; indices such as d_t stay.

    >>> spelled("bending_stress ÷ bending_allowed"), spelled("F_b·C_D"), spelled("plate_l − d_t·k(m) + start_new")
    ('bending stress ÷ bending allowed', 'Fb·CD', 'left plate − d_t·k(m) + start_new')
    """
    return re.sub(r"[A-Za-z_]+", lambda name: _word(name[0]), formula)


def _word(name: str) -> str:
    first, _, last = name.rpartition("_")
    if name in SPELLED or not first or last == "new":
        return SPELLED.get(name, name)
    if first.isupper():
        return first + last
    if last in SIDED:
        return f"{SIDED[last]} {_word(first)}"
    return name if len(last) == 1 else name.replace("_", " ")


def evened(formula: str, symbols: dict[str, Any]) -> str:
    """A formula without the other side, where left and right are equal; it comes to the same.

    >>> evened("2·min(a_l − b_l, a_r − b_r)", {"a_l": 9.0, "a_r": 9.0, "b_l": 1.0, "b_r": 1.0})
    '2·(a_l − b_l)'
    """
    if not _even(formula, symbols):
        return formula

    def once(pair: re.Match[str]) -> str:
        if re.sub(r"_l\b", "_r", pair[2]) != pair[3]:
            return pair[0]
        return f"{pair[1]}({pair[2]})" if pair[1] and " " in pair[2] else pair[1] + pair[2]

    return re.sub(r"([·−÷]?)min\(([^(),]+), ([^(),]+)\)", once, formula)


def _even(formula: str, symbols: dict[str, Any]) -> bool:
    """Whether it names sides, and each of its symbols is the same left and right."""
    names = re.findall(r"\b([a-z]+)_[lr]\b", formula)
    pairs = [(symbols.get(f"{name}_l"), symbols.get(f"{name}_r")) for name in names]
    return bool(pairs) and all(
        left is not None and right is not None and np.array_equal(left, right) for left, right in pairs
    )


def _sideless(formula: str, symbols: dict[str, Any]) -> str:
    """The formula without the words left and right, where it names one side only and both are equal."""
    one = len(set(re.findall(r"_([lr])\b", formula))) == 1
    return re.sub(r"_[lr]\b", "", formula) if one and _even(formula, symbols) else formula


class Reading(NamedTuple):
    """One reading: name, label, unit, which bay, the formula's text, its function and that function's symbols.

    Part of a formula in [brackets] shows only where its symbol is not 0.
    """

    name: str
    label: str
    unit: str
    bay: str
    formula: str
    function: Callable[..., Any]
    args: str

    def of(self, symbols: dict[str, Any]) -> Any:
        """The value: a Python float for one set of symbols, an array for arrays."""
        value = self.function(*(symbols[name] for name in self.args.split()))
        if isinstance(value, str):
            return value
        if getattr(value, "ndim", 0):
            return value if value.dtype.kind == "U" else value + 0.0
        return float(value) + 0.0  # no numpy scalar, no -0.0

    def work(self, symbols: dict[str, Any]) -> Worked:
        """The value with formula and numbers; no numbers where the formula is words."""
        formula = evened(self.settled(symbols), symbols)
        put = put_in(formula, symbols)
        said = spelled(_sideless(formula, symbols))
        return Worked(self.name, self.label, self.of(symbols), self.unit, said, "" if put == formula else put)

    def settled(self, symbols: dict[str, Any]) -> str:
        """The formula's text without the parts in brackets that count for nothing here."""

        def option(part: re.Match[str]) -> str:
            name = re.findall(r"[a-z_]+", part[1])[-1]
            return part[1] if abs(symbols[name]) > 1e-9 else ""

        return re.sub(r"\[(.*?)\]", option, self.formula)


def put_in(formula: str, symbols: dict[str, Any]) -> str:
    """A formula's text with the numbers in.

    >>> put_in("D·k(m) − m·seat", {"D": 11.25, "m": 0.75, "seat": 7.25})
    '11.25 × √(1 + (9/12)²) − (9/12) × 7.25'
    """
    return "".join([_number(part, symbols) if i % 2 else part for i, part in enumerate(_parts(formula))])


@lru_cache(1024)
def _parts(formula: str) -> list[str]:
    """What stands between the names of a formula, and the names, in turn."""
    worked = re.sub(r"k\((\w+)\)", r"√(1 + \1²)", formula).replace("·", " × ")
    return re.split(r"([A-Za-z_]+)", worked)


def _number(name: str, symbols: dict[str, Any]) -> str:
    if name not in symbols:
        return name
    if name in SLOPES:
        return f"({_plain(12 * symbols[name])}/12)"
    return _plain(symbols[name])


def _plain(value: float) -> str:
    text = f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
    return f"({text})" if text.startswith("-") else text


def _height(heel: float, slope: float, run: float, up: float) -> float:
    return geo.height(heel, slope, run) + up


def _rise(slope: float, apex: float, start: float, up: float) -> float:
    return geo.ceiling_rise(slope, apex, start) + up


def _depth(heel: float, slope: float, run: float, up: float, ceiling: float) -> float:
    return _height(heel, slope, run, up) - ceiling


def _tail_underside(heel: float, slope: float, out: float, depth: float) -> float:
    return geo.underside(geo.drop(heel, slope, out), depth, slope)


def _space_inside(heel: float, top: float, m: float, bottom: float, c: float, start: float, bearing: float) -> float:
    return geo.space_further_in(geo.space_outside(heel, top, m, bottom, c, start), m, c, bearing)


def _short_heel(heel: float, m: float, j: float, c: float, start_new: float, start: float) -> float:
    return geo.height(heel, m, j) - geo.plate_rise(c, j, start_new, start)


def heel_state(heel: Any, top: Any, m: Any, bottom: Any, c: Any, start: Any) -> Any:
    """What stands at the heel: "below least" (no chord can bear), "scarfed" or "raised"; numbers or arrays."""
    bears = np.where(geo.space_outside(heel, top, m, bottom, c, start) < 0, "scarfed", "raised")
    state = np.where(heel < geo.least_heel(top, m) - 1e-9, "below least", bears)
    return state if state.ndim else str(state)


def _top(name: str, bay: str, depth: str) -> tuple[Reading, ...]:
    """Rows that both bays read alike, each from its own member."""
    return (
        Reading("tail_top", "Top of tail", "in", bay, "heel − m·o", geo.drop, "heel m o"),
        Reading(
            "tail_underside", "Underside of tail", "in", bay, f"heel − m·o − {depth}·k(m)", _tail_underside,
            f"heel m o {depth}",
        ),
        Reading("run", "Run to the ridge line", "in", bay, "run", lambda run: run, "run"),
        Reading("angle", "Angle of the roof", "degrees", bay, "arctan(m)", geo.angle, "m"),
    )  # fmt: skip


READINGS: tuple[Reading, ...] = (
    Reading("heel", "Heel height", "in", "rafter", "D·k(m) − m·seat", geo.heel, "D m seat"),
    Reading("plumb_depth", "Plumb depth", "in", "rafter", "D·k(m)", geo.plumb_depth, "D m"),
    Reading("birdsmouth_plumb", "Plumb cut of birdsmouth", "in", "rafter", "m·seat", geo.birdsmouth_plumb, "m seat"),
    Reading("notch_depth", "Notch, square to the edge", "in", "rafter", "m·seat ÷ k(m)", geo.notch, "m seat"),
    Reading(
        "notch_ratio", "Notch of the depth", "", "rafter", "m·seat ÷ k(m) ÷ D",
        lambda m, seat, depth: geo.ratio(geo.notch(m, seat), depth), "m seat D",
    ),
    Reading("line_length", "Line length", "in", "rafter", "run·k(m)", geo.line_length, "run m"),
    Reading("ridge_shortening", "Ridge shortening", "in", "rafter", "t ÷ 2·k(m)", geo.ridge_shortening, "t m"),
    Reading("cut_length", "Cut length", "in", "rafter", "(run − t ÷ 2 + o)·k(m)", geo.cut_length, "run t o m"),
    Reading(
        "stock_length", "Stock needed", "in", "rafter", "(run − t ÷ 2 + o)·k(m) + D·m",
        lambda run, t, o, m, depth: geo.stock_length(geo.cut_length(run, t, o, m), depth, m), "run t o m D",
    ),
    Reading("peak_height", "Peak of the roof lines", "in", "rafter", "heel + m·run", geo.height, "heel m run"),
    Reading(
        "ridge_top", "Top of the ridge board", "in", "rafter", "heel + m·(run − t ÷ 2)",
        lambda heel, m, run, t: geo.height(heel, m, run - t / 2), "heel m run t",
    ),
    *_top("rafter", "rafter", "D"),
    Reading("heel", "Heel height", "in", "scissor", "roof − plate", lambda roof, plate: roof - plate, "roof plate"),
    Reading("height", "Overall height", "in", "scissor", "heel + m·run[ + up]", _height, "heel m run up"),
    Reading("ceiling_rise", "Ceiling rise", "in", "scissor", "c·(apex − start)[ + up]", _rise, "c apex start up"),
    Reading(
        "depth_at_peak", "Depth at the peak", "in", "scissor", "heel + m·run[ + up] − ceiling", _depth,
        "heel m run up ceiling",
    ),
    *_top("scissor", "scissor", "d_t"),
    Reading("least_heel", "Least heel", "in", "scissor", "d_t·k(m) + 1 ÷ 4", geo.least_heel, "d_t m"),
    Reading(
        "space_outside", "Between the chords, outside face", "in", "scissor",
        "heel − d_t·k(m) − d_b·k(c) + c·start", geo.space_outside, "heel d_t m d_b c start",
    ),
    Reading(
        "space_inside", "Between the chords, inside face", "in", "scissor",
        "heel − d_t·k(m) − d_b·k(c) + c·start + (m − c)·bearing", _space_inside, "heel d_t m d_b c start bearing",
    ),
    Reading(
        "heel_state", "State of the heel", "", "scissor",
        "signs of heel − (d_t·k(m) + 1 ÷ 4) and of heel − d_t·k(m) − d_b·k(c) + c·start",
        heel_state, "heel d_t m d_b c start",
    ),
    Reading(
        "rise", "Plate of the moved wall", "in", "jog", "c·(j + start_new − start)", geo.plate_rise,
        "c j start_new start",
    ),
    Reading(
        "heel", "Heel of the short truss", "in", "jog", "heel + m·j − c·(j + start_new − start)", _short_heel,
        "heel m j c start_new start",
    ),
    Reading(
        "stud", "Stud of the moved wall", "in", "jog", "stud + c·(j + start_new − start)",
        lambda stud, c, j, start_new, start: stud + geo.plate_rise(c, j, start_new, start), "stud c j start_new start",
    ),
    Reading("run", "Run of the short truss", "in", "jog", "run − j", lambda run, j: run - j, "run j"),
    Reading(
        "ceiling_break", "Break with the long heel", "in", "jog", "m·j − c·(j + start_new − start)",
        lambda m, j, c, start_new, start: m * j - geo.plate_rise(c, j, start_new, start), "m j c start_new start",
    ),
    Reading(
        "fascia_step", "Fascia of the moved wall", "in", "jog", "m·(j + o − o_new)",
        lambda m, j, o, o_new: m * (j + o - o_new), "m j o o_new",
    ),
)  # fmt: skip
