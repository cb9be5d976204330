"""Causes counted: 300 random houses times every mistake, honest drawings, and heels wrong at random.

Houses, mistakes and drawings are made here by hand formulas alone (roof and ceiling lines solved as two equations),
never by rooflab.  Which mistakes are usual is common practice, no source.
"""

from __future__ import annotations

import json
from collections import Counter
from math import floor, radians, sqrt, tan
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest

import rooflab as rl
from rooflab.job.jobfile import example
from rooflab.shop.causes import DRAWING_MISTAKES
from rooflab.shop.review import RESOLVE, Review
from tests.tools.houses import RAFTERS, RAFTERS_FULL, TRUSS, TRUSS_FULL

BOOK = Path(__file__).resolve().parents[2] / "workbooks" / "10-checking-shop-drawings.ipynb"
HOUSES = 300
DEPTHS = {"2x8": (7.25, 8.0), "2x10": (9.25, 10.0), "2x12": (11.25, 12.0)}  # dressed (PS 20) and nominal, in
Params = dict[str, Any]


def sixteenth(x: float) -> float:
    return float(np.sign(x) * floor(16 * abs(x) + 0.5 + 1e-6) / 16)


def house(chance: Random) -> tuple[Params, rl.ScissorBay, rl.RafterBay]:
    """An ordinary house; every third with unequal ends (overhang or bearing)."""
    while True:
        lumber = chance.choice(list(DEPTHS))
        m = chance.choice((4, 5, 6, 7, 8, 9, 10, 12)) / 12
        bearing = [chance.choice((3.5, 5.5, 7.25))] * 2
        over = [chance.randrange(16, 49) / 2] * 2
        if chance.random() < 1 / 3:
            over = [chance.randrange(16, 49) / 2 for _ in over]
            bearing = [chance.choice((3.5, 5.5, 7.25)) for _ in bearing]
        seat = chance.randrange(24, int(16 * min(bearing)) + 1) / 16
        deep = DEPTHS[lumber][0]
        if m * seat / sqrt(1 + m * m) > deep / 3:
            continue
        p: Params = {
            "S": chance.randrange(240, 481) + chance.choice((0, 0, 0.5)), "m": (m, m), "o": over, "b": bearing,
            "D": deep, "nominal": DEPTHS[lumber][1], "seat": seat, "dt": chance.choice((3.5, 5.5)),
            "start": list(bearing),
        }  # fmt: skip
        c = chance.randrange(4, int(24 * m) + 1) / 48
        p["c"], p["exact"] = (c, c), deep * sqrt(1 + m * m) - m * seat
        p["h"] = [sixteenth(p["exact"])] * 2
        gable = rl.Gable(p["S"], 12 * m, (bearing[0], bearing[1]), (over[0], over[1]))
        try:
            bay = rl.ScissorBay(gable, 12 * c, p["h"][0], "2x4" if p["dt"] == 3.5 else "2x6")
            return p, bay, rl.RafterBay(gable, lumber, seat)
        except rl.InputError:
            continue


def items(p: Params) -> dict[str, float]:
    """Every item, from the four lines: plates level at 0, the right end in a mirror."""
    (ml, mr), (cl, cr), span = p["m"], p["c"], p["S"]
    x, peak = np.linalg.solve([[-ml, 1], [mr, 1]], [p["h"][0], p["h"][1] + mr * span])
    far = span - p["start"][1]
    _, apex = np.linalg.solve([[-cl, 1], [cr, 1]], [-cl * p["start"][0], cr * far])
    under = min(cl * (x - p["start"][0]), cr * (far - x))
    found = {"span": span, "height": peak, "ceiling_rise": apex, "depth_at_peak": peak - under}
    for i, end in enumerate(("left", "right")):
        found |= {
            f"pitch_{end}": 12 * p["m"][i], f"ceiling_pitch_{end}": 12 * p["c"][i], f"overhang_{end}": p["o"][i],
            f"bearing_{end}": p["b"][i], f"heel_{end}": p["h"][i], f"tail_top_{end}": p["h"][i] - p["m"][i] * p["o"][i],
        }  # fmt: skip
    return found


