"""The pictures as a browser measures them."""

from __future__ import annotations

import pytest

from rooflab.draw.scene import svg, width
from tests.tools.browser import Browser
from tests.tools.pictures import corners, pictures, unequal

pytestmark = pytest.mark.browser


def test_the_browser_measures_no_text_wider_than_its_box(browser: Browser) -> None:
    """getBBox of every text of ten pictures, in the face the browser has, lies in the box the layout kept for it."""
    shown = [(frame, placed) for _, _, frame, placed in pictures([*corners()[1:7:5], *unequal()[:2]])][::3][:10]
    assert len(shown) == 10
    page = browser.page()
    page.set_content("".join(svg(placed, *frame) for frame, placed in shown))
    found = page.evaluate(
        "[...document.querySelectorAll('svg')].map(s => [...s.querySelectorAll('text')].map(t => "
        "{const b = t.getBBox(); return [t.textContent, b.width, b.height]}))"
    )
    for texts, (_, placed) in zip(found, shown, strict=True):
        assert [text for text, _, _ in texts] == [label.text for label in placed.labels]
        for (text, wide, tall), label in zip(texts, placed.labels, strict=True):
            assert 0 < wide <= width(text, label.size) + 0.5, text
            assert 0 < tall <= 1.35 * label.size, text
