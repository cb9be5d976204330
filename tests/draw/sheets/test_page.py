"""A page of paper: where its texts and drawings stand, and that nothing is drawn for a file that cannot be written."""

from __future__ import annotations

import io
import multiprocessing
import os
import random
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

import rooflab as rl
from rooflab import InputError, live
from rooflab.draw.layout import Plan, fit
from rooflab.draw.paper import one_page, save
from rooflab.draw.sheets.page import Block, Page, column_boxes, paper_size
from rooflab.draw.views.section import section
from rooflab.house.seam import compare
from rooflab.job.agreement import agree
from rooflab.job.jobfile import Job, example
from rooflab.job.option import option_of, with_options


def agreed() -> Job:
    house = example()
    kept = with_options(house, [option_of("A", house), option_of("B", house, seat=5)])
    return agree(kept, "1 May", "A", ("builder",))


def reply(path: Any) -> Any:
    house = example()
    return rl.write_reply(rl.review(house.scissor, {"heel": house.scissor.left.heel + 1}), path)


PAPERS: dict[str, Callable[[Any], Any]] = {
    "profile sheets": lambda path: rl.profile_sheet(example(), path),
    "cut sheet": lambda path: rl.cut_sheet(example().rafters, path),
    "template": lambda path: rl.birdsmouth_template(example().rafters, path),
    "site card": lambda path: rl.site_card(example(), path),
    "agreement": lambda path: rl.agreement_sheet(agreed(), path),
    "reply": reply,
    "practice sheet": lambda path: rl.practice_sheet(path, 1, 2),
    "handout": lambda path: rl.handout("01", path),
    "drawing": lambda path: rl.profile_dxf(example(), path),
    "readings": lambda path: rl.readings_csv(example(), path),
}
SUFFIX = {"drawing": ".dxf", "readings": ".csv"}
ENDINGS = [(name, SUFFIX.get(name, ".pdf")) for name in PAPERS]
ENDINGS += [("profile sheets", ".svg"), ("agreement", ".png"), ("site card", ".png"), ("reply", ".csv")]


@pytest.mark.parametrize("name", PAPERS)
def test_nothing_is_drawn_for_a_file_that_cannot_be_written(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, faults: list[str]
) -> None:
    """A missing folder, a file where a folder should be, a folder or a file of that name, another suffix, no name."""
    suffix = SUFFIX.get(name, ".pdf")
    (tmp_path / f"there{suffix}").write_text("mine", encoding="utf-8")
    (tmp_path / f"folder{suffix}").mkdir()

    def drawn(*anything: Any, **more: Any) -> Any:
        raise AssertionError("it was drawn")

    monkeypatch.setattr(Page, "__init__", drawn)
    monkeypatch.setattr(Plan, "__init__", drawn)
    for module in ("sheets.exports", "views.profile"):
        monkeypatch.setattr(f"rooflab.draw.{module}.scenes", drawn)
    monkeypatch.setattr("rooflab.draw.sheets.exports.readings_text", drawn)
    for path in (
        tmp_path / "none" / f"a{suffix}", tmp_path / f"there{suffix}" / f"a{suffix}", tmp_path / f"folder{suffix}",
        tmp_path / f"there{suffix}", tmp_path / "a.doc", tmp_path / "a", tmp_path, "", None,
    ):  # fmt: skip
        with pytest.raises(InputError) as caught:
            PAPERS[name](path)
        assert len(caught.value.problems) == 1, path
    assert (tmp_path / f"there{suffix}").read_text(encoding="utf-8") == "mine"
    assert len(list(tmp_path.iterdir())) == 2
    with pytest.raises(AssertionError, match="it was drawn"):  # so it would have been seen
        PAPERS[name](tmp_path / f"new{suffix}")
    faults.clear()  # the panels of a lesson were stopped too


