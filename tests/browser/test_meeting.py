"""The view for the table in JupyterLab and Chromium, by keyboard alone: from an open page to a page that is agreed.

The size of the letters: 16 points are 21.3 px (CSS: 96 px and 72 points an inch).  By hand, for the numbers typed here:
a 2x12 (11 1/4 in, PS 20) at 9 in 12, k = 1.25, on a seat of 4 in has a heel of 11.25 x 1.25 - 3 = 11 1/16 in, on 3 in
one of 11 13/16 in.
"""

from __future__ import annotations

import io
import json
import re
import time
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from pypdf import PdfReader

from rooflab import Job
from rooflab.job.agreement import agreements_in
from rooflab.job.jobfile import read_job
from rooflab.job.option import options_in
from tests.tools.browser import PROJECTOR, Browser, cell_errors, names, settle, write_notebook
from tests.tools.fonts import NAMES, SETTINGS

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

MOST_KEYS, MOST_PAGES, MOST_TABS, LEAST_TYPE = 80, 10, 3, 21.3
FILLED = "from rooflab import live\nlive.together(live.job(), fill=True)"
SIX = """from rooflab import live
table = live.together(live.ours(), 'other.json', fill=True)
table.do('set', 'span', "28'-7 5/16"), table.do('set', 'pitch', '12.5')
table.do('go', '', '1')
for what, value in (('Seat', '5 1/2'), ('Rafter', '2x12'), ('Ceiling pitch', '5 1/2'), ('Overhang', "1'-7 3/16")):
    table.do('set', 'change', what), table.do('set', 'to', value), table.do('press', 'keep')
table.do('set', 'change', 'Plate above floor'), table.do('set', 'to', "8'-3 1/8")
table.do('set', 'name', 'Plate up for the window in the gable'), table.do('press', 'keep')
table.do('go', '', '4'), table.do('set', 'heel', "1'-0"), table.do('set', 'r', '30')
table.do('go', '', '5'), table.do('set', 'date', 'The first of May 2026'), table.do('go', '', '0')
table"""


