"""The glossary drawn: the words of one group at a time, each written beside the section with a leader to its place.

What lies at a heel is drawn in an enlarged detail of that heel; the rest on the part of the section where it is.  A
chosen word is lit: its place glows and is drawn heavier, and so is its word, so that it shows without colour too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from math import cos, hypot, pi, sin
from typing import NamedTuple

from rooflab.draw.members import chord_outlines, parts_drawing, rafter_parts, ridge_board, truss_parts
from rooflab.draw.placing import spread, union
from rooflab.draw.scene import Label, Layout, Point, Scene, Shape, Stroke, box, cut, width
from rooflab.lessons.glossary import TERMS, find
from rooflab.lessons.glossary_places import LOW, MEASURES, TermSpot, example_house, term_spots

from .parts import rectangle, rectangle_shape

WIDE, TALL = 900.0, 350.0  # of the picture, px
NARROW, LEAST = 620.0, 360.0  # under this width the words stand in one column; the narrowest picture, px
SIZE = 14.5  # of all letters, px
ROW = 26.0  # from word to word, px: wide enough for a finger
EDGE, STUB, PAD = 6.0, 10.0, 10.0  # around the picture, of a leader beside its word, around what a pane shows, px
NEAR, ROUND = 28.0, 5.0  # what counts as at a heel, level from its outside face, and what is shown around words, in
FEW = 2  # words at a heel that are worth a detail of it
TITLES = {"left": ("Rafter heel, enlarged", "Rafter heel"), "right": ("Truss heel, enlarged", "Truss heel")}
Box = tuple[float, float, float, float]


@lru_cache(1)
def term_places() -> dict[str, TermSpot]:
    """The place of every term that has one, by the term's name."""
    found = term_spots(*example_house())
    return {term.name: found[term.spot] for term in TERMS if term.spot}


def words_of(group: str) -> tuple[str, ...]:
    """The words of a group that have a place on the section."""
    return tuple(term.name for term in TERMS if term.group == group and term.spot)


def scene(words: Sequence[str] = ()) -> Scene:
    """The section: members, the measures of these words as thin lines, what does not belong to it faintly."""
    rafters, scissor = example_house()
    parts = cut([*rafter_parts(rafters), *ridge_board(rafters), *truss_parts(scissor)], [(0.0, -1.0, LOW)])
    wedge = chord_outlines(scissor, "right")[2]
    parts = [part for part in parts if part.name != "wedge"] + [Shape("wedge", wedge, "wedge")]
    for name in words:
        spot = term_places()[name]
        if spot.kind == "area" and spot.faint:
            parts.append(Shape(name, spot.points, "offcut"))
        elif spot.kind in MEASURES or (spot.kind in ("line", "arrow") and spot.faint):
            parts.append(Stroke(name, spot.points, "guide" if spot.faint else "dim"))
    shapes, strokes = parts_drawing(parts)
    return Scene(
        "Words on one section of both bays",
        "A narrow house in section: rafter bay on the left, scissor bay on the right, meeting at the ridge.",
        shapes,
        strokes,
    )


# --- panes: what part of the section is shown where ------------------------------------------------------------------


class Pane(NamedTuple):
    """A part of the section in a frame of the page: whose heel it enlarges, its words, what it shows, in."""

    heel: str  # "left", "right", or "" for no detail
    words: tuple[str, ...]
    shown: Box
    frame: Box = (0.0, 0.0, 0.0, 0.0)

    @property
    def scale(self) -> float:
        """Units of the page an inch."""
        (x0, y0, x1, y1), (left, top, right, bottom) = self.shown, self.frame
        return min((right - left - 2 * PAD) / (x1 - x0), (bottom - top - 2 * PAD - self.head) / (y1 - y0))

    @property
    def head(self) -> float:
        """Room for the words over a detail."""
        return 1.3 * SIZE if self.heel else 0.0

    def on_page(self, point: Point) -> Point:
        """Where a point of the section, in, lies on the page."""
        (x0, y0, x1, y1), (left, top, right, bottom) = self.shown, self.frame
        middle = (left + right) / 2, (top + self.head + bottom) / 2
        return (
            middle[0] + (point[0] - (x0 + x1) / 2) * self.scale,
            middle[1] - (point[1] - (y0 + y1) / 2) * self.scale,
        )


