"""Slips at work: what each makes of a reading, when it applies, and its sentence with the numbers at hand.

The registry stands in ``mistakes`` and ``trussmistakes``.  Practice answers with the slip that fits what was typed; a
question is drawn so that every slip that applies stands apart from the right answer and from the others.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.formulas import value_of
from rooflab.base.lumber import WIDTHS
from rooflab.base.measure import feet_inches, pitch_text
from rooflab.base.rows import Reading, put_in
from rooflab.house.planes import Bay
from rooflab.house.readings import READINGS

from .rafter import RAFTER_SLIPS, Slip, Symbols
from .truss import ALIKE, TRUSS_SLIPS

__all__ = ["ALIKE", "SAME", "SLIPS", "Slip", "Symbols", "apart", "made", "slips_of", "words"]

SLIPS: tuple[Slip, ...] = (*RAFTER_SLIPS, *TRUSS_SLIPS)
SAME = {"in": 1 / 16, "degrees": 0.25, "": 0.0025}  # answers nearer than this count as right, by the reading's unit
CLEAR = 1.5  # numbers further apart than so many times that are told apart, though they are rounded when typed


class Made(NamedTuple):
    """A slip, the number it makes of a reading, and the formula it was made with, with the numbers in."""

    slip: Slip
    value: float
    worked: str


@lru_cache(256)
def _possible(bay: str, name: str) -> tuple[Slip, ...]:
    """The slips that can happen to a reading, whatever its numbers."""
    row = _row(bay, name)
    if row.unit not in SAME or row.name == "heel_state":
        return ()
    names = {name, f"{bay}.{name}"}
    found = [slip for slip in SLIPS if (not slip.only or names & set(slip.only)) and not names & set(slip.but)]
    return tuple(slip for slip in found if slip.name != "feet read as inches" or row.unit == "in")


def _row(bay: str, name: str) -> Reading:
    return next(row for row in READINGS if row.bay == bay and row.name == name)


@lru_cache(1024)
def rewritten(how: str | Callable[[str], str], formula: str) -> str:
    """The wrong formula's text; "" where the slip cannot happen."""
    return how(formula) if callable(how) else how.replace("{f}", formula)


def _slipped(slip: Slip, row: Reading, symbols: Symbols, right: float) -> Made | None:
    try:
        if slip.when and not slip.when(symbols, right):
            return None
        if slip.change:
            changed = _changed(slip, row, symbols)
            return Made(slip, float(row.of(symbols | changed)), "") if changed else None
        text = rewritten(slip.how, row.settled(symbols) if "[" in row.formula else row.formula)
        return Made(slip, value_of(text, symbols), text) if text else None
    except KeyError:  # a slip with something that this bay does not have
        return None


def _changed(slip: Slip, row: Reading, symbols: Symbols) -> Symbols:
    """The symbols of a reading that a slip changes, with their wrong values."""
    args, changed = _args(row.args), slip.change(symbols) if slip.change else {}
    return {key: value for key, value in changed.items() if key in args and value != symbols[key]}


@lru_cache(256)
def _args(args: str) -> frozenset[str]:
    return frozenset(args.split())


def working(made_: Made, row: Reading, symbols: Symbols) -> str:
    """The arithmetic of a slip, with its numbers in."""
    if made_.worked:
        return put_in(made_.worked, symbols)
    changed = symbols | _changed(made_.slip, row, symbols)
    return put_in(row.settled(changed), changed)


def speaks(worked: str) -> bool:
    """False where a slip's working is no help: the slope in it is no pitch that anybody would have used.

    >>> speaks("9.25 − (8/12) × 3.5"), speaks("arctan((20.571429/12))"), speaks("(84/12) × 144")
    (True, False, False)
    """
    pitches = [float(found) for found in re.findall(r"\(([\d.]+)/12\)", worked)]
    return all(pitch <= 24 and (100 * pitch).is_integer() for pitch in pitches)


