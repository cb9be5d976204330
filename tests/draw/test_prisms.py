"""Prisms along the ridge: what is seen of them, and their outlines, against other ways to find the same.

What is hidden is checked against a depth buffer (``tests.tools.solids``): the same solids drawn pixel by pixel without
any order, turned by a matrix of its own.  Its pixels and those of the painted faces have the same middles, so both
pictures agree pixel by pixel; a wrong order, a face that is missing and an end left open differ in many.  Areas and
overlaps are measured by shapely.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations
from math import cos, pi, sin, sqrt
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from rooflab.draw import prisms
from rooflab.draw.layout import fit
from rooflab.draw.members import chord_outlines, rafter_outline
from rooflab.draw.prisms import Stretch, View, convex_pieces, paint, painted
from rooflab.draw.scene import Point, Shape, svg
from rooflab.draw.views.house import (
    COVERS,
    GYPSUM,
    VIEWS,
    RoundHouse,
    house_in_round,
    house_of_bays,
    house_scene,
    stretches,
)
from rooflab.house.bays import Jog, RafterBay, ScissorBay
from rooflab.house.planes import Gable
from rooflab.job.jobfile import example
from rooflab.job.schedule import THICK, TrussType
from tests.tools.depth import QUICK
from tests.tools.jobs import corners
from tests.tools.solids import Seen, Solids, camera
from tests.tools.strategies import bays, bounded, houses, jogs, legal, rafter_bay, scissor_bay, value

Direction = tuple[float, float]
NAMED: dict[str, Direction] = {name: (view[0], view[1]) for name, (_, *view) in VIEWS.items()}
ON_EDGE = 2  # pixels of a picture that may differ: those whose middle lies on an edge, which falls to either side
DIRECTIONS = st.tuples(st.floats(-180, 180), st.floats(-90, 90))


@st.composite
def round_houses(draw: Any) -> RoundHouse:
    """Any house in the round: its ends, heels, lumber and walls as everywhere in the tests, its rooms short and few."""
    given = draw(houses())
    rafters = legal(rafter_bay, given)
    scissor = legal(scissor_bay, given, draw(st.one_of(st.none(), value("heel"))))
    types = []
    for mark in "ABC"[: draw(st.integers(0, 3))]:
        jog = Jog(**draw(jogs(scissor))) if draw(st.booleans()) else None
        spacing = draw(st.sampled_from((12.0, 16.0, 19.2, 24.0, 47.3)))
        kind = TrussType(mark, draw(st.floats(THICK, 200)), spacing, jog=jog)
        legal(kind.bay, scissor)
        types.append(kind)
    return house_of_bays(rafters, scissor, types, draw(st.sampled_from((6.0, 12.0, 16.0, 24.0, 48.0))))


def parts(found: RoundHouse, on: str) -> list[Stretch]:
    return [stretch for _, stretch in stretches(found, on)]


def differences(seen: Seen, shapes: Sequence[Shape]) -> dict[str, int]:
    """How many pixels show another member than the nearest one, by what is seen there and what was painted."""
    nearest, drawn = seen.nearest(), seen.painted(shapes)
    wrong = nearest != drawn
    names = [*(f"{name} at {z0:.4g}" for name, z0, _ in seen.solids.members), "nothing"]
    pairs = zip(nearest[wrong].tolist(), drawn[wrong].tolist(), strict=True)
    return Counter(f"{names[one]} is seen, {names[other]} was painted" for one, other in pairs)


def check(found: RoundHouse, on: str, directions: Sequence[Direction]) -> None:
    solids = Solids(parts(found, on))
    for turn, up in directions:
        wrong = differences(Seen(solids, turn, up), paint(parts(found, on), View(turn, up)))
        assert sum(wrong.values()) <= ON_EDGE, (on, turn, up, wrong)


# --- what is hidden --------------------------------------------------------------------------------------------------


@bounded(300)
@given(round_houses(), st.sampled_from(sorted(COVERS)), st.sampled_from(sorted(NAMED)))
def test_what_is_nearest_is_seen_in_the_named_views(found: RoundHouse, on: str, name: str) -> None:
    check(found, on, [NAMED[name]] if QUICK else [*NAMED.values()])


@bounded(100)
@given(round_houses(), st.sampled_from(sorted(COVERS)), DIRECTIONS)
def test_what_is_nearest_is_seen_from_anywhere(found: RoundHouse, on: str, direction: Direction) -> None:
    check(found, on, [direction])


@pytest.mark.parametrize("number", range(len(corners())))
def test_what_is_nearest_is_seen_in_the_corner_cases(number: int) -> None:
    for on, direction in zip(COVERS, NAMED.values(), strict=False):
        check(house_in_round(corners()[number]), on, [direction])


ALONG = [(turn, up) for turn in (-180, -90, 0, 90, 180) for up in (-90, 0, 90)]


@pytest.mark.parametrize("on", COVERS)
def test_what_is_nearest_is_seen_along_every_axis(on: str) -> None:
    """Looked at square to its faces, where many of them stand on edge."""
    check(house_in_round(example()), on, ALONG)


def swap(order: tuple[int, ...]) -> tuple[int, ...]:
    return (*order[-1:], *order[1:-1], *order[:1])


def backward(order: tuple[int, ...]) -> tuple[int, ...]:
    return order[::-1]


@pytest.mark.parametrize("change", [swap, backward])
@pytest.mark.parametrize("name", ["corner", "below"])
def test_a_wrong_order_is_found(name: str, change: Callable[..., Any], monkeypatch: pytest.MonkeyPatch) -> None:
    """The first and the last prism of each stretch change places, or all of them do."""
    monkeypatch.setattr(prisms, "painted", lambda outlines, d: change(painted(outlines, d)))
    with pytest.raises(AssertionError, match="is seen"):
        check(house_in_round(example()), "frame", [NAMED[name]])


@pytest.mark.parametrize(
    ("behind", "before"),
    [
        ("right wall", "left wall"),
        ("right bottom chord", "left bottom chord"),
        ("left wall plate", "left top chord"),
        ("left bottom chord", "left top chord"),
    ],
)
def test_two_prisms_in_the_wrong_order_are_found(behind: str, before: str) -> None:
    """From the left, nearly level, by hand: what stands further left or higher in section is painted later."""
    turn, up = -60.0, 2.0
    longest = max(parts(house_in_round(example()), "frame"), key=lambda one: one.end - one.start)
    stretch = longest._replace(prisms=tuple(one._replace(ends=(True, True)) for one in longest.prisms))
    view, seen = View(turn, up), Seen(Solids([stretch]), turn, up)
    order = painted(tuple(one.piece.points for one in stretch.prisms), view.toward[:2])
    rows = [(stretch.prisms[i].name, paint([stretch._replace(prisms=(stretch.prisms[i],))], view)) for i in order]
    places = {name: place for place, (name, _) in enumerate(rows)}
    assert places[behind] < places[before]
    moved = [*rows]
    moved.insert(places[before], moved.pop(places[behind]))
    right, wrong = ([shape for _, shapes in some for shape in shapes] for some in (rows, moved))
    assert sum(differences(seen, right).values()) <= ON_EDGE < 50 < sum(differences(seen, wrong).values())


@pytest.mark.parametrize("lost", ["face", "end", "stretches"])
def test_other_faults_are_found(lost: str) -> None:
    """The last face left away, the ends of all that runs along left open, and the near stretches painted first."""
    found, (turn, up) = parts(house_in_round(example()), "ceiling"), NAMED["corner"]
    seen, view = Seen(Solids(found), turn, up), View(turn, up)
    shapes = paint(found, view)
    if lost == "face":
        last = max(i for i, shape in enumerate(shapes) if len(shape.points) > 2)
        shapes = shapes[:last]
    elif lost == "end":
        open_ended = [
            stretch._replace(prisms=tuple(one._replace(ends=(False, False)) for one in stretch.prisms))
            for stretch in found
        ]
        shapes = paint(open_ended, view)
    else:
        shapes = [shape for stretch in found for shape in paint([stretch], view)]
    assert sum(differences(seen, shapes).values()) > 100


@bounded(300)
@given(round_houses(), st.sampled_from(sorted(COVERS)))
def test_outlines_of_a_stretch_do_not_overlap(found: RoundHouse, on: str) -> None:
    """Which the order rests on: each two have no area in common, and each member stands inside its stretch."""
    rows = parts(found, on)
    assert rows[0].start == 0 and rows[-1].end == pytest.approx(found.length)
    for one, other in zip(rows, rows[1:], strict=False):
        assert one.start < one.end == other.start
    for stretch in rows:
        outlines = [(one.name, Polygon(one.piece.points)) for one in stretch.prisms if one.name != "web"]
        for (name, one), (other_name, other) in combinations(outlines, 2):
            assert one.intersection(other).area < 1e-6, (name, other_name)
        for prism in stretch.prisms:
            ends = [stretch.start, *(z for span in prism.spans for z in span), stretch.end]
            assert ends == sorted(ends) and all(z0 < z1 or prism.name == "web" for z0, z1 in prism.spans), prism


# --- the order of outlines in section ---------------------------------------------------------------------------------


def scattered(chance: Random) -> list[tuple[Point, ...]]:
    """Disjoint convex outlines: points around random middles, kept where they meet none that is there."""
    made: list[Polygon] = []
    for _ in range(60):
        x, y, size = chance.uniform(0, 40), chance.uniform(0, 40), chance.uniform(1, 16)
        flat, turn = chance.uniform(0.05, 1), chance.uniform(0, pi)
        around = [chance.uniform(0, 2 * pi) for _ in range(6)]
        spots = [(size * cos(a), flat * size * sin(a)) for a in around]
        hull = Polygon([(x + u * cos(turn) - v * sin(turn), y + u * sin(turn) + v * cos(turn)) for u, v in spots])
        hull = hull.convex_hull
        if hull.area > 0.1 and not any(hull.intersects(one) for one in made):
            made.append(hull)
    return [tuple(one.exterior.coords[:-1]) for one in made]


def test_each_outline_is_painted_over_what_lies_behind_it() -> None:
    """On 40 lines toward the eye through each set of outlines, cut by shapely."""
    chance, met, sets = Random(9), 0, 8 if QUICK else 60
    for _ in range(sets):
        outlines, angle = scattered(chance), chance.uniform(0, 2 * pi)
        d = cos(angle), sin(angle)
        rank = {i: place for place, i in enumerate(painted(tuple(outlines), d))}
        shapes = [Polygon(points) for points in outlines]
        for across in (chance.uniform(-40, 60) for _ in range(40)):
            x, y = -d[1] * across, d[0] * across
            line = LineString([(x - 99 * d[0], y - 99 * d[1]), (x + 99 * d[0], y + 99 * d[1])])
            hits = [(line.project(shape.intersection(line).centroid), rank[i])
                    for i, shape in enumerate(shapes) if shape.intersection(line).length > 1e-3]  # fmt: skip
            ranks = [place for _, place in sorted(hits)]
            assert ranks == sorted(ranks)
            met += len(ranks) > 1
    assert met > 5 * sets


# --- outlines in convex pieces ---------------------------------------------------------------------------------------


@st.composite
def outlines(draw: Any) -> tuple[Point, ...]:
    """Members, stars and combs, either way around."""
    kind = draw(st.sampled_from(("member", "star", "comb")))
    side = draw(st.sampled_from(("left", "right")))
    points: list[Point]
    if kind == "member":
        bay = draw(bays())
        members = [rafter_outline(bay, side)] if isinstance(bay, RafterBay) else chord_outlines(bay, side)
        points = [*draw(st.sampled_from([one for one in members if len(one) > 2]))]
    elif kind == "star":
        count = draw(st.integers(3, 12))
        reach = draw(st.lists(st.floats(1, 40), min_size=count, max_size=count))
        points = [(r * cos(2 * pi * i / count), r * sin(2 * pi * i / count)) for i, r in enumerate(reach)]
    else:
        teeth = draw(st.lists(st.tuples(st.floats(1, 9), st.floats(-9, 9)), min_size=1, max_size=5))
        points, x = [(0.0, -20.0)], 0.0
        for wide, high in teeth:
            points += [(x, high), (x + wide, high)]
            x += wide
        points.append((x, -20.0))
    return tuple(points[:: draw(st.sampled_from((1, -1)))])


def shoelace(points: Sequence[Point]) -> float:
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, (*points[1:], points[0]), strict=True)) / 2


def test_no_member_hangs_below_the_plate_where_it_has_no_tail() -> None:
    """Also with an overhang of a hair: birdsmouth and butt are level cuts there, nothing stands out under them."""
    for overhang in (0.0, 2**-52):
        gable = Gable(96, 1, 1, overhang)
        butt = ScissorBay(gable, 0, 3.5, "2x4")
        for outline in (rafter_outline(RafterBay(gable, "2x4", seat=1)), chord_outlines(butt)[0]):
            assert min(y for _, y in outline) == 0


@bounded(300)
@given(outlines())
def test_convex_pieces_cover_an_outline(outline: tuple[Point, ...]) -> None:
    """Counterclockwise, without overlap, as large together; their real edges are as long as the way around."""
    pieces = convex_pieces(outline)
    whole, size = Polygon(outline).buffer(0), abs(shoelace(outline))
    assert sum(shoelace(one.points) for one in pieces) == pytest.approx(size, rel=1e-9)
    shapes = [Polygon(one.points) for one in pieces]
    for one, shape in zip(pieces, shapes, strict=True):
        assert shoelace(one.points) > 0 and shape.convex_hull.area == pytest.approx(shape.area, rel=1e-6)
        assert shape.difference(whole.buffer(1e-9)).area < 1e-6
    for shape, other in combinations(shapes, 2):
        assert shape.intersection(other).area < 1e-6
    around = 0.0
    for piece in pieces:
        edges = zip(piece.points, (*piece.points[1:], piece.points[0]), strict=True)
        for real, (p, q) in zip(piece.real, edges, strict=True):
            edge = LineString([p, q])
            assert real == whole.boundary.buffer(1e-6).covers(edge)
            around += edge.length * real
    assert around == pytest.approx(whole.length, rel=1e-6)


# --- members on their planes -----------------------------------------------------------------------------------------


def expected_corners(found: RoundHouse, on: str, near: Any) -> Iterator[tuple[str, Point, float]]:
    """Corners on the roof and ceiling lines of faces that look this way: whose, where in section and along the ridge.

    Members reach from the tail to the ridge board, the roof and the ceiling from end to end of their lines.
    """
    for room in found.rooms:
        board = room.bay.ridge_size[0] if isinstance(room.bay, RafterBay) else 0.0
        member = "rafter" if isinstance(room.bay, RafterBay) else "top chord"
        for end in room.bay.ends:
            side, m = end.wall.side, end.roof.slope
            eave, peak, cut = (end.wall.inside(x) for x in (-end.overhang, end.run, end.run - board / 2))
            if near @ (-m, 1, 0) > 0.01:
                for z in (z for place in room.places for z in (place, place + THICK)):
                    yield from ((f"{side} {member}", (x, end.roof.at(x)), z) for x in (eave, cut))
                if on == "roof":
                    thick = max(room.bay.gable.sheathing, 0.5) * sqrt(1 + m * m)
                    yield from ((f"{side} roof", (x, end.roof.at(x) + thick), room.start) for x in (eave, peak))
            elif near @ (m, -1, 0) > 0.01 and on == "roof":
                yield from ((f"{side} roof", (x, end.roof.at(x)), room.start) for x in (eave, peak))
            if end.ceiling is not None and near @ (end.ceiling.slope, -1, 0) > 0.01:
                apex = end.wall.inside(end.apex)
                for z in (z for place in room.places for z in (place, place + THICK)):
                    yield f"{side} bottom chord", (apex, end.ceiling.at(apex)), z
                if on == "ceiling":
                    yield f"{side} ceiling", (apex, end.ceiling.at(apex) - GYPSUM), room.start


@bounded(200)
@given(round_houses(), st.sampled_from(sorted(COVERS)), DIRECTIONS)
def test_corners_lie_on_the_planes(found: RoundHouse, on: str, direction: Direction) -> None:
    """The roof and ceiling lines, turned by a matrix of the test's own, meet corners that are painted, to 1e-6 in."""
    matrix = camera(*direction)
    drawn: dict[str, list[Point]] = {}
    for shape in paint(parts(found, on), View(*direction)):
        drawn.setdefault(shape.name, []).extend(shape.points)
    corners = {name: np.array(points) for name, points in drawn.items()}
    some = 0
    for name, (x, y), z in expected_corners(found, on, matrix[2]):
        away = np.abs(corners[name] - (matrix @ (x, y, z))[:2]).max(1).min()
        assert away < 1e-6, (name, x, y, z, away)
        some += 1
    assert some or abs(direction[1]) < 75  # from high above or far below some slope always shows


