"""Presenting without a browser: the stops of every workbook, the talk, the one-page handouts, the command line.

At most four controls and six readings, text of 16 pt (21.33 px) at 1280 x 720: what a projector needs, common practice,
no source.  A letter page is 8 1/2 x 11 in, 612 x 792 points.
"""

from __future__ import annotations

import ast
import json
import re
from html import unescape
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

import rooflab as rl
from rooflab.base.measure import InputError
from rooflab.draw.close_up import SMALL, Shift, change_of, glass_for
from rooflab.draw.layout import fit_large
from rooflab.draw.paper import file_bytes
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Scene, Shape
from rooflab.draw.sheets.handout import Handout, handout_page
from rooflab.draw.sheets.running_order import Slide, running_order_page
from rooflab.job.jobfile import example
from rooflab.live.talk.stops import (
    DESK_KEYS,
    KEYS,
    Lesson,
    RoomStop,
    handout_of,
    read_lesson,
    room_panel,
    slides_of,
    without_marks,
)
from rooflab.live.talk.view import Room, Talk, room
from rooflab.live.widgets import base as shared_page
from rooflab.live.widgets.frames import BOLD, room_frames
from rooflab.start import command as start
from rooflab.start import present
from rooflab.start.copies import CannotStart, workbook_name
from tests.tools.keys import key_box, key_parts, lit_halves, met_by
from tests.tools.lessons import BOOKS, code, name, prose

LARGE, SMALLEST = 16 * 96 / 72, 8.5  # px on the projector, points on paper
LESSONS: dict[Path, Lesson] = {path: read_lesson(path.stem) for path in BOOKS}
every_book = pytest.mark.parametrize("path", BOOKS, ids=name)
NARROW = 1012  # of a line of the narrower room view, px
ROOM = room_frames().picture
STAGES = (1280, 720), (1024, 768)  # px


def text_of(path: Path) -> str:
    return "\n".join(cell.source for cell in code(path))


# --- the stops -------------------------------------------------------------------------------------------------------


@every_book
def test_every_prediction_with_a_picture_is_a_stop(path: Path) -> None:
    """Counted in the workbook's source: calls of live.predict that hand over a panel."""
    calls = [node for node in ast.walk(ast.parse(text_of(path))) if isinstance(node, ast.Call)]
    predictions = [node for node in calls if ast.unparse(node.func) == "live.predict"]
    assert len(LESSONS[path].stops) == sum(len(node.args) > 4 for node in predictions)
    assert LESSONS[path].left_out == 0


@every_book
def test_goal_and_summary_are_the_workbooks(path: Path) -> None:
    lesson = LESSONS[path]
    said = prose(path)
    assert 1 <= len(lesson.points("Goal")) <= 3 and lesson.points("Summary")
    assert all(point in said for section in ("Goal", "Summary") for point in lesson.points(section))


@every_book
def test_a_talk_fits_into_a_lunch_hour(path: Path) -> None:
    lesson = LESSONS[path]
    assert all(1 <= asked.stop.minutes <= 8 for asked in lesson.stops)
    assert sum(asked.stop.minutes for asked in lesson.stops) < lesson.minutes <= 45


@every_book
def test_a_stop_is_little_enough_for_a_room(path: Path) -> None:
    """Few controls, the one to move first; few readings; one picture whose texts are large and inside their frame."""
    for asked in LESSONS[path].stops:
        panel = room_panel(asked)
        assert 1 <= len(panel.setup["controls"]) <= 4
        assert panel.setup["controls"][0]["name"] == next(iter(asked.stop.move))
        assert panel.setup["size"] == "room" and len(panel.setup["views"]) == 1 and panel.locked
        for moved in ({}, asked.moves):
            panel.set(**moved)
            assert not panel.content["stale"] and panel.content["readings"].count("<tr>") <= 6
            assert "data-why" not in panel.content["readings"]  # no buttons but the controls
            frame = re.match(r'<svg [^>]*width="(\d+)" height="(\d+)"', panel.picture)
            assert frame and (int(frame[1]), int(frame[2])) == ROOM and ROOM[0] * ROOM[1] >= 1280 * 720 / 2
            assert float(re.findall(r'font-size="([\d.]+)"', panel.picture)[0]) >= LARGE
            placed = panel.responder.layout_of(panel.responder.scene_now(), *ROOM)
            assert placed.width <= ROOM[0] and placed.height <= ROOM[1]
            beside, over = (ROOM[0] - placed.width) / 2, (ROOM[1] - placed.height) / 2  # it stands in the middle
            for label in placed.labels:
                x0, y0, x1, y1 = label.box
                assert -beside <= x0 and x1 <= placed.width + beside, label.text
                assert -over - 2 <= y0 and y1 <= placed.height + over + 2, label.text  # boxes are higher than letters


