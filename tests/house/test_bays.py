"""The house of the examples and its bays against cases worked by hand; each test shows the working.

The house: 26'-0" out to out, 8 in 12, 2x10 rafters (9 1/4), wall 5 1/2, ceiling 4 in 12, overhang 16, 2x4 chords (3
1/2). m = 2/3: sqrt(1 + 4/9) = sqrt(13)/3 = 1.201850; c = 1/3: sqrt(1 + 1/9) = sqrt(10)/3 = 1.054093.
"""

from __future__ import annotations

import copy
import dataclasses
import pickle
import re
from math import sqrt
from typing import Any

import pytest

import rooflab as rl
from rooflab import INPUTS, Gable, InputError, RafterBay, ScissorBay
from rooflab.house.bays import Jog

K8, K4 = sqrt(13) / 3, sqrt(10) / 3


def gable(**changes: Any) -> Gable:
    return Gable(**{"span": "26'", "pitch": 8, "bearing": "5 1/2", "overhang": 16, **changes})


def truss(heel: Any = "7 7/16", **changes: Any) -> ScissorBay:
    return ScissorBay(gable(), 4, heel, **changes)


# --- published and practice figures ----------------------------------------------------------------------------------


def test_a_24_ft_house_on_a_full_bearing() -> None:
    """Common practice, no source: 24 ft out to out, 9 in 12, 2x12 on a full 7 1/4 in bearing: heel 8 5/8 in, overall
    height 9'-8 5/8", a ceiling of 4 1/2 in 12 rises 4'-3 5/16".
    By hand: 11.25 x 1.25 - 0.75 x 7.25 = 8.625; + 0.75 x 144 = 116.625; 0.375 x (144 - 7.25) = 51.28125.
    """
    g = Gable("24'", 9, "7 1/4")
    rafters = RafterBay(g, "2x12")
    scissor = ScissorBay(g, "4 1/2", rafters.heel)
    read = [rl.feet_inches(x) for x in (rafters.heel, scissor.heel, scissor.height, scissor.ceiling_rise)]
    assert read == ['8 5/8"', '8 5/8"', "9'-8 5/8\"", "4'-3 5/16\""]


def test_the_wedge_between_the_chords() -> None:
    """Common practice, no source: with 2x4 chords the house above leaves a space of 3.23 in, plumb, at the outside and
    5.95 in at the inside of the bearing, filled with a tapered 2x6 slider.
    """
    scissor = ScissorBay(Gable("24'", 9, "7 1/4"), 4.5, "8 5/8")
    assert (scissor.space_outside, scissor.space_inside) == pytest.approx((3.23, 5.95), abs=0.01)
    assert scissor.heel_state == "raised"


@pytest.mark.parametrize(("board", "off"), [("2x12", 0.75), ("1x10", 0.375), (None, 0.0), ("none", 0.0)])
def test_the_ridge_board_takes_half_its_thickness(board: str | None, off: float) -> None:
    """NAVEDTRA 14044, fig. 2-19: each rafter is shortened by half the ridge board, level; PS 20: 2x is 1 1/2, 1x 3/4
    in.

    A square-topped board flush at its faces stands m t/2 below the peak of the lines (worked by hand).
    """
    bay = RafterBay(Gable("24'", 9, "3 1/2"), ridge=board)
    assert bay.line_length - bay.cut_length == pytest.approx(off * 1.25, abs=1e-12)
    assert bay.peak_height - bay.ridge_top == pytest.approx(off * 0.75, abs=1e-12)


# --- cases worked by hand --------------------------------------------------------------------------------------------


