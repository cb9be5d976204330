"""Trusses as built and as set: published limits at, just inside and just outside, and shims worked by hand.

Sources: ANSI/TPI 1-2014 Table 3.5-1 (length 1/2 and 3/4 in, height 1/4 and 1/2 in), sec. 7.6 (L/180, L/240; sideways
1.25 and 0.75 in from memory); BCSI, from memory (lesser of D/50 or 2 in, of L/200 or 2 in, 1/4 in); NAHB performance
guidelines (sheathing bow 1/2 in in 2 ft); IRC R802.7.1 (D/4).
"""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import rooflab as rl
from rooflab.shop.checklist import ALSO, CODE_ITEMS
from rooflab.shop.field import CAUTIONS
from tests.tools.houses import GABLE, RAFTERS, TRUSS_FULL
from tests.tools.strategies import bounded, junk

HAIR = 1 / 1000


# --- built and set ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "limit", "place"),
    [
        ("length_spread", 0.5, 0),
        ("length_from_design", 0.75, 0),
        ("height_spread", 0.25, 1),
        ("height_from_design", 0.5, 1),
    ],
)
@pytest.mark.parametrize(("beyond", "verdict"), [(-HAIR, "meets"), (0.0, "meets"), (HAIR, "misses")])
@pytest.mark.parametrize("way", [1, -1])
def test_manufacturing_variances(name: str, limit: float, place: int, beyond: float, verdict: str, way: int) -> None:
    right = [312.0, 111.4375]
    off = list(right)
    off[place] += way * (limit + beyond)
    rows = [("1", *off), ("2", *(right if name.endswith("spread") else off))]
    found = {f.name: f for f in rl.built_trusses(TRUSS_FULL, rows)}
    assert (found[name].limit, found[name].verdict) == (limit, verdict)


@pytest.mark.parametrize(
    ("name", "values", "limit"),
    [
        ("plumb", ("40'", 75, "{}", 0, 0), 1.5),  # 75/50
        ("plumb", ("40'", 120, "{}", 0, 0), 2.0),  # 120/50 = 2.4: the lesser
        ("bow", ("30'", 75, 0, "{}", 0), 1.8),  # 360/200
        ("bow", ("40'", 75, 0, "{}", 0), 2.0),  # 480/200 = 2.4: the lesser
        ("spacing", ("30'", 75, 0, 0, "{}"), 0.25),
    ],
)
@pytest.mark.parametrize(("beyond", "verdict"), [(-HAIR, "meets"), (0.0, "meets"), (HAIR, "misses")])
@pytest.mark.parametrize("way", [1, -1])
def test_set_trusses(
    name: str, values: tuple[Any, ...], limit: float, beyond: float, verdict: str, way: int
) -> None:
    """The published limits of an installed truss, either way."""
    given_ = [way * (limit + beyond) if value == "{}" else value for value in values]
    found = {f.name: f for f in rl.set_trusses(*given_)}
    assert found[name].limit == pytest.approx(limit) and found[name].verdict == verdict
    assert all(f.verdict == "meets" for other, f in found.items() if other != name)
    assert "from memory" in found[name].source


@pytest.mark.parametrize(
    ("what", "limit"), [("total", 420 / 180), ("live", 420 / 240), ("sideways_total", 1.25), ("sideways_live", 0.75)]
)
@pytest.mark.parametrize(("beyond", "verdict"), [(-HAIR, "meets"), (0.0, "meets"), (HAIR, "misses")])
def test_deflection_and_movement(what: str, limit: float, beyond: float, verdict: str) -> None:
    """35 ft: 2.33 in total and 1.75 in live (TPI 1, sec. 7.6); sideways from memory, and marked so."""
    found = {f.name.removeprefix("deflection_"): f for f in rl.movement("35'", **{what: limit + beyond})}
    assert found[what].verdict == verdict and found[what].limit == pytest.approx(limit)
    assert ("from memory" in found[what].source) == what.startswith("sideways")
    assert sum(f.verdict == "ask" for f in found.values()) == 3


