"""Cutting the rafter as a lesson: panel, questions with their mistakes, and the files that a desk writes.

The workshop of workbook 02 by hand: 24'-0", 7 in 12 (k = sqrt(193)/12 = 1.157704), 2x10 (9 1/4, PS 20), seat 3, ridge
board 1 1/2, overhang 18.  Line 144 k = 166.709; building line 143.25 k = 165.841; cut 161.25 k = 186.680; stock + 9.25
x 7/12 = 192.076; heel 9.25 k - 1.75 = 8.959; plumb cut 1.75; step 12 k = 13.892; plumb cuts arctan(7/12) = 30.26
degrees.  Which mistakes are usual is common practice of teaching, no source.
"""

from __future__ import annotations

from html import unescape
from pathlib import Path
from typing import Any

import pypdf
import pytest

from rooflab import Gable, InputError, RafterBay
from rooflab.house.cutting import Cut
from rooflab.lessons.exercises import draw_cut
from rooflab.lessons.mistakes import SAME
from rooflab.lessons.prompts import cut_givens
from rooflab.lessons.questions import Question, cut_rows
from rooflab.live import cut_drill, cut_files, cut_panel, cut_question, working
from rooflab.live.topics.cutting import CutTopic

SHOP: dict[str, Any] = {"span": "24'", "pitch": 7, "seat": 3, "lumber": "2x10", "ridge": "2x12", "overhang": 18}
ANSWERS = {
    "line_length": "13'-10 11/16", "building_line": "165.841", "cut_length": "15'-6 11/16", "stock_length": "16'-1/16",
    "heel": "8 15/16", "birdsmouth_plumb": "1 3/4", "plumb_angle": "30.3", "step": "1'-1 7/8", "seat_angle": "59.7",
    "tail_length": "20.839", "shortening": "3/4",
}  # fmt: skip
DRILLED = ("building_line", "corner", "seat_end", "tail_length", "step", "shortening", "cut_length", "heel")


@pytest.mark.parametrize(("reading", "answer"), ANSWERS.items())
def test_answers_worked_by_hand_are_right(reading: str, answer: str) -> None:
    assert cut_question("How much?", reading, **SHOP).give(answer).startswith("<b>Right.</b>")


@pytest.mark.parametrize(
    ("reading", "typed", "mistake"),
    [
        ("building_line", "166.709", "ridge board left out"),  # 144 k
        ("building_line", "164.973", "whole ridge board"),  # 142.5 k
        ("building_line", "165.959", "board along the edge"),  # 144 k - 0.75
        ("building_line", "186.680", "tail counted in"),
        ("building_line", "143.25", "slope not stretched"),
        ("building_line", "332.551", "span for run"),  # (288 - 0.75) k
        ("step", "19", "rise and run added"),
        ("step", "7", "rise for step"),
        ("step", "12", "slope not stretched"),
        ("shortening", "1 1/2", "whole ridge board"),
        ("shortening", "0.868", "shortening along the edge"),  # 0.75 k
        ("corner", "165.841", "plumb for square"),  # the building line
        ("corner", "171.237", "whole plumb line"),  # + 9.25 x 7/12
        ("seat_end", "162.368", "bottom edge for top edge"),  # 140.25 k
        ("seat_end", "168.237", "seat along the edge"),  # 143.25 k - 3 + 9.25 x 7/12
        ("cut_length", "187.548", "ridge board left out"),  # 162 k
        ("cut_length", "183.841", "overhang not stretched"),  # 143.25 k + 18
        ("cut_length", "165.841", "overhang left out"),  # 143.25 k
        ("cut_length", "192.076", "stock for cut length"),  # 161.25 k + 9.25 x 7/12
        ("stock_length", "186.680", "cut length for stock"),  # 161.25 k
        ("heel", "10 11/16", "seat forgotten"),  # 9.25 k = 10.709
        ("heel", "7.738", "square to the edge"),  # 8.959 / k
        ("birdsmouth_plumb", "3", "seat for heel cut"),
    ],
)
def test_a_mistake_gets_its_own_sentence(reading: str, typed: str, mistake: str) -> None:
    question = cut_question("How much?", reading, **SHOP).question
    assert isinstance(question, Question)
    said = question.judge(typed)
    assert not said.right and said.mistake == mistake and said.sentence.startswith("That fits ")


def test_close_is_what_early_rounding_makes() -> None:
    """A heel of 8 3/4 for 8.959 is no rounding, 0.21 in off; 144 x 1.16 for 144 x 1.1577 is, 0.33 in off."""
    heel, line = (cut_question("How long?", name, **SHOP).give for name in ("heel", "line_length"))
    assert "round only at the end" not in heel("8 3/4") and "larger" in heel("8 3/4")
    assert "round only at the end" in line("167.04")


def test_a_mistakes_working_is_shown_where_it_helps() -> None:
    """7 in 12 taken as 7 degrees is no slope in twelfths: arctan(1.473/12) would puzzle.  The whole span is plain."""
    assert "Such a number" not in cut_question("How steep?", "plumb_angle", **SHOP).give("7")
    assert "288" in cut_question("How long?", "line_length", **SHOP).give("27'-9 7/16")


def test_mistakes_equal_by_algebra_are_both_said() -> None:
    """The slope upside down and the seat's angle are one number, 90 - arctan(7/12) = 59.74."""
    said = cut_question("How steep?", "plumb_angle", **SHOP).give("59.7")
    assert "upside down" in said and "other cut" in said


