"""Questions on the page: a typed answer with feedback, or a prediction that unlocks a panel."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from html import escape
from typing import NamedTuple

import traitlets

from rooflab.base.inputs import read_word, stop_on
from rooflab.base.measure import InputError
from rooflab.draw.layout import SCREEN, fit
from rooflab.draw.scene import Scene, svg
from rooflab.draw.views.question import FRAME, question_scene
from rooflab.house.planes import Bay
from rooflab.lessons.exercises import draw
from rooflab.lessons.questions import Choice, Feedback, Question, givens

from .base import Content, Form, script, style
from .hands import tell_choice
from .panel import Panel

NO_CHOICE = "That is none of the choices; choose one."


class Stop(NamedTuple):
    """A prediction as a room is asked it: what most get wrong, about how many minutes it takes, which controls move."""

    prompt: str
    choices: tuple[str, ...]
    right: str
    why: str
    look: str
    surprise: str
    minutes: int
    move: Mapping[str, str]


class Ask(Form):
    """A question with choices or a text box; ``judge`` turns what was given, and what was asked for, into HTML.

    What can be asked for: "check" the answer, "show" the working, or the "next" roof where there is one.
    """

    _esm = script("ask.js")
    _css = style("ask.css")
    done = traitlets.Bool(False).tag(sync=True)

    question: Question | None = None  # what is asked, of a typed question
    panel: Panel | None = None  # what a prediction unlocks
    stop: Stop | None = None  # of a prediction
    outcome: Callable[[], str] | None = None  # of a prediction: what is there once the controls stand as they should
    number = 1  # of the roof asked about
    turn_to: Callable[[int], None] | None = None  # of a drill: ask about another roof

    def __init__(
        self,
        prompt: str,
        judge: Callable[[str, str], str],
        choices: Sequence[str] = (),
        more: bool = False,
        unit: str = "",
        picture: str = "",
    ) -> None:
        self._judge = judge
        setup = {"prompt": prompt, "choices": list(choices), "unit": unit, "more": more, "picture": picture}
        super().__init__(setup=setup)

    def _answer(self) -> None:
        self._meant_for(self.setup["prompt"])
        self.answer = self._judge(str(self.message.get("value", "")), str(self.message.get("do", "check")))

    def doings(self) -> Content:
        said: Content = {name: str(self.message[name]) for name in ("value", "do") if name in self.message}
        return {**said, "done": self.done, "number": self.number}

    def do_again(self, doings: Content) -> None:
        if self.turn_to and isinstance(doings.get("number"), int) and 0 < doings["number"] != self.number:
            self.turn_to(doings["number"])
        if doings.get("do") in ("check", "show"):
            self.give(str(doings.get("value", "")), doings["do"])
        if doings.get("done") and not self.done and self.outcome and self.message:
            self.answer = self.outcome()

    def give(self, value: str = "", do: str = "check") -> str:
        """The feedback's text after an answer from code."""
        return self._press(value=value, do=do)

    def still(self) -> dict[str, str]:
        choices = [f"  ( ) {choice}" for choice in self.setup["choices"]]
        lines = [self.setup["prompt"], *(choices or [f"  ________ ({self.setup['unit']})"])]
        return {"text/plain": "\n".join(lines)}


def question_box(
    question: Question, new: Callable[[int], Question] | None = None, number: int = 1,
    scene: Callable[[int], Scene | None] = lambda number: None,
) -> Ask:  # fmt: skip
    """A typed question on the page; with ``new``, which makes question n, there is a next one after ``number``.

    ``scene`` draws the case of question n where the question itself has no bay to draw.
    """

    def picture(at: int, one: Question) -> str:
        return drawing(question_scene(one) or scene(at))

    def turn_to(at: int) -> None:
        assert new is not None
        box.number, box.question = at, new(at)
        box.setup = {**box.setup, "prompt": box.question.prompt, "picture": picture(at, box.question)}

    def judge(text: str, do: str) -> str:
        assert box.question is not None
        if do == "show":
            return escape(box.question.show())
        if do != "next" or new is None:
            return verdict_html(box.question.judge(text))
        turn_to(box.number + 1)
        return ""

    box = Ask(question.prompt, judge, more=new is not None, unit=question.unit, picture=picture(number, question))
    box.question, box.number = question, number
    if new is not None:
        box.turn_to = turn_to
    box.resume(f"question: {question.prompt}")
    return box


def question_picture(question: Question | Choice) -> str:
    """The case of a question as SVG, what is asked for marked and never written; "" where no picture fits."""
    return drawing(question_scene(question))