def test_case_heel() -> None:
    """Worked by hand: heel 9.25 x 1.201850 - (2/3) x 5.5 = 11.117115 - 3.666667 = 7.450449, 7 7/16; notch
    3.666667/1.201850 = 3.050852, 32.98 % of 9.25; D/4 = 2.3125 is reached at a seat of 2.3125 x 1.201850 x 1.5 =
    4.168918; a 4 1/8 seat gives 11.117115 - 2.75 = 8.367115, 8 3/8.
    """
    bay = RafterBay(gable())
    assert bay.heel == pytest.approx(7.450449, abs=1e-5)
    assert rl.feet_inches(bay.heel) == '7 7/16"'
    assert bay.notch_depth == pytest.approx(3.051, abs=0.0005)
    assert bay.reading("notch_ratio").text == "33.0 %"
    remedy = next(f for f in rl.findings(bay) if f.name == "end_notch").remedy
    assert '4 1/8"' in remedy  # 4.169 rounded down to the sixteenth
    assert rl.feet_inches(RafterBay(gable(), seat="4 1/8").heel) == '8 3/8"'


def test_case_set_in_24() -> None:
    """Worked by hand, heel 7 7/16, wall set in 24, bearing 5 1/2 -> 3 1/2: the plate goes up (1/3)(24 + 3.5 - 5.5) =
    7.3333; heel 7.4375 + 16 - 7.3333 = 16.1042; runs 156 - 24 = 11'-0" and 13'-0"; the peak stands 7.4375 + 104 -
    7.3333 = 104.1042 above its own plate.
    """
    short = truss().jogged(24, "3 1/2")
    assert short.left.plate == pytest.approx(22 / 3, abs=1e-9)
    assert short.heel == pytest.approx(16.1041667, abs=1e-6)
    assert [rl.feet_inches(x) for x in (short.left.plate, short.heel)] == ['7 5/16"', "1'-4 1/8\""]
    assert [rl.feet_inches(e.run) for e in short.ends] == ["11'-0\"", "13'-0\""]
    assert short.peak[1] - short.left.plate == pytest.approx(104.1041667, abs=1e-6)
    assert short.height == pytest.approx(111.4375, abs=1e-9)  # from the lower plate, on the right
    assert (short.left.overhang, truss().jogged(24, eave="stepped").left.overhang) == (40, 16)


def test_case_set_out() -> None:
    """Worked by hand: set out 6: plate -2, heel 7.4375 - 4 + 2 = 5.4375, outside space 5.4375 - 3.5 x 1.201850 - 3.5 x
    1.054093 + 5.5/3 = -0.6250: standard.  Out 12: heel 3.4375, below the minimum heel 3.5 x 1.201850 + 0.25 = 4.456476.
    The heel falls 1/3 in an inch, so the least is met at (7.4375 - 4.456476) x 3 = 8.943 out.
    """
    out = truss().jogged(-6)
    assert (out.left.plate, out.heel) == pytest.approx((-2, 5.4375), abs=1e-9)
    assert out.space_outside == pytest.approx(-0.62, abs=0.006)
    assert out.heel_state == "standard"
    twelve = truss().jogged(-12)
    assert twelve.heel == pytest.approx(3.4375, abs=1e-9)
    assert twelve.heel_state == "below minimum"
    assert truss().jogged(-8.94).heel_state == "standard"
    assert truss().jogged(-8.95).heel_state == "below minimum"


