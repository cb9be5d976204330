"""What has to be placed: dimensions in rows, slope marks, and what touches what; ``layout`` puts them on the sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from .scene import Dim, Label, Point, Shape, Slope, Stroke, width

Box = tuple[float, float, float, float]


# --- lines of text ---------------------------------------------------------------------------------------------------


def wrap(words: str, wide: float, size: float) -> list[str]:
    """Words in lines no wider than ``wide``; a word that is wider is broken, a fraction stays with its inches.

    >>> wrap("heel and tail", 40, 10)
    ['heel', 'and tail']
    >>> wrap("plate 8'-1 1/8", 40, 10)
    ['plate', "8'-1 1/8"]
    """
    lines = [""]
    for word in re.split(r" (?!\d+/\d+)", " ".join(words.split())):
        tried = f"{lines[-1]} {word}".strip()
        if width(tried, size) <= wide:
            lines[-1] = tried
            continue
        lines += [""] * bool(lines[-1])
        for letter in word:
            if width(lines[-1] + letter, size) > wide and lines[-1]:
                lines.append("")
            lines[-1] += letter
    return lines


# --- dimension chains ------------------------------------------------------------------------------------------------


class RowDimension(NamedTuple):
    """A dimension in its row: its ends along the row, where its text stands and how."""

    dim: Dim
    low: float
    high: float
    centre: float
    wide: float
    how: str  # "on" its line, "out" beyond its end, "turned" along a plumb line, "beside" it


def spread(wanted: Sequence[float], sizes: Sequence[float], gap: float) -> list[float]:
    """Centres as near as possible to ``wanted`` (rising), so that extents of ``sizes`` keep ``gap`` between them.

    >>> spread([10.0, 12.0, 40.0], [10.0, 10.0, 10.0], 2.0)
    [5.0, 17.0, 40.0]
    """
    groups: list[list[int]] = []

    def place(members: list[int]) -> list[float]:
        offsets = [0.0]
        for before, after in zip(members, members[1:], strict=False):
            offsets.append(offsets[-1] + (sizes[before] + sizes[after]) / 2 + gap)
        shift = sum(wanted[i] - o for i, o in zip(members, offsets, strict=True)) / len(members)
        return [shift + o for o in offsets]

    for index in range(len(wanted)):
        members = [index]
        while groups:
            last = groups[-1]
            needed = (sizes[last[-1]] + sizes[members[0]]) / 2 + gap
            if place(last)[-1] + needed <= place(members)[0] + 1e-9:
                break
            members = groups.pop() + members
        groups.append(members)
    return [centre for members in groups for centre in place(members)]


def level_rows(dims: Sequence[Dim], x0: float, scale: float, size: float) -> list[list[RowDimension]]:
    """Rows of the bottom chains: one a level, and one for each dimension without room for its text between others."""
    rows: list[list[RowDimension]] = []
    for level in sorted({dim.level for dim in dims}):
        row: list[RowDimension] = []
        own: list[RowDimension] = []
        chain = sorted((d for d in dims if d.level == level), key=lambda d: d.a[0] + d.b[0])
        for index, dim in enumerate(chain):
            low, high = sorted(((dim.a[0] - x0) * scale, (dim.b[0] - x0) * scale))
            wide = width(dim.text, size)
            if wide + 0.9 * size <= high - low:
                row.append(RowDimension(dim, low, high, (low + high) / 2, wide, "on"))
                continue
            first, last = index == 0 and len(chain) > 1, index == len(chain) - 1
            centre = low - wide / 2 - 0.45 * size if first else high + wide / 2 + 0.45 * size
            (row if first or last else own).append(RowDimension(dim, low, high, centre, wide, "out"))
        rows += [row] * bool(row) + [[item] for item in own]
    return rows


def plumb_rows(dims: Sequence[Dim], y1: float, scale: float, size: float, tight: bool) -> list[list[RowDimension]]:
    """Rows of the chains at the left or the right, one a level; texts are spread so that none touches another.

    ``tight`` turns a long text along its line even where the line is shorter.
    """
    rows = []
    for level in sorted({dim.level for dim in dims}):
        chain = sorted((d for d in dims if d.level == level), key=lambda d: -d.a[1] - d.b[1])
        spans = [sorted(((y1 - d.a[1]) * scale, (y1 - d.b[1]) * scale)) for d in chain]
        wide = [width(d.text, size) for d in chain]
        turned = [high - low > w + size for (low, high), w in zip(spans, wide, strict=True)]
        if tight and len(chain) == 1 and wide[0] > 4 * size:
            turned = [True]
        sizes = [w if turn else 1.1 * size for w, turn in zip(wide, turned, strict=True)]
        placed = spread([(low + high) / 2 for low, high in spans], sizes, 0.35 * size)
        rows.append(
            [
                RowDimension(dim, low, high, centre, w, "turned" if turn else "beside")
                for dim, (low, high), centre, w, turn in zip(chain, spans, placed, wide, turned, strict=True)
            ]
        )
    return rows


def band(row: Sequence[RowDimension], size: float) -> float:
    """Width of a plumb row from its line outward, its texts included."""
    return max(0.9 * size if item.how == "turned" else item.wide for item in row) + 0.7 * size


GAP, FIRST, ROW = 0.9, 1.3, 2.2  # gap before a line, text above the first level line, one level row; in text heights


# --- slope marks -----------------------------------------------------------------------------------------------------


class SlopeMark(NamedTuple):
    """A placed slope mark: corner of the right angle, end of the level leg, end of the plumb leg, and its texts."""

    corner: Point
    far: Point
    near: Point
    labels: tuple[Label, Label]

    def boxes(self) -> tuple[Box, ...]:
        """The two texts and the two legs."""
        (cx, cy), (fx, _), (_, ny) = self.corner, self.far, self.near
        level = (min(cx, fx), cy - 0.5, max(cx, fx), cy + 0.5)
        return level, (cx - 0.5, min(cy, ny), cx + 0.5, max(cy, ny)), *(label.box for label in self.labels)


def mark_at(slope: Slope, at: Point, size: float) -> SlopeMark:
    """A right triangle off a plane's point: twelve level, the rise plumb, on the side where the plane leaves room."""
    steep = abs(slope.slope)
    wide = 2.6 * size / max(1.0, steep)
    tall = wide * steep
    up = 1 if slope.above else -1
    hand = -1 if slope.slope * up < 0 else 1  # the plumb leg stands where the plane falls away from the mark
    off = max(0.5 * size * (1 + steep * steep) ** 0.5, 0.9 * size - tall / 2 - 0.35 * size * steep)
    x, y = at[0], at[1] - up * (off + tall / 2)
    corner, far = (x - hand * wide / 2, y - up * tall / 2), (x + hand * wide / 2, y - up * tall / 2)
    near = corner[0], y + up * tall / 2
    twelve = Label(slope.name, "12", x, corner[1] - up * 0.75 * size, "middle", size)
    side = corner[0] - hand * 0.35 * size
    rise = Label(slope.name, slope.rise, side, (corner[1] + near[1]) / 2, "end" if hand > 0 else "start", size)
    return SlopeMark(corner, far, near, (twelve, rise))


