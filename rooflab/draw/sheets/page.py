"""Pages of paper: drawings at scale, lines, columns and flows of text placed as one layout, and the files they make.

Paper and screen draw the same layout, so nothing can differ between them.  Units are points, y runs down.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import check_new, new_files, write_new
from rooflab.base.measure import InputError, feet_inches
from rooflab.draw.inset import with_inset
from rooflab.draw.layout import layout
from rooflab.draw.placing import Box, wrap
from rooflab.draw.scene import Label, Layout, Point, Scene, Shape, Stroke, width

POINTS = 72.0
PAPERS = {"letter": (11.0, 8.5), "tabloid": (17.0, 11.0)}  # landscape, in
LETTER = (612.0, 792.0)  # upright, points
SIZES = {"letter": 7.5, "tabloid": 9.5}  # of the texts, points
FILES = (".pdf", ".svg", ".png")  # that pages are written as
SCALES = (3.0, 1.5, 1.0, 0.75, 0.5, 0.375, 0.25, 0.1875, 0.125, 0.09375, 0.0625, 0.03125)  # inches of paper to the foot
MARGIN, LEAST = 30.0, 7.0  # points
LINE, HEAD, AFTER = 1.3, 1.7, 0.8  # line, heading with its rule, and gap after a block, in text heights

Row = tuple[tuple[float, str], ...]  # texts and how far in they begin, points


class Block(NamedTuple):
    """A heading and rows of text under it."""

    heading: str
    rows: tuple[Row, ...]

    def height(self, size: float) -> float:
        """The height of the block, points, for texts of that size."""
        return (HEAD * bool(self.heading) + LINE * len(self.rows) + AFTER) * size


def one_line(words: str, wide: float, size: float) -> str:
    """Words on one line in ``wide`` points, ending in dots where they were cut."""
    words = " ".join(words.split())
    if width(words, size) <= wide:
        return words
    while words and width(words + "...", size) > wide:
        words = words[:-1]
    return words.rstrip() + "..."


def text_block(heading: str, texts: Sequence[str], wide: float, size: float, mark: str = "") -> Block:
    """A heading and wrapped texts, each with its mark; empty texts are left away."""
    rows: list[Row] = []
    hang = width(f"{mark} ", size) if mark else 0.0
    for words in filter(str.strip, texts):
        for i, line in enumerate(wrap(words, wide - hang, size)):
            rows.append(((0.0, mark), (hang, line)) if mark and i == 0 else ((hang, line),))
    return Block(one_line(heading.upper(), wide, size), tuple(rows))


def columns(blocks: Sequence[Block], count: int, size: float) -> tuple[list[list[Block]], float]:
    """Blocks in their order over ``count`` columns, so that the tallest is least; and how tall it is."""
    best: tuple[list[list[Block]], float] = ([list(blocks)], sum(one.height(size) for one in blocks))
    for cuts in combinations(range(1, len(blocks)), min(count, len(blocks)) - 1):
        edges = (0, *cuts, len(blocks))
        parts = [list(blocks[a:b]) for a, b in zip(edges, edges[1:], strict=False)]
        tall = max(sum(one.height(size) for one in column) for column in parts)
        if tall < best[1]:
            best = parts, tall
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
        drawing = layout(scene, unit, size)
        if drawing.width <= wide and drawing.height <= tall and not set(scene.must) & set(drawing.dropped):
            return drawing, scale
    return None


def paper_size(name: object) -> Point:
    """Width and height of a sheet of paper on its side, points.  InputError for another one.

    >>> paper_size("letter")
    (792.0, 612.0)
    """
    if name not in PAPERS:
        raise InputError(f"Paper {str(name)[:20]!r}: {' or '.join(PAPERS)} is allowed.")
    wide, tall = PAPERS[str(name)]
    return wide * POINTS, tall * POINTS


class Page:
    """A sheet of paper ``wide`` by ``tall`` points while it is filled.

    ``inside`` is the box that its margins leave, ``y`` where a flow of texts goes on, ``size`` the height of its texts,
    ``places`` where the rows under each heading stand.

    >>> page = Page(612, 792, margin=36)
    >>> page.text(36, 36, "Profile of the long trusses")
    >>> page.inside, page.layout("Profile", "").labels[0].box[:2]
    ((36, 36, 576, 756), (36.0, 29.95))
    """

    def __init__(self, wide: float, tall: float, margin: float = 0.0, size: float = 11.0) -> None:
        self.wide, self.tall, self.size, self.y = wide, tall, size, margin
        self.inside: Box = (margin, margin, wide - margin, tall - margin)
        self.shapes: list[Shape] = []
        self.strokes: list[Stroke] = []
        self.labels: list[Label] = []
        self.places: dict[str, Box] = {}

    def text(self, x: float, y: float, words: str, anchor: str = "start", size: float = 0.0) -> None:
        """A line of text whose middle stands at y, running from x (start), to it (end) or around it (middle)."""
        if words.strip():
            self.labels.append(Label("text", words, x, y, anchor, size or self.size))

    def lines(self, x: float, y: float, rows: Iterable[Row | str], size: float = 0.0, step: float = LINE) -> float:
        """Rows of text from y down, ``step`` text heights apart; the y below them."""
        size = size or self.size
        for row in rows:
            for shift, words in ((0.0, row),) if isinstance(row, str) else row:
                self.text(x + shift, y + 0.6 * size, words, size=size)
            y += step * size
        return y

    def line(self, name: str, points: Sequence[Point], style: str) -> None:
        self.strokes.append(Stroke(name, tuple(points), style))

    def rule(self, x0: float, x1: float, y: float, style: str = "dim") -> None:
        self.line("rule", ((x0, y), (x1, y)), style)

    def draw(self, drawing: Layout, x: float, y: float) -> None:
        """A drawing with its upper left corner at x, y."""
        there = drawing.shift(x, y)
        self.shapes += there.shapes
        self.strokes += there.strokes
        self.labels += there.labels

    def centre(self, drawing: Layout, box: Box, key: Scene | None = None) -> None:
        """A drawing in the middle of a box, with its key where that leaves room."""
        drawing = with_inset(drawing, key, (box[2] - box[0], box[3] - box[1]))
        self.draw(drawing, (box[0] + box[2] - drawing.width) / 2, (box[1] + box[3] - drawing.height) / 2)

    def write(self, blocks: Sequence[Block], x: float, y: float, wide: float) -> float:
        """Blocks one under the other; the y below them."""
        for one in blocks:
            y = self._block(one, x, y, wide)
        return y

    def _block(self, one: Block, x: float, y: float, wide: float) -> float:
        if one.heading:
            self.text(x, y + 0.55 * self.size, one.heading)
            self.rule(x, x + wide, y + 1.3 * self.size)
            y += HEAD * self.size
            self.places[one.heading] = x, y, x + wide, y + LINE * len(one.rows) * self.size
        return self.lines(x, y, one.rows) + AFTER * self.size

    def flow(self, blocks: Sequence[Block], boxes: Sequence[Box]) -> list[Block]:
        """The blocks that have no room, once the others stand in one box after the other, parted where they must be."""
        left, size = list(blocks), self.size
        for x0, y, x1, low in boxes:
            while left:
                one = left[0]
                room = int(((low - y) / size - HEAD * bool(one.heading)) / LINE + 1e-9)
                if room < min(2, len(one.rows)):
                    break
                y = self._block(one._replace(rows=one.rows[:room]), x0, y, x1 - x0)
                again = one.heading if one.heading.endswith(" (CONTINUED)") else f"{one.heading} (CONTINUED)"
                left[:1] = [Block(again, one.rows[room:])] * (len(one.rows) > room)
                if len(one.rows) > room:
                    break
        return left

    def layout(self, title: str, description: str) -> Layout:
        """The page as one layout."""
        return Layout(
            title, description, self.wide, self.tall, 1.0, (0.0, 0.0), tuple(self.shapes), tuple(self.strokes),
            tuple(self.labels), self.size,
        )  # fmt: skip


def column_boxes(inside: Box, count: int, gap: float = 14.0) -> list[Box]:
    """The boxes of equal columns side by side, points."""
    x0, y0, x1, y1 = inside
    wide = (x1 - x0 - (count - 1) * gap) / count
    return [(x0 + i * (wide + gap), y0, x0 + i * (wide + gap) + wide, y1) for i in range(count)]


# --- files -----------------------------------------------------------------------------------------------------------
# A path is asked for with ``new_file`` before a page is drawn; then one of these writes what was drawn.


def write_pdf(pages: Sequence[Layout], target: Path, title: str) -> Path:
    """A new PDF with pages at true scale, one after the other: one of their units is a point."""
    from rooflab.draw.paper import file_bytes  # heavy, and only wanted for files

    return write_new(target, file_bytes(pages, ".pdf", Title=title))


def write_each(pages: Sequence[Layout], targets: Sequence[Path]) -> tuple[Path, ...]:
    """A new file a page, as its suffix says, with the page's title and description in it; all of them or none."""
    with new_pages(pages, targets):
        return tuple(targets)


@contextmanager
def new_pages(pages: Sequence[Layout], targets: Sequence[Path]) -> Iterator[None]:
    """New files as ``write_each`` makes them, which go again where the block that follows fails."""
    from rooflab.draw.paper import one_page  # heavy, and only wanted for files

    for target in targets:
        check_new(target)
    contents = [one_page(page, target.suffix.lower()) for page, target in zip(pages, targets, strict=True)]
    with new_files(dict(zip(targets, contents, strict=True))):
        yield