def test_case_unequal_plates() -> None:
    """Worked by hand: 28'-0", 7 in 12 (k = sqrt(193)/12 = 1.157704), 2x8, seats 3 1/2, right plate 18 higher. Heel
    7.25 x 1.157704 - 2.041667 = 6.351686, 6 3/8. Ridge at 168 + 18/(2 x 7/12) = 183.428571, 15'-3 7/16". Height 6.375
    + (7/12) x 183.428571 = 113.375, 9'-5 3/8". Ceilings 3 in 12 from 3.5 and 332.5: apex at (3.5 + 332.5)/2 + 18/(2 x
    0.25) = 204, 20.5714 right of the ridge. Under the ridge: left line at 0.25 x 179.928571 = 44.982143, right slope
    (44.982143 - 18)/(332.5 - 183.428571) = 0.181001, 2.172 in 12.
    """
    g = Gable("28'", 7, "3 1/2", 12, plate_height=(97, 115))
    rafters = RafterBay(g, "2x8").handed_over()
    assert rafters.heel == pytest.approx(6.3517, abs=5e-5)
    assert rafters.left.heel == 6.375
    scissor = ScissorBay(g, 3, rafters.left.heel)
    assert rl.feet_inches(scissor.peak[0]) == "15'-3 7/16\""
    assert rl.feet_inches(scissor.height) == "9'-5 3/8\""
    assert scissor.left.wall.inside(scissor.left.apex) == pytest.approx(204, abs=1e-9)
    assert scissor.right.wall.inside(scissor.right.apex) == pytest.approx(204, abs=1e-9)
    assert 204 - scissor.peak[0] == pytest.approx(20.6, abs=0.05)
    under = ScissorBay(g, 3, rafters.left.heel, apex="ridge")
    assert 12 * under.symbols("right")["c"] == pytest.approx(2.172, abs=0.0005)
    assert [end.apex for end in under.ends] == pytest.approx([end.run for end in under.ends], abs=1e-9)
    assert under.ceiling_rise == pytest.approx(44.982143, abs=1e-6)


def test_case_ceiling_begun_at_the_wrong_face() -> None:
    """Worked by hand: 30'-0", 6 in 12, heel 9 13/16, ceiling 3 in 12, bearing 5 1/2: height 9.8125 + 90 = 99.8125,
    8'-3 13/16"; rise from the inside face 0.25 x (180 - 5.5) = 43.625, 3'-7 5/8"; from the outside face 45, 3'-9";
    depth at the peak 99.8125 - 43.625 = 56.1875, 4'-8 3/16".
    """
    g = Gable("30'", 6, "5 1/2")
    inside, outside = (ScissorBay(g, 3, "9 13/16", ceiling_from=face) for face in ("inside", "outside"))
    assert [rl.feet_inches(x) for x in (inside.height, inside.ceiling_rise, inside.depth_at_peak)] == [
        "8'-3 13/16\"", "3'-7 5/8\"", "4'-8 3/16\"",
    ]  # fmt: skip
    assert rl.feet_inches(outside.ceiling_rise) == "3'-9\""


def test_case_states_of_the_heel() -> None:
    """Worked by hand: 12 over 6 in 12, bearing 5 1/2, 2x4 chords: least 3.5 x 1.414214 + 0.25 = 5.199747, 5 3/16;
    raised from 3.5 x 1.414214 + 3.5 x 1.118034 - 0.5 x 5.5 = 6.112866, so from 6 1/8; at heel 8 the spaces are 8 -
    6.112866 = 1.887134 and + (1 - 0.5) x 5.5 = 4.637134.
    """
    g = Gable("26'", 12, "5 1/2")
    bay = ScissorBay(g, 6, 8)
    assert bay.reading("minimum_heel").text == '5 3/16"'
    assert (bay.space_outside, bay.space_inside) == pytest.approx((1.887, 4.637), abs=0.0005)
    states = {heel: ScissorBay(g, 6, heel).heel_state for heel in ("5 1/8", "5 1/4", "6 1/16", "6 1/8", "8")}
    assert states == {
        "5 1/8": "below minimum", "5 1/4": "standard", "6 1/16": "standard", "6 1/8": "raised", "8": "raised",
    }  # fmt: skip


def test_handed_over_heel_is_rounded_first() -> None:
    """Worked by hand: the house's heel 7.450449 is handed over as 7 7/16, the peak then stands 7.4375 + 104 above the
    plate.
    """
    bay = RafterBay(gable()).handed_over()
    assert [end.heel for end in bay.ends] == [7.4375, 7.4375]
    assert bay.peak_height == 111.4375
    assert bay.heel == RafterBay(gable()).heel  # the formula's own value stays readable
    assert bay.handed_over() == bay


