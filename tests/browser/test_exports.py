"""Desks that write files, in JupyterLab and Chromium: what is typed in the page stands in the file on the disk."""

from __future__ import annotations

from dataclasses import replace

import pypdf
import pytest

from rooflab.job.jobfile import Job, example
from rooflab.job.schedule import TrussType
from tests.tools.browser import Browser, cell_errors, write_notebook

pytestmark = pytest.mark.browser


def test_files_are_written_from_the_page_and_open(browser: Browser) -> None:
    """Words typed into the form, two presses, two files; the link leads to a PDF that names what was typed."""
    cells = ["from rooflab import live\ndesk = live.words(live.job())\ndesk", "live.export(desk)"]
    page = browser.open(write_notebook(browser.folder / "send it.ipynb", cells))
    form, files = page.locator(".rl-desk").first, page.locator(".rl-desk").last
    form.get_by_label("Contact", exact=True).fill("Ruth, 555 0100")
    form.get_by_role("button", name="Take these words").click()
    form.get_by_text("Still open: Title block: Architect, Date").wait_for()
    link = files.locator("a")
    for name in ("house-on-the-slope-example-letter.pdf", "house-on-the-slope-example-2-letter.pdf"):
        files.get_by_role("button", name="PDF, letter").click()
        files.get_by_text(name, exact=True).wait_for()
    with page.context.expect_event("response", lambda answer: answer.url.endswith("2-letter.pdf")) as opened:
        link.click()
    assert opened.value.ok and opened.value.headers["content-type"] == "application/pdf"
    made = browser.folder / "to the manufacturer" / "house-on-the-slope-example-2-letter.pdf"
    assert "Ruth, 555 0100" in pypdf.PdfReader(made).pages[1].extract_text()
    assert len(list((browser.folder / "to the manufacturer").iterdir())) == 2
    assert cell_errors(page) == []


def test_writing_from_the_example_leaves_its_words_behind(browser: Browser) -> None:
    """Title and a length typed, then written: the boxes show the job in the file, and so does the next press."""
    cells = ["from rooflab import live\ndesk = live.words(live.job())\ndesk"]
    page = browser.open(write_notebook(browser.folder / "mine.ipynb", cells))
    form = page.locator(".rl-desk").first
    form.get_by_label("Title of the house", exact=True).fill("Ann's barn")
    form.get_by_label("Type A: length of its stretch", exact=True).fill("30'")
    form.get_by_role("button", name="and write them into house.json").click()
    form.get_by_text("16 of type A").wait_for()  # 358.5 / 24 = 14.9: 15 spaces
    assert form.get_by_label("Basic wind speed Vult, mph", exact=True).input_value() == ""
    form.get_by_text("Ann's barn: the words of the sheet").wait_for()
    assert form.get_by_label("Type B: spacing", exact=True).count() == 0
    form.get_by_role("button", name="Take these words").click()
    form.get_by_text("Written to").wait_for(state="detached")
    form.get_by_text("Wind speed").last.wait_for()
    form.get_by_role("button", name="and write them into house.json").click()
    form.get_by_text("Written to").wait_for()
    made = Job.load(browser.folder / "house.json")
    assert (made.title, made.loads, made.sheet, made.types) == ("Ann's barn", {}, {}, (TrussType("A", 360),))
    assert cell_errors(page) == []


def test_a_form_open_since_before_shows_both_values(browser: Browser) -> None:
    """The file gets another title and revision; what was typed stays in its box until one is chosen."""
    file = browser.folder / "house.json"
    example().save(file)
    cells = ["from rooflab import live\ndesk = live.words(live.job())\ndesk"]
    page = browser.open(write_notebook(browser.folder / "both.ipynb", cells))
    form = page.locator(".rl-desk").first
    revision = form.get_by_label("Revision", exact=True)
    revision.fill("C")
    form.get_by_label("Address", exact=True).fill("12 Hill Road")
    replace(example(), title="Ann's barn", sheet={**example().sheet, "revision": "B"}).save(file)
    form.get_by_role("button", name="and write them into house.json").click()
    form.get_by_text("Revision: the file has B now, here it is C.").wait_for()
    assert revision.input_value() == "C" and Job.load(file).sheet["revision"] == "B"
    form.get_by_role("button", name="Write mine").click()
    form.get_by_text("Written to").wait_for()
    form.get_by_text("Ann's barn: the words of the sheet").wait_for()
    assert form.get_by_label("Title of the house", exact=True).input_value() == "Ann's barn"
    assert form.get_by_role("button", name="Write mine").count() == 0
    made = Job.load(file)
    assert (made.title, made.sheet["revision"], made.sheet["address"]) == ("Ann's barn", "C", "12 Hill Road")
    assert cell_errors(page) == []
