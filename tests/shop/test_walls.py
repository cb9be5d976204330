"""Both walls of set trusses: lists as they are called out, shims and seats worked by hand, what moved.

By hand, the house of the examples (8 in 12, a 2x10 on a seat of 3 1/2 in, k = sqrt(13)/3): the rafters' heel is
9.25 k - 7/3 = 8.784, handed over as 8 13/16; a wall set in by 24 in on 3 1/2 in of bearing under a ceiling of 4 in 12
rises (24 + 3.5 - 5.5)/3 = 7.333 and has a heel of 8.8125 + 16 - 7.333 = 17.479.  The unequal house: a 2x6 at 9 and 6 in
12 on full plates of 5 1/2 and 3 1/2 in has heels of 5.5 x 1.25 - 0.75 x 5.5 = 2.75 and 5.5 x 1.118 - 0.5 x 3.5 = 4.399.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import rooflab as rl
from rooflab import InputError
from rooflab.job.jobfile import Job, example, rounded_heels
from rooflab.job.schedule import TO_GIVE, TrussType
from rooflab.shop.field import STACK
from rooflab.shop.walls import AIMS, MeasuredWall, measured_walls, rafters_to_match, read_heels, ridge_words
from tests.tools.strategies import bounded

UNEQUAL_GABLE = rl.Gable("24'", (9, 6), (5.5, 3.5), 16, (97.125, 109.125))
UNEQUAL_RAFTERS = rl.RafterBay(UNEQUAL_GABLE, "2x6", (5.5, 3.5))
UNEQUAL = Job(
    "Unequal house", UNEQUAL_RAFTERS, rl.ScissorBay(UNEQUAL_GABLE, 2, rounded_heels(UNEQUAL_RAFTERS)),
    (TrussType("A", 146.0),),
)  # fmt: skip


def one_type(length: float = 240.0) -> Job:
    return replace(example(), types=(TrussType("A", length),))


def shims(wall: MeasuredWall) -> list[float | None]:
    return [None if row is None else row.shim for row in wall.rows]


# --- lists -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "8 13/16, 8 3/4, -, 8 7/8",
        "8 13/16; 8 3/4; ; 8 7/8",
        "8 13/16\n8 3/4\n\n8 7/8\n",
        "8 13/16\r\n8 3/4\r\n\r\n8 7/8\r\n\r\n",
        "8 13/16\t8 3/4\t\t8 7/8",
        "8 13/16,\n8 3/4,\n\u2013,\n8 7/8,",
        '8 13/16",8 3/4",?,8 7/8"',
        "00-08-13, 8-3/4, --, 8.875",
        "8 13/16, 8 3/4 ; \u2014\n8 7/8, , ,",
    ],
)
def test_a_list_in_any_usual_form(text: str) -> None:
    assert [one.heel for one in read_heels(text)] == [8.8125, 8.75, None, 8.875]


def test_an_empty_list_and_places() -> None:
    assert [read_heels(text) for text in ("", "  \n", ",,", " ; ")] == [(), (), (), ()]
    assert [one.heel for one in read_heels("\n8\n")] == [None, 8.0]  # the first cell of a column is empty
    assert read_heels("2': 8 3/4, 4'-0\": -, 72 in: 9") == ((24.0, 8.75), (48.0, None), (72.0, 9.0))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("8,5", "Left wall: is 8,5 a decimal comma? Write 8.5, or two heels as 8, 5."),
        ("8,5; 8,75", "decimal comma"),
        ("8 3/4\t8 7/8\n8 1/2\t8 5/8", "a table of 2 lines and 2 columns; paste one column"),
        ("8 3/4, high, 9", "Left wall, heel 2: high is not a length"),
        ("0", "heel 1: 0\" is no heel"),
        ("-3", "heel 1 -3\": allowed is"),
        ("2: 8 3/4", "heel 1, place 2: write it as 2' or 24\""),
        ("-5': 8", "place -5'-0\": allowed is"),
        ("8, " * 150 + "8", "151 heels; at most 150"),
        ("8" * 20_001, "20001 letters"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_said_with_its_place(text: str, said: str) -> None:
    with pytest.raises(InputError) as error:
        read_heels(text)
    assert said in " ".join(error.value.problems)


def test_all_lists_are_told_about_at_once() -> None:
    with pytest.raises(InputError) as error:
        measured_walls(example(), "x", "y", earlier=("z", ""), aim="up")
    said = " ".join(error.value.problems)
    assert all(word in said for word in ("Left wall, heel 1", "Right wall, heel 1", "Left, last time", "Aim: up"))
    with pytest.raises(InputError, match="another stands at 2'-0\" already"):
        measured_walls(example(), "2': 8, 2': 9")


# --- places ----------------------------------------------------------------------------------------------------------


def test_trusses_are_the_jobs_in_their_order() -> None:
    """Type A on 240 in: 0, 24 ... 216 and 238.5; type B on the next 96: 240, 264, 288, 312, 334.5."""
    made = measured_walls(example(), "8 3/4")
    assert [place.at for place in made.places] == [*range(0, 217, 24), 238.5, 240, 264, 288, 312, 334.5]
    assert "".join(place.mark for place in made.places) == 11 * "A" + 5 * "B"
    assert made.places[12].asked == (pytest.approx(17.479, abs=5e-4), 8.8125) and made.walls[0].missing == 15


def test_a_list_may_name_places_and_go_on_beyond_the_job() -> None:
    near = measured_walls(one_type(), "2'-1\": 8 3/4, 8 5/8, 9': 8 1/2")  # 1 in off is that truss; 9 ft is none
    assert [(p.at, h) for p, h in zip(near.places, near.walls[0].heels, strict=True) if h] == [
        (24, 8.75), (48, 8.625), (108, 8.5),
    ]  # fmt: skip
    more = measured_walls(one_type(), ", ".join(["8 13/16"] * 13))  # 11 of the job, then 238.5 + 24, + 24
    assert [place.at for place in more.places[-2:]] == [262.5, 286.5]
    assert more.remarks == ("2 more than the job's 11 places: held against the main trusses' heel.",)
    unknown = replace(example(), types=(TrussType("A", 240.0, remark=TO_GIVE),))
    assert [place.at for place in measured_walls(unknown, "8, 8, 8").places] == [0, 24, 48]
    assert measured_walls(unknown).places == () and measured_walls(replace(example(), types=()), "9").places[0].at == 0


# --- shims -----------------------------------------------------------------------------------------------------------


def test_the_four_heels_of_the_lesson_are_a_case_of_it() -> None:
    """8 3/4, 8 13/16, 8 1/2, 8 13/16 with 1/8 in: aim 8 13/16; below by 1/16, 0, 5/16, 0."""
    heels = "8 3/4", "8 13/16", "8 1/2", "8 13/16"
    wall = measured_walls(one_type(), ", ".join(heels)).walls[0]
    lesson = rl.shim_schedule([(str(i), heel) for i, heel in enumerate(heels)])
    assert shims(wall)[:4] == [0, 0, 0.3125, 0] == [row.shim for row in lesson.rows]
    assert wall.schedule and wall.schedule.aim == lesson.aim == 8.8125


def test_unequal_ends_have_their_own_heels_aims_and_seats() -> None:
    """Left 2 3/4, 2 13/16, 2 1/2: aim 2 13/16, below 1/16, 0, 5/16; seat (6.875 - 2.8125)/0.75 = 5.417.  Right 4 3/8,
    4 1/4, 4 1/2: aim 4 1/2, below 1/8, 1/4, 0; seat (6.1492 - 4.5)/0.5 = 3.298."""
    left, right = "2 3/4, 2 13/16, 2 1/2", "4 3/8; 4 1/4; 4 1/2"
    made = measured_walls(UNEQUAL, left, right)
    assert [wall.asked for wall in made.walls] == [2.75, 4.375] and [w.drawn_seat for w in made.walls] == [5.5, 3.5]
    assert [shims(wall)[:3] for wall in made.walls] == [[0, 0, 0.3125], [0, 0.25, 0]]
    assert [seat and seat.seat for seat in made.match.seats] == pytest.approx([5.41667, 3.2984], abs=1e-4)
    # alike at both walls: the higher rise is 1/8, so the left plane is 2 7/8: below 1/8, 1/16, 3/8
    alike = measured_walls(UNEQUAL, left, right, aim=AIMS[1])
    assert [wall.schedule and wall.schedule.aim for wall in alike.walls] == [2.875, 4.5]
    assert [shims(wall)[:3] for wall in alike.walls] == [[0, 0, 0.375], [0, 0.25, 0]]
    # rafters cut as drawn stand at 2 3/4 and 4.399: trusses that are higher stay, lower ones come up to them
    cut = measured_walls(UNEQUAL, "2 5/8, 2 1/2", right, aim=AIMS[2])
    assert cut.walls[0].schedule and cut.walls[0].schedule.aim == pytest.approx(2.75)
    assert shims(cut.walls[0])[:2] == [0, 0.25] and cut.match.seats[0] and cut.match.seats[0].seat == pytest.approx(5.5)


def test_a_wall_set_in_is_held_against_its_own_heel() -> None:
    """B's heels of 17 1/2 stand 0.021 above the plane of 8 13/16; 17 1/4 is 0.25 lower than those: a shim of 1/4."""
    made = measured_walls(example(), ", ".join(["8 13/16"] * 11 + ["1'-5 1/2"] * 4 + ["1'-5 1/4"]))
    wall = made.walls[0]
    assert wall.schedule and wall.schedule.aim == pytest.approx(8.8125 + 0.0208, abs=1e-4)
    assert shims(wall) == [0.0] * 15 + [0.25] and not wall.stopped