@pytest.fixture
def shown(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """The view over the whole window, on a projector's screen."""
    page = browser.open(write_notebook(browser.folder / f"{request.param[0]}.ipynb", [request.param[1]]), PROJECTOR)
    page.locator("dialog .rl-meeting").wait_for()
    yield page
    assert cell_errors(page) == []


class Keys:
    """A keyboard that counts: presses in all, and Tabs from one field to the next."""

    def __init__(self, page: Page) -> None:
        self.page, self.view = page, page.locator(".rl-meeting")
        self.count, self.pages = 0, set[str]()

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
            self.count += 1
            settle(self.view)
            self.check()

    def type(self, text: str, *then: str) -> None:
        for letter in text:
            self.page.keyboard.press({" ": "Space"}.get(letter, letter))
            self.count += 1
        self.press(*then)

    def on(self, label: str) -> None:
        """The focus is on the control of that name."""
        assert focused(self.page) == label

    def check(self) -> None:
        """Nothing scrolls, neither the view nor the window, and a drawing is always there."""
        self.pages.add(self.view.get_attribute("data-look") or "")
        assert self.view.locator(".rl-picture svg polygon").count(), self.pages  # members, also on the sheet of paper
        over = self.view.evaluate(
            """view => [view, ...view.querySelectorAll('.rl-beside, .rl-sentence, .rl-house, .rl-controls, .rl-bar')]
            .filter(node => node.scrollHeight > node.clientHeight || node.scrollWidth > node.clientWidth)
            .map(node => node.className)"""
        )
        assert over == [] and self.page.evaluate("[scrollX, scrollY, document.documentElement.scrollTop]") == [0, 0, 0]


def focused(page: Page) -> str:
    return page.evaluate(
        """() => { const at = document.activeElement, label = at.labels?.[0];
        return at.getAttribute('aria-label') || label?.textContent || at.textContent; }"""
    )


@pytest.mark.parametrize("shown", [("table", FILLED)], indirect=True)
def test_from_his_numbers_to_an_agreement_by_keyboard(shown: Page, browser: Browser) -> None:
    """The builder's numbers, three options, the agreement written: at most 80 keys, 10 pages, 3 Tabs to a field."""
    keys, began = Keys(shown), time.monotonic()
    keys.on("Span, out to out")
    for text in ("28'", "9", "2x12", "5.5", "4", "4.5", "18"):
        keys.type(text, "Enter")
    his = time.monotonic() - began
    keys.on("Change")
    for wanted in ("New value", "Save as"):
        tabs = 0
        while focused(shown) != wanted:
            keys.press("Tab")
            tabs += 1
        assert tabs <= MOST_TABS, wanted
    keys.press("Shift+Tab", "Shift+Tab", "Shift+Tab")
    keys.on("Change")
    keys.press("Enter")
    keys.type("3", "Enter", "Enter")
    keys.press("ArrowDown", "Enter")
    keys.type("2x10", "Enter", "Enter")
    while keys.view.locator("[role='tab'][aria-selected='true']").inner_text() != "6 Agree":
        keys.press("PageDown")
    keys.on("Chosen option")
    keys.press("ArrowDown", "Enter")
    keys.on("Date, as you write it")
    keys.type("1 May 2026", "Enter")
    keys.press("Enter", "Enter", "Enter", "Enter", "Enter", "Enter")
    wall = time.monotonic() - began
    keys.view.locator(".rl-sentence", has_text="Written: ").wait_for()
    with shown.expect_popup() as opened:
        shown.get_by_role("link", name="Open house-without-a-title-agreed.pdf").click()
    assert opened.value.url.startswith("blob:")
    opened.value.close()
    print(f"\n{keys.count} keys, {len(keys.pages)} pages; his numbers after {his:.1f} s, all after {wall:.1f} s")
    assert keys.count <= MOST_KEYS and len(keys.pages) <= MOST_PAGES
    assert his < 120

    kept = Job.load(browser.folder / "house.json")
    assert [one.name for one in options_in(kept)] == ["As the builder has it", 'Seat 3"', "Rafter 2x10"]
    assert agreements_in(kept)[0].option == 'Seat 3"'
    text = PdfReader(browser.folder / "house-without-a-title-agreed.pdf").pages[0].extract_text()
    for words in ('Seat 3"', "As the builder has it", "1 May 2026", "builder", '11 13/16"', '11 1/16"', "28'-0\""):
        assert words in text, words


@pytest.mark.parametrize("browser", SETTINGS, ids=NAMES, indirect=True)
@pytest.mark.parametrize("shown", [("six", SIX)], indirect=True)
def test_six_options_and_long_numbers_fit_every_page(shown: Page) -> None:
    """Every page with 28'-7 5/16", 12.5 in 12, six options: nothing scrolls or is cut, large type, every name there."""
    keys = Keys(shown)
    seen: list[str] = []
    while True:
        at = keys.view.get_attribute("data-look")
        assert at is not None and at not in seen
        seen.append(at)
        for show in range(6 if at == "side by side" else 1):
            if show:
                keys.press("ArrowDown")
            assert small_type(keys.view) == [], at
            assert cut(keys.view) == [], at
        assert faults(shown) == [], at
        assert [one for one in names(shown, keys.view) if one[0] != "none" and not one[1]] == []  # none: hidden
        if not keys.view.locator(".rl-next").is_visible():
            break
        keys.press("PageDown")
        stop = "document.querySelector('.rl-view').querySelector('input, select, textarea, button')"
        assert shown.evaluate(f"document.activeElement === {stop}"), at  # the focus is on the first field of a page
    assert len(seen) == 8
    paper = keys.view.locator(".rl-paper")
    for label in ("Date, as you write it", "Why it was chosen", "For it (+) and against it (-)", "The house"):
        keys.view.get_by_label(label, exact=True).focus()  # the page comes nearer
        settle(keys.view)
        assert small_type(keys.view, ".rl-control:focus-within") == [] and inside(keys.view), label
    assert paper.evaluate("node => getComputedStyle(node).transform") != "none"
    keys.view.get_by_label("Chosen option").focus()
    settle(keys.view)
    assert paper.evaluate("node => getComputedStyle(node).transform") == "none"
    keys.press("Escape")
    assert shown.locator("dialog").count() == 0
    shown.locator(".jp-Notebook .rl-meeting select").first.focus()
    keys.press("F8")
    shown.locator("dialog .rl-meeting").wait_for()
    keys.on("Chosen option")


BESIDE = """from rooflab import live
live.read_back()"""


@pytest.mark.parametrize("browser", SETTINGS[:1], ids=NAMES[:1], indirect=True)
def test_by_touch_a_cell_a_point_and_a_number_are_taken_and_a_key_opens_it_from_anywhere(browser: Browser) -> None:
    """On a tablet held level.  A 2x12 on 3 in at 8 in 12: 11.25 x 1.20185 - 2/3 x 3 = 11.52, a heel of 11 1/2 in."""
    book = write_notebook(browser.folder / "touch.ipynb", [FILLED.replace(", fill=True", ""), BESIDE])
    page = browser.open(book, (1180, 820))
    view = page.locator(".rl-meeting")
    page.get_by_label("A length").focus()  # another cell's
    page.keyboard.press("F8")
    page.locator("dialog .rl-meeting").wait_for()
    settle(view)
    page.get_by_role("tab", name="4 What fits").click()
    settle(view)
    view.get_by_role("button", name="Try 2x12 on a seat of 3\"").click()
    settle(view)
    assert "Taken: seat 3\", rafter 2x12" in view.locator(".rl-sentence").inner_text()
    assert view.locator(".rl-picture text", has_text='11 1/2"').count() and view.locator(".rl-ghost").count()
    page.get_by_role("button", name="Next").click()
    settle(view)
    field = view.locator(".rl-field svg")
    box = field.bounding_box()
    assert box is not None
    before = view.locator(".rl-picture").inner_html()
    page.mouse.click(box["x"] + 0.3 * box["width"], box["y"] + 0.6 * box["height"])
    settle(view)
    assert "Taken: seat" in view.locator(".rl-sentence").inner_text()
    assert view.locator(".rl-picture").inner_html() != before
    page.get_by_role("button", name="Undo").click()
    settle(view)
    assert view.locator(".rl-picture").inner_html() == before
    page.get_by_role("tab", name="1 Builder's numbers").click()
    settle(view)
    view.get_by_role("button", name=re.compile("Overall height .*: type the one you want")).first.click()
    settle(view)
    assert focused(page) == "Overall height at most" and view.get_attribute("data-look") == "target"
    page.keyboard.type("9'")
    page.keyboard.press("Enter")
    settle(view)
    assert view.get_by_role("button", name="Keep 1").is_visible() and view.locator(".rl-ghost").count()
    page.get_by_role("tab", name="2 Change").click()
    settle(view)
    view.get_by_role("button", name="Span").first.click()
    settle(view)
    assert focused(page) == "New value" and view.locator("select").input_value() == "Span, out to out"
    page.keyboard.press("Escape")
    assert page.locator("dialog").count() == 0 and view.get_attribute("data-look") == "change"  # nothing is lost
    assert faults(page) == [] and cell_errors(page) == []


@pytest.mark.parametrize("shown", [("table", FILLED)], indirect=True)
def test_each_page_is_shared_as_picture_paper_and_job(shown: Page, browser: Browser) -> None:
    shown.context.grant_permissions(["clipboard-read", "clipboard-write"])
    view, seen = shown.locator(".rl-meeting"), []
    while True:
        look = view.get_attribute("data-look") or ""
        files = {label: sent(shown, view, label) for label in ("Save this page (PDF)", "Save the job file")}
        text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(files["Save this page (PDF)"])).pages)
        assert "House without a title" in text and "8 13/16" in text, look
        job = read_job(json.loads(files["Save the job file"]))
        assert [one.name for one in options_in(job)] == ["As the builder has it"]
        copied = [share_and_read(shown, view, label, kind) for label, kind in (
            ("Copy as SVG", "text/plain"), ("Copy the picture", "image/png"))]  # fmt: skip
        assert copied[0].startswith("<svg") and copied[1].startswith("\x89PNG"), look
        seen.append(look)
        if not view.locator(".rl-next").is_visible():
            break
        shown.keyboard.press("PageDown")
        settle(view)
    assert len(seen) == 8 and not [*browser.folder.glob("*.pdf")]  # nothing was written by that


