"""Scenes in model inches, placed layouts in units of the page, and the layout as SVG text for the screen.

A *scene* holds shapes, strokes, dimensions, slope marks, notes and titles, each with a name.  ``layout`` places all
texts.  Renderers only draw what was placed: ``svg`` here, ``paper`` for pages.  Screen and paper cannot disagree.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from html import escape
from itertools import groupby
from typing import NamedTuple

from .face import FAMILIES, width

Point = tuple[float, float]


class Style(NamedTuple):
    """How a shape or stroke looks: fill, line colour, line width (in units of ``pen``) and dashes."""

    fill: str = "none"
    line: str = "#333333"
    width: float = 1.0
    dash: tuple[float, ...] = ()


BLUE, VERMILLION, INK, GREY, PAPER = "#0072B2", "#B84C00", "#1a1a1a", "#6b6b6b", "#ffffff"
FORCE_WIDTHS = (1.2, 2.2, 3.4, 4.8)  # of a member in a picture of forces, by the size of its force
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
    "long line": Style(line=BLUE, width=1.6, dash=(6, 3)),
    "plane": Style(line=BLUE, width=0.9, dash=(9, 3, 2, 3)),
    "ceiling": Style(line=INK, width=0.8, dash=(5, 3)),
    "guide": Style(line=GREY, width=0.6, dash=(1, 3)),
    "seam": Style(line=INK, width=0.9, dash=(10, 3, 2, 3)),
    "dim": Style(line=GREY, width=0.7),
    "mark": Style(line=INK, width=0.9),
    "lens": Style(PAPER, INK, 1.2),
    "offcut": Style(PAPER, GREY, 0.7, (2, 2)),
    "panel": Style(line=INK, width=1.1),
    "diagonal": Style(line=GREY, width=0.7, dash=(8, 3)),
    "scale bar": Style(line=INK, width=3.0),
    "rafter in plan": Style(BLUE, BLUE, 0.5),
    "truss in plan": Style(PAPER, VERMILLION, 1.0),
    "dead": Style(INK, INK, 1.0),
    "snow": Style(BLUE, BLUE, 1.0, (5, 2)),
    "push": Style(INK, INK, 2.0),
    "bar": Style("#d6e8f5", BLUE, 1.2),
    "bar over": Style("#faeadc", VERMILLION, 1.6, (5, 3)),
    "full": Style(line=INK, width=2.0),
    **{f"tension {n}": Style(line=INK, width=wide) for n, wide in enumerate(FORCE_WIDTHS, 1)},
    **{f"compression {n}": Style(line=INK, width=wide, dash=(8, 3)) for n, wide in enumerate(FORCE_WIDTHS, 1)},
    "idle": Style(line=GREY, width=1.2, dash=(1, 3)),
    "moved": Style(line=INK, width=0.9, dash=(4, 3)),
    "insulation": Style("#f7ecc8", GREY, 0.6),
    "air": Style(PAPER, BLUE, 0.7, (2, 2)),
    "block": Style("#8c8c8c", INK, 0.8),
    "leader": Style(line=INK, width=0.6),
    "ring": Style(PAPER, INK, 0.9),
    "dot": Style(INK, INK, 0.5),
    "chosen": Style(line=INK, width=4.0),
    "chosen area": Style("#f3e58f", INK, 3.0),
    "aglow": Style(line="#b07a00", width=8.0),
    "frame": Style(PAPER, GREY, 0.7),
    "slim rafter": Style("#d6e8f5", BLUE, 0.9),
    "slim truss": Style("#faeadc", VERMILLION, 0.9),
    "roof": Style("#f4f4f4", GREY, 0.8),
    "ceiling plane": Style("#fdf6ee", INK, 0.8),
    "pale": Style("#f4f4f4", "#8c8c8c", 0.5),
    "cut plane": Style(line=INK, width=1.8, dash=(8, 3, 2, 3)),
}
_FACES = ("rafter", "truss", "slim rafter", "slim truss", "wall", "board", "roof", "ceiling plane", "pale")
for _name in _FACES:  # faces without their outlines
    STYLES[f"{_name} face"] = STYLES[_name]._replace(line=STYLES[_name].fill, width=0.6)


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
    side: str  # "left", "right", "bottom", or "inside": beside the plumb line through ``a`` and ``b``, if there is room
    level: int = 1


class Slope(NamedTuple):
    """A rise-in-twelve mark, ``above`` the roof or below the ceiling, at a point of a plane.

    With ``to`` it may stand anywhere between ``at`` and ``to``, best in the middle; without, at that point or near it.
    """

    name: str
    rise: str
    at: Point
    slope: float
    above: bool
    to: Point | None = None


class Note(NamedTuple):
    """A short text beside a point: ``anchor`` start runs to its right, end to its left; ``up`` 1 above, -1 below."""

    name: str
    text: str
    at: Point
    anchor: str
    up: int = 1


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
    notes: tuple[Note, ...] = ()

    @property
    def parts(self) -> tuple[Shape | Stroke, ...]:
        """Shapes and strokes together."""
        return (*self.shapes, *self.strokes)

    def bounds(self) -> tuple[float, float, float, float]:
        """x0, y0, x1, y1 of all shapes and strokes."""
        points = [p for part in self.parts for p in part.points]
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


# --- placed ----------------------------------------------------------------------------------------------------------


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
    def baseline(self) -> Point:
        """Where the text's baseline stands at its anchor."""
        down = DOWN * self.size
        return (self.x + down, self.y) if self.turned else (self.x, self.y + down)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The box that the text takes: left, top, right, bottom, in the page's units."""
        wide = width(self.text, self.size)
        if self.turned:
            return self.x - 0.55 * self.size, self.y - wide / 2, self.x + 0.55 * self.size, self.y + wide / 2
        x0 = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return x0, self.y - 0.55 * self.size, x0 + wide, self.y + 0.55 * self.size


