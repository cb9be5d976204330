"""Drawings counted: honest ones at 1/16 and 1/8, one number wrong, one end changed; worked out here from lines alone.

Houses, drawings and levels come from intersections of roof and ceiling lines made here with numpy, never by rooflab.
Level line: the plates asked for; both trusses stand with their left outside face at 0, spans centered on the walls.
"""

from __future__ import annotations

import re
from math import floor
from random import Random
from typing import Any

import numpy as np
import pytest

import rooflab as rl
from rooflab.base.measure import feet_inches, inches
from rooflab.shop.items import half_steps, read_items
from rooflab.shop.review import RESOLVE, Review, ReviewLine
from tests.tools.depth import cases

ENDS = ("left", "right")
Numbers = dict[str, float]
Params = dict[str, Any]


def rounded(value: float, step: float) -> float:
    return float(np.sign(value) * floor(abs(value) / step + 0.5 + 1e-9) * step)


# --- trusses from lines ----------------------------------------------------------------------------------------------


def crossing(lines: list[tuple[float, float]]) -> tuple[float, float]:
    """Where two lines (height at x = 0, slope) meet."""
    (a, m), (b, n) = lines
    x, y = np.linalg.solve([[-m, 1], [-n, 1]], [a, b])
    return float(x), float(y)


def roof_lines(p: Params) -> list[tuple[float, float]]:
    """Both roof lines of a truss, its left outside face at 0."""
    (pl, pr), (hl, hr), (ml, mr) = p["plate"], p["heel"], p["m"]
    return [(pl + hl, ml), (pr + hr + mr * p["span"], -mr)]


def ceiling_lines(p: Params) -> list[tuple[float, float]]:
    (pl, pr), (bl, br), (cl, cr) = p["plate"], p["bearing"], p["c"]
    return [(pl - cl * bl, cl), (pr + cr * (p["span"] - br), -cr)]


def items(p: Params) -> Numbers:
    """Every item of a drawing; height and rise count from the lower plate."""
    low = min(p["plate"])
    x, peak = crossing(roof_lines(p))
    _, apex = crossing(ceiling_lines(p))
    under = min(a + slope * x for a, slope in ceiling_lines(p))
    found = {"span": p["span"], "height": peak - low, "ceiling_rise": apex - low, "depth_at_peak": peak - under}
    for i, end in enumerate(ENDS):
        found |= {
            f"pitch_{end}": 12 * p["m"][i], f"ceiling_pitch_{end}": 12 * p["c"][i], f"overhang_{end}": p["o"][i],
            f"bearing_{end}": p["bearing"][i], f"heel_{end}": p["heel"][i],
            f"tail_top_{end}": p["heel"][i] - p["m"][i] * p["o"][i],
        }  # fmt: skip
        if p["plate"] != [0.0, 0.0]:
            found[f"plate_{end}"] = p["plate"][i]
    return found


def printed(found: Numbers, step: float) -> dict[str, str]:
    """As a drawing prints them: lengths to the step, in feet and inches; pitches to two decimals."""
    return {
        key: f"{value:.2f}" if "pitch" in key else feet_inches(rounded(value, step)) for key, value in found.items()
    }