def sent(page: Page, view: Locator, label: str) -> bytes:
    """What is downloaded once a way of sharing is pressed."""
    view.get_by_role("button", name="Share").click()
    with page.expect_download() as coming:
        view.get_by_role("button", name=label).click()
    settle(view)
    return coming.value.path().read_bytes()


def share_and_read(page: Page, view: Locator, label: str, kind: str) -> str:
    """What the clipboard holds once a way of sharing is pressed, as letters."""
    view.get_by_role("button", name="Share").click()
    view.get_by_role("button", name=label).click()
    way = "PNG" if "image" in kind else "SVG"
    view.locator(".rl-sentence", has_text=f"Copied as {way}").wait_for()
    return page.evaluate(
        """async kind => { const [item] = await navigator.clipboard.read();
        const bytes = new Uint8Array(await (await item.getType(kind)).arrayBuffer());
        return Array.from(bytes.slice(0, 40), one => String.fromCharCode(one)).join(''); }""",
        kind,
    )


def faults(page: Page) -> list[str]:
    """Serious and critical findings of axe in the view."""
    from axe_playwright_python.sync_playwright import Axe

    found: Any = Axe().run(page, context={"include": [[".rl-meeting"]]}).response
    assert found["passes"]  # it did look
    return [
        f"{one['id']}: {[node['html'][:120] for node in one['nodes'][:3]]}"
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]


