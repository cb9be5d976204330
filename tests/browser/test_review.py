"""Returned drawings and the seam on the site in JupyterLab and Chromium: as a reader goes through workbooks 10 and 11.

By hand, for the house of the workbooks (8 in 12, a 2x10 on 3 1/2 in, span 26 ft): a forgotten seat is 2/3 x 3 1/2 =
2 1/3 in; L/180 = 312/180 = 1.73 in (ANSI/TPI 1, sec. 7.6); heels 8 3/4, 9 1/16, 8 1/2 and 8 13/16 want shims of 5/16,
none, 9/16 and 1/4 in, and a seat of (9.25 x 1.20185 - 9.0625) x 3/2 = 3.08 in.
"""

from __future__ import annotations

import csv
import io
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from tests.tools.browser import (
    LAPTOP,
    PROJECTOR,
    ROOT,
    Browser,
    cell_errors,
    cut_off,
    faults,
    names,
    pressed,
    settle,
    typed,
    view,
)

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

ONE_MISTAKE = """item;value;remark
tail_top;00-00-07;
heel;00-11-02;=1+1

span;26-00-00;
pitch;8.00;
ceiling_pitch;4.00;
overhang;01-04-00;
bearing;00-05-08;
height;09-07-02;
ceiling_rise;04-02-03;
depth_at_peak;05-04-15;
"""


def opened(browser: Browser, start: str, size: tuple[int, int]) -> Page:
    """A workbook on a scratch copy, run."""
    book = next((ROOT / "workbooks").glob(f"{start}*.ipynb"))
    page = browser.open(Path(shutil.copy(book, browser.folder)), size)
    page.locator(".rl-panel").first.wait_for()
    return page


def picture(page: Page, prompt: str, choice: str) -> tuple[Locator, Locator]:
    """The cell of a prediction, its panel unlocked by a choice."""
    cell = page.locator(".jp-CodeCell").filter(has_text=prompt).first
    cell.get_by_role("radio", name=choice, exact=True).check()
    panel = cell.locator(".rl-panel")
    page.wait_for_function("panel => !panel.classList.contains('rl-locked')", arg=panel.element_handle())
    return cell, panel


def line_of(panel: Locator, *parts: str) -> str:
    rows = panel.locator(".rl-picture tr")
    for part in parts:
        rows = rows.filter(has_text=part)
    return rows.first.inner_text()


def test_a_returned_drawing_is_reviewed_and_answered(browser: Browser) -> None:
    playwright = pytest.importorskip("playwright.sync_api")
    page = opened(browser, "10", LAPTOP)
    cell, panel = picture(page, "Which one mistake gives that?", "the seat forgotten")
    cell.get_by_label("Paste a table here").fill(ONE_MISTAKE)
    cell.get_by_role("button", name="Review it").click()
    cell.get_by_text("10 numbers read").wait_for()
    settle(panel)
    assert "seat forgotten" in panel.locator(".rl-sentence").inner_text()
    view(panel, "Line by line")
    assert "resolve" in line_of(panel, "Heel", '11 1/8"') and '2 5/16"' in line_of(panel, "Heel", '11 1/8"')
    assert "agrees" in line_of(panel, "Ceiling rise")
    assert "Fits: seat forgotten" in view(panel, "Conflicts and likely causes")

    cell, panel = picture(page, "Which one is wrong?", "the ceiling rise")
    cell.get_by_role("button", name="Our drawing: contradiction").click()
    cell.get_by_text("10 numbers read").wait_for()
    settle(panel)
    said = view(panel, "Conflicts and likely causes")
    assert "Contradiction" in said and "ceiling rise" in said and "ceiling from the other face" in said

    cell, both = picture(page, "At the seam ...", "type A stands higher")
    for kind, ours in (("A", "honest"), ("B", "short truss")):
        cell.get_by_role("button", name=f"Our drawing: {ours}").click()
        cell.get_by_text(f"Type {kind}: {'All' if kind == 'A' else 'To resolve'}").last.wait_for()
        playwright.expect(cell.get_by_label("It is the drawing of type")).to_have_value(kind)  # a message of its own
    cell.get_by_text("Type A would stand 11/16\" above type B").wait_for()
    assert cell.get_by_text("It is: type A stands higher").is_visible()

    desk = page.locator(".rl-desk").filter(has_text="The reply to the drawing above")
    for n in range(1, 16):
        desk.get_by_role("checkbox", name=f"{n}. ").first.check()
    desk.get_by_label("Deflection, total (L/180)").fill("1 3/4")
    desk.get_by_label("Deflection, live (L/240)").fill("L/360")
    desk.get_by_label("Horizontal movement at the bearing, total").fill("1 1/4")
    desk.get_by_label("Your note").fill("Call before cutting.")
    desk.get_by_role("button", name="Preview").click()
    desk.get_by_text("15 found, 1 not found").wait_for()
    moved = desk.locator(".rl-answer ul").last.locator("li").all_inner_texts()
    assert len(moved) == 4 and any("stated 1.75 in; usual limit 1.73 in" in one for one in moved), moved
    assert cut_off(page) == []
    assert [one for root in (desk, cell) for one in names(page, root) if not one[1]] == []

    for button in ("Write the reply as PDF", "as CSV"):
        name, data = pressed(page, desk, button)
        assert (browser.folder / name).read_bytes() == data
        if button == "as CSV":
            rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))
            text = "\n".join(" ".join(row) for row in rows)
            assert [row[4] for row in rows if row[0] == "Ceiling rise"] == ["resolve"]
        else:
            text = " ".join(" ".join(one.extract_text() for one in PdfReader(io.BytesIO(data)).pages).split())
            assert "CORRECT AND RESUBMIT" in text and "Required 4'-2 3/16\"" in text
            assert "Deflection, total (L/180): stated 1.75 in; usual limit 1.73 in" in text
        for part in ("4'-4\"", "Call before cutting.", "16. Camber" if button != "as CSV" else "Camber",
                     "other face of the wall", "no approval"):  # fmt: skip
            assert part in text, (button, part)
    assert faults(page) == []
    assert cell_errors(page) == []


def test_heels_are_measured_and_shimmed(browser: Browser) -> None:
    page = opened(browser, "11", PROJECTOR)
    _, panel = picture(page, "bows 1 3/4", "no, over L/200")
    for at, heel in (("0", "8 3/4"), ("2 ft", "9 1/16"), ("4 ft", "8 1/2"), ("6 ft", "00-08-13")):
        typed(panel, f"Heel at {at}", heel)
    view(panel, "Shim schedule")
    rows = [row.locator("td").all_inner_texts() for row in panel.locator(".rl-picture tr").all()][1:]
    assert [(row[1], row[3]) for row in rows] == [
        ('8 3/4"', '5/16"'), ('9 1/16"', "none"), ('8 1/2"', '9/16"'), ('8 13/16"', '1/4"'),
    ]  # fmt: skip
    assert '3 1/16"' in panel.locator(".rl-sentence").inner_text()
    typed(panel, "Bow", "1 3/4")
    assert "misses" in view(panel, "Set trusses")
    typed(panel, "Heel at 4 ft", "8 1/2 or so")
    assert panel.locator(".rl-stale").is_visible() and "8 1/2 or so" in panel.locator(".rl-sentence").inner_text()
    typed(panel, "Heel at 4 ft", "8 1/2")
    for name in ("Along the seam", "Cautions"):
        assert view(panel, name)
    assert cut_off(page) == [] and [one for one in names(page, panel) if not one[1]] == []
    assert faults(page) == []
    assert cell_errors(page) == []