# --- what an end is --------------------------------------------------------------------------------------------------


def test_a_bare_reading_is_the_left_ends() -> None:
    bay = RafterBay(gable(pitch=(8, 12), overhang=(16, 12)), plate=(-4, 4))
    for row in bay.rows():
        assert getattr(bay, row.name) == bay.reading(row.name).value == bay.reading(row.name, "left").value
    assert bay.reading("angle", "right").text == "45.0 degrees"
    assert bay.reading("tail_top", "right").value == pytest.approx(bay.right.heel - 12, abs=1e-12)


def test_inputs_of_the_table_are_the_house_of_the_examples() -> None:
    """Every default of INPUTS is inside its own range, and together they build both bays."""
    given = {name: row.default for name, row in INPUTS.items()}
    for name, row in INPUTS.items():
        problems: list[str] = []
        if row.kind == "choice":
            assert row.default in row.choices
        else:
            assert row.read(row.default, problems) == row.default
            assert (row.read(row.low, problems), row.read(row.high, problems)) == (row.low, row.high)
        assert not problems, name
    g = Gable(*(given[n] for n in ("span", "pitch", "bearing", "overhang", "plate_height", "sheathing", "window_head")))
    rafters = RafterBay(g, given["lumber"], given["seat"], given["ridge"], plate=given["plate"])
    assert rl.compare(rafters.handed_over(), ScissorBay(g, given["ceiling_pitch"], given["heel"])).plane_offset == 0


# --- refusals --------------------------------------------------------------------------------------------------------


def problems_of(make: Any, *args: Any, **kwargs: Any) -> tuple[str, ...]:
    with pytest.raises(InputError) as caught:
        make(*args, **kwargs)
    return caught.value.problems


def test_every_problem_at_once() -> None:
    found = problems_of(Gable, "no", "45 degrees", 0, 100, (1, 2, 3), "20 mm", None)
    assert len(found) == 7
    labels = ("Span", "Roof pitch", "Bearing", "Overhang", "Plate above floor", "Roof sheathing", "Eave window head")
    for sentence, label in zip(found, labels, strict=True):
        assert sentence.startswith(label)
    found = problems_of(ScissorBay, gable(), -1, 0, "4x4", "2x5", 500, "middle", "left")
    assert len(found) == 7


