"""A small picture in the free room of a placed one.

Beside or below the placed picture if its frame leaves room there, else inside it where it touches nothing, as near to a
corner as may be; if there is none, it is left away.  All lengths go by the height of the texts, so the same holds for a
screen, for a room and for paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from .placing import Box, edges, within
from .scene import Layout, Point, Scene, Shape, Stroke

SIZES = ((10.8, 7.9), (9.0, 6.6), (7.4, 5.4), (6.0, 4.4), (5.2, 3.8))  # width and height tried, in text heights
KEEP = 0.5  # from what it stands beside, in text heights
CELL = 0.3  # of the grid on which room is looked for, in text heights
HAIR = 1e-6  # a box that ends on a cell's edge does not reach into the next
TRIES = 40  # of each size inside a picture
Cells = npt.NDArray[np.int_]
Part = TypeVar("Part", Shape, Stroke)


def free_box(placed: Layout, frame: Point, at: Point, before: Box | None = None) -> Box | None:
    """Where in a frame there is room beside a layout that stands ``at`` a point of it; None where there is none.

    The box ``before`` is taken again while nothing has come into it, or what is left of it.
    """
    beside = _beside(placed, frame, at)
    if before in beside or (beside and before is None):
        return before or beside[0]
    field = _Field(placed, frame, at)
    same = next(filter(field.free, _smaller(before, frame, placed.size)), None) if before else None
    return same or (beside[0] if beside else next(field.boxes(), None))


def inset(placed: Layout, small: Scene, box: Box, at: Point) -> Layout:
    """The layout with a small picture in the middle of a box of the frame in which the layout stands ``at``.

    The names of its parts begin with the small picture's title, so that nothing takes them for members.
    """
    x0, y0, x1, y1 = small.bounds()
    scale = min((box[2] - box[0]) / (x1 - x0), (box[3] - box[1]) / (y1 - y0))
    x = (box[0] + box[2] - (x0 + x1) * scale) / 2 - at[0]
    y = (box[1] + box[3] + (y0 + y1) * scale) / 2 - at[1]

    def there(part: Part) -> Part:
        points = tuple([(x + px * scale, y - py * scale) for px, py in part.points])
        return part._replace(name=f"{small.title.lower()} {part.name}", points=points)

    return replace(
        placed, description=f"{placed.description} {small.description}",
        shapes=(*placed.shapes, *map(there, small.shapes)), strokes=(*placed.strokes, *map(there, small.strokes)),
    )  # fmt: skip


def with_inset(placed: Layout, small: Scene | None, frame: Point, at: Point | None = None) -> Layout:
    """The layout, in the middle of its frame or ``at`` a point of it, with a small picture where there is room."""
    at = at or ((frame[0] - placed.width) / 2, (frame[1] - placed.height) / 2)
    box = small and free_box(placed, frame, at)
    return inset(placed, small, box, at) if small and box else placed


def _beside(placed: Layout, frame: Point, at: Point) -> list[Box]:
    """Boxes below, at the right and at the left of a layout, the largest first, then the lower ones."""
    (wide, tall), (x0, y0), unit = frame, at, placed.size
    x1, y1, edge = x0 + placed.width, y0 + placed.height, CELL * unit
    found = []
    for w, h in ((w * unit, h * unit) for w, h in SIZES):
        if h <= tall - y1 - edge:
            found += [(left, tall - edge - h, left + w, tall - edge) for left in (wide - edge - w, edge)]
        for left, room in ((wide - edge - w, wide - x1), (edge, x0)):
            if w <= room - edge and h <= tall - 2 * edge:
                found += [(left, top, left + w, top + h) for top in (tall - edge - h, edge)]
    return found


def _is_large(shape: Shape, least: float) -> bool:
    """Whether something of the ``least`` height may lie inside a shape."""
    ys = [y for _, y in shape.points]
    return max(ys) - min(ys) > least


def _smaller(box: Box, frame: Point, unit: float) -> Iterator[Box]:
    """A box, and smaller ones in its corner nearest to a corner of the frame."""
    x0, y0, x1, y1 = box
    right, low = x0 + x1 > frame[0], y0 + y1 > frame[1]
    yield box
    for w, h in ((w * unit, h * unit) for w, h in SIZES):
        if w < x1 - x0:
            x, y = x1 - w if right else x0, y1 - h if low else y0
            yield x, y, x + w, y + h


class _Field:
    """The cells of a frame, and in how many of them before each a layout has texts and lines."""

    def __init__(self, placed: Layout, frame: Point, at: Point) -> None:
        self.at, self.cell, self.keep = at, CELL * placed.size, KEEP * placed.size
        self.large = [one.points for one in placed.shapes if _is_large(one, SIZES[-1][1] * placed.size)]
        self.wide, self.tall = int(frame[0] // self.cell), int(frame[1] // self.cell)
        self.unit = placed.size
        taken = np.zeros((self.tall, self.wide), dtype=int)
        taken[self._lines(placed)] = 1
        for label in placed.labels:
            left, top, right, low = self._cells(label.box, at)
            taken[top:low, left:right] = 1
        self.sums = np.zeros((self.tall + 1, self.wide + 1), dtype=int)
        np.cumsum(np.cumsum(taken, 0), 1, out=self.sums[1:, 1:])

    def _lines(self, placed: Layout) -> tuple[Cells, Cells]:
        """Rows and columns of the cells under points of all lines, half a cell apart."""
        pairs = [(*p, *q) for part in placed.parts for p, q in edges(part)]
        (x0, y0, x1, y1) = (np.array(pairs).reshape(-1, 4).T + np.array([*self.at, *self.at])[:, None]) / self.cell
        steps = (2 * np.maximum(abs(x1 - x0), abs(y1 - y0))).astype(int) + 2
        line = np.repeat(np.arange(len(steps)), steps)
        part = (np.arange(len(line)) - (np.cumsum(steps) - steps)[line]) / (steps[line] - 1)
        x, y = x0[line] + part * (x1 - x0)[line], y0[line] + part * (y1 - y0)[line]
        return np.clip(y.astype(int), 0, self.tall - 1), np.clip(x.astype(int), 0, self.wide - 1)

    def _cells(self, box: Box, at: Point, keep: float = 0.0) -> tuple[int, int, int, int]:
        """The first column and row of a box, and those after its last ones."""
        x0, y0, x1, y1 = box
        x0, y0, x1, y1 = x0 + at[0] + HAIR, y0 + at[1] + HAIR, x1 + at[0] - HAIR, y1 + at[1] - HAIR
        left, top = int((x0 - keep) // self.cell), int((y0 - keep) // self.cell)
        right, low = -int(-(x1 + keep) // self.cell), -int(-(y1 + keep) // self.cell)
        return max(left, 0), max(top, 0), min(right, self.wide), min(low, self.tall)

    def free(self, box: Box) -> bool:
        """Whether a box of the frame touches nothing."""
        left, top, right, low = self._cells(box, (0.0, 0.0), self.keep)
        sums = self.sums
        lines = sums[low, right] - sums[top, right] - sums[low, left] + sums[top, left]
        return not lines and not self._within(box)

    def _within(self, box: Box) -> bool:
        """Whether a box that no line touches lies inside a shape."""
        corner = box[0] - self.at[0], box[1] - self.at[1]
        return any(within(corner, points) for points in self.large)

    def boxes(self) -> Iterator[Box]:
        """Boxes that touch nothing, the largest first, then those nearest to a corner."""
        for w, h in ((w * self.unit, h * self.unit) for w, h in SIZES):
            wide, tall = (math.ceil((side + 2 * self.keep) / self.cell) for side in (w, h))
            if wide > self.wide or tall > self.tall:
                continue
            sums = self.sums
            lines = sums[tall:, wide:] - sums[:-tall, wide:] - sums[tall:, :-wide] + sums[:-tall, :-wide]
            rows, columns = np.nonzero(lines == 0)
            below, right = self.tall - tall - rows, self.wide - wide - columns
            far = np.minimum(rows + 0.5, below) + np.minimum(columns + 0.25, right)
            for i in np.argsort(far, kind="stable")[:TRIES]:
                x, y = columns[i] * self.cell + self.keep, rows[i] * self.cell + self.keep
                if not self._within(box := (x, y, x + w, y + h)):
                    yield box
