"""Insulation over the plate, along the slope and in the attic wall, against published commentary, codes and hand
work.
"""

from __future__ import annotations

import re
from math import cos, degrees, radians, sqrt, tan
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from rooflab import Gable, InputError, RafterBay, ScissorBay
from rooflab.base import geometry
from rooflab.base.measure import inches
from rooflab.checks import warmth as wm
from rooflab.checks.assumptions import assumption_problems, assumptions_from
from tests.tools.strategies import bounded, houses, legal


def gable(**changes: Any) -> Gable:
    return Gable(**{"span": "26'", "pitch": 8, "bearing": "5 1/2", "overhang": 16, **changes})


def found(bay: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
    return {finding.name: finding for finding in wm.warmth_findings(bay, *args, **kwargs)}


# --- over the plate --------------------------------------------------------------------------------------------------


def complies(depth: float, r: float, angle: float) -> bool:
    slope = tan(radians(angle))
    return bool(wm.holds_over_plate(geometry.heel(depth, slope, 3.5), slope, r, 3.7))


def crossing(depth: float, r: float, low: float, high: float) -> float:
    """Angle between low and high at which compliance changes, degrees."""
    first = complies(depth, r, low)
    assert complies(depth, r, high) != first
    while high - low > 1e-4:
        middle = (low + high) / 2
        low, high = (middle, high) if complies(depth, r, middle) == first else (low, middle)
    return low


@pytest.mark.parametrize(
    ("depth", "r", "low", "high", "angle"),
    [(9.25, 30, 0, 20, 2.4), (9.25, 30, 30, 70, 44.27), (9.25, 38, 30, 80, 59.32), (11.25, 38, 0, 60, 38.0)],
)
def test_full_height_over_the_plate(depth: float, r: float, low: float, high: float, angle: float) -> None:
    """Published commentary on IRC 2018 N1102.2.1: with 1 in of air, a 3 1/2 in plate and R-3.7 an inch a 2x10 holds
    R-30 up to 2.4 or from 44.27 degrees and R-38 from 59.32, a 2x12 R-38 from 38.0.
    """
    assert crossing(depth, r, low, high) == pytest.approx(angle, abs=0.06)


def test_a_2x12_holds_r30_at_any_angle() -> None:
    """Published commentary on IRC 2018 N1102.2.1; and the 2x10 does not between its two angles."""
    assert all(complies(11.25, 30, angle) for angle in np.linspace(0, 80, 161))
    assert not any(complies(9.25, 30, angle) for angle in np.linspace(3, 44, 83))


@pytest.mark.parametrize("angle", [5.0, 18.4, 33.7, 45.0, 60.0])
def test_clear_height_by_trigonometry(angle: float) -> None:
    """The same commentary's own formula, (d - 1)/cos - 3.5 tan at the outside face, and (d - 1)/cos at the inside
    face of a full seat, with the library's cos and tan.
    """
    slope, a = tan(radians(angle)), radians(angle)
    heel = float(geometry.heel(9.25, slope, 3.5))
    assert float(wm.clear_height(heel, slope)) == pytest.approx(8.25 / cos(a) - 3.5 * tan(a))
    assert float(wm.clear_height(heel, slope, 3.5)) == pytest.approx(8.25 / cos(a))
    assert degrees(a) == pytest.approx(angle)


def test_both_bays_of_a_house() -> None:
    """Worked by hand: 2x10 at 8 in 12 on a full 5 1/2 in bearing, k = sqrt(13)/3: heel 9.25 k - 3.6667 = 7.4505;
    less 1 in of air, k = 1.2019, 6.2486 at the outside face and 3.6667 more, 9.9153, at the inside. A truss heel 16:
    14.7981 and 18.4648 where the ceiling leaves the plate at the inside face; from the outside face 4/12 x 5.5 =
    1.8333 less.
    """
    rafter = wm.over_plate(RafterBay(gable())).values
    assert (rafter["clear_outside"], rafter["clear_inside"]) == pytest.approx((6.2486, 9.9153), abs=1e-4)
    truss = wm.over_plate(ScissorBay(gable(), 4, 16)).values
    assert (truss["clear_outside"], truss["clear_inside"]) == pytest.approx((14.7981, 18.4648), abs=1e-4)
    outside = wm.over_plate(ScissorBay(gable(), 4, 16, ceiling_from="outside")).values
    assert (outside["clear_outside"], outside["clear_inside"]) == pytest.approx((14.7981, 16.6315), abs=1e-4)


@bounded(30)
@given(houses(), st.floats(2, 7), st.floats(0, 3), st.floats(10, 60))
def test_readings_of_any_house_show_their_working(h: Any, per: float, air: float, r: float) -> None:
    """The formula with its numbers in comes to the value; a bay with the heel wanted holds the R exactly."""
    g = legal(Gable, **h["gable"])
    rafters = legal(RafterBay, g, **h["rafter"])
    for bay in (rafters, legal(ScissorBay, g, **h["scissor"])):
        made = wm.over_plate(bay, r, per, air)
        for row in wm.HEIGHTS:
            read = made.reading(row.name)
            worked = read.worked
            for sign, python in (("×", "*"), ("÷", "/"), ("−", "-"), ("√", "sqrt"), ("²", "**2")):
                worked = worked.replace(sign, python)
            value = eval(worked, {"__builtins__": {}}, {"sqrt": sqrt, "max": max})
            assert read.value == pytest.approx(value, abs=1e-4), read
        m, heel = made.values["m"], made.values["heel_wanted"]
        assert float(wm.clear_height(heel, m, 0, air)) * per == pytest.approx(r)
        assert bool(wm.holds_over_plate(heel, m, r, per, air))
        assert not wm.holds_over_plate(heel - 0.01, m, r, per, air)


def test_no_height_at_the_outside_face_shows_its_working() -> None:
    """Worked by hand: 9 in 12, k = 1.25; a 2x4 on 3 1/2: heel 4.375 - 2.625 = 1.75, under 3 in of air
    1.75 - 3.75 = -2 in, so R 0; each parenthesis is closed.
    """
    low = wm.over_plate(RafterBay(gable(pitch=9), "2x4", 3.5), 38, 3.1, 3)
    assert low.reading("clear_outside").worked == "1.75 − 3 × √(1 + (9/12)²)"
    assert (low.reading("r_outside").worked, low.reading("r_outside").value) == ("max(−2, 0) × 3.1", 0)


def test_heel_for_a_wanted_r() -> None:
    """Worked by hand: R-37 at 3.7 an inch is 10 in; at 9 in 12 an inch of air stands 1.25 in plumb: heel 11 1/4."""
    assert float(wm.heel_for(wm.height_for(37, 3.7), 9 / 12)) == pytest.approx(11.25)


# --- materials and the code ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("cellulose, loose", 3.1, 3.7), ("blown fiberglass", 2.2, 2.9), ("fiberglass batt", 2.9, 3.8),
        ("fiberglass, dense", 3.4, 4.2), ("blown mineral wool", 2.2, 2.9), ("EPS", 3.9, 4.2), ("XPS", 5.0, 5.0),
        ("polyiso", 5.6, 7.0), ("closed-cell spray foam", 5.6, 6.2),
    ],
)  # fmt: skip
def test_r_per_inch(name: str, low: float, high: float) -> None:
    """DOE Insulation Fact Sheet and ASHRAE, R per inch."""
    assert wm.material_by_name(name)[1:3] == (low, high)