def _heel_of(spot: TermSpot) -> str:
    """The heel that a place is at, where it is small enough to be seen there only when that is enlarged."""
    points = [*spot.points, spot.at]
    far = example_house()[1].right.wall.x
    if any(not -1.4 * LOW <= y <= 1.3 * LOW for _, y in points):
        return ""
    if all(x <= NEAR / 2 for x, _ in points):
        return "left"
    return "right" if all(x >= far - NEAR for x, _ in points) else ""


def _panes(group: str) -> list[Pane]:
    """The panes of a group's picture, not yet in their frames."""
    places = {name: term_places()[name] for name in words_of(group)}
    heels = {name: _heel_of(spot) for name, spot in places.items()}
    for heel in ("left", "right"):
        own = [name for name in heels if heels[name] == heel]
        if len(own) < max(FEW, len(heels) / 5):
            heels |= dict.fromkeys(own, "")
    found = []
    x0, y0, x1, y1 = scene(words_of(group)).bounds()
    for heel in ("", "left", "right"):
        words = tuple(name for name in heels if heels[name] == heel)
        points = [point for name in words for point in (*places[name].points, places[name].at)]
        if not points:
            continue
        around = union([(x - ROUND, y - ROUND, x + ROUND, y + ROUND) for x, y in points])
        if not heel:  # with the heels, so that one sees where what is shown is
            spots = [point for name in heels if heels[name] for point in places[name].points]
            around = union([around, *((x, y, x, y) for x, y in spots)])
        whole = not heel and around[2] - around[0] > 0.6 * (x1 - x0)
        shown = (x0, y0, x1, y1) if whole else (
            max(around[0], x0), max(around[1], y0 - 2), min(around[2], x1), min(around[3], y1 + 2)
        )  # fmt: skip
        found.append(Pane(heel, words, shown))
    return found


def _framed(panes: Sequence[Pane], left: float, right: float, tall: float) -> list[Pane]:
    """The panes in their frames between two lines: details below or beside the rest, whichever draws it larger."""
    top, bottom = EDGE, tall - EDGE
    main, details = [pane for pane in panes if not pane.heel], [pane for pane in panes if pane.heel]

    def row(some: Sequence[Pane], x0: float, y0: float, x1: float, y1: float) -> list[Pane]:
        each = (x1 - x0 - EDGE * (len(some) - 1)) / max(len(some), 1)
        return [
            pane._replace(frame=(x0 + i * (each + EDGE), y0, x0 + i * (each + EDGE) + each, y1))
            for i, pane in enumerate(some)
        ]

    if not main or not details:
        return row(panes, left, top, right, bottom)
    tries = []
    for part in (0.5, 0.6):
        y, x = top + part * (bottom - top), left + part * (right - left)
        below = [*row(main, left, top, right, y), *row(details, left, y + EDGE, right, bottom)]
        beside = [*row(main, left, top, x, bottom), *row(details, x + EDGE, top, right, bottom)]
        if details[0].heel == "left" and len(details) == 1:
            x = right - part * (right - left)
            beside = [*row(main, x + EDGE, top, right, bottom), *row(details, left, top, x, bottom)]
        tries += [below, beside]
    return max(tries, key=lambda some: min(pane.scale * (1 if pane.heel else 2.2) for pane in some))


# --- words and leaders -----------------------------------------------------------------------------------------------


class Placed(NamedTuple):
    """A word beside the drawing: its text, where its leader begins, and where it ends."""

    label: Label
    start: Point
    end: Point


def _columns(ends: Mapping[str, Point], wide: float, sides: int, rows: int) -> list[list[str]]:
    """The words of the left and of the right column, each by the height of its place."""
    order = sorted(ends, key=lambda name: ends[name][0])
    cut_at = sum(ends[name][0] < wide / 2 for name in order) if sides == 2 else 0
    if sides == 2:
        half = len(order) / 2
        cut_at = round(min(max(cut_at, len(order) - rows, half - 2), rows, half + 2))
    return [sorted(some, key=lambda name: ends[name][1]) for some in (order[:cut_at], order[cut_at:])]


