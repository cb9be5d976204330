"""Scenes in model inches, and their layout in units of the page or the screen.

A *scene* holds shapes, strokes, dimensions, slope marks and titles, each with a name.  ``layout`` places all texts:
dimension chains stand outside the work, shortest nearest to it, their texts spread so that none touches another.
Renderers only draw a layout: ``svg`` here for the screen, ``paper`` for pages.  Screen and paper cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from typing import NamedTuple

Point = tuple[float, float]


class Style(NamedTuple):
    """How a shape or stroke looks: fill, line colour, line width (in text heights / 11) and dashes."""

    fill: str = "none"
    line: str = "#333333"
    width: float = 1.0
    dash: tuple[float, ...] = ()


BLUE, VERMILLION, INK, GREY, PAPER = "#0072B2", "#B84C00", "#1a1a1a", "#6b6b6b", "#ffffff"
STYLES: dict[str, Style] = {
    "rafter": Style("#d6e8f5", BLUE, 1.4),
    "truss": Style("#faeadc", VERMILLION, 1.4),
    "web": Style(line=VERMILLION, width=0.8, dash=(2, 3)),
    "wedge": Style("#fdf6ee", VERMILLION, 0.7, (2, 2)),
    "wall": Style("#ededed", INK, 0.8),
    "board": Style("#e3e3e3", INK, 0.9),
    "sheathing": Style("#f4f4f4", GREY, 0.6),
    "rafter line": Style(line=BLUE, width=2.0),
    "truss line": Style(line=VERMILLION, width=2.0, dash=(6, 3)),
    "plane": Style(line=BLUE, width=0.9, dash=(9, 3, 2, 3)),
    "ceiling": Style(line=INK, width=0.8, dash=(5, 3)),
    "guide": Style(line=GREY, width=0.6, dash=(1, 3)),
    "seam": Style(line=INK, width=0.9, dash=(10, 3, 2, 3)),
    "dim": Style(line=GREY, width=0.7),
    "mark": Style(line=INK, width=0.9),
    "lens": Style(PAPER, INK, 1.2),
    "offcut": Style(PAPER, GREY, 0.7, (2, 2)),
    "panel": Style(line=GREY, width=1.0),
}


class Shape(NamedTuple):
    """A closed outline."""

    name: str
    points: tuple[Point, ...]
    style: str


class Stroke(NamedTuple):
    """An open line."""

    name: str
    points: tuple[Point, ...]
    style: str


class Dim(NamedTuple):
    """A dimension between two anchors, in the chain of its ``level`` (1 is nearest) on one side of the work."""

    name: str
    text: str
    a: Point
    b: Point
    side: str  # "left", "right", "bottom" or "inside" (text left of a plumb line at a.x)
    level: int = 1


class Slope(NamedTuple):
    """A rise-in-twelve mark at a point of a plane; ``above`` the roof or below the ceiling."""

    name: str
    rise: str
    at: Point
    slope: float
    above: bool


class Title(NamedTuple):
    """A text in the band above the work, at the left or the right."""

    name: str
    text: str
    side: str


@dataclass(frozen=True)
class Scene:
    """What a picture shows, in model inches; ``must`` names the texts that have to be there."""

    title: str
    description: str
    shapes: tuple[Shape, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    dims: tuple[Dim, ...] = ()
    slopes: tuple[Slope, ...] = ()
    titles: tuple[Title, ...] = ()
    must: tuple[str, ...] = ()

    def bounds(self) -> tuple[float, float, float, float]:
        """x0, y0, x1, y1 of all shapes and strokes."""
        points = [p for part in (*self.shapes, *self.strokes) for p in part.points]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return min(xs), min(ys), max(xs), max(ys)


# --- outlines --------------------------------------------------------------------------------------------------------


def clip(points: Sequence[Point], a: float, b: float, c: float) -> tuple[Point, ...]:
    """The part of an outline where a x + b y <= c."""
    kept: list[Point] = []
    for (x0, y0), (x1, y1) in zip(points, (*points[1:], *points[:1]), strict=True):
        d0, d1 = a * x0 + b * y0 - c, a * x1 + b * y1 - c
        if d0 <= 0:
            kept.append((x0, y0))
        if (d0 < 0 < d1) or (d1 < 0 < d0):
            t = d0 / (d0 - d1)
            kept.append((x0 + t * (x1 - x0), y0 + t * (y1 - y0)))
    return tuple(kept)


def clip_line(points: Sequence[Point], a: float, b: float, c: float) -> tuple[Point, ...]:
    """The part of a two-point line where a x + b y <= c; empty where none is left."""
    (x0, y0), (x1, y1) = points
    d0, d1 = a * x0 + b * y0 - c, a * x1 + b * y1 - c
    if d0 > 0 and d1 > 0:
        return ()
    if d0 <= 0 and d1 <= 0:
        return ((x0, y0), (x1, y1))
    t = d0 / (d0 - d1)
    middle = (x0 + t * (x1 - x0), y0 + t * (y1 - y0))
    return (middle, (x1, y1)) if d0 > 0 else ((x0, y0), middle)


Halfplane = tuple[float, float, float]


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[Halfplane, ...]:
    """The half-planes of a rectangle."""
    return (-1, 0, -x0), (1, 0, x1), (0, -1, -y0), (0, 1, y1)


def cut(parts: Iterable[Shape | Stroke], planes: Sequence[Halfplane]) -> list[Shape | Stroke]:
    """Shapes and strokes cut to the inside of all half-planes; what lies outside is left away."""
    kept: list[Shape | Stroke] = []
    for part in parts:
        pieces = [part.points] if isinstance(part, Shape) else list(zip(part.points, part.points[1:], strict=False))
        for piece in pieces:
            points: tuple[Point, ...] = tuple(piece)
            for plane in planes:
                if points:
                    points = clip(points, *plane) if isinstance(part, Shape) else clip_line(points, *plane)
            if len(points) > (2 if isinstance(part, Shape) else 1):
                kept.append(part._replace(points=points))
    return kept


# --- layout ----------------------------------------------------------------------------------------------------------


class Label(NamedTuple):
    """A placed text: its box is x0, y0, x1, y1 (y down)."""

    name: str
    text: str
    x: float
    y: float
    anchor: str  # start, middle, end
    size: float
    turned: bool = False  # reads from the right

    @property
    def box(self) -> tuple[float, float, float, float]:
        wide = width(self.text, self.size)
        if self.turned:
            return self.x - 0.55 * self.size, self.y - wide / 2, self.x + 0.55 * self.size, self.y + wide / 2
        x0 = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return x0, self.y - 0.55 * self.size, x0 + wide, self.y + 0.55 * self.size


@dataclass(frozen=True)
class Layout:
    """Placed outlines, lines and texts; y runs down; ``origin`` is where model (0, 0) stands."""

    title: str
    description: str
    width: float
    height: float
    scale: float
    origin: Point
    shapes: tuple[Shape, ...]
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]


NARROW = {
    " ": 0.32,
    "'": 0.28,
    '"': 0.46,
    "/": 0.34,
    "-": 0.37,
    ".": 0.32,
    ",": 0.32,
    ":": 0.34,
    "(": 0.4,
    ")": 0.4,
    "i": 0.29,
    "l": 0.29,
    "j": 0.29,
    "f": 0.36,
    "t": 0.4,
    "r": 0.42,
    "I": 0.3,
    "m": 0.98,
    "w": 0.83,
    "M": 0.87,
    "W": 1.0,
}


@lru_cache(4096)
def _letters(text: str) -> float:
    return sum(NARROW.get(letter, 0.64) for letter in text)


def width(text: str, size: float) -> float:
    """Width of a text, never less than a common sans-serif face needs."""
    return size * _letters(text)


def spread(wanted: Sequence[float], sizes: Sequence[float], gap: float) -> list[float]:
    """Centres as near as possible to ``wanted`` (rising), so that extents of ``sizes`` keep ``gap`` between them."""
    groups: list[tuple[float, list[int]]] = []  # first centre's offset-free mean, members

    def place(members: list[int]) -> list[float]:
        offsets = [0.0]
        for before, after in zip(members, members[1:], strict=False):
            offsets.append(offsets[-1] + (sizes[before] + sizes[after]) / 2 + gap)
        shift = sum(wanted[i] - o for i, o in zip(members, offsets, strict=True)) / len(members)
        return [shift + o for o in offsets]

    for index in range(len(wanted)):
        members = [index]
        while groups:
            last = groups[-1][1]
            end, start = place(last)[-1], place(members)[0]
            if end + (sizes[last[-1]] + sizes[members[0]]) / 2 + gap <= start + 1e-9:
                break
            members = last + members
            groups.pop()
        groups.append((0.0, members))
    return [centre for _, members in groups for centre in place(members)]


def layout(scene: Scene, scale: float, size: float = 11.0) -> Layout:
    """Place a scene at ``scale`` page units an inch with texts ``size`` high."""
    x0, y0, x1, y1 = scene.bounds()
    lines: list[Stroke] = []
    labels: list[Label] = []

    def at(point: Point) -> Point:
        return (point[0] - x0) * scale, (y1 - point[1]) * scale

    work = ((x1 - x0) * scale, (y1 - y0) * scale)
    for mark in scene.slopes:
        _slope(mark, at(mark.at), size, lines, labels)
    for side in ("left", "right", "bottom"):
        _chains([d for d in scene.dims if d.side == side], side, work, at, size, lines, labels)
    for dim in scene.dims:
        if dim.side == "inside":
            _inside(dim, at, size, lines, labels)
    boxes = [label.box for label in labels]
    points = [p for stroke in lines for p in stroke.points]
    left = min([0.0, *(b[0] for b in boxes), *(p[0] for p in points)]) - 4
    above = min([0.0, *(b[1] for b in boxes), *(p[1] for p in points)]) - 4
    right = max([work[0], *(b[2] for b in boxes), *(p[0] for p in points)]) + 4
    below = max([work[1], *(b[3] for b in boxes), *(p[1] for p in points)]) + 4
    above, right = _titles(scene.titles, left, above, right, size, labels)

    def moved(point: Point) -> Point:
        return point[0] - left, point[1] - above

    return Layout(
        scene.title,
        scene.description,
        right - left,
        below - above,
        scale,
        moved(at((0.0, 0.0))),
        tuple(s._replace(points=tuple(moved(at(p)) for p in s.points)) for s in scene.shapes),
        tuple(s._replace(points=tuple(moved(at(p)) for p in s.points)) for s in scene.strokes)
        + tuple(s._replace(points=tuple(moved(p) for p in s.points)) for s in lines),
        tuple(label._replace(x=label.x - left, y=label.y - above) for label in labels),
    )


def _titles(
    titles: Sequence[Title], left: float, above: float, right: float, size: float, labels: list[Label]
) -> tuple[float, float]:
    """Titles above everything, at the frame's ends: in one row where they have room, else one below the other."""
    if not titles:
        return above, right
    wide = [width(title.text, size) for title in titles]
    right = max(right, left + max(wide) + 8)
    rows = 1 if sum(wide) + 2 * size < right - left - 8 else len(titles)
    for i, title in enumerate(titles):
        y = above - (0.7 + 1.25 * (rows - 1 - min(i, rows - 1))) * size
        x, anchor = (left + 4, "start") if title.side == "left" else (right - 4, "end")
        labels.append(Label(title.name, title.text, x, y, anchor, size))
    return above - (0.4 + 1.25 * rows) * size, right