@dataclass(frozen=True)
class Layout:
    """Placed outlines, lines and texts; y runs down; ``origin`` is where model (0, 0) stands.

    ``dropped`` names the optional texts that found no room: they are in the table of readings.
    """

    title: str
    description: str
    width: float
    height: float
    scale: float
    origin: Point
    shapes: tuple[Shape, ...]
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    size: float = 11.0
    dropped: tuple[str, ...] = ()

    @property
    def parts(self) -> tuple[Shape | Stroke, ...]:
        """Shapes and strokes together."""
        return (*self.shapes, *self.strokes)

    def shift(self, x: float, y: float) -> Layout:
        """The layout with all it holds ``x`` to the right and ``y`` further down, in units of the page."""

        def there(points: Sequence[Point]) -> tuple[Point, ...]:
            return tuple([(px + x, py + y) for px, py in points])

        return replace(
            self,
            origin=(self.origin[0] + x, self.origin[1] + y),
            shapes=tuple([shape._replace(points=there(shape.points)) for shape in self.shapes]),
            strokes=tuple([stroke._replace(points=there(stroke.points)) for stroke in self.strokes]),
            labels=tuple([label._replace(x=label.x + x, y=label.y + y) for label in self.labels]),
        )


# --- screen ----------------------------------------------------------------------------------------------------------

DOWN = 0.36  # from the middle of a text to its baseline, in text heights


def svg(
    placed: Layout, wide: float, tall: float, at: Point | None = None, under: str = "", changed: Container[str] = ()
) -> str:
    """A layout as SVG text in a frame of ``wide`` x ``tall`` px, its title and description for those who listen.

    Its upper left corner stands ``at`` a point of the frame, px (none: in the middle).  ``under`` is a path that lies
    thin under all else, in px of the frame; texts whose names are in ``changed`` are underlined.
    """
    x, y = at or ((wide - placed.width) / 2, (tall - placed.height) / 2)
    shift = f"{_n(x)} {_n(y)}"
    frame = f'width="{_n(wide)}" height="{_n(tall)}"'
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(wide)} {_n(tall)}" {frame} role="img" '
        f'font-family="{FAMILIES}" font-size="{_n(placed.size)}" text-rendering="geometricPrecision">'
        f"<title>{escape(placed.title)}</title><desc>{escape(placed.description)}</desc>"
        f'<rect {frame} fill="{PAPER}"/>{GHOST.format(under) if under else ""}<g transform="translate({shift})">'
    ]
    for style, run in groupby(placed.shapes, _style_of):
        out.append(f"<g {_look(style, placed.size)}>")
        out += [f'<polygon points="{_points(shape.points)}"/>' for shape in run]
        out.append("</g>")
    for style, lines in groupby(placed.strokes, _style_of):
        path = "".join([f"M{_points(line.points)}" for line in lines])
        out.append(f'<path {_look(style, placed.size)} d="{path}"/>')
    out.append(f'<g fill="{INK}" stroke="{PAPER}" stroke-width="3" paint-order="stroke">')
    out += [_text(label, placed.size, CHANGED if label.name in changed else "") for label in placed.labels]
    return "".join(out) + "</g></g></svg>"


GHOST = f'<path class="rl-ghost" fill="none" stroke="{GREY}" stroke-width="0.8" d="{{}}"/>'
CHANGED = ' class="rl-changed" text-decoration="underline"'


def outlines_path(parts: Iterable[Shape | Stroke], scale: float, origin: Point) -> str:
    """The outlines of shapes and strokes in model inches as an SVG path in px; model (0, 0) stands at ``origin``.

    >>> outlines_path([Stroke("", ((0, 0), (10, 5)), "mark")], 2, (100, 50))
    'M100.0,50.0 120.0,40.0'
    """
    (x0, y0), path = origin, []
    for part in parts:
        end = "Z" if isinstance(part, Shape) else ""
        path.append(f"M{_points([(x0 + x * scale, y0 - y * scale) for x, y in part.points])}{end}")
    return "".join(path)


def _style_of(part: Shape | Stroke) -> str:
    return part.style


def pen(size: float) -> float:
    """The unit of line widths for texts ``size`` high: those of a screen, 11 to 14, have lines of the same weight.

    >>> pen(5.5), pen(14), pen(22)
    (0.5, 1.0, 2.0)
    """
    return 1.0 if 11 <= size <= 14 else size / 11


@lru_cache(256)
def _look(name: str, size: float) -> str:
    style, unit = STYLES[name], pen(size)
    dash = f' stroke-dasharray="{" ".join([_n(d * unit) for d in style.dash])}"' if style.dash else ""
    return f'fill="{style.fill}" stroke="{style.line}" stroke-width="{_n(style.width * unit)}"{dash}'


def _points(points: Sequence[Point]) -> str:
    return " ".join([f"{x:.1f},{y:.1f}" for x, y in points])


def _text(label: Label, size: float, look: str = "") -> str:
    x, y = label.baseline
    turn = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if label.turned else ""
    anchor = "" if label.anchor == "start" else f' text-anchor="{label.anchor}"'
    words = f'data-name="{escape(label.name)}"{look}>{escape(label.text)}'
    own = f' font-size="{_n(label.size)}"' if label.size != size else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{turn}{anchor}{own} {words}</text>'


def _n(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".") if value else "0"
