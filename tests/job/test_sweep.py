"""Sweeps: every cell is the single house bit for bit, and what is refused is what the single house refuses."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rooflab import INPUTS, InputError, feet_inches
from rooflab.base.findings import VERDICTS
from rooflab.base.geometry import sixteenths
from rooflab.base.inputs import pair
from rooflab.base.lumber import board_length
from rooflab.base.measure import sixteenth
from rooflab.checks.assumptions import ALWAYS, Assumptions, house_findings
from rooflab.checks.grades import is_graded
from rooflab.checks.loads import Loads
from rooflab.checks.strength import check_rafter
from rooflab.checks.thrust import worst_tie_use
from rooflab.checks.warmth import HEIGHTS, over_plate, warmth_findings
from rooflab.house.room import room_of
from rooflab.job.jobfile import example
from rooflab.job.seat_grid import seat_grid
from rooflab.job.sweep import READABLE, STRENGTH_RATIOS, places_sweep, sweep
from rooflab.job.values import FOLLOWS, House, assumptions_of, finish_of, house_of, rafters_of, room_values, truss_of
from tests.tools.strategies import bounded, choice, houses, legal, value

NUMBERS = [name for name, row in INPUTS.items() if row.kind != "choice" and name != "jog"]
TAKEN = (
    Assumptions(),
    Assumptions(Loads(10, ground_snow=60), "SPF No.1/No.2", 24, 49, 3.1, "2021"),
    Assumptions(Loads(20, live=30), r_required=20),
    Assumptions(Loads(12, ground_snow=40), tie_height=30),
    Assumptions(Loads(18, snow=30), "HF No.2", tie_height=None),
)


def bits(x: Any) -> bytes:
    return np.float64(x).tobytes()


@st.composite
def mapped(draw: Any) -> tuple[House, dict[str, Any]]:
    """A house, its ends alike or not, and one to three axes with values over their whole range and a little beyond."""
    made = draw(houses())
    house = {**made["gable"], **{k: v for k, v in made["rafter"].items() if k != "ridge"}, **made["scissor"]}
    house |= {"ridge": made["rafter"]["ridge"] or "none", "truss_plate": house["plate"]}
    house["assumptions"] = draw(st.sampled_from(TAKEN))
    if draw(st.booleans()):
        house["heel"] = "as rafters"
    names = draw(st.lists(st.sampled_from([*NUMBERS, "lumber", "ridge", "chord"]), min_size=1, max_size=3, unique=True))
    if {"lumber", "depth"} <= set(names):
        names.remove("depth")
    axes: dict[str, Any] = {}
    for name in names:
        if INPUTS[name].kind == "choice":
            axes[name] = draw(st.lists(choice(name), min_size=1, max_size=3))
            continue
        row = INPUTS[name]
        numbers = draw(st.lists(st.one_of(value(name), st.floats(row.low - 1, row.high + 1)), min_size=1, max_size=2))
        if isinstance(now := pair(house.get(name))[0], (int, float)):  # type: ignore[arg-type]
            numbers.append(now)
        two = name in ("pitch", "bearing", "overhang", "seat", "ceiling_pitch", "plate") and draw(st.booleans())
        axes[f"{name}_{draw(st.sampled_from(('left', 'right')))}" if two else name] = numbers
    return legal(house_of, house), axes


def singles(house: House, rounded: bool) -> tuple[Any, Any]:
    """Both bays of one house, None for one that is refused; a truss that follows needs the rafters' heel."""
    rafters = truss = None
    with suppress(InputError):
        rafters = rafters_of(house, rounded)
    if rafters or house["heel"] != FOLLOWS:
        heels = (rafters.left.heel, rafters.right.heel) if rafters else (0.0, 0.0)
        with suppress(InputError):
            truss = truss_of(house, heels)
    return rafters, truss


