"""Workbook 01 completed by touch alone: taps on choices and boxes, text from the tablet's own keyboard, no mouse."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.tools.browser import TABLET, Browser, cell_errors, settle
from tests.tools.lessons import BOOKS, asked, name, right_choice

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

# How many panels stand before a question: the next one is its own.
BEFORE = """node => [...document.querySelectorAll('.rl-panel')]
    .filter(panel => panel.compareDocumentPosition(node) & Node.DOCUMENT_POSITION_FOLLOWING).length"""


class Finger:
    """A reader with a finger: what is tapped is brought into view first, as a swipe does."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps = page, 0
        self.session: Any = page.context.new_cdp_session(page)
        self.session.send("Emulation.setTouchEmulationEnabled", {"enabled": True, "maxTouchPoints": 1})

    def tap(self, node: Locator) -> None:
        box = self.stand(node)
        at = [{"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}]
        for kind, points in (("touchStart", at), ("touchEnd", [])):
            self.session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        self.taps += 1

    def stand(self, node: Locator) -> Any:
        """Where it stands, in view: a panel takes its size when it is first seen, and what is under it moves once."""
        before = None
        for _ in range(100):
            node.evaluate("node => node.scrollIntoView({ block: 'center', behavior: 'instant' })")
            self.page.wait_for_timeout(150)
            box = node.bounding_box()
            if box and box == before and not self.page.locator(".rl-panel[data-waiting=yes]").count():
                return box
            before = box
        raise AssertionError(f"it does not stand still on the page: {before}")

    def type(self, box: Locator, text: str) -> None:
        """Tap a box, and type over what stands there."""
        self.tap(box)
        self.page.wait_for_function("box => document.activeElement === box", arg=box.element_handle())
        box.evaluate("box => box.select()")
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")


def test_a_workbook_is_completed_by_touch_alone(browser: Browser) -> None:
    """On a tablet held upright: every prediction chosen, every control typed into, every question answered."""
    book = next(path for path in BOOKS if name(path).startswith("01"))
    page = browser.open(Path(shutil.copy(book, browser.folder / "touch.ipynb")), TABLET)
    finger, questions = Finger(page), asked(book)
    wanted = [ask.setup["prompt"] for ask in questions]
    legends = "[...document.querySelectorAll('.rl-ask legend')].map(node => node.textContent)"
    page.wait_for_function(f"wanted => wanted.every(prompt => {legends}.includes(prompt))", arg=wanted, timeout=60_000)
    prompts = page.evaluate(legends)
    for ask in questions:
        prompt = ask.setup["prompt"]
        part = page.locator(".rl-ask").nth(len(prompts) - 1 - prompts[::-1].index(prompt))
        if not ask.setup["choices"]:
            assert ask.question is not None
            finger.type(part.locator("input[type=text]").first, ask.question.reasoning.text)
            part.get_by_text("Right.").first.wait_for()
            continue
        finger.tap(part.locator("input[type=radio]").nth(ask.setup["choices"].index(right_choice(ask))))
        moves = ask.stop.move if ask.stop else {}
        panel = page.locator(".rl-panel").nth(part.evaluate(BEFORE)) if moves else None
        for control, text in moves.items():
            assert panel is not None and ask.panel is not None
            page.wait_for_function("panel => !panel.classList.contains('rl-locked')", arg=panel.element_handle())
            spec = next(spec for spec in ask.panel.setup["controls"] if spec["name"] == control)
            if spec.get("follow"):
                finger.tap(panel.get_by_label(spec["follow"]))
                settle(panel)
            finger.type(panel.get_by_label(f"{spec['label']}, typed"), text)
            settle(panel)
        answer = part.locator(".rl-answer")  # the prompt and the choices may say "right" too
        answer.get_by_text("It is: " if ask.stop else "Right").first.wait_for()
        assert "as you said" in answer.inner_text()
    assert len(questions) >= 12
    print(f"workbook 01 by touch: {len(questions)} questions and predictions, {finger.taps} taps")
    assert cell_errors(page) == []
