"""Questions: an answer is judged, and a wrong one is answered with the mistake that fits it.

A question can be asked on three levels: worked (its steps shown), half-worked (its steps as blanks, each checked) and
own.  Hints say what to look for, then the formula, then the formula with the numbers in; never the answer.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from rooflab.base.formulas import SLOPES, Step, formula_number, formula_with_numbers, parse, steps
from rooflab.base.measure import InputError, InputValue, feet_inches, inches
from rooflab.base.rows import Reading, Reasoning, Rows, Symbols, find_row, reading_text
from rooflab.house.cutting import CUTTING, Cut
from rooflab.house.planes import Bay
from rooflab.house.readings import reading_of

from .mistakes import (
    EXACT,
    SAME,
    Fit,
    Words,
    bay_rows,
    clear,
    fits,
    fits_within,
    mistake_working,
    near,
    rewritten,
    shows,
    speaks,
)
from .prompts import LOOK, MEANS, PARTS, givens

__all__ = ["Answer", "Blank", "Choice", "Feedback", "Question", "cut_rows", "givens", "state_of_heel"]

TIE = 1 / 4  # two mistakes whose numbers are nearer than this part of what counts as right fit alike
CLOSE, EARLY = 3.0, 0.002  # nearer than so many times that, or such a part of the answer: rounded too early, likely
RATIO = 0.002  # a slope or a stretch nearer than this is right: three decimals
UNITS = {"in": "feet and inches, or decimal inches", "degrees": "degrees, to one decimal", "R": "an R-value",
         "": "a ratio such as 0.85, or percent", "times": "a plain number"}  # fmt: skip
SHARE = "percent, to one decimal"  # of a bay's part, as the notch is one of the depth
TRY = "Try again."
OTHER = "another number on the page"  # in the place of a mistake's name


class Feedback(NamedTuple):
    """The verdict on an answer: right or not, the mistake that fits (or "") and what to say."""

    right: bool
    mistake: str
    sentence: str


@dataclass(frozen=True)
class Question:
    """A question for a number: a reading of a bay, or of rows worked from symbols.

    Lengths of a house are right to a sixteenth, angles to a quarter of a degree, shares to a quarter of a percent;
    loads, forces and R to one part in a hundred.  Lengths are given in trade text or decimal inches.  ``beside`` are
    bays with numbers on the same page, each with its words ("the trusses"): one of theirs is said to be theirs.

    >>> from rooflab import Gable, RafterBay
    >>> heel = Question("How high is the heel?", RafterBay(Gable("24'", 9, "7 1/4"), "2x12"), "heel")
    >>> heel.judge("8-5/8").right, heel.judge("14 1/16").mistake
    (True, 'seat forgotten')
    >>> from rooflab.checks.thrust import THRUST
    >>> pair = dict(dead=0.0, live=30.0, m=2 / 3, s=16.0, l=144.0, r=144.0, h=96.0, tie=0.0)
    >>> push = Question("How hard do the rafters push?", Rows(THRUST, pair, "thrust"), "thrust")
    >>> push.judge("360 lb").right, push.judge("270").mistake
    (True, 'spacing left out')
    """

    prompt: str
    source: Bay | Rows
    reading: str
    beside: tuple[tuple[str, Bay], ...] = ()
    choices = ()

    @property
    def bay(self) -> Bay | None:
        """The bay that is asked about, where one is."""
        return self.source if isinstance(self.source, Bay) else None

    @cached_property
    def rows(self) -> Rows:
        """The rows of readings that the question is worked from."""
        return bay_rows(self.source, self.reading) if isinstance(self.source, Bay) else self.source

    @cached_property
    def row(self) -> Reading:
        """The row of the reading that is asked for."""
        return self.rows.row(self.reading)

    @property
    def symbols(self) -> Symbols:
        """Values of the symbols, by name."""
        return self.rows.symbols

    @cached_property
    def value(self) -> float:
        """The right answer, in the reading's unit."""
        return float(self.rows.all[self.reading])

    @property
    def reasoning(self) -> Reasoning:
        """The right answer with its reasoning."""
        return self.rows.reading(self.reading)

    @property
    def exact(self) -> bool:
        """True where answers are read from a tape or a protractor: then a mistake's own arithmetic is shown too."""
        return self.rows.subject in EXACT

    @cached_property
    def text(self) -> str:
        """The right answer as it is printed."""
        return self._answer_text(self.value)

    def _answer_text(self, value: float) -> str:
        worked = Reasoning(self.reading, "", value, self.row.unit, "", "")
        return worked.text if self.exact else reading_text(worked)

    @cached_property
    def words(self) -> Words:
        """The numbers at hand in words, for the mistakes' sentences."""
        return Words(self.row.args, self.symbols)

    @property
    def unit(self) -> str:
        """How an answer is typed."""
        unit = self.row.unit
        return SHARE if self.exact and not unit else UNITS.get(unit, f"a number, in {unit}")

    @cached_property
    def every(self) -> tuple[Fit, ...]:
        """The mistakes that apply, with their numbers."""
        return fits(self.rows, self.reading)

    @cached_property
    def mistakes(self) -> tuple[Fit, ...]:
        """The mistakes that apply and show."""
        return tuple(fit for fit in self.every if shows(self.rows, self.row.unit, self.value, fit.value))

    @cached_property
    def _workings(self) -> dict[str, str]:
        """The arithmetic of mistakes, by name, once it was shown."""
        return {}

    @property
    def clear(self) -> bool:
        """True where every mistake can be told from the others and the answer, and none of their sentences names it."""
        if not clear(self.rows, self.reading, self.every):
            return False
        return not any(self.text in fit.mistake.sentence.format_map(self.words) for fit in self.mistakes)

    def judge(self, text: str) -> Feedback:
        """Right, a mistake that fits, or neither: then which way to look.  Unreadable text gets its own sentence.

        Where mistakes give the same number, all are named, and so is another number on the page: nobody can tell which
        it was.
        """
        try:
            number = read_answer(text, self.row.unit, self.exact)
        except InputError as error:
            return Feedback(False, "", " ".join(error.problems))
        off, same = abs(number - self.value), near(self.rows, self.row.unit, self.value)
        if off <= same + 1e-9:
            return Feedback(True, "", f"{self.row.label} {self.text}, from {self.formula} = {self.numbers}.")
        fitting, page = self._fitting(number), self._on_the_page(number)
        theirs = [one for one in page if one.first]
        rest = [one for one in page if not one.first and not any(abs(one.value - fit.value) < 1e-9 for fit in fitting)]
        named = [
            *((OTHER, one.sentence) for one in theirs),
            *((fit.mistake.name, fit.mistake.sentence.format_map(self.words)) for fit in fitting),
            *((OTHER, one.sentence) for one in rest),
        ]
        if named:
            (mistake, first), *others = named
            also = [sentence.replace("That fits", "Or it is", 1) for _, sentence in others]
            worked = self._arithmetic(fitting[0]) if fitting and mistake != OTHER else f"The formula: {self.formula}."
            return Feedback(False, mistake, " ".join([first, *also, *([worked, TRY] if self.exact else [])]))
        if self.exact and off <= max(CLOSE * same, EARLY * abs(self.value)):
            return Feedback(False, "", f"Close, but not near enough: round only at the end. {self.formula}. {TRY}")
        typed, way = self._answer_text(number), way_to(self.value, number)
        said = f"{typed} is not it: the answer is {way}. We do not recognise how it was got. Use {self.formula}."
        return Feedback(False, "", said)

    @cached_property
    def _others(self) -> tuple[Other, ...]:
        """The other numbers on the page, of this unit: of bays beside this one, and of other rows."""
        label, same = self.row.label, near(self.rows, self.row.unit, self.value)
        found = [
            Other(f"That fits another number here, {quoted(row.label)}: asked for is {quoted(label)}.", value, False)
            for row, value in other_rows(self)
        ]
        own = {(row.label, round(value)) for row, value in other_rows(self)}
        found += [
            Other(f"That fits {quoted(row.label)} of {words}: asked for is another one.", value, True)
            if row.name == self.reading
            else Other(f"That fits {quoted(row.label)} of {words}: asked for is {quoted(label)}.", value, False)
            for words, bay in self.beside
            for row, value in readings_in_numbers(bay)
            if row.unit == self.row.unit and (row.label, round(value)) not in own
        ]
        found = [one for one in found if abs(one.value - self.value) > same + 1e-9]
        return tuple({(round(one.value, 9), one.first): one for one in reversed(found)}.values())

    def _on_the_page(self, number: float) -> list[Other]:
        """The other numbers on the page that were typed, a bay's reading of the same name first."""
        off = self._same(number) / 2 + 1e-9
        found = [one for one in self._others if abs(one.value - number) <= off]
        found.sort(key=lambda one: (not one.first, abs(one.value - number)))
        return found[:2]

    def _fitting(self, number: float) -> list[Fit]:
        """The mistakes that fit a number, best first, and those that fit alike."""
        limits = ((fit, fits_within(self.rows, self.row.unit, fit.value)) for fit in self.mistakes)
        found = nearest_mistakes(number, limits)
        return alike(number, found, self._same(number))

    def _same(self, number: float) -> float:
        """Numbers nearer than half of this may be typed alike: as read on a tape, or in three figures."""
        return SAME["in"] if self.row.unit == "in" else near(self.rows, self.row.unit, number)

    def _arithmetic(self, fit: Fit) -> str:
        """What a mistake worked, where that helps, and the formula."""
        name = fit.mistake.name
        if name not in self._workings:
            self._workings[name] = mistake_working(fit, self.row, self.rows)
        shown = f"Such a number comes from {self._workings[name]}. " if speaks(self._workings[name]) else ""
        return f"{shown}The formula: {self.formula}."

    # --- the working

    @cached_property
    def formula(self) -> str:
        """The reading's formula; the run as half of the span where it is."""
        if not self.exact:
            return self.reasoning.formula
        formula, s = self.row.formula_for(self.symbols), self.symbols
        for name in ("run", "apex"):
            if "span" in s and name in self.row.args.split() and abs(s[name] - s["span"] / 2) < 1e-9:
                half = "span ÷ 2" if formula == name else "(span ÷ 2)"
                formula = re.sub(rf"\b{name}\b", half, formula)
        return formula

    @cached_property
    def numbers(self) -> str:
        """The formula with the numbers in."""
        return formula_with_numbers(self.formula, self.symbols) if self.exact else self.reasoning.worked

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The working, step by step; the last is the answer."""
        return steps(self.formula, self.symbols)

    def show(self) -> str:
        """The whole working, for those who ask."""
        return f"{self.row.label}: {self.formula} = {self.numbers} = {self.text}."

    def lines(self) -> list[str]:
        """The worked level: a line for each step."""
        last = self.steps[-1]
        return [*map(line, self.steps[:-1]), f"{self.row.label} = {last.part.text} = {last.worked} = {self.text}"]

    @property
    def slopes(self) -> list[str]:
        """The steps worked already on the half-worked level: the slopes, where they are not asked for."""
        asked = {blank.step.part.text for blank in self.blanks}
        return [line(step) for step in self.steps if step.part.kind == "name" and step.part.text not in asked]

    @cached_property
    def blanks(self) -> tuple[Blank, ...]:
        """The half-worked level: a blank for each step but the slopes.

        Where there is one step only, the numbers that go into it are asked for first.
        """
        own = [step for step in self.steps if step.part.kind != "name"]
        names = names_in(self.formula)
        put = [Step(parse(name), "", self.symbols[name], False, "") for name in names] if len(own) == 1 else []
        return tuple(Blank(self, step) for step in (*put, *own))

    @property
    def hints(self) -> tuple[str, ...]:
        """What to look for, the formula, the formula with the numbers in."""
        names = names_in(self.formula)
        means = "; ".join(f"{name} is {MEANS[name]}" for name in names if name in MEANS)
        stretch = "; k is the stretch, k(m) = √(1 + m²)" if "k(" in self.formula else ""
        return (
            self._look,
            f"{self.row.label} = {self.formula}. Here {means}{stretch}.",
            f"{self.row.label} = {self.numbers}. Work it out.",
        )

    @property
    def _look(self) -> str:
        label, drawing = self.row.label, "cut drawing" if self.rows.subject == "cutting" else "section"
        label = label[0].lower() + label[1:] if self.rows.subject == "cutting" else label.lower()
        return LOOK.get(f"{self.rows.subject}.{self.reading}", f"Look at the {label} on the {drawing}.")


@dataclass(frozen=True)
class Blank:
    """One blank of a half-worked question: a step whose result is asked for."""

    question: Question
    step: Step

    @property
    def label(self) -> str:
        """What is asked for: the step in words and its formula, earlier results by name."""
        part, asked = self.step.part.text, with_result_names(self.step.from_inputs)
        if self.step.last:
            return f"{self.question.row.label} = {asked if self.shows_numbers else part}"
        return f"{PARTS.get(part, part)} = {asked}" if asked else f"{part}, {MEANS[part]}"

    @property
    def shows_numbers(self) -> bool:
        """True where its numbers may be shown, because what goes in is not asked for."""
        return bool(self.question.blanks[0].step.from_inputs)

    @property
    def ratio(self) -> bool:
        """True where the step's result is a ratio without unit: a slope or a stretch."""
        return self.step.part.kind == "call" or self.step.part.names <= SLOPES

    def judge(self, text: str) -> Feedback:
        """Right, a mistake that fits, or which way to look."""
        if self.step.last:
            return self.question.judge(text)
        try:
            number = inches(text, "Answer")
        except InputError as error:
            return Feedback(False, "", " ".join(error.problems))
        same, value = RATIO if self.ratio else SAME["in"], self.step.value
        if abs(number - value) <= same + 1e-9:
            exact = formula_number(value) if self.ratio else f"{formula_number(value)} in"
            return Feedback(True, "", f"{self.step.part.text} = {exact}.")
        if found := nearest_mistakes(number, ((fit, same + 1e-9) for fit in self._mistakes(same))):
            sentence = found[0].mistake.sentence.format_map(self.question.words)
            return Feedback(False, found[0].mistake.name, f"{sentence} {TRY}")
        return Feedback(False, "", f"It is {way_to(value, number)}. {TRY}")

    def _mistakes(self, same: float) -> tuple[Fit, ...]:
        """What the question's mistakes make of this step."""
        found, part, symbols = [], self.step.part, self.question.symbols
        for mistake, _, _ in self.question.mistakes:
            if mistake.change:
                changed = mistake.change(symbols)
                changed |= {"span": 2 * changed["run"]} if "run" in changed else {}
                value = part.value({**symbols, **changed})
            elif callable(mistake.how) and (text := rewritten(mistake.how, part.text)):
                value = parse(text).value(symbols)
            else:
                continue
            if abs(value - self.step.value) > same:
                found.append(Fit(mistake, value, ""))
        return tuple(found)