def _chains(dims, side, work, at, size, lines, labels):  # type: ignore[no-untyped-def]
    """Dimension chains of one side, nearest level first."""
    gap, tick = 0.9 * size, 0.3 * size
    along = 0 if side == "bottom" else 1
    sign = -1 if side == "left" else 1
    edge = {"left": 0.0, "right": work[0], "bottom": work[1]}[side]
    for level in sorted({d.level for d in dims}):
        chain = sorted((d for d in dims if d.level == level), key=lambda d: at(d.a)[along] + at(d.b)[along])
        middles = [(at(d.a)[along] + at(d.b)[along]) / 2 for d in chain]
        lengths = [abs(at(d.a)[along] - at(d.b)[along]) for d in chain]
        wide = [width(d.text, size) for d in chain]
        turned = [bool(along) and length > w + size for length, w in zip(lengths, wide, strict=True)]
        sizes = [w if t or not along else 1.1 * size for w, t in zip(wide, turned, strict=True)]
        placed = spread(_outward(middles, lengths, sizes) if not along else middles, sizes, 0.35 * size)
        line = edge + sign * (gap if along else gap + 1.3 * size)
        for dim, middle, centre, turn in zip(chain, middles, placed, turned, strict=True):
            ends = [at(dim.a), at(dim.b)]
            for point in ends:
                start = point[1 - along] + sign * 3
                _line(lines, dim.name, along, (point[along], start), (point[along], line + sign * tick))
                _tick(lines, dim.name, along, point[along], line, tick)
            _line(lines, dim.name, 1 - along, (line, ends[0][along]), (line, ends[1][along]))
            if not along:
                labels.append(Label(dim.name, dim.text, centre, line - 0.75 * size, "middle", size))
            elif turn:
                labels.append(Label(dim.name, dim.text, line + sign * 0.8 * size, centre, "middle", size, True))
            else:
                labels.append(
                    Label(dim.name, dim.text, line + sign * 0.5 * size, centre, "end" if sign < 0 else "start", size)
                )
                if abs(centre - middle) > 0.6 * size:
                    lines.append(Stroke(dim.name, ((line, middle), (line + sign * 0.4 * size, centre)), "dim"))
        band = max(0.8 * size if turn else w for w, turn in zip(wide, turned, strict=True))
        edge = line + sign * (band + 0.7 * size if along else 0.2 * size)


