"""Questions: an answer is judged, and a wrong one is answered with the slip that fits it.

A question can be asked on three rungs: worked (its steps shown), half-worked (its steps as blanks, each checked) and
own.  Hints say what to look for, then the formula, then the formula with the numbers in; never the answer.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from rooflab.base.formulas import SLOPES, Step, parsed, plain, steps
from rooflab.base.measure import Entry, InputError, feet_inches, inches
from rooflab.base.rows import Reading, Worked, put_in
from rooflab.house.planes import Bay
from rooflab.house.readings import READINGS

from .prompts import LOOK, MEANS, PARTS, givens
from .slips import SAME, Made, Symbols, apart, made, rewritten, speaks, words, working

__all__ = ["Blank", "Choice", "Feedback", "Option", "Question", "givens", "state_of_heel"]

TIE = 1 / 4  # two slips whose numbers are nearer than this part of SAME fit alike
CLOSE, EARLY = 3.0, 0.002  # nearer than so many times SAME, or such a part of the answer: rounded too early, likely
RATIO = 0.002  # a slope or a stretch nearer than this is right: three decimals
UNITS = {
    "in": "feet and inches, or decimal inches",
    "degrees": "degrees, to one decimal",
    "": "per cent, to one decimal",
}
TRY = "Try again."
ROWS = {(row.bay, row.name): row for row in READINGS}


class Feedback(NamedTuple):
    """The verdict on an answer: right or not, the slip that fits (or "") and what to say."""

    right: bool
    slip: str
    sentence: str


@dataclass(frozen=True)
class Question:
    """A question for a reading of a bay; lengths in trade text or decimal inches, right to a sixteenth.

    Angles are right to a quarter of a degree, parts to a quarter of a per cent.

    >>> from rooflab import Gable, RafterBay
    >>> heel = Question("How high is the heel?", RafterBay(Gable("24'", 9, "7 1/4"), "2x12"), "heel")
    >>> heel.judge("8-5/8").right, heel.judge("14 1/16").slip
    (True, 'seat forgotten')
    """

    prompt: str
    bay: Bay
    reading: str
    choices = ()

    @cached_property
    def row(self) -> Reading:
        return ROWS[self.bay.kind, self.reading]

    @cached_property
    def symbols(self) -> Symbols:
        return {**self.bay.symbols(), "span": self.bay.gable.span}

    @cached_property
    def value(self) -> float:
        return float(self.row.of(self.symbols))

    @property
    def worked(self) -> Worked:
        return self.row.work(self.symbols)

    @cached_property
    def text(self) -> str:
        """The right answer as it is printed."""
        return printed(self.value, self.row.unit)

    @cached_property
    def said(self) -> dict[str, str]:
        """The numbers at hand in words, for the slips' sentences."""
        return words(self.row, self.symbols)

    @property
    def unit(self) -> str:
        return UNITS[self.row.unit]

    @cached_property
    def every(self) -> tuple[Made, ...]:
        """The slips that apply, with their numbers."""
        return made(self.row, self.symbols)

    @cached_property
    def slips(self) -> tuple[Made, ...]:
        """The slips that apply and show."""
        return tuple(one for one in self.every if abs(one.value - self.value) > SAME[self.row.unit])

    @cached_property
    def _workings(self) -> dict[str, str]:
        """The arithmetic of slips, by name, once it was shown."""
        return {}

    @property
    def clear(self) -> bool:
        """True where every slip can be told from the others and the answer, and none of their sentences names it."""
        if not apart(self.row, self.value, self.every):
            return False
        return not any(self.text in one.slip.sentence.format_map(self.said) for one in self.slips)

    def judge(self, text: str) -> Feedback:
        """Right, a slip that fits, or neither: then which way to look.  Unreadable text gets its own sentence.

        Where slips give the same number, all are said: nobody can tell which it was.
        """
        try:
            given = answer(text, self.row.unit)
        except InputError as error:
            return Feedback(False, "", " ".join(error.problems))
        same = SAME[self.row.unit]
        if abs(given - self.value) <= same + 1e-9:
            said = f"{self.row.label} {self.text}, from {self.formula} = {self.numbers}."
            return Feedback(True, "", said)
        near = fitting(given, self.slips, same)
        if near:
            sentences = [one.slip.sentence.format_map(self.said) for one in near]
            also = [sentence.replace("That fits", "Or it is", 1) for sentence in sentences[1:]]
            name = near[0].slip.name
            if name not in self._workings:
                self._workings[name] = working(near[0], self.row, self.symbols)
            shown = f"Such a number comes from {self._workings[name]}. " if speaks(self._workings[name]) else ""
            shown += f"The formula: {self.formula}."
            return Feedback(False, near[0].slip.name, " ".join([sentences[0], *also, shown, TRY]))
        if abs(given - self.value) <= max(CLOSE * same, EARLY * abs(self.value)):
            said = f"Close, but not near enough: round only at the end. {self.formula}. {TRY}"
            return Feedback(False, "", said)
        way = "smaller" if given > self.value else "larger"
        typed = printed(given, self.row.unit)
        said = f"{typed} is not it, and no usual slip gives it: the answer is {way}. Use {self.formula}."
        return Feedback(False, "", said)

    # --- the working

    @cached_property
    def formula(self) -> str:
        """The reading's formula; the run as half of the span where it is."""
        formula, s = self.row.settled(self.symbols), self.symbols
        for name in ("run", "apex"):
            if name in self.row.args.split() and abs(s[name] - s["span"] / 2) < 1e-9:
                half = "span ÷ 2" if formula == name else "(span ÷ 2)"
                formula = re.sub(rf"\b{name}\b", half, formula)
        return formula

    @cached_property
    def numbers(self) -> str:
        """The formula with the numbers in."""
        return put_in(self.formula, self.symbols)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The working, step by step; the last is the answer."""
        return steps(self.formula, self.symbols)

    def show(self) -> str:
        """The whole working, for those who ask."""
        return f"{self.row.label}: {self.formula} = {self.numbers} = {self.text}."

    def lines(self) -> list[str]:
        """The worked rung: a line for each step."""
        last = self.steps[-1]
        answer_ = f"{self.row.label} = {last.part.text} = {last.worked} = {self.text}"
        return [*map(line, self.steps[:-1]), answer_]

    @property
    def slopes(self) -> list[str]:
        """What is worked already on the half-worked rung: the slopes, where they are not asked for."""
        asked = {blank.step.part.text for blank in self.blanks}
        return [line(step) for step in self.steps if step.part.kind == "name" and step.part.text not in asked]

    @cached_property
    def blanks(self) -> tuple[Blank, ...]:
        """The half-worked rung: a blank for each step but the slopes.

        Where there is one step only, the numbers that go into it are asked for first.
        """
        own = [step for step in self.steps if step.part.kind != "name"]
        names = sorted(parsed(self.formula).names, key=self.formula.find)
        put = [Step(parsed(name), "", self.symbols[name], False, "") for name in names] if len(own) == 1 else []
        return tuple(Blank(self, step) for step in (*put, *own))

    @property
    def hints(self) -> tuple[str, ...]:
        """What to look for, the formula, the formula with the numbers in."""
        names = sorted(parsed(self.formula).names, key=self.formula.find)
        means = "; ".join(f"{name} is {MEANS[name]}" for name in names if name in MEANS)
        stretch = "; k is the stretch, k(m) = √(1 + m²)" if "k(" in self.formula else ""
        return (
            LOOK.get(f"{self.bay.kind}.{self.reading}", f"Look at the {self.row.label.lower()} on the section."),
            f"{self.row.label} = {self.formula}. Here {means}{stretch}.",
            f"{self.row.label} = {self.numbers}. Work it out.",
        )


@dataclass(frozen=True)
class Blank:
    """One blank of a half-worked question: a step whose result is asked for."""

    question: Question
    step: Step

    @property
    def label(self) -> str:
        """What is asked for: the step in words and its formula, earlier results by name."""
        part, asked = self.step.part.text, called(self.step.asked)
        if self.step.last:
            return f"{self.question.row.label} = {asked if self.numbered else part}"
        return f"{PARTS.get(part, part)} = {asked}" if asked else f"{part}, {MEANS[part]}"

    @property
    def numbered(self) -> bool:
        """True where its numbers may be shown, because what goes in is not asked for."""
        return bool(self.question.blanks[0].step.asked)

    @property
    def ratio(self) -> bool:
        return self.step.part.kind == "call" or self.step.part.names <= SLOPES

    def judge(self, text: str) -> Feedback:
        """Right, a slip that fits, or which way to look."""
        if self.step.last:
            return self.question.judge(text)
        try:
            given = inches(text, "Answer")
        except InputError as error:
            return Feedback(False, "", " ".join(error.problems))
        same, value = RATIO if self.ratio else SAME["in"], self.step.value
        if abs(given - value) <= same + 1e-9:
            exact = plain(value) if self.ratio else f"{plain(value)} in"
            return Feedback(True, "", f"{self.step.part.text} = {exact}.")
        near = fitting(given, self._slips(same), same)
        if near:
            said = near[0].slip.sentence.format_map(self.question.said)
            return Feedback(False, near[0].slip.name, f"{said} {TRY}")
        way = "smaller" if given > value else "larger"
        return Feedback(False, "", f"It is {way}. {TRY}")

    def _slips(self, same: float) -> tuple[Made, ...]:
        """What the question's slips make of this step."""
        found, part, symbols = [], self.step.part, self.question.symbols
        for one in self.question.slips:
            slip = one.slip
            if slip.change:
                changed = slip.change(symbols)
                changed |= {"span": 2 * changed["run"]} if "run" in changed else {}
                value = part.value({**symbols, **changed})
            elif callable(slip.how) and (text := rewritten(slip.how, part.text)):
                value = parsed(text).value(symbols)
            else:
                continue
            if abs(value - self.step.value) > same:
                found.append(Made(slip, value, ""))
        return tuple(found)