def names_in(formula: str) -> list[str]:
    """The symbols of a formula in the order in which they come."""
    return sorted(parse(formula).names, key=lambda name: (formula.find(name), name))


def with_result_names(text: str) -> str:
    """A step's text with earlier results named in [brackets] instead of written as formulas."""
    for part in sorted(PARTS, key=len, reverse=True):
        if part not in SLOPES:
            text = text.replace(part, f"[{PARTS[part]}]")
    return text


def line(step: Step) -> str:
    """A step as a line of the working."""
    name = PARTS.get(step.part.text, "")
    parts = [name, step.part.text, step.worked, formula_number(step.value).strip("()")]
    return " = ".join(part for part in parts if part)


def nearest_mistakes(number: float, limits: Iterable[tuple[Fit, float]]) -> list[Fit]:
    """The mistakes whose number was typed, within a limit for each, best first."""
    off = [(round(abs(number - fit.value), 9), fit) for fit, most in limits if abs(number - fit.value) <= most]
    off.sort(key=lambda far: far[0])
    return [fit for _, fit in off]


def alike(number: float, found: Sequence[Fit], same: float) -> list[Fit]:
    """The first mistake of a list and those that fit as well, or whose number would be typed like this one."""
    off = [round(abs(number - fit.value), 9) for fit in found]
    return [fit for fit, far in zip(found, off, strict=True) if far <= max(off[0] + TIE * same, same / 2 + 1e-9)][:4]


