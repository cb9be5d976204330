"""The forms that write the job file, when it has changed since they were filled; a job file that cannot be used.

What each of two writers did is said in the tests; the file is read with ``json``.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdf
import pytest

from rooflab import live
from rooflab.job.agreement import agree
from rooflab.job.jobfile import Job, example
from rooflab.job.option import Option, with_options
from rooflab.job.schedule import TrussType


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    replace(example(), title="Old title").save("house.json")
    return tmp_path / "house.json"


def boxes(desk: live.Desk) -> dict[str, str]:
    """What stands in the boxes: the page sends all of them with each press."""
    return {row["name"]: row["value"] for row in desk.setup["fields"]}


def in_file(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def write(path: Path, title: str = "New title", revision: str = "B", snow: float = 40) -> None:
    """What another workbook wrote meanwhile."""
    job = Job.load(path)
    words = {**job.sheet, "revision": revision}
    replace(job, title=title, sheet=words, loads={**job.loads, "ground_snow": snow}).save(path)


def buttons(desk: live.Desk) -> list[str]:
    return [label for _, label in desk.setup["buttons"]]


def do(desk: live.Desk, label: str) -> str:
    """The name of the button with a label."""
    return str(next(name for name, text in desk.setup["buttons"] if text == label))


def test_a_form_open_since_before_puts_no_old_words_back(file: Path) -> None:
    """Nothing but an address is typed: title, revision and snow stay as they were written meanwhile, and are shown."""
    desk = live.words(live.job())
    write(file)
    said = desk.press("save", **{**boxes(desk), "sheet.address": "12 Hill Road"})
    assert said.startswith("<b>Written to house.json</b>")
    now = in_file(file)
    assert (now["title"], now["sheet"]["revision"], now["loads"]["ground_snow"]) == ("New title", "B", 40)
    assert now["sheet"]["address"] == "12 Hill Road"
    shown = boxes(desk)
    assert (shown["title"], shown["sheet.revision"], shown["loads.ground_snow"]) == ("New title", "B", "40")
    assert desk.job == Job.load(file) and desk.setup["prompt"].startswith("New title")


@pytest.mark.parametrize(("choice", "title", "revision"), [("mine", "Mine", "C"), ("file", "New title", "B")])
def test_a_box_that_changed_on_both_sides_is_asked_about(choice: str, title: str, revision: str, file: Path) -> None:
    """Both values are shown, one field after the other; what was typed into other boxes is written with the last."""
    desk = live.words(live.job())
    write(file)
    before, own = file.read_bytes(), buttons(desk)
    typed = {**boxes(desk), "title": "Mine", "sheet.revision": "C", "sheet.contact": "A. Person"}
    said = desk.press("save", **typed)
    assert "Not written yet" in said and "New title" in said and "Mine" in said and "1 more to choose" in said
    assert file.read_bytes() == before and buttons(desk) == ["Keep the file's", "Write mine", *own]
    first = do(desk, {"mine": "Write mine", "file": "Keep the file's"}[choice])
    said = desk.press(first, **typed)
    assert "Revision: the file has B now, here it is C" in said and file.read_bytes() == before
    assert "Not done" in desk.press(first, **typed) and file.read_bytes() == before  # a double click
    said = desk.press(do(desk, {"mine": "Write mine", "file": "Keep the file's"}[choice]), **typed)
    assert said.startswith("<b>Written to house.json</b>") and buttons(desk) == own
    now = in_file(file)
    assert (now["title"], now["sheet"]["revision"], now["sheet"]["contact"]) == (title, revision, "A. Person")
    assert now["loads"]["ground_snow"] == 40 and boxes(desk)["title"] == title


def test_values_shown_come_escaped(file: Path) -> None:
    desk = live.words(live.job())
    write(file, title="<b>x</b>")
    said = desk.press("save", **{**boxes(desk), "title": "<i>y</i>"})
    assert "&lt;b&gt;x" in said and "&lt;i&gt;y" in said and "<i>" not in said


def test_types_of_the_file_are_shown_after_writing(file: Path) -> None:
    desk = live.words(live.job())
    job = Job.load(file)
    replace(job, types=(*job.types, TrussType("C", 120.0))).save(file)
    desk.press("save", **{**boxes(desk), "types.A.length": "21'"})
    assert [row["length"] for row in in_file(file)["types"]] == ["21 ft 0 in", "8 ft 0 in", "10 ft 0 in"]
    assert boxes(desk)["types.C.length"] == "10'-0\""


def test_a_type_of_the_example_that_was_changed_is_in_the_new_file(file: Path) -> None:
    """A new job has the example's type A alone; one whose box was typed in comes along, with its recess."""
    file.unlink()
    desk = live.words(live.ours())
    desk.press("save", **{**boxes(desk), "title": "Mine", "types.B.length": "10'"})
    first, second = in_file(file)["types"]
    assert (first["mark"], "jog" in first, second["mark"]) == ("A", False, "B")
    assert (second["length"], second["jog"]["by"]) == ("10 ft 0 in", "2 ft 0 in")


