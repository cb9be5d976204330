"""What holds for every house: searched by hypothesis over the whole range of every input."""

from __future__ import annotations

import dataclasses
import inspect
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from fractions import Fraction
from itertools import combinations
from math import atan, degrees, inf, isfinite, nan, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box

import rooflab as rl
from rooflab import INPUTS, READINGS, Gable, InputError, RafterBay, ScissorBay, sixteenth
from rooflab.base import geometry as geo
from rooflab.base.inputs import pair
from rooflab.house.bays import Jog
from rooflab.house.planes import Bay
from tests.tools.houses import GABLE, RAFTERS_FULL, TRUSS_FULL
from tests.tools.strategies import (
    bays,
    bounded,
    houses,
    jogs,
    junk,
    legal,
    rafter_bay,
    rafters,
    scissor_bay,
    scissors,
    seams,
    value,
)

TINY = 1e-9


def places(bay: Bay) -> Iterator[tuple[str, float]]:
    """Tail, eave, mid-slope and ridge of both ends: (end, x)."""
    for end in bay.ends:
        for inside in (-end.overhang, 0.0, end.run / 2, end.run):
            yield end.wall.side, end.wall.inside(inside)


def gaps(rafter: RafterBay, truss: ScissorBay) -> list[float]:
    return [getattr(truss, end).roof.at(x) - getattr(rafter, end).roof.at(x) for end, x in places(rafter)]


# --- draws -----------------------------------------------------------------------------------------------------------


def test_most_draws_can_be_built() -> None:
    """A search that throws nearly everything away proves nothing: rafter bays over 9 in 10, scissor bays over 6 in
    10.
    """
    tally: Counter[str] = Counter()

    @bounded(300)
    @given(houses())
    def count(house: dict[str, dict[str, Any]]) -> None:
        for kind, make in (("rafter", rafter_bay), ("scissor", scissor_bay)):
            tally[kind] += 1
            try:
                bay: Bay = make(house)
            except InputError:
                continue
            tally[f"{kind} built"] += 1
            tally[f"{kind} unequal"] += not bay.equal_ends
            tally[f"{kind} sloped plates"] += abs(bay.right.plate - bay.left.plate) > 1

    count()
    assert tally["rafter built"] > 0.9 * tally["rafter"]
    assert tally["scissor built"] > 0.6 * tally["scissor"]
    for kind in ("rafter", "scissor"):
        assert tally[f"{kind} unequal"] > 0.1 * tally[kind]
        assert tally[f"{kind} sloped plates"] > 0.1 * tally[kind]


@pytest.mark.parametrize("name", [name for name, row in INPUTS.items() if row.kind != "choice"])
def test_ranges_are_kept(name: str) -> None:
    """Each numeric input takes its whole range and refuses just outside it, with one sentence."""
    row = INPUTS[name]

    @bounded(40)
    @given(value(name))
    def inside(x: float) -> None:
        problems: list[str] = []
        assert row.read(x, problems) == x
        assert not problems

    inside()
    for x in (np.nextafter(row.low, -inf), np.nextafter(row.high, inf), row.low - 1, row.high + 1):
        problems: list[str] = []
        assert np.isnan(row.read(float(x), problems))
        assert len(problems) == 1
        assert problems[0].startswith(row.label)
        said = problems[0].removeprefix(row.label + " ").split(":")[0]
        assert said not in (row.show(row.low), row.show(row.high))  # "1 in 12: allowed is 1 in 12 to ..." helps nobody


# --- one plane -------------------------------------------------------------------------------------------------------


@bounded()
@given(seams())
def test_the_heel_handed_over_leaves_no_gap(seam: tuple[RafterBay, ScissorBay]) -> None:
    rafter, truss = seam
    assert max(map(abs, gaps(rafter, truss))) <= TINY
    result = rl.compare(rafter, truss, 0)
    assert result.coplanar
    assert max(map(abs, (result.heel_gap, result.tail_gap, result.ridge_gap))) <= TINY
    assert max(map(abs, (result.plane_offset, result.drift))) <= TINY
    assert truss.peak == pytest.approx(rafter.peak, abs=TINY)
    assert truss.reading("tail_top").value == pytest.approx(rafter.tail_top, abs=TINY)


