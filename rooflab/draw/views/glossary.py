"""The glossary drawn: one section of both bays, a number at every word that has a place on it.

Numbers stand in rings near what they mean, each with a leader; none lies on another.  A chosen word is drawn thick and
written out, so that it shows without colour too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from math import cos, hypot, pi, sin

from rooflab.draw.layout import layout
from rooflab.draw.members import chord_outlines, parts_drawing, rafter_parts, ridge_board, truss_parts
from rooflab.draw.placing import edges, overlap, short, touches
from rooflab.draw.scene import Label, Layout, Point, Scene, Shape, Stroke, cut, width
from rooflab.lessons.glossary import NUMBERS, TERMS, find
from rooflab.lessons.glossary_places import LOW, MEASURES, TermSpot, example_house, term_spots

WIDE, TALL = 836.0, 448.0  # of the picture, in units of the page
RADIUS, SIZE = 9.5, 12.0  # of a ring and of its number
RINGS = [RADIUS + gap for gap in (5, 10, 16, 24, 34, 46, 60, 76, 94)]
TURNS = 16
Box = tuple[float, float, float, float]


@lru_cache(1)
def term_places() -> dict[str, TermSpot]:
    """The place of every term that has one, by the term's name."""
    found = term_spots(*example_house())
    return {term.name: found[term.spot] for term in TERMS if term.spot}


def scene() -> Scene:
    """The section without its numbers: members, measures as thin lines, what does not belong to it faintly."""
    rafters, scissor = example_house()
    parts = cut([*rafter_parts(rafters), *ridge_board(rafters), *truss_parts(scissor)], [(0.0, -1.0, LOW)])
    wedge = chord_outlines(scissor, "right")[2]
    parts = [part for part in parts if part.name != "wedge"] + [Shape("wedge", wedge, "wedge")]
    for name, spot in term_places().items():
        if spot.kind == "area" and spot.faint:
            parts.append(Shape(name, spot.points, "offcut"))
        elif spot.kind in MEASURES or (spot.kind in ("line", "arrow") and spot.faint):
            parts.append(Stroke(name, spot.points, "guide" if spot.faint else "dim"))
    shapes, strokes = parts_drawing(parts)
    return Scene(
        "One section of both bays, with a number at each word",
        "A narrow house in section: rafter bay on the left, scissor bay on the right, meeting at the ridge. "
        + " ".join(f"{number}: {name}." for name, number in NUMBERS.items()),
        shapes,
        strokes,
    )


@lru_cache(4)
def place_terms(wide: float, tall: float) -> tuple[Layout, dict[str, Point]]:
    """The section in a frame, and the centre of each term's ring."""
    drawing = scene()
    x0, y0, x1, y1 = drawing.bounds()
    scale = min((wide - 70) / (x1 - x0), (tall - 50) / (y1 - y0))
    plain = layout(drawing, scale, SIZE)
    moved = replace(plain.shift((wide - plain.width) / 2, (tall - plain.height) / 2), width=wide, height=tall)
    return moved, _rings(moved, {name: on_page(moved, [spot.at])[0] for name, spot in term_places().items()})


def on_page(page: Layout, points: Sequence[Point]) -> tuple[Point, ...]:
    """Model inches as units of the page."""
    (x0, y0), scale = page.origin, page.scale
    return tuple((x0 + x * scale, y0 - y * scale) for x, y in points)


def _term_box(at: Point, half: float = RADIUS + 1) -> Box:
    return at[0] - half, at[1] - half, at[0] + half, at[1] + half


def _rings(page: Layout, ends: dict[str, Point]) -> dict[str, Point]:
    """Where the rings stand: each as near as it can be, the most crowded first; then each once more."""
    lines = [edge for part in page.parts if part.style not in ("dim", "guide") for edge in edges(part)]
    crowd = {name: sum(hypot(x - a, y - b) < 40 for a, b in ends.values()) for name, (x, y) in ends.items()}
    found: dict[str, Point] = {}
    order = sorted(ends, key=lambda name: (-crowd[name], NUMBERS[name]))
    spread = {name: _choices(page, ends[name], lines, list(ends.values())) for name in ends}
    for _ in range(3):
        for name in order:
            found.pop(name, None)
            found[name] = _best(ends[name], spread[name], found, ends)
    return found


def _choices(
    page: Layout, end: Point, lines: Sequence[tuple[Point, Point]], ends: Sequence[Point]
) -> list[tuple[float, Point]]:
    """Places for a ring around what it points to, with what is against each, cheapest first."""
    near = [line for line in lines if touches(_term_box(end, RINGS[-1] + RADIUS), *line)]
    choices = []
    for ring in RINGS:
        for turn in range(TURNS):
            at = end[0] + ring * cos(2 * pi * turn / TURNS), end[1] - ring * sin(2 * pi * turn / TURNS)
            if not (RADIUS + 2 < at[0] < page.width - RADIUS - 2 and RADIUS + 2 < at[1] < page.height - RADIUS - 2):
                continue
            own = _term_box(at)
            cost = ring + 9.0 * sum(touches(own, *line) for line in near)
            cost += 25.0 * sum(hypot(at[0] - x, at[1] - y) < RADIUS + 3 for x, y in ends)
            choices.append((cost, at))
    return sorted(choices)