def printed(value: float, unit: str) -> str:
    """A reading's value as it is printed."""
    return Worked("", "", value, unit, "", "").text


def called(text: str) -> str:
    """A step's text with the names of earlier results instead of their formulas."""
    for part in sorted(PARTS, key=len, reverse=True):
        if part not in SLOPES:
            text = text.replace(part, f"[{PARTS[part]}]")
    return text


def line(step: Step) -> str:
    """A step as a line of the working."""
    name = PARTS.get(step.part.text, "")
    parts = [name, step.part.text, step.worked, plain(step.value).strip("()")]
    return " = ".join(part for part in parts if part)


def fitting(given: float, slips: Sequence[Made], same: float) -> list[Made]:
    """The slips whose number was given, best first; those that fit alike too, three at most."""
    off = [(round(abs(given - one.value), 9), one) for one in slips if abs(given - one.value) <= same + 1e-9]
    off.sort(key=lambda fit: fit[0])
    return [one for far, one in off if far <= off[0][0] + TIE * same][:3]


def answer(text: str, unit: str) -> float:
    """An answer as a number: trade text for lengths, degrees, or a part as per cent or as a decimal.

    >>> answer("33.7 degrees", "degrees"), answer("26.2 %", ""), answer("0.262", "")
    (33.7, 0.262, 0.262)
    """
    if unit == "in":
        return inches(text, "Answer")
    mark = r"(?:°|º|deg\.?|degrees?)?" if unit == "degrees" else r"(%|per ?cent)?"
    found = re.fullmatch(rf"([-+]?\d*\.?\d+)\s*{mark}", text.strip().lower().replace("−", "-"))
    if not found:
        allowed = "degrees such as 33.7" if unit == "degrees" else "per cent such as 26.2 %, or a part such as 0.262"
        raise Entry(text, "Answer", "number", allowed).refusal()
    number = float(found[1])
    return number if unit == "degrees" or not (found[2] or abs(number) > 1.5) else number / 100


