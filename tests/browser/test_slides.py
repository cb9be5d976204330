"""Every slide of every workbook's room view on two windows, in wide and in narrow letters, before and after the reveal.

Half of the window is the drawing's, nothing is under 16 pt, nothing is cut or scrolls; the first slide is a sentence.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from rooflab.live.talk.stops import read_lesson
from rooflab.live.talk.view import Talk
from tests.tools.browser import PROJECTOR, Browser, write_notebook
from tests.tools.fonts import FILES, Fonts
from tests.tools.lessons import BOOKS, name
from tests.tools.slides import VIEW, reveal, turn, wrong_at_every_size

pytestmark = pytest.mark.browser
FACES = [Fonts(path, web=False) for path in FILES]  # what a page brings is refused
WALLS = f"""() => [...document.querySelectorAll('{VIEW} .rl-picture svg polygon')].map(one => {{
  const box = one.getBoundingClientRect();
  return [box.x, box.y, box.width, box.height].map(Math.round).join(' '); }})"""


@pytest.mark.parametrize("browser", FACES, ids=[Path(one.file).stem for one in FACES], indirect=True)
@pytest.mark.parametrize("path", BOOKS, ids=name)
def test_every_slide_at_every_size(path: Path, browser: Browser) -> None:
    talk = Talk(read_lesson(path.stem))
    cell = f"from rooflab import live\nlive.room({path.stem!r}, fill=True)"
    page = browser.open(write_notebook(browser.folder / "room.ipynb", [cell]), PROJECTOR)
    page.wait_for_selector(f'{VIEW}[data-at="0"]', timeout=60_000)
    wrong = wrong_at_every_size(page)
    words = page.inner_text("dialog").split()
    assert len(words) <= 25 and " ".join(words).count(".") == 1, words
    for place in range(1, talk.last + 1):
        turn(page, "PageDown", place)
        wrong += wrong_at_every_size(page)
        if page.get_attribute(VIEW, "data-kind") == "stop":
            assert page.locator(f"{VIEW} .rl-talk-notes").is_hidden()
            before = set(page.evaluate(WALLS))
            page.keyboard.press("1")
            page.wait_for_selector(f"{VIEW} .rl-talk-choices [aria-pressed=true]")
            reveal(page)
            frame = page.locator(f"{VIEW} .rl-picture svg").bounding_box()
            after = set(page.evaluate(WALLS))
            assert before & after or path.stem[:2] != "01"  # in every picture of it something stays: it stands still
            wrong += wrong_at_every_size(page)
            assert page.locator(f"{VIEW} .rl-picture svg").bounding_box() == frame
    assert not wrong, wrong
