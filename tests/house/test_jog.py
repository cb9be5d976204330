"""Wall jogs, gable ends and ceiling finishes against cases worked by hand, and as invariants over random houses.

The house of the cases: 26'-0", 8 in 12, ceiling 4 in 12 from the inside face of 5 1/2 in walls, overhang 16, 2x4
chords, heel 7 7/16 = 7.4375.  By hand, set in 24 with a 3 1/2 in wall: the plate rises (24 + 3.5 - 5.5)/3 = 7.3333;
the heel is 7.4375 + 16 - 7.3333 = 16.1042.  What offices usually try is common practice, no source.
"""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

import rooflab as rl
from rooflab import Gable, InputError, ScissorBay
from rooflab.house.bays import Jog
from rooflab.house.jog import WAYS, WallJog, Way, blocking_from, finish, gable_end, header_load, jog
from tests.tools.strategies import bounded, jogs, legal, scissors

TINY = 1e-9
K8 = sqrt(1 + (8 / 12) ** 2)


def truss(heel: Any = "7 7/16", ceiling: Any = 4, pitch: Any = 8, **more: Any) -> ScissorBay:
    return ScissorBay(Gable("26'", pitch, "5 1/2", 16), ceiling, heel, **more)


def ways(made: WallJog) -> dict[str, Way]:
    return {way.name: way for way in made.ways}


# --- by hand ---------------------------------------------------------------------------------------------------------


def test_set_in_24_with_a_thinner_wall() -> None:
    """Studs: 8'-1 1/8" plate less three 1 1/2 in plates is 92.625, and 7.3333 more on the moved wall: 99.9583."""
    made = jog(truss(), 24, "3 1/2")
    assert (made.rise, made.heel) == pytest.approx((22 / 3, 16.1041667), abs=1e-6)
    assert [rl.feet_inches(x) for x in (made.rise, made.heel)] == ['7 5/16"', "1'-4 1/8\""]
    assert made.stud == pytest.approx(92.625 + 22 / 3, abs=TINY)
    assert made.run == 132
    assert made.short == truss().jogged(24, "3 1/2")
    assert "2'-0\" long" in made.return_wall and "8'-8 7/16\"" in made.return_wall  # 97.125 + 7.3333 = 104.4583


def test_what_the_other_ways_break() -> None:
    """By hand: the plate left, the heel is 7.4375 + 16 = 23.4375.  A ceiling 7.3333 lower (8.6667 higher) meets the far
    one, as steep, half of that over 1/3 further (nearer): the apex, 132 in, moves by 11 (13), to 143 and 119.  With
    the long heel the plate goes up 16 and the ceiling with it: 16 - 7.3333 = 8.6667 too high.
    """
    found = ways(jog(truss(), 24, "3 1/2"))
    assert list(found) == list(WAYS)
    expected = {  # plate, heel, break, stand-off, apex from the wall
        "move plate": (22 / 3, 16.1041667, 0, 0, 132),
        "block up": (0, 23.4375, 0, 22 / 3, 132),
        "new ceiling": (0, 23.4375, -22 / 3, 0, 143),
        "same heel": (16, 7.4375, 26 / 3, 0, 119),
        "beam": (0, 7.4375, 0, 0, 156),
    }
    for name, numbers in expected.items():
        way = found[name]
        assert way.bay is not None
        read = (way.plate, way.heel, way.ceiling_break, way.stand_off, way.bay.left.apex)
        assert read == pytest.approx(numbers, abs=1e-6), name


def test_equal_walls_break_by_the_short_relations() -> None:
    """With equal bearings, 24 in, 8 and 3 in 12: c j = 6 off the plate or in the ceiling, (m - c) j = 10 one heel."""
    found = ways(jog(truss(ceiling=3), 24))
    assert found["block up"].stand_off == pytest.approx(6, abs=TINY)  # 3/12 x 24
    assert found["new ceiling"].ceiling_break == pytest.approx(-6, abs=TINY)
    assert found["same heel"].ceiling_break == pytest.approx(10, abs=TINY)  # (8 - 3)/12 x 24