def test_the_list_of_a_drawing() -> None:
    """Twelve items in IRC R802.10.1, and four that it leaves out: heel, overhang and tail cut, ceiling pitch,
    camber."""
    assert (len(CODE_ITEMS), len(ALSO)) == (12, 4)
    points = rl.completeness([1, 13])
    assert [p.number for p in points] == list(range(1, 17)) and [p.number for p in points if p.ticked] == [1, 13]
    assert {p.source for p in points[:12]} == {"IRC R802.10.1"} and "ask" in points[12].source
    wrong: tuple[Any, ...] = (0, 17, True, "1")
    for ticked in wrong:
        with pytest.raises(rl.InputError, match="1 to 16"):
            rl.completeness([ticked])


# --- shims -----------------------------------------------------------------------------------------------------------


def test_a_schedule_worked_by_hand() -> None:
    """Tops 8 3/4, 8 13/16, 8 1/2 + 1/8, 9, 8 7/8; aim 9; tolerance 1/8.

    Below by 1/4, 3/16, 3/8, 0, 1/8: shims 1/4, 3/16, 3/8, none, none.  8 in 12: a strip of 3/8 / 1.20185 = 0.312, 5/16.
    """
    table = "station,heel,plate\n0,8 3/4,0\n24,8 13/16,\n48,00-08-08,1/8\n72,9,0\n96,8 7/8,0\n"
    made = rl.shim_schedule(table, "1/8", pitch=8)
    assert made.aim == 9.0
    assert [row.shim for row in made.rows] == [0.25, 0.1875, 0.375, 0.0, 0.0]
    assert '3/8" under the full bearing' in made.rows[2].sentence and 'fur 5/16"' in made.rows[2].sentence
    assert made.rows[4].sentence == 'Leave it: 1/8" low is within the tolerance.'
    assert "3 of 5" in made.sentence and "none is cut" in made.sentence


def test_the_plane_is_never_below_the_highest_truss() -> None:
    """A plane of 9 1/4 over a highest truss of 9: all come up; a plane of 8 3/4: the rafters come up 1/4."""
    assert [row.shim for row in rl.shim_schedule([("a", 9), ("b", 8.75)], plane="9 1/4").rows] == [0.25, 0.5]
    low = rl.shim_schedule([("a", 9), ("b", 8.75)], plane="8 3/4")
    assert low.aim == 9 and 'the plane drawn is 1/4" lower' in low.sentence.lower()


@bounded(200)
@given(
    st.lists(st.tuples(st.floats(4, 12), st.floats(-0.75, 0.75)), min_size=1, max_size=12),
    st.sampled_from((1 / 16, 1 / 8, 1 / 4)), st.one_of(st.none(), st.floats(6, 13)),
)  # fmt: skip
def test_after_shimming_all_are_within_the_tolerance(
    rows: list[tuple[float, float]], tolerance: float, plane: float | None
) -> None:
    """No station is above the plane, none below by more than the tolerance; shims are whole sixteenths; nothing is
    lowered."""
    made = rl.shim_schedule([(str(i), heel, plate) for i, (heel, plate) in enumerate(rows)], tolerance, plane)
    tops = [heel + plate for heel, plate in rows]
    assert made.aim == max([*tops, *([] if plane is None else [plane])])
    for top, row in zip(tops, made.rows, strict=True):
        assert row.shim >= 0 and (16 * row.shim).is_integer()
        assert made.aim - tolerance - 1e-9 <= top + row.shim <= made.aim + 1e-9


@pytest.mark.parametrize(
    ("below", "shim"),
    [(1 / 8 - HAIR, 0.0), (1 / 8, 0.0), (1 / 8 + HAIR, 1 / 8), (3 / 16 - HAIR, 1 / 8), (3 / 16, 3 / 16)],
)
def test_at_the_edge_of_the_tolerance(below: float, shim: float) -> None:
    assert rl.shim_schedule([("a", 9), ("b", 9 - below)]).rows[1].shim == shim