def test_a_stack_over_three_quarters_is_no_shim() -> None:
    wall = measured_walls(one_type(), "9, 8 1/4, 8 3/16").walls[0]
    assert [row.where for row in wall.shimmed] == ["No. 2"] and [row.where for row in wall.stopped] == ["No. 3"]
    assert 'No. 3 to the engineer, over 3/4"' in wall.sentence and "8 not measured yet" in wall.sentence
    found = {one.name: one for one in measured_walls(one_type(), "9, 8 1/4, 8 3/16").findings}
    assert found["left_stack"].verdict == "misses" and "engineer" in found["left_stack"].remedy


@pytest.mark.parametrize(("low", "verdict"), [("8 9/16", "meets"), ("8 1/2", "ask")])
def test_variance_from_truss_to_truss(low: str, verdict: str) -> None:
    """8 13/16, 8 3/4, then 8 9/16 or 8 1/2: 1/4 and 5/16 lower than the highest; 3/16 and 1/4 than the one before."""
    made = measured_walls(one_type(), f"8 13/16, 8 3/4, -, {low}")
    varies = made.walls[0].variance
    assert varies and varies[1:3] == ("No. 4", "No. 1") and varies.between == ("No. 2", "No. 4")
    assert varies.spread == 8.8125 - rl.inches(low) and varies.step == 8.75 - rl.inches(low)
    assert {one.name: one.verdict for one in made.findings}["left_variance"] == verdict