@pytest.mark.parametrize("edition", ["2012", "2015", "2018", "2024"])
def test_full_height_lets_less_do(edition: str) -> None:
    """IRC N1102.2.1, 2012 to 2018 and 2024: full height over the plate allows R-30 for R-38 and R-38 for R-49."""
    assert [wm.reduced_r(r, edition) for r in (38, 49, 60)] == [30, 38, 60]


def test_full_height_in_2021() -> None:
    """IRC 2021 N1102.2.1, from memory: R-38 for R-49, R-49 for R-60."""
    assert [wm.reduced_r(r, "2021") for r in (38, 49, 60)] == [38, 38, 49]
    row = found(RafterBay(gable()), 49, edition="2021")["over_plate"]
    assert "from memory" in row.source and "2021" in row.source


@pytest.mark.parametrize("pitch", [4, 7.5, 8, 9, 11])
@pytest.mark.parametrize("r", [30, 38, 49])
def test_the_heel_that_is_printed_does(pitch: float, r: float) -> None:
    """Printed to 1/16 in and typed again, the wanted heel holds full height (IRC N1102.2.1); 1/8 less does not."""
    remedy = found(ScissorBay(gable(pitch=pitch), 3, 6), r)["over_plate"].remedy
    printed = inches(re.findall(r"A heel of (.*?) holds", remedy)[0])
    for heel, full in ((printed, True), (printed - 1 / 8, False)):
        row = found(ScissorBay(gable(pitch=pitch), 3, heel), r)["over_plate"]
        assert (row.verdict != "misses") is full


