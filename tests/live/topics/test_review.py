"""The live review and the live seam, without a browser: what is typed or pasted, and what is shown for it.

House of the workbooks: heel 8 13/16, height 8.8125 + 104 = 9'-4 13/16", rise 150.5/3 = 4'-2 3/16"; a forgotten seat of
3 1/2 in at 8 in 12 is 2/3 x 3.5 = 2 1/3 in (worked by hand).
"""

from __future__ import annotations

import os
from html import unescape
from pathlib import Path

import pytest
from pypdf import PdfReader

from rooflab import InputError
from rooflab.lessons.questions import Question
from rooflab.live import checking, paste, reply, seam, seam_question
from rooflab.live.topics.review import RANGES, SETS, set_csv


@pytest.mark.parametrize(
    ("drawing", "off", "against", "fits"),
    [
        ("honest", [], 0, []),
        ("one mistake", ["heel", "height", "depth_at_peak", "tail_top"], 0, ["seat forgotten"]),
        ("contradiction", ["ceiling_rise"], 2, ["ceiling from the other face"]),
    ],
)
def test_the_three_drawings(drawing: str, off: list[str], against: int, fits: list[str]) -> None:
    one = checking(drawing).responder.state.review
    assert [line.item for line in one.of("resolve")] == off
    assert len(one.contradictions) == against and [cause.mistake for cause in one.causes] == fits


def test_numbers_typed_are_reviewed() -> None:
    panel = checking("honest")
    panel.set(heel="00-09-13", _view="lines")
    assert (
        "13/16&quot; high, square to the plane" in panel.content["picture"] and "resolve" in panel.content["readings"]
    )
    panel.set(heel="high")
    assert panel.content["stale"] and panel.content["fields"]["heel"]["bad"]
    panel.set(heel="not shown")
    assert not panel.content["stale"] and panel.content["fields"]["heel"]["text"] == "not shown"


def test_resolve_is_read_beside_what_the_number_was() -> None:
    """Workbook 10 tells people to read resolve and rounding: heel 8 13/16 returned as 9 13/16, then as 8 7/8."""
    panel = checking("honest")
    panel.set(heel="00-09-13")
    row = next(row for row in unescape(panel.content["readings"]).split("<tr>") if "returned.heel" in row)
    assert "resolve" in row and "was " in row
    panel.set(heel="00-08-14")
    row = next(row for row in unescape(panel.content["readings"]).split("<tr>") if "returned.heel" in row)
    assert "rounding" in row and "was " in row
    assert panel.content["sentence"].startswith("Type A: Rounding only: heel;")


def test_every_view_shows_something() -> None:
    panel = checking("contradiction")
    for view, part in (("lines", "rl-list"), ("causes", "One number, changed alone"), ("overlay", "<svg")):
        panel.set(_view=view)
        assert part in panel.content["picture"]


def test_a_table_is_pasted() -> None:
    panel = checking("honest")
    box = paste(panel)
    assert "10 numbers read" in box.press("one mistake") and "seat forgotten" in panel.content["sentence"]
    assert "Not taken" in box.press("review", "heel,7\nheel,8") and "seat forgotten" in panel.content["sentence"]
    assert "2 numbers read" in box.press("review", "heel_left;8 13/16\nchord;2x6")
    assert [line.item for line in panel.responder.state.review.of("resolve")] == ["chord"]
    assert panel.content["fields"]["heel"]["text"] == "not shown"
    panel.raw = {"_reset": "1"}
    assert panel.responder.state.review.of("resolve") == () and panel.content["fields"]["heel"]["text"] == '8 13/16"'


def test_a_locked_panel_takes_no_table() -> None:
    panel = checking("honest", locked=True)
    assert "choose a prediction first" in paste(panel).press("one mistake")


def test_markup_in_a_table_is_shown_as_text() -> None:
    assert "<img" not in paste(checking()).press("review", "<img src=x>,1")


