"""One control: a text box with a slider or choices, how its text is read, and how a number is written in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any, NamedTuple, TypedDict

from rooflab.base.inputs import INPUTS, Input, read_word
from rooflab.base.measure import InputError
from rooflab.checks.grades import QUANTITIES
from rooflab.draw.views.choices import choice_svg

Reader = Callable[[str, list[str]], Any]
Boxes = dict[str, Any]
"""What controls read, by name: numbers, words, the ends of a house; None where a control is left to the program."""


class Spec(TypedDict, total=False):
    """A control as the page builds it; the view for the table adds what stands in it, and its own kinds of control."""

    name: str
    label: str
    low: float  # of the slider
    high: float
    step: float
    choices: Sequence[str]
    ordered: bool  # the choices are a slider; else buttons or a list
    typed: bool  # something else may be typed
    pictures: Sequence[str]  # SVG of the choices, "" where the word says all
    follow: str  # label of the box that lets it follow
    kind: str  # "number", "choice", "text", "lines" or "button"
    text: str  # as it is typed
    number: float | None  # where the slider stands
    bad: bool  # the text cannot be used
    off: bool  # it cannot be moved
    value: str  # that a button sends
    rows: int  # of a box for words
    enter: str  # the button that Enter presses
    hint: str
    of: str  # what it is about, where its name does not say it
    on: str  # its place on a sheet of paper, as CSS


class Field(TypedDict, total=False):
    """What stands in a control of a panel."""

    number: float | None  # where the slider stands
    text: str  # as it is written
    bad: bool  # the text cannot be read
    off: bool  # it cannot be moved
    raw: str  # the text that was sent
    follows: bool  # it follows a number of the program's
    high: float  # where the slider ends now


class Control(NamedTuple):
    """A control: name, label, range and step of its slider, text at the start, how it reads a text, writes a number.

    ``choices`` are words on the slider; with a reader other texts can be typed beside them.  ``word`` is a text that
    leaves the number to the program ("by slope"); ``follow`` labels a box that leaves it to the program while ticked.
    """

    name: str
    label: str
    low: float
    high: float
    step: float
    start: str
    read: Reader | None
    show: Callable[[float], str]
    choices: tuple[str, ...] = ()
    word: str = ""
    follow: str = ""
    ordered: bool = False  # the choices are sizes: they keep a slider
    rows: int = 0  # of a box for a list, which has no slider

    def value(self, text: str | None, problems: list[str]) -> Any:
        """The number or word that a text stands for, or what is typed in its place; None: left to the program."""
        if text is None or (self.word and text.strip().lower() == self.word):
            return None
        if self.choices:
            tidy = " ".join(text.split())
            if tidy in self.choices:
                return tidy
            if self.read is None:
                read_word(self.label, tidy, self.choices, problems)
            else:
                self.read(text, problems)
            return text
        assert self.read is not None
        return self.read(text, problems)

    def spec(self) -> Spec:
        """The control as the page builds it."""
        spec: Spec = {"name": self.name, "label": self.label, "low": self.low, "high": self.high}
        spec["step"] = self.step
        if self.rows:
            spec.update({"kind": "lines", "rows": self.rows})
        if self.choices:
            spec.update({"choices": self.choices, "low": 0, "high": len(self.choices) - 1, "step": 1})
            spec.update({"ordered": self.ordered, "typed": self.read is not None})
            if not self.ordered:
                spec["pictures"] = [choice_svg(self.name, one) for one in self.choices]
        return spec | ({"follow": self.follow} if self.follow else {})

    def field(self, text: str) -> Field:
        """Where the slider stands for a text, how the text is written, and whether it cannot be read."""
        number, written_text, bad = _stands(self, text)
        return {"number": number, "text": written_text, "bad": bad, "off": False}


@lru_cache(1024)
def _stands(control: Control, text: str) -> tuple[float | None, str, bool]:
    """Where the slider of a control stands for a text, the text as it is written, and whether it cannot be read."""
    problems: list[str] = []
    value = control.value(text, problems)
    if problems or value is None or control.rows:
        return None, text, bool(problems)
    if isinstance(value, str) and not control.choices:  # words have no place on a slider
        return None, text, False
    if control.choices:
        return (control.choices.index(value) if value in control.choices else None), value, False
    return value, control.show(value), False


def range_control(
    row: Input, low: float | None = None, high: float | None = None, step: float | None = None, start: object = None,
    how: Callable[[Any, str], float] | None = None,
) -> Control:  # fmt: skip
    """The control of a range; its slider may end before what can be typed, which ``how`` may read in a way of its own.

    What is not said is the range's own.  A number is written as a tape or a pitch reads where that says the same, else
    in decimals.
    """

    def read(text: str, problems: list[str]) -> object:
        return row.read(text, problems, how)

    return Control(
        row.name,
        row.label,
        row.low if low is None else low,
        row.high if high is None else high,
        row.step if step is None else step,
        str(row.default if start is None else start),
        read,
        row.exact,
    )


def house_control(
    name: str, label: str, low: float | None = None, high: float | None = None, start: object = None
) -> Control:
    """The control of an input of a house, a row of ``INPUTS``."""
    return range_control(INPUTS[name], low, high, start=start)._replace(label=label)


def quantity_control(
    name: str, label: str, low: float, high: float, step: float, start: str, unit: str = "", word: str = "",
    row: str = "",
) -> Control:  # fmt: skip
    """The control of a load, an R or another number of ``QUANTITIES``; the unit may be typed with it."""

    def read(text: str, problems: list[str]) -> float:
        bare = re.sub(r"(psf|lb/ft[²2]|lb|R)$", "", text.strip()).strip()
        return QUANTITIES[row or name].read(re.sub(r"^R-?", "", bare), problems)

    def show(number: float) -> str:
        return f"{number:.10g} {unit}".strip()

    return Control(name, label, low, high, step, start, read, show, (), word)


def choice_control(
    name: str, label: str, choices: Sequence[str], start: str, other: Reader | None = None, ordered: bool = False
) -> Control:
    """A control for one of several words, ``ordered`` on a slider; ``other`` reads what may be typed beside them."""
    return Control(name, label, 0, 0, 1, start, other, str, tuple(choices), ordered=ordered)


def nearest_step(control: Control, number: float) -> float:
    """The number of a control's slider that is nearest."""
    steps = round((min(max(number, control.low), control.high) - control.low) / control.step)
    return control.low + steps * control.step


def list_control(name: str, label: str, rows: int, read: Callable[[str, str], object]) -> Control:
    """A box for a list of so many rows, empty at the start; ``read`` takes the text and the label, InputError and all.

    The topic is given the text as it was typed.
    """

    def text_of(text: str, problems: list[str]) -> str:
        try:
            read(text, label)
        except InputError as error:
            problems.extend(error.problems)
        return text

    return Control(name, label, 0, 0, 0, "", text_of, str, rows=rows)
