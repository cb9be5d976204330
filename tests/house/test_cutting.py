"""Cutting the rafter: tape marks, the square's settings, stepping off, against published and hand-worked values.

By hand, 9 in 12 (k = 5/4), 24'-0" span, 2x10 (9 1/4, PS 20), seat 4, ridge board 1 1/2, overhang 16: run 144; line
144 x 5/4 = 180; building line (144 - 3/4) x 5/4 = 179.0625; tail 20; cut 199.0625; stock + 9.25 x 3/4 = 206; heel
9.25 x 5/4 - 3 = 8.5625; corner 8.5625 / (5/4) = 6.85 deep and 0.75 x 6.85 = 5.1375 on: 184.2; seat's end 179.0625 - 5
+ 6.9375 = 181; mouth 5; notch 3 / (5/4) = 2.4.  5 in 12 has k = 13/12, 12 in 12 the square root of 2.
"""

from __future__ import annotations

from fractions import Fraction
from math import atan2, cos, degrees, hypot, sin, sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import rooflab as rl
from rooflab import InputError
from rooflab.draw.members import rafter_outline
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import CUTTING, Cut, square_for, whole_steps
from rooflab.house.planes import Gable
from tests.tools.strategies import bounded, rafters

END = st.sampled_from(("left", "right"))
HOOK = st.sampled_from(("ridge", "tail"))


def cut(span: Any, pitch: Any, lumber: str = "2x10", seat: Any = 3, overhang: Any = 0, **more: Any) -> Cut:
    keep = {name: more.pop(name) for name in ("end", "hook") if name in more}
    return Cut(RafterBay(Gable(span, pitch, 5.5, overhang), lumber, seat, **more), **keep)


HAND = cut("24'", 9, "2x10", 4, 16)


# --- published values ------------------------------------------------------------------------------------------------

TABLE = (12.17, 12.37, 12.65, 13.00, 13.42, 13.89, 14.42, 15.00, 15.62, 16.28, 16.97, 17.69, 18.44, 19.21, 20.00, 20.81,
         21.63)  # fmt: skip


@pytest.mark.parametrize(("rise", "inches"), list(zip(range(2, 19), TABLE, strict=True)))
def test_a_step_is_the_framing_squares_length_per_foot_of_run(rise: int, inches: float) -> None:
    """Rafter length per foot of run, rise 2 to 18: framing-square table (NAVEDTRA 14044, ch. 2; EN0069A)."""
    one = cut("20'", rise, "2x12", 1)
    assert one.values["step"] == pytest.approx(inches, abs=0.005)
    assert one.steps[0].length == pytest.approx(inches, abs=0.005)


def test_stepping_off_as_in_the_navy_manual() -> None:
    """7 in 12, span 16 ft: eight steps of 13.89 in, 111.12 in, 9'-3 1/8" (NAVEDTRA 14044, fig. 2-17)."""
    one = cut("16'", 7, "2x6", 3)
    run = [step for step in one.steps if step.part == "run"]
    assert len(run) == 8 and run[-1].mark == pytest.approx(111.12, abs=0.03)
    assert rl.feet_inches(run[-1].mark) == rl.feet_inches(one.values["line_length"]) == "9'-3 1/8\""


def test_line_lengths_of_the_manuals() -> None:
    """13 in 12, 20'-8": 182.8 in (EN5156, fig. 3-13); 6 in 12, span 25 ft: 13.98 ft (Griffith, Carpentry, 1916)."""
    assert cut("20'-8\"", 13, "2x8", 2).values["line_length"] == pytest.approx(182.8, abs=0.05)
    assert cut("25'", 6, "2x8", 2).values["line_length"] / 12 == pytest.approx(13.98, abs=0.005)


def test_the_ridge_shortening_is_measured_level() -> None:
    """A ridge board 1 1/2 in thick: each rafter is shortened 3/4 in, measured level (NAVEDTRA 14044, fig. 2-19).

    Square off the plumb line that is 3/4 in level, and 3/4 k along the edge: the ridge cut stands so far inside.
    """
    for pitch in (4, 8, 12):
        one = cut("26'", pitch, ridge="2x10")
        assert one.values["shortening"] == 0.75
        along = one.values["line_length"] - one.values["building_line"]
        assert along * cos(atan2(pitch, 12)) == pytest.approx(0.75, abs=1e-9)
    assert cut("26'", 8, ridge="1x10").values["shortening"] == 0.375
    assert cut("26'", 8, ridge=None).values["shortening"] == 0.0