# --- choices ---------------------------------------------------------------------------------------------------------


class Option(NamedTuple):
    """A choice, and what is said to whoever chooses it wrongly."""

    text: str
    said: str = ""


@dataclass(frozen=True)
class Choice:
    """A question with choices; ``right`` is the index of the right one, ``why`` the sentence that settles it.

    >>> one = Choice("Is it?", (Option("yes"), Option("no", "That fits a guess.")), 0, "It is.")
    >>> one.judge("A").right, one.judge("no").sentence
    (True, 'That fits a guess. Try again.')
    """

    prompt: str
    options: tuple[Option, ...]
    right: int
    why: str
    hints: tuple[str, ...] = ()
    bay: Bay | None = None
    working: tuple[str, ...] = ()
    blanks = ()
    unit = "choose one"

    @property
    def choices(self) -> tuple[str, ...]:
        return tuple(option.text for option in self.options)

    def judge(self, text: str) -> Feedback:
        """Right or not; a choice is given by its text, its letter or its number."""
        given = " ".join(text.lower().split()).strip("().\" ")
        texts = [" ".join(choice.lower().split()).strip("().\" ") for choice in self.choices]
        keys = {key: i for i, said in enumerate(texts) for key in (said, "abcdefgh"[i], str(i + 1))}
        if given not in keys:
            letters = ", ".join("abcdefgh"[: len(texts)])
            given = text.strip() or "nothing"
            return Feedback(False, "", f"Answer: {given} is not one of the choices; give {letters}.")
        chosen = keys[given]
        if chosen == self.right:
            return Feedback(True, "", self.why)
        return Feedback(False, self.choices[chosen], f"{self.options[chosen].said} {TRY}")

    def show(self) -> str:
        """The right choice and why."""
        return f"{self.choices[self.right]}: {self.why}"

    def lines(self) -> list[str]:
        """The worked rung."""
        return [*self.working, self.show()]