def read_one(key: str, house: House, bay: Any, end: str) -> Any:
    """A reading of one house by the usual calls; nan where the room's single call refuses."""
    name, assumptions = key.partition(".")[2], assumptions_of(house)
    if key.startswith("room."):
        try:
            return room_of(bay, finish_of(house), **room_values(house)).all[name]
        except InputError:
            return np.nan
    if name in (*STRENGTH_RATIOS, "used"):
        if not is_graded(bay.thickness, bay.depth):
            return np.nan
        checks = check_rafter(bay, assumptions.loads, assumptions.grade, assumptions.spacing, end=end)
        ratios = [check.ratio if name == "used" else check.values[name] for check in checks]
        if name == "used" and (tie := assumptions.tie_in(bay)):
            of = assumptions.loads, tie, end, assumptions.grade, assumptions.spacing
            ratios.append(float(worst_tie_use(bay, *of)[0].most))
        return max(ratios)
    if name == "stock_to_buy":
        return board_length(bay.reading("stock_length", end).value) or 0.0
    if name in {row.name for row in HEIGHTS}:
        return over_plate(bay, assumptions.r, assumptions.per_inch, end=end).values[name]
    return bay.reading(name, end).value


def all_findings(rafters: Any, truss: Any, assumptions: Assumptions) -> dict[str, str]:
    """Every finding of one house by bay and name, without what is asked whatever the numbers."""
    found = house_findings(rafters, truss, assumptions).items()
    return {key: f.verdict for key, f in found if f.name.removesuffix("_right") not in ALWAYS}


@bounded(50)
@given(mapped(), st.booleans())
def test_cells_are_single_houses(case: tuple[House, dict[str, Any]], rounded: bool) -> None:
    """Random houses and axes over the whole range of every input and beyond: readings of both ends bit for bit, which
    cells are refused, every verdict and the worst of them.
    """
    house, axes = case
    made = sweep(house, rounded, **axes)
    keys = [(key, end) for key in READABLE for end in ("left", "right")]
    arrays = {(key, end): made.reading(key, end) for key, end in keys}
    codes = {key: made.verdict(key) for key in made.findings}
    for index in np.ndindex(made.shape):
        one = made.at(*index)
        rafters, truss = singles(one, rounded)
        assert (made.no_rafters_full[index], made.no_truss_full[index]) == (rafters is None, truss is None), one
        assert made.unbuildable[index] == (rafters is None or truss is None)
        for key, end in keys:
            bay = rafters if key.startswith("rafter.") else truss
            got = arrays[key, end][index]
            expected = np.nan if bay is None else read_one(key, one, bay, end)
            if isinstance(expected, str) or key.endswith("heel_state"):
                assert got == (expected if isinstance(expected, str) else ""), (key, one)
            elif np.isnan(expected):
                assert np.isnan(got), (key, end, got, one)
            else:
                assert bits(got) == bits(expected), (key, end, got, expected, one)
        if made.unbuildable[index]:
            assert made.state[index] == 0
            continue
        expected_codes = all_findings(rafters, truss, assumptions_of(one))
        got_codes = {key: VERDICTS[codes[key][index]] for key in codes if codes[key][index]}
        assert got_codes == expected_codes, one
        assert made.state[index] == max(map(VERDICTS.index, expected_codes.values()))


def test_most_cells_are_built() -> None:
    """A comparison of refused cells alone proves nothing: of the random cells at least two in ten are built."""
    tally = np.zeros(2)

    @bounded(60)
    @given(mapped(), st.booleans())
    def count(case: tuple[House, dict[str, Any]], rounded: bool) -> None:
        made = sweep(case[0], rounded, **case[1])
        tally[:] += np.sum(~made.unbuildable), np.size(made.unbuildable)

    count()
    share = tally[0] / tally[1]
    assert 0.2 < share < 0.97, share


def test_a_level_ceiling_held_under_the_ridge_is_built_in_a_sweep_too() -> None:
    """Worked by hand: 24 ft, the left plate 12 higher, ceiling level on the left; held under the ridge it is met from
    the lower plate, a rise of 12; free, both are level and never meet.
    """
    house = {"span": 288, "plate_height": (109.125, 97.125), "ceiling_pitch": (0, 0), "heel": 12}
    held, free = (sweep(house | {"apex": apex}, pitch=[6, 8]) for apex in ("ridge", "free"))
    assert held.reading("scissor.ceiling_rise").tolist() == pytest.approx([12, 12])
    assert not np.any(held.no_truss_full) and np.all(free.no_truss_full)


