"""The bench in a browser, from paste to PDF: five marks returned, three of them wrong in different ways, one mark of
the job missing, one from another job, and one letter that answers all of it; then the second return, on the second day.

The job and the return are those of ``tests/tools/returned.py``, worked by hand there: B's left heel is 11/16 in short,
C's ceiling 4 1/2 in 12 for 4, D's right heel 2 5/16 in high, E did not come back, T7 is of another job.
"""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from tests.tools.browser import (
    LAPTOP,
    READY,
    ROOT,
    TABLET,
    Browser,
    cell_errors,
    cut_off,
    faults,
    names,
    pressed,
    run_all,
    settle,
    view,
    write_notebook,
)
from tests.tools.returned import FIVE_JOB, FIVE_RETURNED

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

CELLS = ["from rooflab import live\nown = live.bench(live.job())\ndisplay(live.paste(own), own)", "live.reply(own)"]


def opened(browser: Browser, size: tuple[int, int] = LAPTOP) -> tuple[Page, Locator]:
    """A notebook with the bench of the five types on a scratch folder, and its panel."""
    FIVE_JOB.save(browser.folder / "house.json")
    page = browser.open(write_notebook(browser.folder / "bench.ipynb", CELLS), size)
    return page, on_page(page)


def on_page(page: Page) -> Locator:
    panel = page.locator(".rl-panel")
    panel.wait_for()
    settle(panel)
    return panel


def read(page: Page, panel: Locator, text: str, said: str) -> None:
    page.get_by_label("Paste what came back").fill(text)
    page.get_by_role("button", name="Read the table").click()
    page.get_by_text(said).wait_for()
    settle(panel)


def on_drawing(page: Page, panel: Locator, name: str, text: str) -> None:
    """Type a number where it stands, by keyboard."""
    panel.get_by_role("button", name=name, exact=True).focus()
    page.keyboard.press("Enter")
    page.keyboard.insert_text(text)
    page.keyboard.press("Enter")
    panel.locator(".rl-pop").wait_for(state="detached")
    settle(panel)


def rows(panel: Locator) -> list[str]:
    return panel.locator(".rl-picture tr").all_inner_texts()[1:]


def texts_apart(panel: Locator) -> list[str]:
    """Texts of the drawing that lie over each other, or leave it."""
    return panel.locator(".rl-picture svg").first.evaluate(
        """svg => { const frame = svg.getBoundingClientRect();
        const all = [...svg.querySelectorAll('text')].map(node => [node.textContent, node.getBoundingClientRect()]);
        const out = all.filter(([, a]) => a.left < frame.left - 1 || a.right > frame.right + 1 || a.top < frame.top - 2
            || a.bottom > frame.bottom + 2).map(([text]) => text);
        all.forEach(([one, a], i) => all.slice(i + 1).forEach(([other, b]) => {
            const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const tall = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            if (wide > 2 && tall > 4) out.push(one + ' / ' + other); }));
        return out; }"""
    )


def test_five_marks_are_pasted_and_one_letter_answers_them(browser: Browser) -> None:
    page, panel = opened(browser)
    read(page, panel, FIVE_RETURNED, "5 drawings, 45 numbers read.")
    assert panel.locator(".rl-sentence").inner_text().startswith("Return 1: 4 of 5 types came back.")
    a, b, c, d, e, other = rows(panel)
    assert "agrees" in a and "S-101" in a and "Nothing came back" in e
    assert "T7 of Birch House" in other and "not of this job" in other
    assert all("resolve" in one for one in (b, c, d))
    assert "heel, left" in b and "ceiling pitch" in c and "heel, right" in d
    assert cut_off(page) == [] and [one for one in names(page, panel) if not one[1]] == []

    panel.get_by_role("button", name="Open type B").click()
    settle(panel)
    assert "heel 1'-4 13/16\" (asked 1'-5 1/2\")" in panel.locator(".rl-picture").inner_text()
    assert texts_apart(panel) == []
    view(panel, "Line by line")
    assert any("Heel, left" in one and "resolve" in one and "11/16" in one for one in rows(panel))

    desk = page.locator(".rl-desk")
    desk.get_by_label("To", exact=True).fill("The truss shop")
    desk.get_by_label("Note", exact=True).fill("Call before cutting.")
    desk.get_by_role("button", name="Preview").click()
    desk.get_by_text("Of 5 types: 3 correct and resubmit, 1 no exceptions, 1 not returned.").wait_for()
    assert cut_off(page) == [] and [one for one in names(page, desk) if not one[1]] == []
    for button in ("Write the reply as PDF", "as CSV"):
        name, data = pressed(page, desk, button)
        assert (browser.folder / name).read_bytes() == data
        if button == "as CSV":
            text = "\n".join(" ".join(row) for row in csv.reader(io.StringIO(data.decode("utf-8-sig"))))
        else:
            text = " ".join(" ".join(one.extract_text() for one in PdfReader(io.BytesIO(data)).pages).split())
            assert "Type B, drawing S-102: correct and resubmit" in text and "A S-101 of 24 Nov no exceptions" in text
        for part in ("T7 of Birch House", "The truss shop", "Call before cutting.", "1'-5 1/2\"", "4 1/2 in 12",
                     '11 1/8"', "not returned", "no approval"):  # fmt: skip
            assert part in text, (button, part)
    assert faults(page) == [] and cell_errors(page) == []


