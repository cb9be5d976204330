"""A page as tests read it: lengths in its texts, widths in the face that is printed, and what may be wrong with it."""

from __future__ import annotations

import re
from functools import cache
from itertools import combinations
from pathlib import Path

import pypdf
from matplotlib.font_manager import FontProperties, findfont, get_font
from shapely import STRtree
from shapely.geometry import LineString, box

import rooflab as rl
from rooflab.draw.scene import Label, Layout, Shape, width
from rooflab.draw.sheets.page import LEAST, MARGIN
from tests.tools.pictures import crossed

LENGTH = re.compile(r"-?(?:\d+'-)?\d+(?: \d+/\d+)?\"|-?(?:\d+'-)?\d+/\d+\"")


def figure(text: str) -> float:
    """The length at the end of a dimension's text, or at its beginning, in."""
    found = LENGTH.findall(text)
    assert len(found) == 1, text
    return rl.inches(found[0])


@cache
def advance(letter: str) -> float:
    """How wide a letter of the printed face is, in text heights."""
    font = get_font(findfont(FontProperties(family="DejaVu Sans")))
    font.set_size(100, 72)
    return font.load_char(ord(letter)).linearHoriAdvance / 65536 / 100


def measured(label: Label) -> float:
    """Width of a text in the face that is printed, points."""
    return label.size * sum(map(advance, label.text))


def faults(page: Layout) -> list[str]:
    """Texts too small, wider than thought, outside the margins, on each other, or on a line."""
    wrong = []
    for label in page.labels:
        x0, y0, x1, y1 = label.box
        if label.size < LEAST:
            wrong.append(f"{label.text} is small")
        if measured(label) > width(label.text, label.size) + 0.5:
            wrong.append(f"{label.text} is wider than thought")
        if min(x0, y0) < MARGIN - 1 or x1 > page.width - MARGIN + 1 or y1 > page.height - MARGIN + 1:
            wrong.append(f"{label.text} leaves the page")
    for one, other in combinations(page.labels, 2):
        (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = one.box, other.box
        if ax0 < bx1 - 0.01 and bx0 < ax1 - 0.01 and ay0 < by1 - 0.01 and by0 < ay1 - 0.01:
            wrong.append(f"{one.text} touches {other.text}")
    rings = [(*p.points, p.points[0]) if isinstance(p, Shape) else p.points for p in page.parts]
    tree = STRtree([LineString(ring) for ring in rings])
    for label in page.labels:
        x0, y0, x1, y1 = label.box
        for index in tree.query(box(x0 + 0.01, y0 + 0.01, x1 - 0.01, y1 - 0.01), predicate="intersects"):
            wrong.append(f"{label.text} lies on {page.parts[index].name}")
    points = [p for part in page.parts for p in part.points]
    wrong += ["a line leaves the page"] * any(
        not (MARGIN - 1 <= x <= page.width - MARGIN + 1 and MARGIN - 1 <= y <= page.height - MARGIN + 1)
        for x, y in points
    )
    return wrong


def paper_faults(page: Layout, margin: float) -> list[str]:
    """Texts on a line, on each other, over the margin, too small, or ending in dots."""
    found = crossed(page)
    for label in page.labels:
        x0, y0, x1, y1 = label.box
        if min(x0, y0) < margin or x1 > page.width - margin or y1 > page.height - margin:
            found.append(f"{label.text} leaves the page")
        if label.size < LEAST:
            found.append(f"{label.text} is too small")
        if label.text.endswith("..."):
            found.append(f"{label.text} is cut")
    for one, other in combinations(page.labels, 2):
        (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = one.box, other.box
        if ax0 < bx1 and bx0 < ax1 and ay0 < by1 and by0 < ay1:
            found.append(f"{one.text} touches {other.text}")
    return found


def pdf_text(path: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages).split())