class Other(NamedTuple):
    """Another number on the page: what to say to whoever gives it, its value, and whether it comes before mistakes."""

    sentence: str
    value: float
    first: bool


def quoted(label: str) -> str:
    """A reading's label in quotation marks, as it stands on the page."""
    return f'"{label}"'


def readings_in_numbers(bay: Bay) -> Iterator[tuple[Reading, float]]:
    """The readings of a bay that are numbers, with their values."""
    symbols = bay.symbols()
    for row in bay.rows():
        if not isinstance(value := row.of(symbols), str):
            yield row, float(value)


def other_rows(question: Question) -> Iterator[tuple[Reading, float]]:
    """The readings beside the one that is asked for, of the same unit, with their values."""
    if question.bay is not None:
        every = readings_in_numbers(question.bay)
    else:
        rows = CUTTING if question.rows.subject == "cutting" else question.rows.rows
        numbers = ((row, question.rows.all.get(row.name)) for row in rows)
        every = ((row, float(value)) for row, value in numbers if isinstance(value, int | float))
    asked = question.row
    return ((row, value) for row, value in every if row.name != asked.name and row.unit == asked.unit)


def way_to(right: float, number: float) -> str:
    """Which way the right answer lies from a number: smaller or larger, and lower or higher where one is below 0."""
    words = ("lower", "higher") if min(right, number) < 0 else ("smaller", "larger")
    return words[0] if number > right else words[1]