def test_a_tail_is_stepped_off_like_the_run() -> None:
    """8 in 12, a projection of 10 in: 10 x 14.42 / 12 = 12.02 in (NAVEDTRA 14044, rule for overhangs)."""
    one = cut("26'", 8, overhang=10)
    assert one.values["tail_length"] == pytest.approx(12.02, abs=0.02)
    tail = [step for step in one.steps if step.part == "tail"]
    assert len(tail) == 1 and tail[0].length == pytest.approx(12.02, abs=0.02)


def test_the_squares_settings() -> None:
    """Unit rise and 12 of unit run (NAVEDTRA 14044, ch. 2); 2 in 5 is 4.8 in 12 (EN0069A, fig. 2-11).

    A rise beyond the tongue's 16 in is set on the blade (common practice, no source).
    """
    assert cut("20'", "2 in 5", seat=2).square.words == '4.8" on the tongue, 12" on the blade'
    assert cut("20'", "8 1/2").square.words == '8 1/2" on the tongue, 12" on the blade'
    assert square_for(16).words == '16" on the tongue, 12" on the blade'
    assert square_for(18).words == '18" on the blade, 12" on the tongue'


@pytest.mark.parametrize(("pitch", "plumb"), [(12, 45.0), (5, 22.62), (8, 33.69), (4, 18.43)])
def test_cuts_are_so_many_degrees_off_square(pitch: float, plumb: float) -> None:
    """12 in 12 is 45 degrees; the others are arctangents by hand; seat and plumb cut are square to each other."""
    one = cut("26'", pitch, seat=2)
    assert one.values["plumb_angle"] == pytest.approx(plumb, abs=0.005)
    assert one.values["plumb_angle"] + one.values["seat_angle"] == pytest.approx(90.0)


# --- worked by hand --------------------------------------------------------------------------------------------------


def test_marks_worked_by_hand() -> None:
    marks = {mark.name: mark for mark in HAND.marks}
    assert [mark.name for mark in HAND.marks] == ["ridge", "building line", "seat end", "corner", "tail"]
    expected = {"ridge": 0, "building line": 179.0625, "seat end": 181.0, "corner": 184.2, "tail": 199.0625}
    assert {name: mark.at for name, mark in marks.items()} == pytest.approx(expected)
    assert [mark.text for mark in HAND.marks] == ['0"', "14'-11 1/16\"", "15'-1\"", "15'-4 3/16\"", "16'-7 1/16\""]
    bottom = {mark.name: mark.at for mark in HAND.bottom_marks}
    assert bottom == pytest.approx({"seat end": 174.0625, "foot": 179.0625, "tail": 199.0625})


def test_readings_worked_by_hand() -> None:
    by_hand = {
        "line_length": 180.0, "shortening": 0.75, "building_line": 179.0625, "tail_length": 20.0,
        "cut_length": 199.0625, "stock_length": 206.0, "plumb_cut": 11.5625, "heel": 8.5625, "seat_cut": 4.0,
        "birdsmouth_plumb": 3.0, "notch_depth": 2.4, "mouth": 5.0, "corner": 184.2, "seat_end": 181.0, "step": 15.0,
    }  # fmt: skip
    assert {name: HAND.values[name] for name in by_hand} == pytest.approx(by_hand)
    assert HAND.corner == pytest.approx((184.2, 6.85))
    assert HAND.values["steps"] == "12"


def test_hooked_at_the_tail() -> None:
    """Hand: tail 199 1/16 less the others; printed marks of both hooks add up to the printed cut length."""
    other = Cut(HAND.bay, hook="tail")
    assert [mark.name for mark in other.marks] == ["tail", "corner", "seat end", "building line", "ridge"]
    assert other.mark("building line").at == pytest.approx(20.0) and other.mark("ridge").at == pytest.approx(199.0625)
    for name in ("building line", "corner", "seat end"):
        assert other.mark(name).tape + HAND.mark(name).tape == 199.0625