def test_the_reply_is_written_and_nothing_overwritten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    panel = checking("contradiction")
    desk = reply(panel, "out")
    ticks = {"point_1": "yes", "point_2": "yes", "point_16": "yes"}
    answers = [desk.press("pdf", note="Please call.", **ticks) for _ in range(2)] + [desk.press("csv")]
    assert all(answer.startswith("<b>Written:</b>") for answer in answers)
    assert len(os.listdir("out")) == 3
    name = sorted(path for path in os.listdir("out") if path.endswith(".pdf"))[0]
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(Path("out") / name).pages).split())
    assert "Please call." in text and "4'-4\"" in text and "3. " in text and "no approval" in text
    panel.set(heel="high")
    assert "put that right first" in desk.press("pdf")


def test_points_are_ticked_and_movements_held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Span 26'-0": L/180 = 1.733, L/240 = 1.3 (ANSI/TPI 1, sec. 7.6); sideways 1 1/4 and 3/4 (from memory)."""
    monkeypatch.chdir(tmp_path)
    desk = reply(checking("honest"), "out")
    labels = {row["name"]: row["label"] for row in desk.setup["fields"] if row["name"]}
    assert sum(isinstance(row["value"], bool) for row in desk.setup["fields"]) == 16
    assert "Nothing is ticked" in desk.press("check") and "No movement is typed" in desk.answer
    given = {f"point_{n}": "yes" for n in range(1, 16)}
    typed = {"deflection_total": "1 3/4", "deflection_live": "L/360", "sideways_total": "1.25"}
    assert set(typed) <= set(labels)
    said = desk.press("check", **given, **typed)
    assert "15 found, 1 not found" in said and "16. Camber" in said and "15. Ceiling" not in said
    assert not {"misses", "meets"} & set(said.replace("<", " ").replace(">", " ").split())
    assert "stated 1.75 in; usual limit 1.73 in" in said and "stated 0.87 in" in said and "memory" not in said
    assert said.startswith("<b>Correct and resubmit.</b>")
    for do in ("pdf", "csv"):
        assert desk.press(do, **given, **typed).startswith("<b>Written:</b>")
    table = next(Path("out").glob("*.csv")).read_text(encoding="utf-8-sig")
    drawn = next(Path("out").glob("*.pdf"))
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(drawn).pages).split())
    assert "point 16,,,,not found" in table and "point 15,,,,found" in table
    assert "movement stated,1.73 in,1.75 in,,," in table and "movement stated,,1.25 in,,," in table
    assert "Deflection, total (L/180): stated 1.75 in; usual limit 1.73 in" in text and "memory" not in text
    assert "Movement stated" in desk.press("check", deflection_live="L/0") and desk.answer.startswith("<b>Not done.")


def test_the_types_are_reviewed_together() -> None:
    """Type B's wall is set in by 24 in, where the plane stands 8.8125 + 24 x 2/3 = 24.8125 above the main plate; its
    heel comes back as 16 13/16 on a plate 7 5/16 up, together 24.125: 0.6875 low.
    """
    panel = checking("honest")
    box = paste(panel)
    assert box.setup["types"] == ["A", "B"]
    assert "Type B: nothing came back" in box.press("honest") and panel.content["sentence"].startswith("Type A: All")
    said = box.press("short truss")
    assert box.kind == "B" and panel.content["sentence"].startswith("Type B: To resolve: heel, left.")
    assert "Type A: All numbers" in said and "Type A would stand 11/16&quot; above type B" in said
    text = set_csv("short truss").replace("01-04-13", "01-05-08")
    said = box.press("review", text, "B")
    assert "Type B: All numbers" in said and "above type" not in said
    assert "Type A: To resolve" in box.press("review", text, "A")
    assert "Not taken" in box.press("review", text, "Z") and panel.responder.state.mark == "A"
    assert checking("short truss").responder.state.mark == "B"


