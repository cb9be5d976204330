"""Hypothesis strategies made from rooflab.INPUTS: the whole range of every input, corners often.

Where inputs depend on each other (a seat on its bearing, plates under a ridge, a ceiling under a roof) they are drawn
so that nearly every house can be built; what rooflab refuses is thrown away, and ``test_invariants`` counts how much
that is. ``ROOFLAB_EXAMPLES=2000`` draws that many fresh examples a test; without it the same few are drawn every
time.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache
from math import sqrt
from typing import Any, TypeVar

from hypothesis import reject, settings
from hypothesis import strategies as st

from rooflab import INPUTS, Gable, InputError, RafterBay, ScissorBay
from rooflab.base.inputs import pair
from rooflab.base.jsonfile import DIRECTIONS
from rooflab.base.lumber import dressed_size
from rooflab.checks.assumptions import BY_SLOPE
from rooflab.house.bays import Jog
from rooflab.job.jobfile import LOADS, SHEET, Job, rounded_heels
from rooflab.job.schedule import TrussType
from tests.tools.depth import cases

T = TypeVar("T")
Draw = Callable[[st.SearchStrategy[Any]], Any]


def bounded(examples: int = 120) -> settings:
    """Settings of a test that tries so many examples, fewer in a quick run, or as many as ROOFLAB_EXAMPLES asks for."""
    return settings(max_examples=int(os.environ.get("ROOFLAB_EXAMPLES") or cases(examples)))


def legal(make: Callable[..., T], *args: Any, **kwargs: Any) -> T:
    """What ``make`` builds; a draw that rooflab refuses is thrown away."""
    try:
        return make(*args, **kwargs)
    except InputError:
        reject()


@cache
def value(name: str) -> st.SearchStrategy[float]:
    """A value of an input: its ends, its default, its control's steps, or any float between."""
    row = INPUTS[name]
    steps = st.integers(0, int((row.high - row.low) / row.step)).map(lambda i: row.low + i * row.step)
    return st.one_of(st.sampled_from(sorted({row.low, row.high, row.default})), steps, st.floats(row.low, row.high))


@cache
def ends(name: str, two: bool) -> st.SearchStrategy[Any]:
    """One value for both ends, or (left, right)."""
    return st.tuples(value(name), value(name)) if two else value(name)


@cache
def choice(name: str) -> st.SearchStrategy[str]:
    return st.sampled_from(INPUTS[name].choices)


SHARE = st.one_of(st.sampled_from((0.0, 0.5, 1.0)), st.floats(0, 1))


def between(draw: Draw, name: str, low: float, high: float) -> float:
    """A value of an input between two bounds (and its own range), on the control's steps or not."""
    row = INPUTS[name]
    low = max(row.low, low)
    high = max(low, min(row.high, high))
    x = low + draw(SHARE) * (high - low)
    return min(max(round(x / row.step) * row.step, low), high) if draw(st.booleans()) else x


def _plates(draw: Draw, span: float, m: tuple[float, float], b: tuple[float, float], heels: list[float]) -> float:
    """How much higher the right plate stands, so that the ridge falls between the walls."""
    total, level = sum(m), span * m[1] / sum(m)
    least = max(b[0] + 2, level + (-400 + heels[1] - heels[0]) / total)
    most = min(span - b[1] - 2, level + (400 + heels[1] - heels[0]) / total)
    if most <= least:
        return 0.0
    x = draw(st.sampled_from((min(max(level, least), most), None)))
    x = least + draw(SHARE) * (most - least) if x is None else x
    return (x - level) * total - (heels[1] - heels[0])


