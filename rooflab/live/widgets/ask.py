"""Questions on the page: a typed answer with feedback, or a prediction that unlocks a panel."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from html import escape
from typing import Any, NamedTuple

import traitlets

from rooflab.house.planes import Bay
from rooflab.lessons.exercises import draw
from rooflab.lessons.numbers import NumberQuestion
from rooflab.lessons.questions import Question, givens

from .base import HERE, Form, script
from .panel import Panel

UNIT = "feet and inches, or decimal inches"


class Stop(NamedTuple):
    """A prediction as a room is asked it: what most get wrong, and about how many minutes it takes."""

    prompt: str
    choices: tuple[str, ...]
    right: str
    why: str
    look: str
    surprise: str
    minutes: int


class Ask(Form):
    """A question with choices or a text box; ``judge`` turns what was given, and what was asked for, into HTML.

    What can be asked for: "check" the answer, "show" the working, or the "next" roof where there is one.
    """

    _esm = script("ask.js")
    _css = HERE / "ask.css"
    done = traitlets.Bool(False).tag(sync=True)

    question: Question | NumberQuestion | None = None  # what is asked, of a typed question
    panel: Panel | None = None  # what a prediction unlocks, and where its controls must stand to show the outcome
    until: dict[str, str] = {}
    stop: Stop | None = None  # of a prediction

    def __init__(
        self,
        prompt: str,
        judge: Callable[[str, str], str],
        choices: Sequence[str] = (),
        more: bool = False,
        unit: str = UNIT,
    ) -> None:
        self._judge = judge
        super().__init__(setup={"prompt": prompt, "choices": list(choices), "unit": unit, "more": more})

    def _answer(self) -> None:
        self.answer = self._judge(str(self.given.get("value", "")), str(self.given.get("do", "check")))

    def give(self, value: str = "", do: str = "check") -> str:
        """Answer from code; the feedback's text."""
        return self._press(value=value, do=do)

    def still(self) -> dict[str, str]:
        choices = [f"  ( ) {choice}" for choice in self.setup["choices"]]
        lines = [self.setup["prompt"], *(choices or [f"  ________ ({self.setup['unit']})"])]
        return {"text/plain": "\n".join(lines)}


def ask(prompt: str, bay: Bay, reading: str) -> Ask:
    """A typed question for a reading of a bay; each usual slip gets its own sentence."""
    question = Question(prompt, bay, reading)
    asked = Ask(prompt, lambda text, do: judged(question, text, do))
    asked.question = question
    return asked


def drill(prompt: str, bay: str, reading: str, number: int = 1) -> Ask:
    """A typed question for a "rafter", "scissor" or "jog" reading of practice roof ``number``, and of the next ones."""

    def new() -> Question:
        drawn = draw(f"{bay}.{reading}", "workbook", number).question
        assert isinstance(drawn, Question)  # lengths are drilled, not choices
        return replace(drawn, prompt=f"{prompt} Roof {number}: {givens(drawn.bay, reading)}.")

    def judge(text: str, do: str) -> str:
        nonlocal number
        if do != "next":
            return judged(asked.question, text, do)
        number += 1
        asked.question = new()
        asked.setup = {**asked.setup, "prompt": asked.question.prompt}
        return ""

    asked = Ask(new().prompt, judge, more=True)
    asked.question = new()
    return asked


def judged(question: Question | NumberQuestion | None, text: str, do: str) -> str:
    assert question is not None
    if do == "show":
        return escape(question.show())
    said = question.judge(text)
    return f"<b>{'Right.' if said.right else 'Not yet.'}</b> {escape(said.sentence)}"


def predict(
    prompt: str, choices: Sequence[str], right: str, why: str, panel: Panel | None = None, look: str = "",
    surprise: str = "", minutes: int = 3, **until: str,
) -> Ask:  # fmt: skip
    """A prediction that is chosen first, and held against what is seen.

    With a ``panel``, choosing unlocks its controls, and the comparison appears once the panel's controls stand at
    ``until`` (say ``seat='5 1/2"'``, as the control shows it); ``look`` says what to move.  Without one it appears at
    once.  It may be changed until then, and not afterwards.  ``surprise`` (none: the first wrong choice) and
    ``minutes`` are for whoever asks a room.
    """
    if right not in choices:
        raise ValueError(f"{right!r} is not one of the choices")
    chosen: list[str] = []

    def outcome() -> str:
        question.done = True
        you = "as you said" if chosen[-1] == right else f"you said: {escape(chosen[-1])}"
        return f"<b>It is: {escape(right)}</b> ({you}). {escape(why)}"

    def there() -> bool:
        return panel is None or all(panel.shown["fields"][name]["text"] == text for name, text in until.items())

    def judge(choice: str, do: str) -> str:
        if question.done:
            return question.answer
        chosen.append(choice)
        if panel is not None:
            panel.locked = False
        return outcome() if there() else f"You said: {escape(choice)}. Now look: {escape(look)}"

    question = Ask(prompt, judge, choices)
    tempting = surprise or f"Many will say: {next((choice for choice in choices if choice != right), '')}."
    question.stop = Stop(prompt, tuple(choices), right, why, look, tempting, minutes)
    if panel is not None:
        question.panel, question.until = panel, until
        question.answer = "Choose one: that unlocks the picture."
        panel.locked = True

        def seen(shown: dict[str, Any]) -> None:
            if chosen and not question.done and there():
                question.answer = outcome()

        panel.watch(seen)
    return question


def choose(prompt: str, answers: Mapping[str, str], right: str) -> Ask:
    """A question with choices, each with an answer of its own; one of them is right."""
    if right not in answers:
        raise ValueError(f"{right!r} is not one of the choices")

    def judge(choice: str, do: str) -> str:
        head = "<b>Right</b> (as you said)." if choice == right else "<b>Not that one.</b>"
        return f"{head} {escape(answers.get(choice, ''))}"

    return Ask(prompt, judge, tuple(answers))