@bounded()
@given(houses())
def test_the_rounded_heel_leaves_none_at_all(house: dict[str, dict[str, Any]]) -> None:
    exact = legal(rafter_bay, house)
    heels = tuple(sixteenth(end.heel) for end in exact.ends)
    drawn = legal(exact.handed_over)
    truss = legal(scissor_bay, house, heels)
    assert tuple(end.heel for end in drawn.ends) == heels
    assert set(gaps(drawn, truss)) == {0.0}
    assert rl.compare(drawn, truss, 0).plane_offset == 0
    assert max(abs(end.heel - before.heel) for end, before in zip(drawn.ends, exact.ends, strict=True)) <= 1 / 32 + 1e-6


@bounded()
@given(seams(), st.floats(-3, 3))
def test_a_wrong_heel_shows_as_it_is(seam: tuple[RafterBay, ScissorBay], off: float) -> None:
    """A truss heel off by d is d everywhere, plumb, and d/k(m) square; possible remedies close it."""
    rafter, right = seam
    assume(abs(off) > 1e-6)
    truss = legal(right.with_, heel=tuple(end.heel + off for end in right.ends))
    result = rl.compare(rafter, truss, 0)
    assert (result.heel_gap, result.tail_gap, result.ridge_gap) == pytest.approx((off, off, off), abs=1e-6)
    square = off / sqrt(1 + (min(pair(rafter.gable.pitch)) / 12) ** 2)
    assert result.plane_offset == pytest.approx(square, abs=1e-6)
    assert result.coplanar is (abs(result.plane_offset) <= TINY)
    if not rafter.equal_ends:
        return
    for remedy in result.remedies:
        if remedy.what == "seat" and remedy.possible:
            assert max(map(abs, gaps(rafter.with_(seat=remedy.to), truss))) <= 1e-8
        if remedy.what == "heel" and remedy.possible and 1 / 16 <= remedy.to <= 60:
            assert max(map(abs, gaps(rafter, legal(truss.with_, heel=remedy.to)))) <= 1e-8


# --- members ---------------------------------------------------------------------------------------------------------


def strip(bay: Bay, end: Any, at0: float, slope: float, deep: float, start: float, stop: float) -> Polygon:
    """A member in section: the strip ``deep`` plumb under a line that stands at0 over the end's plate, from start to
    stop.
    """
    corners = [(start, 0.0), (stop, 0.0), (stop, -deep), (start, -deep)]
    return Polygon([(end.wall.inside(u), end.plate + at0 + slope * u + down) for u, down in corners])


def members(bay: Bay) -> dict[str, Polygon]:
    """Every member as drawn, made here from the inputs and the lines' heights alone."""
    made: dict[str, Polygon] = {}
    for end in bay.ends:
        side, m = end.wall.side, abs(end.roof.slope)
        face = sorted((end.wall.x, end.wall.inside(end.bearing)))
        made[f"{side} wall"] = box(face[0], end.plate - 100, face[1], end.plate)
        if isinstance(bay, RafterBay):
            seat, deep = pair(bay.seat)[side == "right"], bay.depth * sqrt(1 + m * m)
            whole = strip(bay, end, end.heel, m, deep, -end.overhang, end.run - bay.ridge_size[0] / 2)
            cut = Polygon([(end.wall.inside(u), end.plate + v) for u, v in ((0.0, 0.0), (seat, 0.0), (0.0, -m * seat))])
            made[f"{side} rafter"] = whole.difference(cut) if seat * m else whole
            continue
        assert isinstance(bay, ScissorBay)
        c = abs(end.ceiling.slope)  # type: ignore[union-attr]
        top, bottom = bay.chord_depth * sqrt(1 + m * m), bay.bottom_depth * sqrt(1 + c * c)
        made[f"{side} top chord"] = strip(bay, end, end.heel, m, top, -end.overhang, end.run)
        space = end.heel - top - bottom + c * end.start
        scarfed = -space / (m - c) if space < 0 else 0.0
        if scarfed < end.apex:
            chord = strip(bay, end, bottom - c * end.start, c, bottom, scarfed, end.apex)
            near, far = sorted((end.wall.x, end.wall.inside(end.start)))
            under = box(near, end.plate - 1e4, far, end.plate)  # cut level where it bears
            made[f"{side} bottom chord"] = chord.difference(under) if end.start else chord
    if isinstance(bay, RafterBay) and bay.ridge:
        half, deep = bay.ridge_size[0] / 2, bay.ridge_size[1]
        top = bay.left.plate + bay.left.heel + bay.left.roof.slope * (bay.left.run - half)
        made["ridge board"] = box(bay.peak[0] - half, top - deep, bay.peak[0] + half, top)
    return made


