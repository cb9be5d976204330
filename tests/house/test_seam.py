"""The seam, the limits and the tails: published limits, and cases worked by hand with the working shown."""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest

import rooflab as rl
from rooflab import Gable, InputError, RafterBay, ScissorBay
from rooflab.base.findings import Finding
from rooflab.checks.assumptions import house_findings
from rooflab.house.seam import Comparison, Remedy

PUBLISHED = "IRC"
EPS = 1 / 64


def gable(**changes: Any) -> Gable:
    return Gable(**{"span": "26'", "pitch": 8, "bearing": "5 1/2", "overhang": 16, **changes})


def house(heel: Any = None, **changes: Any) -> tuple[RafterBay, ScissorBay]:
    """The house of the examples, planes hung from the heel rounded to 1/16; another truss heel where one is given."""
    rafters = RafterBay(gable(**changes)).handed_over()
    return rafters, ScissorBay(gable(**changes), 4, rafters.left.heel if heel is None else heel)


def finding(bay: Any, name: str) -> Finding:
    return next(f for f in rl.findings(bay) if f.name == name)


def verdict(bay: Any, name: str) -> str:
    return finding(bay, name).verdict


# --- the seam --------------------------------------------------------------------------------------------------------


def test_case_pitches_that_differ() -> None:
    """Worked by hand: rafters 8, trusses 7 3/4 in 12 with equal heels: the gap is -(1/4)/12 x = -x/48: tail, at x =
    -16, +1/3; ridge, at 156, -3 1/4, which is 3.25/1.201850 = 2.704 square to the rafter plane; -1/4 in a foot.
    """
    rafters, _ = house()
    trusses = ScissorBay(gable(pitch="7 3/4"), 4, rafters.left.heel)
    seam = rl.compare(rafters, trusses)
    assert (seam.heel_gap, seam.tail_gap, seam.ridge_gap) == pytest.approx((0, 1 / 3, -3.25), abs=1e-9)
    assert seam.plane_offset == pytest.approx(-2.704, abs=0.0005)
    assert seam.drift == pytest.approx(-0.25, abs=1e-9)
    assert not seam.coplanar
    for words in ('5/16" high at the tail', "level at the eave", '3 1/4" low at the ridge', 'drift 1/4" a foot'):
        assert words in seam.sentence
    (remedy,) = seam.remedies
    assert (remedy.what, remedy.possible) == ("pitch", True)
    assert (remedy.change, remedy.to) == pytest.approx((0.25, 8), abs=1e-9)
    assert "8 in 12" in remedy.sentence
    assert rl.compare(rafters, trusses.with_(gable=gable(pitch=remedy.to))).plane_offset == pytest.approx(0, abs=1e-9)


def remedies(seam: Comparison) -> dict[str, Remedy]:
    return {remedy.what: remedy for remedy in seam.remedies}


def closed(rafters: RafterBay, trusses: ScissorBay) -> bool:
    seam = rl.compare(rafters, trusses, 0)
    return seam.coplanar and abs(seam.heel_gap) < 1e-9 and abs(seam.ridge_gap) < 1e-9 and not seam.remedies