def read_answer(text: str, unit: str, house: bool = True) -> float:
    """An answer as a number, in inches for a length; ``house``: of a house, where a share is typed in percent.

    Degrees, percent, thousands, "R-38" and a unit are allowed where they belong.

    >>> read_answer("33.7 degrees", "degrees"), read_answer("26.2 %", ""), read_answer("1,240 lb", "lb", False)
    (33.7, 0.262, 1240.0)
    """
    if unit == "in":
        return inches(text, "Answer")
    if not house:
        allowed, mark = "a plain number such as 360 or 0.85", r"(%|[^\d.]*)"
    elif unit == "degrees":
        allowed, mark = "degrees such as 33.7", r"(°|º|deg\.?|degrees?)?"
    else:
        allowed, mark = "percent such as 26.2 %, or a part such as 0.262", r"(%|per ?cent)?"
    typed = InputValue(text, "Answer", "number", allowed)
    plain_text = typed.short().replace("−", "-")
    if not house:
        plain_text = re.sub(r"^R-?", "", plain_text.replace(",", ""), flags=re.I).lstrip()
    found = re.fullmatch(rf"([-+]?\d*\.?\d+)\s*{mark}", plain_text, re.I)
    if not found:
        raise typed.refusal()
    number = float(found[1])
    if house:
        return number / 100 if unit == "" and (found[2] or abs(number) > 1.5) else number
    return number / 100 if found[2].strip() == "%" else number