@every_book
def test_a_section_in_a_room_has_its_key(path: Path) -> None:
    """Before the control moves and after; a gable wall fills the picture and may go without."""
    for asked in LESSONS[path].stops:
        panel = room_panel(asked)
        for moved in ({}, asked.moves):
            panel.set(**moved)
            sheet = panel.responder._sheets["picture"]
            if sheet.view != "gable":
                wanted = panel.responder.topic.key(sheet.view, panel.responder.state)
                assert (sheet.held.key is None) == (wanted is None), (asked.stop.prompt, sheet.view)


@every_book
def test_what_is_asked_and_told_has_room(path: Path) -> None:
    """By the widths of a wide face: two lines for the question, on the narrower window too."""
    talk = Talk(LESSONS[path])
    for place, asked in enumerate(LESSONS[path].stops, talk.first_stop):
        stop = asked.stop
        assert 2 <= len(stop.choices) <= 4 and stop.right in stop.choices
        assert len(wrap(stop.prompt, NARROW / BOLD, 24)) <= 2, stop.prompt
        for stage in STAGES:
            talk.do("size", f"{stage[0]}x{stage[1]}")
            talk.do("go", str(place))
            talk.do("choose", "0")
            talk.do("show")
            outcome, sizes = unescape(re.sub("<.*?>", "", talk.slide()["outcome"])), room_frames(stage)
            lines = len(wrap(outcome, sizes.left - 12, 21.4))
            assert 26 * lines + 66 * len(room_panel(asked).setup["controls"]) <= sizes.picture[1], outcome
            talk.do("again")


def test_the_stops_say_what_to_expect() -> None:
    """A sentence of its own at each stop: what most get wrong, and not only which choice."""
    for path in BOOKS:
        assert all(not asked.stop.surprise.startswith("Many will say") for asked in LESSONS[path].stops), path.name


def test_the_readings_that_a_stop_names_are_shown() -> None:
    """Of eight readings at the tails of workbook 01 the soffit step is the last; its stop asks for it."""
    lesson = read_lesson("01")
    assert "Soffit step" in room_panel(lesson.stops[5]).content["readings"]


def test_a_reading_that_is_asked_for_is_not_shown_before() -> None:
    """Workbook 06 asks what the post carries, and the beam would carry the same before it holds anything."""
    asked = read_lesson("06").stops[2]
    assert "Post" in asked.panel.content["readings"] and "4,267" in asked.stop.why
    assert "4,267" not in room_panel(asked).content["readings"]


def test_a_drawing_of_another_type_comes_with_its_numbers() -> None:
    """Workbook 10, stop 5: type B's left heel is drawn at 1'-4 13/16\" where the planes want 1'-5 1/2\"."""
    asked = read_lesson("10").stops[4]
    panel = room_panel(asked)
    panel.set(**asked.moves)
    shown = unescape(panel.content["readings"])
    assert "1'-4 13/16\"" in shown and "1'-5 1/2\"" in shown


def test_what_dashed_lines_mean_stays_in_large_pictures() -> None:
    """Workbook 10, stop 1 moved: long figures make room by leaving out others."""
    asked = read_lesson("10").stops[0]
    panel = room_panel(asked)
    panel.set(**asked.moves)
    assert "SOLID: asked for" in panel.picture and "DASHED: returned" in panel.picture


