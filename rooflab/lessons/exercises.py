"""Practice: a question of any kind from a seed, drawn again until no usual mistake can be taken for another.

A kind is a reading with its bay ("rafter.heel"), or a question of sense ("sense.steeper").
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from rooflab.base.inputs import read_word, stop_on
from rooflab.base.measure import InputError
from rooflab.house.bays import ScissorBay
from rooflab.house.cutting import Cut
from rooflab.house.planes import Bay
from rooflab.house.readings import READINGS

from . import random_houses as chances
from .prompts import cut_givens, prompt
from .questions import STATES, Choice, Question, cut_rows, state_of_heel
from .random_houses import Chance
from .sense import SENSE

DRAWS = 400  # a kind that is refused so often has no question
READING_KINDS = tuple(f"{row.bay}.{row.name}" for row in READINGS)
KINDS: tuple[str, ...] = (*READING_KINDS, *(f"sense.{name}" for name in SENSE))
LABELS: dict[str, str] = {
    **{f"{row.bay}.{row.name}": row.label for row in READINGS},
    **{f"sense.{name}": label for name, (label, _) in SENSE.items()},
}


class DrawnQuestion(NamedTuple):
    """A question and how often it was drawn until it would do."""

    question: Question | Choice
    draws: int


def draw(kind: str, seed: object, number: int = 1) -> DrawnQuestion:
    """Question ``number`` of a kind for a seed; the same everywhere.  InputError for a kind or seed that is none.

    >>> draw("rafter.heel", "monday", 3).question == draw("rafter.heel", "Monday", 3).question
    True
    """
    problems: list[str] = []
    read_word("Kind of question", kind, KINDS, problems)
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= 1_000_000:
        problems.append(f"Number of the question: {str(number)[:20]} is not 1 to 1,000,000.")
    stop_on(problems)
    chance = Chance(seed, kind, number)
    bay, _, name = kind.partition(".")
    for draws in range(1, DRAWS + 1):
        try:
            question = SENSE[name][1](chance) if bay == "sense" else _reading_question(bay, name, chance)
        except InputError:  # a house that cannot be built
            continue
        if question is not None:
            return DrawnQuestion(question, draws)
    raise RuntimeError(f"{kind}: no question in {DRAWS} draws")


def _reading_question(bay: str, name: str, chance: Chance) -> Question | Choice | None:
    """A question for a reading, or None where it would not do."""
    if name == "heel_state":
        state = chance.pick(tuple(STATES))
        one = chances.truss(chance, state)
        return state_of_heel(prompt(one, name), one) if one.heel_state == state else None
    house = _bay(bay, name, chance)
    question = Question("", house, name)
    bearing = not isinstance(house, ScissorBay) or house.heel >= house.minimum_heel
    unclear = not bearing or name.startswith("space") and question.value < 0.25
    return None if unclear or not question.clear else replace(question, prompt=prompt(house, name))


def cut_case(text: str, reading: str, number: int) -> tuple[Question, Cut]:
    """A question on practice rafter ``number`` as it is cut, and that rafter."""
    chance = Chance("cutting", reading, number)
    for _ in range(DRAWS):
        cut = Cut(chances.rafters(chance))
        question = Question("", cut_rows(cut, reading), reading)
        if question.clear:
            known = cut_givens(cut.bay, question.row.args)
            return replace(question, prompt=f"{text} Rafter {number}: {known}."), cut
    raise RuntimeError(f"{reading}: no question in {DRAWS} draws")


def draw_cut(text: str, reading: str, number: int) -> Question:
    """A question on practice rafter ``number`` as it is cut, such as for its "building_line"; the same everywhere.

    >>> draw_cut("Where is it?", "building_line", 3) == draw_cut("Where is it?", "building_line", 3)
    True
    """
    return cut_case(text, reading, number)[0]


def _bay(bay: str, name: str, chance: Chance) -> Bay:
    if bay == "rafter":
        return chances.rafters(chance)
    if bay == "scissor":
        return chances.truss(chance, plate=chance.of("plate") if name == "heel" else 0.0)
    return chances.jog_of_chance(chance, "stepped" if name == "fascia_step" else "straight")


def order(seed: object, count: int, kinds: tuple[str, ...] = KINDS) -> list[tuple[str, int]]:
    """Kinds and numbers of ``count`` questions in a mixed order: no kind comes again before all have come."""
    chance, found = Chance(seed, "mixed"), list[str]()
    while len(found) < count:
        found += chance.shuffle(kinds)
    return [(kind, 1 + i // len(kinds)) for i, kind in enumerate(found[:count])]


def mixed_questions(seed: object, count: int, kinds: tuple[str, ...] = KINDS) -> list[Question | Choice]:
    """``count`` questions of several kinds for a seed; the same everywhere."""
    return [draw(kind, seed, number).question for kind, number in order(seed, count, kinds)]
