"""Mistakes by subject, one file each, and the engine: the number each makes of a reading, and how near is near.

Practice answers with the mistake that fits what was typed; a question is drawn so that every mistake that applies
stands apart from the right answer and from the others.  A mistake is said to *fit*, never to *be* what happened.  Which
are usual is common practice of teaching, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.formulas import formula_with_numbers, value_of
from rooflab.base.lumber import WIDTHS
from rooflab.base.measure import InputError, feet_inches, pitch_text
from rooflab.base.rows import Reading, Rows, Symbols
from rooflab.house.planes import Bay
from rooflab.house.readings import reading_of

from .common import GENERAL, Mistake
from .cutting import CUT_MISTAKES
from .field import FIELD_MISTAKES
from .frame import FRAME_MISTAKES
from .loads import LOAD_MISTAKES
from .rafter import RAFTER_MISTAKES
from .room import ROOM_MISTAKES
from .thrust import THRUST_MISTAKES
from .truss import ALIKE, TRUSS_MISTAKES
from .warmth import WARM_MISTAKES

__all__ = ["ALIKE", "BAY_MISTAKES", "SAME", "MISTAKES", "Fit", "Mistake", "Symbols", "Words", "fits", "mistakes_of"]

BAY_MISTAKES: tuple[Mistake, ...] = (*RAFTER_MISTAKES, *TRUSS_MISTAKES)
MISTAKES: dict[str, tuple[Mistake, ...]] = {
    **dict.fromkeys(("rafter", "scissor", "jog"), BAY_MISTAKES),
    "cutting": (*RAFTER_MISTAKES, *CUT_MISTAKES),
    "": GENERAL,
    "loads": (*GENERAL, *LOAD_MISTAKES),
    "thrust": (*GENERAL, *THRUST_MISTAKES),
    "frame": (*GENERAL, *THRUST_MISTAKES, *FRAME_MISTAKES),
    "room": (*GENERAL, *ROOM_MISTAKES),
    "warmth": (*GENERAL, *WARM_MISTAKES),
    "field": (*GENERAL, *FIELD_MISTAKES),
}
"""The mistakes by the subject of the rows that they are made with."""

# --- how near is near ------------------------------------------------------------------------------------------------

EXACT = {"rafter", "scissor", "jog", "cutting"}  # subjects whose answers are read from a tape or a protractor
SAME = {"in": 1 / 16, "degrees": 0.25, "": 0.0025}  # there, answers nearer than this count as right, by unit
CLEAR = 1.5  # there, numbers further apart than so many times that are told apart, though they are rounded when typed
EQUAL = {"cutting": 1e-6}  # numbers nearer than this are equal by algebra, and count as one
NEAR = 0.01  # elsewhere an answer this near, as a part of it, is right: slide-rule accuracy
APART = 2.03  # there, a wrong number so many times that from the right one: what is typed is near one of them only
LEAST = {"in": 1 / 16, "R": 0.5}  # or this near, by unit
LARGEST = 1e9  # no wrong number is larger


def near(rows: Rows, unit: str, value: float) -> float:
    """How far off an answer may be and still be right, in its unit: as lengths are read, or one part in a hundred."""
    if rows.subject in EXACT:
        return SAME[unit]
    if unit == "in" and rows.nearest:
        return rows.nearest
    return max(NEAR * abs(value), LEAST.get(unit, 0.0))


def fits_within(rows: Rows, unit: str, wrong: float) -> float:
    """How far off an answer may be and fit a mistake: no further than ``near``, nor where the right one may begin."""
    most = near(rows, unit, wrong)
    return most + 1e-9 if rows.subject in EXACT else min(max(NEAR * abs(wrong), LEAST.get(unit, 0.0) / 2), most)


def shows(rows: Rows, unit: str, right: float, wrong: float) -> bool:
    """True where a mistake's number can be told from the right one."""
    if rows.subject in EXACT:
        return abs(wrong - right) > SAME[unit] and (rows.subject != "cutting" or wrong > 0)
    apart = 2 * rows.nearest - 1e-9 if rows.nearest and unit == "in" else APART * NEAR * abs(right)
    return 0 < wrong < LARGEST and abs(wrong - right) > apart