def test_findings() -> None:
    """IRC R806.3: at least 1 in of air; N1102.2.1: full height over the plate, of loose cellulose (DOE: from R-3.1)."""
    rafter = RafterBay(gable())
    rows = found(rafter)
    assert rows["over_plate"].verdict == "misses" and rows["over_plate"].limit == pytest.approx(30 / 3.1)
    assert rows["air_space"].verdict == "meets"
    assert found(rafter, air=0.5)["air_space"].verdict == "misses"
    assert found(RafterBay(gable(pitch=12), "2x12", seat="3 1/2"), 38)["over_plate"].verdict == "meets"
    truss = found(ScissorBay(gable(), 4, 16))
    assert truss["over_plate"].verdict == "ask" and "counts as an attic" in truss["over_plate"].sentence
    assert "chords" in truss["vent_path"].sentence and "chords" not in rows["vent_path"].sentence
    assert "baffle" in rows["wind_wash"].sentence.lower()
    for f in (*rows.values(), *truss.values()):
        assert f.source and f.sentence.endswith(".")
    assert "over_plate_right" in found(RafterBay(gable(pitch=(8, 6))))


# --- along the slope -------------------------------------------------------------------------------------------------


def along(bay: ScissorBay, air: float) -> tuple[Any, Any]:
    """Level distances in from the outside face to the ridge or the ceiling's apex, and the clear heights there, in."""
    v, x = bay.symbols(), np.linspace(0, min(bay.left.run, bay.left.apex), 60)
    return x, wm.clear_height(v["heel"], v["m"], x, air, v["c"], v["start"])


def test_along_the_slope_of_a_scissor() -> None:
    """Geometry: roof line less air less ceiling line at each x; at the apex it is the depth between the lines less
    the air.
    """
    bay = ScissorBay(gable(), 4, 16)
    places, heights = along(bay, 1.0)
    assert places[0] == 0 and places[-1] == pytest.approx(156)
    k = sqrt(13) / 3
    for x, height in zip(places, heights, strict=True):
        ceiling = max(bay.ceiling_at(float(x)), 0.0)
        assert height == pytest.approx(bay.roof_at(float(x)) - k - ceiling)
    assert np.all(np.diff(heights) > 0)
    assert wm.r_value(heights, 3.7) == pytest.approx(heights * 3.7)


@bounded(30)
@given(houses(), st.floats(2, 40), st.floats(0, 2))
def test_where_full_height_begins(h: Any, height: float, air: float) -> None:
    """There the height is just reached (or it is at the face already); nowhere means it is never reached."""
    g = legal(Gable, **h["gable"])
    bay = legal(ScissorBay, g, **h["scissor"])
    x = wm.full_from(bay, height, air)
    heights = along(bay, air)[1]
    v = bay.symbols()
    if x is None:
        assert heights.max() < height + 1e-6
    elif x == 0:
        assert heights[0] >= height - 1e-9
    else:
        got = wm.clear_height(v["heel"], v["m"], x, air, v["c"], v["start"])
        assert float(got) == pytest.approx(height, abs=1e-6) and heights[0] < height


