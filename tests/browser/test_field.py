"""The field sheet in JupyterLab and Chromium: twenty-four trusses on two walls, from the list to the paper and back.

By hand, with 1/8 in: on the left a highest heel of 8 7/8, so that 8 3/4 is left, 8 5/8 wants 1/4 in and 8 1/16 13/16,
which is over the 3/4 in that is set without the engineer; the rafters' seat is (9.25 x 1.20185 - 8.875) x 3/2 = 3.36
in.  On the right all stand at 8 13/16, as they were asked for.
"""

from __future__ import annotations

import io
import shutil
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from rooflab.job.jobfile import example
from rooflab.job.schedule import TrussType
from tests.tools.browser import (
    LAPTOP,
    ROOT,
    TABLET,
    Browser,
    cell_errors,
    cut_off,
    faults,
    names,
    pressed,
    settle,
    view,
)

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

LEFT = ["8 7/8", "8 3/4", "8 5/8", "-", *["8 7/8"] * 19, "8 1/16"]
RIGHT = ["8 13/16"] * 24
SIZES = ((1024, 700), (1280, 720), LAPTOP, (1920, 1000), TABLET)


def sheet(browser: Browser, size: tuple[int, int] = LAPTOP) -> tuple[Page, Locator]:
    """Workbook 11 beside a job file of twenty-four trusses, and its field sheet."""
    book = next((ROOT / "workbooks").glob("11*.ipynb"))
    replace(example(), types=(TrussType("A", 24.0 * 23 + 1.5),)).save(browser.folder / "house.json")
    page = browser.open(Path(shutil.copy(book, browser.folder)), size)
    panel = page.get_by_role("group", name="Field sheet: controls")
    panel.wait_for()
    settle(panel)
    panel.scroll_into_view_if_needed()
    page.wait_for_function("panel => panel.querySelector('.rl-sentence').innerText", arg=panel.element_handle())
    return page, panel


def paste(panel: Locator, wall: str, text: str) -> None:
    """A list put into a wall's box from the clipboard: it is read without another key."""
    box = panel.get_by_label(f"{wall}, typed")
    box.focus()
    panel.page.evaluate(
        """text => { const box = document.activeElement; box.select();
        document.execCommand('insertText', false, text);
        box.dispatchEvent(new InputEvent('input', { inputType: 'insertFromPaste', bubbles: true })); }""",
        text,
    )
    settle(panel)


def texts_apart(panel: Locator) -> list[str]:
    """Texts of the picture that lie on each other."""
    return panel.evaluate(
        """panel => { const found = [...panel.querySelectorAll('.rl-picture text')].map(node => [node.textContent,
            node.getBoundingClientRect()]);
        const on = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
            Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 3;
        return found.flatMap(([text, box], i) => found.slice(i + 1).filter(([, other]) => on(box, other))
            .map(([other]) => `${text} on ${other}`)); }"""
    )


def test_two_walls_are_pasted_shimmed_printed_and_measured_again(browser: Browser) -> None:
    page, panel = sheet(browser)
    said = panel.locator(".rl-sentence")
    assert "Nothing is measured yet" in said.inner_text()
    assert {panel.get_by_label(f"{end} wall, typed").input_value() for end in ("Left", "Right")} == {""}

    paste(panel, "Left wall", ", ".join(LEFT))
    paste(panel, "Right wall", "\n".join(RIGHT))
    words = said.inner_text()
    assert 'Left wall: aim for 8 7/8", 1/16" above the heel asked for; shim 1 of 23 trusses; No. 24 to' in words
    assert 'Right wall: aim for 8 13/16", the heel asked for; no shim is set' in words
    view(panel, "Shim list")
    rows = [row.locator("td").all_inner_texts() for row in panel.locator(".rl-picture tr").all()][1:]
    assert len(rows) == 24 and [rows[i][5] for i in (0, 1, 2, 3, 23)] == ["leave", "leave", '1/4"', "", "ENG"]
    assert {row[8] for row in rows} == {"leave"}
    cut = view(panel, "Rafters to match")
    assert 'Cut the seat 3 3/8" (now 3 1/2")' in cut and 'Leave the seat as drawn, 3 1/2"' in cut
    assert "ridge moves 1/16\" left" in cut and "No. 24 is 13/16\" lower than" in cut
    view(panel, "Along the walls")
    assert texts_apart(panel) == []

    desk = page.locator(".rl-desk").filter(has_text="Write the field sheet above")
    for button, told in (
        ("Shim list, PDF", ("SHIM LIST", "of shims: left No. 24", 'seat 3 3/8"', '1/4"', "page 1 of 1")),
        ("Card to write on, PDF", ("HEELS TO MEASURE", 'heel asked for 8 13/16"', "Bracing first")),
        ("Site card to fold, PDF: left", ('Aim for 8 7/8"', "left end", 'Seat 3 3/8"')),
    ):
        name, data = pressed(page, desk, button)
        assert (browser.folder / name).read_bytes() == data
        text = " ".join(" ".join(one.extract_text() for one in PdfReader(io.BytesIO(data)).pages).split())
        assert [one for one in told if one not in text] == [], (button, text)
        desk.locator(".rl-answer").evaluate("node => node.replaceChildren()")

    box = panel.get_by_label("Left wall, typed")
    box.fill("8 7/8, about nine")
    box.press("Control+Enter")
    settle(panel)
    assert panel.locator(".rl-stale").is_visible() and "about nine" in said.inner_text()
    panel.get_by_role("button", name="Undo", exact=True).click()
    settle(panel)
    assert box.input_value() == ", ".join(LEFT) and not panel.locator(".rl-stale").is_visible()

    desk.get_by_role("button", name="Measure again").click()
    desk.get_by_text("Type what is measured now").wait_for()
    settle(panel)
    assert box.input_value() == "" and panel.get_by_label("Left, last time, typed").input_value() == ", ".join(LEFT)
    paste(panel, "Left wall", "; ".join([*LEFT[:2], "8 7/8", *LEFT[3:]]))
    assert "1 of 23 moved since the last time, No. 3 left the most, +1/4\"; 1 shim changed" in said.inner_text()
    moved = view(panel, "What moved")
    assert "No. 3, left" in moved and "changed" in moved
    assert [one for root in (panel, desk) for one in names(page, root) if not one[1]] == []
    assert cut_off(page) == [] and faults(page) == [] and cell_errors(page) == []


def test_numbers_of_two_walls_are_legible_on_every_page(browser: Browser) -> None:
    page, panel = sheet(browser, SIZES[0])
    paste(panel, "Left wall", ", ".join(["8 15/16", *["8 1/4"] * 23]))
    paste(panel, "Right wall", "\t".join(["8 15/16", *["8 1/4"] * 23]))
    for wide, tall in SIZES:
        page.set_viewport_size({"width": wide, "height": tall})
        page.wait_for_timeout(500)  # the page tells its new size a little later
        settle(panel)
        panel.scroll_into_view_if_needed()
        assert texts_apart(panel) == [] and cut_off(page) == [], wide
        shown = panel.locator(".rl-picture text").all_text_contents()
        assert shown.count('11/16"') == 46 and all(f"{n}" in shown for n in range(1, 25)), wide
        small = panel.evaluate(
            """panel => Math.min(...[...panel.querySelectorAll('.rl-picture text')]
            .map(one => one.getBoundingClientRect().height))"""
        )
        assert small >= 13 and panel.evaluate("panel => panel.scrollWidth <= panel.clientWidth"), wide
