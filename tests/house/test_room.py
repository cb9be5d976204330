"""The room under the trusses: cases worked by hand, shapely's areas and distances, and arrays against single houses."""

from __future__ import annotations

from math import sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box

from rooflab import Gable, InputError, ScissorBay
from rooflab.base.lumber import board_length, stock_to_buy
from rooflab.base.measure import feet_inches
from rooflab.house.room import ROOM, ROOM_INPUTS, STOCK, room_of, room_symbols
from rooflab.lessons.questions import Question
from tests.tools.strategies import bounded, legal, scissors


def bay(ceiling: Any = 4, plates: Any = 97.125, **changes: Any) -> ScissorBay:
    """26 ft, 8 in 12, walls 5 1/2, heel 8 13/16."""
    gable = Gable(**{"span": "26'", "pitch": 8, "bearing": 5.5, "overhang": 16, "plate_height": plates, **changes})
    return ScissorBay(gable, ceiling, 8.8125)


# --- worked by hand --------------------------------------------------------------------------------------------------


def test_a_house_worked_by_hand() -> None:
    """26 ft, ceiling 4 in 12 from the inside faces, plates 8'-1 1/8", 1/2 in gypsum, a room 20 ft long, a window 6 ft.

    Inside 312 - 11 = 301.  k = √(1 + 1/9) = 1.0540926, finish 0.5270463 plumb, so the finish begins at 97.125 -
    0.5270463 = 96.5979537.  Over 150.5 it rises 50.1666667: mid-room 146.7646204, 12'-2 3/4".  Volume 301 x 121.6812871
    (the mean of both) x 240/1728 = 5086.9538; flat 301 x 96.625 x 240/1728 = 4039.4618; gain 1047.4920.  Window:
    corners 150.5 - 36 = 114.5 from the inside faces, line 97.125 + 38.1666667 = 135.2916667, less the raked plate 3 x
    1.0540926 = 3.1622777, header 9 1/4 and casing 3 1/2: 119.3793890, 9'-11 3/8".  Stud 97.125 - 4.5 = 92.625.
    """
    v = room_of(bay()).all
    expected = {"inside": 301, "low_l": 96.5979537, "top_x": 150.5, "top": 146.7646204, "mid_height": 146.7646204,
                "volume": 5086.9538, "flat_volume": 4039.4618, "gain": 1047.4920, "window_head": 119.3793890,
                "stud_l": 92.625, "stud_r": 92.625, "widest_window": 301}  # fmt: skip
    assert {name: v[name] for name in expected} == pytest.approx(expected, abs=1e-4)
    assert (feet_inches(v["mid_height"]), feet_inches(v["window_head"])) == ("12'-2 3/4\"", "9'-11 3/8\"")


def test_a_three_four_five_ceiling() -> None:
    """25 ft, 12 in 12, ceiling 9 in 12 (k = 1.25), walls 6: 288 inside.  Layers 0.8 are 1 in plumb.

    Finish begins at 97 - 1 = 96 and rises 144 x 0.75 = 108 to 204.  Section 288 x (96 + 204)/2 = 43200 in²; over 172.8
    in that is 43200 x 172.8/1728 = 4320 cu ft; flat 288 x 96.2/10 = 2770.56; gain 1549.44.  A window 4 ft wide: its
    corners 144 - 24 = 120 in, line 97 + 90 = 187, raked plate 2 x 1.25 = 2.5, header 11.25, casing 3.25: 170.
    """
    made = room_of(
        ScissorBay(Gable("25'", 12, 6, 0, 97), 9, 20), (0.6, 0.2), room_length=172.8, window_width=48, header=11.25,
        casing=3.25, raked_plate=2,
    )  # fmt: skip
    v = made.all
    assert [v[name] for name in ("low_l", "top", "mid_height")] == pytest.approx([96, 204, 204])
    assert [v[name] for name in ("volume", "flat_volume", "gain")] == pytest.approx([4320, 2770.56, 1549.44])
    assert v["window_head"] == pytest.approx(170)


