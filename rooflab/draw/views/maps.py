"""A map as a scene for a frame of so many pixels.

One unit of the scene is one pixel: axes with ticks in trade text, lines with their values on them, regions outlined,
hatched and named in words.  Texts are placed first and every line stops short of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from rooflab.checks.loads import CAUTION
from rooflab.draw.placing import Box, overlap, short, touches
from rooflab.draw.scene import Note, Point, Scene, Stroke, width
from rooflab.job.maps import Line, Map, even
from rooflab.job.sweep import Axis
from rooflab.job.wishes import reading_label

FRAME = (700.0, 420.0)  # px
HATCH = 11.0  # between two hatch lines, px
SLOPES = ("pitch", "ceiling_pitch")
HEAVY = ("full", "truss line", "long line")
Piece = tuple[str, str, list[Point]]  # name, style, points


class _Field:
    """The area of the map in pixels, what is drawn on it and which texts stand where."""

    def __init__(self, made: Map, wide: float, tall: float, size: float) -> None:
        self.made, self.wide, self.tall, self.size = made, wide, tall, size
        self.boxes: list[Box] = []
        self.notes: list[Note] = []
        self.pieces: list[Piece] = []
        self.rings: list[tuple[str, list[Point]]] = []
        ends = [(axis.values[0], axis.values[-1]) for axis in (made.across, made.up)]
        self.low = np.array([low for low, _ in ends])
        self.by = np.array([side / (high - low) for side, (low, high) in zip((wide, tall), ends, strict=True)])

    def at(self, points: Any) -> list[Point]:
        return [(float(x), float(y)) for x, y in (np.asarray(points, float).reshape(-1, 2) - self.low) * self.by]

    def draw(self, name: str, style: str, lines: Sequence[Line]) -> None:
        self.pieces += [(name, style, self.at(line)) for line in lines]

    def box(self, text: str, x: float, y: float, more: float = 0.0) -> Box:
        wide = width(text, self.size) / 2 + more
        return x - wide, y - 0.55 * self.size - more, x + wide, y + 0.55 * self.size + more

    def write(self, name: str, text: str, x: float, y: float) -> None:
        self.notes.append(Note(name, text, (x, y), "middle", 0))
        self.boxes.append(self.box(text, x, y, 0.3 * self.size))

    def inside(self, box: Box) -> bool:
        return box[0] > 2 and box[1] > 2 and box[2] < self.wide - 2 and box[3] < self.tall - 2

    def free(self, box: Box, lines: Sequence[Piece]) -> bool:
        """Whether a box touches no text and none of some lines, and lies on the map."""
        if not self.inside(box) or any(overlap(box, other) for other in self.boxes):
            return False
        return not any(touches(box, p, q) for *_, line in lines for p, q in zip(line, line[1:], strict=False))

    def strokes(self) -> Iterator[Stroke]:
        """Every line, cut short at the texts."""
        for name, style, line in self.pieces:
            run: list[Point] = []
            for p, q in zip(line, line[1:], strict=False):
                for piece in short(Stroke(name, (p, q), style), self.boxes):
                    a, b = piece.points
                    if run and run[-1] != a:
                        yield Stroke(name, tuple(run), style)
                        run = []
                    run = [*(run or [a]), b]
            if len(run) > 1:
                yield Stroke(name, tuple(run), style)
        yield from (Stroke(name, tuple(ring), "full") for name, ring in self.rings)


# --- what stands on the field ----------------------------------------------------------------------------------------


def _marks(field: _Field) -> None:
    """The options: a ring with a dot, and the name beside it where there is room."""
    size, names = field.size, []
    turn = [(np.cos(a), np.sin(a)) for a in np.linspace(0, 2 * np.pi, 17)]
    for number, spot in enumerate((s for s in field.made.spots if s.inside), 1):
        ((x, y),) = field.at([(spot.x, spot.y)])
        for part in (0.5, 0.12):
            field.rings.append((f"option {number}", [(x + part * size * c, y + part * size * s) for c, s in turn]))
        field.boxes.append((x - 0.7 * size, y - 0.7 * size, x + 0.7 * size, y + 0.7 * size))
        names.append((number, spot.name, x, y))
    for number, name, x, y in names:
        half = width(name, size) / 2
        tries = [(sx * (half + 1.2 * size), sy * size) for sy in (0.0, 1.0, -1.0, 2.2, -2.2) for sx in (1, -1)]
        tries += [(0.0, sign * 1.7 * size) for sign in (1, -1)]
        heavy = [piece for piece in field.pieces if piece[1] in HEAVY]
        boxes = [(field.box(name, x + dx, y + dy, 0.2 * size), (x + dx, y + dy)) for dx, dy in tries]
        if spots := [at for lines in (heavy, []) for box, at in boxes if field.free(box, lines)]:
            field.write(f"option {number}", name, *spots[0])


def _along(line: Sequence[Point], step: float) -> list[Point]:
    """Points of a line every ``step`` px, from its middle outwards."""
    points = np.array(line)
    far = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    wanted = np.arange(step / 2, far[-1], step)
    spots = [(float(np.interp(d, far, points[:, 0])), float(np.interp(d, far, points[:, 1]))) for d in wanted]
    middle = far[-1] / 2
    return [spot for _, spot in sorted(zip(abs(wanted - middle), spots, strict=True), key=lambda one: one[0])]


def _label(field: _Field, name: str, text: str, lines: Sequence[Line]) -> bool:
    """A line's text on the line, where it touches no other; whether it found room."""
    others = [piece for piece in field.pieces if piece[0] != name]
    for line in sorted(map(field.at, lines), key=len, reverse=True):
        for x, y in _along(line, field.size / 2):
            if field.free(field.box(text, x, y, 0.35 * field.size), others):
                field.write(name, text, x, y)
                return True
    return False


