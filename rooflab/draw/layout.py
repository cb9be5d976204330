"""Where the texts of a scene stand.

Dimension chains stand outside the work, shortest nearest to it; a dimension narrower than its text carries it outside
on its own line.  Marks and notes inside the work go where they touch nothing: a mark that has to be there and finds no
room becomes a line of text above the work, an optional one is dropped and named.  Lines stop short of texts.

A picture for a desk shows every size it can (``fit``); one that is read from the back row, or is only a few inches
wide, stands beside its readings and shows less, so that the work itself stays large (``fit_large``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from .placing import (
    FIRST,
    GAP,
    ROW,
    Box,
    RowDimension,
    band,
    edges,
    flat_texts,
    level_rows,
    mark_at,
    overlap,
    plumb_rows,
    short,
    touches,
    union,
    within,
    wrap,
)
from .scene import Dim, Label, Layout, Point, Scene, Shape, Slope, Stroke, Title, width

STEPS = (
    *(64, 48, 40, 32, 28, 24, 20, 16, 14, 12, 10, 8, 7, 6, 5, 4, 3.5, 3, 2.5, 2, 1.75, 1.5, 1.25, 1),
    *(0.875, 0.75, 0.625, 0.5, 0.375, 0.25, 0.1875, 0.125),
)
MARGIN = 4.0  # around a picture, at the least
TICK = 0.3  # half a tick across a dimension's end, in text heights
SCREEN, CHAIN = 14.0, 12.0  # of the letters on a screen, px; of those in chains that would not fit otherwise


# --- the plan: what decides how large a picture gets ------------------------------------------------------------------


@dataclass
class Plan:
    """Chains and extents of a scene at one scale, in units from the work's upper left corner."""

    scene: Scene
    scale: float
    size: float
    x0: float
    y1: float
    work: Point
    inner: Box = (0.0, 0.0, 0.0, 0.0)  # the work with the marks on it: chains stand outside
    outer: Box = (0.0, 0.0, 0.0, 0.0)
    chain: float = 0.0  # height of the texts in dimension chains
    base: float = 0.0  # where the level chains begin
    rows: dict[str, list[list[RowDimension]]] = field(default_factory=dict)

    def at(self, point: Point) -> Point:
        """Where a point of the scene, in, lies on the page: units right and down from the work's upper left corner."""
        return (point[0] - self.x0) * self.scale, (self.y1 - point[1]) * self.scale

    def spots(self, slope: Slope) -> list[Point]:
        """Where a mark is tried, the best place first."""
        if slope.to is None:
            x, y = self.at(slope.at)
            asides = [0.0] + [sign * step * self.size for step in (1.5, 3.0, 4.5, 6.0) for sign in (1, -1)]
            return [(x + aside, y - aside * slope.slope) for aside in asides]
        (xa, ya), (xb, yb) = self.at(slope.at), self.at(slope.to)
        parts = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)
        return [(xa + part * (xb - xa), ya + part * (yb - ya)) for part in parts]


def _plan(
    scene: Scene, bounds: Box, scale: float, size: float, tight: bool = False, chain: float | None = None
) -> Plan:
    x0, y0, x1, y1 = bounds
    plan = Plan(scene, scale, size, x0, y1, ((x1 - x0) * scale, (y1 - y0) * scale), chain=chain or size)
    marks = [mark_at(s, plan.spots(s)[0], size) for s in scene.slopes if s.above]
    notes = [_note_label(plan, note.name).box for note in scene.notes]
    plan.inner = union([(0.0, 0.0, *plan.work), *(box for mark in marks for box in mark.boxes()), *notes])
    left, top, right, bottom = plan.inner
    for side in ("left", "right"):
        plan.rows[side] = plumb_rows([d for d in scene.dims if d.side == side], y1, scale, plan.chain, tight)
        reach = sum(GAP * plan.chain + band(row, plan.chain) for row in plan.rows[side])
        left, right = (left - reach, right) if side == "left" else (left, right + reach)
        for item in (item for row in plan.rows[side] for item in row):
            half = (item.wide if item.how == "turned" else 1.1 * plan.chain) / 2
            top, bottom = min(top, item.centre - half, item.low), max(bottom, item.centre + half, item.high)
    plan.base = bottom
    plan.rows["bottom"] = level_rows([d for d in scene.dims if d.side == "bottom"], x0, scale, plan.chain)
    if plan.rows["bottom"]:
        bottom = max(bottom, plan.base + (GAP + FIRST + 0.3 + ROW * (len(plan.rows["bottom"]) - 1)) * plan.chain)
    for item in (item for row in plan.rows["bottom"] for item in row):
        left, right = min(left, item.centre - item.wide / 2), max(right, item.centre + item.wide / 2)
    plan.outer = left, top, right, bottom
    return plan