def test_unequal_plates() -> None:
    """24 ft inside (300 less 6 and 6), right plate 24 higher, ceilings 6 in 12 from plates 96 and 120, no finish.

    Lines meet where 96 + x/2 = 120 + (288 - x)/2: x = 168, 180 high.  Mid-room x = 144: 168.  Section
    168 x (96 + 180)/2 + 120 x (120 + 180)/2 = 23184 + 18000 = 41184 in², over 10 ft 2860 cu ft; the flat ceiling is on
    the lower plate: 288 x 96 x 120/1728 = 1920.  A window 5 ft wide under the apex reaches x = 138 and 198: 165 both.
    """
    v = room_of(
        ScissorBay(Gable("25'", 9, 6, 0, (96, 120)), 6, 20), (0, 0), room_length=120, window_width=60, header=10,
        casing=2, raked_plate=0,
    ).all  # fmt: skip
    expected = {"top_x": 168, "top": 180, "mid_height": 168, "volume": 2860, "flat_volume": 1920, "gain": 940,
                "corner_l": 165, "corner_r": 165, "window_head": 153, "widest_window": 240, "stud_l": 91.5,
                "stud_r": 115.5}  # fmt: skip
    assert {name: v[name] for name in expected} == pytest.approx(expected)


def test_the_outside_face_gives_a_higher_ceiling() -> None:
    """From the outside face the line stands c x bearing = 5.5/3 = 1.8333 higher at the wall and at mid-room."""
    inside, outside = bay(), bay()
    outside = outside.with_(ceiling_from="outside")
    one, other = room_of(inside).all, room_of(outside).all
    for name in ("low_l", "low_r", "mid_height", "window_head"):
        assert other[name] - one[name] == pytest.approx(5.5 / 3)


def test_a_level_ceiling_gains_nothing() -> None:
    v = room_of(bay(0)).all
    assert v["gain"] == pytest.approx(0) and v["mid_height"] == v["low_l"] == 96.625
    assert v["window_head"] == 97.125 - 3 - 9.25 - 3.5


def test_slopes_are_worked_over_twelve() -> None:
    """The working shows a ceiling of 4 in 12 as 4/12 at both ends, as a framing square does; stock reads as words."""
    made = room_of(bay())
    for name in ("corner_l", "corner_r", "mid_height"):
        worked = made.reading(name).worked
        assert "(4/12)" in worked and "0.33" not in worked, worked
    assert STOCK.work({"stock_length": 211.98, "up": 0.0}).worked == "211.98, then the next even foot"


@pytest.mark.parametrize(
    ("needed", "buy"),
    [(1.0, 96), (96.0, 96), (96.01, 120), (212.0, 216), (216.0, 216), (217.0, 240), (288.0, 288), (288.01, 0)],
)
def test_stock_to_buy(needed: float, buy: float) -> None:
    """Two-foot steps from 8 to 24 ft (common practice, no source): 212 in is 17'-8", so 18 ft; 24'-0" is the last."""
    assert STOCK.of({"stock_length": needed}) == buy == (board_length(needed) or 0)


# --- against shapely -------------------------------------------------------------------------------------------------


