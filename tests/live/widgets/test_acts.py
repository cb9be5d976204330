"""Forms and questions: what is pressed twice, late, for another question, or is no button, box or choice."""

from __future__ import annotations

from typing import Any

import pytest

from rooflab import live
from rooflab.live.widgets.base import OTHER_QUESTION, Form
from rooflab.live.widgets.form import Desk


def send(form: Form, **message: Any) -> str:
    form.set_state({"message": {**message, "turn": form.message.get("turn", 0) + 1}})
    return str(form.answer)


def test_an_answer_typed_for_the_question_before_is_not_judged() -> None:
    box = live.drill("How high is the heel?", "rafter", "heel")
    of = box.setup["prompt"]
    send(box, do="next", of=of)
    second = box.setup["prompt"]
    assert OTHER_QUESTION in send(box, do="check", value="8", of=of)
    assert OTHER_QUESTION in send(box, do="next", of=of) and box.setup["prompt"] == second  # a double click
    assert OTHER_QUESTION not in send(box, do="check", value="8", of=second)


def test_practice_goes_on_and_hints_once_at_a_double_click() -> None:
    session = live.practice("rafter.heel")
    of, hints = session.page["of"], session.page["hints"]
    for _ in range(2):
        send(session, do="hint", value=str(hints), of=of)
    assert session.page["hints"] == hints - 1
    for _ in range(2):
        send(session, do="next", of=of)
    assert session.page["number"] == 2 and OTHER_QUESTION in session.answer
    assert OTHER_QUESTION in send(session, do="check", value="8", of=of)
    half = live.practice("rafter.heel", rung="half")
    for at in (-1, 99, "0", None, [1]):
        assert "Not done" in send(half, do="check", value="8", at=at)
    assert not any(half.marks)


def test_what_is_none_of_the_choices_is_refused() -> None:
    guess = live.predict("Which way?", ("up", "down"), 1, "because")
    assert "none of the choices" in send(guess, value="<b>sideways") and not guess.done
    assert "It is: up" in send(guess, value="down")
    pick = live.choose("Which?", {"a": "yes", "b": "no"}, "a")
    assert "none of the choices" in send(pick, value="c")


def test_a_double_click_writes_once() -> None:
    """Both carry how many presses had been answered; the answer of the first stays."""
    files: list[str] = []

    def act(do: str, values: dict[str, str]) -> str:
        files.append(values["name"])
        return f"file {len(files)}"

    desk = Desk("Write?", {"save": "Write"}, act, (("name", "Name", ""),))
    for _ in range(2):
        assert send(desk, do="save", values={"name": "a"}, after=0) == "file 1"
    assert send(desk, do="save", values={"name": "a"}, after=1) == "file 2"  # pressed again, on purpose
    assert send(desk, do="save", values={"name": "b"}, after=1) == "file 3"  # another text counts
    assert send(desk, do="save", values={"name": "b", "other": "c"}, after=3) == "file 4" and len(files) == 4


@pytest.mark.parametrize("message", [{"do": "erase"}, {"do": None}, {"do": ["read"]}])
def test_a_button_that_is_not_there_does_nothing(message: dict[str, Any]) -> None:
    assert "Button: " in send(live.read_back(), **message)
    assert "Not read" in send(live.read_back(), do="read", values=["length"])