def _note_label(plan: Plan, name: str) -> Label:
    note = next(note for note in plan.scene.notes if note.name == name)
    x, y = plan.at(note.at)
    aside = {"start": 0.35, "end": -0.35}.get(note.anchor, 0.0) * plan.size
    return Label(name, note.text, x + aside, y - 0.8 * plan.size * note.up, note.anchor, plan.size)


def _frame(plan: Plan, titles: Sequence[Title]) -> tuple[Box, int]:
    """The frame with margins and a band for the titles; how many rows that band has."""
    left, top, right, bottom = plan.outer
    edge = max(MARGIN, TICK * plan.size)
    left, top, right, bottom = left - edge, top - edge, right + edge, bottom + edge
    if not titles:
        return (left, top, right, bottom), 0
    wide = [width(title.text, plan.size) for title in titles]
    right = max(right, left + max(wide) + 2 * MARGIN)
    beside = {title.side for title in titles[:2]} == {"left", "right"}
    together = beside and sum(wide[:2]) + 2 * plan.size < right - left - 2 * MARGIN
    rows = len(titles) - (together and len(titles) > 1)
    return (left, top - (0.4 + 1.25 * rows) * plan.size, right, bottom), rows


# --- drawing the plan ------------------------------------------------------------------------------------------------


class _Sheet:
    """Lines and texts while they are placed, and what they must keep away from."""

    def __init__(self, plan: Plan) -> None:
        self.plan, self.size = plan, plan.size
        self.lines: list[Stroke] = []
        self.labels: list[Label] = []
        self.taken: list[Box] = []
        self.dropped: list[str] = []
        self.above: list[Title] = []
        scene = plan.scene
        self.shapes = tuple(s._replace(points=tuple([plan.at(p) for p in s.points])) for s in scene.shapes)
        self.strokes = tuple(s._replace(points=tuple([plan.at(p) for p in s.points])) for s in scene.strokes)
        parts: tuple[Shape | Stroke, ...] = (*self.shapes, *self.strokes)
        self.edges = [edge for part in parts if part.style != "guide" for edge in edges(part)]

    def write(self, *labels: Label) -> None:
        self.labels += labels
        self.taken += [label.box for label in labels]

    def line(self, name: str, p: Point, q: Point, style: str = "dim") -> None:
        self.lines.append(Stroke(name, (p, q), style))

    def tick(self, name: str, x: float, y: float) -> None:
        tick = TICK * self.plan.chain
        self.line(name, (x - tick, y + tick), (x + tick, y - tick), "mark")

    def free(self, boxes: Sequence[Box], inside: Box | None = None) -> bool:
        """Whether boxes touch no member, no stroke, no text, and lie ``inside``."""
        keep = 0.15 * self.size
        x0, y0, x1, y1 = union(boxes)
        if inside and not (x0 >= inside[0] and y0 >= inside[1] and x1 <= inside[2] and y1 <= inside[3]):
            return False
        x0, y0, x1, y1 = x0 - keep, y0 - keep, x1 + keep, y1 + keep
        near = [
            (p, q)
            for p, q in self.edges
            if not ((p[0] < x0 and q[0] < x0) or (p[0] > x1 and q[0] > x1))
            and not ((p[1] < y0 and q[1] < y0) or (p[1] > y1 and q[1] > y1))
        ]
        for box in boxes:
            wide = box[0] - keep, box[1] - keep, box[2] + keep, box[3] + keep
            if any([overlap(wide, other) for other in self.taken]) or any([touches(wide, p, q) for p, q in near]):
                return False
        return not any(within(boxes[0][:2], shape.points) for shape in self.shapes)

    def marked(self, label: Label) -> bool:
        """Whether a text lies on a mark."""
        box = label.box
        return any([touches(box, p, q) for line in self.lines if line.style == "mark" for p, q in edges(line)])

    # --- outside the work

    def plumb(self, side: str) -> None:
        """The chains at the left or right."""
        size, sign = self.plan.chain, -1 if side == "left" else 1
        edge, start = self.plan.inner[0 if side == "left" else 2], self.plan.at
        for row in self.plan.rows[side]:
            line = edge + sign * GAP * size
            for item in row:
                name = item.dim.name
                for x, y in (start(item.dim.a), start(item.dim.b)):
                    self.line(name, (x + sign * 3, y), (line + sign * 0.3 * size, y))
                    self.tick(name, line, y)
                self.line(name, (line, item.low), (line, item.high))
                self.plumb_text(item, line, sign)
            edge = line + sign * band(row, size)

    def plumb_text(self, item: RowDimension, line: float, sign: int) -> None:
        size, middle, name = self.plan.chain, (item.low + item.high) / 2, item.dim.name
        if item.how == "turned":
            self.write(Label(name, item.dim.text, line + sign * 0.95 * size, item.centre, "middle", size, True))
            return
        x, anchor = line + sign * 0.55 * size, "end" if sign < 0 else "start"
        self.write(Label(name, item.dim.text, x, item.centre, anchor, size))
        if abs(item.centre - middle) > 0.5 * size:
            self.line(name, (line, middle), (line + sign * 0.45 * size, item.centre))

    def level(self) -> None:
        """The chains at the bottom: texts above their line, the line drawn on under a text beyond its end."""
        size = self.plan.chain
        y = self.plan.base + (GAP + FIRST) * size
        for row in self.plan.rows["bottom"]:
            for item in row:
                name, low, high = item.dim.name, item.low, item.high
                for x, top in (self.plan.at(item.dim.a), self.plan.at(item.dim.b)):
                    self.line(name, (x, top + 3), (x, y + 0.3 * size))
                    self.tick(name, x, y)
                if item.how == "out":
                    low, high = min(low, item.centre - item.wide / 2), max(high, item.centre + item.wide / 2)
                self.line(name, (low, y), (high, y))
                self.write(Label(name, item.dim.text, item.centre, y - 0.75 * size, "middle", size))
            y += ROW * size

    # --- inside the work

    def slope(self, slope: Slope) -> None:
        for spot in self.plan.spots(slope):
            mark = mark_at(slope, spot, self.size)
            if self.free(mark.boxes(), self.plan.inner) and not any(map(self.marked, mark.labels)):
                self.lines.append(Stroke(slope.name, (mark.near, mark.corner, mark.far, mark.near), "mark"))
                self.write(*mark.labels)
                return
        self.leave(slope.name, f"{slope.name} {slope.rise} in 12")

    def beside(self, dim: Dim) -> None:
        """A plumb dimension in the open room: its line a little off the plumb line, its text beside it."""
        size = self.size
        (x, ya), (_, yb) = self.plan.at(dim.a), self.plan.at(dim.b)
        tried = [(aside, sign) for aside in (0.0, 1.5, 4.0) for sign in (-1, 1)] if abs(ya - yb) >= 1.6 * size else []
        for aside, sign in tried:
            line, anchor = x + sign * aside * size, "end" if sign < 0 else "start"
            if not self.free([flat_texts((line, ya), (line, yb))]):
                continue
            for part in (0.35, 0.5, 0.2, 0.7):
                y = ya + (yb - ya) * part
                label = Label(dim.name, dim.text, line + sign * 0.5 * size, y, anchor, size)
                if self.free([label.box], self.plan.inner):
                    self.line(dim.name, (line, ya), (line, yb))
                    for end in (ya, yb):
                        if aside:
                            self.line(dim.name, (x, end), (line + sign * 0.3 * size, end))
                        self.tick(dim.name, line, end)
                    self.write(label)
                    return
        self.leave(dim.name, f"{dim.name} {dim.text}")

    def note(self, name: str) -> None:
        label = _note_label(self.plan, name)
        if self.free([label.box], self.plan.inner) and not self.marked(label):
            self.write(label)
        else:
            self.leave(name, label.text)

    def leave(self, name: str, text: str) -> None:
        """No room: above the work where it has to be there, else dropped."""
        if name in self.plan.scene.must:
            self.above.append(Title(name, text, "left"))
        else:
            self.dropped.append(name)