def printed(found: dict[str, float]) -> dict[str, float]:
    """As a drawing prints them: lengths to 1/16, pitches to two decimals."""
    return {key: round(value, 2) if "pitch" in key else sixteenth(value) for key, value in found.items()}


def heel(p: Params, value: float) -> Params:
    return {**p, "h": [value, value]}


def each(p: Params, key: str, change: Any) -> Params:
    return {**p, key: [change(value, i) for i, value in enumerate(p[key])]}


def k(p: Params) -> float:
    return sqrt(1 + p["m"][0] ** 2)


def bearing_of(wide: float) -> Any:
    return lambda p: {**p, "b": [wide, wide], "start": [wide, wide]}


def decimal(value: float) -> float:
    whole, parts = divmod(round(16 * value), 16)
    return whole + parts / 100


# the mistake's name, and the truss as it is drawn with it
INPUTS: dict[str, Any] = {
    "pitch as an angle": lambda p: {
        **p,
        "m": [tan(radians(12 * m)) for m in p["m"]],
        "c": [tan(radians(12 * c)) for c in p["c"]],
    },
    "pitch as rise over span": lambda p: {**p, "m": [2 * m for m in p["m"]], "c": [2 * c for c in p["c"]]},
    "clear span": lambda p: {**p, "S": p["S"] - sum(p["b"])},
    "slope not stretched": lambda p: heel(p, p["D"] - p["m"][0] * p["seat"]),
    "divided by the stretch": lambda p: heel(p, p["D"] / k(p) - p["m"][0] * p["seat"]),
    "nominal depth": lambda p: heel(p, p["nominal"] * k(p) - p["m"][0] * p["seat"]),
    "seat forgotten": lambda p: heel(p, p["D"] * k(p)),
    "top of sheathing": lambda p: heel(p, p["h"][0] + 0.5 * k(p)),
    'top of 7/16" sheathing': lambda p: heel(p, p["h"][0] + 7 / 16 * k(p)),
    'top of 5/8" sheathing': lambda p: heel(p, p["h"][0] + 5 / 8 * k(p)),
    'top of 3/4" sheathing': lambda p: heel(p, p["h"][0] + 3 / 4 * k(p)),
    "inside face": lambda p: each(p, "h", lambda h, i: h + p["m"][i] * p["b"][i]),
    "face of the wall sheathing": lambda p: heel(p, p["h"][0] - p["m"][0] / 2),
    "heel square": lambda p: heel(p, p["h"][0] / k(p)),
    "ceiling from the other face": lambda p: {**p, "start": [0.0, 0.0]},
    "bearing of a 2x4 wall": bearing_of(3.5),
    "bearing of a 2x6 wall": bearing_of(5.5),
    "bearing of a 2x8 wall": bearing_of(7.25),
    "overhang along the slope": lambda p: each(p, "o", lambda o, i: o / k(p)),
    "overhang to the fascia's face": lambda p: each(p, "o", lambda o, i: o - 1.5),
    "tail cut square": lambda p: each(p, "o", lambda o, i: o + p["dt"] * p["m"][i] / k(p)),
    "left and right swapped": lambda p: {**p, **{key: list(p[key])[::-1] for key in ("o", "b", "start", "h")}},
    "sixteenths read as decimals": lambda p: heel(p, decimal(p["h"][0])),
}
# the mistake's name, the item it stands on alone, and what is printed there
ALONE: list[tuple[str, str, Any]] = [
    ("heel forgotten", "height", lambda p, v: v - p["h"][0]),
    ("ceiling from the other face", "ceiling_rise", lambda p, v: items({**p, "start": [0.0, 0.0]})["ceiling_rise"]),
    ("overhang printed along the slope", "overhang", lambda p, v: v * k(p)),
    ("fascia counted in", "overhang", lambda p, v: v + 1.5),
    ("seat forgotten", "heel", lambda p, v: p["D"] * k(p)),
    ("heel square", "heel", lambda p, v: v / k(p)),
    ("top of sheathing", "height", lambda p, v: v + 0.5 * k(p)),
    ("sixteenths read as decimals", "depth_at_peak", lambda p, v: decimal(sixteenth(v))),
]


