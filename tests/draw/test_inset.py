"""A small picture in the free room of another: it touches nothing, is there where there is room, and holds still.

Room is measured with shapely on the outlines themselves; what is asked of it is worked by hand on plain frames.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from random import Random

import pytest

from rooflab.draw.inset import KEEP, SIZES, free_box, inset, with_inset
from rooflab.draw.layout import STEPS, fit, fit_large
from rooflab.draw.placing import Box
from rooflab.draw.scene import Label, Layout, Point, Shape, Stroke
from rooflab.draw.views.key import HALVES, key_scene
from rooflab.live.widgets.frames import ROOM_TEXT
from tests.tools.depth import cases
from tests.tools.keys import key_box, key_parts, lit_halves, met_by
from tests.tools.pictures import LARGE, SMALL, corners, settings, unequal, views_of

SIZE = 10.0  # of the letters on plain frames
LEAST = SIZES[-1][0] * SIZE, SIZES[-1][1] * SIZE
MOST = SIZES[0][0] * SIZE, SIZES[0][1] * SIZE
KEY = key_scene(HALVES, corners()[0].rafters, corners()[0].scissor)


def plain(wide: float, tall: float, *parts: Shape | Stroke, labels: tuple[Label, ...] = ()) -> Layout:
    """A layout of a size, with these parts."""
    shapes = tuple(part for part in parts if isinstance(part, Shape))
    strokes = tuple(part for part in parts if isinstance(part, Stroke))
    return Layout("", "", wide, tall, 1.0, (0.0, 0.0), shapes, strokes, labels, SIZE)


def rectangle(name: str, x0: float, y0: float, x1: float, y1: float) -> Shape:
    return Shape(name, ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), "wall")


def size(box: Box | None) -> Point:
    assert box is not None
    return round(box[2] - box[0], 6), round(box[3] - box[1], 6)


def grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def shifted(box: Box, at: Point) -> Box:
    """A box of the frame in units of the layout that stands there."""
    return box[0] - at[0], box[1] - at[1], box[2] - at[0], box[3] - at[1]


# --- every picture ---------------------------------------------------------------------------------------------------

PAPER, FRAME = (548.0, 250.0), (782.0, 392.0)  # points; px, less than a room has, so that some have no room
FRAMES = (LARGE, SMALL, (624.0, 520.0), (1171.0, 800.0))


@cache
def placed_pictures() -> list[tuple[str, Layout, Point]]:
    """Pictures of all corner cases and of random settings, for pages, for a room and for paper, each in its frame."""
    rest = [*settings(cases(40), 5), *settings(cases(20), 6, two=True)]
    chance, found = Random(7), []
    for case in [*corners(), *unequal(), *rest]:
        for name, scene, frame in views_of(case):
            if frame != LARGE:
                continue
            other = chance.choice(FRAMES)
            found.append((f"{case.name}: {name}", fit(scene, *other), other))
            if chance.random() < 0.2:
                found.append((f"{case.name}: {name}, room", fit_large(scene, *FRAME, ROOM_TEXT), FRAME))
                found.append((f"{case.name}: {name}, paper", fit_large(scene, *PAPER, 8.5), PAPER))
    return found


def test_a_key_touches_no_text_no_member_and_no_line() -> None:
    there, count = 0, 0
    for name, placed, frame in placed_pictures():
        over = (frame[0] - placed.width) / 2, min((frame[1] - placed.height) / 2, 12.0)
        for at in {over, ((frame[0] - placed.width) / 2, (frame[1] - placed.height) / 2)}:
            count += 1
            box = free_box(placed, frame, at)
            if box is None:
                continue
            there += 1
            assert 0 <= box[0] and 0 <= box[1] and box[2] <= frame[0] and box[3] <= frame[1], name
            assert met_by(placed, shifted(box, at)) == [], name
            made = inset(placed, KEY, box, at)
            assert met_by(made, key_box(made)) == [], name
            x0, y0, x1, y1 = shifted(box, at)
            kx0, ky0, kx1, ky1 = key_box(made)
            assert x0 - 1e-6 <= kx0 and y0 - 1e-6 <= ky0 and kx1 <= x1 + 1e-6 and ky1 <= y1 + 1e-6
            assert (made.width, made.height, made.labels) == (placed.width, placed.height, placed.labels)
    assert there > 0.9 * count, (there, count)


def test_room_that_is_there_is_found() -> None:
    """Where no box is found, none of the least size, tried at every 4 px and with twice the distance kept, is free."""
    missed = 0
    for name, placed, frame in placed_pictures():
        at = (frame[0] - placed.width) / 2, (frame[1] - placed.height) / 2
        if free_box(placed, frame, at) is not None:
            continue
        missed += 1
        w, h = (side * placed.size for side in SIZES[-1])
        keep = 2 * KEEP * placed.size
        x = keep
        while x + w + keep <= frame[0]:
            y = keep
            while y + h + keep <= frame[1]:
                tried = (x, y, x + w, y + h)
                assert met_by(placed, shifted(grown(tried, keep), at)) != [], (name, tried)
                y += 4.0
            x += 4.0
    assert missed


# --- plain frames ----------------------------------------------------------------------------------------------------


def test_beside_and_below_come_first() -> None:
    """A picture 300 x 200 at the upper left of a frame, empty inside: there is room inside and none is taken there."""
    frame = 300.0, 200.0 + MOST[1] + 10
    below = free_box(plain(300, 200), frame, (0.0, 0.0))
    assert below and below[1] >= 200 and size(below) == MOST and below[2] > 290
    beside = free_box(plain(300, 200), (300.0 + MOST[0] + 10, 200.0), (0.0, 0.0))
    assert beside and beside[0] >= 300 and size(beside) == MOST
    left = free_box(plain(300, 200), (300.0 + MOST[0] + 10, 200.0), (MOST[0] + 10, 0.0))
    assert left and left[2] <= MOST[0] + 10
    low = free_box(plain(300, 200), (300.0, 200.0 + LEAST[1] + 4), (0.0, 0.0))  # room for the least one alone
    assert low and low[1] >= 200 and size(low) == LEAST


def test_inside_it_stands_at_a_corner() -> None:
    frame = 400.0, 300.0
    corner = free_box(plain(*frame), frame, (0.0, 0.0))
    assert corner and size(corner) == MOST and 400 - corner[2] <= SIZE and 300 - corner[3] <= SIZE
    crossed = plain(*frame, Stroke("line", ((260.0, 300.0), (400.0, 160.0)), "mark"))
    other = free_box(crossed, frame, (0.0, 0.0))
    assert other and size(other) == MOST and min(other[0], 400 - other[2]) + min(other[1], 300 - other[3]) <= 2 * SIZE


def test_a_window_of_the_least_size_is_found_and_a_smaller_one_is_none() -> None:
    """Ruled lines all over but for one window; it has to be wider than the key by what is kept and a cell of slack."""
    frame = 400.0, 300.0

    def ruled(wide: float, tall: float) -> Layout:
        x0, y0 = 137.0, 91.0
        lines = []
        for i in range(1, 300, 4):
            spans = ((0.0, x0), (x0 + wide, 400.0)) if y0 < i < y0 + tall else ((0.0, 400.0),)
            lines += [Stroke("rule", ((a, float(i)), (b, float(i))), "dim") for a, b in spans]
        return plain(*frame, *lines)

    slack = 2 * KEEP * SIZE + 8
    found = free_box(ruled(LEAST[0] + slack, LEAST[1] + slack), frame, (0.0, 0.0))
    assert found and size(found) == LEAST and found[0] > 137 and found[1] > 91
    assert free_box(ruled(LEAST[0] - 1, LEAST[1] + 60), frame, (0.0, 0.0)) is None
    assert free_box(ruled(LEAST[0] + 60, LEAST[1] - 1), frame, (0.0, 0.0)) is None


def test_nothing_stands_on_a_large_member() -> None:
    frame = 400.0, 300.0
    wall = rectangle("wall", 4, 4, 396, 296)
    assert free_box(plain(*frame, wall), frame, (0.0, 0.0)) is None
    assert with_inset(plain(*frame, wall), KEY, frame) == plain(*frame, wall)
    half = free_box(plain(*frame, rectangle("wall", 150, 4, 396, 296)), frame, (0.0, 0.0))
    assert half and half[2] < 150


def test_nothing_stands_on_a_text() -> None:
    frame = 300.0, 110.0
    words = "a line of words that runs on and on"
    rows = tuple(Label("row", words, 4.0, 10.0 + 15 * i, "start", SIZE) for i in range(7))
    found = free_box(plain(*frame, labels=rows), frame, (0.0, 0.0))
    assert found and found[0] > max(label.box[2] for label in rows)


def test_without_a_key_nothing_changes() -> None:
    assert with_inset(plain(300, 200), None, (300.0, 400.0)) == plain(300, 200)


@pytest.mark.parametrize("by", [0.5, 2.0])
def test_letters_decide_how_large_it_is(by: float) -> None:
    """A picture twice as large in letters twice as high has its key twice as large at the same place."""
    frame, line = (400.0, 300.0), ((0.0, 260.0), (400.0, 180.0))
    one = free_box(plain(*frame, Stroke("line", line, "mark")), frame, (0.0, 0.0))
    large = plain(frame[0] * by, frame[1] * by, Stroke("line", tuple((x * by, y * by) for x, y in line), "mark"))
    other = free_box(replace(large, size=SIZE * by), (frame[0] * by, frame[1] * by), (0.0, 0.0))
    assert one and other and other == pytest.approx([side * by for side in one])


# --- holding still ---------------------------------------------------------------------------------------------------


def test_it_stays_while_nothing_comes_into_it() -> None:
    frame = 400.0, 300.0
    before = free_box(plain(*frame), frame, (0.0, 0.0))
    assert before
    far = plain(*frame, Stroke("line", ((0.0, 20.0), (200.0, 20.0)), "mark"))
    assert free_box(far, frame, (0.0, 0.0), before) == before
    x0, y0, x1, y1 = before
    near = plain(*frame, Stroke("line", ((x0 + 4, 0.0), (x0 + 4, 300.0)), "mark"))
    less = free_box(near, frame, (0.0, 0.0), before)
    assert less and size(less) in [(w * SIZE, h * SIZE) for w, h in SIZES[1:]]  # smaller in its own corner
    assert (less[2], less[3]) == pytest.approx((x1, y1))
    middle = plain(*frame, Stroke("line", ((x1 - 8, 0.0), (x1 - 8, 300.0)), "mark"))
    away = free_box(middle, frame, (0.0, 0.0), before)
    assert away and away[2] < x1 - 8 and size(away) == MOST


def test_the_same_picture_has_it_at_the_same_place() -> None:
    for case in corners()[:6]:
        for _, scene, frame in views_of(case):
            placed = fit(scene, *frame, scales=STEPS)
            at = 0.0, 12.0
            assert free_box(placed, frame, at) == free_box(placed, frame, at)


# --- what is added ---------------------------------------------------------------------------------------------------


def test_the_key_comes_as_it_is() -> None:
    """Its parts in their order, one scale both ways, in the middle of the box, above down."""
    box, at = (100.0, 50.0, 250.0, 160.0), (20.0, 10.0)
    made = inset(plain(300, 200, rectangle("wall", 0, 0, 9, 9)), KEY, box, at)
    parts = key_parts(made)
    assert [part.name for part in parts] == [f"key {part.name}" for part in KEY.parts]
    assert lit_halves(made) == {"rafters left": "slim rafter", "A right": "slim truss"}
    x0, y0, x1, y1 = key_box(made)
    assert ((x0 + x1) / 2 + at[0], (y0 + y1) / 2 + at[1]) == pytest.approx((175.0, 105.0))
    bx0, by0, bx1, by1 = KEY.bounds()
    scale = min(150 / (bx1 - bx0), 110 / (by1 - by0))
    for part, own in zip(parts, KEY.parts, strict=True):
        for (x, y), (u, v) in zip(part.points, own.points, strict=True):
            assert (x - x0, y1 - y) == pytest.approx(((u - bx0) * scale, (v - by0) * scale))
    assert made.shapes[0].name == "wall" and made.description.endswith(KEY.description)