def test_a_few_numbers_pasted_leave_none_of_the_old() -> None:
    panel = checking("honest", ("heel",), size="small")
    paste(panel).press("review", "heel,8 13/16")
    assert len(panel.responder.state.review.of("not shown")) == len(RANGES) - 1


def test_unknown_names_get_a_sentence() -> None:
    with pytest.raises(InputError, match="Drawing"):
        checking("perfect")
    with pytest.raises(InputError, match="Type"):
        checking(mark="Z")
    with pytest.raises(InputError, match="Control"):
        checking(camber="1")


def test_an_empty_drawing_can_be_typed_in() -> None:
    one = checking("").responder.state.review
    assert len(one.of("not shown")) == len(RANGES) - 1
    assert set_csv("honest").count("\n") == len(SETS["honest"]) + 1


# --- the seam --------------------------------------------------------------------------------------------------------


def test_the_seam_is_shimmed_to_its_highest_truss() -> None:
    """8 3/4, 9 1/16, 8 1/2, 8 13/16: 5/16, none, 9/16, 1/4.  Seat (9.25 x 1.20185 - 9.0625) x 1.5 = 3.082, 3 1/16."""
    panel = seam()
    panel.set(h_b="9 1/16")
    rows = {row.key: row.text for _, group in panel.responder.rows() for row in group}
    shims = [rows[f"seam.shim_{letter}"] for letter in "abcd"]
    assert shims == ['5/16"', '0"', '9/16"', '1/4"']
    assert (rows["seam.aim"], rows["seam.seat"]) == ('9 1/16"', '3 1/16"')


def test_no_seat_is_said() -> None:
    panel = seam()
    panel.set(h_a=7, h_b=7, h_c=7, h_d=7, _view="schedule")
    assert "No seat can match it" in panel.content["sentence"] and "No seat can do it" in panel.content["picture"]


def test_cautions_and_limits_are_shown() -> None:
    """312/200 = 1.56: a bow of 1 3/4 in misses."""
    panel = seam()
    panel.set(bow="1 3/4", _view="set")
    assert "Not within its limit: bow" in panel.content["sentence"] and "misses" in panel.content["picture"]
    panel.set(_view="cautions")
    assert "never cut" in panel.content["picture"] and "not braced" in panel.content["picture"]
    panel.set(_view="schedule")
    assert "Brace as the drawings say" in panel.content["picture"]


def test_what_the_tolerance_leaves_is_said() -> None:
    """8 3/4 under 8 13/16: 1/16 low, within 1/8."""
    assert seam().responder.reading("seam.shim_a").value == '1/16", so 0" with the tolerance'


# --- typed questions on the site -------------------------------------------------------------------------------------

HEELS = {"h_a": "8 5/8", "h_b": "8 7/8", "h_c": "8 3/8", "h_d": "8 13/16"}  # the highest 8.875, tolerance 1/8