def test_ends_that_differ_are_told_apart() -> None:
    """Worked by hand: 24 ft, 8 in 12 left (k = 1.201850) and 6 in 12 right (k = 1.118034), 2x8, seats 3: heels 7.25 x
    1.201850 - 2 = 6.713 and 7.25 x 1.118034 - 1.5 = 6.606; moving one pitch leaves the other end's heel alone.
    """
    house = {"span": 288, "pitch": (8, 6), "lumber": "2x8", "seat": 3}
    made = sweep(house, pitch_right=[6, 8])
    assert made.reading("rafter.heel").tolist() == pytest.approx([6.7134, 6.7134], abs=1e-4)
    assert made.reading("rafter.heel", "right").tolist() == pytest.approx([6.6057, 6.7134], abs=1e-4)
    assert made.verdict("rafter.end_notch_right").tolist() == [1, 0]  # alike ends are looked at once


def test_the_heel_handed_over_comes_first() -> None:
    """Worked by hand: 2x10, 8 in 12, seat 3 1/2: 9.25 x 1.201850 - 7/3 = 8.7838 is handed over as 8 13/16 = 8.8125;
    not rounded, the truss takes 8.7838.  Overall height is the heel and 2/3 of 156.
    """
    for rounded, heel in ((True, 8.8125), (False, 8.78378)):
        made = sweep(example(), rounded, seat=[3.5])
        assert made.reading("scissor.heel")[0] == pytest.approx(heel, abs=1e-5)
        assert made.reading("scissor.height")[0] == pytest.approx(heel + 104, abs=1e-5)


def test_a_seat_on_the_full_bearing_stays_on_it() -> None:
    made = sweep({"seat": None}, bearing=[3.5, 5.5])
    m, k = 2 / 3, 13**0.5 / 3  # k(2/3) = sqrt(1 + 4/9)
    assert made.reading("rafter.heel").tolist() == pytest.approx([9.25 * k - m * 3.5, 9.25 * k - m * 5.5], abs=1e-9)


def test_sizes_are_an_axis_too() -> None:
    """PS 20 depths; measured stock by its own; a ridge board that is none is asked about, not missed."""
    sizes = ["2x6", "2x12", "1 3/4 x 11 7/8"]
    made = sweep(example(), lumber=sizes, ridge=["2x12", "none"])
    assert made.reading("rafter.plumb_depth")[:, 0] == pytest.approx(np.array([5.5, 11.25, 11.875]) * 13**0.5 / 3)
    assert [VERDICTS[code] for code in made.verdict("rafter.ridge_board")[1]] == ["misses", "ask"]
    assert made.verdict("rafter.strength").tolist() == [[0, 0], [0, 0], [2, 2]]  # no published values: ask


def test_places_and_sweeps_agree() -> None:
    made = sweep(example(), seat=[2.0, 3.0], pitch=[6.0, 9.0])
    here = places_sweep(example(), seat=[2.0, 2.0, 3.0, 3.0], pitch=[6.0, 9.0, 6.0, 9.0])
    for key in ("rafter.heel", "scissor.height", "rafter.used", "room.volume"):
        assert list(map(bits, here.reading(key))) == list(map(bits, made.reading(key).ravel()))
    assert here.state.tolist() == made.state.ravel().tolist()


@bounded(200)
@given(st.lists(st.one_of(st.floats(-1e4, 1e4), st.integers(-99999, 99999).map(lambda n: n / 32)), min_size=1))
def test_sixteenths_are_those_of_the_tape(numbers: list[float]) -> None:
    assert list(map(bits, sixteenths(np.array(numbers)))) == [bits(sixteenth(x)) for x in numbers]


