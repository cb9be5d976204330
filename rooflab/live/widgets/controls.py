"""Controls of the panels on loads, forces and insulation: how a text is read, and how a number is written."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from rooflab.base.inputs import INPUTS, read_word
from rooflab.base.measure import InputError, feet_inches, inches
from rooflab.checks.grades import QUANTITIES


class Control(NamedTuple):
    """A control: name, label, range and step of its slider, start, how a text is read and a number written.

    ``choices`` are words on the slider; ``word`` is a text that leaves the number to the program ("by slope").
    """

    name: str
    label: str
    low: float
    high: float
    step: float
    start: str
    read: Callable[[str, list[str]], float]
    show: Callable[[float], str]
    choices: tuple[str, ...] = ()
    word: str = ""

    def value(self, text: str, problems: list[str]) -> Any:
        """What the text stands for: a number, a choice, or None for ``word``."""
        if self.word and text.strip().lower() == self.word:
            return None
        if self.choices:
            tidy = " ".join(text.split())
            read_word(self.label, tidy, self.choices, problems)
            return tidy
        return self.read(text, problems)

    def spec(self) -> dict[str, Any]:
        spec: dict[str, Any] = {"name": self.name, "label": self.label, "low": self.low, "high": self.high}
        spec["step"] = self.step
        if self.choices:
            spec.update(choices=self.choices, low=0, high=len(self.choices) - 1, step=1)
        return spec

    def field(self, text: str) -> dict[str, Any]:
        """Where the slider stands for a text, how the text is written, and whether it cannot be read."""
        problems: list[str] = []
        value, number, shown = self.value(text, problems), None, text
        if not problems and self.choices:
            number, shown = self.choices.index(value), value
        elif not problems and value is not None:
            number, shown = value, self.show(value)
        return {"number": number, "text": shown, "bad": bool(problems), "off": False}


def house(name: str, label: str, low: float | None = None, high: float | None = None, start: Any = None) -> Control:
    """A control for a row of ``INPUTS``; its slider may end before what can be typed."""
    row = INPUTS[name]
    first = row.default if start is None else start

    ends = row.low if low is None else low, row.high if high is None else high
    return Control(name, label, *ends, row.step, str(first), lambda text, problems: row.read(text, problems), row.exact)


def quantity(
    name: str, label: str, low: float, high: float, step: float, start: str, unit: str = "", word: str = "",
    row: str = "",
) -> Control:  # fmt: skip
    """A control for a row of ``QUANTITIES``; the unit may be typed with the number."""

    def read(text: str, problems: list[str]) -> float:
        bare = re.sub(r"\s*(lb/ft²|lb/ft2|psf|lb|R)\s*$", "", text.strip())
        return QUANTITIES[row or name].read(re.sub(r"^R-?", "", bare), problems)

    def show(number: float) -> str:
        return f"{number:.10g} {unit}".strip()

    return Control(name, label, low, high, step, start, read, show, (), word)


def choice(name: str, label: str, choices: Sequence[str], start: str) -> Control:
    """A control that steps through words."""
    return Control(name, label, 0, 0, 1, start, lambda text, problems: 0.0, str, tuple(choices))


def measured(name: str, label: str, low: float, high: float, step: float, start: str) -> Control:
    """A length that no house has: read and written as on a tape."""

    def read(text: str, problems: list[str]) -> float:
        try:
            value = inches(text, label)
        except InputError as error:
            problems.extend(error.problems)
            return float("nan")
        if not low <= value <= high:
            problems.append(f"{label} {feet_inches(value)}: allowed is {feet_inches(low)} to {feet_inches(high)}.")
        return value

    return Control(name, label, low, high, step, start, read, feet_inches)