def house(chance: Random, jogged: bool, alike: bool) -> tuple[Params, rl.ScissorBay]:
    """A truss by its numbers, and the bay that asks for it; a wall set in stands under the lines of the whole truss."""
    while True:
        m = [chance.randrange(8, 25) / 24] * 2
        bearing = [chance.choice((3.5, 5.5, 7.25))] * 2
        over = [float(chance.randrange(8, 25))] * 2
        heel = [chance.randrange(96, 257) / 16] * 2
        if not alike:
            m = [chance.randrange(8, 25) / 24 for _ in ENDS]
            over, bearing = [float(chance.randrange(8, 25)) for _ in ENDS], [chance.choice((3.5, 5.5)) for _ in ENDS]
            heel = [chance.randrange(96, 257) / 16 for _ in ENDS]
        c = [slope * part for slope, part in zip(m, [chance.choice((0.25, 0.375, 0.5))] * 2, strict=True)]
        if not alike:
            c = [slope * chance.choice((0.25, 0.5)) for slope in m]
        span = chance.randrange(240, 480) + chance.choice((0, 0.5))
        p: Params = {"span": span, "m": m, "c": c, "o": over, "bearing": bearing, "heel": heel, "plate": [0.0, 0.0]}
        try:
            gable = rl.Gable(span, (12 * m[0], 12 * m[1]), (bearing[0], bearing[1]), (over[0], over[1]))
            bay = rl.ScissorBay(gable, (12 * c[0], 12 * c[1]), (heel[0], heel[1]), "2x4")
            if jogged:
                by, wide = float(chance.randrange(6, 41)), chance.choice((3.5, 5.5))
                bay = bay.jogged(by, wide)
                plate = c[0] * (by + wide - bearing[0])
                p |= {
                    "span": span - by, "o": [over[0] + by, over[1]], "bearing": [wide, bearing[1]],
                    "plate": [plate, 0.0], "heel": [heel[0] + m[0] * by - plate, heel[1]],
                }  # fmt: skip
        except rl.InputError:
            continue
        return p, bay


def accused(one: Review) -> bool:
    return bool(one.contradictions or one.of(RESOLVE) or one.causes)


@pytest.mark.parametrize("step", [1 / 16, 1 / 8])
def test_honest_drawings_are_not_accused(step: float, capsys: pytest.CaptureFixture[str]) -> None:
    """1,000 drawings, symmetrical and not, jogged and not, each number rounded by itself: none is accused."""
    chance, many = Random(12), cases(1000)
    found = []
    for i in range(many):
        p, bay = house(chance, i % 4 > 1, i % 2 == 0)
        one = rl.review(bay, printed(items(p), step))
        if accused(one):
            found.append((p, one.sentence))
    with capsys.disabled():
        print(f"\n  {many} honest drawings to 1/{1 / step:.0f} in: {len(found)} accused")
    assert found == []


@pytest.mark.parametrize("step", [1 / 16, 1 / 8])
def test_an_honest_drawing_of_another_truss_does_not_contradict_itself(
    step: float, capsys: pytest.CaptureFixture[str]
) -> None:
    """One end drawn with another pitch, heel, bearing or ceiling pitch: it differs, and its numbers agree."""
    chance, many = Random(13), cases(400)
    found, told = [], 0
    for i in range(many):
        p, bay = house(chance, i % 4 > 1, i % 2 == 0)
        other, _ = changed(p, chance.choice(("m", "heel", "bearing", "c", "o")), chance)
        one = rl.review(bay, printed(items(other), step))
        told += bool(one.of(RESOLVE))
        if one.contradictions:
            found.append((p, other, one.contradictions[0].sentence))
    with capsys.disabled():
        print(f"\n  {many} drawings changed at one end, to 1/{1 / step:.0f} in: {len(found)} accused, {told} differ")
    assert found == [] and told == many


def changed(p: Params, name: str, chance: Random, end: int | None = None) -> tuple[Params, int]:
    """A truss with one of its inputs changed at one end (the span for both), by something that can be seen."""
    i = chance.randrange(2) if end is None else end
    way = chance.choice((-1, 1))
    if name == "span":
        return {**p, "span": p["span"] + way * chance.choice((3.0, 6.0))}, i
    by = {"m": 0.5 / 12, "c": 0.5 / 12, "heel": chance.randrange(8, 49) / 16, "o": 2.0, "bearing": 1.0, "plate": 1.5}
    values = list(p[name])
    values[i] += way * by[name]
    return {**p, name: values}, i