@st.composite
def houses(draw: Draw, two: bool | None = None) -> dict[str, dict[str, Any]]:
    """Arguments of a Gable, a RafterBay and a ScissorBay under one roof: {"gable": ..., "rafter": ..., "scissor": ...}.

    ``two``: whether the ends may differ (None: drawn).  The scissor bay's heel is the rafter bay's, not rounded.
    """
    two = draw(st.booleans()) if two is None else two
    span, pitch, bearing = draw(value("span")), draw(ends("pitch", two)), draw(ends("bearing", two))
    m, b = tuple(p / 12 for p in pair(pitch)), pair(bearing)
    rafter: dict[str, Any] = {"ridge": draw(st.one_of(choice("ridge"), st.none()))}
    if draw(st.booleans()):
        rafter["lumber"] = draw(choice("lumber"))
        deep = dressed_size(rafter["lumber"])[1]
    else:
        rafter["depth"] = deep = draw(value("depth"))
    longest = [min(0.98 * deep * sqrt(1 + s * s) / s, wide) for s, wide in zip(m, b, strict=True)]
    if longest == [*b] and draw(st.booleans()):
        seats = b
    else:
        seats = between(draw, "seat", 0, longest[0]), between(draw, "seat", 0, longest[1])
        seats = seats if two else (min(seats), min(seats))
        rafter["seat"] = seats
    heels = [deep * sqrt(1 + s * s) - s * seat for s, seat in zip(m, seats, strict=True)]
    higher = _plates(draw, span, (m[0], m[1]), b, heels) if two else 0.0
    gable: dict[str, Any] = {
        "span": span, "pitch": pitch, "bearing": bearing, "overhang": draw(ends("overhang", two)),
        "sheathing": draw(value("sheathing")), "window_head": draw(value("window_head")),
    }  # fmt: skip
    if abs(higher) <= 200 and draw(st.booleans()):
        plate: Any = (-higher / 2, higher / 2)
        gable["plate_height"] = draw(value("plate_height"))
    else:
        plate = draw(value("plate"))
        low = between(draw, "plate_height", max(0.0, -higher), min(480.0, 480.0 - higher))
        gable["plate_height"] = (low, low + higher) if higher else low
    rafter["plate"] = plate
    return {"gable": gable, "rafter": rafter, "scissor": _scissor(draw, span, (m[0], m[1]), b, heels, higher, plate)}


def _scissor(
    draw: Draw,
    span: float,
    m: tuple[float, float],
    b: tuple[float, float],
    heels: list[float],
    higher: float,
    plate: Any,
) -> dict[str, Any]:
    chord, bottom = draw(choice("chord")), draw(choice("bottom_chord"))
    side = draw(st.sampled_from(("inside", "outside")))
    x = span * m[1] / sum(m) + (higher + heels[1] - heels[0]) / sum(m)
    peak, most = heels[0] + m[0] * x, min(m)
    solid = (dressed_size(chord)[1] + dressed_size(bottom)[1]) * sqrt(1 + max(m) ** 2)
    for run, top, start in ((x, peak, b[0]), (span - x, peak - higher, b[1])):
        inner = run - (start if side == "inside" else 0)
        if inner > 0:
            most = min(most, (top - solid) / inner)
    apex = draw(st.sampled_from(("free", "free", "ridge")))
    if apex == "free":  # the ceilings of unequal plates meet between the walls
        least = abs(higher) / max(span - 2 * max(b) - 4, 1)
    else:  # the right one does not fall towards the ridge
        least = max(higher, 0) / max(x - b[0], 1)
    least = min(max(0.25 if higher else 0.0, 12.2 * least), 12 * most * 0.999)
    ceiling: Any = between(draw, "ceiling_pitch", least, 12 * most * 0.999)
    if m[0] != m[1] and draw(st.booleans()):
        ceiling = (ceiling, between(draw, "ceiling_pitch", max(least, 0.7 * ceiling), ceiling))
    made = {"chord": chord, "bottom_chord": bottom, "ceiling_from": side, "plate": plate, "ceiling_pitch": ceiling}
    return made | {"heel": tuple(heels), "apex": apex}


def rafter_bay(house: dict[str, dict[str, Any]]) -> RafterBay:
    return RafterBay(Gable(**house["gable"]), **house["rafter"])


def scissor_bay(house: dict[str, dict[str, Any]], heel: Any = None) -> ScissorBay:
    """The house's scissor bay; ``heel`` in place of the rafter bay's."""
    changed = {} if heel is None else {"heel": heel}
    return ScissorBay(Gable(**house["gable"]), **{**house["scissor"], **changed})


@st.composite
def rafters(draw: Draw, two: bool | None = None) -> RafterBay:
    return legal(rafter_bay, draw(houses(two)))


@st.composite
def scissors(draw: Draw, two: bool | None = None) -> ScissorBay:
    """A scissor bay whose heel is a rafter's or any heel of the range."""
    house = draw(houses(two))
    heel = draw(st.one_of(st.none(), value("heel")))
    return legal(scissor_bay, house, heel)


@st.composite
def seams(draw: Draw, two: bool | None = None) -> tuple[RafterBay, ScissorBay]:
    """Both bays of one house; the scissor bay has the rafter bay's heel."""
    house = draw(houses(two))
    return legal(rafter_bay, house), legal(scissor_bay, house)


@st.composite
def jogs(draw: Draw, bay: ScissorBay) -> dict[str, Any]:
    """Arguments of ``bay.jogged`` that it nearly always takes."""
    end, eave = draw(st.sampled_from(("left", "right"))), draw(st.sampled_from(("straight", "stepped")))
    old = bay.left if end == "left" else bay.right
    bearing = draw(st.one_of(st.none(), value("bearing")))
    most = min(old.apex, old.run) - (old.bearing if bearing is None else bearing)
    least = -old.overhang if eave == "straight" else -24.0
    return {"by": between(draw, "jog", least, 0.99 * most), "bearing": bearing, "end": end, "eave": eave}


