"""A small form: boxes and buttons, and what a button does; a box that reads back what was typed as a length."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from html import escape
from typing import Any

import traitlets

from rooflab.base.measure import InputError, feet_inches, inches, sixteenth
from rooflab.job.jobfile import Job

from .base import Form, script, style


class Desk(Form):
    """Boxes and buttons; what a button does comes back as HTML.  ``job`` is the job it works on.

    A field is name, label and value: a text, or True or False for a box to tick ("yes" or "" when it comes back).
    One without a name is a heading over those that follow.
    """

    _esm = script("form.js")
    _css = style("ask.css")

    answered = traitlets.Int(0).tag(sync=True)  # presses; a message holds how many were answered when it was sent

    job: Job | None = None
    _last: tuple[str, dict[str, str]] = "", {}  # the button pressed last, and what stood in the boxes

    def __init__(
        self,
        prompt: str,
        buttons: Mapping[str, str],
        act: Callable[[str, dict[str, str]], str],
        fields: Sequence[tuple[str, str, str | bool]] = (),
        answer: str = "",
    ) -> None:
        self._act = act
        setup = {"prompt": prompt, "fields": field_specs(fields), "buttons": list(buttons.items())}
        super().__init__(setup=setup, answer=answer)

    def _answer(self) -> None:
        sent, do = self.message.get("values"), str(self.message.get("do", ""))
        boxes = {field["name"] for field in self.setup["fields"]}
        texts = {str(name): str(text) for name, text in sent.items()} if isinstance(sent, dict) else {}
        values = {name: text for name, text in texts.items() if name in boxes}
        late = self.message.get("after", self.answered) != self.answered
        if late and (do, values) == self._last:  # the second of a double click
            return
        self._last, self.answered = (do, values), self.answered + 1
        try:
            if do not in (names := [name for name, _ in self.setup["buttons"]]):
                raise InputError(f"Button: {do[:20]} is not {' or '.join(names)}.")
            self.answer = self._act(do, values)
        except InputError as error:
            self.answer = "<b>Not done.</b> " + " ".join(escape(problem) for problem in error.problems)

    def job_now(self) -> Job:
        """The job it works on, with what its file became meanwhile.  InputError where it cannot be said."""
        assert self.job is not None
        return self.job

    def press(self, do: str, **values: str) -> str:
        """The answer to a button pressed from code, with what stands in the boxes."""
        return self._press(do=do, values=values)

    def still(self) -> dict[str, str]:
        lines = [self.setup["prompt"], *map(_line, self.setup["fields"])]
        lines.append("  " + "  ".join(f"[ {label} ]" for _, label in self.setup["buttons"]))
        return {"text/plain": "\n".join(lines)}


def field_specs(fields: Sequence[tuple[str, str, str | bool]]) -> list[dict[str, Any]]:
    """Fields of a form as the page takes them: name, label and value of each."""
    return [{"name": name, "label": label, "value": value} for name, label, value in fields]


def _line(row: Mapping[str, Any]) -> str:
    """A field of a form in plain text."""
    if not row["name"]:
        return str(row["label"])
    if isinstance(row["value"], bool):
        return f"  [{'x' if row['value'] else ' '}] {row['label']}"
    return f"  {row['label']}: {row['value'] or '________'}"


Source = Job | Desk


def job_of(source: Source) -> Job:
    """The job itself, or the one a form works on."""
    return source if isinstance(source, Job) else source.job_now()


def read_back(start: str = "9'-8 5/8\"") -> Desk:
    """A box for a length; its button says how it is read, or in one sentence why it is not.

    >>> read_back().press("read", length="8-5/8")
    '<b>Read as 8 5/8&quot;</b>: 8.625 inches.'
    """
    return Desk("Type a length as you would write it on a drawing.", {"read": "Read it"}, _read,
                (("length", "A length", start),))  # fmt: skip


def _read(do: str, values: dict[str, str]) -> str:
    try:
        value = inches(values.get("length", ""), "Length")
    except InputError as error:
        return f"<b>Not read.</b> {escape(' '.join(error.problems))}"
    text = escape(feet_inches(value))
    close = "" if sixteenth(value) == value else f", which a tape shows as {text}"
    decimal = f"{value:.10g} inches"
    return f"<b>Read as {decimal}</b>{close}." if close else f"<b>Read as {text}</b>: {decimal}."