@pytest.mark.parametrize(("name", "suffix"), ENDINGS)
def test_a_full_disk_leaves_no_stub(name: str, suffix: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk fills while the last of the files is written: none stays."""
    left, sync = 4 if (name, suffix) == ("profile sheets", ".svg") else 1, os.fsync  # schedule, A, B, what comes back

    def full(number: int) -> None:
        nonlocal left
        left -= 1
        if not left:
            raise OSError(28, "No space left on device")
        sync(number)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="cannot be written .No space left on device"):
        PAPERS[name](tmp_path / f"a{suffix}")
    assert list(tmp_path.iterdir()) == []


ENDS = {".pdf": b"%%EOF", ".svg": b"</svg>", ".png": b"IEND\xaeB`\x82", ".dxf": b"EOF", ".csv": b""}  # of whole files


def export_on_and_on(place: Path, turn: int) -> None:
    for number in range(turn, 10_000):
        name, suffix = ENDINGS[number % len(ENDINGS)]
        PAPERS[name](place / f"{turn}-{number}{suffix}")


@pytest.mark.deep
def test_fifty_exports_killed_leave_whole_files(tmp_path: Path) -> None:
    """After the next export no half file is left either."""
    if "fork" not in multiprocessing.get_all_start_methods():
        pytest.skip("this machine begins each process anew, which takes longer than an export")
    rl.cut_sheet(example().rafters, tmp_path / "first.pdf")  # what is heavy is loaded
    for turn in range(50):
        process = multiprocessing.get_context("fork").Process(target=export_on_and_on, args=(tmp_path, turn))
        process.start()
        while process.is_alive() and not list(tmp_path.glob(f"{turn}-*")):  # until one export is done
            time.sleep(0.01)
        time.sleep(random.Random(turn).uniform(0, 0.3))
        process.kill()
        process.join()
    rl.readings_csv(example(), tmp_path / "last.csv")
    there = list(tmp_path.iterdir())
    for path in there:
        assert path.suffix in ENDS and path.stat().st_size > 1000, path
        assert path.read_bytes().rstrip().endswith(ENDS[path.suffix]), path
    assert len(there) > 50


def test_letters_that_would_print_as_boxes_are_refused(tmp_path: Path) -> None:
    """U+674E is an ideograph, which DejaVu Sans has not (its status.txt lists none of the block 4E00-9FFF)."""
    page = Page(300, 40, 5, 9)
    page.text(5, 20, "Hütte, Αλφα, Дом, 8½")
    for suffix in (".pdf", ".svg", ".png"):
        save(page.layout("Letters", ""), tmp_path / f"a{suffix}")
    page.text(5, 30, "House of 李, 李")
    for suffix in (".pdf", ".svg", ".png"):
        with pytest.raises(InputError, match="House of.*has no 李 .U.674E.; nothing is written") as caught:
            save(page.layout("Letters", ""), tmp_path / f"b{suffix}")
        assert len(caught.value.problems) == 1
    said = live.export(example().with_(title="House of 李"), tmp_path).press("letter")
    assert "Not done" in said and "U+674E" in said
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.pdf", "a.png", "a.svg"]


def test_a_picture_stands_in_the_middle_of_its_box() -> None:
    house = example()
    placed = fit(section(house.rafters, house.scissor, compare(house.rafters, house.scissor)), 400, 200)
    page = Page(612, 792, 36)
    page.centre(placed, (100, 50, 500, 450))
    for new, old in zip(page.shapes, placed.shapes, strict=True):
        for (x, y), (x0, y0) in zip(new.points, old.points, strict=True):
            assert x - x0 == pytest.approx(300 - placed.width / 2) and y - y0 == pytest.approx(250 - placed.height / 2)
    assert [label.text for label in page.labels] == [label.text for label in placed.labels]


def test_a_flow_loses_no_row_and_leaves_no_box() -> None:
    """Rows of a long block run on over boxes in their order; what finds no room comes back with its heading."""
    page = Page(300, 120, 10, 10)
    rows = tuple(((0.0, f"row {i}"),) for i in range(20))
    left = page.flow([Block("LIST", rows)], column_boxes(page.inside, 2))
    written = [label.text for label in page.labels if label.text.startswith("row")]
    assert [*written, *(row[0][1] for one in left for row in one.rows)] == [f"row {i}" for i in range(20)]
    assert written and left[0].heading == "LIST (CONTINUED)"
    assert max(label.box[3] for label in page.labels) <= 110 and min(label.box[0] for label in page.labels) >= 10


def test_paper_has_the_size_of_ansi_a_and_b() -> None:
    """ANSI/ASME Y14.1: A is 8.5 x 11 in, B is 11 x 17 in; an inch has 72 points."""
    assert paper_size("letter") == (11 * 72, 8.5 * 72) and paper_size("tabloid") == (17 * 72, 11 * 72)
    with pytest.raises(InputError, match="Paper 'A4': letter or tabloid is allowed"):
        paper_size("A4")


def test_the_mark_at_the_start_of_some_files_draws_nothing() -> None:
    """A text pasted from a file may begin with U+FEFF; the page is written with the rest of it."""
    page = Page(600.0, 400.0, 20.0, 10.0)
    page.text(50.0, 50.0, "\ufeffHeel 8")
    data = one_page(page.layout("Page", "One text"), ".pdf")
    assert "Heel 8" in PdfReader(io.BytesIO(data)).pages[0].extract_text()