def test_a_fraction_is_never_broken_off() -> None:
    """Each number with a fraction of workbook 02's outcomes stands in a part that is not broken."""
    talk = Talk(read_lesson("02"))
    talk.do("go", str(talk.first_stop + 1))
    talk.do("show")
    assert '<span class="rl-whole">15&#x27;-7 1/16&quot;' in talk.slide()["outcome"]


# --- the talk --------------------------------------------------------------------------------------------------------


@pytest.fixture
def talk() -> Talk:
    return Talk(read_lesson("01"))


def test_slides_run_from_goal_to_summary(talk: Talk) -> None:
    seen = []
    for place in (0, 1, 7, 8, 99):
        talk.do("go", str(place))
        shown = talk.slide()
        seen.append((shown["at"], shown["kind"], shown["progress"]))
    total = talk.lesson.minutes
    assert seen == [
        (0, "first", ""), (1, "stop", "Stop 1 of 7"), (7, "stop", "Stop 7 of 7"), (8, "words", ""), (8, "words", ""),
    ]  # fmt: skip
    assert talk.slide()["planned"] == total
    talk.do("go", "back and forth")
    assert talk.at == 8


def test_a_choice_unlocks_and_the_control_shows_the_outcome(talk: Talk) -> None:
    """Moved by hand: the roof pitch of stop 1 to 6 in 12, and the outcome appears."""
    told: list[dict[str, Any]] = []
    talk.watch = lambda: told.append(talk.slide())
    talk.do("go", "1")
    assert talk.lesson.stops[0].stop.surprise not in talk.slide()["notes"]  # the room can read it: after the hands
    panel = talk.panel
    assert panel and panel.locked
    talk.do("choose", "1")
    assert talk.lesson.stops[0].stop.surprise in talk.slide()["notes"]
    assert not panel.locked and talk.slide()["chosen"] == 1 and talk.slide()["outcome"] == ""
    panel.set(pitch="7")
    assert told == []
    panel.set(pitch="6")
    assert told[0]["outcome"].startswith("<b>It is: less</b> (you said 2). ") and told[0]["right"] == 0
    talk.do("choose", "0")
    assert talk.slide()["chosen"] == 1  # not afterwards


def test_reveal_moves_the_control_itself(talk: Talk) -> None:
    talk.do("go", "3")  # the typed heel of 4 1/2 in, which follows no rafter
    talk.do("count", "2:14")
    talk.do("show")
    shown = talk.slide()
    assert shown["outcome"].startswith("<b>It is: everywhere by the same</b>. ") and shown["counts"] == ["", "", "14"]
    assert talk.panel and talk.panel.content["fields"]["heel"]["text"] == '4 1/2"'
    talk.do("again")
    assert talk.slide()["outcome"] == "" and talk.slide()["counts"] == ["", "", ""]
    assert talk.panel and talk.panel.locked and talk.panel.content["fields"]["heel"]["follows"]


def test_it_opens_on_the_lessons_house_and_can_change_to_the_files(tmp_path: Path) -> None:
    """A house 30 ft wide beside the workbook; the outcome then says whose it is."""
    file = tmp_path / "house.json"
    example().save(file)
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('"span": "26 ft 0 in"', '"span": "30 ft 0 in"'), encoding="utf-8")
    shown = room("01", tmp_path)
    assert shown.press("go", "4")["house"]
    assert shown.talk.panel and "26'-0\" out to out" in unescape(shown.talk.panel.picture)
    assert shown.press("house")["own_house"] and shown.panel is shown.talk.panel
    assert "30'-0\" out to out" in unescape(shown.talk.panel.picture)
    assert shown.press("show")["outcome"].startswith("<b>In the lesson's house it is: ")
    file.write_text("{}", encoding="utf-8")
    shown.press("house")
    assert "house.json cannot be used here: " in shown.press("house")["hint"]
    assert "26'-0\" out to out" in unescape(shown.talk.panel.picture)


@every_book
def test_every_stop_takes_the_numbers_of_a_job(path: Path) -> None:
    for asked in LESSONS[path].stops:
        panel = room_panel(asked, example())
        assert not panel.content["stale"] and panel.picture.startswith("<svg")


