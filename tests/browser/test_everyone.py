"""Every workbook for everyone, in JupyterLab and Chromium: names, axe, descriptions, high contrast, keyboard alone.

Contrast as in WCAG 2.2 (from memory): 4.5 for text, 3 for the outline of what can be used.  Each workbook is opened
once, and everything is looked at there.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from rooflab.live import Ask
from tests.tools.browser import AREA, NOTEBOOK, PROJECTOR, Browser, cell_errors, luminance, settle, write_notebook
from tests.tools.lessons import BOOKS, asked, name, right_choice

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

OURS = """[...document.querySelectorAll('.jp-Notebook [class*="rl-"]')]
    .filter(node => !node.parentElement.closest('[class*="rl-"]'))"""
USABLE = {"button", "checkbox", "radio", "textbox", "searchbox", "combobox", "listbox", "slider", "spinbutton", "link",
          "menuitem", "option", "switch", "tab", "group"}  # fmt: skip


@pytest.fixture(scope="module")
def page(shared: Browser) -> Page:
    """A page in which one workbook is opened after the other."""
    return shared.open(write_notebook(shared.folder / "empty.ipynb", ["None"]), PROJECTOR)


def turned_to(shared: Browser, page: Page, book: Path) -> None:
    shared.turn_to(page, Path(shutil.copy(book, shared.folder)))
    page.wait_for_function(f"{OURS}.length > 0")


# --- what is looked at on each page ---------------------------------------------------------------------------------


def too_large(page: Page) -> list[str]:
    """Panels that do not fit the visible page, and outputs that are wider than it."""
    wide = page.evaluate(
        """[...document.querySelectorAll('.jp-OutputArea-output')].filter(one => one.scrollWidth > one.clientWidth + 1)
        .map(one => one.textContent.slice(0, 60))"""
    )
    return wide + page.evaluate(
        f"""[...document.querySelectorAll('.rl-panel, .rl-words')].filter(panel =>
        panel.offsetHeight > {AREA}.clientHeight
        || panel.scrollWidth > panel.clientWidth).map(panel => panel.getAttribute('aria-label'))"""
    )


def faults(page: Page) -> list[str]:
    """Serious and critical findings of axe in our own parts of the page."""
    from axe_playwright_python.sync_playwright import Axe

    page.evaluate(f"{OURS}.forEach(node => node.setAttribute('data-ours', ''))")
    found: Any = Axe().run(page, context={"include": [["[data-ours]"]]}).response
    assert found["passes"]  # it did look
    return [
        f"{one['id']}: {json.dumps([node['html'][:120] for node in one['nodes'][:3]])}"
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]


def without_a_name(page: Page) -> list[str]:
    """What can be used or is a picture, and has no name in the browser's accessibility tree."""
    session = page.context.new_cdp_session(page)
    count, nameless, seen = page.evaluate(f"{OURS}.length"), [], 0
    for index in range(count):
        node = session.send("Runtime.evaluate", {"expression": f"{OURS}[{index}]"})["result"]["objectId"]
        for one in session.send("Accessibility.queryAXTree", {"objectId": node})["nodes"]:
            role = one.get("role", {}).get("value", "")
            if one.get("ignored") or role.lower() not in USABLE | {"image", "img", "svgroot"}:
                continue
            seen += 1
            if not one.get("name", {}).get("value", "").strip() and role != "group":
                nameless.append(f"{role} in part {index}")
    session.detach()
    assert seen >= 10
    return nameless


def silent_pictures(page: Page) -> list[str]:
    """Pictures of ours without a title or a description; not those beside a word that says the same."""
    return page.evaluate(
        f"""{OURS}.flatMap(part => [...part.querySelectorAll('svg:not([aria-hidden])')])
        .filter(svg => svg.getAttribute('role') !== 'img' || !svg.querySelector('title')?.textContent.trim()
        || !svg.querySelector('desc')?.textContent.trim())
        .map(svg => svg.outerHTML.slice(0, 120))"""
    )