STATES = {
    "below least": "no chord can bear: the heel is below the least heel",
    "scarfed": "scarfed: the chords overlap at the outside face",
    "raised": "raised: there is a wedge between the chords",
}


def state_of_heel(prompt: str, bay: Bay) -> Choice:
    """The question which of the three states a heel is in; each wrong one is answered with what it would need."""
    s = bay.symbols()
    row = next(row for row in READINGS if row.name == "heel_state")
    least, space = (parsed(text).value(s) for text in row.formula.removeprefix("signs of ").split(" and of "))
    state = row.of(s)
    lowest, room = feet_inches(s["heel"] - least), feet_inches(abs(space))
    heel = feet_inches(s["heel"])
    said = {
        "below least": "That fits a least heel with more in it: it is the top chord's plumb depth and the butt cut of "
        '1/4", no more.',
        "scarfed": "That fits chords that bear and overlap: hold the heel against the least heel first, then against "
        "both plumb depths together.",
        "raised": "That fits a heel that clears both chords: take both plumb depths off it; the ceiling line stands "
        "lower at the outside face, which gives some of it back.",
    }
    texts = row.formula.removeprefix("signs of ").split(" and of ")
    shown = [line(step) for step in dict.fromkeys(step for text in texts for step in steps(text, s))]
    why = {
        "below least": f"The heel of {heel} is less than the least heel, {lowest}.",
        "scarfed": f"The heel of {heel} is at least {lowest}, but the chords overlap by {room} at the outside face.",
        "raised": f"The heel of {heel} leaves {room} between the chords at the outside face.",
    }[state]
    return Choice(
        prompt, tuple(Option(text, said[name]) for name, text in STATES.items()), list(STATES).index(state), why,
        (LOOK["scissor.heel_state"], f"Look at the {row.formula}.",
         " and ".join(put_in(text, s) for text in texts) + ": which of them are below 0?"),
        bay, tuple(shown),
    )  # fmt: skip