def clear(rows: Rows, name: str, every: Sequence[Fit]) -> bool:
    """True where the right answer and every mistake that applies can be told from each other, even on a tape.

    Mistakes that are equal by algebra count as one.

    >>> cuts = [{"D": 7.25, "m": 0.75, "bearing": 5.5, "seat": seat} for seat in (2.5, 5.5)]
    >>> heels = [Rows((reading_of("rafter", "heel"),), symbols, "rafter") for symbols in cuts]
    >>> [clear(heel, "heel", fits(heel, "heel")) for heel in heels]  # a full seat's inside face is as without a seat
    [True, False]
    """
    right, equal = rows.all[name], EQUAL.get(rows.subject, 0.0)
    every = [fit for fit in every if abs(fit.value - right) > equal] if equal else every
    first = {mistake: group[0] for group in ALIKE.get(f"{rows.subject}.{name}", ()) for mistake in group}
    numbers = {first.get(fit.mistake.name, fit.mistake.name): fit.value for fit in every}
    if rows.subject == "cutting":
        numbers = {str(i): fit.value for i, fit in enumerate(every) if fit.value > 0}
    least = CLEAR * SAME[rows.row(name).unit]
    return all(b - a < equal or b - a > least for a, b in pairwise(sorted([right, *numbers.values()])))


# --- the number of a mistake -----------------------------------------------------------------------------------------


class Fit(NamedTuple):
    """A mistake, the number it makes of a reading, and the formula it was made with, where it is another one."""

    mistake: Mistake
    value: float
    formula: str


@lru_cache(512)
def _possible(subject: str, name: str) -> tuple[Mistake, ...]:
    """The mistakes that can happen to a reading, whatever its numbers."""
    names = {name, f"{subject}.{name}"}
    return tuple(
        mistake
        for mistake in MISTAKES[subject]
        if (not mistake.only or names & set(mistake.only)) and not names & set(mistake.but)
    )


@lru_cache(1024)
def rewritten(how: str | Callable[[str], str], formula: str) -> str:
    """The wrong formula's text; "" where the mistake cannot happen."""
    return how(formula) if callable(how) else how.replace("{f}", formula)


def _fit(mistake: Mistake, rows: Rows, row: Reading, right: float) -> Fit | None:
    try:
        if mistake.when and not mistake.when(rows.symbols, right):
            return None
        if mistake.result:
            return Fit(mistake, float(mistake.result(right, rows.all)), "")
        if mistake.change:
            changed = changes(mistake, rows)
            return Fit(mistake, float(_once(rows, row, changed)), "") if changed else None
        text = rewritten(mistake.how, row.formula_for(rows.symbols) if "[" in row.formula else row.formula)
        return Fit(mistake, value_of(text, rows.symbols), text) if text else None
    except (InputError, KeyError, ZeroDivisionError):  # a mistake with something that is not there, or cannot be worked
        return None


def _once(rows: Rows, row: Reading, changed: Symbols) -> float:
    value: float = row.of(rows.symbols | changed) if len(rows.rows) == 1 else rows.with_(changed).all[row.name]
    return value


def changes(mistake: Mistake, rows: Rows) -> Symbols:
    """The symbols of the rows that a mistake changes, with their wrong values."""
    changed, used = mistake.change(rows.symbols) if mistake.change else {}, _symbols_of(rows.rows)
    return {name: value for name, value in changed.items() if name in used and value != rows.symbols[name]}


@lru_cache(256)
def _symbols_of(rows: tuple[Reading, ...]) -> frozenset[str]:
    return frozenset(name for row in rows for name in row.args.split())


def fits(rows: Rows, name: str) -> tuple[Fit, ...]:
    """Every mistake that applies to a reading of these rows, with the number it gives."""
    row, right = rows.row(name), rows.all[name]
    if isinstance(right, str):
        return ()
    found = (_fit(mistake, rows, row, right) for mistake in _possible(rows.subject, name))
    return tuple(fit for fit in found if fit is not None)