def lost_in_high_contrast(page: Page) -> list[str]:
    """Texts and outlines that forced colours (a dark scheme) leave without contrast."""
    page.emulate_media(forced_colors="active", color_scheme="dark")
    try:
        assert page.evaluate("matchMedia('(forced-colors: active)').matches")
        pairs = page.evaluate(
            f"""{OURS}.flatMap(part => [part, ...part.querySelectorAll('*')]).filter(node => node.checkVisibility())
            .flatMap(node => {{
            const look = getComputedStyle(node);
            const svg = node.closest('svg'), paper = svg?.querySelector('rect');
            const behind = under => {{
                const own = getComputedStyle(under).backgroundColor;
                return own === 'rgba(0, 0, 0, 0)' ? behind(under.parentElement) : own; }};
            const back = behind(node), found = [], ground = paper ? getComputedStyle(paper).fill : back;
            const says = [...node.childNodes].some(child => child.nodeType === 3 && child.textContent.trim());
            if (says && !node.closest('title, desc'))
                found.push(['text ' + node.textContent.slice(0, 30), svg ? look.fill : look.color,
                            ground, 4.5]);
            if (['BUTTON', 'SELECT', 'TEXTAREA'].includes(node.tagName) && parseFloat(look.borderTopWidth) > 0)
                found.push(['outline of ' + node.textContent.slice(0, 30), look.borderTopColor,
                            behind(node.parentElement), 3]);
            if (node.getAttribute('aria-pressed') === 'true' && node.matches('.rl-button'))
                found.push(['pressed ' + node.textContent.slice(0, 30), back, behind(node.parentElement), 3]);
            if (svg && ['path', 'polygon'].includes(node.tagName)) {{
                const drawn = node.tagName === 'polygon' ? getComputedStyle(node.parentElement) : look;
                const title = svg.querySelector('title')?.textContent || 'a small picture';
                const face = drawn.stroke === drawn.fill && drawn.strokeWidth === '0.6px';  // its edges are lines
                if (!face || node.tagName === 'path')
                    found.push(['line of ' + title.slice(0, 30), drawn.stroke, ground, 3]); }}
            return found; }})"""
        )
    finally:
        page.emulate_media(forced_colors="none", color_scheme="light")
    assert len(pairs) > 20
    lost = set()
    for what, front, back, least in pairs:
        light, dark = sorted((luminance(front), luminance(back)), reverse=True)
        if front != "none" and (light + 0.05) / (dark + 0.05) < least:
            lost.add(f"{what}: {front} on {back}")
    return sorted(lost)


@pytest.mark.parametrize("book", BOOKS, ids=name)
def test_a_workbook_runs_fits_and_is_for_everyone(shared: Browser, page: Page, book: Path) -> None:
    turned_to(shared, page, book)
    assert cell_errors(page) == []
    assert page.evaluate(f"{AREA}.scrollTop") == 0  # where the lesson begins
    found = {
        "too large": too_large(page),
        "axe": faults(page),
        "without a name": without_a_name(page),
        "silent pictures": silent_pictures(page),
        "lost in high contrast": lost_in_high_contrast(page),
        "errors of the page": shared.errors,
    }
    assert {what: wrong for what, wrong in found.items() if wrong} == {}


def test_the_first_page_answers(shared: Browser, page: Page) -> None:
    """Workbook 00: the round trip, the list by arrow keys, a number clicked, a length read back, the next workbook."""
    turned_to(shared, page, BOOKS[0])
    page.get_by_text("Everything that is needed is installed.").click()  # one line, which unfolds
    page.get_by_text("it answers: pictures move").wait_for()
    words = page.locator(".rl-words")
    words.scroll_into_view_if_needed()
    told, picture = words.locator(".rl-told"), words.locator(".rl-picture")
    told.get_by_text("rise", exact=True).wait_for()
    words.get_by_role("listbox", name="Words").focus()
    page.keyboard.press("ArrowDown")
    told.get_by_text("pitch", exact=True).wait_for()
    assert picture.locator("text[data-name='pitch']").count() == 1
    page.keyboard.type("birds")  # letters jump to a word
    told.get_by_text("birdsmouth", exact=True).wait_for()
    words.get_by_role("searchbox", name="Search a word").fill("out to out")
    told.get_by_text("span", exact=True).wait_for()
    words.get_by_role("button", name="Eave and wall").click()
    words.get_by_role("button", name="overhang").hover()  # pointed at
    told.get_by_text("overhang", exact=True).wait_for()
    words.get_by_role("button", name="plate", exact=True).focus()
    told.get_by_text("plate", exact=True).wait_for()
    letters = [text.bounding_box() for text in picture.locator("text").all()]
    assert letters and all(box and box["height"] >= 14 for box in letters)
    box = page.get_by_label("A length")
    box.fill("8-5/8")
    box.press("Enter")
    page.get_by_text("Read as 8 5/8").wait_for()
    shutil.copy(BOOKS[1], shared.folder)
    page.get_by_role("link", name="01 One roof plane").click()
    second = shared.lab.path(shared.folder / BOOKS[1].name)
    page.wait_for_function(f"path => {NOTEBOOK}.context.path === path", arg=second)


