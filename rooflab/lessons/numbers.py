"""Questions on loads, forces and insulation: any reading worked from symbols, and the slips people make with it.

As for lengths, a slip changes the symbols a reading is worked from, or the finished number; it is said to *fit*, never
to *be* what happened.  Which slips are usual is common practice of teaching, no source.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from rooflab.base.measure import Entry, InputError, inches
from rooflab.base.rows import Rows, Worked, printed

from .questions import Feedback
from .slips.loads import SLIPS, Wrong
from .slips.room import ROOM_SLIPS
from .slips.site import SITE_SLIPS, WARM_SLIPS

NEAR = 0.01  # an answer this near, as a part of it, is right: slide-rule accuracy
LEAST = {"in": 1 / 16, "R": 0.5}  # or this near, by the unit
UNITS = {"in": "feet and inches, or decimal inches", "": "a ratio such as 0.85, or per cent",
         "R": "an R-value", "times": "a plain number"}  # fmt: skip


def slack(numbers: Rows, unit: str, value: float) -> float:
    """How far off an answer may be and count as right: one part in a hundred, or as near as its lengths are read."""
    if unit == "in" and numbers.nearest:
        return numbers.nearest
    return max(NEAR * abs(value), LEAST.get(unit, 0.0))


def apart(numbers: Rows, name: str, right: float) -> float:
    """How far off a wrong number must be to be told from the right one."""
    if numbers.nearest and numbers.row(name).unit == "in":
        return 2 * numbers.nearest - 1e-9
    return 2.5 * NEAR * abs(right)


OWN = {"room": ROOM_SLIPS, "warmth": WARM_SLIPS, "field": SITE_SLIPS}


def own_slips(subject: str) -> tuple[Wrong, ...]:
    """The mistakes that only one subject knows."""
    return OWN.get(subject, ())


def number_slips(numbers: Rows, name: str) -> list[tuple[Wrong, float]]:
    """Each mistake that changes a reading, with the number it gives; the right answer's neighbours left out."""
    right, found, values = float(numbers.worked(name).value), list[tuple[Wrong, float]](), numbers.all
    for slip in (*SLIPS, *own_slips(numbers.subject)):
        if slip.only and name not in slip.only:
            continue
        try:
            changed = slip.change(numbers.symbols) if slip.change else {}
            wrong = float(Rows(numbers.rows, numbers.symbols | changed).worked(name).value)
            wrong = slip.result(wrong, values) if slip.result else wrong
        except (InputError, ZeroDivisionError, KeyError):
            continue
        if 0 < wrong < 1e9 and abs(wrong - right) > apart(numbers, name, right):
            found.append((slip, wrong))
    return found


class NumberQuestion(NamedTuple):
    """A question for a number: right to one part in a hundred, or to a sixteenth of an inch.

    >>> from rooflab.checks.thrust import THRUST
    >>> pair = Rows(THRUST, dict(dead=0.0, live=30.0, m=2 / 3, s=16.0, l=144.0, r=144.0, h=96.0, tie=0.0))
    >>> one = NumberQuestion("How hard do the rafters push?", pair, "thrust")
    >>> one.judge("360 lb").right, one.judge("270").slip
    (True, 'spacing left out')
    """

    prompt: str
    numbers: Rows
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
        if abs(given - right.value) <= slack(self.numbers, right.unit, right.value) + 1e-9:
            return Feedback(True, "", f"{right.label} {printed(right)}, from {right.formula} = {right.worked}.")
        fits = sorted(((abs(given - wrong), slip, wrong) for slip, wrong in number_slips(self.numbers, self.reading)),
                      key=lambda fit: fit[0])  # fmt: skip
        half = LEAST.get(right.unit, 0.0) / 2
        near = [slip for off, slip, wrong in fits
                if off <= min(max(NEAR * abs(wrong), half), slack(self.numbers, right.unit, wrong))][:2]  # fmt: skip
        if near:
            also = [slip.sentence.replace("That fits", "Or it is", 1) for slip in near[1:]]
            return Feedback(False, near[0].name, " ".join([near[0].sentence, *also]))
        way = "smaller" if given > right.value else "larger"
        typed = printed(right._replace(value=given))
        return Feedback(
            False, "", f"{typed} is not it, and no usual slip gives it: the answer is {way}. Use {right.formula}."
        )

    def show(self) -> str:
        """The whole working, for those who ask."""
        w = self.worked
        return f"{w.label}: {w.formula} = {w.worked} = {printed(w)}."


def _number(text: str, unit: str) -> float:
    """An answer as a number: trade text for lengths, per cent for ratios, thousands and a unit allowed."""
    if unit == "in":
        return inches(text, "Answer")
    plain = text.strip().replace("−", "-").replace(",", "")
    bare = re.fullmatch(r"(?:R-?)?\s*([-+]?[0-9]*\.?[0-9]+)\s*(%|[^\d.]*)", plain, re.I)
    if not bare:
        raise Entry(text, "Answer", "number", "a plain number such as 360 or 0.85").refusal()
    return float(bare[1]) / (100 if bare[2].strip() == "%" else 1)
