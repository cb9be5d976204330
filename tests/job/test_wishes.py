"""Worked backward: answers hold when worked out afresh, and a plain loop over single houses finds none better."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rooflab import InputError, feet_inches
from rooflab.base.lumber import WIDTHS
from rooflab.checks.assumptions import ALWAYS, Assumptions, house_findings
from rooflab.checks.warmth import over_plate
from rooflab.house.room import room_of
from rooflab.job.backwards import ask_backwards, with_values
from rooflab.job.jobfile import example
from rooflab.job.values import House, assumptions_of, bays_of, finish_of, house_of, room_values, size_of
from rooflab.job.wishes import MOVES, Wish, moves_of, wish
from tests.tools.strategies import bounded, houses

SIZES = ("2x4", "2x6", "2x8", "2x10", "2x12")
PLATES = (3.5, 5.5, 7.25, 9.25, 11.25)


# --- one house, read by the usual calls ------------------------------------------------------------------------------


def values_of(key: str, house: House, rafters: Any, truss: Any) -> list[float]:
    kind, _, name = key.partition(".")
    if kind == "room":
        return [room_of(truss, finish_of(house), **room_values(house)).all[name]]
    bay = rafters if kind == "rafter" else truss
    if name == "r_outside":
        assumptions = assumptions_of(house)
        return [over_plate(bay, assumptions.r, assumptions.per_inch, end=end).values[name] for end in ("left", "right")]
    return [bay.reading(name, end).value for end in ("left", "right")]


def verdicts_of(house: House, rafters: Any, truss: Any) -> list[str]:
    """Verdicts that count: not what is asked whatever the numbers (the space over the truss's plate at its best)."""
    rows = house_findings(rafters, truss, assumptions_of(house)).values()
    counted = [f for f in rows if f.name.removesuffix("_right") not in ALWAYS]
    return [f.verdict for f in counted if "counts as an attic" not in f.sentence or f.verdict == "misses"]


def holds(one: Wish, house: House) -> bool:
    """Whether a wish holds in a house, by the words of the wish alone."""
    rafters, truss = bays_of(house)
    if one.key == "findings":
        bad = {"all meet": {"ask", "misses"}, "none misses": {"misses"}}[one.how]
        return not bad & set(verdicts_of(house, rafters, truss))
    try:
        values = values_of(one.key, house, rafters, truss)
    except InputError:
        return False
    if one.how == "is":
        return all(feet_inches(v) == feet_inches(one.value) for v in values)
    return all(v >= one.value - 1e-9 if one.how == "at least" else v <= one.value + 1e-9 for v in values)


# --- the same grid by plain loops ------------------------------------------------------------------------------------


def candidates(house: House, name: str, names: tuple[str, ...]) -> list[Any]:
    """Every value an input may take with its steps away, the present one first, by the words of the module alone."""
    if name == "lumber":
        now = SIZES.index(house["lumber"])
        return [(house["lumber"], 0)] + [(s, abs(i - now)) for i, s in enumerate(SIZES) if i != now]
    here = house["bearing"] if name == "seat" and house["seat"] is None else house[name]
    if name == "bearing":
        now = PLATES.index(here)
        return [(here, 0)] + [(p, abs(i - now)) for i, p in enumerate(PLATES) if i != now]
    most = max(PLATES) if "bearing" in names else house["bearing"]
    step, low, high = {"seat": (1 / 16, 1.5, most), "pitch": (0.5, 1, 24), "ceiling_pitch": (0.5, 0, 23.5),
                       "overhang": (1, 0, 48)}[name]  # fmt: skip
    every = [low + i * step for i in range(2000) if low + i * step <= high]
    return [(here, 0)] + [(v, abs(v - here) / step) for v in every if v != here]


def by_loops(house: House, wishes: list[Wish], names: tuple[str, ...], most: int, each: int) -> list[dict[str, Any]]:
    every_name: tuple[str, ...] = ("lumber", "seat", "ceiling_pitch", "overhang", "pitch", "bearing")
    order = [name for name in every_name if name in names]
    rows = []
    for picks in product(*(enumerate(candidates(house, name, names)) for name in order)):
        every = enumerate(zip(order, picks, strict=True))
        moved = [(k, i, name, value, steps) for k, (name, (i, (value, steps))) in every if i]
        if len(moved) > 3:
            continue
        values = {name: value for _, _, name, value, _ in moved}
        try:
            met = all(holds(one, {**house, **values}) for one in wishes)
        except InputError:
            continue
        if met:
            steps = round(sum(one[4] for one in moved), 6)
            rows.append(((len(moved), steps, [one[0] for one in moved], [one[1] for one in moved]), values))
    sets = [set(values) for _, values in rows]
    rows = [row for row in rows if not any(other < set(row[1]) for other in sets)]
    kept: list[dict[str, Any]] = []
    for _, values in sorted(rows, key=lambda row: row[0]):
        if sum(set(other) == set(values) for other in kept) < each:
            kept.append(values)
    return kept[:most]


NARROW = {"bearing": 3.5, "seat": 2.5, "span": 240, "ceiling_pitch": 3, "pitch": 7}
CASES = [
    ({}, [("scissor.heel", "is", "9 1/4")], ("lumber", "seat")),
    ({}, [("rafter.notch_ratio", "at most", "20 %"), ("rafter.heel", "at least", 10)], ("lumber", "seat")),
    ({}, [("findings", "all meet"), ("rafter.notch_ratio", "at most", 0.24)], ("seat", "lumber")),
    ({"seat": None}, [("findings", "none misses"), ("rafter.notch_depth", "at most", 2)], ("lumber", "seat")),
    ({}, [("scissor.height", "at most", "9'"), ("room.window_head", "at least", "9'-6\"")], ("ceiling_pitch", "pitch")),
    ({"ridge": "none", "assumptions": Assumptions(r_required=30)}, [("findings", "none misses")],
     ("lumber", "overhang")),
    (NARROW, [("rafter.stock_length", "at most", "12'"), ("room.mid_height", "at least", "9'-8\"")],
     ("ceiling_pitch", "overhang")),
    ({"bearing": 5.5, "seat": 3.5}, [("scissor.heel", "is", "6 3/8"), ("rafter.notch_ratio", "at least", 0.3)],
     ("lumber", "bearing", "seat")),
]  # fmt: skip


@pytest.mark.parametrize(("house", "wishes", "names"), CASES)
def test_brute_force_finds_none_better(house: Any, wishes: list[Any], names: tuple[str, ...]) -> None:
    """A plain loop over every single house of the same grid finds the same answers in the same order."""
    base, asked = house_of(house), [wish(*one) for one in wishes]
    found = ask_backwards(base, asked, names, most=6, each=2)
    assert [option.changes for option in found.options] == by_loops(base, asked, names, 6, 2)
    assert found.options


def test_three_at_once() -> None:
    """Where only three changes together do it, they are found: brute force over a narrow plate."""
    house = house_of({"bearing": 3.5, "seat": 3.5, "pitch": 7, "ceiling_pitch": 3})
    base = {**house, "bearing": 2.0, "seat": 2.0}
    asked = [wish("scissor.heel", "is", "7 5/16"), wish("scissor.height", "at most", "7'-0\"")]
    names = ("lumber", "seat", "pitch")
    found = ask_backwards(base, asked, names, most=4)
    assert [option.changes for option in found.options] == by_loops(base, asked, names, 4, 2)
    assert found.options
    assert len(found.options[0].changes) == 3


# --- worked by hand --------------------------------------------------------------------------------------------------


def nearest(house: Any, wishes: list[Any], names: Any) -> Any:
    return ask_backwards(house, [wish(*one) for one in wishes], names).options[0]


def test_the_longest_seat_within_a_quarter() -> None:
    """Published case worked by hand: 26 ft, 8 in 12, 2x10 on a full 5 1/2: the longest seat at D/4 is 4.169, and a
    4 1/8 seat gives a heel of 8 3/8.
    """
    one = nearest({"seat": None}, [("rafter.notch_ratio", "at most", "25 %")], ["seat"])
    assert one.changes == {"seat": 4.125}
    assert one.steps == {"seat": 22}
    assert ask_backwards({"seat": 4.125}, [wish("scissor.heel", "is", "8 3/8")]).options[0].changes == {}


def test_the_full_plate_of_the_common_example() -> None:
    """Common practice, no source: 24 ft, 9 in 12, 2x12 on a full 7 1/4: heel 8 5/8, overall height 9'-8 5/8"."""
    house = {"span": "24'", "pitch": 9, "bearing": "7 1/4", "lumber": "2x12", "seat": 5}
    one = nearest(house, [("scissor.heel", "is", "8 5/8"), ("scissor.height", "at most", "9'-8 5/8\"")], ["seat"])
    assert one.changes == {"seat": 7.25}
    assert "becomes 7 1/4\": truss heel 8 5/8\", overall height 9'-8 5/8\"" in one.why


@pytest.mark.parametrize(("size", "r", "angle_from"), [("2x12", 38, 38.0), ("2x10", 30, 44.27)])
def test_pitches_that_hold_the_insulation(size: str, r: int, angle_from: float) -> None:
    """Published commentary on IRC 2018 N1102.2.1: over a 3 1/2 plate with 1 in of air at R-3.7 an inch a 2x12 holds
    R-38 from 38.0 degrees, a 2x10 R-30 from 44.27: of the pitches in half inches from 8 in 12 the first beyond them.
    """
    from math import radians, tan

    house = {"lumber": size, "bearing": 3.5, "seat": 3.5, "ridge": "none", "assumptions": Assumptions(per_inch=3.7)}
    one = nearest(house, [("rafter.r_outside", "at least", r)], "pitch")
    least = 12 * tan(radians(angle_from))
    assert one.changes == {"pitch": next(p / 2 for p in range(48) if p / 2 > least)}


def test_what_else_changes_is_said() -> None:
    """A seat of 2 13/16 is under 3 in: fine on wood, ask if it is masonry (IRC R802.6)."""
    one = nearest(example(), [("scissor.heel", "is", "9 1/4")], ("lumber", "seat"))
    assert one.why == 'Seat 3 1/2" becomes 2 13/16": truss heel 9 1/4".'
    assert any("ask if it is masonry" in said and said.startswith("Ask now") for said in one.also)
    better = nearest({"seat": None}, [("rafter.notch_ratio", "at most", 0.25)], ["seat"])
    assert any(said.startswith("Meets now: The birdsmouth") for said in better.also)


def test_nothing_has_to_change() -> None:
    found = ask_backwards(example(), [wish("scissor.heel", "is", "8 13/16"), wish("findings", "all meet")])
    assert [option.changes for option in found.options] == [{}]
    assert "nothing has to change" in found.sentence


def test_a_wish_that_cannot_be_met_alone() -> None:
    """Worked by hand: the highest heel at 8 in 12 is a 2x12 on 1 1/2: 11.25 x 1.201850 - 1 = 12.5208, 1'-0 1/2"."""
    found = ask_backwards(example(), [wish("findings", "none misses"), wish("scissor.heel", "is", "1'-8\"")])
    assert (found.options, found.unmet) == ((), wish("scissor.heel", "is", 20))
    assert found.nearest == 12.5
    assert 'this cannot be met: truss heel is 1\'-8"; the nearest is 1\'-0 1/2"' in found.sentence


def test_a_wish_that_cannot_be_met_with_the_others() -> None:
    """Worked by hand: 9 1/4 wants a seat of 2 13/16 (2x10), 5 5/8 (2x12, beyond the plate); with all findings met a
    seat is 3 or more (IRC R802.6), and 2x10 on 3 gives 11.1171 - 2 = 9.1171, 9 1/8.
    """
    found = ask_backwards(example(), [wish("scissor.heel", "is", "9 1/4"), wish("findings", "all meet")])
    assert (found.unmet, found.nearest) == (wish("scissor.heel", "is", "9 1/4"), 9.125)
    assert "while the other wishes hold" in found.sentence
    assert 'seat 3"' in found.sentence
    assert found.house is not None
    assert holds(wish("findings", "all meet"), found.house)


def test_findings_that_cannot_be_met_are_named() -> None:
    """At 10 in 12 a 2x10 is cut 12.04 plumb, deeper than a 2x12 ridge board (IRC R802.3): no seat helps."""
    found = ask_backwards({"pitch": 10, "window_head": 0}, [wish("findings", "none misses")], ["seat"])
    assert "ridge board" in found.sentence


def test_wishes_that_all_clash() -> None:
    asked = [wish("scissor.heel", "is", v) for v in ("8", "9", "10")]
    found = ask_backwards(example(), asked)
    assert (found.options, found.unmet) == ((), None)
    assert "all but one" in found.sentence


# --- every house -----------------------------------------------------------------------------------------------------


@bounded(25)
@given(houses(), st.sampled_from(("lumber seat", "seat ceiling_pitch", "overhang lumber seat")), st.floats(0, 1))
def test_answers_hold_when_worked_out_afresh(made: dict[str, dict[str, Any]], names: str, part: float) -> None:
    """Random houses, ends alike or not: each answer, built as single bays, does what was asked; nearest comes first."""
    house = house_of({**made["gable"], **made["rafter"], **made["scissor"], "heel": "as rafters"})
    deep = part * 0.4
    asked = [wish("rafter.notch_ratio", "at most", deep), wish("scissor.heel", "at least", 5)]
    found = ask_backwards(house, asked, names.split())
    assert list(map(lambda o: o.distance, found.options)) == sorted(o.distance for o in found.options)
    for option in found.options:
        assert all(holds(one, with_values(house, option.changes)) for one in asked)
        assert set(option.changes) == set(option.steps) <= set(names.split())
    if not found.options:
        assert any(said in found.sentence for said in ("cannot be met", "all but one", "can be built"))


def test_moves_are_stock_and_sixteenths() -> None:
    """Sizes and plates of PS 20, seats in sixteenths from 1 1/2 to the bearing, and never the present value."""
    moves = {move.name: move for move in moves_of(house_of({"seat": "3 1/2"}), MOVES)}
    assert moves["lumber"].values == ("2x4", "2x6", "2x8", "2x12")
    assert moves["bearing"].values == tuple(w for w in WIDTHS.values() if w != 5.5)
    assert all(16 * v % 1 == 0 and v != 3.5 for v in moves["seat"].values)
    assert (min(moves["seat"].values), max(moves["seat"].values)) == (1.5, 11.25)
    assert all(2 * v % 1 == 0 for v in (*moves["pitch"].values, *moves["ceiling_pitch"].values))
    between = {m.name: m for m in moves_of(house_of({"depth": 9.5, "seat": 3}), ["lumber"])}["lumber"]
    assert dict(zip(between.values, between.steps, strict=True))["2x12"] == 0.5  # from between two sizes to the next
    assert size_of(house_of({"depth": 9.5})) == "1.5 x 9.5"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("spam", "is", 3), "spam"), (("scissor.heel", "near", 3), "near"), (("findings", "is"), "findings"),
        (("scissor.heel", "is", "junk"), "junk"), (("rafter.notch_ratio", "at most", "a lot"), "a lot"),
        (("rafter.notch_ratio", "at most", True), "True"), (("scissor.heel_state", "is", "raised"), "heel_state"),
        (("rafter.r_outside", "at least", None), "None"), (("rafter.r_outside", "at least", "nan"), "nan"),
    ],
)  # fmt: skip
def test_what_is_no_wish_is_refused(given: tuple[Any, ...], words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        wish(*given)
    assert len(caught.value.problems) == 1


def test_wishes_are_read_as_people_type_them() -> None:
    assert wish("rafter.r_outside", "at least", "R-38").value == 38
    assert wish("rafter.notch_ratio", "at most", "25 %") == wish("rafter.notch_ratio", "at most", 0.25)
    assert wish("room.volume", "at least", "4000 ft³").text == "room volume at least 4,000 cu ft"
    assert wish("findings", "all meet").text == "all limits are met"


def test_what_cannot_be_asked_is_refused() -> None:
    heel = wish("scissor.heel", "is", 9)
    bad: Any = ([[]], "at least one"), ([[heel], ["span"]], "span"), ([["heel"]], "made by wish"), ([[heel], "x"], "x")
    for args, words in bad:
        with pytest.raises(InputError, match=words):
            ask_backwards(example(), *args)