def test_a_drawing_on_paper_is_typed_where_its_numbers_stand(browser: Browser) -> None:
    page, panel = opened(browser, TABLET)
    view(panel, "Overlay")
    shown = panel.locator(".rl-picture").inner_text()
    assert "heel ____" in shown and "26'" not in shown and "8 13/16" not in shown
    assert texts_apart(panel) == []
    on_drawing(page, panel, "Type A heel empty, edit", "00-11-02")
    on_drawing(page, panel, "Type A span empty, edit", "26-00-00")
    on_drawing(page, panel, "Type A drawing number empty, edit", "S-7")
    shown = panel.locator(".rl-picture").inner_text()
    assert 'heel 11 1/8" (asked 8 13/16")' in shown and "span 26'-0\"" in shown and "drawing number S-7" in shown
    assert texts_apart(panel) == []
    panel.get_by_role("button", name="Undo").click()
    settle(panel)
    assert "drawing number ____" in panel.locator(".rl-picture").inner_text()
    assert faults(page) == []


def test_the_second_return_on_the_second_day(browser: Browser) -> None:
    page, panel = opened(browser)
    read(page, panel, FIVE_RETURNED, "5 drawings")
    page.evaluate("window.jupyterapp.shell.currentWidget.sessionContext.restartKernel()")
    page.wait_for_function(READY, timeout=60_000)
    run_all(page)
    panel = on_page(page)
    assert "Return 1: 4 of 5" in panel.locator(".rl-sentence").inner_text()
    assert "T7 of Birch House" in rows(panel)[-1]
    page.get_by_role("button", name="Begin the next return").click()
    page.get_by_text("Return 2 begins.").wait_for()
    settle(panel)
    again = FIVE_RETURNED.partition("mark,B")[2].partition("mark,C")[0].replace("01-04-13", "01-05-08")
    read(page, panel, f"mark,B{again.replace('01-04-00', '01-06-00')}", "1 drawings")
    b = rows(panel)[1]
    assert "1 resolved" in b and "1 new" in b and "Not in return 2" in rows(panel)[0]
    panel.get_by_role("button", name="Open type B").click()
    settle(panel)
    view(panel, "Line by line")
    became = {one.split("\t")[0].strip(): one for one in rows(panel)}
    assert "resolved" in became["Heel, left"] and "new" in became["Overhang, right"]
    kept = json.loads((browser.folder / "house.returned.json").read_text(encoding="utf-8"))
    assert [sorted(one) for one in kept["returns"]] == [["A", "B", "C", "D", "T7 of Birch House"], ["B"]]


@pytest.mark.parametrize("size", [(1024, 700), (1280, 720), (1920, 1080), TABLET])
def test_no_number_is_lost_or_overlaps_on_any_page(browser: Browser, size: tuple[int, int]) -> None:
    page, panel = opened(browser, size)
    for mark in "AC":
        view(panel, "Overlay")
        panel.get_by_role("radio", name=mark, exact=True).check()
        settle(panel)
        assert texts_apart(panel) == []
    read(page, panel, FIVE_RETURNED, "5 drawings")
    assert cut_off(page) == []
    for mark in "ABCD":
        view(panel, "Overlay")
        panel.get_by_role("radio", name=mark, exact=True).check()
        settle(panel)
        assert texts_apart(panel) == [], mark
    assert panel.locator("[data-touch^='Type D ']").count() == 19  # both ends' numbers, a plate, number and date


def test_the_workbook_ends_in_the_bench_without_a_job_file(browser: Browser) -> None:
    book = next((ROOT / "workbooks").glob("10*.ipynb"))
    page = browser.open(Path(shutil.copy(book, browser.folder)))
    panel = page.locator(".rl-panel").filter(has_text="Whole job")
    panel.wait_for()
    page.get_by_role("button", name="Show a sample").click()
    page.get_by_text("SAMPLE, not a returned drawing: made from what you asked for").wait_for()
    settle(panel)
    assert panel.locator(".rl-sentence").inner_text().startswith("SAMPLE, not a returned drawing.")
    assert not (browser.folder / "house.returned.json").exists()
    assert cell_errors(page) == []