def test_things_pressed_quickly_are_all_taken() -> None:
    """One message may hold several; a number that was taken already is not taken again."""
    shown = room("01")
    shown.message = {"acts": [[1, "go", "2"], [2, "choose", "2"], [3, "show", ""]]}
    assert shown.slide["right"] == shown.slide["chosen"] == 2
    shown.message = {"acts": [[2, "choose", "2"], [3, "show", ""], [4, "go", "0"], [5, "nonsense", "x"]]}
    assert shown.slide["at"] == 0 and shown.panel is None
    shown.message = {"acts": [[10**30, "go", "2"]]}  # no page counts so far: nothing after it would be heard
    shown.message = {"acts": [[6, "go", "1"]]}
    assert shown.slide["at"] == 1


def test_without_a_kernel_the_questions_are_there() -> None:
    data, _ = room("11")._repr_mimebundle_()
    assert [asked.stop.prompt in data["text/plain"] for asked in read_lesson("11").stops] == [True] * 5


# --- the slides' drawing -------------------------------------------------------------------------------------------


def shown_parts(panel: Any) -> set[tuple[Any, ...]]:
    """Outlines and lines of a panel's picture as they stand in its frame, to 1/100 px."""
    sheet = panel.responder._sheets["picture"]
    x, y = sheet.corner
    there = [
        (part.name, tuple((round(p + x, 2), round(q + y, 2)) for p, q in part.points)) for part in sheet.layout.parts
    ]
    return set(there)


@every_book
def test_a_reveal_moves_only_what_changes(path: Path) -> None:
    """On both windows scale and place of the drawing and of its key hold; what is the same in inches is so in px."""
    for stage in STAGES:
        for asked in LESSONS[path].stops:
            panel = room_panel(asked, None, stage)
            responder = panel.responder
            first, old = responder._sheets["picture"].held, shown_parts(panel)
            view, scene = responder.views[0], responder.topic.picture(responder.views[0], responder.state)
            panel.set(**asked.moves)
            now = responder._sheets["picture"].held
            assert (now.scale, now.x, now.y, now.key) == (first.scale, first.x, first.y, first.key), asked.stop.prompt
            assert not panel.content["stale"]
            if view not in responder.topic.press_views:
                after = set(responder.topic.picture(view, responder.state).shapes)
                same = {one.name for one in scene.shapes if one in after}
                assert same <= {one[0] for one in old & shown_parts(panel)}, asked.stop.prompt


@every_book
def test_every_slide_gives_half_of_the_window_to_its_drawing(path: Path) -> None:
    talk = Talk(LESSONS[path])
    for wide, high in STAGES:
        talk.do("size", f"{wide}x{high}")
        for place in range(talk.last + 1):
            talk.do("go", str(place))
            picture = talk.panel.picture if talk.panel else talk.slide()["picture"]
            frame = re.match(r'<svg [^>]*width="(\d+)" height="(\d+)"', picture)
            assert frame and int(frame[1]) * int(frame[2]) >= wide * high / 2 and int(frame[1]) <= wide - 12


@every_book
def test_the_first_slide_is_one_sentence(path: Path) -> None:
    """Bold words of the goals, so nothing is written twice; 25 words on the slide with those of its two buttons."""
    talk = Talk(LESSONS[path])
    said = talk.lesson.sentence
    assert said.count(".") == 1 and said.endswith(".") and said[0].isupper()
    assert len(said.split()) + len("Notes (N) Leave (Esc)".split()) <= 25
    assert talk.slide()["body"].count("<p>") == 1 and "<text" not in talk.slide()["picture"]
    aims = re.findall(r"\*\*(.+?)\*\*", " ".join(talk.lesson.points("Goal")))
    assert said.lower().startswith(aims[0].lower())


def test_what_comes_before_anything_else_is_a_slide() -> None:
    """Workbooks 02 and 11 begin with a frame about work that can hurt."""
    for path, lesson in LESSONS.items():
        framed = [line for line in lesson.parts[""].splitlines() if line.startswith("> ")]
        assert bool(framed) == (path.stem[:2] in ("02", "11"))
        talk = Talk(lesson)
        assert talk.first_stop == 1 + bool(framed) and talk.last == talk.first_stop + len(lesson.stops)
        if framed:
            talk.do("go", "1")
            assert "fall protection" in talk.slide()["body"] and talk.slide()["prompt"] == "Before anything else"