def test_a_number_changed_by_a_quarter_inch_is_found(capsys: pytest.CaptureFixture[str]) -> None:
    """500 drawings to 1/16 and 1/8, one length changed by 1/4 in to 3 in: its line says resolve."""
    chance, many = Random(14), cases(500)
    missed = []
    for i in range(many):
        step = (1 / 16, 1 / 8)[i // 4 % 2]
        p, bay = house(chance, i % 4 > 1, i % 2 == 0)
        drawn = printed(items(p), step)
        key = chance.choice([key for key in drawn if "pitch" not in key])
        by = chance.choice((-1, 1)) * rounded(chance.uniform(0.25, 3), step)
        if key.startswith("bearing"):
            by = abs(by)
        drawn[key] = feet_inches(inches(drawn[key]) + by)
        one = rl.review(bay, drawn)
        if not any(line.item in (key, key.rpartition("_")[0]) for line in one.of(RESOLVE)):
            missed.append((key, by, drawn))
    with capsys.disabled():
        print(f"\n  {many} drawings with one number changed by 1/4 in or more: {len(missed)} not found")
    assert missed == []


# --- what one change does --------------------------------------------------------------------------------------------


def steps(asked: Params, drawn: Params, end: int) -> Numbers:
    """How far ridge, eave, tail and ceiling of the truss drawn stand above those asked for, by their lines' heights.

    The truss drawn is centered: its left face stands at minus half of what its span is more.
    """
    out = (drawn["span"] - asked["span"]) / 2
    (_, was), (_, now) = crossing(roof_lines(asked)), crossing(roof_lines(drawn))
    (_, low), (_, high) = crossing(ceiling_lines(asked)), crossing(ceiling_lines(drawn))
    wall, tail = (0.0, -asked["o"][0]) if end == 0 else (asked["span"], asked["span"] + asked["o"][1])
    new_tail = -drawn["o"][0] if end == 0 else drawn["span"] + drawn["o"][1]

    def at(line: tuple[float, float], x: float) -> float:
        return line[0] + line[1] * x

    a, b = roof_lines(asked)[end], roof_lines(drawn)[end]
    return {
        "ridge": now - was, "eave": at(b, wall + out) - at(a, wall), "tail": at(b, new_tail) - at(a, tail),
        "apex": high - low,
    }  # fmt: skip


def step_in(said: str, pattern: str) -> float | None:
    """A step in a sentence, with its sign: the first length, and high or low, after a word."""
    found = re.search(pattern + r"((?:[0-9]+'-)?[0-9 /]+\")(?: (high|low))?", said)
    if not found:
        return None
    return inches(found[1].strip()) * (-1 if found[2] == "low" else 1)


PATTERNS = {
    "ridge": (r"ridge gap of ", r"the ridge (?:is )?", r"the peak stands ", r"eave and ridge "),
    "eave": (r"the eave is ", r"eave and ridge "),
    "tail": (r"the tail ", r"the tail's top is ", r"top of the tail is "),
    "apex": (r"each foot: (?=[^:]*at its apex)", r"The ceiling is (?=[^:]*at its apex)"),
}


def told(line: ReviewLine) -> Numbers:
    """The steps that a line tells, by what steps; "eave and ridge" has the sign of the whole sentence."""
    found = {}
    for what, patterns in PATTERNS.items():
        for pattern in patterns:
            value = step_in(line.consequence, pattern)
            if value is not None:
                low = pattern.startswith("eave and") and " low, square" in line.consequence
                found[what] = -value if low else value
    return found


MUST = {"heel": {"ridge", "eave"}, "m": {"ridge", "tail"}, "o": {"tail"}, "c": {"apex"}, "span": {"ridge"}}
ITEM = {"heel": "heel", "m": "pitch", "o": "overhang", "c": "ceiling_pitch", "span": "span"}


@pytest.mark.parametrize("name", list(MUST))
def test_a_change_at_one_end_gets_the_right_ridge_eave_and_tail(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Every step that any line tells is that of the drawn truss's lines, to 1/16 in; the line of what changed tells
    it."""
    chance, many, counted = Random(f"one end {name}"), cases(100), 0
    for i in range(many):
        p, bay = house(chance, i % 4 > 1, i % 2 == 0)
        drawn, end = changed(p, name, chance)
        one = rl.review(bay, items(drawn))
        right = [steps(p, drawn, i) for i in (0, 1)]
        for line in one.of(RESOLVE):
            which = line.item.endswith("_right")
            for what, value in told(line).items():
                counted += 1
                assert value == pytest.approx(right[which][what], abs=1 / 16), (line, what, p, drawn)
        key = ITEM[name] if name == "span" else f"{ITEM[name]}_{ENDS[end]}"
        own = next(line for line in one.lines if line.item == key)
        big = {what for what in MUST[name] if abs(right[end][what]) > 1 / 16}
        assert big <= told(own).keys(), (own, right[end])
    with capsys.disabled():
        print(f"\n  {many} houses with {ITEM[name]} changed at one end: {counted} steps told, all right to 1/16 in")
    assert counted >= many


def test_the_two_houses_of_the_issue_by_hand() -> None:
    """8 in 12: heel 2 in more on the left raises the peak 2 mr/(ml + mr) = 1.00; 8 and 4 in 12, span 6 in more:
    ml mr 6/(ml + mr) = (2/3)(1/3)6/1 = 1.33."""
    asked = rl.ScissorBay(rl.Gable("26'", 8, "5 1/2", 16), 4, "8 13/16")
    one = rl.review(asked, {"heel_left": "10 13/16", "heel_right": "8 13/16"})
    assert [told(line) for line in one.of(RESOLVE)] == [{"eave": 2.0, "ridge": 1.0}]
    uneven = rl.ScissorBay(rl.Gable("26'", (8, 4), "5 1/2", 16), (4, 2), "8 13/16")
    assert [told(line) for line in rl.review(uneven, {"span": "26'-6\""}).of(RESOLVE)] == [{"ridge": 1.3125}]


def test_five_numbers_of_a_truss_with_unequal_heels_do_not_contradict_each_other() -> None:
    """Heel 2 in more on the left: ridge x = 154.5, peak 113.8125; apex 156, rise 50.1667; under the ridge the ceiling
    is 0.5 lower, so the depth is 113.8125 - 49.6667 = 64.1458 and no longer height less rise.  From 50 3/16 as
    printed: 64.125."""
    asked = rl.ScissorBay(rl.Gable("26'", 8, "5 1/2", 16), 4, "8 13/16")
    drawn: dict[str, Any] = {
        "heel_left": "10 13/16", "heel_right": "8 13/16", "height": 113.8125, "ceiling_rise": "4'-2 3/16\"",
        "depth_at_peak": "5'-4 1/8\"",
    }  # fmt: skip
    assert rl.review(asked, drawn).contradictions == ()
    drawn |= {"span": "26'", "pitch": 8, "ceiling_pitch": 4, "bearing": "5 1/2"}
    assert rl.review(asked, drawn).contradictions == ()
    wrong = rl.review(asked, {**drawn, "depth_at_peak": "5'-3 5/8\""})  # height less rise: the apex is not there
    assert [clash.items[-1] for clash in wrong.contradictions] == ["depth_at_peak"]
    assert wrong.repairs[0].item == "depth_at_peak" and wrong.repairs[0].value == pytest.approx(64.125)


def test_where_plate_and_heel_cancel_no_line_tells_a_step() -> None:
    """Plates 1 in down, heels 1 in up: the roof stands where it did, only the ceiling is 1 in low."""
    asked = rl.ScissorBay(rl.Gable("26'", 8, "5 1/2", 16), 4, "8 13/16")
    one = rl.review(
        asked,
        {"plate": -1, "heel": "9 13/16", "height": "9'-5 13/16\"", "tail_top": '-7/8"', "ceiling_rise": "4'-2 3/16\""},
    )
    said = {line.item: line.consequence for line in one.of(RESOLVE)}
    assert set(said) == {"plate", "heel", "height", "tail_top"}
    assert all(not told(line) and "step at" not in line.consequence for line in one.of(RESOLVE))
    assert 'the ceiling is 1" low, the roof plane as high as asked for' in said["plate"]


# --- how a number is written -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drawing", "half"),
    [
        ({"heel": "8 13/16"}, [1 / 32]), ({"heel": "8 7/8"}, [1 / 16]),
        ({"heel": "8 7/8", "height": "9'-4 13/16"}, [1 / 32] * 2),
        ({"heel": "8 1/4"}, [1 / 16]),  # one quarter alone may stand on a drawing in eighths
        (
            {
                "heel": "8 1/4", "height": "9'-4 3/4", "ceiling_rise": "4'-2 1/4", "depth_at_peak": "5'-2 1/2",
                "tail_top": "-1 3/4",
            },
            [1 / 8] * 5,
        ),
        ({"heel": "8.8"}, [0.05]), ({"heel": "8.81"}, [1 / 32]), ({"heel": 8.8125}, [1 / 32]),
        ({"pitch": "7.3"}, [0.05]), ({"pitch": "7.31"}, [0.005]), ({"pitch": 7.3}, [0.005]), ({"pitch": "8"}, [0.005]),
        ({"pitch": "8 1/2"}, [0.005]),
    ],
)  # fmt: skip
def test_the_step_is_read_from_how_numbers_are_written(drawing: dict[str, Any], half: list[float]) -> None:
    assert list(half_steps(read_items(drawing)).values()) == pytest.approx(half)


def test_a_relation_is_allowed_the_roundings_of_its_numbers() -> None:
    """Heel 10 3/4: height 10.75 + 104 = 114.75, rise 50.1667, depth 64.5833.  Printed 50 1/8 and 64 3/4, so that
    114.75 - 50.125 = 64.625 is 1/8 short: in eighths three numbers may be off 3 x 1/16 together, in sixteenths, which
    the tail's 1/16 shows, 3 x 1/32.  (The tail: 10.75 - 2/3 x 16 = 0.083.)"""
    asked = rl.ScissorBay(rl.Gable("26'", 8, "5 1/2", 16), 4, "8 13/16")
    drawn: dict[str, Any] = {
        "span": "26'", "pitch": 8, "ceiling_pitch": 4, "bearing": "5 1/2", "overhang": 16, "heel": "10 3/4",
        "height": "9'-6 3/4\"", "ceiling_rise": "4'-2 1/8\"", "depth_at_peak": "5'-4 3/4\"",
    }  # fmt: skip
    assert rl.review(asked, {**drawn, "tail_top": '1/8"'}).contradictions == ()
    (clash,) = rl.review(asked, {**drawn, "tail_top": '1/16"'}).contradictions
    assert "depth at the peak" in clash.sentence and abs(clash.off) == pytest.approx(0.125)


# --- rows of a table -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("item,value\nheel,8,8125", "Line 2: heel,8,8125 looks like a decimal comma: 8.8125?"),
        ("item,value,remark\nheel,8,8125,", "Line 2: heel,8,8125, looks like a decimal comma: 8.8125?"),
        ("item,value\npitch,8\n\nheel,8 13/16,as printed", "Line 4: heel,8 13/16,as printed has 3 cells, the table 2"),
        ("item;value;remark\nheel;8;or;9", "Line 2: heel;8;or;9 has 4 cells, the table 3 columns; put text with a ;"),
        ("plate,8125", "Line 1, Plate 677'-1\": allowed is -60'-0\" to 60'-0\"."),
        ("heel,8125", "allowed is 0\" to 80'-0\"."), ("tail_top,-8125", "allowed is"), ("overhang,8125", "allowed is"),
        ("bearing,55", "allowed is 0\" to 1'-4\"."), ("height,8125", "allowed is"),
        ("depth at peak,8125", "allowed is"),
    ],
)  # fmt: skip
def test_a_cell_too_many_and_a_number_out_of_range_are_refused(table: str, said: str) -> None:
    with pytest.raises(rl.InputError) as error:
        read_items(table)
    assert said in str(error.value) and len(error.value.problems) == 1