def inside(view: Locator) -> bool:
    """Whether the box that is typed into stands in the middle of the view, as far as it has room."""
    return view.evaluate(
        """view => { const box = document.activeElement.getBoundingClientRect();
        const room = view.querySelector('.rl-stage').getBoundingClientRect();
        return box.left >= room.left - 1 && box.right <= room.right + 1 && box.top >= room.top - 1; }"""
    )


def small_type(view: Locator, within: str = "") -> list[str]:
    """Texts and boxes whose letters are under 16 points, as they are drawn; a whole sheet of paper is a picture."""
    return view.evaluate(
        """(view, [least, within]) => { const small = [];
        for (const box of within ? view.querySelectorAll(`${within} .rl-box`) : []) {
            const by = box.getBoundingClientRect().width / box.offsetWidth;
            const size = parseFloat(getComputedStyle(box).fontSize) * by;
            if (size < least - 0.1) small.push(`${size}: ${box.value}`);
        }
        const walk = document.createTreeWalker(view, NodeFilter.SHOW_TEXT);
        for (let text = walk.nextNode(); text; text = walk.nextNode()) {
            const at = text.parentElement, svg = at.closest('svg');
            if (!text.data.trim() || at.closest('title, desc, option, .rl-paper')) continue;
            if (!at.getClientRects().length) continue;
            const by = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
            const tall = svg ? Math.min(by, svg.getBoundingClientRect().height / svg.viewBox.baseVal.height) : 1;
            const size = parseFloat(getComputedStyle(at).fontSize) * tall;
            if (size < least) small.push(size + ': ' + text.data);
        }
        return small; }""",
        [LEAST_TYPE, within],
    )


def cut(view: Locator) -> list[str]:
    """Texts with less room than they need, and texts of a picture outside its frame."""
    return view.evaluate(
        """view => { const names = 'td, th, p, .rl-label, .rl-hint, .rl-button, .rl-sentence, .rl-house, .rl-beside';
        const seen = [...view.querySelectorAll(names)].filter(node => !node.closest('.rl-paper'));
        const over = seen.filter(node => node.getClientRects().length &&
            (node.scrollWidth > node.clientWidth + 1 || node.scrollHeight > node.clientHeight + 1));
        const out = [...view.querySelectorAll(':is(.rl-picture, .rl-field) text')].filter(text => {
            const frame = text.closest('.rl-picture, .rl-field').getBoundingClientRect();
            const box = text.getBoundingClientRect();
            const sides = box.left < frame.left - 1 || box.right > frame.right + 1;
            return sides || box.top < frame.top - 4 || box.bottom > frame.bottom + 4; });
        return [...over, ...out].map(node => node.textContent); }"""
    )
