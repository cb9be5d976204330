"""How much insulation stands over the plate, how thick it lies along a sloped ceiling, and where the air goes.

Heights are plumb, from the plate (or the ceiling line) up to the air space under the sheathing; the air space is
measured square to the roof.  Insulation is taken to fill that height uncompressed.  Left out: what framing takes away,
the ceiling's own R, moisture.  Energy codes differ by place and edition: the local code decides.

Units: lengths in, areas sq ft, R in sq ft·h·°F/Btu; slopes are rise over run.  Functions take numbers or arrays.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np

from rooflab.base import geometry as geo
from rooflab.base.findings import ASK, MEETS, MISSES, VERDICTS, Finding
from rooflab.base.geometry import Number, Truth
from rooflab.base.inputs import must_be, read_word, stop_on
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Reading, Reasoning, Rows, Symbols, find_row
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Bay, End, pick

from .grades import FROM_MEMORY, Amount, read_quantities
from .limits import LimitCheck, at_least

LEAST_AIR = 1.0
"""Least air space between insulation and sheathing, in (IRC R806.3)."""

WIND_WASH = (
    "Baffle: a rigid, sealed piece from the top plate up to the air space, in every bay of a vented eave, so "
    "that wind cannot blow through the insulation's edge; insulation stops at it and the air space passes above."
)
ATTIC_WALL = (
    "The attic wall between the sloped ceiling and the flat-ceiling bay is an outside wall: insulate it as a wall, "
    "with an air barrier on both faces, and seal it to both ceilings and to the end of each truss and rafter space."
)
VENT_PATHS = {
    "rafter": (
        "Rafter bay: air enters at the soffit, passes through the air space under the sheathing over the plate into "
        "the open attic above the flat ceiling, and leaves at the ridge."
    ),
    "scissor": (
        "Scissor bay: air enters at the soffit, passes through the air space over the plate, and follows the space "
        "between the chords up to the ridge; where the chords come close the insulation must not fill it."
    ),
}
SEAM_AIR = "The attic wall at the seam parts the two: each bay needs its own inlet at the eave and outlet at the ridge."


# --- materials -------------------------------------------------------------------------------------------------------


class Material(NamedTuple):
    """An insulation: R per inch, from and to, and the source."""

    name: str
    low: float
    high: float
    source: str = "DOE Insulation Fact Sheet, ASHRAE"


MATERIALS: dict[str, Material] = {
    row.name: row
    for row in (
        Material("cellulose, loose", 3.1, 3.7),
        Material("blown fiberglass", 2.2, 2.9),
        Material("fiberglass batt", 2.9, 3.8),
        Material("fiberglass, dense", 3.4, 4.2),
        Material("blown mineral wool", 2.2, 2.9),
        Material("EPS", 3.9, 4.2),
        Material("XPS", 5.0, 5.0),
        Material("polyiso", 5.6, 7.0),
        Material("closed-cell spray foam", 5.6, 6.2),
    )
}


FORMER_NAMES = {
    "fiberglass, loose": "blown fiberglass", "rock wool, loose": "blown mineral wool",
    "sprayed polyurethane": "closed-cell spray foam",
}  # fmt: skip
"""Names of insulations in older job files, and what they are called now."""


def material_now(name: Any) -> Any:
    """An insulation's name as it is today; other text as it is.

    >>> material_now("rock wool, loose"), material_now("EPS")
    ('blown mineral wool', 'EPS')
    """
    return FORMER_NAMES.get(name, name) if isinstance(name, str) else name


CAREFUL = MATERIALS["cellulose, loose"].low
"""R per inch where nothing else is said: the careful end of loose cellulose."""

USUAL_R = 38.0
"""The R that is looked at where none is required."""


def material_by_name(material: str) -> Material:
    """An insulation by its name.  InputError for one not known here."""
    problems: list[str] = []
    material = material_now(material)
    read_word("Insulation", material, tuple(MATERIALS), problems)
    stop_on(problems)
    return MATERIALS[material]


# --- heights ---------------------------------------------------------------------------------------------------------


def clear_height(
    heel: Number,
    slope: Number,
    inward: Number = 0.0,
    air: Number = LEAST_AIR,
    ceiling: Number = 0.0,
    start: Number = 0.0,
) -> Number:
    """Plumb height for insulation ``inward`` in from the outside face, heel + m x - air k(m) - c max(x - start, 0), in.

    ``ceiling`` is the slope of the ceiling line, which leaves the plate ``start`` in from the outside face.  A flat
    ceiling lies level with the plate.

    >>> float(clear_height(10, 0.75, 4))
    11.75
    """
    under = ceiling * np.maximum(inward - start, 0.0)
    return heel + slope * inward - geo.plumb_depth(air, slope) - under


def heel_for(height: Number, slope: Number, air: Number = LEAST_AIR) -> Number:
    """Heel that leaves a height for insulation at the outside face, height + air k(m), in.

    >>> float(heel_for(10, 0.75))
    11.25
    """
    return height + geo.plumb_depth(air, slope)


def r_value(height: Number, per_inch: Number) -> Number:
    """R of a height of insulation; 0 where there is none.

    >>> float(r_value(10, 3.7))
    37.0
    """
    return np.maximum(height, 0.0) * per_inch


def height_for(r: Number, per_inch: Number) -> Number:
    """Height that an R wants, in."""
    return r / per_inch


HEIGHTS: tuple[Reading, ...] = (
    Reading(
        "clear_outside", "For insulation at the outside face", "in", "warmth", "heel − air·k(m)",
        lambda heel, m, air: clear_height(heel, m, 0.0, air), "heel m air",
    ),
    Reading(
        "clear_inside", "For insulation at the inside face", "in", "warmth",
        "heel + m·bearing − air·k(m)[ − c·past]",
        lambda heel, m, bearing, air, c, past: clear_height(heel, m, bearing, air, c, bearing - past),
        "heel m bearing air c past",
    ),
    Reading(
        "r_outside", "R at the outside face", "R", "warmth", "max(clear_outside, 0)·per_inch", r_value,
        "clear_outside per_inch",
    ),
    Reading(
        "r_inside", "R at the inside face", "R", "warmth", "max(clear_inside, 0)·per_inch", r_value,
        "clear_inside per_inch",
    ),
    Reading(
        "heel_wanted", "Heel for the wanted R", "in", "warmth", "r_wanted ÷ per_inch + air·k(m)",
        lambda r, per, m, air: heel_for(height_for(r, per), m, air), "r_wanted per_inch m air",
    ),
)  # fmt: skip
"""Readings over one plate, each from those above it."""


class OverPlate(NamedTuple):
    """What stands over one plate: the values by name, and a reading with its reasoning by ``reading(name)``."""

    values: Symbols

    def reading(self, name: str) -> Reasoning:
        """One of ``HEIGHTS`` with its reasoning.  InputError for another name."""
        return find_row(HEIGHTS, name, "Reading over the plate").work(self.values)


def over_plate(
    bay: Bay, r_wanted: Amount = USUAL_R, per_inch: Amount = CAREFUL, air: Amount = LEAST_AIR, end: str = "left"
) -> OverPlate:
    """Heights and R over one plate of either bay; a rafter bay has a flat ceiling on its plates.

    >>> from rooflab import Gable
    >>> made = over_plate(ScissorBay(Gable("24'", 9, "7 1/4"), 4.5, 16), air=1)
    >>> made.values["clear_outside"], made.values["heel_wanted"] > 11.5
    (14.75, True)
    """
    must_be(bay, Bay, "Bay")
    wanted, per, space = read_quantities(r_value=r_wanted, per_inch=per_inch, air=air)
    common = bay.symbols(end)
    values = {name: common[name] for name in ("heel", "m", "bearing")} | {"c": common.get("c", 0.0)}
    values["past"] = common["bearing"] - common.get("start", common["bearing"])  # of the bearing under the ceiling line
    values |= {"air": space, "per_inch": per, "r_wanted": wanted}
    return OverPlate(Rows(HEIGHTS, values).all)


def full_from(bay: Bay, height: float, air: Amount = LEAST_AIR, end: str = "left") -> float | None:
    """How far in from the outside face the space first has ``height`` (in), or None if it never has, in.

    >>> from rooflab import Gable
    >>> full_from(ScissorBay(Gable("24'", 9, "7 1/4"), 4.5, "8 3/4"), 13.5)  # 8.75 - 1.25 + 0.75 x 7.25 + 0.375 x 1.5
    8.75
    """
    (space,) = read_quantities(air=air)
    must_be(bay, Bay, "Bay")
    v, one = bay.symbols(end), getattr(bay, end)
    far, start = (min(one.run, one.apex), one.start) if isinstance(bay, ScissorBay) else (one.run, one.run)
    short = float(height) - float(clear_height(v["heel"], v["m"], 0.0, space))
    x = max(short, 0.0) / v["m"]
    if x > start:  # past where the ceiling leaves the plate the space opens more slowly
        opens = v["m"] - v.get("c", 0.0)
        x = start + (short - v["m"] * start) / opens if opens > 0 else np.inf
    return float(x) if x <= far else None


# --- the code's rule -------------------------------------------------------------------------------------------------

FULL_HEIGHT: dict[str, tuple[dict[float, float], str]] = {
    **dict.fromkeys(("2012", "2015", "2018"), ({38.0: 30.0, 49.0: 38.0}, "IRC N1102.2.1")),
    "2024": ({38.0: 30.0, 49.0: 38.0}, f"IRC N1102.2.1, {FROM_MEMORY}"),
    "2021": ({49.0: 38.0, 60.0: 49.0}, f"IRC N1102.2.1, {FROM_MEMORY}"),
}
"""By edition: the R that will do for a required one where it stands full height, uncompressed, over the plate."""


def reduced_r(required: Amount, edition: str = "2018") -> float:
    """The R that will do where insulation keeps full height over the plate; the required one where none is named.

    >>> reduced_r(38, "2018"), reduced_r(49, "2021"), reduced_r(38, "2021")
    (30.0, 38.0, 38.0)
    """
    problems: list[str] = []
    read_word("Code edition", edition, tuple(FULL_HEIGHT), problems)
    (wanted,) = read_quantities(r_value=required)
    stop_on(problems)
    return FULL_HEIGHT[edition][0].get(wanted, wanted)


def holds_over_plate(heel: Number, slope: Number, r: Number, per_inch: Number, air: Number = LEAST_AIR) -> Truth:
    """Whether an R keeps its full height over the whole plate, out to the outside face (IRC N1102.2.1).

    >>> bool(holds_over_plate(12, 8 / 12, 38, 3.7)), bool(holds_over_plate(9, 8 / 12, 38, 3.7))
    (True, False)
    """
    return clear_height(heel, slope, 0.0, air) >= height_for(r, per_inch) - 1e-9


def over_plate_check(
    clear: Number, heel: Number, slope: Number, r: Number, per_inch: Number, air: Number, sloped: bool
) -> LimitCheck:
    """The height over the plate against what an R wants, in; over a ``sloped`` ceiling even full height is asked."""
    full = holds_over_plate(heel, slope, r, per_inch, air)
    return LimitCheck(clear, height_for(r, per_inch), pick(full, ASK if sloped else MEETS, MISSES))


# --- the attic wall --------------------------------------------------------------------------------------------------


def even_gable(ceiling: Number, apex: Number, start: Number) -> Number:
    """Area of the piece under two equal ceiling slopes on level plates, c (apex - start)^2, sq ft; numbers or arrays.

    >>> even_gable(0.5, 150.0, 6.0)
    72.0
    """
    base = apex - start
    return ceiling * base * base / 144


def attic_wall_area(bay: ScissorBay, flat: float = 0.0) -> float:
    """Area between the scissor bay's ceiling lines and a flat ceiling ``flat`` in above the left plate, sq ft.

    The gable-shaped piece of wall at the seam that has the flat-ceiling bay's attic behind it.

    >>> from rooflab import Gable
    >>> attic_wall_area(ScissorBay(Gable("25'", 9, 6), 6, 16))  # 24 ft wide, 6 ft high
    72.0
    """
    must_be(bay, ScissorBay, "Scissor bay")
    return sum(_half_area(end, flat) for end in bay.ends) / 144


def _half_area(end: End, flat: float) -> float:
    assert end.ceiling is not None
    base = end.apex - end.start
    low, high = end.plate - flat, end.ceiling.at(end.wall.inside(end.apex)) - flat
    if high <= 0:
        return 0.0
    if low >= 0:
        return base * (low + high) / 2
    return base * high / (high - low) * high / 2  # the part above the flat ceiling is a triangle


# --- findings --------------------------------------------------------------------------------------------------------


def warmth_findings(
    bay: Bay, r_required: Amount = USUAL_R, per_inch: Amount = CAREFUL, air: Amount = LEAST_AIR, edition: str = "2018"
) -> tuple[Finding, ...]:
    """Insulation over the plate and the air space as findings that join those of ``limits.findings``."""
    must_be(bay, Bay, "Bay")
    found = [*_warmth_rows(bay, r_required, per_inch, air, edition, "left")]
    if not bay.equal_ends:
        rows = _warmth_rows(bay, r_required, per_inch, air, edition, "right")
        found += [f._replace(name=f"{f.name}_right") for f in rows if f.name == "over_plate"]
    return tuple(found)


def _up_to_sixteenth(least: float) -> str:
    """A least length as it is printed: up to the next 1/16 in, for a hair less would not do."""
    return feet_inches(math.ceil(16 * least - 1e-6) / 16)


def _warmth_rows(
    bay: Bay, required: Amount, per_inch: Amount, air: Amount, edition: str, end: str
) -> Iterator[Finding]:
    enough = reduced_r(required, edition)
    v = over_plate(bay, enough, per_inch, air, end).values
    inside, sloped = v["clear_inside"], isinstance(bay, ScissorBay)
    held = over_plate_check(v["clear_outside"], v["heel"], v["m"], enough, v["per_inch"], v["air"], sloped)
    tall, full = float(held.limit), held.verdict != MISSES
    way = full_from(bay, tall, v["air"], end)
    reach = "nowhere along the slope" if way is None else f"from {feet_inches(way)} in"
    asks = held.verdict == ASK
    yield Finding(
        "over_plate",
        v["clear_outside"],
        tall,
        VERDICTS[int(held.verdict)],
        FULL_HEIGHT[edition][1] + f" ({edition})",
        f"{bay.kind.capitalize()} bay: over the plate stand {feet_inches(v['clear_outside'])} at the outside face, "
        f"{feet_inches(inside)} at the inside, for insulation, R-{v['r_outside']:.0f} and R-{v['r_inside']:.0f}; "
        f"R-{enough:.0f} wants {_up_to_sixteenth(tall)}"
        + (", full height." if full else f", reached {reach}.")
        + (" Ask whether the space over a sloped ceiling counts as an attic." if asks else ""),
        f"A heel of {_up_to_sixteenth(v['heel_wanted'])} holds R-{enough:.0f} full height; or use more R per inch, "
        f"or meet R-{float(required):.0f} in full.",
    )
    yield Finding(
        "air_space",
        v["air"],
        LEAST_AIR,
        VERDICTS[int(at_least(v["air"], LEAST_AIR).verdict)],
        "IRC R806.3",
        f'The air space under the sheathing is {feet_inches(v["air"])}; at least 1" is wanted.',
        "Use a baffle that keeps it open.",
    )
    yield Finding("wind_wash", "", "", "ask", "common practice, no source", WIND_WASH, "Show the block at the eave.")
    path = VENT_PATHS["rafter" if isinstance(bay, RafterBay) else "scissor"]
    yield Finding("vent_path", "", "", "ask", "IRC R806", f"{path} {SEAM_AIR}", "Show each bay's inlet and outlet.")