def test_a_glass_stands_where_a_change_is_small() -> None:
    """Worked by hand: 1/16 in at 2 px an inch is 1/8 px, 6 in at 4 px are 24 px; letters of 20 px.

    The glass has a radius of 3.6 x 20 = 72 px and draws a change up to half of that, 36 px: of 3 in at 1 px an inch 12
    times.
    """
    at = (0.0, 8.0)
    assert glass_for(Shift(1 / 16, at), 2.0, 20.0)
    assert glass_for(Shift(SMALL, at), 100.0, 1000.0)  # a quarter of an inch in any case
    assert glass_for(Shift(6.0, at), 4.0, 20.0) is None and glass_for(None, 1.0, 20.0) is None
    glass = glass_for(Shift(3.0, at), 1.0, 20.0)
    assert glass and glass.times == 12


def test_the_largest_change_of_a_drawing() -> None:
    """A board that gets 1/2 in thicker, upwards, beside one that stays; one that is new is seen without a glass."""

    def board(name: str, x: float, tall: float) -> Shape:
        return Shape(name, ((x, 0.0), (x + 10, 0.0), (x + 10, tall), (x, tall)), "board")

    stays, low, high = board("stays", 20.0, 5.0), board("grows", 0.0, 1.0), board("grows", 0.0, 1.5)
    change = change_of(Scene("", "", (stays, low)), Scene("", "", (stays, high)))
    assert change == Shift(0.5, (10.0, 1.5))  # of its two corners the one nearer to the middle, x = 15
    assert change_of(Scene("", "", (stays,)), Scene("", "", (stays,))) is None
    assert change_of(Scene("", "", (stays,)), Scene("", "", (stays, low))) is None


def test_a_sixteenth_is_seen_in_the_glass() -> None:
    """Workbook 10, stop 2: a height 1/16 in off, drawn 5 times too large: 5/16 in.  Workbook 01, stop 7: 13/16 in."""
    for book, place, off in (("10", 2, 5 / 16), ("01", 7, 13 / 16)):
        for stage in STAGES:
            asked = read_lesson(book).stops[place - 1]
            panel = room_panel(asked, None, stage)
            assert "times as large" in panel.picture and "dashed: before" not in panel.picture
            panel.set(**asked.moves)
            assert "dashed: before" in panel.picture
            glass, held = panel.responder._glass, panel.responder._sheets["picture"].held
            assert off * held.scale < 2 and off * held.scale * glass.times > 20  # px


# --- hands -----------------------------------------------------------------------------------------------------------


def test_hands_are_whole_numbers(talk: Talk) -> None:
    """What is no number of hands is said in one sentence and changes nothing; the bars are shares of all hands."""
    talk.do("go", "1")
    for place, text in enumerate(("6", " 18 ", "0")):
        talk.do("count", f"{place}:{text}")
    assert talk.slide()["bars"] == [25, 75, 0] and talk.slide()["counts"] == ["6", "18", "0"]
    assert talk.slide()["shares"] == ["6 of 24 hands", "18 of 24 hands", "0 of 24 hands"]
    for text in ("1.5", "-2", "many", "1000", "1 2", "\u0663", "6:7"):
        talk.do("count", f"0:{text}")
        shown = talk.slide()
        assert shown["refusal"] == f"Hands for 1: {text!r}; a whole number from 0 to 999 is allowed."
        assert shown["bad"] == [True, False, False] and shown["counts"][0] == text and shown["bars"] == [25, 75, 0]
    talk.do("count", "0:")
    assert talk.slide()["bars"] == [0, 100, 0] and talk.slide()["bad"] == [False] * 3
    talk.do("count", "7:3")  # no such answer
    assert talk.slide()["bars"] == [0, 100, 0]


# --- which workbook --------------------------------------------------------------------------------------------------


