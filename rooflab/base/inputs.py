"""Inputs: what can be asked of a house, one row each.

``INPUTS`` drives validation, controls, the job file and the ranges of practice and tests.  What people type is read
here; everything wrong is gathered and raised at once.
"""

from __future__ import annotations

import math
import numbers
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import Any, NamedTuple, TypeVar

from .lumber import CHORDS, RAFTERS, RIDGES, dressed_size
from .measure import InputError, InputValue, decimal, exact, feet_inches, file_length, inches, pitch, pitch_text

Length = float | str
Ends = float | tuple[float, float]
OneOrTwo = Length | tuple[Length, Length]
"""One value for both ends, or (left, right), as people give it: a number or text."""


class Input(NamedTuple):
    """A range with its sentence: name, label, kind, range, step of its control, default (the house of the examples).

    A "length" is read and said as on a tape; a "number" in its ``unit``, decimal (of inches trade text is read too),
    and ``hint`` is what to say to one who missed the unit.
    """

    name: str
    label: str
    kind: str  # "length", "pitch", "number", "choice" or "words"
    low: float
    high: float
    step: float = 0.0
    default: Any = None
    choices: tuple[str, ...] = ()
    unit: str = ""
    hint: str = ""

    def read(self, value: object, problems: list[str], how: Callable[[object, str], float] | None = None) -> float:
        """The value as a number inside the range; what is wrong with it is added to ``problems`` (then nan).

        ``how`` reads it where it may be printed in another way than people type it.
        """
        try:
            number = (how or self._reader())(value, self.label)
        except InputError as error:
            problems.extend(error.problems)
            return math.nan
        if not self.holds(number):
            said = self.show(number)
            if self.kind != "number" and said in map(self._end, (self.low, self.high)):
                said = f"{number}"  # a hair beyond the end reads like the end itself
            problems.append(f"{self.label} {said}: allowed is {self.allowed}.{self._feet_hint(value, number)}")
            return math.nan
        return number

    @property
    def allowed(self) -> str:
        """The range in words; one whose high end is infinite is open there."""
        low, high = self._end(self.low), self._end(self.high)
        if not high:
            return f"{low} or more"
        return f"{low.removesuffix(f' {self.unit}') if self.kind == 'number' else low} to {high}"

    def _end(self, number: float) -> str:
        return self.show(number) if math.isfinite(number) else ""

    def holds(self, number: Any) -> Any:
        """Whether a number lies in the range; value by value for an array."""
        return (self.low <= number) & (number <= self.high)

    def _reader(self) -> Callable[[object, str], float]:
        if self.kind == "number":
            return inches if self.unit == "in" else plain_number
        return pitch if self.kind == "pitch" else inches

    def with_label(self, label: str) -> Input:
        """The same range under another label."""
        return self._replace(label=label)

    def show(self, number: float) -> str:
        """A number as it is printed."""
        if self.kind == "number":
            return f"{number:.10g} {self.unit}".rstrip()
        return pitch_text(number) if self.kind == "pitch" else feet_inches(number)

    def exact(self, number: float) -> str:
        """A number as a box shows it: as it is printed where that says the same, else in decimals."""
        if self.kind == "pitch":
            text = pitch_text(number)
            return text if pitch(text) == number else decimal(number)
        return exact(number) if self.kind == "length" else self.show(number)

    def file_value(self, number: float) -> str | float:
        """A number as a file holds it: trade text where that reads back to the same number."""
        if self.kind == "pitch":
            text = pitch_text(number)
            return text if pitch(text) == number else number
        return file_length(number)

    def _feet_hint(self, value: object, number: float) -> str:
        """A hint: a bare number in a box for a long length was probably meant in feet."""
        if self.hint:
            return f" {self.hint}"
        bare = isinstance(value, (int, float, str)) and str(value).strip().replace(".", "", 1).isdigit()
        if self.kind == "length" and bare and number < self.low <= 12 * number <= self.high:
            return f" {number:g} in is {feet_inches(number)}; did you mean {number:g}'?"
        return ""


def plain_number(value: object, what: str) -> float:
    """A finite number as it is typed, without a unit.  InputError for anything else."""
    typed = InputValue(value, what, "number", "a plain number such as 20 or 1.15")
    if isinstance(value, bool) or not isinstance(value, (str, numbers.Real)):
        raise typed.refusal()
    plain: Any = typed.short() if isinstance(value, str) else value
    with suppress(ValueError, OverflowError):
        number = float(plain)
        if math.isfinite(number):
            return number
    raise typed.refusal()