@bounded(150)
@given(bays())
def test_members_do_not_overlap(bay: Bay) -> None:
    """Rafters, chords, ridge board and walls of a bay that misses no limit share edges, never area (scarfs apart)."""
    assume(not any(f.verdict == "misses" and f.name.startswith("minimum_heel") for f in rl.findings(bay)))
    for (one, a), (other, b) in combinations(members(bay).items(), 2):
        assert a.is_valid and b.is_valid
        assert a.intersection(b).area < 1e-6, f"{one} and {other}"


@bounded()
@given(rafters())
def test_a_rafter_sits_on_its_seat(bay: RafterBay) -> None:
    """Cut from the outline alone, the underside meets the plate over the seat's length; the notch is as deep as read.
    """
    made = members(bay)
    for end in bay.ends:
        side = end.wall.side
        seat, m = pair(bay.seat)[side == "right"], abs(end.roof.slope)
        plate = LineString([(end.wall.x, end.plate), (end.wall.inside(end.bearing), end.plate)])
        rafter = made[f"{side} rafter"].buffer(1e-7)
        assert rafter.intersection(plate).length == pytest.approx(seat, abs=1e-4)
        under = LineString([(end.wall.inside(u), end.plate + m * (u - seat)) for u in (-500.0, 500.0)])
        corner = LineString([(end.wall.x, end.plate), (end.wall.x, end.plate)]).centroid
        assert bay.reading("notch_depth", side).value == pytest.approx(under.distance(corner), abs=1e-7)


# --- asked backwards -------------------------------------------------------------------------------------------------


@bounded(200)
@given(value("depth"), value("pitch"), st.floats(0, 1))
def test_inverse_questions_return_what_they_were_asked(depth: float, pitch: float, part: float) -> None:
    m = pitch / 12
    seat = part * min(16.0, 0.999 * depth * sqrt(1 + m * m) / m)
    heel = depth * sqrt(1 + m * m) - m * seat
    assume(heel >= INPUTS["heel"].low)
    assert legal(rl.seat_for_heel, heel, depth, pitch) == pytest.approx(seat, abs=1e-8)
    assert rl.depth_for_heel(heel, seat, pitch) == pytest.approx(depth, abs=1e-9)
    answers = rl.pitch_for_heel(heel, depth, seat)
    assert 1 <= len(answers) <= 2
    assert list(answers) == sorted(answers)
    heels = [depth * sqrt(1 + (p / 12) ** 2) - p / 12 * seat for p in answers]
    assert heels == pytest.approx([heel] * len(answers), abs=1e-6 * (1 + max(answers)))
    slack = 1e-6 + 1e-4 * (abs(depth * m / sqrt(1 + m * m) - seat) < 1e-3)  # at the lowest heel the pitch is soft
    assert min(abs(p - pitch) for p in answers) < max(slack, 12e-6 * m)


@bounded(200)
@given(value("heel"), value("depth"), value("seat"))
def test_every_pitch_answered_gives_the_heel(heel: float, depth: float, seat: float) -> None:
    answers = rl.pitch_for_heel(heel, depth, seat)
    for p in answers:
        assert p > 0
        m = p / 12
        assert (depth * sqrt(1 + m * m) - m * seat - heel) / (1 + m) == pytest.approx(0, abs=1e-6)
    if heel**2 + seat**2 < depth**2 * (1 - 1e-9):
        assert answers == ()  # under the lowest heel of this depth and seat


# --- one value and arrays --------------------------------------------------------------------------------------------