def test_a_workbook_is_found_by_number_or_name(tmp_path: Path) -> None:
    for wanted in ("1", "01", "01-one-roof-plane", "01-one-roof-plane.ipynb"):
        assert workbook_name(wanted, BOOKS[0].parent) == "01-one-roof-plane.ipynb"
    with pytest.raises(InputError, match="Workbook '77': there is none of that name; give one of .*01"):
        room("77")
    with pytest.raises(CannotStart, match="there is no workbook '77' to present; there are .*01"):
        present.find_workbook("77")


def test_the_copy_comes_before_what_was_shipped(tmp_path: Path) -> None:
    """An edited copy is shown as it is; a cell of it that cannot be run is left out, and that is said."""
    book = json.loads(next(path for path in BOOKS if path.name.startswith("11")).read_text(encoding="utf-8"))
    book["cells"][0]["source"] = ["# Ours now\n", "\n", "Our *own* words.\n"]
    del book["cells"][3]  # the story
    broken_cell = next(cell for cell in book["cells"] if "high = live.seam(" in "".join(cell["source"]))
    broken_cell["source"] = ["this is no Python"]
    (tmp_path / "11-checking-in-the-field.ipynb").write_text(json.dumps(book), encoding="utf-8")
    lesson = read_lesson("11", tmp_path)
    assert (lesson.title, len(lesson.stops), lesson.case, lesson.cautions) == ("Ours now", 4, "Our own words.", [])
    assert lesson.left_out >= 1 and "could not be run" in str(Talk(lesson).slide()["script"])
    (tmp_path / "11-checking-in-the-field.ipynb").write_text("[]", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be read"):
        read_lesson("11", tmp_path)


# --- large texts -----------------------------------------------------------------------------------------------------


def test_a_caution_is_left_to_the_room_and_shown_there() -> None:
    talk = Talk(read_lesson("06"))
    talk.do("go", "4")
    assert talk.panel and "teaching model" not in talk.panel.picture.partition("<g ")[2]
    assert "A teaching model with pin joints" in talk.slide()["hint"]


def test_large_texts_never_leave_the_frame() -> None:
    """The widest scene of the workbooks in a frame half as wide."""
    asked: RoomStop = read_lesson("04").stops[2]
    panel = room_panel(asked)
    panel.set(**asked.moves)
    placed = fit_large(panel.responder.scene_now(), 560, 300, 21.4)
    assert placed.width <= 560 and placed.height <= 300 and placed.dropped


# --- the handouts ----------------------------------------------------------------------------------------------------


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Any]:
    """All handouts' pages, read back from one PDF: each drawn as it is for a file of its own."""
    target = tmp_path_factory.mktemp("printed") / "all.pdf"
    target.write_bytes(file_bytes([handout_page(handout_of(LESSONS[path])) for path in BOOKS], ".pdf"))
    return dict(zip(BOOKS, PdfReader(target).pages, strict=True))


@every_book
def test_a_handout_is_one_letter_page(path: Path, printed: dict[Path, Any]) -> None:
    """Goals, questions and cautions are all on it; nothing is small, outside the page or over anything else."""
    lesson = LESSONS[path]
    given = handout_of(lesson)
    made = handout_page(given)
    assert (made.width, made.height) == (612, 792)
    assert min(label.size for label in made.labels) >= SMALLEST
    for label in made.labels:
        x0, y0, x1, y1 = label.box
        assert x0 >= 18 and y0 >= 18 and x1 <= 612 - 18 and y1 <= 792 - 18, label.text
    slack = 1.0
    for one, other in combinations(made.labels, 2):
        (a0, b0, a1, b1), (c0, d0, c1, d1) = one.box, other.box
        assert a1 <= c0 + slack or c1 <= a0 + slack or b1 <= d0 + slack or d1 <= b0 + slack, (one.text, other.text)
    assert [float(side) for side in printed[path].mediabox] == [0, 0, 612, 792]
    text = squeezed(printed[path].extract_text())
    wanted = [*map(without_marks, lesson.points("Goal")), *given.left_out]
    wanted += [words for asked in lesson.stops for words in (asked.stop.prompt, *asked.stop.choices)]
    assert len(given.left_out) >= 3 and [words for words in wanted if squeezed(words) not in text] == []
    assert squeezed("local code, engineer, building official and truss designer decide") in text