def test_each_mistake_of_a_question_is_told_apart() -> None:
    question = cut_question("How much?", "building_line", **SHOP).question
    assert isinstance(question, Question)
    sentences = {question.judge(f"{one.value:.4f}").sentence for one in question.mistakes}
    assert len(sentences) >= 7


@pytest.mark.parametrize("reading", DRILLED)
def test_practice_stands_clear_of_every_mistake(reading: str) -> None:
    """Fifteen rafters a reading: the answer is accepted, and every mistake is further from it than counts as right."""
    for number in range(1, 16):
        question = draw_cut("How much?", reading, number)
        assert question == draw_cut("How much?", reading, number)
        unit = question.row.unit
        assert question.judge(f"{question.value:.3f}").right
        possible = [one for one in question.every if one.value > 0 and abs(one.value - question.value) > 1e-6]
        assert possible and all(abs(one.value - question.value) > SAME[unit] for one in possible)
        for one in possible:
            assert not question.judge(f"{one.value:.3f}").right, one.mistake.name


def test_a_drill_goes_on() -> None:
    first, again = cut_drill("Where?", "corner", 2), cut_drill("Where?", "corner", 2)
    assert first.setup["prompt"] == again.setup["prompt"] and "Rafter 2: " in first.setup["prompt"]
    before = first.question
    assert first.give(do="next") == "" and first.question != before and "Rafter 3: " in first.setup["prompt"]
    assert "÷" in first.give(do="show")


def test_what_is_told_is_enough() -> None:
    def told(bay: RafterBay, reading: str) -> str:
        return cut_givens(bay, cut_rows(Cut(bay), reading).row(reading).args)

    bay = RafterBay(Gable("24'", 7, "5 1/2", 18), "2x10", 3)
    assert told(bay, "building_line") == '24\'-0" wide, out to out, roof 7 in 12, a ridge board 1 1/2" thick'
    assert told(bay, "corner").count(",") >= 4 and 'a seat of 3"' in told(bay, "corner")
    for name in ("steps", "mouth", "nonsense"):
        with pytest.raises(InputError, match="Reading of a cut rafter"):
            told(bay, name)


# --- the panel -------------------------------------------------------------------------------------------------------


def test_the_panel_shows_and_works() -> None:
    panel = cut_panel(**SHOP)
    assert "15'-6 11/16" in unescape(panel.sentence) and "13'-9 13/16" in unescape(panel.sentence)
    panel.set(hook="tail")
    assert "tail cut: building line 1'-8 7/8" in unescape(panel.sentence)  # 186 11/16 less 165 13/16
    lines = working(panel, "cut.building_line", "cut.shortening").lines
    assert lines[0][1] == "13'-9 13/16\"" and lines[1] == (
        "Ridge shortening, level", '3/4"', "t ÷ 2", "1.5 ÷ 2",
    )  # fmt: skip
    panel.set(seat="20")
    assert panel.content["stale"] and "Seat" in panel.sentence
    with pytest.raises(InputError, match="Control"):
        cut_panel(width="24'")


@pytest.mark.parametrize("view", list(CutTopic().views))
def test_every_view_stands_at_every_end_of_the_sliders(view: str) -> None:
    panel = cut_panel((), (view,), size="")
    for control in CutTopic().controls:
        for end in (control.low, control.high) if not control.choices else control.choices[:: len(control.choices) - 1]:
            panel.raw = {control.name: str(end), "seat": "1" if control.name != "seat" else str(end)}
            assert not panel.content["stale"], (control.name, end)
            assert "<svg" in panel.picture and panel.sentence


def test_the_notch_is_asked_about() -> None:
    panel = cut_panel(seat="5 1/2")
    assert "ask" in panel.readings and "Ask:" in panel.note


def test_a_rafter_as_a_job_file_has_it() -> None:
    """Measured stock and a depth may be given; the usual sizes stay."""
    for stock in ("1 3/4 x 11 7/8", '9 1/2"'):
        panel = cut_panel(lumber=stock)
        assert panel.content["fields"]["lumber"]["text"] == stock and not panel.content["stale"]
    assert cut_panel(lumber='9 1/2"').responder.state.bay.depth == 9.5
    assert cut_panel(ridge="none").responder.state.values["shortening"] == 0


def test_the_desk_writes_new_files(tmp_path: Path) -> None:
    panel = cut_panel(**SHOP)
    desk, folder = cut_files(panel, str(tmp_path / "made")), tmp_path / "made"
    for _ in range(2):
        assert "<b>Written:</b>" in desk.press("template")
    assert "measure the 6 in line" in desk.answer
    assert "<b>Written:</b>" in desk.press("sheet")
    names = sorted(path.name for path in folder.iterdir())
    assert names == ["2x10-7-in-12-birdsmouth.pdf", "2x10-7-in-12-cut-sheet.pdf", "2x10-7-in-12-2-birdsmouth.pdf"] or (
        len(names) == 3 and all(name.startswith("2x10-7-in-12") for name in names)
    )
    text = pypdf.PdfReader(folder / "2x10-7-in-12-cut-sheet.pdf").pages[0].extract_text()
    assert "13'-9 13/16\"" in text
    panel.set(seat="0")
    assert "Not done" in desk.press("template") and "no birdsmouth" in desk.answer
    panel.set(seat="20")
    assert "cannot be drawn" in desk.press("sheet")
