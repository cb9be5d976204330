"""Pages of a job: a title block, drawings at scale and columns of text, placed as one layout.

Paper and screen draw the same layout, so nothing can differ between them.  Units are points, y runs down.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

from rooflab.base.measure import feet_inches
from rooflab.draw.layout import layout
from rooflab.draw.placing import wrapped
from rooflab.draw.scene import Label, Layout, Scene, Shape, Stroke, width
from rooflab.job.jobfile import SHEET, Job

from .wording import RESPONSIBLE, verifier

POINTS = 72.0
PAPERS = {"letter": (11.0, 8.5), "tabloid": (17.0, 11.0)}  # landscape, in
SIZES = {"letter": 7.5, "tabloid": 9.5}  # of the texts, points
SCALES = (3.0, 1.5, 1.0, 0.75, 0.5, 0.375, 0.25, 0.1875, 0.125, 0.09375, 0.0625, 0.03125)  # inches of paper to the foot
MARGIN, LEAST = 30.0, 7.0  # points
LINE, HEAD, AFTER = 1.3, 1.7, 0.8  # line, heading with its rule, and gap after a block, in text heights

Box = tuple[float, float, float, float]
Row = tuple[tuple[float, str], ...]  # texts and how far in they begin, points


class Block(NamedTuple):
    """A heading and rows of text under it."""

    heading: str
    rows: tuple[Row, ...]

    def height(self, size: float) -> float:
        return (HEAD * bool(self.heading) + LINE * len(self.rows) + AFTER) * size


def shortened(words: str, wide: float, size: float) -> str:
    """Words on one line in ``wide`` points, ending in dots where they were cut."""
    words = " ".join(words.split())
    if width(words, size) <= wide:
        return words
    while words and width(words + "...", size) > wide:
        words = words[:-1]
    return words.rstrip() + "..."


def block(heading: str, texts: Sequence[str], wide: float, size: float, mark: str = "") -> Block:
    """A heading and wrapped texts, each with its mark; empty texts are left away."""
    rows: list[Row] = []
    hang = width(f"{mark} ", size) if mark else 0.0
    for words in filter(str.strip, texts):
        for i, line in enumerate(wrapped(words, wide - hang, size)):
            rows.append(((0.0, mark), (hang, line)) if mark and i == 0 else ((hang, line),))
    return Block(shortened(heading.upper(), wide, size), tuple(rows))


def columns(blocks: Sequence[Block], count: int, size: float) -> tuple[list[list[Block]], float]:
    """Blocks in their order over ``count`` columns, so that the tallest is least; and how tall it is."""
    best: tuple[list[list[Block]], float] = ([list(blocks)], sum(one.height(size) for one in blocks))
    for cuts in combinations(range(1, len(blocks)), min(count, len(blocks)) - 1):
        edges = (0, *cuts, len(blocks))
        made = [list(blocks[a:b]) for a, b in zip(edges, edges[1:], strict=False)]
        tall = max(sum(one.height(size) for one in column) for column in made)
        if tall < best[1]:
            best = made, tall
    return best


def scale_text(scale: float) -> str:
    """An architectural scale as it is written on a drawing.

    >>> scale_text(0.25), scale_text(0.09375)
    ('1/4" = 1\\'-0"', '3/32" = 1\\'-0"')
    """
    return f"{feet_inches(scale)} = 1'-0\"" if scale * 16 == round(scale * 16) else f'{scale * 32:g}/32" = 1\'-0"'


def largest(scene: Scene, wide: float, tall: float, size: float) -> tuple[Layout, float] | None:
    """The scene at the largest standard scale that fits and drops nothing it must show, and that scale."""
    x0, y0, x1, y1 = scene.bounds()
    for scale in SCALES:
        unit = scale * POINTS / 12
        if (x1 - x0) * unit > wide or (y1 - y0) * unit > tall:
            continue
        placed = layout(scene, unit, size)
        if placed.width <= wide and placed.height <= tall and not set(scene.must) & set(placed.dropped):
            return placed, scale
    return None


class Sheet:
    """One page while it is placed; ``inside`` is what heading and title block leave."""

    def __init__(self, job: Job, paper: str, heading: str, scale: str = "") -> None:
        self.job, self.paper, self.heading, self.scale = job, paper, heading, scale
        self.wide, self.tall = (side * POINTS for side in PAPERS[paper])
        self.size = SIZES[paper]
        self.shapes: list[Shape] = []
        self.strokes: list[Stroke] = []
        self.labels: list[Label] = []
        self.drawings: list[tuple[Layout, float, float]] = []
        self.said = RESPONSIBLE.format(who=verifier(job))
        self.least = max(LEAST, self.size - 1.0)
        self.note = wrapped(self.said, self.wide - 2 * MARGIN, self.least)
        self.foot = self.tall - MARGIN - (3 * 1.4 + 0.6) * self.size - 1.2 * self.least * len(self.note) - 6
        self.inside: Box = (MARGIN, MARGIN + 2.6 * self.size, self.wide - MARGIN, self.foot - 0.8 * self.size)

    def text(self, x: float, y: float, words: str, anchor: str = "start", size: float = 0.0) -> None:
        """A line of text whose middle stands at y."""
        if words.strip():
            self.labels.append(Label("text", words, x, y, anchor, size or self.size))

    def rule(self, x0: float, x1: float, y: float, style: str = "dim") -> None:
        self.strokes.append(Stroke("rule", ((x0, y), (x1, y)), style))

    def draw(self, placed: Layout, box: Box) -> None:
        """A drawing in the middle of a box."""
        x, y = (box[0] + box[2] - placed.width) / 2, (box[1] + box[3] - placed.height) / 2

        def moved(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
            return tuple((px + x, py + y) for px, py in points)

        self.shapes += [shape._replace(points=moved(shape.points)) for shape in placed.shapes]
        self.strokes += [stroke._replace(points=moved(stroke.points)) for stroke in placed.strokes]
        self.labels += [label._replace(x=label.x + x, y=label.y + y) for label in placed.labels]
        self.drawings.append((placed, x, y))

    def write(self, blocks: Sequence[Block], x: float, y: float, wide: float) -> float:
        """Blocks one under the other; the y below them."""
        for one in blocks:
            y = self._rows(one, x, y, wide) + AFTER * self.size
        return y

    def _rows(self, one: Block, x: float, y: float, wide: float) -> float:
        size = self.size
        if one.heading:
            self.text(x, y + 0.55 * size, one.heading)
            self.rule(x, x + wide, y + 1.3 * size)
            y += HEAD * size
        for row in one.rows:
            for shift, words in row:
                self.text(x + shift, y + 0.6 * size, words)
            y += LINE * size
        return y

    def flow(self, blocks: Sequence[Block], boxes: Sequence[Box]) -> list[Block]:
        """Blocks down one box after the other, parted where they must be; what found no room."""
        left, size = list(blocks), self.size
        for x0, y, x1, low in boxes:
            while left:
                one = left[0]
                room = int(((low - y) / size - HEAD * bool(one.heading)) / LINE + 1e-9)
                if room < min(2, len(one.rows)):
                    break
                part = one._replace(rows=one.rows[:room])
                y = self._rows(part, x0, y, x1 - x0) + AFTER * size
                again = one.heading if one.heading.endswith(" (CONTINUED)") else f"{one.heading} (CONTINUED)"
                left[:1] = [Block(again, one.rows[room:])] * (len(one.rows) > room)
                if len(one.rows) > room:
                    break
        return left

    def done(self, number: int, total: int) -> Layout:
        """The page with its heading and title block."""
        size, sheet, job, x1 = self.size, self.job.sheet, self.job, self.wide - MARGIN
        self.text(x1, MARGIN + 0.75 * size, self.scale, "end")
        room = x1 - MARGIN - width(self.scale, size) - 2 * size
        self.text(MARGIN, MARGIN + 0.75 * size, shortened(self.heading, room, 1.3 * size), size=1.3 * size)
        self.rule(MARGIN, x1, MARGIN + 1.8 * size)
        y = self.foot
        for line in self.note:
            self.text(MARGIN, y + 0.6 * self.least, line, size=self.least)
            y += 1.2 * self.least
        self.rule(MARGIN, x1, y + 4, "mark")
        third = (x1 - MARGIN - 24) / 3
        words = {name: f"{label}: {sheet.get(name, '').strip() or 'not given'}" for name, label in SHEET.items()}
        title = sheet.get("project", "").strip() or job.title
        parts = (
            (title, sheet.get("address", ""), words["architect"]),
            (words["issued_for"], words["contact"], words["dimensions_verified_by"]),
            (
                shortened(self.heading, third, size),
                f"{words['revision']} · {words['date']}",
                f"Sheet {number} of {total}",
            ),
        )
        for i, column in enumerate(parts):
            x, anchor = (x1, "end") if i == 2 else (MARGIN + i * (third + 12), "start")
            for row, line in enumerate(filter(str.strip, column)):
                self.text(x, y + 6 + (0.8 + 1.4 * row) * size, shortened(line, third, size), anchor)
        return Layout(
            f"{job.title}: {self.heading}", self.said, self.wide, self.tall, 1.0, (0.0, 0.0),
            tuple(self.shapes), tuple(self.strokes), tuple(self.labels), size,
        )  # fmt: skip


def boxes(inside: Box, count: int, gap: float = 14.0) -> list[Box]:
    """Equal columns side by side."""
    x0, y0, x1, y1 = inside
    wide = (x1 - x0 - (count - 1) * gap) / count
    return [(x0 + i * (wide + gap), y0, x0 + i * (wide + gap) + wide, y1) for i in range(count)]
