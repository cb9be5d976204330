"""Prisms along the ridge seen in parallel from anywhere: which faces show, and in which order they are painted.

x runs across the house, y up, z along the ridge.  A *stretch* of the house holds prisms whose outlines in section do
not overlap.  Stretches follow each other along the ridge, so the far ones are painted first.  In a stretch convex
outlines are painted in the order in which they cover each other along the view as seen in section: disjoint convex
shapes can always be taken away in one direction one by one, so there always is such an order.  What has the same
outline covers itself by its place along the ridge.  So each pair is right, and nothing is cut.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import cos, radians, sin
from typing import NamedTuple

from .scene import Point, Shape

HAIR = 1e-6  # in: less than that is no overlap
Point3 = tuple[float, float, float]
Span = tuple[float, float]


class Piece(NamedTuple):
    """A convex outline in section, counterclockwise, or a line of two points that has no sides to see.

    ``real`` says which of its edges are edges of the member.
    """

    points: tuple[Point, ...]
    real: tuple[bool, ...]


class Prism(NamedTuple):
    """Members of one outline: where each begins and ends along the ridge, in, and whether its ends are cut there."""

    name: str
    style: str
    piece: Piece
    spans: tuple[Span, ...]
    ends: tuple[bool, bool] = (True, True)


class Stretch(NamedTuple):
    """A part of the house along the ridge, in, and what stands there."""

    start: float
    end: float
    prisms: tuple[Prism, ...]


@dataclass(frozen=True)
class View:
    """Where the house is seen from: ``turn`` degrees around it from the left gable end toward the right wall, ``up``
    degrees above the level.

    >>> View(0, 0).toward, View(0, 90).toward
    ((0.0, 0.0, -1.0), (0.0, 1.0, 0.0))
    """

    turn: float
    up: float
    about: Point3 = (0.0, 0.0, 0.0)  # what stays where it is when the house is turned: the middle of the picture

    @cached_property
    def toward(self) -> Point3:
        """The direction from the house to who looks at it, of length 1."""
        a, e = radians(self.turn), radians(self.up)
        x, y, z = sin(a) * cos(e), sin(e), -cos(a) * cos(e)
        return round(x, 15) + 0.0, round(y, 15) + 0.0, round(z, 15) + 0.0

    @cached_property
    def axes(self) -> tuple[Point3, Point3]:
        """What lies to the right in the picture, and what lies up in it."""
        a, e = radians(self.turn), radians(self.up)
        return (cos(a), 0.0, sin(a)), (-sin(a) * sin(e), cos(e), cos(a) * sin(e))

    def at(self, x: float, y: float, z: float) -> Point:
        """Where a point of the house lies in the picture, in."""
        ((rx, _, rz), (ux, uy, uz)), (x0, y0, z0) = self.axes, self.about
        return rx * (x - x0) + rz * (z - z0), ux * (x - x0) + uy * (y - y0) + uz * (z - z0)


# --- outlines --------------------------------------------------------------------------------------------------------


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _tidy(points: Sequence[Point]) -> list[Point]:
    """An outline counterclockwise, without doubled points and points on a straight edge."""
    kept = [p for i, p in enumerate(points) if max(abs(p[0] - points[i - 1][0]), abs(p[1] - points[i - 1][1])) > HAIR]
    if sum(_turn((0.0, 0.0), p, q) for p, q in zip(kept, (*kept[1:], *kept[:1]), strict=True)) < 0:
        kept.reverse()
    return [p for i, p in enumerate(kept) if abs(_turn(kept[i - 1], p, kept[(i + 1) % len(kept)])) > HAIR]


@lru_cache(512)
def convex_pieces(outline: tuple[Point, ...]) -> tuple[Piece, ...]:
    """A simple outline in convex pieces that cover it without overlap; none for one without area.

    >>> [len(one.points) for one in convex_pieces(((0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4)))]
    [4, 4]
    """
    points = _tidy(outline)
    if len(points) < 3:
        return ()
    edges = set(zip(points, (*points[1:], *points[:1]), strict=True))
    pieces = [list(one) for one in _triangles(points)]
    while merged := _merge(pieces):
        pieces = merged
    return tuple(
        Piece(tuple(one), tuple((p, q) in edges for p, q in zip(one, (*one[1:], *one[:1]), strict=True)))
        for one in pieces
    )


def _triangles(points: Sequence[Point]) -> Iterator[tuple[Point, Point, Point]]:
    """A simple counterclockwise outline in triangles, ear by ear."""
    left = list(points)
    while len(left) > 3:
        ear = next(i for i in range(len(left)) if _is_ear(left, i))
        yield left[ear - 1], left[ear], left[(ear + 1) % len(left)]
        del left[ear]
    yield left[0], left[1], left[2]


def _is_ear(points: Sequence[Point], i: int) -> bool:
    a, b, c = points[i - 1], points[i], points[(i + 1) % len(points)]
    if _turn(a, b, c) <= 0:
        return False
    others = (p for p in points if p not in (a, b, c))
    return not any(_turn(a, b, p) >= 0 and _turn(b, c, p) >= 0 and _turn(c, a, p) >= 0 for p in others)


def _merge(pieces: Sequence[list[Point]]) -> list[list[Point]]:
    """The pieces with two of them made one where that stays convex; none where no two can be."""
    for i, one in enumerate(pieces):
        for j, other in enumerate(pieces[:i]):
            for k, p in enumerate(one):
                q = one[(k + 1) % len(one)]
                if p not in other or q not in other or other[(other.index(q) + 1) % len(other)] != p:
                    continue
                start = other.index(p)
                made = [*one[k + 1 :], *one[: k + 1], *(other[start + 1 :] + other[:start])[: len(other) - 2]]
                if all(_turn(made[m - 2], made[m - 1], made[m]) > -HAIR for m in range(len(made))):
                    return [made, *(piece for n, piece in enumerate(pieces) if n not in (i, j))]
    return []


# --- order -----------------------------------------------------------------------------------------------------------


def _side(points: Sequence[Point], x: float, y: float) -> Span:
    """The least and the greatest of x and y along a direction."""
    ways = [px * x + py * y for px, py in points]
    return min(ways), max(ways)


def _middle(points: Sequence[Point], across: float, d: Point) -> float:
    """Where the middle of a convex outline lies along ``d`` on the line that stands ``across`` it."""
    found = []
    for (x0, y0), (x1, y1) in zip(points, (*points[1:], *points[:1]), strict=True):
        a0, a1 = -x0 * d[1] + y0 * d[0] - across, -x1 * d[1] + y1 * d[0] - across
        if (a0 <= 0 <= a1 or a1 <= 0 <= a0) and a0 != a1:
            t = a0 / (a0 - a1)
            found.append((x0 + t * (x1 - x0)) * d[0] + (y0 + t * (y1 - y0)) * d[1])
    return (min(found) + max(found)) / 2


@lru_cache(256)
def painted(outlines: tuple[tuple[Point, ...], ...], d: Point) -> tuple[int, ...]:
    """The order in which disjoint convex outlines are painted for who looks at them from ``d``: the far ones first."""
    if abs(d[0]) < HAIR and abs(d[1]) < HAIR:  # along the ridge: none covers another
        return tuple(range(len(outlines)))
    shadows = [_side(points, -d[1], d[0]) for points in outlines]
    over: list[set[int]] = [set() for _ in outlines]  # what each covers
    for i, one in enumerate(outlines):
        for j in range(i):
            low, high = max(shadows[i][0], shadows[j][0]), min(shadows[i][1], shadows[j][1])
            if high - low > HAIR:
                across = (low + high) / 2
                front, back = (i, j) if _middle(one, across, d) > _middle(outlines[j], across, d) else (j, i)
                over[front].add(back)
    order: list[int] = []
    left = set(range(len(outlines)))
    while left:
        free = min(left, key=lambda i: (len(over[i] & left), i))
        order.append(free)
        left.remove(free)
    return tuple(order)


# --- faces -----------------------------------------------------------------------------------------------------------


def in_order(stretch: Stretch, view: View) -> Iterator[tuple[Prism, Span]]:
    """The members of a stretch in the order in which they are painted."""
    x, y, z = view.toward
    first = 1 if z > 0 else -1
    prisms = stretch.prisms
    for i in painted(tuple(one.piece.points for one in prisms), (round(x, 9), round(y, 9))):
        yield from ((prisms[i], span) for span in sorted(prisms[i].spans, key=lambda one: first * one[0]))


def paint(stretches: Sequence[Stretch], view: View) -> list[Shape]:
    """The faces that look this way, each where it is painted over what lies behind it, in inches of the picture.

    A face with an edge that is no edge of its member is drawn without outline, its real edges as lines of two points.
    """
    first = 1 if view.toward[2] > 0 else -1
    return [
        face
        for stretch in sorted(stretches, key=lambda one: first * one.start)
        for prism, span in in_order(stretch, view)
        for face in faces(prism, span, view)
    ]


def faces(prism: Prism, span: Span, view: View) -> Iterator[Shape]:
    """The visible faces of one member."""
    nx, ny, nz = view.toward
    (points, real), (z0, z1), name, style = prism.piece, span, prism.name, prism.style
    near, far = ([view.at(x, y, z) for x, y in points] for z in (z0, z1))
    if len(points) == 2:
        yield Shape(name, tuple(near), style)
        return
    whole = all(real)
    hidden = f"{style} face"
    count = len(points)
    for i, ((x0, y0), (x1, y1)) in enumerate(zip(points, (*points[1:], *points[:1]), strict=True)):
        if not real[i] or (y1 - y0) * nx - (x1 - x0) * ny <= HAIR:
            continue
        j = (i + 1) % count
        quad = (near[i], near[j], far[j], far[i])
        if all(prism.ends):
            yield Shape(name, quad, style)
            continue
        yield Shape(name, quad, hidden)
        yield Shape(name, (near[i], far[i]), style)
        yield Shape(name, (near[j], far[j]), style)
        for cut, edge in zip(prism.ends, (near, far), strict=True):
            if cut:
                yield Shape(name, (edge[i], edge[j]), style)
    for cut, cap, away in ((prism.ends[0], near, -nz), (prism.ends[1], far, nz)):
        if not cut or away <= HAIR:
            continue
        if whole:
            yield Shape(name, tuple(cap), style)
            continue
        yield Shape(name, tuple(cap), hidden)
        yield from (Shape(name, (cap[i], cap[(i + 1) % count]), style) for i in range(count) if real[i])
