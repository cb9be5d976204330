"""The ways in for somebody with a job in hand: the view for the table on a job file, and from 00 to a profile set.

Each types the command for itself, with a copy of its own.  By hand, for the numbers typed: 27'-4 3/8" are 328.375 in,
the run 164.1875; at 9 1/2 in 12 a 2x10 (9 1/4 in, PS 20) on a seat of 3 1/4 in has a heel of 9.25 x 1.27543 - 2.57292 =
9.2248, 9 1/4 in, and a truss of that heel is 9.25 + 164.1875 x 9.5/12 = 139.23 in high, 11'-7 1/4"; a stretch of
18'-6", 222 in, less one truss of 1 1/2 in is 9.2 spaces of 24 in: ten spaces, 11 trusses.
"""

from __future__ import annotations

import os
import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from rooflab.job.agreement import agreements_in
from rooflab.job.jobfile import Job, example
from rooflab.job.option import option_of, with_options
from rooflab.job.values import job_with
from tests.tools.browser import PROJECTOR, TABLET, Browser, settle
from tests.tools.day import LATEST, Day, wait_alive

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser
if os.name == "nt":
    pytest.skip("the console's signals are POSIX", allow_module_level=True)


# --- the table -------------------------------------------------------------------------------------------------------


def test_the_table_opens_on_a_job_file_in_another_folder_and_writes_back_to_it(
    tmp_path: Path, browser: Browser
) -> None:
    """A path with spaces and letters of other tongues: the view fills the window with that job's numbers; what is
    agreed is kept in that file, and printed beside it; the copy has no job file of its own.
    """
    file = tmp_path / "Häuser, 2. Teil" / "haus am Hang ü.json"
    file.parent.mkdir()
    job = job_with(replace(example(), title="Lake house"), {"span": "27'-4 3/8\"", "pitch": (9.5, 7)})
    with_options(job, [option_of("As drawn", job), option_of("Flatter ceiling", job, ceiling_pitch=3)]).save(file)
    copy = tmp_path / "copy"
    with Day(browser, "table", file, "--folder", copy) as day:
        page = day.first(PROJECTOR)
        view = page.locator("dialog .rl-meeting")
        view.wait_for(timeout=LATEST)
        box = view.bounding_box()
        assert box and (round(box["width"]), round(box["height"])) == PROJECTOR
        settle(view)
        assert view.get_by_role("textbox", name="Span, out to out").input_value() == "27'-4 3/8\""
        view.get_by_role("tab", name="6 Agree").click()
        settle(view)
        view.get_by_role("combobox", name="Chosen option").select_option("2 Flatter ceiling")
        settle(view)
        date = view.get_by_role("textbox", name="Date, as you write it")
        date.fill("1 May 2026")
        date.press("Enter")
        settle(view)
        view.get_by_role("button", name="Write it down").click()
        said = view.locator(".rl-sentence", has_text="Written: ")
        said.wait_for()
        assert file.name in said.inner_text()
    kept = Job.load(file)
    assert agreements_in(kept)[0].option == "Flatter ceiling" and kept.gable.pitch == (9.5, 7)
    assert kept.scissor.ceiling_pitch == 3 and kept.title == "Lake house"
    assert sorted(path.name for path in file.parent.iterdir()) == [file.name, "lake-house-agreed.pdf"]
    assert "Flatter ceiling" in PdfReader(file.parent / "lake-house-agreed.pdf").pages[0].extract_text()
    assert not (copy / "house.json").exists()


# --- a first visit ---------------------------------------------------------------------------------------------------

PAGE = ".jp-NotebookPanel:not(.lm-mod-hidden)"
MOST_ACTIONS = 11
STANDS = """heading => { const page = document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden)');
    const found = [...(page?.querySelectorAll('h3') || [])].find(one => one.textContent.startsWith(heading));
    const area = page?.querySelector('.jp-WindowedPanel-outer');
    return Boolean(found) && Math.abs(found.getBoundingClientRect().top - area.getBoundingClientRect().top) < 40; }"""
DESK = {  # what lies on it, and the heading that its link leads to
    "the builder sits down": "At the table, on your own job",
    "shop drawings came back": "7 · Your own drawings",
    "trusses stand": "6 · Your own seam",
}


OWN_NUMBER = re.compile(r'9\.5/12|Heel asked for\s*9"')
"""Of a job at 9.5 in 12: its pitch, or its heel, by hand 9.25 x 1.2755 - 0.7917 x 3.5 = 9.027, which reads 9 in."""


class Visit:
    """A visitor's hand: each press of a link or button, and each number or word typed, is one action."""

    def __init__(self, page: Page) -> None:
        self.page, self.actions = page, 0

    @property
    def book(self) -> Locator:
        return self.page.locator(PAGE)

    def go(self, link: str, heading: str) -> None:
        """Follow a link, and see its heading at the top once the workbook is alive, and stay there."""
        self.book.get_by_role("link", name=link).first.click()
        self.actions += 1
        self.page.wait_for_function(f"heading => ({STANDS})(heading)", arg=heading, timeout=LATEST)
        wait_alive(self.page)
        self.page.wait_for_timeout(1500)  # what grows above it has grown
        assert self.page.evaluate(STANDS, heading), heading

    def press(self, name: str, said: str) -> None:
        self.book.get_by_role("button", name=name).last.click()
        self.actions += 1
        self.book.get_by_text(said).last.wait_for()

    def type(self, box: Locator, text: str) -> None:
        box.fill(text)
        box.press("Enter")
        self.actions += 1

    def number(self, label: str, text: str) -> None:
        panel = self.book.locator(".rl-panel").last
        self.type(panel.get_by_label(f"{label}, typed"), text)
        settle(panel)

    def cut(self) -> bool:
        """Whether something of the page in front runs out of the window sideways."""
        wide = "area => area.scrollWidth > area.clientWidth + 1"
        return bool(self.book.locator(".jp-WindowedPanel-outer").evaluate(wide))


