"""Rows of readings: each worked from symbols, with its formula, the numbers in it, and the value as it is printed.

A row names the function of its formula and shows the formula's text; ``work`` puts the numbers into that text.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from .formulas import formula_with_numbers
from .measure import InputValue, feet_inches

Symbols = dict[str, Any]


class Reasoning(NamedTuple):
    """A reading's value with its formula; ``worked`` is the formula with the numbers in and evaluates to ``value``."""

    name: str
    label: str
    value: Any
    unit: str
    formula: str
    worked: str

    @property
    def text(self) -> str:
        """The value as it is printed: feet and inches, percent, degrees or the word itself."""
        if self.unit == "in":
            return feet_inches(self.value)
        if self.unit == "":
            return f"{100 * self.value:.1f} %" if isinstance(self.value, float) else str(self.value)
        return f"{self.value:.1f} {self.unit}"


SYMBOL_WORDS = {
    "per_inch": "R per inch", "r_wanted": "R wanted", "p_g": "ground snow", "top_x": "x of the top", "K": "Kcr",
    "r_live": "rafters live", "r_dead": "rafters dead", "t_live": "truss live", "t_dead": "truss dead",
    "low": "low end",
}  # fmt: skip
"""Symbols that are read by another name than their own."""
SIDE_WORDS = {"l": "left", "r": "right"}


def formula_words(formula: str) -> str:
    """A formula's text as it is read: its symbols as words; factors such as F_b as Fb; indices such as d_t stay.

    >>> formula_words("bending_stress ÷ bending_allowed"), formula_words("plate_l − d_t·k(m) + start_new")
    ('bending stress ÷ bending allowed', 'left plate − d_t·k(m) + start_new')
    >>> formula_words("F_b·C_D")
    'Fb·CD'
    """
    return re.sub(r"[A-Za-z_]+", lambda name: _word(name[0]), formula)


def _word(name: str) -> str:
    first, _, last = name.rpartition("_")
    if name in SYMBOL_WORDS or not first or last == "new":
        return SYMBOL_WORDS.get(name, name)
    if first.isupper():
        return first + last
    if last in SIDE_WORDS:
        return f"{SIDE_WORDS[last]} {_word(first)}"
    return name if len(last) == 1 else name.replace("_", " ")


def one_sided(formula: str, symbols: Symbols) -> str:
    """A formula's text without its other side, where left and right are equal; its value is the same.

    >>> one_sided("2·min(a_l − b_l, a_r − b_r)", {"a_l": 9.0, "a_r": 9.0, "b_l": 1.0, "b_r": 1.0})
    '2·(a_l − b_l)'
    """
    if not _even(formula, symbols):
        return formula

    def once(pair: re.Match[str]) -> str:
        if re.sub(r"_l\b", "_r", pair[2]) != pair[3]:
            return pair[0]
        return f"{pair[1]}({pair[2]})" if pair[1] and " " in pair[2] else pair[1] + pair[2]

    return re.sub(r"([·−÷]?)min\(([^(),]+), ([^(),]+)\)", once, formula)


def _even(formula: str, symbols: Symbols) -> bool:
    """Whether it names sides, and each of its symbols is the same left and right."""
    names = re.findall(r"\b([a-z]+)_[lr]\b", formula)
    pairs = [(symbols.get(f"{name}_l"), symbols.get(f"{name}_r")) for name in names]
    return bool(pairs) and all(
        left is not None and right is not None and np.array_equal(left, right) for left, right in pairs
    )


def _sideless(formula: str, symbols: Symbols) -> str:
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

    def of(self, symbols: Symbols) -> Any:
        """The value: a Python float for one set of symbols, an array for arrays."""
        value = self.function(*(symbols[name] for name in self.args.split()))
        if isinstance(value, str):
            return value
        if getattr(value, "ndim", 0):
            return value if value.dtype.kind == "U" else value + 0.0
        return float(value) + 0.0  # no numpy scalar, no -0.0

    def work(self, symbols: Symbols) -> Reasoning:
        """The value with formula and numbers; no numbers where the formula is words."""
        formula = one_sided(self.formula_for(symbols), symbols)
        put = formula_with_numbers(formula, symbols)
        shown = formula_words(_sideless(formula, symbols))
        return Reasoning(self.name, self.label, self.of(symbols), self.unit, shown, "" if put == formula else put)

    def formula_for(self, symbols: Symbols) -> str:
        """The formula's text without its parts in [brackets] whose symbol is 0 here."""

        def option(part: re.Match[str]) -> str:
            name = re.findall(r"[a-z_]+", part[1])[-1]
            return part[1] if abs(symbols[name]) > 1e-9 else ""

        return re.sub(r"\[(.*?)\]", option, self.formula)


def reading_text(worked: Reasoning) -> str:
    """A reading's value as it is printed: lengths as on a tape, forces whole, ratios to two places.

    >>> reading_text(Reasoning("thrust", "Thrust", 2236.07, "lb", "", ""))
    '2,236 lb'
    >>> reading_text(Reasoning("r", "Bending", 0.5515, "", "", ""))
    '0.55'
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
    whole = worked.unit in ("lb", "plf", "lb·ft", "psi") and abs(value) >= 100
    return f"{value:,.0f} {worked.unit}" if whole else f"{value:.1f} {worked.unit}"


def find_row(rows: Sequence[Reading], name: str, what: str = "Reading") -> Reading:
    """The row of a reading's name.  InputError for one that is not among the rows; ``what`` says what is looked for."""
    for row in rows:
        if isinstance(name, str) and row.name == name:
            return row
    raise InputValue(name, what, "", "").refusal(f"is not {' or '.join(row.name for row in rows)}")


@dataclass(frozen=True)
class Rows:
    """Readings worked from symbols; what a row gives is a symbol to the rows below it, unless one has its name already.

    ``subject`` names whose mistakes people make with them.  ``nearest`` is how near a length is read, in (0: to one
    part in a hundred, as other numbers are).  ``tape``: lengths are printed as on a tape, short ones too, and shares in
    percent.
    """

    rows: tuple[Reading, ...]
    symbols: Symbols
    subject: str = ""
    nearest: float = 0.0
    tape: bool = False

    @cached_property
    def _within(self) -> Symbols:
        """The symbols as the rows see them."""
        values = dict(self.symbols)
        for row in self.rows:
            if row.name not in values:
                values[row.name] = row.of(values)
        return values

    @cached_property
    def all(self) -> Symbols:
        """Every symbol and every reading by name, as values."""
        within = self._within
        return within | {row.name: row.of(within) for row in self.rows if row.name in self.symbols}

    def with_(self, symbols: Symbols) -> Rows:
        """The same rows with some symbols changed."""
        return replace(self, symbols=self.symbols | symbols)

    def row(self, name: str) -> Reading:
        """The row of a reading's name.  InputError for one that is not among the rows."""
        return find_row(self.rows, name)

    def reading(self, name: str) -> Reasoning:
        """A reading with its reasoning.  InputError for one that is not among the rows."""
        return self.row(name).work(self._within)

    def text(self, name: str) -> str:
        """A reading's value as it is printed."""
        row = self.row(name)
        worked = Reasoning(name, row.label, self.all[name], row.unit, "", "")
        if self.tape and not isinstance(worked.value, str) and row.unit in ("in", ""):
            return feet_inches(worked.value) if row.unit == "in" else f"{100 * worked.value:.0f} %"
        return reading_text(worked)