# --- the whole of a workbook by keyboard alone ----------------------------------------------------------------------

HERE = """() => { const node = document.activeElement, part = node && node.closest('.rl-ask, .rl-panel');
    return [part ? [...document.querySelectorAll('.rl-ask, .rl-panel')].indexOf(part) : -1,
            node ? node.getAttribute('aria-label') || '' : '', node ? node.type || '' : '']; }"""


# How many panels stand before a question: the next one is its own.
BEFORE = """node => [...document.querySelectorAll('.rl-panel')]
    .filter(panel => panel.compareDocumentPosition(node) & Node.DOCUMENT_POSITION_FOLLOWING).length"""


class Keys:
    """A reader without a mouse: Tab onwards, until what is looked for has the focus."""

    def __init__(self, page: Page) -> None:
        self.page, self.presses = page, 0

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
            self.presses += 1

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.presses += len(text)

    def go_to(self, part: Locator, label: str = "") -> None:
        """Tab until the focus is in ``part``, on what is called ``label`` where that is given."""
        index = part.evaluate("node => [...document.querySelectorAll('.rl-ask, .rl-panel')].indexOf(node)")
        for _ in range(150):
            self.press("Tab")
            at, called, _kind = self.page.evaluate(HERE)
            if at == index and (not label or called == label):
                return
        raise AssertionError(f"Tab does not come to {label or 'the question'} in part {index}")


def run_all_by_keyboard(keys: Keys) -> None:
    """The command palette, by its shortcut."""
    palette = keys.page.locator(".jp-ModalCommandPalette input")
    for _ in range(20):  # the page may not listen yet
        keys.press("Control+Shift+C")
        keys.page.wait_for_timeout(300)
        if palette.is_visible():
            break
    keys.type("run all cells")
    keys.page.wait_for_timeout(300)
    keys.press("Enter")


def label_of(ask: Ask, control: str) -> str:
    """What the box of a panel's control is called."""
    assert ask.panel is not None
    return next(f"{spec['label']}, typed" for spec in ask.panel.setup["controls"] if spec["name"] == control)


def test_a_workbook_is_completed_by_keyboard_alone(browser: Browser) -> None:
    """Workbook 01: every prediction chosen, every control moved, every question answered; nothing is clicked."""
    book = next(path for path in BOOKS if name(path).startswith("01"))
    page = browser.open(Path(shutil.copy(book, browser.folder / "keys.ipynb")), PROJECTOR, run=False)
    keys = Keys(page)
    run_all_by_keyboard(keys)
    questions = asked(book)
    wanted = [ask.setup["prompt"] for ask in questions]
    legends = "[...document.querySelectorAll('.rl-ask legend')].map(node => node.textContent)"
    page.wait_for_function(f"wanted => wanted.every(prompt => {legends}.includes(prompt))", arg=wanted, timeout=60_000)
    prompts = page.evaluate(legends)
    done = 0
    for ask in questions:
        prompt = ask.setup["prompt"]
        part = page.locator(".rl-ask").nth(len(prompts) - 1 - prompts[::-1].index(prompt))  # the last of two views
        keys.go_to(part)
        if ask.setup["choices"]:
            keys.press(*["ArrowDown"] * ask.setup["choices"].index(right_choice(ask)), "Space")
        else:
            assert ask.question is not None
            keys.type(ask.question.reasoning.text)
            keys.press("Enter")
            part.get_by_text("Right.").first.wait_for()
        for control, text in (ask.stop.move if ask.stop else {}).items():
            panel = page.locator(".rl-panel").nth(part.evaluate(BEFORE))
            page.wait_for_function("panel => !panel.classList.contains('rl-locked')", arg=panel.element_handle())
            if control == "heel":
                keys.go_to(panel, "Truss heel follows the rafter")
                keys.press("Space")
                settle(panel)
            keys.go_to(panel, label_of(ask, control))
            keys.type(text)
            keys.press("Enter")
            settle(panel)
        if ask.setup["choices"]:
            answer = part.locator(".rl-answer")  # the prompt and the choices may say "right" too
            answer.get_by_text("It is: " if ask.stop else "Right").first.wait_for()
            assert "as you said" in answer.inner_text()
        done += 1
    assert done == len(questions) >= 12
    print(f"workbook 01 by keyboard: {done} questions and predictions, {keys.presses} key presses")
    assert cell_errors(page) == []