def _beside(
    ends: Mapping[str, Point], columns: Sequence[Sequence[str]], edges: Sequence[float], tall: float
) -> dict[str, Placed]:
    """The words of both columns beside their places, in an order in which no two leaders of a column cross."""
    found: dict[str, Placed] = {}
    for right, names in enumerate(columns):
        order, size = list(names), len(names)
        for _ in range(size * size + 1):
            high = _heights([ends[name][1] for name in order], tall)
            at = zip(order, high, strict=True)
            made = {name: _word(name, y, ends[name], edges[right], bool(right)) for name, y in at}
            crossed = next(
                (i for i in range(size - 1) if _crossing(made[order[i]], made[order[i + 1]])),
                None,
            )
            if crossed is None:
                break
            order[crossed : crossed + 2] = order[crossed + 1], order[crossed]
        found |= made if order else {}
    return found


def _heights(wanted: Sequence[float], tall: float) -> list[float]:
    """Heights of words in a column, as near as they can be to those wanted, each below the one before."""
    low, high = EDGE + ROW / 2, tall - EDGE - ROW / 2
    rising = [max(wanted[: i + 1]) for i in range(len(wanted))]
    made = spread(rising, [ROW] * len(wanted), 0.0)
    made = [max(y, low + i * ROW) for i, y in enumerate(made)]
    return [min(y, high - (len(made) - 1 - i) * ROW) for i, y in enumerate(made)]


def _word(name: str, y: float, end: Point, inner: float, right: bool) -> Placed:
    """A word that begins or ends at the inner edge of its column."""
    sign = 1 if right else -1
    label = Label(name, name, inner + sign * STUB, y, "start" if right else "end", SIZE)
    return Placed(label, (inner + 4 * sign, y), end)


def _crossing(one: Placed, other: Placed) -> bool:
    (a, b), (c, d) = (one.start, one.end), (other.start, other.end)

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


@lru_cache(64)
def place_terms(group: str, wide: float, tall: float) -> tuple[tuple[Pane, ...], dict[str, Placed], float]:
    """The panes of a group's picture, its words beside them, and how tall it gets with all of them."""
    words = words_of(group)
    sides = 2 if wide >= NARROW else 1
    tall = max(tall, ROW * (len(words) + 1) / sides + 2 * EDGE)
    rows = int((tall - 2 * EDGE) / ROW)
    column = max((width(word, SIZE) for word in words), default=0.0) + EDGE + STUB
    panes = _framed(_panes(group), EDGE if sides == 1 else column, wide - column, tall) if words else []
    ends = {name: pane.on_page(term_places()[name].at) for pane in panes for name in pane.words}
    return tuple(panes), _beside(ends, _columns(ends, wide, sides, rows), (column, wide - column), tall), tall


# --- the picture -----------------------------------------------------------------------------------------------------


def picture(group: str, chosen: str = "", wide: float = WIDE, tall: float = TALL) -> Layout:
    """The words of a group on the section, px; the ``chosen`` one lit where it is among them."""
    wide = max(wide, LEAST)
    panes, placed, tall = place_terms(group, wide, tall)
    drawn = scene(words_of(group))
    shapes: list[Shape] = []
    strokes: list[Stroke] = []
    labels: list[Label] = []
    for pane in panes:
        shapes += _frame(pane)
        own = [part for part in drawn.parts if _belongs(part.name, pane)]
        x0, y0, x1, y1 = pane.shown
        parts = [_to_page(part, pane) for part in cut(own, box(x0, y0, x1, y1))]
        if chosen in pane.words:
            lit, heavy = _lit(pane, chosen, parts)
            parts = [part for part in parts if part.name not in term_places()[chosen].parts] + lit
            strokes += heavy
        some, lines = parts_drawing(parts)
        shapes, strokes = shapes + list(some), [*lines, *strokes]
        if pane.heel:
            left, top, right, _ = pane.frame
            fits = [title for title in TITLES[pane.heel] if width(title, SIZE) < right - left - 12]
            labels += [Label(f"detail {pane.heel}", title, left + 6, top + 14, "start", SIZE) for title in fits[:1]]
    for name, (label, start, end) in placed.items():
        strokes.append(Stroke(f"leader {name}", (start, end), "leader"))
        shapes.append(_round(f"end {name}", end, "dot", 2.2))
        if name == chosen:
            shapes.append(_box(label))
        labels.append(label)
    names = ", ".join(placed) or "none of them has a place on it"
    said = f"Lit: {find(chosen).name}: {find(chosen).meaning}" if chosen else ""
    return Layout(
        f"{group}: words on one section of both bays", f"{drawn.description} {group}: {names}. {said}".strip(),
        wide, tall, panes[0].scale if panes else 1.0, (0.0, 0.0), tuple(shapes), tuple(strokes), tuple(labels), SIZE,
    )  # fmt: skip