@pytest.mark.parametrize(
    ("reading", "start", "typed", "mistake"),
    [
        ("aim", HEELS, 8.375, "lowest for highest"),
        ("aim", HEELS, 8.8125, "second highest"),
        ("aim", HEELS, 8.6719, "average of the trusses"),  # 34.6875 / 4
        ("aim", HEELS, 8.625, "first truss"),
        ("aim", HEELS, 8.75, "tolerance taken off the plane"),
        ("aim", HEELS, 9.0, "tolerance added to the plane"),
        ("aim", HEELS, 7.3845, "heel square to the roof"),  # 8.875 / 1.20185
        ("shim_c", HEELS, 0.375, "tolerance taken off the shim"),
        ("shim_c", HEELS, 0.625, "tolerance added to the shim"),
        ("shim_c", HEELS, 0.125, "tolerance as the shim"),
        ("shim_c", HEELS, 0.2969, "shim up to the average"),
        ("shim_c", HEELS, 0.25, "shim up to the first truss"),
        ("shim_c", HEELS, 0.416, "shim square to the roof"),  # 0.5 / 1.20185
        ("shim_c", HEELS, 0.601, "shim stretched"),
        # a heel of 9.25: seat (11.1171 - 9.25) x 1.5 = 2.8007, plumb cut 1.8671, notch 1.8671 / 1.20185 = 1.5535
        ("seat", {"h_a": "9 1/4"}, 1.8671, "height for seat"),
        ("seat", {"h_a": "9 1/4"}, 1.2447, "multiplied by the slope"),
        ("seat", {"h_a": "9 1/4"}, 3.366, "seat along the slope"),
        ("seat", {"h_a": "9 1/4"}, 4.1993, "longer for shorter"),  # 3 1/2 + 0.6993
        ("seat", {"h_a": "9 1/4"}, 3.9257, "lowest for highest"),  # (11.1171 - 8.5) x 1.5
        ("seat", {"h_a": "8 13/16", "h_b": "8 5/8", "h_c": "8 1/2"}, 0.6562, "depth not stretched"),  # 0.4375 x 1.5
        ("notch", {"h_a": "9 1/4"}, 1.8671, "plumb for square"),
        ("notch", {"h_a": "9 1/4"}, 2.244, "stretched for square"),
        ("notch", {"h_a": "9 1/4"}, 2.8007, "seat for notch"),
        ("notch", {"h_a": "9 1/4"}, 1.9415, "heel as drawn"),  # the notch of 3 1/2: x 2/3 / 1.20185
        ("taper", {"step": "3/4"}, 3, "feet for inches"),
        ("taper", {"step": "3/4"}, 18, "half an inch in each foot"),
        ("taper", {"step": "3/4"}, 24, "two feet for any step"),
        ("taper", {"step": "3/4"}, 16, "step below the line"),
        ("taper", {"step": "3/4"}, 72, "tapered on both sides"),
    ],
)
def test_a_mistake_on_the_site_worked_by_hand(reading: str, start: dict[str, str], typed: float, mistake: str) -> None:
    question = seam_question("?", f"seam.{reading}", **start).question
    assert isinstance(question, Question)
    judged = question.judge(f"{typed:.4f}")
    assert (judged.right, judged.mistake) == (False, mistake)


def test_a_heel_one_sixteenth_off_is_another_truss() -> None:
    """8 7/8 is the highest, 8 13/16 the next: a tape tells them apart, and 8.87 is 8 7/8."""
    question = seam_question("?", "seam.aim", **HEELS).question
    assert isinstance(question, Question)
    assert [question.judge(text).right for text in ("8 7/8", "8.87", "8 13/16")] == [True, True, False]


def test_the_share_of_the_depth_is_in_per_cent() -> None:
    """At 8 13/16 the notch is (11.1171 - 8.8125) / 1.20185 = 1.9175, of 9.25 in: 0.2073."""
    panel = seam()
    rows = {row.key: row.text for _, group in panel.responder.rows() for row in group}
    assert rows["seam.share"] == panel.responder.reading("seam.share").value == "21 %"


def test_a_line_that_agrees_differs_by_nothing() -> None:
    """The height is 8 13/16 in + 2/3 x 156 in = 112.8125 in; 0.02 in more is within 1/32 in; an inch is an inch."""
    panel = checking("honest")
    assert panel.responder.reading("returned.height").value == "0"
    panel.set(height="112.8325")
    assert panel.responder.reading("returned.height").value == "0, within rounding"
    panel.set(heel="9 13/16")
    assert panel.responder.reading("returned.heel").value == pytest.approx(1)


def test_a_word_pasted_is_a_row_and_never_a_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "heel").write_text("item,value\nheel,8", encoding="utf-8")
    box = paste(checking("honest"))
    for word in ("heel", "8.8125", str(tmp_path / "heel")):
        said = box.press("review", word)
        assert "Not taken" in said and ("it shows nothing" in said or "no such item" in said), said