def _outward(middles: list[float], lengths: list[float], sizes: list[float]) -> list[float]:
    """Where a chain's first or last dimension is narrower than its text, the text stands outside it."""
    wanted = list(middles)
    for i, way in {len(wanted) - 1: 1, 0: -1 if len(wanted) > 1 else 1}.items():
        if lengths[i] < sizes[i] + 4:
            wanted[i] += way * (lengths[i] / 2 + sizes[i] / 2 + 3)
    return wanted


def _line(lines: list[Stroke], name: str, along: int, p: Point, q: Point) -> None:
    """A dimension or extension line; points are (along, across) for ``along`` 0 and swapped else."""
    ends = (p, q) if along == 0 else ((p[1], p[0]), (q[1], q[0]))
    lines.append(Stroke(name, ends, "dim"))


def _tick(lines: list[Stroke], name: str, along: int, where: float, line: float, tick: float) -> None:
    x, y = (where, line) if along == 0 else (line, where)
    lines.append(Stroke(name, ((x - tick, y + tick), (x + tick, y - tick)), "mark"))


def _inside(dim: Dim, at, size: float, lines: list[Stroke], labels: list[Label]) -> None:  # type: ignore[no-untyped-def]
    """A plumb dimension in the open room, its text to the left; left away where it is shorter than its text."""
    (x, ya), (_, yb) = at(dim.a), at(dim.b)
    if abs(ya - yb) < 1.6 * size:
        return
    lines.append(Stroke(dim.name, ((x, ya), (x, yb)), "dim"))
    for y in (ya, yb):
        _tick(lines, dim.name, 1, y, x, 0.3 * size)
    labels.append(Label(dim.name, dim.text, x - 0.5 * size, ya + (yb - ya) * 0.35, "end", size))