@pytest.mark.parametrize(
    ("house", "axes", "words"),
    [
        (example(), {"jog": [1]}, ["jog", "allowed is span"]),
        (example(), {"span_left": [300]}, ["span_left"]),
        (example(), {"pitch": ["8 mm"]}, ["Roof pitch", "8 mm"]),
        (example(), {"pitch": []}, ["Roof pitch", "one value or more"]),
        (example(), {"seat": [[1.0]]}, ["Seat", "one value or more"]),
        (example(), {"seat": [None]}, ["Seat", "numbers or trade text"]),
        (example(), {"lumber": ["2x9"]}, ["Rafter", "2x9"]),
        (example(), {"lumber": ["2x8"], "depth": [9]}, ["lumber or depth"]),
        (example(), {"seat": [3], "seat_left": [2]}, ["Seat", "two of them"]),
        (example(), {"seat": [3.0] * 2001, "pitch": [8.0] * 2001}, ["4,004,001", "4,000,000"]),
        ({"spam": 3}, {"seat": [3]}, ["spam"]),
        ({"pitch": 99}, {"seat": [3]}, ["Roof pitch", "99"]),
        ({"lumber": "2x8", "depth": 9}, {"seat": [3]}, ["lumber or depth"]),
        ({"assumptions": 3}, {"seat": [3]}, ["Assumptions"]),
        (None, {"seat": [3]}, ["House"]),
    ],
)
def test_what_is_no_sweep_is_refused(house: Any, axes: dict[str, Any], words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        sweep(house, **axes)
    assert len(caught.value.problems) == 1
    assert all(word in caught.value.problems[0] for word in words), caught.value.problems


def test_unknown_readings_and_findings_are_refused() -> None:
    made = sweep(example(), seat=[3])
    for ask in (made.reading, made.verdict):
        with pytest.raises(InputError, match="spam"):
            ask("spam")


def test_a_low_roof_has_its_insulation_looked_at() -> None:
    """1 in 12 over 8 ft rises 4 in: R-38 stands nowhere along the slope, and that is said."""
    found = warmth_findings(rafters_of(house_of({"span": 96, "pitch": 1, "ceiling_pitch": 0, "lumber": "2x4"})))
    assert "nowhere along the slope" in found[0].sentence


# --- seat by rafter --------------------------------------------------------------------------------------------------


def test_the_grid_in_numbers() -> None:
    """Worked by hand, 26 ft, 8 in 12 (k = 1.201850), plates 5 1/2: a 2x10 on its full seat gives 9.25 k - 2/3 x 5.5 =
    7 7/16 with a notch of 3.051, 33 % (published case worked by hand; D/4 is 2.3125, so ask); a 2x12 on 4 1/2:
    13.5208 - 3 = 10.5208, 10 1/2, notch 2.496, 22 %.
    """
    grid = seat_grid(example())
    assert (grid.seats[0], grid.seats[-1]) == (1.5, 5.5)
    full = grid.cell("2x10", 5.5)
    assert (full.heel, full.notch, full.word, full.why) == ('7 7/16"', "33 %", "ask", "")
    deep = grid.cell("2x12", 4.5)
    assert (deep.heel, deep.notch, deep.word) == ('10 1/2"', "22 %", "misses")
    # IRC R802.3: 11 1/4 in of board, a plumb cut of 11.25 k = 13.52; R602.10.8.2: blocking above 9 1/4; R802.8: 6 : 1
    assert deep.names == ("ridge board", "heel blocking", "lateral support")
    (now,) = [cell for row in grid.rows for cell in row if cell.present]
    assert (now.lumber, now.seat, now.same, grid.heel) == ("2x10", 3.5, True, '8 13/16"')


def test_the_grid_says_why_not() -> None:
    """Worked by hand at 20 in 12 (k = 1.943651): a 2x6's plumb depth is 10.69, so a seat of 6.414 or more cuts it
    through; 2x4 chords under a ceiling of 19 1/2 in 12 want more room than a heel near 0 leaves.
    """
    grid = seat_grid({"pitch": 20, "bearing": 9, "lumber": "2x6", "seat": 3, "ceiling_pitch": 8}, seats=[6, 6.5])
    assert grid.cell("2x6", 6.0).heel == '11/16"'
    cut = grid.cell("2x6", 6.5)
    assert (cut.heel, cut.notch) == ("", "")
    assert "cut through" in cut.why
    steep = seat_grid({"pitch": 8, "ceiling_pitch": 8, "lumber": "2x6", "seat": 5.5})
    no_truss = steep.cell("2x6", 5.5)
    assert no_truss.heel
    assert "two chords" in no_truss.why


@bounded(40)
@given(
    st.one_of(st.just(0.0), st.floats(0, 150)), st.sampled_from([0, 20, 45, 80]),
    st.sampled_from(["2x8", "2x12", "1.75x11.875"]),
    st.lists(st.floats(1, 14), min_size=1, max_size=4), st.floats(3, 12), st.floats(96, 132),
)  # fmt: skip
def test_ties_over_a_grid_are_the_single_houses(
    tie: float, ground: float, lumber: str, pitches: list[float], right: float, plate: float
) -> None:
    """Random tie heights, up to beyond the ridge, over pitches and unequal ends: each verdict and the worst ratio."""
    assumed = Assumptions(Loads(15, ground_snow=ground), tie_height=tie)
    base = house_of({"lumber": lumber, "heel": 20, "ceiling_pitch": 0, "overhang": 0, "assumptions": assumed})
    for one_end in (False, True):
        axes: dict[str, Any] = {"pitch_left": pitches} if one_end else {"pitch": pitches}
        made = sweep(base | ({"pitch": (8.0, right), "plate_height": (97.125, plate)} if one_end else {}), **axes)
        for i in range(len(pitches)):
            one = made.at(i)
            rafters, truss = singles(one, True)
            if rafters is None or truss is None:
                continue
            found = house_findings(rafters, truss, assumed)
            for name in ("tie_height", "tie_bending", "ridge_beam"):
                key, row = f"rafter.{name}", found.get(f"rafter.{name}")
                code = made.verdict(key)[i] if key in made.findings else 0
                assert VERDICTS[code] == (row.verdict if row else ""), (key, one)
            assert bits(made.reading("rafter.used")[i]) == bits(read_one("rafter.used", one, rafters, "left"))


@bounded(25)
@given(houses())
def test_the_grid_is_the_single_house(made: dict[str, dict[str, Any]]) -> None:
    """Heel, notch and verdict of every cell as findings and readings of the single bay say them."""
    house = house_of({**made["gable"], **made["rafter"], "ceiling_pitch": 0, "heel": 9})
    grid = seat_grid(house)
    for row in grid.rows:
        for cell in row:
            one = {**{k: v for k, v in house.items() if k != "depth"}, "lumber": cell.lumber, "seat": cell.seat}
            try:
                bay = rafters_of(one)
            except InputError as error:
                assert (cell.heel, cell.why) == ("", error.problems[0])
                continue
            heels = [bay.reading("heel", end).value for end in ("left", "right")]
            assert cell.heel == " and ".join(dict.fromkeys(map(feet_inches, heels)))
            ratios = [bay.reading("notch_ratio", end).value for end in ("left", "right")]
            assert cell.notch == f"{100 * max(ratios):.0f} %"
            try:
                found = house_findings(bay, truss_of(one, (0.0, 0.0)), assumptions_of(one)).values()
            except InputError as error:
                assert (cell.word, cell.why) == ("", error.problems[0])
                continue
            counted = [VERDICTS.index(f.verdict) for f in found if f.name.removesuffix("_right") not in ALWAYS]
            assert cell.word == VERDICTS[max(counted)] and bool(cell.names) == (max(counted) > 1)


def test_a_grid_of_what_cannot_be_read_is_refused() -> None:
    for sizes, seats, words in ((["2x9"], [3], "2x9"), (["2x8"], ["junk"], "junk"), (["2x8"], [99], "8'-3\"")):
        with pytest.raises(InputError, match=words):
            seat_grid(example(), sizes, seats)