@st.composite
def bays(draw: Draw) -> RafterBay | ScissorBay:
    """Any bay: common rafters, scissor trusses, and those with a wall or two moved."""
    kind = draw(st.sampled_from(("rafter", "scissor", "jogged")))
    if kind == "rafter":
        return draw(rafters())
    bay = draw(scissors())
    if kind == "jogged":
        for _ in range(draw(st.integers(1, 2))):
            bay = legal(bay.jogged, **draw(jogs(bay)))
    return bay


def junk() -> st.SearchStrategy[Any]:
    """What nobody should give, and some things that may happen to be right."""
    leaves = st.one_of(
        st.none(), st.booleans(), st.floats(), st.text(max_size=60), st.binary(max_size=4), st.complex_numbers(),
        st.integers(), st.fractions(), st.decimals(),
        st.sampled_from((10**400, -(10**400), 0, -0.0, -1, 1e308, 5e-324)),
        st.sampled_from(("", " ", "nan", "inf", "1/0", "2x10", "left")),
    )  # fmt: skip
    return st.recursive(
        leaves,
        lambda inner: st.one_of(
            st.lists(inner, max_size=4),
            st.lists(inner, max_size=4).map(tuple),
            st.dictionaries(st.text(max_size=3), inner, max_size=2),
        ),
        max_leaves=6,
    )


# --- random jobs -----------------------------------------------------------------------------------------------------

PLAIN = st.characters(exclude_categories=("Cc", "Cs", "Cn", "Zl", "Zp"), exclude_characters=DIRECTIONS)
WORDS = st.text(PLAIN, max_size=40)
NUMBERS = st.one_of(st.integers(-(10**6), 10**6), st.floats(allow_nan=False, allow_infinity=False), st.booleans())
RECORDS = st.dictionaries(WORDS, st.one_of(WORDS, NUMBERS), max_size=3)


@st.composite
def jobs(draw: Any) -> Job:
    house, follows = draw(houses()), draw(st.booleans())
    rafters = legal(rafter_bay, house)
    scissor = legal(scissor_bay, house, rounded_heels(rafters) if follows else draw(value("heel")))
    types = []
    for mark in "ABC"[: draw(st.integers(0, 3))]:
        jog = Jog(**draw(jogs(scissor))) if draw(st.booleans()) else None
        length, spacing = draw(st.floats(60, 2400)), draw(st.sampled_from((12.0, 16.0, 19.2, 24.0, 47.3)))
        kind = TrussType(mark, length, spacing, draw(st.integers(0, 1)), draw(st.integers(0, 1)), jog, draw(WORDS))
        legal(kind.bay, scissor)
        types.append(kind)
    kinds = {"number": lambda row: st.floats(row.low, row.high), "choice": lambda row: st.sampled_from(row.choices)}
    given = {name: kinds[row.kind](row) if row.kind in kinds else WORDS for name, row in LOADS.items()}
    loads = {name: draw(one) for name, one in given.items() if draw(st.booleans())}
    own = {
        "dead": st.floats(1, 60), "live": st.one_of(st.just(BY_SLOPE), st.floats(0, 100)), "snow": st.floats(0, 300),
        "snow_exposure": st.floats(0.7, 1.2), "thermal": st.floats(0.85, 1.3), "importance": st.floats(0.8, 1.2),
        "snow_edition": st.sampled_from(("ASCE 7-05", "ASCE 7-16")),
    }  # fmt: skip
    loads |= {name: draw(one) for name, one in own.items() if draw(st.booleans())}
    warm: dict[str, Any] = {"r_required": draw(st.floats(1, 120))} if draw(st.booleans()) else {}
    warm |= draw(st.sampled_from(({}, {"per_inch": 3.5}, {"material": "EPS", "edition": "2021"})))
    sheet = {name: draw(WORDS) for name in SHEET if draw(st.booleans())}
    return Job(
        draw(WORDS), rafters, scissor, tuple(types), follows, loads, sheet, tuple(draw(st.lists(WORDS, max_size=3))),
        tuple(draw(st.lists(RECORDS, max_size=2))), tuple(draw(st.lists(RECORDS, max_size=2))), draw(st.floats(6, 48)),
        draw(st.one_of(st.none(), st.tuples(st.floats(0, 6), st.floats(0, 6)))),
        draw(st.sampled_from((("2x4", "flat"), ("2x6", "on edge")))), draw(st.sampled_from(("", "HF No.2"))), warm,
    )  # fmt: skip