# --- the whole -------------------------------------------------------------------------------------------------------


def layout(scene: Scene, scale: float, size: float = SCREEN) -> Layout:
    """Place a scene at ``scale`` page units an inch with texts ``size`` high."""
    return _layout_of(_plan(scene, scene.bounds(), scale, size))


def _layout_of(plan: Plan) -> Layout:
    sheet, scene = _Sheet(plan), plan.scene
    for side in ("left", "right"):
        sheet.plumb(side)
    sheet.level()
    for slope in scene.slopes:
        sheet.slope(slope)
    for note in scene.notes:
        sheet.note(note.name)
    for dim in scene.dims:
        if dim.side == "inside":
            sheet.beside(dim)
    titles = (*scene.titles, *sheet.above)
    (left, top, right, bottom), rows = _frame(plan, titles)
    for i, title in enumerate(titles):
        y = top + MARGIN + (0.3 + 1.25 * max(0, i - len(titles) + rows)) * plan.size
        x, anchor = (left + MARGIN, "start") if title.side == "left" else (right - MARGIN, "end")
        sheet.write(Label(title.name, title.text, x, y, anchor, plan.size))
    return _from_corner(sheet, left, top, right, bottom)


def _from_corner(sheet: _Sheet, left: float, top: float, right: float, bottom: float) -> Layout:
    """The sheet from its frame's upper left corner, lines cut short at texts."""
    plan, scene, keep = sheet.plan, sheet.plan.scene, 0.2 * sheet.size
    boxes = [(x0 - keep, y0 - keep / 2, x1 + keep, y1 + keep / 2) for x0, y0, x1, y1 in sheet.taken]
    cut = [part for line in sheet.lines for part in (short(line, boxes) if line.style == "dim" else (line,))]
    for stroke in sheet.strokes:
        cut += short(stroke, boxes) if stroke.style == "guide" and len(stroke.points) == 2 else (stroke,)
    cut.sort(key=lambda line: line.style)

    placed = Layout(
        scene.title, scene.description, right - left, bottom - top, plan.scale, plan.at((0.0, 0.0)), sheet.shapes,
        tuple(cut), tuple(sheet.labels), plan.size, tuple(sheet.dropped),
    )  # fmt: skip
    return placed.shift(-left, -top)


