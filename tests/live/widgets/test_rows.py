"""Tables of the page: the grid of seats and rafters as HTML."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from math import sqrt

from rooflab import feet_inches
from rooflab.job.seat_grid import seat_grid
from rooflab.live.widgets.rows import NO_BREAK, grid_html


def test_the_grid_as_a_table() -> None:
    grid = seat_grid({"pitch": 20, "bearing": 9, "lumber": "2x6", "seat": 3}, seats=["3", "6 1/2"])
    tree = ET.fromstring(grid_html(grid).replace("<br>", "<br/>"))
    assert len(tree.findall(".//td")) == sum(map(len, grid.rows))
    cells = ["".join(td.itertext()).replace(NO_BREAK, " ") for td in tree.findall(".//td")]
    assert any("no heel" in cell for cell in cells)
    assert sum("[" in cell for cell in cells) == 1
    assert any(cell.startswith(f"[{feet_inches(5.5 * sqrt(1 + 25 / 9) - 5)}]") for cell in cells)


def test_a_narrow_column_may_end_a_line_before_the_word() -> None:
    """A 2x12 at 8 in 12 misses the ridge board of 2x12, whose 11 1/4 in its plumb cut of 13 1/2 in exceeds."""
    assert re.search(r"\d\xa0% misses<", grid_html(seat_grid({"lumber": "2x12", "seat": 3}, seats=[3])))


def test_measured_stock_is_escaped() -> None:
    assert "&quot;" in grid_html(seat_grid({"lumber": '1 3/4" x 11 7/8"'}, seats=[3]))