def lines_of(made: ScissorBay) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Both ceiling lines as two far points each, x from the left outside face and y from the floor."""
    plate = made.gable.plate_height
    floor = plate[0] if isinstance(plate, tuple) else plate
    found = []
    for end in made.ends:
        assert end.ceiling is not None
        found.append(tuple((x, end.ceiling.at(x) + floor) for x in (-2000.0, 3000.0)))
    return found  # type: ignore[return-value]


def under(line: Any, off: float) -> Polygon:
    """All that lies lower than a line moved ``off`` square to itself, downwards."""
    moved = LineString(line).offset_curve(-off) if off else LineString(line)
    (xa, ya), (xb, yb) = moved.coords[0], moved.coords[-1]
    return Polygon([(xa, ya), (xb, yb), (xb, -9999), (xa, -9999)])


ROOMS = {
    "finish": st.tuples(st.floats(0, 1.25), st.floats(0, 1.5)),
    "room_length": st.floats(24, 1200),
    "window_width": st.floats(12, 150),
    "header": st.floats(0, 24),
    "casing": st.floats(0, 12),
    "raked_plate": st.floats(0, 6),
}


@bounded(100)
@given(made=scissors(), rooms=st.fixed_dictionaries(ROOMS))
def test_areas_and_distances_of_shapely(made: ScissorBay, rooms: dict[str, Any]) -> None:
    """The room's section is what lies over the floor, between the walls and under both finished lines; the window with
    header and casing comes as near to the ceiling line, square to it, as the raked plate is thick.
    """
    v = legal(room_of, made, **rooms).all
    lines, (left, right) = lines_of(made), made.ends
    walls = left.wall.inside(left.bearing), right.wall.inside(right.bearing)
    section = box(walls[0], 0, walls[1], 9999)
    for line in lines:
        section = section.intersection(under(line, sum(rooms["finish"])))
    assert v["volume"] == pytest.approx(section.area * rooms["room_length"] / 1728, rel=1e-9)
    assert v["top"] == pytest.approx(section.bounds[3])
    middle = LineString([((walls[0] + walls[1]) / 2, -1), ((walls[0] + walls[1]) / 2, 9999)]).intersection(section)
    assert v["mid_height"] == pytest.approx(middle.bounds[3])
    flat = box(walls[0], 0, walls[1], min(v["plate_l"], v["plate_r"]) - sum(rooms["finish"]))
    assert v["gain"] == pytest.approx((section.area - flat.area) * rooms["room_length"] / 1728, abs=1e-6)
    apex, half = left.wall.inside(left.apex), rooms["window_width"] / 2
    top = v["window_head"] + rooms["header"] + rooms["casing"]
    corners = Point(apex - half, top), Point(apex + half, top)
    near = min(LineString(line).distance(corner) for line, corner in zip(lines, corners, strict=True))
    assert near == pytest.approx(rooms["raked_plate"], abs=1e-6)
    assert walls[0] - 1e-9 <= apex - half and apex + half <= walls[1] + 1e-9


@bounded(60)
@given(made=scissors(), rooms=st.fixed_dictionaries(ROOMS))
def test_the_reasoning_evaluates_to_the_value(made: ScissorBay, rooms: dict[str, Any]) -> None:
    numbers = legal(room_of, made, **rooms)
    for row in ROOM:
        if row.name == "top_x" and made.symbols()["c"] + made.symbols("right")["c"] < 0.02:
            continue  # nearly level: a hair of slope moves the place far, and the printed slope is rounded
        worked = numbers.reading(row.name)
        text = worked.worked
        for sign, plain in (("×", "*"), ("÷", "/"), ("−", "-"), ("√", "sqrt"), ("²", "**2")):
            text = text.replace(sign, plain)
        value = eval(text, {"__builtins__": {}}, {"sqrt": sqrt, "min": min, "max": max})
        assert value == pytest.approx(worked.value, rel=1e-4, abs=0.01), row.name


def test_a_million_is_one_at_a_time() -> None:
    """Every row on arrays gives, bit for bit, what single houses give; level and unequal ceilings among them."""
    houses = [
        room_symbols(bay(ceiling, (97.125, 97.125 + up), span=span), window_width=24 + span / 20)
        for ceiling in (0, 0.5, 4, 7.5)
        for up in ((0, 7, -11) if ceiling > 2 else (0,))
        for span in (240.0, 313.37, 411.0)
    ]
    arrays: dict[str, Any] = {name: np.array([one[name] for one in houses]) for name in houses[0]}
    for row in ROOM:
        arrays[row.name] = row.of(arrays)
        singles = []
        for one in houses:
            one[row.name] = row.of(one)
            singles.append(one[row.name])
            assert type(one[row.name]) is float
        assert arrays[row.name].tolist() == singles, row.name
    needs = np.linspace(1, 320, 2001)
    assert stock_to_buy(needs).tolist() == [board_length(float(need)) or 0.0 for need in needs]


# --- what is refused -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("house", "given", "words"),
    [
        ({}, {"window_width": "30'"}, ['Gable window, width 30\'-0": at most 25\'-1", twice']),
        ({}, {"window_width": 3}, ['Gable window, width 3": allowed is 1\'-0" to 40\'-0"; did you mean 3\'?']),
        ({}, {"room_length": "wide", "header": -1}, ["Room length: wide is not a length", 'Window header, depth -1"']),
        ({"plates": 0}, {}, ['floor 0": at the left wall the finished ceiling would lie 1/2" below', "the right wall"]),
    ],
)
def test_one_sentence_each(house: dict[str, Any], given: dict[str, Any], words: list[str]) -> None:
    with pytest.raises(InputError) as found:
        room_of(bay(**house), **given)
    assert len(found.value.problems) == len(words)
    for said, word in zip(found.value.problems, words, strict=True):
        assert word.split(";")[0].rstrip("?") in said


def test_the_inputs_have_rows() -> None:
    """Every input of the room stands in its table with a default inside its range, and is taken by its name."""
    for row in ROOM_INPUTS.values():
        assert row.low <= row.default <= row.high
        room_of(bay(), **{row.name: row.default})
    assert room_symbols(bay()) == room_symbols(bay(), (0.5, 0), **{r.name: r.default for r in ROOM_INPUTS.values()})


# --- mistakes --------------------------------------------------------------------------------------------------------

# 24'-0" on walls of 5 1/2, plate 97 1/8, ceiling 6 in 12 from the inside face, finish 1/2, window 60, rake 3, header
# 9 1/4, casing 3 1/2.  Worked by hand, k = sqrt(5)/2 = 1.11803: rise to the corner 108.5/2 = 54.25, raked plate 3.3541:
# corner 148.0209, head 135.2709; mid-room 97.125 + 138.5/2 - 0.5590 = 165.8160.


@pytest.mark.parametrize(
    ("reading", "typed", "mistake"),
    [
        ("corner_l", 163.0209, "half width forgotten"),  # + 30/2
        ("corner_l", 133.0209, "whole width for half"),  # - 30/2
        ("corner_l", 150.7709, "other face"),  # + 5.5/2
        ("corner_l", 148.375, "plate not stretched"),  # 97.125 + 54.25 - 3
        ("corner_l", 151.375, "raked plate forgotten"),
        ("corner_l", 50.8959, "plate for floor"),  # - 97.125
        ("corner_l", 307.4168, "ceiling pitch upside down"),  # 97.125 + 2 x 108.5 - 3 sqrt(5)
        ("window_head", 150.2709, "half width forgotten"),
        ("window_head", 138.0209, "other face"),
        ("window_head", 134.5209, "header nominal"),  # 10 for 9 1/4
        ("window_head", 144.5209, "header forgotten"),
        ("window_head", 138.7709, "casing forgotten"),
        ("window_head", 135.625, "plate not stretched"),
        ("mid_height", 166.375, "finish forgotten"),
        ("mid_height", 168.566, "other face"),
        ("mid_height", 235.066, "whole width climbed"),  # 96.5660 + 277/2
        ("mid_height", 68.691, "plate for floor"),
    ],
)
def test_a_mistake_is_told(reading: str, typed: float, mistake: str) -> None:
    made = room_of(ScissorBay(Gable("24'", 9, 5.5, 0, 97.125), 6, 16), (0.5, 0), window_width=60)
    judged = Question("?", made, reading).judge(f"{typed:.4f}")
    assert (judged.right, judged.mistake) == (False, mistake)


def test_the_other_side_is_not_said_where_both_are_equal() -> None:
    """Left and right of an equal house stand once in a formula, those of an unequal one twice."""
    even = room_of(ScissorBay(Gable("24'", 9, 5.5, 0, 97.125), 6, 16), window_width=60).reading("widest_window")
    assert (even.formula, even.worked) == ("2·(apex − bearing)", "2 × (144 − 5.5)")
    odd = room_of(ScissorBay(Gable("24'", 9, (5.5, 3.5), 0, 97.125), 6, 16), window_width=60).reading("widest_window")
    assert odd.formula == "2·min(left apex − left bearing, right apex − right bearing)"
    assert odd.worked == "2 × min(145 − 5.5, 143 − 3.5)"  # the middle between the inside faces: (5.5 + 284.5) / 2