# --- the attic wall --------------------------------------------------------------------------------------------------


def test_attic_wall() -> None:
    """Geometry: a triangle 24 ft wide and 12 x 6/12 = 6 ft high: 72 sq ft."""
    assert wm.attic_wall_area(ScissorBay(Gable("25'", 9, 6), 6, 16)) == pytest.approx(72)
    assert wm.attic_wall_area(ScissorBay(Gable("25'", 9, 6), 0, 16)) == 0


@bounded(30)
@given(houses(), st.floats(-40, 40))
def test_attic_wall_of_any_house(h: Any, flat: float) -> None:
    """Against a polygon's area by a geometry library: what of the gable between the ceiling lines lies above the
    flat one.
    """
    g = legal(Gable, **h["gable"])
    bay = legal(ScissorBay, g, **h["scissor"])
    assert bay.left.ceiling is not None
    (ax, ay), *feet = (
        (bay.left.wall.inside(bay.left.apex), bay.left.ceiling.at(bay.left.wall.inside(bay.left.apex))),
        *((end.wall.inside(end.start), end.plate) for end in bay.ends),
    )
    (lx, ly), (rx, ry) = feet
    bottom = min(ly, ry, flat) - 1
    under = Polygon([(lx, bottom), (lx, ly), (ax, ay), (rx, ry), (rx, bottom)])
    box = LineString([(lx - 1, flat), (rx + 1, flat)]).envelope.bounds
    above = Polygon(
        [(box[0], flat), (box[2], flat), (box[2], max(ay, ly, ry, flat) + 1), (box[0], max(ay, ly, ry, flat) + 1)]
    )
    assert wm.attic_wall_area(bay, flat) == pytest.approx(under.intersection(above).area / 144, rel=1e-9, abs=1e-6)


# --- words and refusals ----------------------------------------------------------------------------------------------


def test_words() -> None:
    assert "air barrier on both faces" in wm.ATTIC_WALL
    assert "each bay needs its own inlet" in wm.SEAM_AIR
    assert set(wm.VENT_PATHS) == {"rafter", "scissor"}


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda bay: wm.over_plate(bay, air=9), "Air space over the insulation 9 in: allowed is 0 to 6 in."),
        (lambda bay: wm.over_plate(bay, per_inch=38), "R per inch 38: allowed is 1 to 8. R is in sq ft·h·°F/Btu."),
        (lambda bay: wm.over_plate(bay, r_wanted=0), "Wanted R-value 0: allowed is 1 to 120."),
        (lambda bay: wm.warmth_findings(bay, edition="2019"), "Code edition: 2019 is not 2012 or"),
        (lambda bay: wm.material_by_name("straw"), "Insulation: straw is not cellulose, loose or"),
        (lambda bay: wm.attic_wall_area(bay), "Scissor bay: "),
        (lambda bay: wm.over_plate(bay).reading("r"), "Reading over the plate: r is not clear_outside or"),
        (lambda bay: wm.over_plate(26), "Bay: 26 is not a Bay."),  # type: ignore[arg-type]
    ],
)
def test_what_cannot_be_is_refused(call: Any, words: str) -> None:
    with pytest.raises(InputError) as refused:
        call(RafterBay(gable()))
    assert refused.value.problems[0].startswith(words)


@pytest.mark.parametrize(
    ("old", "low"), [("fiberglass, loose", 2.2), ("rock wool, loose", 2.2), ("sprayed polyurethane", 5.6)]
)
def test_insulations_of_older_job_files_are_read(old: str, low: float) -> None:
    """DOE Insulation Fact Sheet, ASHRAE: the careful end of each range, under the name an older file has."""
    assert not assumption_problems({}, {"material": old}, "")
    assert assumptions_from({}, {"material": old}).per_inch == low