def test_an_odd_reading_is_asked_about() -> None:
    """10 13/16 is 2 in off what was asked for, 10 7/8 more."""
    for heel, there in (("10 13/16", False), ("10 7/8", True), ("6 3/4", True)):
        names = [one.name for one in measured_walls(one_type(), f"8 13/16, {heel}").findings]
        assert ("left_reading" in names) is there


def test_nothing_measured_says_what_to_do() -> None:
    made = measured_walls(example())
    assert made.empty and "Nothing is measured yet" in made.sentence and made.findings == () and made.moves == ()
    assert made.match.bay == example().rafters and {row for wall in made.walls for row in wall.rows} == {None}


@bounded(150)
@given(
    st.lists(st.one_of(st.none(), st.integers(120, 160)), min_size=1, max_size=40),
    st.lists(st.one_of(st.none(), st.integers(120, 160)), min_size=1, max_size=40),
    st.sampled_from(AIMS), st.sampled_from(("1/16", "1/8", "1/4")),
)  # fmt: skip
def test_no_truss_ends_above_the_plane_nor_far_below(
    left: list[int | None], right: list[int | None], aim: str, tolerance: str
) -> None:
    """After shimming every measured truss is within the tolerance under its wall's plane, in whole sixteenths."""
    first, second = (", ".join("-" if one is None else f"{one / 16}" for one in wall) for wall in (left, right))
    made = measured_walls(example(), first, second, tolerance, aim)
    for wall, heels in zip(made.walls, (left, right), strict=True):
        assert [heel for heel in wall.heels if heel is not None] == [one / 16 for one in heels if one is not None]
        for row in wall.rows:
            assert row is None or wall.schedule
            if row and wall.schedule:
                assert (16 * row.shim).is_integer() and row.top + row.shim <= wall.schedule.aim + 1e-9
                assert wall.schedule.aim - row.top - row.shim <= rl.inches(tolerance) + 1e-9
        assert {row.where for row in wall.stopped} == {row.where for row in wall.rows if row and row.shim > STACK}