def test_empty_cells_at_the_end_of_a_row_are_nothing() -> None:
    assert read_items("item,value\nheel,8.8125,,\n")["heel"].value == 8.8125


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("station,heel\n0,8,8125", "Line 2: 0,8,8125 looks like a decimal comma: 8.8125?"),
        ("0,8,8125\n24,8.75", "Line 1: 0,8,8125 looks like a decimal comma: 8.8125? Write it with a point, or begin"),
        ("0,8.75\n24,8,5\n48,9", "Line 2: 24,8,5 looks like a decimal comma: 8.5? Write it with a point, or begin"),
        ("0,9'-8,5", "Line 1: 0,9'-8,5 looks like a decimal comma: 9'-8.5?"),
        ("0,8 3/4,1/2,x", "Line 1: 0,8 3/4,1/2,x has 4 cells, the table 3 columns"),
        ([("0", 8, 8125)], "Row 1, plate 677'-1\": allowed is -60'-0\" to 60'-0\". Is 8,8125 a decimal comma?"),
        ([("0", 8125)], "Row 1, heel 677'-1\": allowed is 0\" to 80'-0\"."),
        ("station,heel,plate\n0,8,8125,0", "Line 2: 0,8,8125,0 looks like a decimal comma: 8.8125?"),
    ],
)
def test_a_seam_s_rows_are_refused_alike(table: object, said: str) -> None:
    with pytest.raises(rl.InputError) as error:
        rl.shim_schedule(table)
    assert said in str(error.value)


