"""The start as a user has it: from the command to a moving picture, a second day, and what must not lose anything.

Each test types ``python -m rooflab FOLDER`` for itself, with a copy of its own; nothing of the user's is opened.
"""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.tools.browser import LAPTOP, Browser, settle, typed
from tests.tools.day import LATEST, Day
from tests.tools.lessons import BOOKS

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
if os.name == "nt":
    pytest.skip("the console's signals are POSIX", allow_module_level=True)

ONE, TWO = "01-one-roof-plane", "02-cutting-the-rafter"
CELLS = """() => [...document.querySelectorAll('.jp-Notebook .jp-Cell')].map(
  cell => [cell.matches('.jp-CodeCell'), cell.matches('.jp-MarkdownCell:not(.jp-mod-rendered)')])"""


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return tmp_path / "copy"


@pytest.fixture
def other(browser: Browser) -> Iterator[Browser]:
    """The browser; what it says of a kernel that a test ended is no error of the page."""
    yield browser
    gone = ("[anywidget] Failed", "Connection lost", "WebSocket", "Kernel")
    browser.errors[:] = [error for error in browser.errors if not any(word in error for word in gone)]


def strip(page: Page) -> str:
    return page.locator(".rl-strip > span").inner_text()


def pitch(page: Page) -> str:
    return page.locator(".rl-panel").first.get_by_label("Roof pitch, typed").input_value()


def test_from_the_command_to_a_moving_picture_and_a_second_day(
    copy: Path, other: Browser, capsys: pytest.CaptureFixture[str]
) -> None:
    """One action, the command: the page begins with a picture that moves; what is done is there on another day."""
    with Day(other, copy) as day:
        page = day.alive("00-start-here")
        panel = page.locator(".rl-panel").first
        before = panel.locator(".rl-picture").inner_html()
        slider = panel.get_by_role("slider").first
        slider.press("ArrowRight")
        settle(panel)
        took = time.monotonic() - day.begun
        assert panel.locator(".rl-picture").inner_html() != before and page.evaluate("window.scrollY") == 0
        assert panel.bounding_box()["y"] < LAPTOP[1] / 2  # type: ignore[index]
        with capsys.disabled():
            print(f"\ncommand to moving picture: {took:.1f} s, 1 action")
        page = day.alive(ONE)
        typed(page.locator(".rl-panel").first, "Roof pitch", "5 in 12")
        asked = page.locator(".rl-ask").filter(has=page.locator("input.rl-box")).first
        asked.locator("input.rl-box").fill("13'")
        asked.get_by_role("button", name="Check").click()
        asked.get_by_text("Right.").wait_for()
        page.locator(".rl-ask").filter(has_text="plumb tape").first.get_by_label("less").click()
        page.get_by_text("You said: less").first.wait_for()
        second = day.alive(ONE)  # a second tab finds the live pictures, and runs nothing again
        assert pitch(second) == "5 in 12" and strip(second).startswith("Live")
    assert "widget-view" not in (copy / f"{ONE}.ipynb").read_text(encoding="utf-8")
    with Day(other, copy) as day:
        page = day.alive(ONE)
        assert pitch(page) == "5 in 12"
        assert page.locator(".rl-ask input.rl-box").first.input_value() == "13'"
        assert page.get_by_text("You said: less").count() and page.get_by_text("Right.").count()
        page.on("dialog", lambda dialog: dialog.accept())
        page.get_by_role("menuitem", name="Workbook", exact=True).click()
        page.get_by_text("Begin Anew").click()
        page.get_by_text(re.compile("Live: .* Begun anew")).wait_for(timeout=LATEST)
        assert pitch(page) == "8 in 12" and list(copy.glob(f"{ONE} (until *).kept.json"))


def test_every_workbook_is_alive_on_a_second_day(copy: Path, other: Browser) -> None:
    """All twelve, as saved by a first day: what moves first is there, and no picture lacks its model."""
    for _ in range(2):
        with Day(other, copy) as day:
            for book in BOOKS:
                page = day.alive(book.stem)
                panel = page.locator(".rl-panel").first
                settle(panel)
                assert panel.locator("svg").count(), book.stem
                assert not page.get_by_text("model not found").count(), book.stem
                page.close()
                for session in json.loads(day.ask("sessions")):
                    day.ask(f"sessions/{session['id']}", "DELETE")
            saved = [path.read_text(encoding="utf-8") for path in copy.glob("*.ipynb")]
            assert len(saved) == len(BOOKS) and not any("widget-view" in text for text in saved)


def test_nothing_is_lost_to_stray_keys_an_ended_kernel_or_a_cell_run_too_early(copy: Path, other: Browser) -> None:
    """What is typed right after the page has come changes no cell; a dead kernel and a name too early: one sentence."""
    with Day(other, copy) as day:
        page = day.alive(TWO)
        cells = page.evaluate(CELLS)
        page.locator(".jp-RenderedMarkdown").first.dblclick()
        page.keyboard.type("xddabmyv1 The introduction.")
        page.keyboard.press("Enter")
        page.keyboard.type("dd")
        assert page.evaluate(CELLS) == cells
        page.keyboard.press("F2")
        page.locator(".rl-reading").wait_for(state="detached")
        page.keyboard.press("F2")
        page.locator(".rl-reading").wait_for()
        (kernel,) = [one["kernel"]["id"] for one in json.loads(day.ask("sessions")) if one["path"] == f"{TWO}.ipynb"]
        listed = subprocess.run(["ps", "-eww", "-o", "pid=,args="], capture_output=True, text=True, check=True).stdout
        (pid,) = [int(line.split()[0]) for line in listed.splitlines() if kernel in line]
        os.kill(pid, signal.SIGKILL)
        page.locator(".jp-Dialog button").click(timeout=LATEST)  # JupyterLab's own words
        page.get_by_text("Not running: menu Run > Run All Cells.").wait_for(timeout=LATEST)
        asked = page.locator(".rl-ask").first
        asked.locator("input.rl-box").first.fill("15")
        asked.get_by_role("button", name="Check").click()
        asked.get_by_text("No answer from the kernel").wait_for()
        assert page.locator(".rl-panel svg").count()  # the picture stays
        page.get_by_role("button", name="Show the code").click()  # keys inside of a question stay there
        opening = page.locator(".jp-CodeCell").filter(has_text="Opening picture")
        opening.locator(".cm-content").click()
        page.keyboard.press("Control+Enter")
        page.get_by_text("Not run yet: live comes from a cell further up. Choose Run > Run All Cells first.").wait_for()