def panel(job: Job) -> live.Panel:
    numbers: dict[str, Any] = live.start(job)
    return live.one_plane(**numbers)


def test_a_panel_open_since_before_puts_no_old_numbers_back(file: Path) -> None:
    """The seat is moved in the picture; the span was changed in the file and stays, which is said."""
    section = panel(live.job())
    desk = live.save(section)
    job = Job.load(file)
    job.with_(rafters=job.rafters.with_(gable=replace(job.gable, span=336.0))).save(file)
    write(file)
    section.set(seat="3")
    said = desk.press("save")
    assert "seat 3 1/2&quot; becomes 3&quot;" in said and "span 28&#x27;-0&quot; in the file" in said
    now = in_file(file)
    assert (now["gable"]["span"], now["rafters"]["seat"], now["title"]) == ("28 ft 0 in", "3 in", "New title")
    section.set(span="30'")  # now both have changed it
    assert "Span" in desk.press("save") and in_file(file) == now
    desk.press(do(desk, "Write mine"))
    assert in_file(file)["gable"]["span"] == "30 ft 0 in" and in_file(file)["sheet"]["revision"] == "B"


@pytest.mark.parametrize(("choice", "seat"), [("Write mine", "3 in"), ("Keep the file's", "3 1/2 in")])
def test_numbers_that_were_agreed_on_are_asked_about(choice: str, seat: str, file: Path) -> None:
    """Nobody else changed the file: the seat that was agreed on is asked about, the overhang is free."""
    kept = with_options(Job.load(file), [Option("A", seat=3.5), Option("B", seat=4)])
    agree(kept, "1 May 2026", "A", "builder").save(file)
    section = panel(live.job())
    desk = live.save(section)
    before, own = file.read_bytes(), buttons(desk)
    section.set(seat="3", overhang="12")
    said = desk.press("save")
    assert said.startswith("<b>Not written yet.</b> Seat: agreed on 1 May 2026: 3 1/2 in; here: 3 in. Which holds?")
    assert file.read_bytes() == before and buttons(desk) == ["Keep the file's", "Write mine", *own]
    said = desk.press(do(desk, choice))
    assert said.startswith("<b>Written to house.json</b>") and "overhang 1&#x27;-4&quot; becomes 1&#x27;-0" in said
    assert ("Left as the file has it: seat" in said) == (choice != "Write mine")
    assert (in_file(file)["rafters"]["seat"], in_file(file)["gable"]["overhang"]) == (seat, "1 ft 0 in")
    assert buttons(desk) == own
    words = live.words(live.job())
    assert words.press("save", **{**boxes(words), "title": "Mine"}).startswith("<b>Written to house.json</b>")