def _regions(field: _Field, texts: dict[int, str]) -> None:
    """Each region's words where they have room, furthest from its edges."""
    made, size = field.made, field.size
    state = made.swept.state
    xs, ys = (np.array(axis.values) for axis in (made.across, made.up))
    for code, text in texts.items():
        where = state == code
        if not np.any(where):
            continue
        half = width(text, size) / 2 + 0.5 * size
        reach = [max(int(np.ceil(r / abs(step))), 1) for r, step in (
            (half, field.wide / (len(xs) - 1)), (0.8 * size, field.tall / (len(ys) - 1)))]  # fmt: skip
        room = _all_about(where, *reach)
        deep = [np.minimum(r, r[::-1]) / len(r) for r in (np.arange(len(xs)), np.arange(len(ys)))]
        depth = np.where(room, deep[0][:, None] + deep[1], -1.0).ravel()
        heavy = [p for p in field.pieces if p[1] in (*HEAVY, "seam")]
        for place in np.argsort(-depth, kind="stable")[: np.count_nonzero(room) : 3]:
            i, j = divmod(int(place), len(ys))
            ((x, y),) = field.at([(xs[i], ys[j])])
            if field.free(field.box(text, x, y, 0.4 * size), heavy):
                field.write(f"region {code}", text, x, y)
                break


def _all_about(where: Any, across: int, up: int) -> Any:
    """Where a mask holds that far about each of its places; nowhere near the map's edges."""
    held = np.zeros(where.shape, bool)
    if where.shape[0] > 2 * across and where.shape[1] > 2 * up:
        windows = np.lib.stride_tricks.sliding_window_view(where, (2 * across + 1, 2 * up + 1))
        held[across : where.shape[0] - across, up : where.shape[1] - up] = windows.all(axis=(2, 3))
    return held


def _hatch(field: _Field) -> None:
    """Lines at 45 degrees over the region where all findings meet."""
    wide, tall = field.wide, field.tall
    lines = []
    for offset in np.arange(-tall + HATCH / 2, wide, HATCH):
        along = np.arange(max(0.0, -offset), min(tall, wide - offset), 3.0)
        if len(along) > 1:
            lines.append(np.column_stack([along + offset, along]))
    if not lines:
        return
    every = np.concatenate(lines) / field.by + field.low
    good = field.made.at(every[:, 0], every[:, 1]) == 1
    at = 0
    for line in lines:
        mine = np.flatnonzero(good[at : at + len(line)])
        at += len(line)
        for run in np.split(mine, np.flatnonzero(np.diff(mine) > 1) + 1):
            if len(run) > 1:
                ends = [tuple(map(float, line[run[0]])), tuple(map(float, line[run[-1]]))]
                field.pieces.append(("hatch", "dim", ends))  # type: ignore[arg-type]


def _axes(field: _Field) -> Iterator[Note]:
    """The frame, ticks and their texts in trade words, and what each axis is."""
    made, size, wide, tall = field.made, field.size, field.wide, field.tall
    field.pieces.append(("frame", "mark", [(0, 0), (wide, 0), (wide, tall), (0, tall), (0, 0)]))
    right = -9e9
    for x, text in _ticks(made.across, max(int(wide / (5.5 * size)), 2)):
        ((px, _),) = field.at([(x, made.up.values[0])])
        field.pieces.append((f"tick {text}", "mark", [(px, 0), (px, 0.35 * size)]))
        half = width(text, size) / 2
        if px - half > right:
            yield Note(f"across {text}", text, (px, -1.3 * size), "middle", 0)
            right = px + half + 0.6 * size
    rings = [field.at([(spot.x, spot.y)])[0][0] for spot in made.spots if spot.inside]
    aside = 0.7 * size if min(rings, default=wide) < size else 0.2 * size  # of a ring on the left edge
    for y, text in _ticks(made.up, max(int(tall / (2.2 * size)), 2)):
        ((_, py),) = field.at([(made.across.values[0], y)])
        field.pieces.append((f"tick {text}", "mark", [(0, py), (0.35 * size, py)]))
        yield Note(f"up {text}", text, (-aside, py), "end", 0)
    yield Note("across", _axis_title(made.across), (wide / 2, -2.75 * size), "middle", 0)