def test_a_span_in_feet_is_asked_about() -> None:
    assert "did you mean 26'?" in problems_of(Gable, 26, 8, 5.5)[0]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: RafterBay(gable(), seat=6), "at most the bearing"),
        (lambda: RafterBay(gable(pitch=18), "2x4"), "cut through"),
        (lambda: RafterBay(gable(pitch=(1, 24), bearing=16), seat=1), "between the walls"),
        (lambda: RafterBay(gable(plate_height=(0, 300))), "between the walls"),
        (lambda: ScissorBay(gable(), 9, 8), "at most the roof pitch"),
        (lambda: ScissorBay(gable(), 8, 4.5), "lower the ceiling pitch or raise the heel"),
        (lambda: ScissorBay(gable(plate_height=(90, 110)), 0.5, 9), "Ceiling apex"),
        (lambda: ScissorBay(gable(plate_height=(90, 100)), 0, 9), "never meet"),
        (lambda: ScissorBay(gable(), (0, 4), 9), "Ceiling apex"),  # it would stand on the right wall
        (lambda: ScissorBay(gable(plate_height=(90, 115.5)), 1, 9, ceiling_from="outside"), "Ceiling apex"),
        (lambda: truss().jogged(156), "before the ridge"),
        (lambda: truss().jogged(151), "before the ridge"),
        (lambda: truss().jogged(-17), "straight eave"),
        (lambda: truss().jogged(-24, eave="stepped"), "more than 0"),
        (lambda: truss(ceiling_from="outside").jogged(152), "before the ridge"),
        (lambda: RafterBay(gable(), "1 1/2 x 40"), "Rafter"),
        (lambda: RafterBay(gable(), ridge="300 x 12 1/2"), "Ridge board"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_refused(make: Any, says: str) -> None:
    assert any(says in problem for problem in problems_of(make))


def test_jog_past_the_apex_is_refused_even_before_the_ridge() -> None:
    """Worked by hand: 28 ft, 7 in 12, right plate 18 higher: ridge 183.43, ceilings 3 in 12 meet at 204.  Seen from the
    right wall the apex is 336 - 204 = 132 in, the ridge 152.57 in: there the apex is the limit, on the left the ridge.
    """
    bay = ScissorBay(Gable("28'", 7, "3 1/2", 12, plate_height=(97, 115)), 3, "6 3/8")
    assert bay.jogged(128, end="right").right.run == pytest.approx(24.571429, abs=1e-6)
    assert problems_of(bay.jogged, 128.5, end="right")
    assert bay.jogged(179.9).left.apex == pytest.approx(24.1, abs=1e-6)
    assert problems_of(bay.jogged, 180)


def test_chords_without_room_are_named_with_the_place_and_the_room() -> None:
    """Worked by hand: 20 ft, 4 and 12 in 12, so the ridge is at 180, ceilings 3 1/2 in 12 from 3.5, so they meet at
    120. There the left roof line is heel + 40, the ceiling 0.291667 x 116.5 = 33.979: at heel 1 1/4 the room is
    7.271, and the left top chord 3.5 x 1.054093 = 3.689 and the bottom chord 3.5 x 1.041667 = 3.646 need 7.335; at
    heel 1 3/8 they fit.
    """
    g = Gable("20'", (4, 12), "3 1/2")
    (problem,) = problems_of(ScissorBay, g, 3.5, 1.25)
    said = re.search("leaves (.+?) between .* at the (.+?): .+ more than (.+?);", problem)
    assert said
    assert said.groups() == ('7 1/4"', "ceiling's apex", '7 5/16"')
    assert ScissorBay(g, 3.5, 1.375).depth_at_peak > 40


def test_a_wall_set_out_leaves_room_for_the_apex() -> None:
    """Worked by hand: 12 ft, 3 and 12 in 12: the ridge is at 144 x 12/15 = 115.2.  Ceiling 1 in 12 from 5.5, held under
    it.  The left wall 36 out: the walls are 180 apart, the apex 115.2 + 36 = 151.2 in from the new one.  Its plate is
    1/12 x 36 = 3 lower; the roof there is 12 - 36 x 3/12 = 3 above the main plate, so the heel is 6.
    """
    bay = ScissorBay(Gable("12'", (3, 12), 5.5, 16), 1, 12, apex="ridge").jogged(-36, eave="stepped")
    assert bay.right.wall.x - bay.left.wall.x == 180
    assert bay.left.apex == pytest.approx(151.2) == bay.left.run
    assert (bay.left.plate, bay.left.heel) == pytest.approx((-3, 6))
    with pytest.raises(InputError, match="heel would be"):  # 12 - 36 x 3/12 - 3 is 0 at twice as far out
        bay.jogged(-36, eave="stepped")


def test_a_level_ceiling_held_under_the_ridge_needs_no_level_plates() -> None:
    """Worked by hand: 24 ft, 8 in 12, heels 12, the left plate 12 higher: the ridge stands 12 / (4/3) = 9 in left of
    the middle, at 135.  Left ceiling level, so the right one rises 12 in over 288 - 5.5 - 135 = 147.5 in to meet it,
    0.976 in 12; the peak is 12 + 2/3 x 135 = 102 above the left plate, 114 above the lower; depth 114 - 12 = 102.
    """
    plates = Gable("24'", 8, 5.5, 16, (109.125, 97.125))
    for ceiling in (0, (0, 1)):
        bay = ScissorBay(plates, ceiling, 12, apex="ridge")
        assert bay.right.ceiling is not None
        assert -12 * bay.right.ceiling.slope == pytest.approx(144 / 147.5)
        assert (bay.left.apex, bay.right.apex) == pytest.approx((135, 153))
        assert (bay.height, bay.ceiling_rise, bay.depth_at_peak) == pytest.approx((114, 12, 102))
    assert any("never meet" in one for one in problems_of(ScissorBay, plates, 0, 12))
    assert any("Ceiling apex" in one for one in problems_of(ScissorBay, plates, 0, 12, apex="ridge",
                                                            plate=(0, 24)))  # fmt: skip


# --- records ---------------------------------------------------------------------------------------------------------


def test_bays_are_equal_when_their_inputs_are() -> None:
    assert RafterBay(gable()) == RafterBay(gable(span=312.0), "2x10", "5 1/2")
    assert RafterBay(gable(bearing=(5.5, 5.5))) == RafterBay(gable())
    assert RafterBay(gable()) != RafterBay(gable(), "2x12")
    assert RafterBay(gable()) != RafterBay(gable()).handed_over()
    assert truss() == truss("7.4375") != truss(8)
    assert truss().jogged(12) == truss(jogs=(Jog("left", 12),)) != truss().jogged(12, end="right")
    assert len({RafterBay(gable()), RafterBay(gable()), truss(), truss(), gable(), gable()}) == 3


def test_bays_can_be_pickled_and_copied() -> None:
    for bay in (RafterBay(gable(), seat=3.5), truss().jogged(12)):
        for twin in (pickle.loads(pickle.dumps(bay)), copy.copy(bay), copy.deepcopy(bay)):
            assert twin == bay
            assert twin.heel == bay.heel


def test_with_changes_what_is_named_and_no_more() -> None:
    bay = RafterBay(gable(), seat=3.5, ridge=None, plate=2, rounded=True)
    assert bay.with_() == bay
    assert bay.with_(lumber="2x12") == RafterBay(gable(), "2x12", 3.5, None, plate=2, rounded=True)
    assert bay.with_(depth=9.5) == RafterBay(gable(), seat=3.5, ridge=None, depth=9.5, plate=2, rounded=True)
    assert bay.with_(depth=9.5).with_(plate=0).depth == 9.5
    assert bay.with_(depth=9.5).with_(lumber="2x8") == bay.with_(lumber="2x8")
    narrow = gable(bearing=3.5)
    assert RafterBay(gable()).with_(gable=narrow) == RafterBay(narrow)  # a full seat stays full
    assert RafterBay(gable(), seat=3).with_(gable=narrow).seat == 3
    jogged = truss(apex="ridge", chord="2x6").jogged(12)
    assert jogged.with_() == jogged
    assert jogged.with_(heel=9) == truss(9, apex="ridge", chord="2x6").jogged(12)
    assert jogged.with_(jogs=()) == truss(apex="ridge", chord="2x6")


def test_records_are_frozen() -> None:
    left = truss().left
    for record in (gable(), RafterBay(gable()), truss(), left, left.wall, left.roof, Jog("left", 1)):
        for f in dataclasses.fields(record):
            with pytest.raises(dataclasses.FrozenInstanceError):
                setattr(record, f.name, 1)
        with pytest.raises(AttributeError):
            record.something_new = 1  # type: ignore[union-attr]


def test_an_unknown_reading_is_named() -> None:
    bay = RafterBay(gable())
    with pytest.raises(AttributeError, match="ceiling_rise"):
        _ = bay.ceiling_rise  # type: ignore[attr-defined]
    with pytest.raises(InputError, match="heel"):
        bay.reading("ceiling_rise")
    with pytest.raises(InputError, match="left or right"):
        bay.reading("heel", "middle")
    assert {row.name for row in bay.rows()} <= set(dir(bay))