def drawings(p: Params, chance: Random) -> list[tuple[str, dict[str, float]]]:
    """Every mistake's drawing of a house; readings follow from the heel as it is printed, or as it was computed."""
    found = []
    for name, change in INPUTS.items():
        made = change(p)
        if chance.random() < 0.5:
            made = {**made, "h": [sixteenth(h) for h in made["h"]]}
        found.append((name, printed(items(made))))
    for name, item, change in ALONE:
        drawn = items(p)
        for key in [key for key in drawn if key == item or key in (f"{item}_left", f"{item}_right")]:
            drawn[key] = change(p, drawn[key])
        found.append((name, printed(drawn)))
    return found


def names(review: Review) -> list[str]:
    return [name for cause in review.causes for name in cause.mistake.split(", or ")]


def visible(p: Params, drawn: dict[str, float]) -> bool:
    asked = items(p)
    return any(abs(drawn[key] - asked[key]) > (0.005 if "pitch" in key else 1 / 16) + 1e-6 for key in drawn)


def quoted() -> str:
    """What the workbook says of these counts, on one line."""
    book = json.loads(BOOK.read_text(encoding="utf-8"))
    cells = ("".join(cell["source"]) for cell in book["cells"] if cell["cell_type"] == "markdown")
    return next(line for cell in cells for line in cell.splitlines() if "How often is it right?" in line)


def test_every_mistake_of_the_registry_is_counted() -> None:
    assert {mistake.name for mistake in DRAWING_MISTAKES} == {*INPUTS, *(name for name, _, _ in ALONE)}


def test_every_mistake_says_how_it_acts() -> None:
    assert {mistake.acts for mistake in DRAWING_MISTAKES} == {"inputs", "item", "either"}


@pytest.mark.deep
def test_mistakes_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    """300 houses times every mistake: named, named among equals, missed, of those that show in the numbers printed."""
    chance, counts = Random(4), Counter[tuple[str, str]]()
    for _ in range(HOUSES):
        p, bay, rafters = house(chance)
        for name, drawn in drawings(p, chance):
            if not visible(p, drawn):
                counts[name, "not visible"] += 1
                continue
            said = names(rl.review(bay, drawn, rafters))
            counts[name, "named" if said == [name] else "among equals" if name in said else "missed"] += 1
    total: Counter[str] = Counter()
    for (_, what), n in counts.items():
        total[what] += n
    with capsys.disabled():
        print(
            f"\n  {HOUSES} houses, {len(INPUTS) + len(ALONE)} mistakes each: "
            + ", ".join(f"{total[what]} {what}" for what in ("named", "among equals", "missed", "not visible"))
        )
        for name in [*INPUTS, *(n for n, _, _ in ALONE if n not in INPUTS)]:
            row = [counts[name, what] for what in ("named", "among equals", "missed")]
            if row[2]:
                print(f"    {name}: named {row[0]}, among equals {row[1]}, missed {row[2]}")
    seen = total["named"] + total["among equals"] + total["missed"]
    mistakes, missed = len(INPUTS) + len(ALONE), total["missed"] or "none"
    assert (
        f"{HOUSES} random houses with {mistakes} ways to go wrong each: of {seen} mistakes that showed in the "
        f"printed numbers, {total['named']} were named alone, {total['among equals']} among equals, {missed} was "
        "missed."
    ) in quoted()
    assert seen > 7000
    assert total["missed"] <= 0.01 * seen
    assert total["named"] >= 0.7 * seen


def test_honest_drawings_are_not_accused(capsys: pytest.CaptureFixture[str]) -> None:
    """300 honest drawings rounded to 1/16: no cause, no contradiction, nothing to resolve."""
    chance = Random(5)
    accused = 0
    for _ in range(HOUSES):
        p, bay, rafters = house(chance)
        one = rl.review(bay, printed(items(p)), rafters)
        accused += bool(one.causes or one.contradictions or one.of(RESOLVE))
    with capsys.disabled():
        print(f"\n  {HOUSES} honest drawings: {accused} accused")
    assert accused == 0
    assert f"Of {HOUSES} honest drawings none was accused." in quoted()