def test_odd_steps() -> None:
    """A run of 11'-11 1/4" is 11 steps and 11 1/4; 5 in 12: the odd step is 11.25 x 13/12 = 12.1875."""
    assert whole_steps(143.25) == (11, 11.25) and whole_steps(0.0) == (0, 0.0) and whole_steps(8.0) == (0, 8.0)
    one = cut(286.5, 5, seat=2)
    assert one.steps[-1].length == pytest.approx(12.1875) and one.values["steps"] == '11 and 11 1/4"'


def test_without_overhang_the_rafter_ends_at_the_building_line() -> None:
    """No tail, no foot: the plumb line runs from the top edge to the seat; with a seat of 0 there is no birdsmouth."""
    one = cut("24'", 9, "2x10", 4, 0)
    assert [mark.name for mark in one.marks] == ["ridge", "building line", "seat end", "corner"]
    assert "ends here" in one.mark("building line").label
    by_hand = [(0, 0), (6.9375, 9.25), (181, 9.25), (184.2, 6.85), (179.0625, 0)]
    assert [x for point in one.outline for x in point] == pytest.approx([x for point in by_hand for x in point])
    assert [mark.name for mark in one.bottom_marks] == ["seat end"]
    from_tail = Cut(one.bay, hook="tail")
    assert from_tail.bottom_marks == () and [mark.name for mark in from_tail.marks] == ["building line", "ridge"]
    bare = cut("24'", 9, "2x10", 0, 16)
    assert [mark.name for mark in bare.marks] == ["ridge", "building line", "tail"] and "birdsmouth" not in bare.waste


# --- invariants ------------------------------------------------------------------------------------------------------


def area(points: Any) -> float:
    return abs(sum(xa * yb - xb * ya for (xa, ya), (xb, yb) in zip(points, [*points[1:], points[0]], strict=True))) / 2


@bounded(80)
@given(bay=rafters(), end=END)
def test_the_cut_rafter_set_up_is_the_one_of_the_section(bay: RafterBay, end: str) -> None:
    """Turned back to the roof's slope, every corner of the cut rafter is a corner of the section's rafter.

    Independent of the marks: the section is drawn from walls, plates and roof lines.
    """
    one, gable = Cut(bay, end), getattr(bay, end)
    m = abs(gable.roof.slope)
    k = sqrt(1 + m * m)
    half = bay.ridge_size[0] / 2
    top = gable.run - half, gable.heel + m * (gable.run - half)
    set_up = [(top[0] + (-u + m * v) / k, top[1] + (-m * u - v) / k) for u, v in one.outline]
    drawn = [(gable.wall.inward * (x - gable.wall.x), y - gable.plate) for x, y in rafter_outline(bay, end)]
    for x, y in set_up:
        assert min(hypot(x - a, y - b) for a, b in drawn) < 1e-7, (x, y, drawn)


@bounded(80)
@given(bay=rafters(), end=END, hook=HOOK)
def test_printed_chains_add_up(bay: RafterBay, end: str, hook: str) -> None:
    """The lengths between printed plumb marks add up to the printed cut length, each within 1/16 of the true one."""
    one = Cut(bay, end, hook)
    plumb = [mark for mark in one.marks if mark.how == "plumb"]
    assert sum(length for _, length in one.chain) == rl.sixteenth(one.values["cut_length"])
    for (_, length), a, b in zip(one.chain, plumb, plumb[1:], strict=False):
        assert abs(length - (b.at - a.at)) <= 1 / 16 + 1e-5
    assert all((mark.tape * 16).is_integer() for mark in (*one.marks, *one.bottom_marks))
    assert [mark.at for mark in one.marks] == sorted(mark.at for mark in one.marks) and one.marks[0].at == 0