@pytest.mark.parametrize("rounded", [False, True])
@pytest.mark.parametrize("gap", [0.5, 1.0, 0.0625, -0.5, -1.0, -0.0625])
def test_each_remedy_closes_the_gap(gap: float, rounded: bool) -> None:
    """What a remedy says, done, leaves no gap; its sign is that of the change: a truss plane too high wants a shorter
    seat, a lower truss heel, a deeper rafter and the rafters' plate up.
    """
    rafters = RafterBay(gable(), seat="3 1/2", rounded=rounded)
    trusses = ScissorBay(gable(), 4, rafters.left.heel + gap)
    seam = rl.compare(rafters, trusses, 0)
    assert (seam.heel_gap, seam.tail_gap, seam.ridge_gap) == pytest.approx((gap, gap, gap), abs=1e-9)
    assert seam.plane_offset == pytest.approx(gap * 3 / sqrt(13), abs=1e-9)
    done = remedies(seam)
    assert set(done) == {"seat", "heel", "plate", "depth"}
    assert [done[what].change * gap < 0 for what in ("seat", "heel", "depth")] == [True, True, False]
    assert done["plate"].change == pytest.approx(abs(gap), abs=1e-9)
    assert done["seat"].possible
    # not rounded again: 1/16 in of seat is less than 1/16 in of heel
    assert closed(rafters.with_(seat=done["seat"].to, rounded=False), trusses)
    assert closed(rafters, trusses.with_(heel=done["heel"].to))
    assert closed(rafters.with_(depth=done["depth"].to, rounded=False), trusses)
    if gap > 0:
        assert closed(rafters.with_(plate=done["plate"].to), trusses)
    else:
        assert closed(rafters, trusses.with_(plate=done["plate"].to))
    for what, was in (("seat", 3.5), ("heel", trusses.heel), ("depth", 9.25)):
        assert done[what].to - was == pytest.approx(done[what].change, abs=1e-9)


def test_remedies_in_numbers() -> None:
    """Worked by hand: rafter 2x10 on a 3 1/2 seat, heel 9.25 x 1.201850 - 7/3 = 8.783782; trusses 1 in higher,
    9.783782. Seat 1 x 1.5 = 1 1/2 shorter, 2; notch (2/3) x 2/1.201850 = 1.109401, 12 % of the depth, was 1.941451,
    21 %; the depth would be (9.783782 + 7/3)/1.201850 = 10.082050, between 2x10 and 2x12.
    """
    rafters = RafterBay(gable(), seat="3 1/2")
    seam = rl.compare(rafters, ScissorBay(gable(), 4, rafters.heel + 1))
    done = remedies(seam)
    assert (done["seat"].change, done["seat"].to) == pytest.approx((-1.5, 2), abs=1e-9)
    assert 'seat 1 1/2" shorter, 2": the notch becomes 12 % of the rafter\'s depth (now 21 %)' in done["seat"].sentence
    assert '1" lower' in done["heel"].sentence
    assert done["depth"].to == pytest.approx(10.082050, abs=1e-5)
    assert not done["depth"].possible
    assert "2x10 is 9 1/4\" and 2x12 is 11 1/4\"" in done["depth"].sentence
    assert "loses its grade" in done["depth"].sentence
    assert "rafters' plate" in done["plate"].sentence


def test_a_deeper_sawn_rafter_is_named() -> None:
    """PS 20: a 2x12 is 2 in deeper than a 2x10; plumb that is 2 k(m) = 2.403701 in at 8 in 12 (worked by hand)."""
    rafters = RafterBay(gable(), seat="3 1/2")
    done = remedies(rl.compare(rafters, ScissorBay(gable(), 4, rafters.heel + 2 * sqrt(13) / 3)))
    assert done["depth"].possible
    assert "2x12" in done["depth"].sentence


def test_remedies_that_cannot_be_had_say_so() -> None:
    """Worked by hand: full seat 5 1/2 already; lower needs a longer seat than the bearing. Heel 11.1171 is the plumb
    depth: higher than that no seat does it. Trusses 10 in lower than an 8 in 12 2x4's heel would leave no rafter at
    all.
    """
    for trusses_heel in (6, 12):
        seat = remedies(rl.compare(RafterBay(gable()), ScissorBay(gable(), 4, trusses_heel)))["seat"]
        assert not seat.possible
        assert seat.sentence.startswith("No seat does it")
    wide = gable(pitch=12, bearing=16)
    rafters = RafterBay(wide, "2x4", seat=4)
    lower = ScissorBay(wide, 4, 8, plate=-9)
    done = remedies(rl.compare(rafters, lower))
    assert 0 <= done["seat"].to <= 16
    assert not done["seat"].possible
    with pytest.raises(InputError, match="cut through"):
        rafters.with_(seat=done["seat"].to)
    done = remedies(rl.compare(rafters, ScissorBay(wide, 4, 8, plate=30)))
    assert done["heel"].to < 0
    assert not done["heel"].possible