FORMULAS = [
    f for name, f in inspect.getmembers(geo, inspect.isfunction)
    if f.__module__ == geo.__name__ and name != "slopes_from"
]  # fmt: skip


def bits(values: Any) -> list[bytes]:
    return [np.float64(v).tobytes() for v in values]


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.__name__)
def test_formulas_agree_bit_for_bit(formula: Callable[..., Any]) -> None:
    """One value, an array, and an array beside single values (which stand for all) give the very same floats."""
    count = len(inspect.signature(formula).parameters)
    numbers = st.one_of(st.floats(1 / 64, 720), st.integers(1, 720).map(float))

    @bounded(40)
    @given(st.lists(st.tuples(*[numbers] * count), min_size=1, max_size=9), st.integers(0, count - 1))
    def search(rows: list[tuple[float, ...]], fixed: int) -> None:
        columns = [np.array(column) for column in zip(*rows, strict=True)]
        assert bits(formula(*columns)) == bits(formula(*row) for row in rows)
        mixed = [column[0].item() if i == fixed else column for i, column in enumerate(columns)]
        expected = [formula(*(rows[0][i] if i == fixed else row[i] for i in range(count))) for row in rows]
        assert bits(np.broadcast_to(formula(*mixed), len(rows))) == bits(expected)

    search()


@bounded(60)
@given(st.lists(bays(), min_size=1, max_size=4))
def test_readings_agree_bit_for_bit(several: list[Bay]) -> None:
    """Every row of READINGS over arrays of the bays' symbols, and bay by bay."""
    for kind in ("rafter", "scissor"):
        each = [bay.symbols(end) for bay in several if bay.kind == kind for end in ("left", "right")]
        if not each:
            continue
        arrays = {name: np.array([symbols[name] for symbols in each]) for name in each[0]}
        for row in (row for row in READINGS if row.bay == kind):
            together, alone = row.of(arrays), [row.of(symbols) for symbols in each]
            assert np.shape(together) == (len(each),), row.name
            if isinstance(alone[0], str):
                assert list(together) == alone
            else:
                assert bits(together) == bits(alone), row.name


# --- readings --------------------------------------------------------------------------------------------------------


def evaluate(worked: str) -> float:
    """What a formula with its numbers in comes to, by Python's own arithmetic."""
    for sign, python in (("×", "*"), ("÷", "/"), ("−", "-"), ("√", "sqrt"), ("²", "**2")):
        worked = worked.replace(sign, python)
    return float(eval(worked, {"__builtins__": {}}, {"sqrt": sqrt, "arctan": lambda s: degrees(atan(s))}))


@bounded()
@given(bays())
def test_worked_evaluates_to_value(bay: Bay) -> None:
    for end in ("left", "right"):
        for row in bay.rows():
            read = bay.reading(row.name, end)
            assert "[" not in read.formula
            if row.name == "heel_state":
                signs = read.worked.removeprefix("signs of ").split(" and of ")
                bears, opens = (evaluate(sign) for sign in signs)
                assume(min(abs(bears), abs(opens)) > 1e-5)
                assert read.value == ("below minimum" if bears < 0 else "standard" if opens < 0 else "raised")
            else:
                assert evaluate(read.worked) == pytest.approx(read.value, abs=1e-4), read


@bounded()
@given(bays())
def test_readings_are_plain_numbers(bay: Bay) -> None:
    """Python floats or words: no numpy scalar, no NaN, no infinity, no -0.0."""
    for end in ("left", "right"):
        for row in bay.rows():
            read = bay.reading(row.name, end)
            assert (read.name, read.unit) == (row.name, row.unit)
            assert read.text and isinstance(read.text, str)
            plain(read.value)
        assert getattr(bay, end).heel == pytest.approx(bay.reading("heel", end).value, abs=TINY)
        assert getattr(bay, read.name) == bay.reading(read.name).value


def plain(x: Any) -> None:
    if type(x) is str or x is None or type(x) is bool:
        return
    assert type(x) is float, repr(x)
    assert isfinite(x)
    assert not (x == 0 and np.signbit(x))