@bounded(100)
@given(st.text(alphabet="8 93/41-6,;:\t\n'\".xin", max_size=40), st.text(max_size=20))
def test_whatever_is_pasted_gives_walls_or_sentences(left: str, right: str) -> None:
    try:
        assert len(measured_walls(example(), left, right).walls) == 2
    except InputError as error:
        assert error.problems and all(len(one) < 400 for one in error.problems)


# --- rafters and ridge -----------------------------------------------------------------------------------------------


def test_equal_rises_leave_the_ridge_in_the_middle() -> None:
    """Both planes 9 1/16: 0.2787 above the rafters' 8.784, and so is the ridge; its place stays."""
    made = rafters_to_match(example().rafters, {"left": 9.0625, "right": 9.0625})
    up = 9.0625 - (9.25 * math.sqrt(13) / 3 - 7 / 3)
    assert (made.right, made.up) == (pytest.approx(0, abs=1e-9), pytest.approx(up)) and made.measured
    assert "the ridge stays" in ridge_words(example().rafters, made, "left")


def test_unlike_rises_move_the_ridge() -> None:
    """Left 9 1/16 and right as drawn: 0.2787/(2 x 2/3) = 0.209 to the left; the right rafter 0.251 longer."""
    made = rafters_to_match(example().rafters, {"left": 9.0625, "right": 8.8125})
    assert ridge_words(example().rafters, made, "left") == (
        'Both walls measured; ridge moves 3/16" left; right rafter +1/4". Cut one pair and try it.'
    )


def test_a_plane_that_no_seat_meets_leaves_the_rafter() -> None:
    made = rafters_to_match(example().rafters, {"left": 7.0})
    assert made.seats[0] and made.seats[0].verdict == "misses" and made.bay == example().rafters


# --- what moved ------------------------------------------------------------------------------------------------------


def test_a_second_measurement_is_held_against_the_first() -> None:
    """Day one 8 3/4, 8 13/16, 8 1/2: shims 0, 0, 5/16.  Day two 8 3/4, 8 7/8, 8 13/16: aim 8 7/8, below 1/8, 0, 1/16:
    none.  No. 2 came up 1/16, No. 3 5/16, and its shim is not wanted any more; the right wall was measured once."""
    made = measured_walls(one_type(), "8 3/4, 8 7/8, 8 13/16", "8 3/4", earlier=("8 3/4, 8 13/16, 8 1/2", ""))
    assert [(one.where, one.moved, one.before, one.now) for one in made.moves] == [
        ("No. 1", 0.0, 0.0, 0.0), ("No. 2", 0.0625, 0.0, 0.0), ("No. 3", 0.3125, 0.3125, 0.0),
    ]  # fmt: skip
    assert made.moved_sentence == (
        '2 of 3 moved since the last time, No. 3 left the most, +5/16"; 1 shim changed.'
    )  # fmt: skip
    same = measured_walls(one_type(), "8 3/4, 8 1/2", earlier=("8 3/4, 8 1/2", ""))
    assert same.moved_sentence == "None of 2 trusses measured twice has moved."