@pytest.mark.parametrize(
    ("rows", "said"),
    [("", "no rows"), ([], "no rows"),
     ([("a",)], "heel is missing"), ([("a", "high")], "Row 1, heel"), ([("a", 0)], "more than"),
     ("a;8,5", "comma"), ({"a": 1}, "no table"), (5, "no table"), ([("a", 1)] * 501, "501 rows")],
)  # fmt: skip
def test_measurements_that_cannot_be_used(rows: object, said: str) -> None:
    with pytest.raises(rl.InputError, match=said):
        rl.shim_schedule(rows)


@bounded(60)
@given(junk())
def test_whatever_is_measured_gives_a_schedule_or_sentences(rows: object) -> None:
    try:
        assert rl.shim_schedule(rows).rows
    except rl.InputError as error:
        assert error.problems


# --- seats and tapers ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heel", "seat", "verdict"),
    [
        (
            "8 3/8",
            (9.25 * sqrt(13) / 3 - 8.375) * 1.5,
            "meets",
        ),  # case 1: a 4 1/8 seat gives heel 8 3/8; D/4 allows 4.169
        ("8 5/16", (9.25 * sqrt(13) / 3 - 8.3125) * 1.5, "ask"),  # 4.207: beyond D/4
        ("7 7/16", (9.25 * sqrt(13) / 3 - 7.4375) * 1.5, "misses"),  # 5.519, a hair wider than the plate of 5 1/2
        ("11 1/8", (9.25 * sqrt(13) / 3 - 11.125) * 1.5, "misses"),  # above the plumb depth, 11.117: no seat
    ],
)
def test_the_seat_for_a_measured_heel(heel: str, seat: float, verdict: str) -> None:
    """The house of the examples, 2x10 at 8 in 12: seat (9.25 k - heel)/m, k = sqrt(13)/3, m = 2/3."""
    made = rl.measured_seat(heel, RAFTERS)
    assert made.seat == pytest.approx(seat) and made.verdict == verdict
    assert ("No seat can do it" in made.sentence) == (verdict == "misses")
    assert made.notch == pytest.approx(max(seat, 0) * (2 / 3) / (sqrt(13) / 3))


def test_the_seat_puts_the_rafter_on_the_truss() -> None:
    made = rl.measured_seat(9.125, RAFTERS)
    assert rl.RafterBay(GABLE, "2x10", made.seat).heel == pytest.approx(9.125)


@pytest.mark.parametrize(("step", "feet"), [("1/4", 1.0), ("1/2", 2.0), (-0.5, 2.0), (0.75, 3.0), (0, 0.0)])
def test_a_taper_stays_within_the_bow_limit(step: float | str, feet: float) -> None:
    """1/2 in in 2 ft (NAHB): a step of 1/2 in takes 2 ft, 3/4 in 3 ft."""
    assert rl.taper(step).length / 12 == feet


def test_bad_measurements_get_a_sentence() -> None:
    bad: tuple[Any, ...] = ("high", None, True, float("nan"), "-1", 0)
    for wrong in bad:
        with pytest.raises(rl.InputError):
            rl.measured_seat(wrong, RAFTERS)
    for tolerance in (0, "1/32", 3, "x"):
        with pytest.raises(rl.InputError):
            rl.shim_schedule([("a", 9)], tolerance)
    with pytest.raises(rl.InputError):
        rl.taper("13")
    with pytest.raises(rl.InputError):
        rl.set_trusses(0, 0, "x", 1)


def test_cautions_stand_ready() -> None:
    text = " ".join(CAUTIONS)
    assert all(
        word in text for word in ("Brace as the drawings say", "not braced", "never cut", "engineer", "fall protection")
    )