@pytest.mark.parametrize(
    ("by", "name", "said"),
    [
        (24, "move plate", 'Raise the plate 7 5/16" and order a heel of 1\'-4 1/8"'),
        (24, "block up", 'stands 7 5/16" off the plate'),
        (24, "new ceiling", 'lies 7 5/16" lower'),
        (24, "same heel", 'Raise the plate 1\'-4" so that the long'),
        (24, "same heel", 'holds the roof plane; the ceiling begins 8 11/16" too high'),
        (24, "beam", "run on over the recess"),
        (-6, "move plate", 'Lower the plate 2 11/16" and order a heel of 6 1/8"'),  # (-6 - 2)/3; 7.4375 - 4 + 2.6667
        (-6, "block up", 'comes 2 11/16" below the plate\'s top, where no truss can go: for 8" from the wall'),
        (-6, "new ceiling", 'lies 2 11/16" higher'),
        (-6, "same heel", 'Lower the plate 4" so that the long'),
        (-6, "same heel", 'the ceiling begins 1 5/16" too low'),
        (-6, "beam", "Long trusses end on a beam"),
        (2, "move plate", "Leave the plate at its height"),  # 2 + 3.5 - 5.5 = 0
        (0, "same heel", "The wall stands where it stood"),
    ],
)  # fmt: skip
def test_sentences_for_in_and_out(by: float, name: str, said: str) -> None:
    assert said in ways(jog(truss(), by, "3 1/2"))[name].sentence


def test_set_out_with_equal_walls() -> None:
    """Set out 6: plate -2, heel 7.4375 - 4 + 2 = 5.4375; left at its height the truss has a heel of 7.4375 - 4."""
    made = jog(truss(), -6)
    assert (made.rise, made.heel) == pytest.approx((-2, 5.4375), abs=TINY)
    assert ways(made)["block up"].heel == pytest.approx(3.4375, abs=TINY)
    assert made.move_words == 'set out 6"'


def test_the_ceiling_from_the_outside_face_counts_no_bearings() -> None:
    """From the outside face the plate rises c j alone: 24/3 = 8, whatever the walls."""
    assert jog(truss(ceiling_from="outside"), 24, "3 1/2").rise == pytest.approx(8, abs=TINY)


def test_eave_straight_or_stepped() -> None:
    """Straight: 16 + 24 = 40 of overhang, no step.  Stepped: 16 stay, fascia 8/12 x 24 = 16 higher; 12 out, 8 lower."""
    straight, stepped = jog(truss(), 24), jog(truss(), 24, eave="stepped")
    assert (straight.new.overhang, straight.fascia_step) == (40, pytest.approx(0, abs=TINY))
    assert (stepped.new.overhang, stepped.fascia_step) == (16, pytest.approx(16, abs=TINY))
    assert "grows from 1'-4\" to 3'-4\". Ask the manufacturer" in straight.eave_sentence
    assert "1'-4\" higher" in stepped.eave_sentence
    assert '8" lower' in jog(truss(), -12, eave="stepped").eave_sentence
    assert "shrinks from 1'-4\" to 4\"" in jog(truss(), -12).eave_sentence
    assert "stays as it is" in jog(truss(), 0).eave_sentence


def test_studs_count_from_the_floor_under_their_own_wall() -> None:
    """The right plate 18 in higher, 97.125 + 18 = 115.125: less 4.5 its studs are 110.625, in 24 they are 8 more."""
    gable = Gable("26'", 8, "5 1/2", 16, (97.125, 115.125))
    bay = ScissorBay(gable, 4, 12)
    assert jog(bay, 24, end="right").stud == pytest.approx(118.625, abs=TINY)
    assert jog(bay, 24).stud == pytest.approx(100.625, abs=TINY)