def made(row: Reading, symbols: Symbols) -> tuple[Made, ...]:
    """Every slip that applies to a reading with these symbols, with the number it gives."""
    right = row.of(symbols)
    found = (_slipped(slip, row, symbols, right) for slip in _possible(row.bay, row.name))
    return tuple(one for one in found if one is not None)


def alike(row: Reading) -> tuple[tuple[str, ...], ...]:
    """The groups of slips that give one number of this reading by algebra."""
    return ALIKE.get(f"{row.bay}.{row.name}", ())


def apart(row: Reading, right: float, slips: Sequence[Made]) -> bool:
    """True where the right answer and every slip that applies can be told from each other, even on a tape.

    Slips that are equal by algebra count as one.

    >>> heel = READINGS[0]
    >>> cuts = [{"D": 7.25, "m": 0.75, "bearing": 5.5, "seat": seat} for seat in (2.5, 5.5)]
    >>> [apart(heel, heel.of(s), made(heel, s)) for s in cuts]  # on a full seat the inside face is as without a seat
    [True, False]
    """
    first = {name: group[0] for group in alike(row) for name in group}
    numbers = {first.get(one.slip.name, one.slip.name): one.value for one in slips}
    least, line = CLEAR * SAME[row.unit], sorted([right, *numbers.values()])
    return all(b - a > least for a, b in zip(line, line[1:], strict=False))


class Words(dict[str, str]):
    """Words made when a sentence asks for them."""

    def __init__(self, makers: dict[str, Callable[[], str]]) -> None:
        super().__init__()
        self._makers = makers

    def __missing__(self, name: str) -> str:
        self[name] = self._makers[name]()
        return self[name]


def words(row: Reading, symbols: Symbols) -> Words:
    """The numbers of a bay in words, for the sentences; of the ceiling's slope where only that acts."""
    slope = symbols["m" if "m" in row.args.split() or "c" not in symbols else "c"]
    depth, seat = symbols.get("D", symbols.get("d_t", 0.0)), symbols.get("seat", 0.0)
    lengths = {"depth": depth, "seat": seat, "plumb_cut": slope * seat, "overhang": symbols["o"]}
    lengths |= {"jog": symbols.get("j", 0.0), "ridge": symbols.get("t", 0.0)}
    lengths |= {name: symbols.get(name, 0.0) for name in ("bearing", "heel", "start")}
    return Words({
        "pitch": lambda: pitch_text(round(12 * slope, 4)),
        "ceiling_pitch": lambda: pitch_text(round(12 * symbols.get("c", 0.0), 4)),
        "plain": lambda: f"{round(12 * slope, 4):g}",
        "slope": lambda: f"{round(12 * slope, 4):g}/12",
        "ratio": lambda: f"{slope:.3f}",
        "stretch": lambda: f"{float(geo.stretch(slope)):.3f}",
        "nominal": lambda: "2x" + next((f"{name}" for name, dressed in WIDTHS.items() if dressed == depth), ""),
        **{name: partial(feet_inches, float(value)) for name, value in lengths.items()},
    })  # fmt: skip


def slips_of(bay: Bay, name: str) -> tuple[tuple[Slip, float], ...]:
    """Every slip that shows in a reading of this bay, with its sentence filled in and the number it gives.

    >>> from rooflab import Gable, RafterBay
    >>> [slip.name for slip, _ in slips_of(RafterBay(Gable("24'", 9, "7 1/4")), "notch_depth")][-2:]
    ['multiplied by the stretch', 'limit for notch']
    """
    row, symbols = _row(bay.kind, name), bay.symbols()
    said, right = words(row, symbols), row.of(symbols)
    return tuple(
        (one.slip._replace(sentence=one.slip.sentence.format_map(said)), one.value)
        for one in made(row, symbols)
        if abs(one.value - right) > SAME[row.unit]
    )