# --- cutting the rafter ----------------------------------------------------------------------------------------------

NO_QUESTION = ("steps", "seat_cut", "mouth")  # a word, a given number, and one whose mistakes lie too near together


def cut_rows(cut: Cut, name: str) -> Rows:
    """A reading of a rafter as it is cut, such as "building_line".  InputError for one that is not asked for.

    >>> from rooflab import Gable, RafterBay
    >>> cut = Cut(RafterBay(Gable("24'", 9, "5 1/2", 16), "2x10", 4))
    >>> line = Question("Where is the building line?", cut_rows(cut, "building_line"), "building_line")
    >>> line.judge("14'-11 1/16").right, line.judge("15'").mistake
    (True, 'ridge board left out')
    """
    row = find_row([row for row in CUTTING if row.name not in NO_QUESTION], name, "Reading of a cut rafter")
    symbols = {**cut.bay.symbols(cut.end), **cut.values, "span": cut.bay.gable.span}
    return Rows((row,), symbols, "cutting")


# --- choices ---------------------------------------------------------------------------------------------------------


class Answer(NamedTuple):
    """A choice's text, and the sentence for whoever chooses it wrongly."""

    text: str
    sentence: str = ""


@dataclass(frozen=True)
class Choice:
    """A question with choices; ``right`` is the index of the right one, ``why`` the sentence that settles it.

    >>> one = Choice("Is it?", (Answer("yes"), Answer("no", "That fits a guess.")), 0, "It is.")
    >>> one.judge("A").right, one.judge("no").sentence
    (True, 'That fits a guess. Try again.')
    """

    prompt: str
    options: tuple[Answer, ...]
    right: int
    why: str
    hints: tuple[str, ...] = ()
    bay: Bay | None = None
    working: tuple[str, ...] = ()
    blanks = ()
    unit = "choose one"

    @property
    def choices(self) -> tuple[str, ...]:
        """Texts of the options, in order."""
        return tuple(option.text for option in self.options)

    def judge(self, text: str) -> Feedback:
        """Right or not; a choice is given by its text, its letter or its number."""
        typed = " ".join(text.lower().split()).strip("().\" ")
        texts = [" ".join(choice.lower().split()).strip("().\" ") for choice in self.choices]
        keys = {key: i for i, choice in enumerate(texts) for key in (choice, "abcdefgh"[i], str(i + 1))}
        if typed not in keys:
            letters, typed = ", ".join("abcdefgh"[: len(texts)]), text.strip() or "nothing"
            return Feedback(False, "", f"Answer: {typed} is not one of the choices; give {letters}.")
        chosen = keys[typed]
        if chosen == self.right:
            return Feedback(True, "", self.why)
        return Feedback(False, self.choices[chosen], f"{self.options[chosen].sentence} {TRY}")

    def show(self) -> str:
        """The right choice and why."""
        return f"{self.choices[self.right]}: {self.why}"

    def lines(self) -> list[str]:
        """The worked level."""
        return [*self.working, self.show()]