@pytest.mark.parametrize("size", [(1280, 720), (1024, 768), TABLET], ids=["laptop", "small", "tablet"])
def test_from_the_opened_page_to_a_profile_set_of_her_own(
    size: tuple[int, int], tmp_path: Path, browser: Browser, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is guessed or answered on the way: her numbers, her title, and no sheet says that it is not issued."""
    copy = tmp_path / "copy"
    with Day(browser, copy) as day:
        page = day.first(size)
        wait_alive(page)
        visit = Visit(page)
        box = visit.book.get_by_role("strong").filter(has_text="What is on your desk today?").bounding_box()
        assert box and box["y"] < 200
        visit.go("A house to draw up", "9 · Your own house")
        assert visit.book.get_by_text("No job file yet").is_visible()
        for label, text in (("Span", "27'-4 3/8"), ("Roof pitch", "9 1/2"), ("Seat", "3 1/4")):
            visit.number(label, text)
        visit.press("Write them", "Written to house.json")
        assert not visit.cut()
        visit.go("your profile set", "5 · Your own house")
        assert visit.book.get_by_text("span 27'-4 3/8\", roof 9 1/2 in 12").is_visible()
        visit.type(visit.book.get_by_label("Title of the house", exact=True), "Lake house, Lot 4")
        visit.type(visit.book.get_by_label("Type A: length of its stretch", exact=True), "18'-6")
        visit.press("and write them into house.json", "Written to house.json")
        sheet = visit.book.locator(".rl-working svg").filter(has_text="Lake house, Lot 4")
        assert "27'-4 3/8\"" in str(sheet.first.text_content())  # it followed
        visit.press("PDF, letter", "Written:")
        assert not visit.cut()
    with capsys.disabled():
        print(f"\nfrom 00 to a profile set: {visit.actions} actions")
    assert visit.actions <= MOST_ACTIONS
    (file,) = (copy / "to the manufacturer").iterdir()
    pages = [" ".join(one.extract_text().split()) for one in PdfReader(file).pages]
    assert file.name == "lake-house-lot-4-letter.pdf"
    assert all("Lake house, Lot 4" in one and "NOT ISSUED" not in one for one in pages)
    profile = next(one for one in pages if "Truss profile, type A" in one)
    for words in ("27'-4 3/8\"", "9 1/2 in 12", "heel L 9 1/4\"", "11'-7 1/4\"", "type A: 11 at 24\" o.c."):
        assert words in profile, words


def test_what_lies_on_the_desk_opens_its_place_with_her_job(tmp_path: Path, browser: Browser) -> None:
    """Each link of 00's question leads to the place of its own, which works with the numbers of the job file."""
    copy = tmp_path / "copy"
    copy.mkdir()
    job_with(replace(example(), title="Lake house"), {"pitch": 9.5}).save(copy / "house.json")
    with Day(browser, copy) as day:
        page = day.first()
        wait_alive(page)
        for link, heading in DESK.items():
            visit = Visit(page)
            visit.go(link, heading)
            assert not visit.book.get_by_text("No job file yet").count()
            shown = visit.book.locator(".rl-working, .rl-panel").filter(has_text=OWN_NUMBER)
            shown.first.wait_for()
            page.get_by_role("menuitem", name="Tabs", exact=True).click()
            page.get_by_role("menuitem", name=re.compile("^00-start-here")).click()
            page.locator(PAGE).get_by_role("link", name="A house to draw up").wait_for()


def test_a_sheet_that_was_open_before_takes_the_numbers_written_since(tmp_path: Path, browser: Browser) -> None:
    """09 first, then 01, then back: what is printed are the numbers of the file, with the words of the form."""
    copy = tmp_path / "copy"
    copy.mkdir()
    replace(example(), title="Lake house").save(copy / "house.json")
    with Day(browser, copy) as day:
        page = day.alive("09-the-profile-sheet")
        visit = Visit(page)
        visit.go("Workbook 01, part 9", "9 · Your own house")
        visit.number("Span", "27'-4 3/8")
        visit.press("Write them", "becomes 27'-4 3/8")
        visit.go("your profile set", "5 · Your own house")  # its page is open: it is shown, and runs nothing again
        visit.press("PDF, letter", "Written:")
        shown = visit.book.locator(".rl-working svg").filter(has_text="27'-4 3/8")
        shown.first.wait_for()
    (file,) = (copy / "to the manufacturer").iterdir()
    assert "27'-4 3/8" in " ".join(one.extract_text() for one in PdfReader(file).pages)
