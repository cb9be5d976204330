"""The bench: a whole return pasted, each number typed where it stands, the next return, the file, and the letter.

The job is that of ``tests/tools/returned.py``; its numbers are worked by hand there and in ``tests/shop``.
"""

from __future__ import annotations

import os
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from rooflab import live
from rooflab.draw.views.returns import BLANK
from rooflab.job.jobfile import example
from rooflab.live.topics.returns import BenchPanel, BenchPaste
from rooflab.shop.returns import SAMPLE, Record
from tests.tools.returned import FIVE_JOB, FIVE_RETURNED


def bench(folder: Path) -> tuple[BenchPanel, BenchPaste]:
    panel = live.bench(FIVE_JOB, folder / "house.returned.json")
    return panel, BenchPaste(panel, folder / "from the manufacturer")


def targets(panel: BenchPanel) -> dict[str, dict[str, Any]]:
    """What can be touched on the drawing, by name."""
    return {one["name"]: one for one in panel.content["touch"]["picture"]["items"]}


def seen(panel: BenchPanel) -> str:
    return unescape(panel.content["picture"])


def rows(panel: BenchPanel) -> dict[str, str]:
    """The rows of the list that is shown, by their first cell."""
    found = {}
    for row in seen(panel).split("<tr>")[2:]:
        cells = [cell.partition("</td>")[0] for cell in row.split("<td")[1:]]
        found[cells[0].partition("<b>")[2].partition("</b>")[0]] = row
    return found


