"""The key beside a section: the right halves have their colors and are cut, seen so that both slopes show."""

from __future__ import annotations

import re
from itertools import chain

import pytest
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from rooflab import Gable, RafterBay, ScissorBay
from rooflab.draw.scene import Scene, Shape
from rooflab.draw.views.key import EAVES, HALVES, RAFTERS, Half, both_halves, key_scene
from rooflab.draw.views.section import section, section_key
from rooflab.house.seam import compare
from tests.tools.depth import cases
from tests.tools.pictures import Case, corners, made, settings, unequal

CASES = [*corners(), *unequal(), *settings(cases(40), 3), *settings(cases(40), 4, two=True)]
SHOWS: tuple[tuple[Half, ...], ...] = (
    HALVES, EAVES, EAVES[:1], EAVES[1:], both_halves(RAFTERS), both_halves("A"), both_halves(RAFTERS, "A"),
)  # fmt: skip
each_case = pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)


def key(case: Case, lit: tuple[Half, ...]) -> Scene:
    return key_scene(lit, case.rafters, case.scissor)


def slopes(scene: Scene) -> dict[Half, Shape]:
    """The slopes of the roof in a key, by bay and side."""
    found = {}
    for shape in scene.shapes:
        name, _, side = shape.name.rpartition(" ")
        if side in ("left", "right"):
            found[name, side] = shape
    return found


@each_case
@pytest.mark.parametrize("lit", SHOWS)
def test_the_halves_that_are_shown_have_their_colors_and_no_others(case: Case, lit: tuple[Half, ...]) -> None:
    found = slopes(key(case, lit))
    assert set(found) == set(both_halves(RAFTERS, "A"))
    for (name, side), shape in found.items():
        own = "slim rafter" if name == RAFTERS else "slim truss"
        assert shape.style == (own if (name, side) in lit else "pale")


@each_case
@pytest.mark.parametrize("lit", SHOWS)
def test_each_of_them_is_cut_from_its_eave_to_the_ridge(case: Case, lit: tuple[Half, ...]) -> None:
    scene = key(case, lit)
    found = slopes(scene)
    cuts = [stroke for stroke in scene.strokes if stroke.name == "cut"]
    assert len(cuts) == len(lit) and {stroke.style for stroke in scene.strokes} == {"full"}
    for half, cut in zip(lit, cuts, strict=True):
        eave, peak, other_peak, other_eave = found[half].points
        assert cut.points[0] == pytest.approx([(a + b) / 2 for a, b in zip(eave, other_eave, strict=True)])
        assert cut.points[1] == pytest.approx([(a + b) / 2 for a, b in zip(peak, other_peak, strict=True)])
    steps = [stroke for stroke in scene.strokes if stroke.name != "cut"]
    assert [stroke.points for stroke in steps] == ([(cuts[0].points[1], cuts[1].points[1])] if lit == HALVES else [])


@each_case
def test_left_is_left_and_both_slopes_show(case: Case) -> None:
    """Also of the steepest roofs: counterclockwise from below, as a slope is drawn, is seen from above."""
    found = slopes(key(case, HALVES))
    for name in (RAFTERS, "A"):
        left, right = (Polygon(found[name, side].points) for side in ("left", "right"))
        assert left.is_valid and right.is_valid and left.centroid.x < right.centroid.x
        assert left.exterior.is_ccw is not right.exterior.is_ccw
        assert left.intersection(right).area < 1e-6 * min(left.area, right.area)


@each_case
def test_the_rafters_stand_in_front(case: Case) -> None:
    """Nearer to who looks is lower in the picture and painted later; the ridge of one runs on in the other's."""
    scene = key(case, HALVES)
    found = slopes(scene)
    order = list(found.values())
    for side in ("left", "right"):
        front, back = found[RAFTERS, side], found["A", side]
        assert order.index(front) > order.index(back)
        assert Polygon(front.points).centroid.y < Polygon(back.points).centroid.y
    if compare(case.rafters, case.scissor).coplanar:
        assert found[RAFTERS, "left"].points[2] == pytest.approx(found["A", "left"].points[1], abs=0.2)


@each_case
def test_it_says_what_the_section_beside_it_shows(case: Case) -> None:
    """Read off the section itself: a half shows a bay where a member of that bay stands in it."""
    rafters, scissor = case.rafters, case.scissor
    drawn = section(rafters, scissor, compare(rafters, scissor))
    there = set()
    for part in drawn.parts:
        side = "left" if sum(x for x, _ in part.points) / len(part.points) < rafters.peak[0] else "right"
        if part.style == "rafter":
            there.add(f"{RAFTERS} {side}")
        if "chord" in part.name.split():
            there.add(f"A {side}")
    lit = {shape.name for shape in section_key(rafters, scissor).shapes if shape.style != "pale"}
    assert lit == there


def test_types_stand_behind_each_other() -> None:
    """A wall set in 24 in and its eave stepped: the second type's left eave lies 24 in further in than the first's."""
    case, jog = made("plain"), made("set in", jog={"by": 24, "eave": "stepped"})
    scene = key_scene(both_halves("A", "B"), case.rafters, case.scissor, jog.scissor)
    found = slopes(scene)
    assert {half for half, shape in found.items() if shape.style != "pale"} == set(both_halves("A", "B"))
    long, short = (found[name, "left"].points for name in ("A", "B"))
    across = [(peak[0] - eave[0], peak[1] - eave[1]) for eave, peak, *_ in (long, short)]
    whole, moved = case.scissor.left, jog.scissor.left
    assert moved.run + moved.overhang == pytest.approx(whole.run + whole.overhang - 24)
    part = (moved.run + moved.overhang) / (whole.run + whole.overhang)
    assert across[1] == pytest.approx([part * side for side in across[0]])


def test_the_words_hold_no_number() -> None:
    """The numbers of a picture's description are the picture's own."""
    case = corners()[0]
    for lit in SHOWS:
        assert not re.search(r"\d", key(case, lit).description)
    assert key(case, HALVES).description.endswith("the left half of the rafters and the right half of the trusses.")
    assert key(case, both_halves(RAFTERS, "A")).description.endswith(
        "both halves of the rafters and both halves of the trusses."
    )
    three = key_scene(both_halves("A", "B"), case.rafters, case.scissor, case.scissor)
    assert three.description.endswith("both halves of the trusses A and both halves of the trusses B.")


def test_the_gable_closes_the_house_under_its_roof() -> None:
    """The near gable reaches up to the ridge and no slope leaves it open."""
    gable = Gable("24'", 9, 5.5, 16)
    bay = RafterBay(gable, "2x10", seat=3)
    scene = key_scene(HALVES, bay, ScissorBay(gable, 4, bay.left.heel))
    front = [shape for shape in scene.shapes if shape.name == "gable"][-1]
    peak = slopes(scene)[RAFTERS, "left"].points[1]
    assert peak in front.points
    assert all(Polygon(front.points).distance(Spot(point)) < 1e-6 for point in chain(front.points))