def group_of(word: str) -> str:
    """The group that a word is shown in.

    >>> group_of("seat"), group_of("baffle")
    ('Rafter', 'Warmth')
    """
    return find(word).group


def targets(group: str, wide: float, tall: float = TALL) -> list[tuple[str, Box, Point]]:
    """Each word's box and place in the picture, as parts of its width and height: what can be pointed at."""
    wide = max(wide, LEAST)
    _, placed, tall = place_terms(group, wide, tall)
    found = []
    for name, (label, _, (x, y)) in placed.items():
        x0, _, x1, _ = label.box
        row = label.y - ROW / 2, label.y + ROW / 2
        found.append((name, ((x0 - 4) / wide, row[0] / tall, (x1 + 4) / wide, row[1] / tall), (x / wide, y / tall)))
    return found


def _belongs(name: str, pane: Pane) -> bool:
    """Whether a part is drawn in a pane: members are in all of them, what a word measures in its own."""
    spot = term_places().get(name)
    return spot is None or spot.kind == "parts" or name in pane.words


def _to_page(part: Shape | Stroke, pane: Pane) -> Shape | Stroke:
    return part._replace(points=tuple(pane.on_page(point) for point in part.points))


def _frame(pane: Pane) -> list[Shape]:
    """The frame of a pane that shows a part of the section."""
    return [rectangle_shape("frame", *pane.frame, "frame")] if pane.heel else []


def _box(label: Label) -> Shape:
    """A box around the chosen word."""
    (x0, _, x1, _), half = label.box, ROW / 2 - 1.5
    return Shape("word", rectangle(x0 - 4, label.y - half, x1 + 4, label.y + half), "chosen area")


def _round(name: str, at: Point, style: str, radius: float) -> Shape:
    turns = [2 * pi * i / 20 for i in range(20)]
    return Shape(name, tuple((at[0] + radius * cos(a), at[1] + radius * sin(a)) for a in turns), style)


def _lit(pane: Pane, name: str, parts: Sequence[Shape | Stroke]) -> tuple[list[Shape | Stroke], list[Stroke]]:
    """The chosen place: outlines filled and thick, lines thick on a glow, measures with a tick at each end."""
    spot = term_places()[name]
    points = tuple(pane.on_page(point) for point in spot.points)
    own = [part for part in parts if part.name in spot.parts]
    outlines: list[Shape | Stroke] = [part._replace(style="chosen area") for part in own if isinstance(part, Shape)]
    lines = [part._replace(style="chosen") for part in own if isinstance(part, Stroke)]
    if spot.kind == "area":
        outlines.append(Shape(name, points, "chosen area"))
    elif spot.kind == "point":
        outlines.append(_round(name, points[0], "chosen area", 8))
    elif points:
        x0, y0, x1, y1 = pane.shown
        seen = cut([Stroke(name, spot.points, "chosen")], box(x0, y0, x1, y1))
        lines += [part for part in (_to_page(part, pane) for part in seen) if isinstance(part, Stroke)]
    glow = [line._replace(style="aglow") for line in lines]
    if spot.kind in MEASURES or spot.kind == "arrow":
        lines += _ends(points, spot.kind == "arrow")
    return outlines, [*glow, *lines]


def _ends(points: Sequence[Point], arrow: bool) -> list[Stroke]:
    """A tick across each end of a measure; of an arrow its head."""
    (xa, ya), (xb, yb) = points
    long = hypot(xb - xa, yb - ya) or 1.0
    ux, uy = (xb - xa) / long, (yb - ya) / long
    if arrow:
        back, side = 10.0, 6.0
        head = [(xb - back * ux - sign * side * uy, yb - back * uy + sign * side * ux) for sign in (1, -1)]
        return [Stroke("head", (head[0], (xb, yb), head[1]), "chosen")]
    return [Stroke("tick", ((x - 8 * uy, y + 8 * ux), (x + 8 * uy, y - 8 * ux)), "mark") for x, y in points]


