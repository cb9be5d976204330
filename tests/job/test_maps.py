"""Maps: lines are as true as single houses, regions end where the verdict changes, and no text lies on anything."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from functools import cache
from math import sqrt
from random import Random
from typing import Any

import numpy as np
import pytest
from shapely.geometry import LineString

from rooflab import InputError
from rooflab.draw.layout import fit
from rooflab.draw.scene import svg
from rooflab.draw.views.maps import FRAME, fit_map
from rooflab.job.jobfile import example
from rooflab.job.maps import Map, even, map_of, usual_range
from rooflab.job.sweep import sweep
from rooflab.job.values import bays_of, house_of
from tests.tools.pictures import faults

PAIRS = (
    ("seat", "pitch", ""), ("pitch", "seat", "rafter.heel"), ("span", "ceiling_pitch", "room.window_head"),
    ("heel", "seat", ""), ("overhang", "pitch", "rafter.tail_underside"), ("pitch", "ceiling_pitch", "scissor.height"),
    ("depth", "seat", "rafter.r_outside"), ("bearing", "seat", "rafter.used"), ("ceiling_pitch", "heel", "room.volume"),
)  # fmt: skip


@cache
def mapped(across: str, up: str, reading: str) -> Map:
    return map_of(example(), across, up, reading)


@pytest.fixture(scope="module")
def seats_and_pitches() -> Map:
    return map_of(house_of({}), "seat", "pitch")


# --- lines -----------------------------------------------------------------------------------------------------------


def test_lines_of_the_notch_are_its_formula(seats_and_pitches: Map) -> None:
    """Worked by hand: the notch of a 2x10 is m seat / k(m) / 9.25 everywhere on its line."""
    made = seats_and_pitches
    assert [level.text for level in made.levels] == ["10 %", "20 %", "30 %", "40 %"]
    for level in made.levels:
        for line in level.lines:
            m = line[:, 1] / 12
            notch = m * line[:, 0] / np.sqrt(1 + m * m)
            assert notch / 9.25 == pytest.approx(np.full(len(line), level.value), abs=1e-9)


def test_the_curve_of_a_heel_is_its_inverse() -> None:
    """Worked by hand: heel H on a 2x10 at slope m wants the seat (9.25 k(m) - H) / m."""
    made = map_of(house_of({}), "seat", "pitch", heel=9.25)
    assert made.heel is not None
    assert made.heel.text == 'heel 9 1/4"'
    (line,) = made.heel.lines
    m = line[:, 1] / 12
    assert line[:, 0] == pytest.approx((9.25 * np.sqrt(1 + m * m) - 9.25) / m, abs=1e-9)
    assert np.interp(8, line[:, 1], line[:, 0]) == pytest.approx((9.25 * sqrt(13) / 3 - 9.25) * 1.5, abs=1e-3)


def test_where_the_planes_run_through() -> None:
    """Where the truss heel is an axis, the curve is heel = 9.25 k(2/3) - 2/3 seat at 8 in 12."""
    made = map_of(house_of({}), "heel", "seat")
    assert made.heel is not None
    assert made.heel.text == "planes run through"
    (line,) = made.heel.lines
    assert line[:, 0] == pytest.approx(9.25 * sqrt(13) / 3 - line[:, 1] * 2 / 3, abs=1e-9)


def test_all_meet_ends_at_a_quarter_of_the_depth(seats_and_pitches: Map) -> None:
    """Published case worked by hand: at 8 in 12 the longest seat of a 2x10 at D/4 is 4.169; the shortest that asks
    nothing is 3 (IRC R802.6).
    """
    edge = [LineString(line).intersection(LineString([(0, 8), (9, 8)])) for line in seats_and_pitches.meet_edges]
    crossings = sorted(point.x for part in edge for point in getattr(part, "geoms", [part]) if not point.is_empty)
    assert crossings == pytest.approx([3.0, 4.169], abs=2e-3)


@pytest.mark.parametrize(("across", "up", "reading"), PAIRS)
def test_lines_hold_in_single_houses(across: str, up: str, reading: str) -> None:
    """Points of every line, worked out one by one as single houses, have its value; either side of a region's edge
    the single houses' verdicts differ.
    """
    made, chance = mapped(across, up, reading), Random(3)
    for level in made.levels:
        kind, name = made.reading.split(".")
        for line in level.lines:
            for x, y in chance.sample(line.tolist(), min(3, len(line))):
                house = {**made.swept.house, across: x, up: y}
                if "depth" in (across, up):
                    house.pop("lumber")
                bays = dict(zip(("rafter", "scissor"), bays_of(house, rounded=False), strict=True))
                if kind in bays and name in {row.name for row in bays[kind].rows()}:
                    assert bays[kind].reading(name).value == pytest.approx(level.value, rel=1e-7, abs=1e-7)
                else:
                    assert float(sweep(house, False).reading(made.reading)) == pytest.approx(level.value, rel=1e-6)
    low, high = np.array([(axis.values[0], axis.values[-1]) for axis in (made.across, made.up)]).T
    for code, lines in ((1, made.meet_edges), (3, made.miss_edges), (0, made.refusal_edges)):
        for line in lines:
            for x, y in chance.sample(line.tolist(), min(4, len(line))):
                around = [(x + dx * 1e-3 * (high - low)[0], y + dy * 1e-3 * (high - low)[1])
                          for dx in (-1, 0, 1) for dy in (-1, 0, 1)]  # fmt: skip
                states = {int(s) for s in made.at([a for a, _ in around], [b for _, b in around])}
                assert code in states and len(states) > 1, (code, x, y)


def test_levels_and_ticks_are_round() -> None:
    assert even(60, 130, 6, "in") == (60, 72, 84, 96, 108, 120)
    assert even(0.11, 0.39, 6, "") == pytest.approx((0.15, 0.2, 0.25, 0.3, 0.35))
    assert even(4, 12, 9, "pitch") == (4, 5, 6, 7, 8, 9, 10, 11, 12)
    assert even(3000, 4700, 6, "cu ft") == (3000, 3500, 4000, 4500)


def test_a_reading_that_does_not_change_has_no_line() -> None:
    """The overall height depends on no overhang and no window."""
    made = map_of(example(), "overhang", "window_head", "scissor.height")
    assert all(level.value != level.value for level in made.levels) or not made.levels
    assert "no line" in made.words


def test_options_stand_at_their_place() -> None:
    made = map_of(example(), options={"As the builder has it": {"seat": 3}, "Far off": {"seat": 3, "pitch": 20}})
    assert [(s.name, s.x, s.y, s.inside) for s in made.spots] == [
        ("As the builder has it", 3, 8, True), ("Far off", 3, 20, False),
    ]  # fmt: skip
    assert "Far off" in made.words
    assert "beyond the map" in made.words


def test_one_end_alone_can_be_mapped() -> None:
    made = map_of({"pitch": (8, 6), "ceiling_pitch": 3}, "pitch_right", "seat_right", "rafter.heel")
    assert made.across.label == "Roof pitch, right end"
    assert (made.spots[0].x, made.spots[0].y) == (6, 3.5)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"across": "lumber"}, "lumber is a size"), ({"up": "spam"}, "spam"), ({"reading": "spam"}, "spam"),
        ({"ranges": {"seat": (5, 2)}}, "the greater"), ({"across": "seat", "up": "seat"}, "both axes"),
        ({"reading": "scissor.heel_state"}, "heel_state"),
    ],
)  # fmt: skip
def test_what_is_no_map_is_refused(given: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        map_of(example(), **given)


# --- pictures --------------------------------------------------------------------------------------------------------


def drawn(made: Map, size: float) -> list[str]:
    """Everything wrong with a map as drawn: texts on texts or lines, beyond the frame, missing, or not at true size."""
    scene = fit_map(made, FRAME, size)
    placed = fit(scene, *FRAME, size)
    wrong = faults(scene, FRAME, placed)
    wrong += [f"scale {placed.scale}"] * (placed.scale != 1)
    wrong += [f"{name} is dropped" for name in placed.dropped]
    return wrong


@pytest.mark.parametrize("size", [12.0, 21.0])
@pytest.mark.parametrize(("across", "up", "reading"), PAIRS)
def test_no_text_lies_on_anything(across: str, up: str, reading: str, size: float) -> None:
    """At 700 x 420 px with texts of a screen and of a projector."""
    assert drawn(mapped(across, up, reading), size) == []


@pytest.mark.parametrize("seed", range(4))
def test_random_maps(seed: int) -> None:
    """Random houses, axes and readings, several options near each other."""
    chance = Random(seed)
    for _ in range(2):
        pitch = chance.choice((4, 6, 8, 10, 12))
        size, span = chance.choice(("2x6", "2x8", "2x12")), chance.choice((192, 300, 420))
        house: dict[str, Any] = {"pitch": pitch, "lumber": size, "span": span,
                 "seat": chance.choice((2, 3, 4.5)), "overhang": chance.choice((0, 12, 24)),
                 "ceiling_pitch": pitch / 2, "bearing": chance.choice((5.5, 7.25))}  # fmt: skip
        near, third = {**house, "seat": house["seat"] - 0.25}, {**house, "span": 310}
        options = {"As the builder has it": house, "Other way": near, "Third": third}
        across, up, reading = chance.choice(PAIRS)
        assert drawn(map_of(house, across, up, reading, options=options), chance.choice((12.0, 16.0, 21.0))) == []


def test_the_picture_says_what_it_shows(seats_and_pitches: Map) -> None:
    """Regions, lines, option and axes are named in words, on the map and for those who listen."""
    scene = fit_map(seats_and_pitches)
    picture = svg(fit(scene, *FRAME, 12.0), *FRAME)
    texts = {"".join(node.itertext()) for node in ET.fromstring(picture).iter("{http://www.w3.org/2000/svg}text")}
    assert {"ALL MET", "ASK", "MISSES", "as it stands", "20 %", 'heel 8 13/16"', "Seat"} <= texts
    assert any("hatched: all limits are met" in text for text in texts)
    styles = {stroke.name: stroke.style for stroke in scene.strokes}
    assert len({styles["all limits are met"], styles["something misses"], styles["heel"], styles["hatch"]}) == 4
    for said in ("Seat runs across from 1 1/2\" to 5 1/2\"", "All limits are met in", "What asks or misses most",
                 "As it stands: seat 3 1/2\", roof pitch 8 in 12, all limits are met", "not a design"):  # fmt: skip
        assert said in scene.description


def test_nothing_can_be_built() -> None:
    """A ceiling as steep as the roof leaves the chords no room, wherever the walls stand."""
    made = map_of({"pitch": 8, "ceiling_pitch": 8, "seat": 5.5, "lumber": "2x4"}, "overhang", "span")
    assert "Nothing on this map can be built" in made.words
    assert drawn(made, 12.0) == []


def test_usual_ranges_hold_the_present_value() -> None:
    house = house_of({})
    for name in ("span", "pitch", "ceiling_pitch", "overhang", "bearing", "seat", "heel", "plate_height", "depth"):
        low, high = usual_range(house, name)
        now = {"heel": 8.8125, "depth": 9.25}.get(name, house.get(name))
        assert low <= float(now or 0) <= high, name
