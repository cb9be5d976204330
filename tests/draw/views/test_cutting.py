"""The pictures of a rafter as it is cut: every text is there and apart from the rest, and what is drawn is true."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene
from rooflab.draw.views.cutting import birdsmouth, cut_drawing, framing_square, stepping
from rooflab.house.cutting import Cut
from tests.tools.cuts import cut, random_cuts
from tests.tools.pictures import DETAIL, LARGE, SMALL, faults

VIEWS = (cut_drawing, birdsmouth, framing_square, stepping)


def corners() -> Iterator[tuple[str, Cut]]:
    """Every input at its bounds."""
    yield "ours", cut()
    yield "hooked at the tail", cut("tail")
    yield "no tail", cut(overhang=0)
    yield "no tail, hooked there", cut("tail", overhang=0)
    yield "tail 1/2 in", cut(overhang=0.5)
    yield "overhang 48", cut(overhang=48)
    yield "no ridge board", cut(ridge=None)
    yield "seat 0", cut(seat=0)
    yield "seat 0, no tail", cut(seat=0, overhang=0)
    yield "seat 1/16", cut(seat=0.0625)
    yield "full seat", cut(seat=5.5)
    yield "pitch 1", cut(pitch=1)
    yield "pitch 1, 2x4, seat 16", cut(pitch=1, lumber="2x4", bearing=16, seat=16)
    yield "pitch 24", cut(pitch=24, seat=2)
    yield "pitch 16, 17", cut(pitch=16)
    yield "pitch 4.8", cut(pitch=4.8)
    yield "span 8 ft", cut(span=96)
    yield "span 8 ft, pitch 24, 24 deep", cut(span=96, pitch=24, depth=24, bearing=3.5, overhang=48)
    yield "span 60 ft", cut(span=720)
    yield "span 60 ft, 1 in 12, 2x4", cut(span=720, pitch=1, lumber="2x4", overhang=48)
    yield "span 60 ft, 24 in 12", cut(span=720, pitch=24, overhang=48, seat=2)
    yield "unequal", cut("tail", "right", pitch=(5, 11), overhang=(8, 24))


def pictures(cuts: Iterator[tuple[str, Cut]]) -> Iterator[tuple[str, Scene, tuple[float, float]]]:
    for name, one in cuts:
        for view in VIEWS:
            for frame in (LARGE, SMALL):
                yield f"{name}: {view.__name__} {frame[0]:g}", view(one), frame
        yield f"{name}: in the corner of the panel", birdsmouth(one, brief=True), DETAIL


def all_faults(cuts: Iterator[tuple[str, Cut]]) -> dict[str, list[str]]:
    found = {name: faults(scene, frame, fit(scene, *frame)) for name, scene, frame in pictures(cuts)}
    return {name: wrong for name, wrong in found.items() if wrong}


def test_corner_cases() -> None:
    assert all_faults(corners()) == {}


@pytest.mark.parametrize("seed", range(2))
def test_random_rafters(seed: int) -> None:
    """Thirty a seed, every input anywhere on its control's steps."""
    assert all_faults(random_cuts(30, seed)) == {}


# --- what is drawn is true -------------------------------------------------------------------------------------------


def shape(scene: Scene, name: str) -> Any:
    return next(part for part in scene.parts if part.name == name)


@pytest.mark.parametrize(("name", "one"), list(corners()), ids=lambda value: value if isinstance(value, str) else "")
def test_the_drawn_rafter_lies_level_and_keeps_its_angles(name: str, one: Cut) -> None:
    """Top edge on y = 0, bottom edge a depth below; the ridge cut and the building line lean by the roof's slope."""
    scene, m = cut_drawing(one), one.slope
    pieces = [part for part in scene.shapes if part.name == "rafter"]
    ys = [y for part in pieces for _, y in part.points]
    assert max(ys) == 0 and min(ys) == pytest.approx(-one.bay.depth)
    (x0, y0), (x1, y1) = pieces[0].points[:2]
    assert (x1 - x0) / (y0 - y1) == pytest.approx(m)  # toward the tail by m for each inch into the wood
    line = shape(scene, "building line").points
    assert (line[1][0] - line[0][0]) / (line[0][1] - line[1][1]) == pytest.approx(m)
    assert (
        abs(line[1][1] - line[0][1]) * (1 + m * m) ** 0.5 == pytest.approx(one.bay.left.heel, abs=1 / 32)
        or one.end == "right"
    )