@pytest.mark.parametrize(
    "table",
    ["station,heel,plate\n0,8,5\n", "0;8;5", "0\t8\t5", "0,8.0,5", '0,8",5', "0,00-08-00,5", [("0", 8, 5)]],
)
def test_a_plate_beyond_doubt_is_read(table: object) -> None:
    """Heel 8, plate 5: columns by name, another mark between them, or a heel that cannot go on: top at 13 in."""
    (row,) = rl.shim_schedule(table).rows
    assert (row.heel, row.plate, row.top) == (8, 5, 13)


def test_built_trusses_have_two_lengths_a_row() -> None:
    """Length and height are both wanted, so that a third cell is no doubt and a fourth is one too many."""
    truss = rl.ScissorBay(rl.Gable("26'", 8, "5 1/2", 16), 4, "8 13/16")
    assert all(one.verdict == "meets" for one in rl.built_trusses(truss, "1,312,113"))
    with pytest.raises(rl.InputError, match="Line 1: 1,312,5,113 looks like a decimal comma: 312.5"):
        rl.built_trusses(truss, "1,312,5,113")


def test_numbers_on_the_site_are_within_what_they_can_be() -> None:
    truss = rl.ScissorBay(rl.Gable("26'", 8, "5 1/2", 16), 4, "8 13/16")
    with pytest.raises(rl.InputError, match="Row 1, height 677'"):
        rl.built_trusses(truss, [("1", "26'", 8125)])
    with pytest.raises(rl.InputError, match="Measured heel 677'"):
        rl.measured_seat(8125, rl.RafterBay(truss.gable))
    with pytest.raises(rl.InputError, match="Plane 677'"):
        rl.shim_schedule([("0", 8)], plane=8125)
    with pytest.raises(rl.InputError, match="Bow 677'"):
        rl.set_trusses("30'", 75, 0, 8125)
