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
from rooflab.draw.layout import fit_large
from rooflab.draw.paper import file_bytes
from rooflab.draw.placing import wrap
from rooflab.draw.scene import width
from rooflab.draw.sheets.handout import Handout, handout_page
from rooflab.job.jobfile import example
from rooflab.live.talk.stops import Lesson, RoomStop, handout_of, read_lesson, room_panel, without_marks
from rooflab.live.talk.view import Room, Talk, room
from rooflab.live.widgets import base as shared_page
from rooflab.live.widgets.topic_panel import ROOM
from rooflab.start import command as start
from rooflab.start import present
from rooflab.start.copies import CannotStart, workbook_name
from tests.tools.lessons import BOOKS, code, name, prose

LARGE, SMALLEST = 16 * 96 / 72, 8.5  # px on the projector, points on paper
LESSONS: dict[Path, Lesson] = {path: read_lesson(path.stem) for path in BOOKS}
every_book = pytest.mark.parametrize("path", BOOKS, ids=name)
LINE = 1268  # of a line of the room view, px


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
            lines = panel.content["readings"].count("<tr>") + panel.content["readings"].count("<caption")
            assert 38 * len(panel.setup["controls"]) + 29 * lines <= 396  # as in panel.css
            assert "data-why" not in panel.content["readings"]  # no buttons but the controls
            frame = re.match(r'<svg [^>]*width="(\d+)" height="(\d+)"', panel.picture)
            assert frame and (int(frame[1]), int(frame[2])) == ROOM
            assert float(re.findall(r'font-size="([\d.]+)"', panel.picture)[0]) >= LARGE
            placed = panel.responder.layout_of(panel.responder.scene_now(), *ROOM)
            assert placed.width <= ROOM[0] and placed.height <= ROOM[1]
            beside, over = (ROOM[0] - placed.width) / 2, (ROOM[1] - placed.height) / 2  # it stands in the middle
            for label in placed.labels:
                x0, y0, x1, y1 = label.box
                assert -beside <= x0 and x1 <= placed.width + beside, label.text
                assert -over - 2 <= y0 and y1 <= placed.height + over + 2, label.text  # boxes are higher than letters


@every_book
def test_what_is_asked_and_told_has_room(path: Path) -> None:
    """By the widths of a wide face: two lines for the question and for the outcome, one for the presenter's note."""
    talk = Talk(LESSONS[path])
    for place, asked in enumerate(LESSONS[path].stops, 1):
        stop = asked.stop
        assert 2 <= len(stop.choices) <= 4 and stop.right in stop.choices
        assert len(wrap(stop.prompt, LINE, 24)) <= 2, stop.prompt
        assert width(f"Used 45 of 45 min. Expect: {stop.surprise}", 21.4) <= LINE * 1.1, stop.surprise
        talk.do("go", str(place))
        talk.do("choose", "0")
        talk.do("show")
        outcome = re.sub("<.*?>", "", talk.slide()["outcome"])
        assert len(wrap(outcome, LINE * 1.06, 21.4)) <= 2, outcome


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
    talk.do("go", "2")
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
        seen.append((shown["at"], shown["kind"], shown["progress"].partition(",")[0]))
    total = talk.lesson.minutes
    assert seen == [
        (0, "words", "Goal"), (1, "stop", "Stop 1 of 7"), (7, "stop", "Stop 7 of 7"), (8, "words", "Summary"),
        (8, "words", "Summary"),
    ]  # fmt: skip
    assert talk.slide()["progress"].endswith(f"{total} in all") and talk.slide()["planned"] == total
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


def test_without_a_kernel_the_questions_are_there() -> None:
    data, _ = room("11")._repr_mimebundle_()
    assert [asked.stop.prompt in data["text/plain"] for asked in read_lesson("11").stops] == [True] * 5


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
    assert (lesson.title, len(lesson.stops), lesson.story) == ("Ours now", 4, ["Our *own* words."])
    assert lesson.left_out >= 1 and "could not be run" in Talk(lesson).slide()["body"]
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


def test_a_handout_shows_formulas_with_the_numbers_of_the_example(tmp_path: Path) -> None:
    """Workbook 01's worked example: a 2x10 on a seat of 5 1/2 in at 8 in 12, 9.25 x k - 8/12 x 5.5 = 7.45 in."""
    (page,) = PdfReader(rl.handout("01", tmp_path / "01.pdf")).pages
    text = squeezed(page.extract_text())
    assert [float(side) for side in page.mediabox] == [0, 0, 612, 792]
    assert squeezed("9.25 × √(1 + (8/12)²) − (8/12) × 5.5 = 7 7/16\"") in text


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
    """One of each; beside a file of that name that stands there already."""
    monkeypatch.setattr(present, "original_folder", lambda: tmp_path / "books")
    for folder in ("books", "out"):
        (tmp_path / folder).mkdir()
    (tmp_path / "books" / BOOKS[1].name).write_bytes(BOOKS[1].read_bytes())
    older = tmp_path / "out" / f"{BOOKS[1].stem}.pdf"
    older.write_text("mine", encoding="utf-8")
    assert list(present.handouts(tmp_path / "out", tmp_path / "books")) == [f"{BOOKS[1].stem} (2).pdf"]
    assert older.read_text(encoding="utf-8") == "mine"
    assert len(PdfReader(tmp_path / "out" / f"{BOOKS[1].stem} (2).pdf").pages) == 1


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
    table = present.cell("08-options-with-the-builder.ipynb", "../..")
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