INPUTS: dict[str, Input] = {
    row.name: row
    for row in (
        Input("span", "Span, out to out", "length", 96, 720, 6, 312.0),
        Input("pitch", "Roof pitch", "pitch", 1, 24, 0.5, 8.0),
        Input("ceiling_pitch", "Ceiling pitch", "pitch", 0, 23.5, 0.5, 4.0),
        Input("overhang", "Overhang", "length", 0, 48, 1, 16.0),
        Input("bearing", "Bearing (plate)", "length", 1, 16, 0.25, 5.5),
        Input("seat", "Seat", "length", 0, 16, 0.125, 3.5),
        Input("heel", "Truss heel", "length", 0.0625, 60, 0.0625, 8.8125),
        Input("plate_height", "Plate above floor", "length", 0, 480, 1, 97.125),
        Input("plate", "Plate offset", "length", -120, 120, 0.0625, 0.0),
        Input("window_head", "Eave window head above floor", "length", 0, 480, 1, 82.0),
        Input("lumber", "Rafter", "choice", 0, 0, 0, "2x10", RAFTERS),
        Input("depth", "Rafter depth", "length", 2, 24, 0.0625, 9.25),
        Input("chord", "Top chord", "choice", 0, 0, 0, "2x4", CHORDS),
        Input("bottom_chord", "Bottom chord", "choice", 0, 0, 0, "2x4", CHORDS),
        Input("ridge", "Ridge board", "choice", 0, 0, 0, "2x12", ("none", *RIDGES)),
        Input("sheathing", "Roof sheathing", "length", 0, 2, 0.0625, 0.5, ("7/16", "1/2", "5/8", "3/4")),
        Input("jog", "Set-in of the wall", "length", -240, 360, 1, 24.0),
    )
}


def read_ends(name: str, value: object, problems: list[str]) -> Ends:
    """One value, or two as (left, right), read by the row of ``INPUTS``; two equal ones become one."""
    if isinstance(value, (tuple, list)):
        if len(value) != 2:
            _refuse(value, INPUTS[name].label, "is not one value or two as (left, right)", problems)
            return float("nan")
        left, right = (INPUTS[name].read(one, problems) for one in value)
        return left if left == right else (left, right)
    return INPUTS[name].read(value, problems)


def read_size(name: str, value: object, problems: list[str]) -> tuple[float, float]:
    """Dressed thickness and depth of a piece of lumber standing on edge."""
    row = INPUTS["depth"]
    try:
        thickness, depth = dressed_size(value, INPUTS[name].label)
    except InputError as error:
        problems.extend(error.problems)
        return float("nan"), float("nan")
    if not row.low <= depth <= row.high or thickness > depth:
        allowed = f"a depth of {row.show(row.low)} to {row.show(row.high)} and a thickness of at most the depth"
        _refuse(value, INPUTS[name].label, f"is no such piece; allowed is {allowed}", problems)
    return thickness, depth


def read_word(what: str, value: object, allowed: tuple[str, ...], problems: list[str]) -> None:
    """Check a word against the ones allowed; what is wrong with it is added to ``problems``."""
    if not isinstance(value, str) or value not in allowed:
        _refuse(value, what, f"is not {' or '.join(allowed)}", problems)


def _refuse(value: object, what: str, reason: str, problems: list[str]) -> None:
    problems.extend(InputValue(value, what, "", "").refusal(reason).problems)


def must_be(value: object, kind: type, what: str, noun: str = "") -> None:
    """InputError where a value is not of a class of ours (a Gable, a bay) or not a plain True or False.

    ``what`` is the quantity, ``noun`` the class in words with its article, where its name does not read as words.
    """
    if not isinstance(value, kind):
        problems: list[str] = []
        article = "an" if kind.__name__[0] in "AEIO" else "a"
        noun = "True or False" if kind is bool else noun or f"{article} {kind.__name__}"
        _refuse(value, what, f"is not {noun}", problems)
        stop_on(problems)


def stop_on(problems: Iterable[str]) -> None:
    """Raise all the problems at once, if there are any."""
    if found := tuple(dict.fromkeys(problems)):
        raise InputError(found)


def pair(value: Ends) -> tuple[float, float]:
    """(left, right) of a value that stands for both."""
    return value if isinstance(value, tuple) else (value, value)


Value = TypeVar("Value")


def attempt(problems: list[str], read: Callable[..., Value], /, *args: object, **named: object) -> Value | None:
    """What ``read`` makes of its arguments; None, and its problems added to the others, where it refuses."""
    try:
        return read(*args, **named)
    except InputError as error:
        problems.extend(error.problems)
        return None