def drawing(scene: Scene | None) -> str:
    """A small drawing beside a question as SVG; "" where there is none."""
    if scene is None:
        return ""
    placed = fit(scene, *FRAME, SCREEN)
    return svg(placed, placed.width, placed.height)


def verdict_html(feedback: Feedback) -> str:
    """The verdict on an answer as HTML: whether it is right, and what there is to say."""
    return f"<b>{'Right.' if feedback.right else 'Not yet.'}</b> {escape(feedback.sentence)}"


def ask(prompt: str, bay: Bay, reading: str, beside: Mapping[str, Bay] | None = None) -> Ask:
    """A typed question for a reading of a bay; each usual mistake gets its own sentence.

    ``beside`` are other bays on the page, by their words, such as ``{"the trusses": bay}``: whoever gives a number of
    theirs is told whose it is.
    """
    return question_box(Question(prompt, bay, reading, tuple((beside or {}).items())))


def drill(prompt: str, bay: str, reading: str, number: int = 1) -> Ask:
    """A typed question for a "rafter", "scissor" or "jog" reading of practice roof ``number``, and of the next ones."""

    def new(at: int) -> Question:
        question = draw(f"{bay}.{reading}", "workbook", at).question
        assert isinstance(question, Question) and question.bay is not None  # numbers are drilled, not choices
        return replace(question, prompt=f"{prompt} Roof {at}: {givens(question.bay, reading)}.")

    return question_box(new(number), new, number)


def predict(
    prompt: str, choices: Sequence[str], right: int, why: str, panel: Panel | None = None, look: str = "",
    move: Mapping[str, str] | None = None, surprise: str = "", minutes: int = 3,
) -> Ask:  # fmt: skip
    """A prediction that is chosen first, and held against what is seen; ``right`` is a choice's number, from 1.

    With a ``panel``, choosing unlocks its controls, and the comparison appears once they stand as ``move`` says (such
    as ``{"seat": '5 1/2"'}``, as the control shows it); ``look`` says what to move.  Without one it appears at once.
    The choice may be changed until then, and not afterwards.  ``surprise`` (none: the first wrong choice) and
    ``minutes`` are for whoever asks a room.  InputError where no choice has that number, or the panel no such control.
    """
    if right not in range(1, len(choices) + 1):
        raise InputError(f"Right choice {right}: allowed is 1 to {len(choices)}.")
    answer, controls = choices[right - 1], dict(move or {})
    problems: list[str] = []
    for name in controls:
        read_word("Control to move", name, tuple(panel.content["fields"]) if panel else (), problems)
    stop_on(problems)
    picks: list[str] = []

    def outcome() -> str:
        question.done = True
        you = "as you said" if picks[-1] == answer else f"you said: {escape(picks[-1])}"
        return f"<b>It is: {escape(answer)}</b> ({you}). {escape(why)}"

    def there() -> bool:
        return panel is None or all(panel.content["fields"][name]["text"] == text for name, text in controls.items())

    def judge(choice: str, do: str) -> str:
        if question.done:
            return question.answer
        if choice not in choices:
            raise InputError(NO_CHOICE)
        picks.append(choice)
        if panel is not None:
            panel.locked = False
        counted = tell_choice(prompt, choices, choices.index(choice))
        return outcome() if there() else f"You said: {escape(choice)}. Now look: {escape(look)} {counted}".strip()

    question = Ask(prompt, judge, choices)
    tempting = surprise or f"Many will say: {next((choice for choice in choices if choice != answer), '')}."
    question.stop = Stop(prompt, tuple(choices), answer, why, look, tempting, minutes, controls)
    if panel is not None:
        question.panel = panel
        question.answer = "Choose one: that unlocks the picture."
        panel.locked = True

        def seen(content: Content) -> None:
            if picks and not question.done and there():
                question.answer = outcome()
                question.keep()

        panel.watch(seen)
    question.outcome = outcome
    question.resume(f"prediction: {prompt}")
    return question


def choose(prompt: str, answers: Mapping[str, str], right: str) -> Ask:
    """A question with choices, each with an answer of its own; one of them is right."""
    if right not in answers:
        raise ValueError(f"{right!r} is not one of the choices")

    def judge(choice: str, do: str) -> str:
        if choice not in answers:
            raise InputError(NO_CHOICE)
        head = "<b>Right</b> (as you said)." if choice == right else "<b>Not that one.</b>"
        return f"{head} {escape(answers[choice])}"

    question = Ask(prompt, judge, tuple(answers))
    question.resume(f"choice: {prompt}")
    return question