def test_the_right_end_alone_may_be_off() -> None:
    """Worked by hand: trusses right at the left wall, 1/2 in high at the right one: 0.5/1.201850 = 0.416, 7/16,
    square.
    """
    rafters = RafterBay(gable(), seat="3 1/2")
    h = rafters.heel
    seam = rl.compare(rafters, ScissorBay(gable(), 4, (h, h + 0.5)))
    assert (seam.heel_gap, seam.tail_gap) == (0, 0)
    assert seam.plane_offset == pytest.approx(0.5 * 3 / sqrt(13), abs=1e-9)
    assert not seam.coplanar
    assert "right" in seam.sentence
    assert '7/16" too high' in seam.sentence
    done = remedies(seam)
    assert closed(rafters.with_(seat=(3.5, done["seat"].to)), ScissorBay(gable(), 4, (h, h + 0.5)))
    assert closed(rafters, ScissorBay(gable(), 4, (h, done["heel"].to)))
    assert closed(rafters.with_(plate=(0, done["plate"].to)), ScissorBay(gable(), 4, (h, h + 0.5)))


def test_an_offset_all_along_says_how_much_and_which_way() -> None:
    """Worked by hand: 1/2 in plumb at 8 in 12 is 0.416, 7/16 in, square to the roof."""
    for gap, side in ((0.5, "high"), (-0.5, "low")):
        rafters, trusses = house(7.4375 + gap)
        assert f'1/2" too {side} all along, 7/16" square to the roof' in rl.compare(rafters, trusses).sentence
    assert "run through" in rl.compare(*house()).sentence


def test_tolerance() -> None:
    """Worked by hand: at 9 in 12 a plumb gap of 5/16 is 0.3125/1.25 = 1/4 exactly square to the plane."""
    g = gable(pitch=9)
    rafters = RafterBay(g, seat=4)
    trusses = ScissorBay(g, 4, rafters.heel + 0.3125)
    assert rl.compare(rafters, trusses).tolerance == 0.125
    assert [rl.compare(rafters, trusses, t).coplanar for t in ("1/4", 0.2499, "1/8", 0, 0.2501)] == [
        True, False, False, False, True,
    ]  # fmt: skip
    assert rl.compare(rafters, ScissorBay(g, 4, rafters.heel), 0).coplanar
    low = ScissorBay(g, 4, rafters.heel - 0.3125)
    assert [rl.compare(rafters, low, t).coplanar for t in ("1/4", 0.2499)] == [True, False]
    wrong: tuple[Any, ...] = (-0.01, "-1/8", "some", None, True, float("nan"), float("inf"), "3 mm", [1])
    for bad in wrong:
        with pytest.raises(InputError, match="Tolerance"):
            rl.compare(rafters, trusses, bad)


def test_a_jogged_bay_lies_in_the_same_plane() -> None:
    """Heels differ, planes do not: planes are compared at one x, never heel with heel."""
    rafters, trusses = house()
    for short in (trusses.jogged(24, "3 1/2"), trusses.jogged(-6), trusses.jogged(24, end="right", eave="stepped")):
        seam = rl.compare(rafters, short, 0)
        assert short.left.heel != rafters.left.heel or short.right.heel != rafters.right.heel
        assert seam.coplanar
        assert seam.plane_offset == 0
        assert not seam.remedies


# --- asked backwards -------------------------------------------------------------------------------------------------