def test_unequal_plates() -> None:
    """28'-0", 7 in 12, heel 6 3/8, right plate 18 higher: ridge 168 + 18/(2 x 7/12) = 183.4286; set in 24 on the left
    its run is 159.4286.  Ceiling 3 in 12, bearing 3 1/2: plate 6 up, heel 6.375 + 14 - 6 = 14.375; apex 204 - 24 = 180.
    """
    gable = Gable("28'", 7, "3 1/2", 16, (97.125, 115.125))
    made = jog(ScissorBay(gable, 3, "6 3/8"), 24)
    assert (made.rise, made.heel) == pytest.approx((6, 14.375), abs=TINY)
    assert made.run == pytest.approx(159.428571, abs=1e-6)
    assert made.left.apex == pytest.approx(180, abs=TINY)


def test_header_load() -> None:
    """Half of 40 psf over 26 ft: 40 x 26/2 = 520 lb on each foot (statics of a simple span)."""
    assert header_load(40, "26'") == 520
    assert header_load(40, "22'-6\"") == 450


def test_where_blocking_begins() -> None:
    """(9.25 - 7.4375) x 3 = 5.4375, (15.25 - 7.4375) x 3 = 23.4375; a wall 2 in thinner adds 2/3 of heel: 2 less."""
    assert blocking_from(truss()) == pytest.approx((5.4375, 23.4375), abs=TINY)
    assert blocking_from(truss(), "3 1/2") == pytest.approx((3.4375, 21.4375), abs=TINY)
    assert blocking_from(truss(16, ceiling=8)) is None
    for by in (5.4, 5.5):
        found = {f.name: f for f in rl.findings(jog(truss(), by).short)}
        assert found["heel_blocking"].verdict == ("meets" if by < 5.4375 else "ask")


# --- gable end and finish --------------------------------------------------------------------------------------------


def test_dropped_gable_end() -> None:
    """2x4 outlookers, 8 in 12 (k = 1.20185): flat 1.5 k = 1.80278, on edge 3.5 k = 4.20648, off the heel of 7.4375; the
    minimum heel is 3.5 k + 0.25 = 4.45648.
    """
    flat, edge = gable_end(truss()), gable_end(truss(), laid="on edge")
    assert (flat.drop, flat.heel) == pytest.approx((1.5 * K8, 7.4375 - 1.5 * K8), abs=TINY)
    assert (edge.drop, edge.heel) == pytest.approx((3.5 * K8, 7.4375 - 3.5 * K8), abs=TINY)
    assert (flat.finding.verdict, edge.finding.verdict) == ("meets", "misses")
    assert flat.finding.limit == pytest.approx(4.45648, abs=1e-5)
    assert "balloon-framed" in flat.caution and "hinge" in flat.caution and "R602.3" in flat.caution


def test_a_gable_end_of_two_pitches_drops_by_each() -> None:
    """1.5 k: 1.5 x sqrt(1 + 1/4) = 1.67705 at 6 in 12, 1.5 x 1.25 = 1.875 at 9 in 12."""
    bay = truss((9, 9), 3, pitch=(6, 9))
    assert gable_end(bay).drop == pytest.approx(1.67705, abs=1e-5)
    assert gable_end(bay, end="right").drop == 1.875


def test_finish_plane() -> None:
    """9 in 12: k = 1.25.  5/8 in gypsum on 1 1/2 in furring, 2.125 in all, hangs 2.65625 below; a flat one 2.125."""
    bay = ScissorBay(Gable("24'", 12, "5 1/2"), 9, 12)
    made = finish(bay, "5/8", "1 1/2")
    assert made == pytest.approx((2.65625, -2.65625, bay.ceiling_rise - 2.65625, 0.53125), abs=TINY)
    assert '9/16"' in made.sentence and "fur that one down" in made.sentence