@bounded()
@given(seams(), st.floats(-2, 2), st.booleans())
def test_results_are_plain_numbers(seam: tuple[RafterBay, ScissorBay], off: float, steeper: bool) -> None:
    """The same of everything compare, findings and tail_and_soffit hand back; their sentences never hold nan, inf or
    -0.
    """
    rafter, truss = seam
    if steeper:
        pitch = tuple(p + 0.25 for p in pair(truss.gable.pitch))
        truss = legal(truss.with_, gable=legal(Gable, **{**dataclasses.asdict(truss.gable), "pitch": pitch}))
    truss = legal(truss.with_, heel=tuple(end.heel + off for end in truss.ends))
    result, tail = rl.compare(rafter, truss), rl.tail_and_soffit(rafter, truss)
    records: list[Any] = [*result.remedies, *rl.findings(rafter), *rl.findings(truss)]
    values = [x for record in records for x in record]
    values += [getattr(result, f.name) for f in dataclasses.fields(result) if f.name != "remedies"] + [result.sentence]
    if tail:
        values += dataclasses.astuple(tail)
    for x in values:
        plain(x)
        if isinstance(x, str):
            assert not {"nan", "inf", "-0", "-0\""} & set(x.replace(",", " ").replace(";", " ").split()), x
            assert "np.float" not in x


# --- mirror, jogs ----------------------------------------------------------------------------------------------------


def mirrored(given_: Any) -> Any:
    return given_[::-1] if isinstance(given_, tuple) else given_


@bounded()
@given(houses(two=True), st.data())
def test_mirror_images_agree(house: dict[str, dict[str, Any]], data: st.DataObject) -> None:
    """Left and right swapped in every input: the left readings become the right ones."""
    house["scissor"]["apex"] = "free"  # "ridge" reads the right ceiling pitch off the left one
    twin = {part: {name: mirrored(x) for name, x in inputs.items()} for part, inputs in house.items()}
    pairs: list[tuple[Bay, Bay]] = [(legal(rafter_bay, house), rafter_bay(twin))]
    truss = legal(scissor_bay, house)
    pairs.append((truss, scissor_bay(twin)))
    jog = data.draw(jogs(truss))
    other = {**jog, "end": "right" if jog["end"] == "left" else "left"}
    pairs.append((legal(truss.jogged, **jog), legal(scissor_bay(twin).jogged, **other)))
    for bay, image in pairs:
        for end, opposite in (("left", "right"), ("right", "left")):
            one, other_one = bay.symbols(end), image.symbols(opposite)
            for name in set(one) - {"plate", "roof"}:  # heights count from the left plate; "up" is from the lower one
                assert abs(other_one[name] - one[name]) < 1e-8, name
            for row in bay.rows():
                seen, read = row.of(other_one), row.of(one)
                assert isinstance(read, str) or abs(seen - read) < 1e-8, row.name
        assert bay.equal_ends == image.equal_ends


@bounded()
@given(scissors(), st.data())
def test_a_jogged_wall_keeps_roof_and_ceiling_lines(bay: ScissorBay, data: st.DataObject) -> None:
    """In and out, equal and unequal bearings: from the new wall, plate and heel the old lines are found again.

    Worked by hand: the plate rises p = c (j + bearing' - bearing), the heel becomes heel + m j - p.
    """
    jog = data.draw(jogs(bay))
    short = legal(bay.jogged, **jog)
    old, new = (b.left if jog["end"] == "left" else b.right for b in (bay, short))
    assert old.ceiling is not None
    j, m, c = jog["by"], abs(old.roof.slope), abs(old.ceiling.slope)
    widened = (new.bearing - old.bearing) if bay.ceiling_from == "inside" else 0.0
    rise = c * (j + widened)
    assert new.wall.x == pytest.approx(old.wall.inside(j), abs=TINY)
    assert new.plate == pytest.approx(old.plate + rise, abs=TINY)
    assert new.heel == pytest.approx(old.heel + m * j - rise, abs=TINY)
    for x in (new.wall.x, short.peak[0], new.wall.inside(-new.overhang)):
        assert new.plate + new.heel + m * new.wall.inward * (x - new.wall.x) == pytest.approx(old.roof.at(x), abs=TINY)
    for x in (new.wall.inside(new.start), short.peak[0]):
        from_plate = new.plate + c * (new.wall.inward * (x - new.wall.x) - new.start)
        assert from_plate == pytest.approx(old.ceiling.at(x), abs=TINY)
    assert short.peak == pytest.approx(bay.peak, abs=TINY)
    assert new.wall.inside(new.apex) == pytest.approx(old.wall.inside(old.apex), abs=TINY)
    tail = new.wall.inside(-new.overhang) - old.wall.inside(-old.overhang)
    assert tail == pytest.approx(0 if jog["eave"] == "straight" else new.wall.inward * j, abs=TINY)
    assert bay == bay.with_(jogs=())


