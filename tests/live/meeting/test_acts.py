"""Acts at the table that come late, twice or to another page: refused with a sentence; and what is undone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from rooflab.job.jobfile import Job, example
from rooflab.live import Meeting, together


@pytest.fixture
def table(tmp_path: Path) -> Meeting:
    return together(example(), tmp_path / "house.json")


def act(table: Meeting, what: str, name: str = "", value: str = "") -> dict[str, Any]:
    """An act as the page sends it: with the page, the thing and the state that are shown."""
    page = table.page
    of = next((one.get("of", "") for one in page["controls"] if one["name"] == name), "")
    return {"what": what, "name": name, "value": value, "page": page["look"], "serial": page["serial"], "of": of}


def send(table: Meeting, *acts: dict[str, Any]) -> str:
    """All in one message; the sentence."""
    first = table.page["done"] + 1
    table.set_state({"acts": [{"n": n, **one} for n, one in enumerate(acts, first)]})
    return str(table.page["sentence"])


def keep(table: Meeting, *seats: str) -> None:
    table.do("go", "", "1")
    for seat in seats:
        table.do("set", "to", seat)
        table.do("press", "keep")


def names(table: Meeting) -> list[str]:
    """Of the options saved beside the builder's, which stands first and always."""
    first, *others = [one.name for one in table.sitting.options]
    assert first == "As the builder has it"
    return others


def test_next_and_keep_in_one_message_take_nothing_away(table: Meeting) -> None:
    keep(table, "4", "5")
    before = names(table)
    said = send(table, act(table, "go", "", "next"), act(table, "press", "keep"))
    assert names(table) == before and table.page["look"] == "side by side" and "page before" in said
    assert table.page["stale"]


def test_a_double_click_acts_once(table: Meeting) -> None:
    keep(table, "4", "5")
    away = act(table, "go", "", "2")
    send(table, away, away)
    table.do("set", "option", '2 Seat 4"')
    away = act(table, "press", "away")
    said = send(table, away, away)
    assert len(names(table)) == 1 and "nothing was done" in said
    table.do("set", "option", '2 Seat 5"')
    away = act(table, "press", "away")
    said = send(table, away, away)  # the last one
    assert names(table) == [] and "nothing was done" in said
    table.do("go", "", "1")
    table.do("set", "to", "4")
    kept = act(table, "press", "keep")
    send(table, kept, kept)
    assert names(table) == ['Seat 4"']
    table.do("go", "", "0")
    forward = act(table, "go", "", "next")
    send(table, forward, forward)
    assert table.page["look"] == "more of the builder's numbers"


def test_a_press_after_the_answer_counts_again(table: Meeting) -> None:
    keep(table, "4", "5")
    table.do("go", "", "2")
    for left in (1, 0):
        table.do("set", "option", table.page["controls"][1]["choices"][1])
        assert "is removed" in send(table, act(table, "press", "away"))
        assert len(names(table)) == left
    assert "cannot be used now" in table.do("press", "away") and names(table) == []  # the builder's house stays


def test_a_text_meant_for_another_thing_is_refused(table: Meeting) -> None:
    """Typed for the seat while the change became the pitch; typed for an option that was taken away."""
    table.do("go", "", "1")
    said = send(table, act(table, "set", "change", "Roof pitch"), act(table, "set", "to", "5"))
    assert "nothing was done" in said and table.sitting.now == table.sitting.client
    assert next(one for one in table.page["controls"] if one["name"] == "to")["text"] == "5"  # what was typed stays
    table.do("set", "change", "Seat")
    keep(table, "4", "5")
    table.do("go", "", "2")
    table.do("set", "option", '3 Seat 5"')
    send(table, act(table, "press", "away"), act(table, "set", "own", "4 1/2"))
    assert [one.values["seat"] for one in table.sitting.options] == [3.5, 4.0]
    assert "not one of" in table.do("set", "option", '3 Seat 5"') and table.page["stale"]