@every_book
def test_a_handout_has_the_key_of_its_picture(path: Path) -> None:
    """Where its picture is a section: the house itself, the bars of loads and what is seen along the seam are none."""
    given = handout_of(LESSONS[path])
    page = handout_page(given)
    assert (given.key is None) == (path.stem[:2] in ("00", "05", "11"))
    if given.key is None:
        assert not key_parts(page)
        return
    assert lit_halves(page) == {one.name: one.style for one in given.key.shapes if one.style != "pale"} != {}
    assert met_by(page, key_box(page)) == []


def test_a_handout_shows_formulas_with_the_numbers_of_the_example(tmp_path: Path) -> None:
    """Workbook 01's worked example: a 2x10 on a seat of 5 1/2 in at 8 in 12, 9.25 x k - 8/12 x 5.5 = 7.45 in."""
    (page,) = PdfReader(rl.handout("01", tmp_path / "01.pdf")).pages
    text = squeezed(page.extract_text())
    assert [float(side) for side in page.mediabox] == [0, 0, 612, 792]
    assert squeezed('9.25 × √(1 + (8/12)²) − (8/12) × 5.5 = 7 7/16"') in text


def test_a_handout_writes_nothing_over(tmp_path: Path) -> None:
    target = tmp_path / "mine.pdf"
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="exists already"):
        rl.handout("01", target)
    assert target.read_text(encoding="utf-8") == "mine"
    with pytest.raises(InputError, match=r"'page.png': a handout is written as .pdf"):
        rl.handout("01", tmp_path / "page.png")


def test_too_much_text_for_one_page_is_said() -> None:
    scene = LESSONS[BOOKS[1]].pictures[0].scene_now()
    long = Handout("Long", ["a goal"], scene, [], [("why? " * 40, ("yes", "no"))] * 9, ["something " * 30] * 5)
    with pytest.raises(InputError, match="Handout Long: the text leaves .* points for its picture, too few"):
        handout_page(long)


