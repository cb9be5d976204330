"""Questions on the page: a typed answer with feedback, or a prediction that unlocks a panel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any

import anywidget
import traitlets

from ..house import Bay
from ..practice import Question
from .panel import HERE, Panel


class Ask(anywidget.AnyWidget):
    """A question with choices or a text box; ``judge`` turns what was given into HTML."""

    _esm = HERE / "ask.js"
    _css = HERE / "panel.css"
    setup = traitlets.Dict().tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    answer = traitlets.Unicode("").tag(sync=True)

    def __init__(self, prompt: str, judge: Callable[[str], str], choices: Sequence[str] = (), unit: str = "") -> None:
        self._judge = judge
        super().__init__(setup={"prompt": prompt, "choices": list(choices), "unit": unit})
        self.observe(self._answer, "given")

    def _answer(self, change: Any) -> None:
        self.answer = self._judge(str(self.given.get("value", "")))

    def give(self, value: str) -> str:
        """Answer from code; the feedback's text."""
        self.given = {"value": value, "turn": self.given.get("turn", 0) + 1}
        return self.answer

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """The widget, and for a page without a kernel the question in plain text."""
        bundle = super()._repr_mimebundle_(**kwargs)
        data, meta = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        lines = [self.setup["prompt"], *(f"( ) {choice}" for choice in self.setup["choices"])]
        return {**data, "text/plain": "\n".join(lines)}, meta


def ask(prompt: str, bay: Bay, reading: str) -> Ask:
    """A typed question for a reading of a bay; each usual slip gets its own sentence."""
    question = Question(prompt, bay, reading)

    def judge(text: str) -> str:
        if text.strip() == "?":
            return escape(question.show())
        said = question.judge(text)
        return f"<b>{'Right.' if said.right else 'Not yet.'}</b> {escape(said.sentence.removeprefix('Right: ').removeprefix('Not yet. '))}"

    return Ask(prompt, judge, unit="(feet and inches, or decimal inches)")


def predict(
    prompt: str, choices: Sequence[str], right: str, why: str, panel: Panel | None = None, look: str = "", **until: str
) -> Ask:
    """A prediction that is chosen first, and held against what is seen.

    With a ``panel``, choosing unlocks its controls, and the comparison appears once the panel's controls stand at
    ``until`` (say ``seat="5 1/2"``); ``look`` says what to move.  Without one it appears at once.
    """
    if right not in choices:
        raise ValueError(f"{right!r} is not one of the choices")
    chosen: list[str] = []

    def outcome() -> str:
        you = "as you said" if chosen[-1] == right else f"you said: {escape(chosen[-1])}"
        return f"<b>It is: {escape(right)}</b> ({you}). {escape(why)}"

    def there() -> bool:
        return panel is None or all(panel.shown["fields"][name]["text"] == text for name, text in until.items())

    def judge(choice: str) -> str:
        chosen.append(choice)
        if panel is not None:
            panel.locked = False
        return outcome() if there() else f"You said: {escape(choice)}. Now look: {escape(look)}"

    question = Ask(prompt, judge, choices)
    if panel is not None:
        panel.locked = True

        def seen(shown: dict[str, Any]) -> None:
            if chosen and there():
                question.answer = outcome()

        panel.watch(seen)
    return question