def test_finish_of_a_flat_ceiling_and_of_two_pitches() -> None:
    """Flat: as thick as it is.  Two ceiling pitches: each plane is lowered by its own k; they meet at the apex."""
    flat = finish(truss(ceiling=0), "1/2")
    assert flat == pytest.approx((0.5, -0.5, -0.5, 0), abs=TINY) and "meets the flat" in flat.sentence
    two = truss(ceiling=(3, 5), pitch=9, heel=12)
    c, d, t = 3 / 12, 5 / 12, 0.5
    x = (d * (312 - 11) - t * sqrt(1 + d * d) + t * sqrt(1 + c * c)) / (c + d)  # from the left inside face
    assert finish(two).apex == pytest.approx(c * x - t * sqrt(1 + c * c), abs=1e-9)


# --- what is refused -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: jog(truss(), 151), "Wall set in 12'-7\": the bearing must end before the ridge"),
        (lambda: jog(truss(), -17), "Wall set out 1'-5\" under a straight eave: at most 1'-4\" out"),
        (lambda: jog(truss(), "far"), "Set-in of the wall"),
        (lambda: jog(truss(), 12, "0"), "Bearing"),
        (lambda: jog(truss(), 12, eave="round"), "Eave"),
        (lambda: jog(truss(), 12, end="front"), "End"),
        (lambda: jog("house", 12), "Long truss"),  # type: ignore[arg-type]
        (lambda: header_load(-1, "26'"), "Area load -1"),
        (lambda: header_load(40, "wide"), "Span"),
        (lambda: header_load(40, -12), "Span -1'-0\""),
        (lambda: gable_end(truss(), "2x5"), "Outlooker"),
        (lambda: gable_end(truss(), laid="upright"), "Outlooker laid"),
        (lambda: gable_end(truss(), end="both"), "End"),
        (lambda: gable_end(None), "Bay"),  # type: ignore[arg-type]
        (lambda: finish(truss(), "thick"), "Gypsum"),
        (lambda: finish(truss(), "1/2", 7), 'Furring 7": allowed is 0" to 6".'),
        (lambda: finish(7), "Bay"),  # type: ignore[arg-type]
    ],
)
def test_bad_input_gets_a_sentence(call: Any, said: str) -> None:
    with pytest.raises(InputError) as error:
        call()
    assert said in " ".join(error.value.problems)


def test_all_that_is_wrong_is_said_at_once() -> None:
    with pytest.raises(InputError) as error:
        gable_end(truss(), "2x5", "upright", "both")
    assert len(error.value.problems) == 3


def test_a_way_that_cannot_be_drawn_has_no_truss() -> None:
    """Set in 10 ft, the long heel would lift the ceiling's begin 80 in, above the far ceiling line there (60.2)."""
    found = ways(jog(truss(), 120))
    assert found["same heel"].bay is None
    assert found["move plate"].bay is not None


# --- over random houses ----------------------------------------------------------------------------------------------


@bounded()
@given(scissors(), st.data())
def test_every_way_keeps_the_roof_line_and_says_what_it_breaks(bay: ScissorBay, data: st.DataObject) -> None:
    """In and out, equal and unequal bearings and ends: roof and ceiling lines of both trusses agree to 1e-9 in; each
    other way's ceiling lies off the long truss's by what it says, and its chord meets its plate or stands off it.
    """
    move = data.draw(jogs(bay))
    made = legal(jog, bay, **move)
    old, new = made.old, made.new
    assert old.ceiling is not None
    for way in made.ways:
        if way.bay is None:
            continue
        end = getattr(way.bay, made.end)
        assert end.ceiling is not None
        xs = (old.wall.x, new.wall.x, bay.peak[0])
        assert [end.roof.at(x) - old.roof.at(x) for x in xs] == pytest.approx([0, 0, 0], abs=TINY)
        assert end.plate + end.heel == pytest.approx(old.roof.at(end.wall.x), abs=TINY)
        off = [end.ceiling.at(x) - old.ceiling.at(x) for x in xs]
        assert off == pytest.approx([way.ceiling_break] * 3, abs=TINY)
        met = end.ceiling.at(end.wall.inside(bay_start(way, made)))
        assert met - end.plate == pytest.approx(way.stand_off, abs=TINY)
        assert (end.plate - old.plate, end.heel) == pytest.approx((way.plate, way.heel), abs=TINY)
        assert way.bay.peak == pytest.approx(bay.peak, abs=TINY)
        meets = end.ceiling.at(end.wall.inside(end.apex))
        other = way.bay.right if made.end == "left" else way.bay.left
        assert other.ceiling is not None
        assert meets == pytest.approx(other.ceiling.at(other.wall.inside(other.apex)), abs=1e-7)