def test_a_break_leaves_out_the_middle_only() -> None:
    """Ours by hand, k = 1.2018504: building line 186.587, tail 205.817, 16 k = 19.230 apart; the drawing keeps that."""
    scene = cut_drawing(cut())
    dims = {dim.name: dim for dim in scene.dims}
    apart = dims["tail"].b[0] - dims["building line"].b[0]
    assert apart == pytest.approx(16 * 1.2018504, abs=1e-5)
    assert dims["building line"].b[0] < 186.587 - 100
    assert dims["building line"].text == "building line 15'-6 9/16\""
    assert dims["tail"].text == "tail plumb cut 17'-1 13/16\""
    assert sum(part.name == "rafter" for part in scene.shapes) == 2
    few = stepping(cut(span=96, bearing=3.5))  # four steps: nothing to leave out
    assert sum(part.name == "rafter" for part in few.shapes) == 1


def test_the_chain_runs_from_the_hook() -> None:
    for hook, other in (("ridge", "tail"), ("tail", "ridge")):
        dims = [dim for dim in cut_drawing(cut(hook)).dims if dim.name != "stock"]
        assert len({dim.a for dim in dims}) == 1 and dims[-1].name == other
        reach = [abs(dim.b[0] - dim.a[0]) for dim in dims]
        assert reach == sorted(reach)  # the shortest nearest to the work


@pytest.mark.parametrize("pitch", [1, 4, 8, 12, 16, 18, 24])
def test_the_framing_square_is_one(pitch: float) -> None:
    """A right angle; rise and 12 at the top edge measured along its outer arms; both marks a step apart.

    A square is 16 by 24 in (common size, no source), its setting rise and run on the arms (NAVEDTRA 14044, ch. 2).
    """
    one = cut(pitch=pitch, seat=1)
    body = shape(framing_square(one), "framing square").points
    (cx, cy), (lx, ly), (px, py) = body[0], body[1], body[5]
    assert (lx - cx) * (px - cx) + (ly - cy) * (py - cy) == pytest.approx(0, abs=1e-9)

    def at_edge(x: float, y: float) -> tuple[float, float]:
        """Where an arm crosses the top edge, and how far that is from the corner."""
        t = -cy / (y - cy)
        return cx + t * (x - cx), t * ((x - cx) ** 2 + (y - cy) ** 2) ** 0.5

    (plumb_x, rise), (level_x, run) = at_edge(px, py), at_edge(lx, ly)
    assert (rise, run) == (pytest.approx(pitch), pytest.approx(12.0))
    assert plumb_x == pytest.approx(0, abs=1e-9) and level_x == pytest.approx((144 + pitch**2) ** 0.5)
    arms = {round(((lx - cx) ** 2 + (ly - cy) ** 2) ** 0.5), round(((px - cx) ** 2 + (py - cy) ** 2) ** 0.5)}
    assert arms == {16, 24}


def test_steps_of_the_picture_are_those_of_the_square() -> None:
    """Each drawn triangle has a plumb leg of 8 and a level leg of 12 (8 in 12), square to each other."""
    steps = [part for part in stepping(cut()).strokes if part.name == "step"]
    assert len(steps) >= 5
    for part in steps[:-1]:  # the last is the odd 4 in of the tail
        (ax, ay), (bx, by), (dx, dy) = part.points
        assert ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 == pytest.approx(8)
        assert ((dx - bx) ** 2 + (dy - by) ** 2) ** 0.5 == pytest.approx(12)
        assert ay == dy == 0 and dx - ax == pytest.approx(208**0.5)


def test_waste_is_hatched_and_named() -> None:
    scene = cut_drawing(cut())
    for place in ("ridge", "birdsmouth", "tail"):
        assert any(part.name == f"{place} hatch" for part in scene.strokes), place
        assert shape(scene, f"{place} waste").style == "offcut"
    assert [note.text for note in scene.notes].count("waste") == 2
    assert any("hatched: waste" in title.text for title in scene.titles)
    assert any("hatched: waste" in title.text for title in birdsmouth(cut()).titles)


def test_text_alternatives_say_the_marks() -> None:
    """Ours: marks and angles by hand, arctan(8/12) = 33.7 degrees."""
    said = cut_drawing(cut()).description
    for words in ("15'-6 9/16\"", "17'-1 13/16\"", "33.7 degrees", "56.3 degrees", '3 1/2"', '8 13/16"'):
        assert words in said
    assert "13 steps" in stepping(cut()).description and '14 7/16"' not in stepping(cut()).description
    assert "1'-2 7/16\"" in framing_square(cut()).description