def _slope(mark: Slope, at: Point, size: float, lines: list[Stroke], labels: list[Label]) -> None:
    """A right triangle on the free side of a plane, twelve level and the rise plumb."""
    steep = abs(mark.slope)
    wide = 2.6 * size / max(1.0, steep)
    tall = wide * steep
    up = 1 if mark.above else -1
    hand = 1 if mark.slope * up > 0 else -1  # the side of the plumb leg: where the plane falls away from the mark
    x, y = at[0], at[1] - up * 1.1 * size
    corner, far, near = (
        (x - hand * wide / 2, y - up * tall / 2),
        (x + hand * wide / 2, y - up * tall / 2),
        (x - hand * wide / 2, y + up * tall / 2),
    )
    lines.append(Stroke(mark.name, (near, corner, far, near), "mark"))
    labels.append(Label(mark.name, "12", (corner[0] + far[0]) / 2, corner[1] - up * 0.75 * size, "middle", size))
    labels.append(
        Label(
            mark.name,
            mark.rise,
            corner[0] - hand * 0.35 * size,
            (corner[1] + near[1]) / 2,
            "end" if hand > 0 else "start",
            size,
        )
    )


STEPS = (
    64,
    48,
    40,
    32,
    28,
    24,
    20,
    16,
    14,
    12,
    10,
    8,
    7,
    6,
    5,
    4,
    3.5,
    3,
    2.5,
    2,
    1.75,
    1.5,
    1.25,
    1,
    0.875,
    0.75,
    0.625,
    0.5,
    0.375,
    0.25,
    0.1875,
    0.125,
)