def bay_start(way: Way, made: WallJog) -> float:
    """Where a way's ceiling is held against its plate, in from its own outside face."""
    return made.old.start if way.name == "beam" else made.new.start


@bounded()
@given(scissors(), st.data())
def test_readings_are_read_off_the_lines(bay: ScissorBay, data: st.DataObject) -> None:
    """The formulas agree with the planes, and ``worked`` evaluates to the value."""
    made = legal(jog, bay, **data.draw(jogs(bay)))
    old, new = made.old, made.new
    assert made.rise == pytest.approx(new.plate - old.plate, abs=TINY)
    assert made.heel == pytest.approx(new.heel, abs=TINY)
    assert made.run == pytest.approx(new.run, abs=TINY)
    tails = [end.roof.at(end.wall.inside(-end.overhang)) for end in (old, new)]
    assert made.fascia_step == pytest.approx(tails[1] - tails[0], abs=TINY)
    for row in made.rows():
        worked = made.reading(row.name).worked
        for sign, plain in (("×", "*"), ("÷", "/"), ("−", "-")):
            worked = worked.replace(sign, plain)
        assert eval(worked, {"__builtins__": {}}) == pytest.approx(row.of(made.symbols()), abs=1e-4)


@bounded()
@given(scissors(), st.data(), st.floats(0.1, 0.9))
def test_two_jogs_are_one(bay: ScissorBay, data: st.DataObject, part: float) -> None:
    """Plates, heels and all ways: 12 in and 12 in again are 24 in."""
    move = data.draw(jogs(bay))
    once = legal(jog, bay, **move)
    half = legal(bay.jogged, **{**move, "by": part * move["by"]})
    again = legal(jog, half, **{**move, "by": move["by"] - part * move["by"]})
    assert again.new.plate == pytest.approx(once.new.plate, abs=TINY)
    assert (again.heel, again.run, again.stud) == pytest.approx((once.heel, once.run, once.stud), abs=1e-8)
    assert again.new.overhang == pytest.approx(once.new.overhang, abs=1e-8)


@bounded()
@given(scissors(two=False), st.data())
def test_left_and_right_are_mirror_images(bay: ScissorBay, data: st.DataObject) -> None:
    """On a house with equal ends a jog does at the right end what it does at the left one."""
    assume(bay.equal_ends)
    move = data.draw(jogs(bay))
    one, other = (legal(jog, bay, **{**move, "end": end}) for end in ("left", "right"))
    for row in one.rows():
        assert row.of(one.symbols()) == pytest.approx(row.of(other.symbols()), abs=1e-8), row.name
    for a, b in zip(one.ways, other.ways, strict=True):
        assert a[2:6] == pytest.approx(b[2:6], abs=1e-8)
        assert a.sentence == b.sentence


def test_equal_jogs_are_equal() -> None:
    one, other = jog(truss(), 24, "3 1/2"), jog(truss(), "2'", 3.5)
    assert one == other != jog(truss(), 24)
    assert one.short.jogs == (Jog("left", 24.0, 3.5, "straight"),)