# --- what touches what -----------------------------------------------------------------------------------------------


def union(boxes: Sequence[Box]) -> Box:
    """The smallest box around all of these boxes: left, top, right, bottom."""
    left, top, right, bottom = zip(*boxes, strict=True)
    return min(left), min(top), max(right), max(bottom)


def flat_texts(p: Point, q: Point) -> Box:
    """The box of a line between two points, 3 units slimmer above and below, for texts that may touch it."""
    return min(p[0], q[0]), min(p[1], q[1]) + 3, max(p[0], q[0]), max(p[1], q[1]) - 3


def edges(part: Shape | Stroke) -> Iterator[tuple[Point, Point]]:
    """The sides of a shape or pieces of a stroke, as pairs of points."""
    points = (*part.points, part.points[0]) if isinstance(part, Shape) else part.points
    return zip(points, points[1:], strict=False)


def overlap(a: Box, b: Box) -> bool:
    """Whether two boxes share an area."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def touches(box: Box, p: Point, q: Point) -> bool:
    """Whether a line has a point inside a box."""
    x0, y0, x1, y1 = box
    (xa, ya), (xb, yb) = p, q
    if (xa < x0 and xb < x0) or (xa > x1 and xb > x1) or (ya < y0 and yb < y0) or (ya > y1 and yb > y1):
        return False
    dx, dy = xb - xa, yb - ya
    sides = [dx * (y - ya) - dy * (x - xa) for x, y in ((x0, y0), (x1, y0), (x0, y1), (x1, y1))]
    return min(sides) <= 0 <= max(sides)


def within(point: Point, outline: Sequence[Point]) -> bool:
    """Whether a point lies inside an outline."""
    x, y = point
    inside, (xa, ya) = False, outline[-1]
    for xb, yb in outline:
        if (ya > y) != (yb > y) and x < xa + (y - ya) * (xb - xa) / (yb - ya):
            inside = not inside
        xa, ya = xb, yb
    return inside


def short(line: Stroke, boxes: Sequence[Box]) -> Sequence[Stroke]:
    """The pieces of a straight line that stay clear of all boxes."""
    p, q = line.points
    (x0, x1), (y0, y1) = sorted((p[0], q[0])), sorted((p[1], q[1]))
    near = [box for box in boxes if x0 <= box[2] and x1 >= box[0] and y0 <= box[3] and y1 >= box[1]]
    hit = [box for box in near if touches(box, p, q)]
    if not hit:
        return (line,)
    (xa, ya), dx, dy = p, q[0] - p[0], q[1] - p[1]
    gone = []
    for x0, y0, x1, y1 in hit:
        ranges = [(0.0, 1.0)]
        for start, step, a, b in ((xa, dx, x0, x1), (ya, dy, y0, y1)):
            if abs(step) > 1e-9:
                ranges.append(
                    (min((a - start) / step, (b - start) / step), max((a - start) / step, (b - start) / step))
                )
        gone.append((max(low for low, _ in ranges), min(high for _, high in ranges)))
    pieces, at = [], 0.0
    for low, high in (*sorted(gone), (1.0, 1.0)):
        if low - at > 1e-6:
            pieces.append(line._replace(points=((xa + at * dx, ya + at * dy), (xa + low * dx, ya + low * dy))))
        at = max(at, high)
    return pieces