def test_what_is_printed_has_what_the_file_became_and_what_was_typed(file: Path) -> None:
    """A form open since before: the span written meanwhile and the words taken here; the page follows, boxes stay."""
    desk = live.words(live.job())
    page = live.sheet(desk)
    desk.press("take", **{**boxes(desk), "sheet.contact": "A. Person"})
    assert "Contact: A. Person" in repr(page) and "26'-0\"" in repr(page)
    job = Job.load(file)
    job.with_(rafters=job.rafters.with_(gable=replace(job.gable, span=328.375))).save(file)
    said = live.export(desk).press("letter")
    (made,) = (file.parent / "to the manufacturer").iterdir()
    text = " ".join(one.extract_text() for one in pypdf.PdfReader(made).pages)
    assert "Written:" in said and "27'-4 3/8" in text and "A. Person" in text and "26'-0\"" not in text
    assert "27'-4 3/8" in repr(page) and page.table.count("<svg") == 1
    assert in_file(file)["sheet"].get("contact", "") == ""  # taken, not written


def test_a_word_that_both_changed_is_not_printed_before_it_is_said_which_holds(file: Path) -> None:
    desk = live.words(live.job())
    typed = {**boxes(desk), "sheet.revision": "C"}
    desk.press("take", **typed)
    write(file)
    said = live.export(desk).press("letter")
    assert "Revision: the file has B now, here it is C. Write the words into the file first" in said
    assert not (file.parent / "to the manufacturer").exists()
    desk.press("save", **typed)
    desk.press(do(desk, "Write mine"), **typed)
    assert "Written:" in live.export(desk).press("letter") and in_file(file)["sheet"]["revision"] == "C"


def test_a_form_that_stood_on_the_example_takes_the_job_begun_since(file: Path) -> None:
    """The workbook of the sheet was open first; a form on another job, as the lessons' own, stays with that."""
    begun = Job.load(file)
    file.unlink()
    desk, other = live.words(live.job()), live.words(replace(example(), title="Of my own"))
    begun.save(file)
    assert desk.job_now() == begun and other.job_now().title == "Of my own"
    file.write_bytes(b"{")
    assert "not JSON" in live.export(desk).press("csv")


def test_without_a_file_the_place_says_where_a_job_begins(file: Path) -> None:
    shown: list[Any] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("rooflab.live.widgets.job_desk.display", shown.append)
        live.job()
        assert shown == []
        file.unlink()
        assert live.job() == example()
    (notice,) = shown
    assert "No job file yet" in repr(notice) and "workbook 01, part 9, or at the table in workbook 08" in repr(notice)
    assert re.findall(r'<a href="(\d\d)[^"]*#', notice._repr_html_()) == ["01", "08"]


# --- a job file that cannot be used ----------------------------------------------------------------------------------


def test_a_damaged_file_is_told_and_the_example_stands_instead(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is written over it, by no form; once it is mended the forms go on with what it holds."""
    good = file.read_bytes()
    file.write_bytes(good[:200])
    assert live.job() == example()
    said = capsys.readouterr().out
    assert "house.json: not JSON at line" in said and "example" in said and "Traceback" not in said
    section = panel(live.job())
    section.set(seat="3")
    desks = [(live.words(live.job()), {"title": "Mine"}), (live.save(section), {})]
    for desk, values in desks:
        assert desk.press("save", **values).startswith("<b>Not done.</b> Job file house.json: not JSON")
        assert file.read_bytes() == good[:200]
    file.write_bytes(good)
    for desk, values in desks:
        desk.press("save", **values)
        for name, label in desk.setup["buttons"]:
            if label == "Write mine":
                desk.press(name, **values)
    now = in_file(file)
    assert (now["title"], now["rafters"]["seat"]) == ("Mine", "3 in") and len(list(file.parent.iterdir())) == 1


def test_what_is_wrong_with_a_file_is_shown_without_markup_and_not_at_length(file: Path) -> None:
    document = example().document()
    document |= {f"<script>{number}": 1 for number in range(9)}
    file.write_text(json.dumps(document), encoding="utf-8")
    shown: list[Any] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("rooflab.live.widgets.job_desk.display", shown.append)
        live.job()
    html = shown[0]._repr_html_()
    assert "<script" not in html and html.count("<p>") == 7 and "and 4 more." in html