def mistake_working(fit: Fit, row: Reading, rows: Rows) -> str:
    """The arithmetic of a mistake, with its numbers in."""
    if fit.formula:
        return formula_with_numbers(fit.formula, rows.symbols)
    changed = rows.symbols | changes(fit.mistake, rows)
    return formula_with_numbers(row.formula_for(changed), changed)


def speaks(worked: str) -> bool:
    """False where a mistake's working is no help: the slope in it is no pitch that anybody would have used, or it is a
    number alone.

    >>> speaks("9.25 − (8/12) × 3.5"), speaks("arctan((20.571429/12))"), speaks("(84/12) × 144"), speaks("3.5")
    (True, False, False, False)
    """
    if re.fullmatch(r"[\d.]+", worked):
        return False
    pitches = [float(found) for found in re.findall(r"\(([\d.]+)/12\)", worked)]
    return all(pitch <= 24 and (100 * pitch).is_integer() for pitch in pitches)


# --- words -----------------------------------------------------------------------------------------------------------

LENGTHS = {"depth": ("D", "d_t"), "overhang": ("o",), "jog": ("j",), "ridge": ("t",)}  # others by their own symbol


class Words(dict[str, str]):
    """The numbers of a house in words, for the sentences; each is made when a sentence asks for it.

    >>> "{pitch}, {nominal}, {plumb_cut}".format_map(Words("D m seat", {"D": 9.25, "m": 0.5, "seat": 3.0}))
    '6 in 12, 2x10, 1 1/2"'
    """

    def __init__(self, args: str, symbols: Symbols) -> None:
        """``args`` are a reading's symbols: the slope meant is the ceiling's where only that acts."""
        super().__init__()
        self._symbols = symbols
        self._own = "m" if "m" in args.split() or "c" not in symbols else "c"

    def __missing__(self, name: str) -> str:
        self[name] = self._word(name)
        return self[name]

    def _word(self, name: str) -> str:
        if name == "ceiling_pitch":
            return pitch_text(round(12 * self._symbols.get("c", 0.0), 4))
        if name in ("pitch", "plain", "slope", "ratio", "stretch", "plumb_cut"):
            return self._of_slope(name, self._symbols[self._own])
        if name == "nominal":
            return "2x" + next((f"{size}" for size, dressed in WIDTHS.items() if dressed == self._length("depth")), "")
        return feet_inches(float(self._length(name)))

    def _of_slope(self, name: str, slope: float) -> str:
        if name == "pitch":
            return pitch_text(round(12 * slope, 4))
        if name == "plumb_cut":
            return feet_inches(float(slope * self._length("seat")))
        if name in ("ratio", "stretch"):
            return f"{slope if name == 'ratio' else float(geo.stretch(slope)):.3f}"
        return f"{round(12 * slope, 4):g}" + ("/12" if name == "slope" else "")

    def _length(self, name: str) -> float:
        own = (self._symbols[symbol] for symbol in LENGTHS.get(name, (name,)) if symbol in self._symbols)
        value: float = next(own, 0.0)
        return value


def bay_rows(bay: Bay, name: str) -> Rows:
    """A reading of a bay, to be worked from the bay's symbols.  InputError for one that the bay does not have."""
    return Rows((reading_of(bay.kind, name),), {**bay.symbols(), "span": bay.gable.span}, bay.kind)


def mistakes_of(bay: Bay, name: str) -> tuple[tuple[Mistake, float], ...]:
    """Every mistake that shows in a reading of this bay, with its sentence filled in and the number it gives.

    >>> from rooflab import Gable, RafterBay
    >>> [mistake.name for mistake, _ in mistakes_of(RafterBay(Gable("24'", 9, "7 1/4")), "notch_depth")][-2:]
    ['multiplied by the stretch', 'limit for notch']
    """
    rows = bay_rows(bay, name)
    row, words, right = rows.row(name), Words(rows.row(name).args, rows.symbols), rows.all[name]
    return tuple(
        (fit.mistake._replace(sentence=fit.mistake.sentence.format_map(words)), fit.value)
        for fit in fits(rows, name)
        if shows(rows, row.unit, right, fit.value)
    )