def test_what_is_typed_before_a_button_still_counts(table: Meeting) -> None:
    """A text and then the button of the same page, sent together."""
    table.do("go", "", "1")
    table.do("set", "to", "4")
    send(table, act(table, "set", "name", "Four"), act(table, "press", "keep"))
    assert names(table) == ["Four"]
    table.do("go", "", "0")
    send(table, act(table, "set", "span", "28'"), act(table, "set", "pitch", "9"), act(table, "go", "", "next"))
    assert [table.sitting.client.text(name) for name in ("span", "pitch")] == ["28'-0\"", "9 in 12"]
    assert table.page["look"] == "more of the builder's numbers"


def test_what_is_taken_away_can_be_undone(table: Meeting) -> None:
    keep(table, "4", "5")
    options, now = table.sitting.options[:], table.sitting.now
    table.do("go", "", "2")
    for _ in range(2):
        table.do("set", "option", table.page["controls"][1]["choices"][1])
        table.do("press", "away")
    table.do("go", "", "3")
    assert "Remove" in table.page["undo"]
    said = send(table, act(table, "undo"))
    assert said == "Undone: Remove." and table.page["look"] == "side by side" and names(table) == ['Seat 5"']
    for _ in range(3):  # which was chosen, the other one, which was chosen
        send(table, act(table, "undo"))
    assert (table.sitting.options, table.sitting.now) == (options, now)
    double = act(table, "undo")
    send(table, double, double)
    assert names(table) == ['Seat 4"']  # back to before the second was kept, once


def test_everything_can_be_undone_to_the_start(table: Meeting) -> None:
    first: Any = [table.sitting.client], table.sitting.now, {}
    for text in ("27'", "28'", "29'"):  # a slider on its way is one change
        table.do("set", "span", text)
    table.do("set", "pitch", "9")
    keep(table, "4", "5")
    table.do("go", "", "4")
    table.do("set", "heel", "9 1/4")
    for _ in range(20):
        table.do("undo")
    assert table.page["sentence"] == "There is nothing to undo." and table.page["undo"] == ""
    assert (table.sitting.options, table.sitting.now, table.sitting.memory) == first


def test_what_is_written_stays_written(table: Meeting, tmp_path: Path) -> None:
    keep(table, "4")
    table.do("go", "", "5")
    table.do("set", "date", "1 May 2026")
    assert table.do("press", "write").startswith("Written: ")
    house = Job.load(tmp_path / "house.json")
    table.do("undo")
    assert table.sitting.house == house == Job.load(tmp_path / "house.json")
    table.do("go", "", "5")
    assert table.sitting.memory["written"]


@pytest.mark.parametrize(
    "acts", [[None], [3], ["go"], [{}], [{"n": "1"}], [{"n": None, "what": "press"}], [{"n": True}], [[1, "go"]],
             [{"n": 1, "what": 3, "name": [], "value": {}, "page": 0, "serial": "x"}],
             [{"n": 1, "what": "press", "name": "keep", "page": "nowhere"}]],
)  # fmt: skip
def test_a_message_of_another_kind_changes_nothing(table: Meeting, acts: list[Any]) -> None:
    before = table.sitting.options[:], table.sitting.now
    table.set_state({"acts": acts})
    assert (table.sitting.options, table.sitting.now) == before
    assert table.do("set", "span", "28'").startswith("Span, out to out: 28'-0\"")


def test_a_page_that_fails_leaves_the_table_as_it_was(table: Meeting, faults: list[str], monkeypatch: Any) -> None:
    """The act is taken back, what was shown stays under a sentence, and the next act counts."""
    keep(table, "4")
    picture, before = table.picture, (names(table), table.sitting.now)
    page = table.sitting.page

    def fails(*_: Any) -> str:
        raise LookupError

    monkeypatch.setattr(page, "drawing", fails)
    said = table.do("set", "to", "5")
    assert "could not be worked out" in said and table.picture == picture and table.page["stale"]
    assert (names(table), table.sitting.now) == before and len(faults) == 1
    monkeypatch.undo()
    assert "becomes 5" in table.do("set", "to", "5") and not table.page["stale"]
    faults.clear()