@bounded()
@given(scissors(), st.data())
def test_two_jogs_are_one(bay: ScissorBay, data: st.DataObject) -> None:
    """12 in and 12 in again is 24 in; in and out again is where it was."""
    jog = data.draw(jogs(bay))
    part = data.draw(st.floats(0.1, 0.9))
    first, second = part * jog["by"], jog["by"] - part * jog["by"]
    once = legal(bay.jogged, **jog)
    twice = legal(legal(bay.jogged, **{**jog, "by": first}).jogged, **{**jog, "by": second})
    old = bay.left if jog["end"] == "left" else bay.right
    back = legal(once.jogged, **{**jog, "by": -jog["by"], "bearing": old.bearing})
    for a, b in ((once, twice), (bay, back)):
        for end in ("left", "right"):
            one, other = a.symbols(end), b.symbols(end)
            assert max(abs(other[name] - one[name]) for name in one) < TINY


def test_twelve_and_twelve_is_twenty_four() -> None:
    bay = TRUSS_FULL
    once, twice = bay.jogged(24), bay.jogged(12).jogged(12)
    for row in bay.rows():
        for end in ("left", "right"):
            assert once.reading(row.name, end).value == pytest.approx(twice.reading(row.name, end).value, abs=TINY)


@bounded()
@given(houses(), st.data())
def test_a_jogged_bay_is_the_bay_built_there(house: dict[str, dict[str, Any]], data: st.DataObject) -> None:
    """A wall moved under the lines gives what a bay on a gable that is so much narrower gives, with that plate and
    heel.
    """
    house["scissor"]["apex"] = "free"
    house["gable"]["span"] = min(720.0, house["gable"]["span"] + 96)
    bay = legal(scissor_bay, house)
    jog = data.draw(jogs(bay)) | {"end": "left", "eave": "stepped"}
    short = legal(bay.jogged, **jog)
    g, (one, two), pitches = bay.gable, short.ends, pair(bay.ceiling_pitch)
    narrow = legal(Gable, g.span - jog["by"], g.pitch, (one.bearing, two.bearing), g.overhang)
    chords, plates = (bay.chord, bay.bottom_chord), (0, two.plate - one.plate)
    built = legal(ScissorBay, narrow, pitches, (one.heel, two.heel), *chords, plates, bay.ceiling_from)
    assume(sum(pitches) == 0 or sum(pitches) > 0.01)  # nearly level ceilings meet anywhere
    for end in ("left", "right"):
        here, there = short.symbols(end), built.symbols(end)
        for row in bay.rows():
            read, expected = row.of(here), row.of(there)
            assert isinstance(read, str) or abs(read - expected) < 1e-6, row.name


@bounded()
@given(scissors(), st.sampled_from(("left", "right")), st.floats(1e-6, 20))
def test_no_wall_past_the_ridge_or_the_apex(bay: ScissorBay, end: str, over: float) -> None:
    old = getattr(bay, end)
    by = min(old.run, old.apex) - old.bearing + over
    assume(by <= INPUTS["jog"].high)
    with pytest.raises(InputError, match="before the ridge"):
        bay.jogged(by, end=end)


# --- records ---------------------------------------------------------------------------------------------------------


@bounded()
@given(houses())
def test_equal_inputs_make_equal_bays(house: dict[str, dict[str, Any]]) -> None:
    for make in (rafter_bay, scissor_bay):
        bay: Any = legal(make, house)
        assert bay == make(house) == bay.with_()
        assert hash(bay) == hash(make(house))
        plate = 1.0 if pair(bay.plate) != (1.0, 1.0) else 2.0
        assert legal(bay.with_, plate=plate) != bay