def test_inverse_questions() -> None:
    """Worked by hand at 9 in 12 (k = 1.25), depth 11.25, seat 7.25: heel 14.0625 - 5.4375 = 8.625; seat 0 gives the
    plumb depth 14.0625, and nothing gives more.
    """
    assert rl.seat_for_heel("8 5/8", "11 1/4", 9) == 7.25
    assert rl.seat_for_heel("14 1/16", "11 1/4", 9) == 0
    assert rl.depth_for_heel("8 5/8", "7 1/4", 9) == 11.25
    assert any(abs(p - 9) < 1e-9 for p in rl.pitch_for_heel("8 5/8", "11 1/4", "7 1/4"))
    with pytest.raises(InputError, match="at most the plumb depth, 1'-2 1/16\""):
        rl.seat_for_heel("14 1/8", "11 1/4", 9)
    with pytest.raises(InputError) as caught:
        rl.seat_for_heel("junk", 1, 30)
    assert len(caught.value.problems) == 3


# --- limits ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("size", "most"), [("2x6", 1.375), ("2x8", 1.8125), ("2x10", 2.3125), ("2x12", 2.8125)])
def test_end_notch(size: str, most: float) -> None:
    """IRC R802.7.1: notch at a member's end at most D/4, square to the edge: 1.375, 1.8125, 2.3125, 2.8125 in for a
    2x6 to 2x12. Worked by hand at 9 in 12: notch = 0.75 seat/1.25 = 0.6 seat, so the seat may be D/2.4.
    """
    g = gable(pitch=9, bearing=8)
    at = most / 0.6
    said = {seat: finding(RafterBay(g, size, seat=seat), "end_notch") for seat in (at - EPS, at, at + EPS)}
    assert [f.verdict for f in said.values()] == ["meets", "meets", "ask"]
    assert all(f.limit == most and PUBLISHED in f.source for f in said.values())
    assert said[at].value == pytest.approx(most, abs=1e-12)
    assert "officials differ" in said[at + EPS].sentence
    assert rl.feet_inches((at * 16 // 1) / 16) in said[at + EPS].remedy


@pytest.mark.parametrize(("seat", "expected"), [(5 - EPS, "meets"), (5, "meets"), (5 + EPS, "misses")])
def test_stock_above_the_seat_and_tail_left(seat: float, expected: str) -> None:
    """NAVEDTRA 14044 p. 67 (older rule): at least 2 in of stock above the seat; IRC R802.7.1.1: at least 3 1/2 in of
    the tail left beside the notch. Worked by hand at 9 in 12: a seat of 5 cuts 3 square to the edge: depths 5 and 6
    1/2.
    """
    g = gable(pitch=9, bearing=8)
    above = finding(RafterBay(g, seat=seat, depth=5), "stock_above_seat")
    assert (above.verdict, above.limit) == (expected, 2)
    tail = finding(RafterBay(g, seat=seat, depth=6.5), "tail_left")
    assert (tail.verdict, tail.limit) == (expected, 3.5)
    assert above.value == pytest.approx(5 - 0.6 * seat, abs=1e-12)
    assert tail.value == pytest.approx(6.5 - 0.6 * seat, abs=1e-12)


@pytest.mark.parametrize(("out", "expected"), [(24 - EPS, "meets"), (24, "meets"), (24 + EPS, "misses")])
def test_tail_length(out: float, expected: str) -> None:
    """IRC R802.7.1.1: a notched tail reaches at most 24 in."""
    assert verdict(RafterBay(gable(overhang=out), seat=3.5), "tail_length") == expected


def test_no_tail_no_tail_findings() -> None:
    names = {f.name for f in rl.findings(RafterBay(gable(overhang=0)))}
    assert not names & {"tail_left", "tail_length", "soffit_line"}
    assert "end_notch" in names
    assert rl.tail_and_soffit(RafterBay(gable(overhang=0)), house()[1]) is None
    assert rl.tail_and_soffit(RafterBay(gable()), ScissorBay(gable(overhang=0), 4, 8)) is None


@pytest.mark.parametrize(
    ("width", "expected"),
    [(1.5 - EPS, "misses"), (1.5, "ask"), (1.5 + EPS, "ask"), (3 - EPS, "ask"), (3, "meets"), (3 + EPS, "meets")],
)
def test_bearing(width: float, expected: str) -> None:
    """IRC R802.6: at least 1 1/2 in on wood or metal, 3 in on masonry: between the two it is asked which it is."""
    assert verdict(RafterBay(gable(), seat=width), "bearing") == expected
    assert verdict(ScissorBay(gable(bearing=width), 4, 8), "bearing") == expected


@pytest.mark.parametrize(("depth", "expected"), [(9 - EPS, "meets"), (9, "meets"), (9 + EPS, "misses")])
def test_ridge_board(depth: float, expected: str) -> None:
    """IRC R802.3: the ridge board is no less deep than the rafter's cut end. Worked by hand: at 9 in 12 a 9 in deep
    rafter is cut 11 1/4 plumb, a 2x12's depth.
    """
    found = finding(RafterBay(gable(pitch=9), seat=3.5, depth=depth, ridge="2x12"), "ridge_board")
    assert found.verdict == expected
    assert (found.value, found.limit) == pytest.approx((11.25, 1.25 * depth), abs=1e-12)
    assert verdict(RafterBay(gable(pitch=9), ridge=None), "ridge_board") == "ask"


@pytest.mark.parametrize(("pitch", "expected"), [(2.99, "misses"), (3, "meets"), (3.01, "meets")])
def test_slope(pitch: float, expected: str) -> None:
    """IRC R802.3, R802.4.2: under 3 in 12 a ridge beam or bearing wall is required."""
    assert verdict(RafterBay(gable(pitch=pitch)), "slope") == expected


@pytest.mark.parametrize(
    ("heel", "expected", "words"),
    [
        (9.25 - EPS, "meets", "no blocking"), (9.25, "meets", "no blocking"), (9.25 + EPS, "ask", "blocking is wanted"),
        (15.25, "ask", "blocking is wanted"), (15.25 + EPS, "ask", "prescriptive panels or a design"),
    ],
)  # fmt: skip
def test_blocking_at_braced_walls(heel: float, expected: str, words: str) -> None:
    """IRC R602.10.8.2, from memory: heel to 9 1/4 in none, to 15 1/4 blocking, then panels or design (low seismic)."""
    found = finding(ScissorBay(gable(), 4, heel), "heel_blocking")
    assert found.verdict == expected
    assert f"means {words}" in found.sentence
    assert "from memory" in found.source


@pytest.mark.parametrize(("heel", "expected"), [(4.625 - EPS, "misses"), (4.625, "meets"), (4.625 + EPS, "meets")])
def test_minimum_heel(heel: float, expected: str) -> None:
    """Common shop practice, from memory: minimum heel = plumb depth of the top chord + 1/4 in; 3.5 x 1.25 + 0.25 at 9
    in 12.
    """
    found = finding(ScissorBay(gable(pitch=9), 4, heel), "minimum_heel")
    assert found.verdict == expected
    assert found.limit == 4.625
    assert "from memory" in found.source
    words = {"meets": "standard", "misses": "no chord can bear"}
    assert words[expected] in found.sentence


def test_soffit_over_the_window() -> None:
    """Worked by hand at 9 in 12, plate 96 above the floor, 16 in overhang: rafter 11 1/4 on 7 1/4: heel 8.625, tail's
    top 8.625 - 12 = -3.375, underside -3.375 - 14.0625 = -17.4375: 78.5625 above the floor. Truss 2x4: -3.375 -
    4.375: 88.25.
    """
    for head, expected in ((78.5625 - EPS, "meets"), (78.5625, "meets"), (78.5625 + EPS, "misses")):
        g = gable(pitch=9, bearing=7.25, plate_height=96, window_head=head)
        found = finding(RafterBay(g, "2x12"), "soffit_line")
        assert (found.verdict, found.value, found.limit) == (expected, 78.5625, head)
    g = gable(pitch=9, bearing=7.25, plate_height=(96, 96), window_head=88.25)
    assert finding(ScissorBay(g, 4.5, "8 5/8"), "soffit_line").value == 88.25
    assert finding(ScissorBay(g, 4.5, "8 5/8", plate=2), "soffit_line").value == 90.25


def test_the_right_end_is_heard_where_it_differs() -> None:
    bay = RafterBay(gable(overhang=(16, 30)), seat=3.5)
    assert (verdict(bay, "tail_length"), verdict(bay, "tail_length_right")) == ("meets", "misses")
    assert not any(f.name.endswith("_right") for f in rl.findings(RafterBay(gable())))
    g = gable(plate_height=(96, 100), window_head=0)
    bay = RafterBay(g, seat=3.5)
    assert finding(bay, "soffit_line_right").value - finding(bay, "soffit_line").value == pytest.approx(4, abs=1e-9)


def test_an_eave_without_a_tail_has_no_soffit_line() -> None:
    """Nor the other eave's: its soffit may hang below the window's head, here there is none."""
    g = gable(overhang=(16, 0), plate_height=96, window_head=94)
    rafters = RafterBay(g, "2x12", seat=3.5)
    found = house_findings(rafters, ScissorBay(g, 4, rafters.left.heel), None)
    assert found["rafter.soffit_line"].verdict == found["scissor.soffit_line"].verdict == "misses"
    assert not {"rafter.soffit_line_right", "scissor.soffit_line_right"} & found.keys()


def test_every_finding_is_complete() -> None:
    rafters, trusses = house()
    for f in (*rl.findings(rafters), *rl.findings(trusses)):
        assert f.verdict in ("meets", "misses", "ask")
        assert f.source
        assert f.remedy.endswith(".")
        assert f.sentence.rstrip(")").endswith((".", "?", "seismic"))


# --- tails and soffit ------------------------------------------------------------------------------------------------


def test_case_tail_and_soffit() -> None:
    """Worked by hand, heel 7 7/16, overhang 16: top 7.4375 - 32/3 = -3.2292 for both; underside of the 2x10 -3.2292 -
    11.1171 = -14.3463, of the 2x4 chord -3.2292 - 4.2065 = -7.4356, step 6.9106; level cut 6.9106 x 1.5 = 10.366, 10
    3/8; it leaves 9.25 - 6.9106/1.201850 = 9.25 - 5.75 = 3 1/2 square. Soffit 97.125 - 7.4356 = 89.6894 above the
    floor; subfascia beveled 4.2065; square-edged, its top corner 1 1/2 out and so 1 lower, 3.2065: a 2x4.
    """
    tail = rl.tail_and_soffit(*house())
    assert tail is not None
    assert tail.top == pytest.approx(-3.229, abs=0.0005)
    assert tail.rafter_underside == pytest.approx(-14.346, abs=0.0005)
    assert tail.truss_underside == pytest.approx(-7.436, abs=0.0005)
    assert tail.step == pytest.approx(6.911, abs=0.0005)
    assert rl.feet_inches(tail.level_cut) == '10 3/8"'
    assert tail.leaves == pytest.approx(3.5, abs=1e-9)
    assert tail.soffit == tail.truss_underside
    assert tail.soffit_height == pytest.approx(89.6894, abs=0.0005)
    assert (tail.beveled, tail.square_edged) == pytest.approx((4.2065, 3.2065), abs=0.0005)
    assert tail.subfascia == "2x4"
    for words in ('level cut 10 3/8" long on the rafter tail', 'leaves 3 1/2" square'):
        assert words in tail.sentence
    assert "wall" not in tail.sentence


def test_a_truss_tail_deeper_than_the_rafters() -> None:
    """Worked by hand at 9 in 12: 2x4 rafter, 2x6 chord: the truss's underside is (5.5 - 3.5) x 1.25 = 2.5 lower."""
    g = gable(pitch=9)
    rafters = RafterBay(g, "2x4", seat=3)
    tail = rl.tail_and_soffit(rafters, ScissorBay(g, 4, rafters.heel, "2x6"))
    assert tail is not None
    assert tail.step == pytest.approx(-2.5, abs=1e-9)
    assert tail.soffit == tail.rafter_underside
    assert tail.level_cut == pytest.approx(2.5 / 0.75, abs=1e-9)
    assert tail.leaves == pytest.approx(3.5, abs=1e-9)
    assert 'tail cut 2 1/2" higher' in tail.sentence
    assert "not cut on site" in tail.sentence


def test_equal_tails_meet() -> None:
    rafters = RafterBay(gable(), "2x4", seat=2)
    tail = rl.tail_and_soffit(rafters, ScissorBay(gable(), 4, rafters.heel))
    assert tail is not None
    assert (tail.step, tail.level_cut) == pytest.approx((0, 0), abs=1e-9)
    assert "both undersides meet" in tail.sentence


def test_a_level_cut_that_runs_into_the_wall() -> None:
    """Worked by hand: the cut is 10.366 long; an overhang of 10 3/8 takes it, 10 1/4 does not."""
    for out, runs_in in ((10.375, False), (10.25, True)):
        tail = rl.tail_and_soffit(*house(overhang=out))
        assert tail is not None
        assert ("run into the wall" in tail.sentence) is runs_in


def test_tails_in_different_planes() -> None:
    """A truss plate 10 in higher: one soffit line would leave nothing of the rafter's tail, and the sentence says so.
    """
    rafters = RafterBay(gable(), seat=3.5)
    tail = rl.tail_and_soffit(rafters, ScissorBay(gable(), 4, rafters.heel, plate=10))
    assert tail is not None
    assert tail.leaves < 0
    assert "nothing would be left" in tail.sentence


def test_soffit_counts_from_the_floor_whatever_the_plates() -> None:
    """Worked by hand: both bays' plates 3 up, gable's plate 100 above the floor: soffit 100 + 3 - 7.4356 = 95.5644."""
    g = gable(plate_height=100)
    tail = rl.tail_and_soffit(RafterBay(g, plate=3).handed_over(), ScissorBay(g, 4, "7 7/16", plate=3))
    assert tail is not None
    assert tail.soffit_height == pytest.approx(95.5644, abs=0.0005)
    lifted = rl.tail_and_soffit(RafterBay(g).handed_over(), ScissorBay(g, 4, "4 7/16", plate=3))
    assert lifted is not None
    assert lifted.step == pytest.approx(6.911, abs=0.0005)


def test_each_eave_has_its_own_soffit_line() -> None:
    """Worked by hand at 8 in 12, plate 96 above the floor, heel 8 13/16, truss 2x4 (plumb 3 1/2 x 1.20185 = 4.2065):
    overhang 16: 96 + 8.8125 - 10.6667 - 4.2065 = 89.9393; overhang 24: 96 + 8.8125 - 16 - 4.2065 = 84.6060.
    A head at 86 is cleared on the left only; both bays say so, though the truss alone has the same numbers.
    """
    g = gable(plate_height=96, overhang=(16, 24), window_head=86)
    rafters = RafterBay(g, seat=3.5).handed_over()
    found = house_findings(rafters, ScissorBay(g, 4, rafters.left.heel), None)
    for kind in ("rafter", "scissor"):
        left, right = found[f"{kind}.soffit_line"], found[f"{kind}.soffit_line_right"]
        assert (left.name, right.name) == ("soffit_line", "soffit_line_right")
        assert (left.verdict, right.verdict) == ("meets", "misses")
        assert left.value == pytest.approx(89.9393, abs=1e-3) and right.value == pytest.approx(84.6060, abs=1e-3)


def test_limits_take_arrays() -> None:
    """A limit is a function of arrays from the start."""
    import numpy as np

    from rooflab.checks import limits

    assert list(np.asarray(limits.end_notch_limit(np.array([5.5, 7.25])))) == [1.375, 1.8125]