@bounded(100)
@given(DIRECTIONS)
def test_a_view_is_a_turn_of_the_house(direction: Direction) -> None:
    """Its three directions are those of the test's own matrix: of length 1, and square to each other."""
    view, matrix = View(*direction), camera(*direction)
    assert np.array([*view.axes, view.toward]) == pytest.approx(matrix, abs=1e-12)
    assert matrix @ matrix.T == pytest.approx(np.eye(3), abs=1e-12)


# --- the example -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("on", COVERS)
@pytest.mark.parametrize("name", VIEWS)
def test_the_example_goes_over_quickly(name: str, on: str) -> None:
    """At most 60 kB of SVG, as a live picture is sent again and again; and it is the faces that are checked here."""
    found, view = house_in_round(example()), View(*NAMED[name])
    scene = house_scene(found, view, on)
    assert list(scene.shapes) == paint(parts(found, on), view)
    assert len(svg(fit(scene, 840, 480), 840, 480).encode()) <= 60_000


def test_the_rafters_planes_run_on_over_the_seam() -> None:
    """The example's truss follows the rafters: the roof has no end at the seam, on either side of it."""
    found = house_in_round(example())
    seam = found.rooms[0].end
    rows = [(stretch, one) for stretch in parts(found, "roof") for one in stretch.prisms if one.name == "left roof"]
    ends = [(stretch.start == seam, stretch.end == seam, one.ends) for stretch, one in rows]
    assert [open_end for starts, _, (open_end, _) in ends if starts] == [False]
    assert [open_end for _, stops, (_, open_end) in ends if stops] == [False]
    assert ends[0][2][0] and ends[-1][2][1]