# --- junk ------------------------------------------------------------------------------------------------------------

CALLS: dict[str, tuple[Callable[..., Any], dict[str, Any]]] = {
    "inches": (rl.inches, {"value": 8}),
    "feet_inches": (rl.feet_inches, {"x": 8}),
    "pitch": (rl.pitch, {"value": 8}),
    "sixteenth": (rl.sixteenth, {"x": 8}),
    "Gable": (
        Gable,
        {
            "span": 312, "pitch": 8, "bearing": 5.5, "overhang": 16, "plate_height": 97, "sheathing": 0.5,
            "window_head": 82,
        },
    ),
    "RafterBay": (
        RafterBay,
        {"gable": GABLE, "lumber": "2x10", "seat": 3.5, "ridge": "2x12", "depth": None, "plate": 0, "rounded": False},
    ),
    "ScissorBay": (
        ScissorBay,
        {
            "gable": GABLE, "ceiling_pitch": 4, "heel": 8, "chord": "2x4", "bottom_chord": "2x4", "plate": 0,
            "ceiling_from": "inside", "apex": "free", "jogs": (),
        },
    ),
    "Jog": (Jog, {"end": "left", "by": 1, "bearing": None, "eave": "straight"}),
    "RafterBay.with_": (
        RAFTERS_FULL.with_, {"gable": GABLE, "lumber": "2x10", "seat": 3.5, "depth": None, "rounded": True}
    ),
    "ScissorBay.with_": (TRUSS_FULL.with_, {"gable": GABLE, "heel": 8, "jogs": ()}),
    "ScissorBay.jogged": (TRUSS_FULL.jogged, {"by": 12, "bearing": None, "end": "left", "eave": "straight"}),
    "RafterBay.reading": (RAFTERS_FULL.reading, {"name": "heel", "end": "left"}),
    "ScissorBay.reading": (TRUSS_FULL.reading, {"name": "heel", "end": "left"}),
    "RafterBay.symbols": (RAFTERS_FULL.symbols, {"end": "left"}),
    "ScissorBay.symbols": (TRUSS_FULL.symbols, {"end": "left"}),
    "compare": (rl.compare, {"rafters": RAFTERS_FULL, "scissor": TRUSS_FULL, "tolerance": 0.125}),
    "findings": (rl.findings, {"bay": RAFTERS_FULL}),
    "tail_and_soffit": (rl.tail_and_soffit, {"rafters": RAFTERS_FULL, "scissor": TRUSS_FULL}),
    "seat_for_heel": (rl.seat_for_heel, {"heel": 8, "depth": 9, "pitch": 8}),
    "depth_for_heel": (rl.depth_for_heel, {"heel": 8, "seat": 3, "pitch": 8}),
    "pitch_for_heel": (rl.pitch_for_heel, {"heel": 8, "depth": 9, "seat": 3}),
}  # fmt: skip
ARGUMENTS = [(call, name) for call, (_, legal_ones) in CALLS.items() for name in legal_ones]


def only_input_error(call: str, name: str, thing: Any) -> bool:
    """True where the call refused the thing; anything but an InputError of plain sentences fails the test."""
    function, given_ = CALLS[call]
    function(**given_)
    try:
        function(**{**given_, name: thing})
    except InputError as error:
        assert error.problems
        for sentence in error.problems:
            assert isinstance(sentence, str)
            assert sentence.endswith((".", "?")), sentence
            assert sentence.isprintable()
            assert len(sentence) < 300
        return True
    return False


class Odd:
    def __str__(self) -> str:
        raise RuntimeError("no")


NEVER_RIGHT: list[Any] = [
    nan, inf, -inf, 10**400, -(10**5000), 1e300, Fraction(10**5000, 3), "", "junk", "nan", "1e3", "8,625", "8 5/0",
    "x" * 500, "\x00\n", b"8", [], (), [None], (1, 2, 3), [1, [2]], ("a", "b"), {}, {"a": 1}, {1}, 1j, object(),
    Odd(), Odd, len, np.array([1.0, 2.0]), np.array([]), (10**5000, 1, 2), ({}, {}), [10**5000],
]  # fmt: skip
SOMETIMES_RIGHT: list[Any] = [
    None, True, False, 0, -0.0, -1, 1, "2x10", "left", "none", (8, 8), [8, 8], np.float64(8), np.int64(8),
    np.array(8.0), Fraction(1, 3), Fraction(10**5000, 10**5000 + 1) * 2000, GABLE, RAFTERS_FULL, TRUSS_FULL,
    (Jog("left", 1),), "8", "8'",
]  # fmt: skip