def test_all_handouts_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A handout and a running order of each; beside a file of that name that stands there already."""
    monkeypatch.setattr(present, "original_folder", lambda: tmp_path / "books")
    for folder in ("books", "out"):
        (tmp_path / folder).mkdir()
    (tmp_path / "books" / BOOKS[1].name).write_bytes(BOOKS[1].read_bytes())
    older = tmp_path / "out" / f"{BOOKS[1].stem}.pdf"
    older.write_text("mine", encoding="utf-8")
    made = list(present.handouts(tmp_path / "out", tmp_path / "books"))
    assert made == [f"{BOOKS[1].stem} (2).pdf", f"{BOOKS[1].stem} running order.pdf"]
    assert older.read_text(encoding="utf-8") == "mine"
    assert [len(PdfReader(tmp_path / "out" / name).pages) for name in made] == [1, 1]


# --- the running order -----------------------------------------------------------------------------------------------


@every_book
def test_a_running_order_is_one_letter_page(path: Path) -> None:
    """Minutes of each slide and in all, question, answer, what to expect, move and say; nothing lies on another."""
    lesson = LESSONS[path]
    page = running_order_page(lesson.title, slides_of(lesson), f"{KEYS} {DESK_KEYS}")
    assert (page.width, page.height) == (612, 792) and min(label.size for label in page.labels) >= SMALLEST
    for label in page.labels:
        x0, y0, x1, y1 = label.box
        assert x0 >= 18 and y0 >= 18 and x1 <= 612 - 18 and y1 <= 792 - 18, label.text
    for one, other in combinations(page.labels, 2):
        (a0, b0, a1, b1), (c0, d0, c1, d1) = one.box, other.box
        assert a1 <= c0 + 1 or c1 <= a0 + 1 or b1 <= d0 + 1 or d1 <= b0 + 1, (one.text, other.text)
    text = squeezed("".join(label.text for label in page.labels if label.x > 36))
    for asked in lesson.stops:
        stop = asked.stop
        for words in (stop.prompt, *stop.choices, stop.surprise, stop.look, stop.why):
            assert squeezed(words) in text, words
        assert squeezed(f"It is {stop.choices.index(stop.right) + 1}.") in text
    minutes = [one.stop.minutes for one in lesson.stops]
    texts = [label.text for label in page.labels]
    for place, own in enumerate(minutes):
        ends = lesson.minutes - 2 - sum(minutes[place + 1 :])  # the last slide takes 2
        at = texts.index(f"Stop {place + 1}")
        assert texts[at + 1 : at + 3] == [f"{own} min", f"to {ends}"]


def test_a_running_order_is_written_and_has_its_limits(tmp_path: Path) -> None:
    target = rl.running_order("04", tmp_path / "04.pdf")
    assert len(PdfReader(target).pages) == 1
    with pytest.raises(InputError, match="exists already"):
        rl.running_order("04", target)
    with pytest.raises(InputError, match="Running order Long: its text has no room on one page"):
        running_order_page("Long", [Slide("Stop", 3, [("Say", "words " * 60)])] * 20, "keys")


# --- the command line ------------------------------------------------------------------------------------------------


def test_the_command() -> None:
    command, args = start.read_command(["present"])
    assert (command, args.workbook, args.handouts, args.folder, args.here) == ("present", "01", None, None, False)
    args = start.read_command(["present", "04", "--folder", "mine", "--no-browser", "--port", "9000"])[1]
    assert (args.workbook, args.folder, args.browser, args.port) == ("04", "mine", False, 9000)
    assert start.read_command(["present", "--handouts"])[1].handouts == ""
    assert start.read_command(["present", "--handouts", "here"])[1].handouts == "here"


def test_the_notebook_of_a_room_view(tmp_path: Path) -> None:
    """One folded cell that says where copies and job file are, seen from the notebook's own folder."""
    place = tmp_path / "copy" / ".rooflab" / "present"
    file = present.write_notebook(place, "01-one-roof-plane.ipynb", tmp_path / "copy")
    book = json.loads((place / file).read_text(encoding="utf-8"))
    (cell,) = book["cells"]
    assert cell["metadata"] == {"jupyter": {"source_hidden": True}} and cell["outputs"] == []
    assert cell["source"].endswith("live.room('01-one-roof-plane', '../..', fill=True)")
    assert str(tmp_path) not in cell["source"]
    table = present.cell("08-options-with-the-builder.ipynb", "../..", "../../house.json")
    assert table.endswith("live.together(live.job('../../house.json'), '../../house.json', fill=True)")


def test_the_cells_can_be_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    space: dict[str, Any] = {}
    for file in ("04-the-wall-jog.ipynb", "08-options-with-the-builder.ipynb"):
        *before, last = present.cell(file, ".").splitlines()
        exec("\n".join(before), space)
        shown = eval(last, space)
        assert shown.setup["fill"] if isinstance(shown, Room) else shown.page["fill"]


def test_lab_runs_the_room_view_by_itself(tmp_path: Path) -> None:
    command = start.lab_command(tmp_path, "room.ipynb", None, present.EXTENSIONS)
    (option,) = [word for word in command if "extra_labextensions_path" in word]
    folder = Path(option.partition("=")[2])
    (package,) = folder.glob("*/package.json")
    build = json.loads(package.read_text(encoding="utf-8"))["jupyterlab"]["_build"]
    assert (package.parent / build["load"]).is_file() and build["extension"] == "./extension"


# --- what the widgets share ------------------------------------------------------------------------------------------


def test_what_widgets_share_stands_once() -> None:
    scripts = sorted(shared_page.HERE.glob("*.js"))
    assert len(scripts) > 4
    for path in scripts:
        text = path.read_text(encoding="utf-8")
        names = r"^(?:const (?:html|OWN_KEYS|newId|button|press|SILENCE)\b|function (?:silence|fillWindow))"
        shared = re.findall(names, text, re.M)
        assert len(shared) == (8 if path.name == "page.js" else 0), path.name
