"""The practice widget without a browser: what is offered, rungs, hints, seeds and feedback."""

from __future__ import annotations

import re

import pytest

from rooflab import InputError, live
from rooflab.house.readings import READINGS
from rooflab.lessons.exercises import KINDS, draw
from rooflab.lessons.questions import Question
from rooflab.live.widgets.practice import FAMILIES, RUNGS, Practice


def text(shown: Practice) -> str:
    return str(shown._repr_mimebundle_()[0]["text/plain"])


def test_every_reading_is_offered_one_by_one_or_mixed() -> None:
    shown = live.practice()
    offered = [value for value, _, _ in shown.setup["kinds"]]
    assert offered == ["mix", *KINDS]
    assert {f"{row.bay}.{row.name}" for row in READINGS} <= set(offered)
    assert shown.page["kind"] == "mix" and [value for value, _ in shown.setup["rungs"]] == list(RUNGS)
    assert "Local code and licensed people decide" in shown.setup["caution"]


def test_a_family_or_a_few_kinds() -> None:
    assert {value.partition(".")[0] for value, _, _ in live.practice("jog").setup["kinds"]} == {"mix", "jog"}
    alone = live.practice("rafter.heel")
    assert [value for value, _, _ in alone.setup["kinds"]] == ["rafter.heel"] and alone.page["kind"] == "rafter.heel"


@pytest.mark.parametrize(
    ("kinds", "given"), [(("hell",), {}), (("rafter.x",), {}), ((), {"seed": ""}), ((), {"rung": "first"})]
)
def test_what_is_not_offered_is_refused(kinds: tuple[str, ...], given: dict[str, str]) -> None:
    with pytest.raises(InputError):
        live.practice(*kinds, **given)


def test_the_same_seed_gives_the_same_questions() -> None:
    one, two = live.practice(seed="Class 4b"), live.practice(seed="class 4B ")
    for _ in range(12):
        assert one.page["prompt"] == two.page["prompt"]
        one.give("next")
        two.give("next")
    assert live.practice(seed="class 4c").page["prompt"] != live.practice(seed="class 4b").page["prompt"]


def test_own_rung_answers_and_goes_on() -> None:
    """The heel of question 1 of this seed, worked here: 7.25 x 1.25 - 0.75 x 2.5 = 7.1875; without the seat 9.0625."""
    shown = live.practice("rafter.heel", seed="monday")
    assert "2x8 rafters, roof 9 in 12, a seat of 2 1/2" in shown.page["prompt"]
    assert not shown.page["show"] and shown.give("show").startswith("Question 1")  # not before a try or a hint
    wrong = shown.give("check", "9 1/16")
    assert wrong.startswith("<b>Not yet.</b> That fits the plumb depth alone") and "7 3/16" not in wrong
    assert shown.page["show"]
    assert shown.give("check", "7 3/16").startswith("<b>Right.</b>")
    before = shown.page["prompt"]
    assert shown.give("next") == "Question 2, seed monday." and shown.page["prompt"] != before


def test_hints_come_one_by_one_and_never_the_answer() -> None:
    for kind in (kind for kind in KINDS if not kind.startswith("sense")):
        shown = live.practice(kind, seed="hints")
        question = shown.session.question
        count = len(question.hints)
        said = [shown.give("hint") for _ in range(count)]
        begun = [f"<b>Hint {i} of {count}" for i in range(1, count + 1)]
        assert [one[: len(start)] for one, start in zip(said, begun, strict=True)] == begun
        assert shown.page["hints"] == 0 and shown.give("hint") == said[-1]
        if isinstance(question, Question):
            assert count == 3 and question.reasoning.text.replace('"', "&quot;") not in " ".join(said)


@pytest.mark.parametrize("kind", KINDS)
def test_three_rungs_for_every_kind(kind: str) -> None:
    shown = live.practice(kind, seed="rungs")
    question = draw(kind, "rungs", 1).question
    assert shown.page["asks"] and not shown.page["lines"] and not shown.page["blanks"]
    shown.give("rung", "worked")
    assert shown.page["lines"] == question.lines() and not shown.page["asks"]
    right = question.reasoning.text if isinstance(question, Question) else question.choices[question.right]
    assert right in shown.page["lines"][-1]
    shown.give("rung", "half")
    if isinstance(question, Question):
        assert len(shown.page["blanks"]) >= 2 and not shown.page["asks"]
        for at, blank in enumerate(question.blanks):
            exact = f"{100 * blank.step.value:.1f} %" if blank.step.last and question.row.unit == "" else None
            assert shown.give("check", exact or f"{blank.step.value:.4f}", at).startswith("<b>Right.</b>")
        assert all(mark.startswith("<b>Right.") for mark in shown.marks)
        assert right not in " ".join([*shown.page["lines"], *shown.page["blanks"]]) or right in question.prompt
    else:
        assert shown.page["asks"] and shown.page["lines"]


def test_seed_and_kind_are_chosen_on_the_page() -> None:
    shown = live.practice("rafter", seed=1)
    shown.give("kind", "rafter.angle")
    assert shown.page["kind"] == "rafter.angle" and "degrees" in shown.page["unit"]
    shown.give("seed", "Friday")
    assert shown.page["seed"] == "friday" and shown.page["number"] == 1
    assert "Seed: nothing is not a word" in shown.give("seed", "  ") and shown.page["seed"] == "friday"
    shown.give("kind", "jog.heel")  # not offered here
    assert shown.page["kind"] == "rafter.angle"


def test_what_is_typed_is_escaped() -> None:
    shown = live.practice("rafter.heel")
    assert "<script" not in shown.give("check", "<script>alert(1)</script>")
    assert "<b" not in re.sub(r"^<b>Not yet\.</b>", "", shown.give("check", "<b>9</b>"))


def test_without_a_kernel_the_first_question_stands_in_text() -> None:
    assert text(live.practice("rafter.heel", seed="monday")).startswith(
        'Practice, seed monday, question 1: How high is the heel? Given: 2x8 rafters, roof 9 in 12, a seat of 2 1/2".'
    )
    half = text(live.practice("rafter.heel", seed="monday", rung="half"))
    assert "plumb depth = 7.25 × [stretch of the roof] = ________" in half
    assert text(live.practice("sense.steeper")).count("  ( ) ") == 3


def test_families_name_every_kind() -> None:
    assert {kind.partition(".")[0] for kind in KINDS} == set(FAMILIES)