def fit(scene: Scene, wide: float, tall: float, size: float = SCREEN, scales: Sequence[float] = STEPS) -> Layout:
    """The largest of the stepped ``scales`` at which the whole scene fits, so that pictures hold still while they fit.

    Where the texts leave little room for the work, those beside a short plumb line are turned along it; where that is
    not enough, the chains of a screen get smaller texts (``CHAIN``), and then optional dimensions are dropped.
    """
    scene = replace(scene, titles=tuple(_lines(scene.titles, wide - 2 * max(MARGIN, TICK * size), size)))
    x0, y0, x1, y1 = bounds = scene.bounds()
    bare = [step for step in scales if (x1 - x0) * step <= wide and (y1 - y0) * step <= tall - 2 * size]
    bare = bare or [scales[-1]]
    best = None
    few, chain = sparse(scene), CHAIN if size == SCREEN else size
    tries = [(0.6, False, scene, size), (0.6, True, scene, size), (0.6, True, scene, chain)]
    for enough, tight, tried, texts in (*tries, (0.35, True, few, size), (0.35, True, few, chain)):
        if best is None or best.scale < enough * bare[0]:
            steps = [step for step in bare if best is None or step > best.scale]
            if placed := _largest(tried, bounds, steps, (wide, tall), size, tight, texts):
                lost = tuple(dim.name for dim in scene.dims if dim not in tried.dims)
                best = replace(placed, dropped=(*placed.dropped, *lost))
    if best is None and chain < size:  # a text is wider than the frame
        return fit(scene, wide, tall, chain, scales)
    return best or _layout_of(_plan(few, bounds, bare[-1], size, True))