@pytest.mark.parametrize(("call", "name"), ARGUMENTS)
def test_junk_is_refused_with_sentences(call: str, name: str) -> None:
    """Whatever stands in an argument, only InputError comes out, and what can never be right is refused."""
    for thing in SOMETIMES_RIGHT:
        only_input_error(call, name, thing)
    for thing in NEVER_RIGHT:
        empty = (call.startswith("ScissorBay") and name == "jogs" and isinstance(thing, tuple) and thing == ())
        unused = call.startswith("RafterBay") and name == "lumber" and CALLS[call][1]["depth"] is not None
        if not empty and not unused:
            assert only_input_error(call, name, thing), f"{call}({name}={type(thing).__name__}) was taken"


@bounded(400)
@given(st.sampled_from(ARGUMENTS), junk())
def test_only_input_error_ever(argument: tuple[str, str], thing: Any) -> None:
    only_input_error(*argument, thing)


@bounded(200)
@given(st.dictionaries(st.sampled_from([*CALLS["ScissorBay"][1]]), junk(), min_size=1), junk(), junk(), junk())
def test_many_wrongs_at_once(wrong: dict[str, Any], span: Any, pitch: Any, overhang: Any) -> None:
    for make, given_ in (
        (ScissorBay, {**CALLS["ScissorBay"][1], **wrong}),
        (Gable, {"span": span, "pitch": pitch, "bearing": overhang, "overhang": overhang}),
    ):
        try:
            make(**given_)
        except InputError as error:
            assert all(problem.endswith((".", "?")) for problem in error.problems)


WHOLE = st.fixed_dictionaries({name: value(name) for name, row in INPUTS.items() if row.kind != "choice"})


@bounded(200)
@given(WHOLE, WHOLE, st.sampled_from(("inside", "outside")), st.sampled_from(("free", "ridge")))
def test_any_house_is_built_or_refused(one: dict[str, float], two: dict[str, float], face: str, apex: str) -> None:
    """Values of every input's whole range, together however badly they fit: a bay or an InputError."""
    both = {name: (one[name], two[name]) for name in one}
    g = Gable(one["span"], both["pitch"], both["bearing"], both["overhang"], both["plate_height"])
    with suppress(InputError):
        rafter = RafterBay(g, seat=both["seat"], depth=one["depth"], plate=both["plate"])
        rl.findings(rafter.handed_over())
    with suppress(InputError):
        truss = ScissorBay(g, both["ceiling_pitch"], both["heel"], plate=both["plate"], ceiling_from=face, apex=apex)
        rl.findings(truss)
        truss.jogged(one["jog"], two["bearing"], eave="stepped")


# --- light -----------------------------------------------------------------------------------------------------------


def test_import_is_light() -> None:
    """``import rooflab`` loads no numpy, matplotlib or ipywidgets; the vocabulary works without the drawing
    libraries.
    """
    light = (
        "import sys, rooflab as rl; heavy = {'numpy', 'matplotlib', 'ipywidgets', 'IPython'} & set(sys.modules);"
        "assert not heavy, heavy; assert rl.inches('8 5/8') == 8.625; dir(rl);"
        "b = rl.RafterBay(rl.Gable('26\\'', 8, 5.5)); rl.findings(b);"
        "heavy = {'matplotlib', 'ipywidgets', 'IPython'} & set(sys.modules); assert not heavy, heavy"
    )
    done = subprocess.run([sys.executable, "-c", light], capture_output=True, text=True, encoding="utf-8")
    assert done.returncode == 0, done.stderr
    assert set(rl.__all__) <= set(dir(rl))
    with pytest.raises(AttributeError, match="nothing_such"):
        _ = rl.nothing_such  # type: ignore[attr-defined]