def fit(scene: Scene, wide: float, tall: float, size: float = 11.0) -> Layout:
    """The largest stepped scale at which the whole scene fits, so that pictures hold still while they fit."""
    low, high = 0, len(STEPS) - 1  # the answer's index lies between them; the last step is taken as it is
    placed = None
    while low < high:
        middle = (low + high) // 2
        tried = layout(scene, STEPS[middle], size)
        if tried.width <= wide and tried.height <= tall:
            high, placed = middle, tried
        else:
            low = middle + 1
    return placed if placed and placed.scale == STEPS[high] else layout(scene, STEPS[high], size)


# --- screen ----------------------------------------------------------------------------------------------------------


def svg(placed: Layout, wide: float, tall: float) -> str:
    """A layout as SVG text in a frame of ``wide`` x ``tall`` px, with a title and a description for those who listen."""
    dx, dy = (wide - placed.width) / 2, (tall - placed.height) / 2
    size = placed.labels[0].size if placed.labels else 11.0
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(wide)} {_n(tall)}" width="{_n(wide)}" height="{_n(tall)}" role="img" '
        f'font-family="Arial, Helvetica, Liberation Sans, DejaVu Sans, sans-serif" font-size="{_n(size)}">'
        f"<title>{escape(placed.title)}</title><desc>{escape(placed.description)}</desc>"
        f'<rect width="{_n(wide)}" height="{_n(tall)}" fill="{PAPER}"/><g transform="translate({_n(dx)} {_n(dy)})">'
    ]
    for part in (*placed.shapes, *placed.strokes):
        style = STYLES[part.style]
        points = " ".join(f"{_n(x)},{_n(y)}" for x, y in part.points)
        dash = f' stroke-dasharray="{" ".join(_n(d) for d in style.dash)}"' if style.dash else ""
        kind = "polygon" if isinstance(part, Shape) else "polyline"
        out.append(
            f'<{kind} points="{points}" fill="{style.fill}" stroke="{style.line}" stroke-width="{_n(style.width)}"{dash}/>'
        )
    for text in placed.labels:
        x, y = (text.x + 0.36 * text.size, text.y) if text.turned else (text.x, text.y + 0.36 * text.size)
        turn = f' transform="rotate(-90 {_n(x)} {_n(y)})"' if text.turned else ""
        out.append(
            f'<text x="{_n(x)}" y="{_n(y)}"{turn} text-anchor="{text.anchor}" fill="{INK}" stroke="{PAPER}" '
            f'stroke-width="3" paint-order="stroke" data-name="{escape(text.name)}">{escape(text.text)}</text>'
        )
    return "".join(out) + "</g></svg>"


def _n(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".") if value else "0"