def _axis_title(axis: Axis) -> str:
    return str(axis.label) + (" (in 12)" if axis.base in SLOPES else "")


def _ticks(axis: Axis, most: int) -> list[tuple[float, str]]:
    values = even(axis.values[0], axis.values[-1], most, "pitch" if axis.base in SLOPES else "in")
    return [(v, axis.text(v).removesuffix(" in 12")) for v in values]


# --- the scene -------------------------------------------------------------------------------------------------------


def fit_map(made: Map, frame: tuple[float, float] = FRAME, size: float = 12.0) -> Scene:
    """A map for a frame of so many pixels with texts ``size`` high; lay it out with ``layout.fit`` in that frame.

    Heavy outline and hatch: all findings meet.  Dashed: beyond it something misses; between the two something is to be
    asked.  Dash and dots: cannot be built.  Thick dashes: the truss heel is met.  A ring is an option.
    """
    left, wide, tall, rows = _room(made, frame, size)
    field = _Field(made, wide, tall, size)
    axes = list(_axes(field))
    field.draw("cannot be built", "seam", made.refusal_edges)
    field.draw("something misses", "long line", made.miss_edges)
    field.draw("all limits are met", "full", made.meet_edges)
    lost = []
    if made.heel:
        field.draw("heel", "truss line", made.heel.lines)
    _marks(field)
    if made.heel:
        _label(field, "heel", made.heel.text, made.heel.lines)
    _regions(field, {1: "ALL MET", 2: "ASK", 3: "MISSES", 0: "CANNOT BE BUILT"})
    for level in made.levels:
        if _label(field, f"line {level.text}", level.text, level.lines):
            field.draw(f"line {level.text}", "leader", level.lines)
        else:
            lost.append(level.text)
    _hatch(field)
    said = f" Left out for want of room: {', '.join(lost)}." if lost else ""
    names = [f"key {i}" for i in range(len(rows))]
    key = [
        Note(name, text, (-left, tall + (1.3 + 1.35 * i) * size), "start", 0)
        for i, (name, text) in enumerate(zip(names, reversed(rows), strict=True))
    ]
    return Scene(
        made.title,
        f"{made.words}{said} {CAUTION}",
        (),
        tuple(field.strokes()),
        (),
        (),
        (),
        (*names, "across"),
        (*key, *axes, *field.notes),
    )


def _room(made: Map, frame: tuple[float, float], size: float) -> tuple[float, float, float, list[str]]:
    """The room at the left of the field, the field's width and height, px, and the rows of the key under it."""
    rows = list(_grid_rows(_map_key(made), frame[0] - 12.0 - 0.7 * size, size))
    left = max(width(text, size) for _, text in _ticks(made.up, 99)) + 0.7 * size
    wide = frame[0] - 10.0 - left - 1.8 * size
    return left, wide, frame[1] - 12.0 - (3.9 + 1.35 * len(rows)) * size, rows


def place_on_map(made: Map, frame: tuple[float, float], size: float, at: Point) -> Point | None:
    """The two inputs at a point of the scene that ``fit_map`` makes for this frame; None beyond the field."""
    _, wide, tall, _ = _room(made, frame, size)
    shares = at[0] / wide, at[1] / tall
    if not all(0 <= share <= 1 for share in shares):
        return None
    x, y = (
        float(axis.values[0] + share * (axis.values[-1] - axis.values[0]))
        for axis, share in zip((made.across, made.up), shares, strict=True)
    )
    return x, y


def _map_key(made: Map) -> list[str]:
    """What the lines mean, in words."""
    said = [f"Up: {_axis_title(made.up).lower()}"]
    fits = made.meet_edges or np.all(made.swept.state == 1)
    said.append("hatched: all limits are met" if fits else "nowhere all are met")
    if made.miss_edges:
        said.append("thin dashes: beyond, something misses")
    if made.refusal_edges:
        said.append("dash-dot: beyond, cannot be built")
    if made.heel:
        said.append(f"thick dashes: {made.heel.text}")
    said.append(
        f"thin lines: {reading_label(made.reading)}" if made.levels else f"{reading_label(made.reading)}: no line here"
    )
    return said


def _grid_rows(items: Sequence[str], wide: float, size: float) -> Iterator[str]:
    """Items set into rows no wider than the frame."""
    row = ""
    for item in items:
        longer = f"{row}; {item}" if row else item
        if row and width(longer, size) > wide:
            yield row
            row = item
        else:
            row = longer
    yield row