@bounded(80)
@given(bay=rafters(), end=END)
def test_steps_add_up_to_the_line_length(bay: RafterBay, end: str) -> None:
    """Whole steps and the odd one, summed exactly, are the line length to 1e-9 in; with the tail's, line and tail."""
    one = Cut(bay, end)
    m = one.slope
    k = sqrt(1 + m * m)
    lengths = [Fraction(step.length) for step in one.steps if step.part == "run"]
    run = getattr(bay, end).run
    assert float(sum(lengths)) == pytest.approx(run * k, abs=1e-9 * max(1.0, run))
    assert float(sum(lengths)) == pytest.approx(one.values["line_length"], abs=1e-9 * max(1.0, run))
    ends = [step.mark for step in one.steps if step.part == "run"]
    assert ends[-1] == pytest.approx(one.values["line_length"], abs=1e-9 * max(1.0, run))
    assert one.steps[-1].mark == pytest.approx((run + getattr(bay, end).overhang) * k, abs=1e-9 * max(1.0, run))
    assert all(step.run == 12 for step in one.steps if step.length > 12 * k - 1e-9)


@bounded(80)
@given(bay=rafters(), end=END)
def test_nothing_of_the_stick_is_lost(bay: RafterBay, end: str) -> None:
    """Rafter and waste are the stick: depth times stock length; plumb cuts are D k long, the seat as given."""
    one = Cut(bay, end)
    stick = one.bay.depth * one.values["stock_length"]
    assert area(list(one.outline)) + sum(area(list(off)) for off in one.waste.values()) == pytest.approx(stick)
    corners = list(one.outline)
    m = one.slope
    assert hypot(corners[1][0], corners[1][1]) == pytest.approx(bay.depth * sqrt(1 + m * m))
    if one.has_mouth:
        inner, corner = corners[2], corners[3]
        assert hypot(corner[0] - inner[0], corner[1] - inner[1]) == pytest.approx(one.values["seat"], abs=1e-9)
        lean = degrees(atan2(inner[1] - corner[1], corner[0] - inner[0]))  # from the edge: the slope of the roof
        assert lean == pytest.approx(degrees(atan2(m, 1)), abs=1e-6) or one.values["seat"] < 1e-3


@bounded(30)
@given(bay=rafters(), end=END)
def test_the_working_comes_to_the_value(bay: RafterBay, end: str) -> None:
    """Every formula with its numbers in, worked as written, is the reading."""
    one = Cut(bay, end)
    for row in CUTTING:
        worked = one.numbers.reading(row.name)
        if worked.unit == "in":
            text = (
                worked.worked.replace("×", "*")
                .replace("÷", "/")
                .replace("−", "-")
                .replace("²", "**2")
                .replace("√", "sqrt")
            )
            assert eval(text, {"sqrt": sqrt}) == pytest.approx(worked.value, abs=1e-4 * max(1, abs(worked.value)))


def test_rounding_hides_nothing() -> None:
    """13 steps of a mark rounded to 14 7/16 end 13 x (14.4375 - 14.4222) = 0.199 in too far; the marks do not."""
    one = cut("26'", 8, seat=3.5)
    run = [step for step in one.steps if step.part == "run"]
    assert 13 * rl.sixteenth(run[0].length) - run[-1].mark == pytest.approx(0.199, abs=0.001)
    assert abs(rl.sixteenth(run[-1].mark) - run[-1].mark) <= 1 / 32


# --- refused ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("rafter", "left", "ridge"), "RafterBay: rafter"),
        ((HAND.bay, "middle", "ridge"), "End: middle is not left or right"),
        ((HAND.bay, "left", "wall"), "Tape hooked at: wall is not ridge or tail"),
        ((HAND.bay, 3, None), "End: 3 is not left or right"),
    ],
)
def test_what_cannot_be_cut_is_refused_in_a_sentence(args: Any, said: str) -> None:
    with pytest.raises(InputError, match=said):
        Cut(*args)


def test_both_ends_of_an_unequal_roof() -> None:
    """6 and 10 in 12: each end has its own slope, run and settings; together the runs are the span."""
    bay = RafterBay(Gable("26'", (6, 10), 5.5, (12, 18)), "2x10", 3)
    left, right = Cut(bay), Cut(bay, "right")
    assert left.values["run"] + right.values["run"] == pytest.approx(312)
    assert (left.square.rise, right.square.rise) == (6, 10)
    assert right.values["tail_length"] == pytest.approx(18 * sqrt(1 + 100 / 144))
    assert sin(atan2(10, 12)) * right.values["step"] == pytest.approx(10)