def test_all_marks_stand_on_one_page_with_what_is_missing(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    assert "5 drawings" in box.press("review", FIVE_RETURNED)
    assert panel.content["view"] == "job" and "4 of 5 types came back" in panel.content["sentence"]
    page = rows(panel)
    assert list(page) == ["A", "B", "C", "D", "E", "T7 of Birch House"]
    assert "agrees" in page["A"] and "S-101" in page["A"]
    assert all("resolve" in page[mark] for mark in "BCD")
    assert "Nothing came back" in page["E"] and "not of this job" in page["T7 of Birch House"]
    assert 'Type A would stand 11/16" above type B' in seen(panel)


def test_a_mark_pressed_opens_its_overlay_then_its_lines(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    box.press("review", FIVE_RETURNED)
    assert [name for name, _ in panel.setup["views"]] == ["job", "overlay", "lines", "causes"]
    assert 'data-set="type=B|_view=overlay"' in panel.content["picture"]
    panel.set(type="B", _view="overlay")
    assert "1'-4 13/16\" (asked 1'-5 1/2\")" in seen(panel)
    assert "Type B: To resolve: heel, left." in panel.content["sentence"]
    panel.set(_view="lines")
    assert "resolve" in seen(panel) and "Type B" not in seen(panel)


def test_boxes_are_empty_where_nothing_came_back(tmp_path: Path) -> None:
    """Span, height, rise, depth; both ends' pitches, overhangs, bearings, heels and tails; a plate; number and date."""
    panel, _ = bench(tmp_path)
    panel.set(type="B", _view="overlay")
    found = targets(panel)
    assert len(found) == 19 and {one["text"] for one in found.values()} == {""}
    shown = seen(panel)
    for asked in ("26'", "24'", "8 13/16", "9'-4 13/16", "4'-2 3/16"):
        assert asked not in shown.partition("</desc>")[2], asked
    assert BLANK in shown


def test_a_number_is_typed_where_it_stands(tmp_path: Path) -> None:
    """Type A's ends are alike: one heel stands for both until the right one is typed."""
    panel, _ = bench(tmp_path)
    panel.set(type="A", _view="overlay")
    assert targets(panel)["Type A heel"]["control"] == "A.heel"
    panel.set(**{"A.heel": "00-08-13"})
    assert panel.responder.state.review.shown == {"heel_left": 8.8125, "heel_right": 8.8125}
    panel.set(**{"A.heel_right": "9 13/16"})
    assert panel.responder.state.review.shown == {"heel_left": 8.8125, "heel_right": 9.8125}
    assert "Heel, right" in [line.texts[0] for line in panel.responder.state.review.of("resolve")]
    panel.set(**{"A.span": "26"})
    assert panel.content["stale"] and "Type A, Span" in panel.content["sentence"]
    panel.set(**{"A.span": "26'", "A.drawing": "S-9"})
    assert not panel.content["stale"] and "drawing number S-9" in seen(panel)
    assert Record(tmp_path / "house.returned.json", "").returns[0]["A"].values["span"] == "26'"


def test_a_sample_is_shown_on_demand_and_never_over_what_came_back(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    assert SAMPLE in box.press("sample") and panel.content["sentence"].startswith(SAMPLE)
    assert not (tmp_path / "house.returned.json").exists()
    assert "A: Correct" not in (desk := live.reply(panel, tmp_path / "out")).press("check")
    desk.press("pdf")
    (name,) = os.listdir(tmp_path / "out")
    assert SAMPLE in " ".join(PdfReader(tmp_path / "out" / name).pages[0].extract_text().split())
    box.press("review", FIVE_RETURNED)
    assert SAMPLE not in panel.content["sentence"] and "4 of 5" in panel.content["sentence"]
    assert "own drawings" in box.press("sample") and "4 of 5" in panel.content["sentence"]


def test_the_second_return_is_held_against_the_first(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    assert "still empty" in box.press("next")
    box.press("review", FIVE_RETURNED)
    assert "Return 2 begins" in box.press("next")
    assert "Return 2: 0 of 5" in panel.content["sentence"] and panel.responder.state.drawing.values == {}
    again = FIVE_RETURNED.partition("mark,B")[2].partition("mark,T7")[0]
    again = "mark,B" + again.replace("01-04-13", "01-05-08").replace("heel_right,00-11-02", "heel_right,00-11-04")
    box.press("review", again.replace("00-05-08", "00-03-08", 1))
    page = rows(panel)
    assert "Since return 1" in seen(panel)
    assert "1 resolved" in page["B"] and "1 new" in page["B"] and "still" in page["D"]
    assert "Not in return 2" in page["A"]
    panel.set(type="D", _view="lines")
    row = next(row for row in seen(panel).split("<tr>") if "Heel, right" in row)
    assert "still" in row and "resolve" in row


def test_it_is_there_on_the_second_day(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    box.press("review", FIVE_RETURNED)
    box.press("next")
    panel.set(**{"D.heel_right": "8 13/16"})
    other, _ = bench(tmp_path)
    assert other.responder.state.returns == panel.responder.state.returns and len(other.responder.state.returns) == 2
    assert "Return 2: 1 of 5" in other.content["sentence"]


def test_undo_takes_a_whole_return_back(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    box.press("review", FIVE_RETURNED)
    panel.set(_undo="1")
    assert "Nothing came back yet" in panel.content["sentence"]
    assert Record(tmp_path / "house.returned.json", "").returns == []
    panel.set(_redo="1")
    assert "4 of 5" in panel.content["sentence"]


def test_what_cannot_be_read_changes_nothing(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    box.press("review", FIVE_RETURNED)
    before = panel.responder.state.returns
    for text in ("mark,A\nheel,high", "mark,A\nheel,8\nmark,A\nheel,9", "", "<b>x</b>,1"):
        assert "Not taken" in box.press("review", text) and "<b>x" not in box.answer
    assert "it is not there" in box.press("folder") and "Button" in box.press("away")
    assert panel.responder.state.returns == before
    panel.set(**{"A.heel": "high"})
    assert "put that right first" in box.press("review", FIVE_RETURNED)
    assert "put that right first" in live.reply(panel, tmp_path / "out").press("check")


def test_a_folder_is_read(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    (tmp_path / "from the manufacturer").mkdir()
    for mark in "AB":
        (tmp_path / "from the manufacturer" / f"{mark}.csv").write_text("heel,8 13/16\nspan,26'\n", encoding="utf-8")
    assert "2 drawings, 4 numbers read" in box.press("folder") and list(panel.responder.state.returns[-1]) == ["A", "B"]


def test_a_damaged_file_is_told_and_left(tmp_path: Path) -> None:
    (tmp_path / "house.returned.json").write_text("{", encoding="utf-8")
    panel, box = bench(tmp_path)
    assert "house.returned.json" in box.answer and "left as it is" in box.answer
    panel.set(**{"A.heel": "9"})
    assert (tmp_path / "house.returned.json").read_text(encoding="utf-8") == "{"


def test_what_cannot_be_kept_is_said_and_shown_all_the_same(tmp_path: Path) -> None:
    panel = live.bench(FIVE_JOB, tmp_path / "none" / "house.returned.json")
    panel.set(**{"A.heel": "9"})
    assert "Not kept: Returned drawings" in panel.sentence and panel.responder.state.review.shown["heel_left"] == 9


def test_the_example_is_nobodys_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    live.bench().set(**{"A.heel": "9"})
    assert os.listdir(tmp_path) == [] and live.bench(example()).content["fields"]["type"]["text"] == "A"


def test_one_letter_answers_all(tmp_path: Path) -> None:
    panel, box = bench(tmp_path)
    box.press("review", FIVE_RETURNED)
    desk = live.reply(panel, tmp_path / "out")
    said = desk.press("check", action_A="correct as noted")
    assert "Type B: correct and resubmit." in said and "Type A: correct as noted." in said and "1 not returned" in said
    assert "Decision for E" in desk.press("check", action_E="no exceptions")
    assert "Type B" in desk.press("check", action_B="no exceptions") and "say in the note" in desk.answer
    assert "Type B: no exceptions" in desk.press("check", action_B="no exceptions", note="As we agreed.")
    for kind in ("pdf", "csv"):
        assert desk.press(kind, to="The shop", point_1="yes").startswith("<b>Written:</b>")
    assert sorted(name.rpartition(".")[2] for name in os.listdir(tmp_path / "out")) == ["csv", "pdf"]