STATES = {
    "below minimum": "no chord can bear: the heel is below the minimum heel",
    "standard": "standard: the chords overlap at the outside face",
    "raised": "raised: there is space between the chords",
}


def state_of_heel(prompt: str, bay: Bay) -> Choice:
    """The question which of the three states a heel is in; each wrong one is answered with what it would need."""
    s = bay.symbols()
    row = reading_of("scissor", "heel_state")
    least, space = (parse(text).value(s) for text in row.formula.removeprefix("signs of ").split(" and of "))
    state = row.of(s)
    lowest, room = feet_inches(s["heel"] - least), feet_inches(abs(space))
    heel = feet_inches(s["heel"])
    wrong = {
        "below minimum": "That fits a minimum heel with more in it: it is the top chord's plumb depth and the butt cut "
        'of 1/4", no more.',
        "standard": "That fits chords that bear and overlap: hold the heel against the minimum heel first, then "
        "against both plumb depths together.",
        "raised": "That fits a heel that clears both chords: take both plumb depths off it; the ceiling line stands "
        "lower at the outside face, which gives some of it back.",
    }
    texts = row.formula.removeprefix("signs of ").split(" and of ")
    shown = [line(step) for step in dict.fromkeys(step for text in texts for step in steps(text, s))]
    why = {
        "below minimum": f"The heel of {heel} is less than the minimum heel, {lowest}.",
        "standard": f"The heel of {heel} is at least {lowest}, but the chords overlap by {room} at the outside face.",
        "raised": f"The heel of {heel} leaves {room} between the chords at the outside face.",
    }[state]
    return Choice(
        prompt, tuple(Answer(text, wrong[name]) for name, text in STATES.items()), list(STATES).index(state), why,
        (LOOK["scissor.heel_state"], f"Look at the {row.formula}.",
         " and ".join(formula_with_numbers(text, s) for text in texts) + ": which of them are below 0?"),
        bay, tuple(shown),
    )  # fmt: skip
