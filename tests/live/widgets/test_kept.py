"""What a learner did is there on another day: in a file beside the copy, and nowhere else."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from rooflab import live
from rooflab.live.widgets import kept

BOOK = "01-one-roof-plane"
QUESTION = ("Which way?", ["up", "down"], 2, "It comes down.")


@pytest.fixture
def day(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], Path]:
    """Begins another day, with a new kernel on the same copy; the file of the kept answers."""
    (tmp_path / f"{BOOK}.ipynb").write_text("{}", encoding="utf-8")
    monkeypatch.setenv(kept.FOLDER, str(tmp_path))
    monkeypatch.setenv(kept.NOTEBOOK, str(tmp_path / f"{BOOK}.ipynb"))

    def begin() -> Path:
        for one in kept._OWN:
            one.write()
        kept._OWN.clear()
        return tmp_path / f"{BOOK}.kept.json"

    monkeypatch.setattr(kept, "_OWN", [])
    return begin


def test_answers_numbers_and_what_was_unlocked_are_there_again(day: Callable[[], Path]) -> None:
    def workbook() -> tuple[live.Panel, live.Ask, live.Ask, live.Ask]:
        panel = live.one_plane(("seat",), ("section",), ("rafter",), "small")
        guess = live.predict(*QUESTION, panel, "move the seat to 5 1/2.", move={"seat": '5 1/2"'})
        right = live.choose("Who cuts?", {"Ruth": "She does.", "Sam": "Not he."}, "Ruth")
        return panel, guess, right, live.drill("How high is the heel?", "rafter", "heel", 9)

    day()
    panel, guess, right, drill = workbook()
    assert panel.locked
    guess.give("up")
    panel.set(seat="4")
    right.give("Ruth")
    drill.give(do="next")
    drill.give("8")
    before = guess.answer, right.answer, drill.answer, drill.setup["prompt"], panel.content["fields"], panel.picture
    day()
    panel, guess, right, drill = workbook()
    after = guess.answer, right.answer, drill.answer, drill.setup["prompt"], panel.content["fields"], panel.picture
    assert after == before and not panel.locked and not guess.done and drill.message["value"] == "8"
    panel.set(seat='5 1/2"')
    told = guess.answer
    assert guess.done and told.startswith("<b>It is: down</b> (you said: up)")
    panel.set(seat="3")  # what was told stays, wherever the panel goes on to
    day()
    panel, guess, *_ = workbook()
    assert (guess.answer, panel.content["fields"]["seat"]["text"]) == (told, '3"')


def test_practice_goes_on_where_it_was(day: Callable[[], Path]) -> None:
    day()
    session = live.practice("rafter", seed=3)
    session.give("next")
    session.give("check", "1")
    session.give("hint")
    before = session.page, session.answer, session.marks
    day()
    again = live.practice("rafter", seed=3)
    assert (again.page, again.answer, again.marks) == before
    assert live.practice("rafter", seed=4).page["number"] == 1  # another one


def test_nothing_is_kept_or_read_but_in_our_copy(
    day: Callable[[], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without our start, and for a notebook outside the copy, there is no file, and one that is there is not read."""
    file = day()
    live.predict(*QUESTION).give("down")
    day()
    assert file.exists()
    for folder in ("", str(tmp_path / "elsewhere")):
        monkeypatch.setenv(kept.FOLDER, folder)
        day()
        guess = live.predict(*QUESTION)
        assert guess.answer == ""
        guess.give("up")
        day()
    assert json.loads(file.read_text(encoding="utf-8"))["entries"]["prediction: Which way?"]["value"] == "down"


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": "another"}', "\0\xff", '{"entries": {}}',
                                  '{"format": "rooflab kept answers", "version": 2, "entries": {}}',
                                  '{"format": "rooflab kept answers", "version": 1, "entries": {"a": 1}}'])  # fmt: skip
def test_a_damaged_or_foreign_file_is_kept_aside(
    day: Callable[[], Path], text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """One sentence, the bytes are there under another name, and the workbook goes on."""
    file = day()
    file.write_text(text, encoding="latin-1")
    guess = live.predict(*QUESTION)
    said = capsys.readouterr().out
    (aside,) = file.parent.glob("*set aside*")
    assert aside.read_text(encoding="latin-1") == text
    assert said.startswith("Kept answers") and aside.name in said and said.count("\n") == 1
    guess.give("down")
    day()
    assert live.predict(*QUESTION).done and capsys.readouterr().out == ""


def test_entries_that_fit_no_more_change_nothing(day: Callable[[], Path]) -> None:
    """A choice that is gone, a number that is a text: the question is as new, and nothing is logged."""
    file = day()
    live.predict(*QUESTION).give("down")
    live.practice("rafter", seed=3).give("next")
    day()
    document = json.loads(file.read_text(encoding="utf-8"))
    for entry in document["entries"].values():
        entry.update(value="sideways", number="many", acts=[[]], done=False)
    file.write_text(json.dumps(document), encoding="utf-8")
    assert not live.predict(*QUESTION).done
    assert live.practice("rafter", seed=3).page["number"] == 1


def test_two_kernels_keep_side_by_side_and_one_begins_anew(day: Callable[[], Path]) -> None:
    """Each writes what it changed, over nothing of the other; begun anew, the old file stays under a dated name."""
    file = day()
    one, other = kept.Diary(file), kept.Diary(file)
    one.put("a", {"value": "1"})
    other.put("b", {"value": "2"})
    one.write()
    other.write()
    third = kept.Diary(file)
    assert (third.get("a"), third.get("b")) == ({"value": "1"}, {"value": "2"})
    aside = third.begin_anew()
    third.put("a", {"value": "3"})
    third.write()
    assert aside.startswith(f"{BOOK} (until ") and not file.exists() and (file.parent / aside).exists()
    assert kept.Diary(file).get("a") == {}


def test_a_folder_that_cannot_be_written_is_said_once(
    day: Callable[[], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    file = day()
    file.mkdir()
    one = kept.Diary(None)
    one.file = file
    for value in "12":
        one.put("a", {"value": value})
        one.write()
    assert capsys.readouterr().out.count("Your answers are not kept") == 1