def _lines(titles: Sequence[Title], wide: float, size: float) -> Iterator[Title]:
    """Titles in lines that are no wider than ``wide``."""
    for title in titles:
        lines = [title.text] if width(title.text, size) <= wide else wrap(title.text, wide, size)
        yield from (title._replace(text=line) for line in lines)


def sparse(scene: Scene) -> Scene:
    """The scene without its optional dimensions."""
    return replace(scene, dims=tuple(dim for dim in scene.dims if dim.name in scene.must))


def _largest(
    scene: Scene, bounds: Box, steps: Sequence[float], frame: Point, size: float, tight: bool, chain: float
) -> Layout | None:
    for step in steps:
        plan = _plan(scene, bounds, step, size, tight, chain)
        (left, top, right, bottom), _ = _frame(plan, scene.titles)
        if right - left <= frame[0] and bottom - top <= frame[1]:
            placed = _layout_of(plan)
            if placed.width <= frame[0] and placed.height <= frame[1]:
                return placed
    return None


# --- large texts -----------------------------------------------------------------------------------------------------


def fit_large(scene: Scene, wide: float, tall: float, size: float, scales: Sequence[float] = STEPS) -> Layout:
    """As ``fit``, for large texts: long titles are broken, what stands in brackets goes where a line is too long.

    Texts are dropped, the outer ones first, until the work has about half the scale it could have without any: for a
    picture that stands beside its readings.  A title named "caution" is left out, to be shown beside it too.
    """
    room = wide - 2 * MARGIN - size
    shown = tuple(t._replace(text=_shorter(t.text, room, size)) for t in scene.titles if t.name != "caution")
    titles = tuple(_lines(shown, room, size))
    notes = tuple(note._replace(text=_shorter(note.text, room, size)) for note in scene.notes)
    scene = replace(scene, titles=titles, notes=notes)
    x0, y0, x1, y1 = scene.bounds()
    bare = min(wide / (x1 - x0), tall / (y1 - y0))
    best: Layout | None = None
    noted = {note.name for note in scene.notes} & set(scene.must)
    for one, enough in _fewer(scene):
        placed = fit(one, wide, tall, size, scales)
        if placed.width > wide or placed.height > tall:
            continue
        if best is None or placed.scale > best.scale:
            names = {dim.name for dim in one.dims}
            gone = tuple(dim.name for dim in scene.dims if dim.name not in names)
            best = replace(placed, dropped=(*placed.dropped, *gone))
        if best.scale >= enough * bare and not noted & set(best.dropped):
            break
    return best or fit(scene, wide, tall, size, scales)


def _fewer(scene: Scene) -> Iterator[tuple[Scene, float]]:
    """A scene with fewer and fewer texts, and which part of the scale without any is enough for each."""
    must, near = sparse(scene).dims, tuple(dim for dim in sparse(scene).dims if dim.level == 1)
    keys = {title.name for title in scene.titles if re.match(r"[A-Z]+:", title.text)}  # DASHED: what that means
    first = tuple(title for title in scene.titles if title.name in {scene.titles[0].name, *keys})
    few = replace(scene, titles=first, dims=near, must=tuple(dim.name for dim in near))
    yield from ((scene, 0.6), (sparse(scene), 0.55))
    yield replace(scene, dims=must, must=tuple(dim.name for dim in must)), 0.5  # slope marks without room go
    yield from ((replace(few, titles=scene.titles), 0.5), (few, 0.45), (replace(few, slopes=()), 0.4))
    yield from ((replace(few, dims=()), 0.4), (replace(few, slopes=(), dims=(), notes=()), 0.0))


def _shorter(text: str, wide: float, size: float) -> str:
    """A line without what stands in brackets, where it is too long with it."""
    return text if width(text, size) <= wide else re.sub(r"\s*\([^()]*\)", "", text)