@pytest.mark.parametrize("how", ["the whole truss drawn with it", "the heel alone"])
def test_heels_wrong_at_random(how: str, capsys: pytest.CaptureFixture[str]) -> None:
    """300 heels wrong at random by up to 3 in: false single causes at most 15 %, false pairs none."""
    chance = Random(6)
    single = pairs = shown = 0
    while shown < HOUSES:
        p, bay, rafters = house(chance)
        off = sixteenth(chance.uniform(-3, 3))
        if abs(off) <= 1 / 16 or p["h"][0] + off <= 0.5:
            continue
        shown += 1
        drawn = printed(items(heel(p, p["h"][0] + off)))
        if how == "the heel alone":
            drawn = printed(items(p)) | {key: drawn[key] for key in ("heel_left", "heel_right")}
        said = rl.review(bay, drawn, rafters).causes
        pairs += any(" and " in cause.mistake.replace("left and right", "") for cause in said)
        single += bool(said)
    with capsys.disabled():
        print(
            f"\n  {HOUSES} heels wrong at random, {how}: {single} false single causes "
            f"({100 * single / HOUSES:.1f} %), {pairs} false pairs"
        )
    assert single <= 0.15 * HOUSES
    assert pairs == 0
    assert (
        f"Of {HOUSES} heels wrong *at random* by up to 3 in, {single} ({100 * single / HOUSES:.0f} %) looked like some "
        f"mistake all the same, and none like a pair"
    ) in quoted()


def test_two_mistakes_are_found_as_a_pair() -> None:
    """Heel without the seat, overhang along the slope: two numbers differ, no single mistake gives both."""
    chance, found, tried = Random(7), 0, 0
    while tried < 60:
        p, bay, rafters = house(chance)
        if p["m"][0] * p["seat"] < 0.5 or p["seat"] == p["b"][0] or p["seat"] == p["b"][1]:
            continue
        tried += 1
        drawn = printed(items(INPUTS["overhang along the slope"](INPUTS["seat forgotten"](p))))
        said = [cause.mistake for cause in rl.review(bay, drawn, rafters).causes]
        found += any({*mistake.split(" and ")} == {"seat forgotten", "overhang along the slope"} for mistake in said)
    assert found == tried


def test_two_numbers_that_no_mistake_gives_stay_unknown() -> None:
    """A heel 1.9 in and an overhang 3.3 in off on the house of the examples: each is asked about."""
    one = rl.review(TRUSS_FULL, {"heel": 9.3125, "overhang": 19.6875})
    assert one.causes == () and "No one usual mistake gives all of them: ask about each." in one.sentence


def test_nominal_depth_and_three_quarter_sheathing_are_one_line() -> None:
    """A 2x10 is 3/4 in less than its name (PS 20): 3/4 k on the heel either way."""
    one = rl.review(TRUSS_FULL, {"heel": sixteenth(10 * sqrt(13) / 3 - 2 / 3 * 5.5)}, RAFTERS_FULL)
    assert [set(cause.mistake.split(", or ")) for cause in one.causes] == [{"nominal depth", 'top of 3/4" sheathing'}]


def test_without_the_rafters_their_mistakes_cannot_be_told() -> None:
    drawn = {"heel": sixteenth(9.25 * sqrt(13) / 3)}
    assert "seat forgotten" in names(rl.review(TRUSS, drawn, RAFTERS))
    assert "seat forgotten" not in names(rl.review(TRUSS, drawn))


def test_one_mistake_is_told_once() -> None:
    """A ceiling begun at the other face of the wall, whether the whole truss or its rise alone shows it."""
    (cause,) = rl.review(example().scissor, {"span": "26'", "heel": "8 13/16", "ceiling rise": "4'-4"}).causes
    assert cause.sentence.lower().count("other face of the wall") == 1