def _best(end: Point, choices: Sequence[tuple[float, Point]], found: dict[str, Point], ends: dict[str, Point]) -> Point:
    best, least = choices[0][1], 1e9
    for cost, at in choices:
        if cost >= least:
            break
        own = _term_box(at)
        if any(overlap(own, _term_box(other)) for other in found.values()):
            continue
        for name, other in found.items():
            if touches(_term_box(other), end, at) or touches(own, ends[name], other):
                cost += 60
            if _cross(end, at, ends[name], other):
                cost += 30
        if cost < least:
            best, least = at, cost
    return best


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def _round(name: str, at: Point, style: str, radius: float) -> Shape:
    turns = [2 * pi * i / 20 for i in range(20)]
    return Shape(name, tuple((at[0] + radius * cos(a), at[1] + radius * sin(a)) for a in turns), style)


def picture(chosen: str = "", wide: float = WIDE, tall: float = TALL) -> Layout:
    """The section with all its numbers; the ``chosen`` word drawn thick and written out."""
    page, rings = place_terms(wide, tall)
    ends = {name: on_page(page, [term_places()[name].at])[0] for name in rings}
    word = _term_mark(chosen, rings[chosen], ends[chosen], wide) if chosen in rings else None
    shown = {
        name: at for name, at in rings.items() if name == chosen or not (word and overlap(_term_box(at), word.box))
    }
    shapes, labels = list(page.shapes), list(page.labels)
    strokes: list[Stroke] = []
    holes = [_term_box(at, RADIUS) for at in shown.values()] + ([word.box] if word else [])
    for stroke in page.strokes:
        strokes += short(stroke, holes) if len(stroke.points) == 2 else (stroke,)
    if word:
        shapes, thick = _highlight(page, chosen, shapes)
        strokes += thick
        x0, y0, x1, y1 = word.box
        shapes.append(Shape("word", ((x0 - 4, y0 - 3), (x1 + 4, y0 - 3), (x1 + 4, y1 + 3), (x0 - 4, y1 + 3)), "ring"))
        labels.append(word)
    for name, at in shown.items():
        end = ends[name]
        far = hypot(at[0] - end[0], at[1] - end[1])
        rim = at[0] + (end[0] - at[0]) * RADIUS / far, at[1] + (end[1] - at[1]) * RADIUS / far
        strokes += short(Stroke(f"leader {name}", (rim, end), "leader"), [word.box] if word and name != chosen else [])
        shapes += [_round(f"end {name}", end, "dot", 1.6), _round(f"ring {name}", at, "ring", RADIUS)]
        labels.append(Label(name, str(NUMBERS[name]), at[0], at[1], "middle", SIZE))
    said = f" Marked: {find(chosen).name}: {find(chosen).meaning}" if chosen else ""
    drawn_now = replace(page, shapes=tuple(shapes), strokes=tuple(strokes), labels=tuple(labels))
    return replace(drawn_now, description=page.description + said)


def _term_mark(name: str, at: Point, end: Point, wide: float) -> Label:
    """The chosen word beside its ring, away from what it means where there is room."""
    size = 1.35 * SIZE
    half, right = width(name, size) / 2 + RADIUS + 6, at[0] >= end[0]
    x = at[0] + (half if right else -half)
    if right and at[0] + 2 * half > wide:
        x = min(at[0], end[0] - 6) - half
    elif not right and at[0] < 2 * half:
        x = max(at[0], end[0] + 6) + half
    return Label(f"word {name}", name, x, at[1], "middle", size)


def _highlight(page: Layout, name: str, shapes: list[Shape]) -> tuple[list[Shape], list[Stroke]]:
    """The chosen place over everything else: outlines and lines drawn thick, measures with a tick at each end."""
    spot = term_places()[name]
    points = on_page(page, spot.points)
    own = [shape for shape in shapes if shape.name in spot.parts]
    rest = [shape for shape in shapes if shape not in own]
    outlines = [shape._replace(style="chosen area") for shape in own]
    lines = [stroke._replace(style="chosen") for stroke in page.strokes if stroke.name in spot.parts]
    if spot.kind == "area":
        outlines.append(Shape(name, points, "chosen area"))
    elif spot.kind == "point":
        outlines.append(_round(name, points[0], "chosen area", 6))
    elif points:
        lines.append(Stroke(name, points, "chosen"))
    if spot.kind in MEASURES or spot.kind == "arrow":
        lines += _ends(points, spot.kind == "arrow")
    return rest + outlines, lines


def _ends(points: Sequence[Point], arrow: bool) -> list[Stroke]:
    """A tick across each end of a measure; of an arrow its head."""
    (xa, ya), (xb, yb) = points
    long = hypot(xb - xa, yb - ya) or 1.0
    ux, uy = (xb - xa) / long, (yb - ya) / long
    if arrow:
        back, side = 8.0, 5.0
        head = [(xb - back * ux - sign * side * uy, yb - back * uy + sign * side * ux) for sign in (1, -1)]
        return [Stroke("head", (head[0], (xb, yb), head[1]), "chosen")]
    return [Stroke("tick", ((x - 6 * uy, y + 6 * ux), (x + 6 * uy, y - 6 * ux)), "mark") for x, y in points]
