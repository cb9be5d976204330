"""The room of a panel's parts: the picture's share, nothing wider than its page, and that width is no change.

The sizes asked for are the project's own aims: three fifths of the panel for the picture, the whole panel within what
JupyterLab leaves of a window (112 px less than it is high, measured in Chromium).
"""

from __future__ import annotations

import pytest

from rooflab.live.topics.section import section_panel
from rooflab.live.widgets.frames import BESIDE, EDGES, GAP, Frames, frames

SIZES = ((656, 1180), (856, 768), (1112, 593), (1198, 641), (1752, 1080), (552, 1024), (688, 480), (2000, 1200))
VIEWS = ("Section", "Seam in plan", "Limits")


def page(wide: int, high: int) -> dict[str, str]:
    return {"_width": str(wide), "_height": str(high)}


def panel(wide: int, views: int, lines: int, found: Frames) -> tuple[int, float]:
    """Height of the panel, its buttons in one row, and the picture's part of its area; heights as in panel.css."""
    bars = 10 + 20 * lines + 4 + (36 if views and not found.left else 0) + EDGES
    shown = found.picture[1] + found.detail[1] * found.stacked
    return bars + shown + found.rest, found.picture[0] * shown / wide / (bars + shown + found.rest)


@pytest.mark.parametrize("detail", [True, False])
@pytest.mark.parametrize(("views", "lines"), [((), 1), (VIEWS, 1), (VIEWS, 2), ((), 3)])
@pytest.mark.parametrize(("wide", "high"), SIZES)
def test_the_picture_has_three_fifths(wide: int, high: int, views: tuple[str, ...], lines: int, detail: bool) -> None:
    found = frames(page(wide, high), views, detail, lines)
    height, share = panel(wide, len(views), lines, found)
    assert share >= 0.6
    assert found.picture[0] + EDGES + (found.left + GAP if found.left else 0) <= wide
    if wide >= BESIDE:
        assert height <= high - 112  # seen whole, without scrolling
        assert found.left <= 0.3 * wide
    assert max(found.detail[0], 0) <= (found.left or wide)


def test_narrow_pages_have_one_column() -> None:
    assert frames(page(BESIDE - 1, 700)).left == 0 < frames(page(BESIDE, 700)).left


@pytest.mark.parametrize("told", ["", "0", "-5", "1e9", "wide", "٣٠٠", "9" * 40])
def test_what_is_no_width_is_not_taken(told: str) -> None:
    found = frames({"_width": told, "_height": told})
    assert 200 <= found.picture[0] <= 2400 and 100 <= found.picture[1] <= 2400


def test_a_width_is_no_change() -> None:
    """The readings say what they were before the last move, not before the window was resized."""
    answers = section_panel()
    answers.respond({"seat": "3"})
    before = answers.respond({"seat": "4"})
    assert "was " in before["readings"]
    for size in SIZES:
        after = answers.respond({"seat": "4"} | page(*size))
        assert {name: after[name] for name in ("readings", "sentence", "fields")} == {
            name: before[name] for name in ("readings", "sentence", "fields")
        }
        wide, tall = answers.frame
        assert f'viewBox="0 0 {wide} {tall}"' in after["picture"]


def test_still_pictures_know_of_no_page() -> None:
    answers = section_panel()
    still = answers.still()
    answers.respond(page(688, 480))
    assert answers.still() == still
