"""No text is cut off, small or on another, and pictures are large: all workbooks, extreme panels, the table.

Letters are shown in three ways: ours, DejaVu Sans where ours may not be loaded, and wider ones (Verdana's figures are
2 % wider than DejaVu's, from memory: here every letter of a page gets 2 % of its height more).
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.tools.browser import Browser, cell_errors, settle, write_notebook
from tests.tools.cut_texts import cut_texts, small_things
from tests.tools.lessons import BOOKS, code, name

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

WINDOWS = ((1280, 720), (1024, 768), (820, 1180))  # a projector, a tablet across and upright
MORE = ((1280, 593), (1366, 641), (1920, 1080), (853, 480))  # small and large screens; 1280 x 720 at 150 %
OTHER = "div[class^=rl-], div[class^=rl-] svg { --rl-faces: 'DejaVu Sans'; font-family: 'DejaVu Sans' }"
FACES = {
    "ours": "",
    "DejaVu Sans": OTHER,
    "wider": OTHER + " div[class^=rl-] { letter-spacing: 0.02em } div[class^=rl-] svg { letter-spacing: 0 }",
}
PANELS = ("one_plane()", "cut_panel()", "shape_panel()", "jog()", "load_panel()", "force_panel('pair')",
          "force_panel('truss')", "warm_panel()", "options_panel()", "checking()", "seam()")  # fmt: skip
STATES = ("stretched(live.{}, 0.99)", "stretched(live.{}, 0.3)", "refused(live.{})")
EXTREMES = """from rooflab import live

def stretched(panel, share):
    '''Every control at a share of its range, on an odd sixteenth, as far as there is a picture of it.'''
    for spec in panel.setup["controls"]:
        name, low, high = spec["name"], spec["low"], spec["high"]
        at = low + share * (high - low)
        value = spec["choices"][round(at)] if spec.get("choices") else int(at) + 15 / 16
        before = panel.fields[name]["text"]
        panel.set(**{f"{name}_follows": "no"} if spec.get("follow") else {}, **{name: value})
        if panel.state["stale"]:
            panel.set(**{name: before})
    return panel

def refused(panel):
    '''A sentence for every control.'''
    words = "26 apples and a length that nobody has ever heard of"
    panel.set(**{spec["name"]: words for spec in panel.setup["controls"]})
    assert len(panel.sentence) > 400
    return panel
"""
TITLE = "A house with a long title " * 4 + "and its big barn"  # 120 letters are allowed
TABLE = f"""from dataclasses import replace
from rooflab import live
from rooflab.job.jobfile import example
job = replace(example(), title={TITLE!r})
table = live.together(job, 'other.json', fill=True)
table.do('set', 'span', "49'-10 15/16"), table.do('set', 'pitch', '11.9375'), table.do('set', 'seat', '3 11/16')
table.do('go', '', '1')
for what, value in (('Seat', '5 1/2'), ('Rafter', '2x6'), ('Ceiling pitch', '9.9375'), ('Overhang', "2'-11 15/16"),
                    ('Plate above floor', "8'-3 1/8")):
    table.do('set', 'change', what), table.do('set', 'to', value)
    table.do('set', 'name', f"{{what}} for the stair's high window"), table.do('press', 'keep')
table.do('go', '', '5'), table.do('set', 'date', 'The first of May 2026'), table.do('go', '', '0')
table"""


LAID_OUT = """() => [...document.querySelectorAll('.rl-page')].every(one => one.dataset.page ===
    String([one.clientWidth, innerHeight].map(px => 8 * Math.floor(px / 8))))"""  # for the window as it is


SEEN = """async () => { // what the page does not paint yet does not tell its width: it does when it is come to
    window.dispatchEvent(new Event('resize'));
    for (const one of document.querySelectorAll('.rl-words')) {
        one.scrollIntoView();
        await new Promise(done => setTimeout(done, 800)); } }"""


def dress(page: Page, face: str) -> None:
    """Show the letters in another way, and fit them again."""
    page.evaluate(
        """css => { const style = document.getElementById('faces') || document.head.appendChild(
        Object.assign(document.createElement('style'), { id: 'faces' }));
        style.textContent = css; window.dispatchEvent(new Event('rl-face')); }""",
        FACES[face],
    )


def check(page: Page, what: str = "", panels: bool = True) -> None:
    """Nothing is cut or small in any window, in three faces or, in windows where panels look alike, in two."""
    found = {}
    for width, height in (*WINDOWS, *(MORE if panels else ())):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate(SEEN)
        page.wait_for_function(LAID_OUT, timeout=120_000)
        for face in FACES if (width, height) in WINDOWS else list(FACES)[:2]:
            dress(page, face)
            page.wait_for_timeout(250)
            if wrong := cut_texts(page) + (small_things(page) if panels else []):
                found[f"{what} {width} x {height}, {face}"] = wrong
    if found:
        pytest.fail(json.dumps(found, indent=1, ensure_ascii=False), pytrace=False)


@pytest.mark.parametrize("book", BOOKS, ids=name)
def test_no_text_of_the_workbooks_is_cut(browser: Browser, book: Path) -> None:
    cells = [cell.source for cell in code(book)]
    page = browser.open(write_notebook(browser.folder / "one.ipynb", cells), (1280, 720))
    page.locator(".rl-panel").first.wait_for(timeout=60_000)
    check(page)
    assert cell_errors(page) == []


def test_no_text_of_a_panel_in_an_extreme_state_is_cut(browser: Browser) -> None:
    cells = [state.format(panel) for panel in PANELS for state in STATES]
    page = browser.open(write_notebook(browser.folder / "extremes.ipynb", [EXTREMES, *cells]), (1280, 720))
    page.wait_for_function(f"document.querySelectorAll('.rl-panel').length === {len(cells)}", timeout=60_000)
    check(page)
    assert cell_errors(page) == []


def test_no_text_of_the_table_is_cut(browser: Browser) -> None:
    """Each page over the whole window: an option with every long name, a long title, limits that are missed."""
    page = browser.open(write_notebook(browser.folder / "table.ipynb", [TABLE]), (1280, 720))
    view = page.locator("dialog .rl-meeting")
    view.wait_for()
    seen = []
    while (look := view.get_attribute("data-look")) not in seen:
        seen.append(look)
        check(page, str(look), panels=False)
        if not view.locator(".rl-next").is_visible():
            break
        page.keyboard.press("PageDown")
        settle(view)
    assert len(seen) == 8
    assert cell_errors(page) == []
