"""What moves between two states of a drawing, and a round glass over it where the drawing's own scale would hide it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from .placing import edges, short
from .scene import Label, Layout, Point, Scene, Shape, Stroke, cut, width

CORNERS = 32  # of the glass's outline
SMALL = 0.25  # a change that is hard to see on any drawing, in
PLAIN = 0.5  # a change that the eye finds without a glass, in text heights
LONG = 24.0  # a side that may be looked at in its middle, in
RADIUS, STRIP = 3.6, 7.8  # of the glass, and height of the strip that it stands in, in text heights
SEEN = 0.5  # how far a change is drawn in the glass, at the most, in radii
TIMES = (96, 64, 48, 32, 24, 16, 12, 8, 6, 4)  # how many times as large it shows things
MOVED = "moved"  # the style of what stood there before


class Shift(NamedTuple):
    """How far the outlines of a drawing move at the most, in, and a point that moves so far, where it comes to."""

    far: float
    at: Point


def _apart(p: Point, a: Point, b: Point) -> float:
    """How far a point stands from the line between two others."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = dx * dx + dy * dy
    part = min(1.0, max(0.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long)) if long else 0.0
    return math.hypot(p[0] - a[0] - part * dx, p[1] - a[1] - part * dy)


def _middle(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def change_of(before: Scene, after: Scene) -> Shift | None:
    """The largest change of what scenes show, by name; None where nothing moves, or what comes new is seen anyway.

    Of corners, and middles of long sides, that move alike it is the one nearest to the middle of the lower edge.
    """
    lines: dict[str, list[tuple[Point, Point]]] = {}
    for part in before.parts:
        lines.setdefault(part.name, []).extend(edges(part))
    if any(part.name not in lines for part in after.parts):
        return None
    moves = [
        Shift(min(_apart(p, *line) for line in lines[part.name]), p)
        for part in after.parts if part.style != "guide"
        for a, b in edges(part) for p in (a, b, *([_middle(a, b)] if math.dist(a, b) > LONG else []))
    ]  # fmt: skip
    x0, y0, x1, _ = after.bounds()
    below = (x0 + x1) / 2, y0
    most = max((one.far for one in moves), default=0.0)
    if most < 1e-6:
        return None
    return min((one for one in moves if one.far > 0.98 * most), key=lambda one: math.dist(one.at, below))


class Glass(NamedTuple):
    """A glass over a point of a scene, in, that shows it so many times as large as the drawing does."""

    focus: Point
    times: int


def glass_for(change: Shift | None, scale: float, size: float) -> Glass | None:
    """The glass for a change on a drawing of this scale, px an inch, with letters of this size; None: it is plain.

    >>> glass_for(Shift(0.0625, (0.0, 8.0)), 2.0, 21.4)
    Glass(focus=(0.0, 8.0), times=96)
    >>> glass_for(Shift(6.0, (0.0, 8.0)), 4.0, 21.4)
    """
    if change is None or (change.far > SMALL and change.far * scale > PLAIN * size):
        return None
    most = SEEN * RADIUS * size / (change.far * scale)
    return next((Glass(change.at, times) for times in TIMES if times <= most), None)


def lens(
    parts: Iterable[Shape | Stroke], focus: Point, centre: Point, times: float, radius: float
) -> list[Shape | Stroke]:
    """A round lens over ``focus``, drawn at ``centre``: these parts at so many times their size, cut to its outline."""

    def magnify(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple([(centre[0] + (x - focus[0]) * times, centre[1] + (y - focus[1]) * times) for x, y in points])

    turns = [2 * math.pi * i / CORNERS for i in range(CORNERS)]
    planes = [(math.cos(a), math.sin(a), radius + centre[0] * math.cos(a) + centre[1] * math.sin(a)) for a in turns]
    rim = radius / math.cos(math.pi / CORNERS)
    corners = [a + math.pi / CORNERS for a in turns]
    around = tuple([(centre[0] + rim * math.cos(a), centre[1] + rim * math.sin(a)) for a in corners])
    larger = [part._replace(name=f"{part.name} magnified", points=magnify(part.points)) for part in parts]
    return [Shape("lens", around, "lens"), *cut(larger, planes)]


def with_glass(placed: Layout, scene: Scene, past: Scene | None, glass: Glass, y: float, sides: Point) -> Layout:
    """The placed layout of a scene with a glass whose middle stands at height ``y``, and a line to what it shows.

    Glass and words stand between both ``sides``, as near to that as may be, all in units of the layout.  What stood
    there in the ``past`` scene is dashed.
    """
    size, scale, (x0, y0) = placed.size, placed.scale, placed.origin
    radius = RADIUS * size
    words = [f"{glass.times} times as large", *(["dashed: before"] if past else [])]
    room = radius + 0.6 * size + width(f"{TIMES[0]} times as large", size)

    def there(points: Iterable[Point]) -> tuple[Point, ...]:
        return tuple([(x0 + x * scale, y0 - y * scale) for x, y in points])

    (focus,) = there((glass.focus,))
    middle = max(min(focus[0], sides[1] - room), sides[0] + radius), y
    parts: list[Shape | Stroke] = [part._replace(points=there(part.points)) for part in scene.parts]
    kept = set(scene.parts)
    for part in past.parts if past else ():
        if part not in kept and part.style != "guide":
            around = (*part.points, part.points[0]) if isinstance(part, Shape) else part.points
            parts.append(Stroke(part.name, there(around), MOVED))
    seen = lens(parts, focus, middle, glass.times, radius)
    toward = math.atan2(focus[1] - middle[1], focus[0] - middle[0])
    rim = middle[0] + radius * math.cos(toward), middle[1] + radius * math.sin(toward)
    leader = short(Stroke("glass", (focus, rim), "leader"), [one.box for one in placed.labels])
    x, top = middle[0] + radius + 0.6 * size, y - 0.65 * size * (len(words) - 1)
    labels = [Label("glass", text, x, top + 1.3 * size * i, "start", size) for i, text in enumerate(words)]
    return replace(
        placed,
        shapes=(*placed.shapes, *[one for one in seen if isinstance(one, Shape)]),
        strokes=(
            *placed.strokes, *leader,
            *[one for one in seen if isinstance(one, Stroke)],
        ),
        labels=(*placed.labels, *labels),
    )  # fmt: skip
