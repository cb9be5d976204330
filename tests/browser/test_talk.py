"""``python3 -m rooflab present`` from the command line to the last slide, in a browser of a projector's size.

Room size, common practice and no source: text of 16 pt (21.33 px) and more at 1280 x 720, nothing to scroll, no code.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from rooflab.job.jobfile import example
from rooflab.live.talk.stops import read_lesson
from tests.tools.browser import NOTEBOOK, PROJECTOR, ROOT, Browser, end
from tests.tools.fonts import NAMES, SETTINGS
from tests.tools.slides import VIEW, at, looked_at, reveal, turn

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy's folder with a job file in it: a house 30 ft wide."""
    place = tmp_path_factory.mktemp("copy")
    example().save(place / "house.json")
    text = (place / "house.json").read_text(encoding="utf-8")
    (place / "house.json").write_text(text.replace('"26 ft 0 in"', '"30 ft 0 in"'), encoding="utf-8")
    return place


@pytest.fixture(scope="module")
def address(folder: Path) -> Iterator[str]:
    """The program as it is started, and the address that it says."""
    command = [sys.executable, "-m", "rooflab", "present", "01", "--no-browser", "--folder", str(folder)]
    env = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1"}
    running = subprocess.Popen(command, env=env, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    try:
        assert running.stdout
        said, late = "", time.monotonic() + 60
        while not (found := re.search(r"go to (http\S+)", said)):
            line = running.stdout.readline().decode()
            said += line
            assert line and time.monotonic() < late, said
        yield found[1]
    finally:
        end(running)
        if running.stdout:
            running.stdout.close()


@pytest.fixture(scope="module")
def page(address: str, shared: Browser) -> Page:
    page = shared.page(PROJECTOR)
    page.goto(address)
    page.wait_for_selector(f'{VIEW}[data-at="0"]', timeout=60_000)
    return page


@pytest.fixture
def view(page: Page) -> Page:
    """The room view on its first slide."""
    if not page.locator(VIEW).count():
        page.get_by_role("button", name="Fill the window").click()
    page.locator(VIEW).focus()
    while at(page):
        turn(page, "ArrowLeft", at(page) - 1)
    return page


# --- all stops -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shared", SETTINGS, ids=NAMES, indirect=True)
def test_every_stop_by_keyboard(view: Page, tmp_path: Path) -> None:
    """Page keys, as a clicker sends them: choose the first answer, reveal, go on; goal first, summary last."""
    lesson, page = read_lesson("01"), view
    looked_at(page)
    for place, asked in enumerate(lesson.stops, 1):
        turn(page, "PageDown", place)
        looked_at(page)
        page.screenshot(path=tmp_path / f"{place}.png")
        words = page.inner_text(VIEW).replace("\xa0", " ")
        assert asked.stop.prompt in words and f"Stop {place} of {len(lesson.stops)}" in words
        assert asked.stop.surprise not in words and page.locator(f"{VIEW} .rl-talk-notes").is_hidden()
        page.keyboard.press("n")
        assert re.match(r"Used \d+ of \d+ min, 25 in all. First the hands", page.inner_text(f"{VIEW} .rl-talk-notes"))
        page.keyboard.press("n")
        assert page.locator(f"{VIEW} .rl-panel input[type=range]").count() <= 4
        assert page.locator(f"{VIEW} .rl-panel .rl-readings tr").count() <= 6
        assert page.locator(f"{VIEW} .rl-panel input:enabled").count() == 0  # first the hands
        page.keyboard.press("1")
        page.wait_for_selector(f"{VIEW} .rl-talk-choices [aria-pressed=true]")
        reveal(page)
        looked_at(page)
        page.keyboard.press("n")
        assert asked.stop.surprise in page.inner_text(f"{VIEW} .rl-talk-notes")
        page.keyboard.press("n")
        page.screenshot(path=tmp_path / f"{place} after.png")
        outcome = page.inner_text(f"{VIEW} .rl-talk-outcome")
        told = "as you said" if asked.stop.choices[0] == asked.stop.right else "you said 1"
        assert outcome == f"It is: {asked.stop.right} ({told}). {asked.stop.why}"
    turn(page, "PageDown", len(lesson.stops) + 1)
    looked_at(page)
    page.screenshot(path=tmp_path / "summary.png")
    assert "Takeaways" in page.inner_text(VIEW)
    assert page.locator(f"{VIEW} [data-do=next]").is_disabled()
    pictures = {path.read_bytes() for path in tmp_path.glob("*.png")}
    assert len(pictures) == 2 * len(lesson.stops) + 1


def test_quick_presses_are_all_counted(view: Page) -> None:
    for _ in range(5):
        view.keyboard.press("PageDown")
    view.wait_for_selector(f'{VIEW}[data-at="5"]')
    for _ in range(3):
        view.keyboard.press("ArrowLeft")
    view.wait_for_selector(f'{VIEW}[data-at="2"]')


def test_the_control_moved_by_hand_shows_the_outcome(view: Page) -> None:
    """Stop 2: the seat from 3 1/2 to 5 1/2 in, typed; arrows on the slider move the slider and not the stops."""
    turn(view, "PageDown", 1)
    turn(view, "PageDown", 2)
    view.keyboard.press("a")  # as it was before it was revealed
    view.wait_for_selector(f"{VIEW} .rl-panel.rl-locked")
    view.keyboard.press("3")
    view.wait_for_selector(f"{VIEW} .rl-panel:not(.rl-locked)")
    slider = view.get_by_label("Seat, slider").last
    slider.focus()
    view.keyboard.press("ArrowRight")
    view.wait_for_selector(f'{VIEW} .rl-panel[data-waiting="no"]')
    assert at(view) == 2 and slider.input_value() == "3.625"
    box = view.get_by_label("Seat, typed").last
    box.fill("5 1/2")
    box.press("Enter")
    view.get_by_text("It is: it gets lower (as you said).").wait_for()
    box.press("Escape")  # leaves the box, not the room
    assert view.evaluate("document.activeElement.className") == "rl-talk"
    turn(view, "ArrowRight", 3)


def test_hands_are_counted_beside_the_choices(view: Page) -> None:
    turn(view, "PageDown", 1)
    hands = view.get_by_label(re.compile("^Hands for 2"))
    hands.fill("12")
    hands.press("Enter")
    assert view.evaluate("document.activeElement.className") == "rl-talk"
    view.get_by_label(re.compile("^Hands for 3")).fill("4")
    view.keyboard.press("Enter")
    view.wait_for_selector(f'{VIEW} .rl-talk-share[aria-label="12 of 16 hands"]')
    wide = [one.bounding_box() for one in view.locator(f"{VIEW} .rl-talk-share").all()]
    answers = [one.bounding_box() for one in view.locator(f"{VIEW} .rl-talk-choice").all()]
    shares = [round(a["width"] / b["width"], 2) if a else 0 for a, b in zip(wide, answers, strict=True) if b]
    assert shares == [0, 0.75, 0.25]
    hands.fill("1.5")
    hands.press("Enter")
    view.get_by_text("Hands for 2: '1.5'; a whole number from 0 to 999 is allowed.").wait_for()
    assert hands.get_attribute("aria-invalid") == "true" and hands.input_value() == "1.5"
    hands.fill("12")
    hands.press("Enter")
    view.wait_for_selector(f'{VIEW} .rl-talk-choice input[aria-invalid="true"]', state="detached")
    turn(view, "PageDown", 2)
    turn(view, "PageUp", 1)
    assert view.get_by_label(re.compile("^Hands for 2")).input_value() == "12"


def test_the_files_house_can_be_shown(view: Page) -> None:
    """Stop 4 opens on the lesson's 26 ft; H takes the file's 30 ft, and back."""
    for place in (1, 2, 3, 4):
        turn(view, "PageDown", place)
    picture = view.locator(f"{VIEW} .rl-picture")
    assert "26'-0\" out to out" in picture.inner_text()
    for width in ("30", "26"):
        view.keyboard.press("h")
        view.wait_for_function(f"document.querySelector('{VIEW} .rl-picture')?.textContent.includes(`{width}'-0\"`)")


def test_esc_leaves_and_a_key_comes_back(view: Page) -> None:
    """To the same slide, the same choice and the same outcome; F8 leaves, too, and a button on the page opens it."""
    turn(view, "PageDown", 1)
    turn(view, "PageDown", 2)
    view.keyboard.press("a")
    view.keyboard.press("2")
    reveal(view)
    outcome, picture = (view.inner_html(f"{VIEW} .rl-{part}") for part in ("talk-outcome", "picture"))
    for key in ("Escape", "F8"):
        view.keyboard.press(key)
        view.wait_for_selector("dialog", state="detached")
        assert view.get_by_role("button", name="Fill the window (F8)").is_visible()
        view.keyboard.press("F8")
        view.wait_for_selector(f'{VIEW}[data-at="2"]')
        assert view.locator(f"{VIEW} [data-do=choose][aria-pressed=true]").inner_text().startswith("2")
        assert [view.inner_html(f"{VIEW} .rl-{part}") for part in ("talk-outcome", "picture")] == [outcome, picture]
    view.keyboard.press("a")
    turn(view, "PageUp", 1)
    turn(view, "PageUp", 0)
    view.keyboard.press("Escape")
    view.wait_for_selector("dialog", state="detached")
    view.get_by_role("button", name="Fill the window").click()
    view.wait_for_selector(VIEW)
    cells = view.evaluate(f"() => window.jupyterapp ? {NOTEBOOK}.content.widgets.length : 1")
    for key in "bxm":
        view.keyboard.press(key)
    assert cells == 1 and at(view) == 0
    assert not view.locator(".jp-InputArea:visible").count()  # nor is there code below


def test_notes_stand_in_a_second_window(view: Page) -> None:
    """It follows the slides, takes the same keys, and closes with the room's page; the slide itself shows no notes."""
    with view.expect_popup() as opened:
        view.keyboard.press("w")
    notes, lesson = opened.value, read_lesson("01")
    assert notes.url == "about:blank" and lesson.case in notes.inner_text("body")
    view.bring_to_front()
    for place in (1, 2):
        turn(view, "PageDown", place)
        stop = lesson.stops[place - 1].stop
        notes.get_by_text(stop.surprise).wait_for()
        said = notes.inner_text("body")
        assert all(words in said for words in (stop.prompt, stop.why, stop.look, f"Stop {place} of 7"))
        assert lesson.stops[place].stop.prompt in said and "3 min for this slide. Used " in said
        assert stop.surprise not in view.inner_text("dialog")
    notes.bring_to_front()
    notes.keyboard.press("PageUp")
    view.wait_for_selector(f'{VIEW}[data-at="1"]')
    notes.get_by_role("button", name="Next").click()
    view.wait_for_selector(f'{VIEW}[data-at="2"]')
    notes.close()
    view.bring_to_front()
    view.keyboard.press("PageUp")
    view.wait_for_selector(f'{VIEW}[data-at="1"]')


# --- for everyone ----------------------------------------------------------------------------------------------------


def faults(page: Page) -> list[str]:
    """Serious and critical findings of axe in the room view."""
    from axe_playwright_python.sync_playwright import Axe

    found: Any = Axe().run(page, context={"include": [["dialog"]]}).response
    assert found["passes"]  # it did look
    return [
        f"{one['id']}: {json.dumps([node['html'][:120] for node in one['nodes'][:3]])}"
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]


def test_axe_finds_nothing_serious(view: Page) -> None:
    assert faults(view) == []
    view.keyboard.press("n")
    turn(view, "PageDown", 1)
    assert faults(view) == []
    reveal(view)
    assert faults(view) == []
    view.keyboard.press("n")


def test_everything_has_a_name(view: Page) -> None:
    """The accessible name of each control of the room view, by the browser itself."""
    turn(view, "PageDown", 1)
    session = view.context.new_cdp_session(view)
    names = []
    for node in view.locator(f"{VIEW} input, {VIEW} button").all():
        node.evaluate("node => { window.rlMark = node; }")
        one = session.send("Runtime.evaluate", {"expression": "window.rlMark"})["result"]["objectId"]
        tree = session.send("Accessibility.getPartialAXTree", {"objectId": one, "fetchRelatives": False})["nodes"][0]
        if not tree.get("ignored"):
            names.append(tree.get("name", {}).get("value", "").strip())
    session.detach()
    assert len(names) >= 13 and all(names)
