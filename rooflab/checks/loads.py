"""Loads of a roof: dead by parts, roof live by slope, snow from the ground to the roof, and their combinations.

The local code's official figures come first; what this module fills in by itself names its source, and says where that
is from memory.  Left out: wind and uplift, drifted and sliding snow, unbalanced snow on long slopes, rain on snow,
hung loads.

Units: psf, dead on the slope, roof live and snow on the horizontal projection; slopes are rise over run.  Functions
take numbers or arrays.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from rooflab.base import geometry as geo
from rooflab.base.geometry import Number
from rooflab.base.inputs import must_be, read_word, stop_on
from rooflab.house.planes import set_fields

from .grades import DURATION, FROM_MEMORY, QUANTITIES

EARLY_CHECK = "An early check for discussion: it is not a design and approves nothing."
WHO_DECIDES = (
    "The engineer, the building official and, for trusses, the manufacturer decide; the local code's own loads come "
    "first."
)
CAUTION = f"{EARLY_CHECK} {WHO_DECIDES}"

# --- dead load -------------------------------------------------------------------------------------------------------


class Part(NamedTuple):
    """One layer of a roof: its weight on the slope, psf, and where that comes from."""

    name: str
    weight: float
    source: str


PARTS: dict[str, Part] = {
    part.name: part
    for part in (
        Part("asphalt shingles", 3.0, f"RSDG Table 3.2, {FROM_MEMORY}"),
        Part("second layer of shingles", 3.0, f"RSDG Table 3.2, {FROM_MEMORY}"),
        Part("metal roofing", 1.5, f"common practice, {FROM_MEMORY}"),
        Part("clay or concrete tile", 10.0, f"light end, clay to 19, {FROM_MEMORY}"),
        Part("wood sheathing, 1/2 in", 1.6, f"ASCE 7 Table C3.1, {FROM_MEMORY}"),
        Part("gypsum board, 1/2 in", 2.2, f"ASCE 7 Table C3.1, {FROM_MEMORY}"),
        Part("gypsum board, 5/8 in", 2.75, f"ASCE 7 Table C3.1, {FROM_MEMORY}"),
        Part("insulation, 12 in light fill", 1.0, f"common practice, {FROM_MEMORY}"),
    )
}

ROOF_TOTALS: dict[str, Part] = {
    "asphalt shingles": Part("asphalt shingles, sheathing, framing, 1/2 in gypsum", 15.0, "RSDG Table 3.2"),
}
"""Whole roofs with framing and a reserve, psf on the slope: more than the sum of the parts one can name."""

DENSITY = 35.0
"""Weight of dry softwood framing, pcf (common practice, from memory: verify)."""


def framing_weight(thickness: Number, depth: Number, spacing: Number) -> Number:
    """Weight of the rafters themselves, psf on the slope: b D density / (12 spacing).

    >>> round(float(framing_weight(1.5, 9.25, 24)), 2)
    1.69
    """
    return thickness * depth * DENSITY / (12 * spacing)


def dead_load(*parts: str, framing: float = 0.0) -> float:
    """Dead load on the slope, psf, by the names of ``PARTS`` plus the framing.  InputError for another name.

    >>> round(dead_load("asphalt shingles", "wood sheathing, 1/2 in", framing=1.7), 2)
    6.3
    """
    problems: list[str] = []
    for part in parts:
        read_word("Part of the roof", part, tuple(PARTS), problems)
    stop_on(problems)
    return sum(PARTS[part].weight for part in parts) + framing


# --- live and snow ---------------------------------------------------------------------------------------------------

LIVE_SOURCE = f"IRC R301.6, {FROM_MEMORY}"
EDITIONS = ("ASCE 7-05", "ASCE 7-10", "ASCE 7-16", "ASCE 7-22")
ASK_SNOW = "ask the engineer. Drifts at steps and walls are left out."
NO_GROUND_SNOW = (
    "Only a roof snow is given: snow on one side of the ridge and minimum snow want the ground snow, and are not "
    f"worked out; {ASK_SNOW}"
)
SNOW_REMARK = (
    "ASCE 7-22 has no importance factor and another ground snow load, by risk category and for strength design: its pg "
    "does not go into the older formula."
)


def roof_live(slope: Number) -> Number:
    """Roof live load on the projection, psf: 20 below 4 in 12, 16 below 12 in 12, 12 from there.

    Source: IRC R301.6, from memory: verify.

    >>> [float(roof_live(p / 12)) for p in (3, 4, 12)]
    [20.0, 16.0, 12.0]
    """
    rise = 12 * np.asarray(slope) + 1e-9
    return np.where(rise < 4, 20.0, np.where(rise < 12, 16.0, 12.0))


def flat_roof_snow(ground: Number, exposure: Number = 1.0, thermal: Number = 1.1, importance: Number = 1.0) -> Number:
    """Flat roof snow pf = 0.7 Ce Ct Is pg, psf on the projection (ASCE 7-05 to 7-16; not 7-22).

    >>> round(flat_roof_snow(50), 2)
    38.5
    """
    return 0.7 * exposure * thermal * importance * ground


def slope_factor(slope: Number, thermal: Number = 1.1, slippery: bool = False) -> Number:
    """Cs, by which a slope sheds snow: 1 up to an angle that depends on Ct, then straight down to 0 at 70 degrees.

    The angle is 5, 10, 15 degrees (slippery, unobstructed) or 30, 37.5, 45 for Ct up to 1.0, 1.1, above (ASCE 7-05 and
    7-10 fig. 7-2, ASCE 7-16 fig. 7.4-1, from memory: verify).

    >>> float(slope_factor(8 / 12))
    1.0
    """
    angle, ct = np.degrees(np.arctan(slope)), np.asarray(thermal)
    level, step = (5.0, 5.0) if slippery else (30.0, 7.5)
    start = level + step * np.where(ct <= 1.0, 0, np.where(ct <= 1.1 + 1e-9, 1, 2))
    return np.clip((70 - angle) / (70 - start), 0, 1)


FLATTEST_UNBALANCED = 0.5 / 12
"""Slope from which a gable's snow may lie on one side alone (ASCE 7 7.6.1)."""

STEEPEST_UNBALANCED: dict[str, float] = {
    "ASCE 7-05": math.tan(math.radians(70)), **dict.fromkeys(("ASCE 7-10", "ASCE 7-16"), 7 / 12),
}  # fmt: skip
"""Slope up to which it may: 7 in 12, in ASCE 7-05 70 degrees (7.6.1; the older edition from memory: verify)."""

LONGEST_UNBALANCED = 240.0
"""Level reach from eave to ridge up to which the whole ground snow lies on one side, in (ASCE 7 7.6.1)."""

MINIMUM_BELOW = 2 - math.sqrt(3)
"""Slope of 15 degrees, below which a gable carries the minimum snow (ASCE 7-05 to 7-16 7.3.4, from memory: verify)."""

MINIMUM_GROUND = 20.0
"""Ground snow, psf, beyond which the minimum snow grows no more (ASCE 7-05 to 7-16 7.3.4, from memory: verify)."""


def unbalanced_snow(ground: Number, slope: Number, reach: Number = 0.0, importance: Number = 1.0,
                    edition: str = "ASCE 7-16") -> Number:  # fmt: skip
    """Snow on one side of a gable, none on the other, psf on the projection: Is pg; 0 where none is worked out.

    It holds for simple rafters from 1/2 to 7 in 12 whose level ``reach`` from eave to ridge (in) is up to 20 ft (ASCE 7
    7.6.1; that it is Is pg is from memory: verify).  A longer slope is the engineer's.

    >>> [float(unbalanced_snow(30, m / 12)) for m in (0.25, 6, 8)], float(unbalanced_snow(30, 0.5, 260))
    ([0.0, 30.0, 0.0], 0.0)
    """
    return np.where(np.asarray(reach) <= LONGEST_UNBALANCED + 1e-9, importance * ground, 0.0) * drifts_over(
        slope, edition
    )


def drifts_over(slope: Number, edition: str = "ASCE 7-16") -> NDArray[np.bool_]:
    """Whether snow may lie on one side alone at a slope (ASCE 7 7.6.1); in ASCE 7-22 nothing is worked out here."""
    steep = STEEPEST_UNBALANCED.get(edition, -1.0)
    return (np.asarray(slope) >= FLATTEST_UNBALANCED - 1e-9) & (np.asarray(slope) <= steep + 1e-9)


def minimum_snow(ground: Number, slope: Number, importance: Number = 1.0) -> Number:
    """Minimum snow of a gable below 15 degrees, psf on the projection: Is pg up to pg 20, then 20 Is; else 0.

    Source: ASCE 7-05 to 7-16 7.3.4, from memory: verify.

    >>> [float(minimum_snow(pg, 3 / 12)) for pg in (15, 50)], float(minimum_snow(50, 4 / 12))
    ([15.0, 20.0], 0.0)
    """
    low = np.asarray(slope) < MINIMUM_BELOW - 1e-9
    return np.where(low, importance * np.minimum(ground, MINIMUM_GROUND), 0.0)


class Case(NamedTuple):
    """A load combination: its CD, the dead load on the slope and the live load or snow on the projection, psf.

    With ``one_side`` the snow lies on one side of the ridge and none on the other.
    """

    name: str
    duration: float
    dead: float
    live: Any
    one_side: bool = False


@dataclass(frozen=True)
class Loads:
    """Loads of a roof, psf: the local code's official figures come first.

    ``dead`` lies on the slope; ``live`` on the projection (None: by slope, IRC R301.6 from memory); ``snow`` is the
    roof snow on the projection (None: Cs pf from ``ground_snow``, Ce, Ct and Is by ``edition``).  InputError with
    every problem at once; ASCE 7-22 wants the roof snow itself.  From ``ground_snow`` also come snow on one side of the
    ridge and the minimum snow of a low slope.

    >>> [(case.name, case.duration, round(case.live, 2)) for case in Loads(10, ground_snow=30).cases(8 / 12)]
    [('dead', 0.9, 0.0), ('dead + roof live', 1.25, 16.0), ('dead + snow', 1.15, 23.1)]
    """

    dead: float = 15.0
    live: float | None = None
    ground_snow: float = 0.0
    snow: float | None = None
    exposure: float = 1.0
    thermal: float = 1.1
    importance: float = 1.0
    slippery: bool = False
    edition: str = "ASCE 7-16"

    def __post_init__(self) -> None:
        problems: list[str] = []
        for one in fields(self):
            value = getattr(self, one.name)
            if one.name in QUANTITIES and value is not None:
                set_fields(self, **{one.name: QUANTITIES[one.name].read(value, problems)})
        read_word("Edition", self.edition, EDITIONS, problems)
        if self.edition == "ASCE 7-22" and self.snow is None and self.ground_snow:
            problems.append(
                f"Roof snow load: nothing is given; with ASCE 7-22 give the roof snow itself. {SNOW_REMARK}"
            )
        if (self.dead, self.live) == (0, 0) and not self.snow and not self.ground_snow:
            problems.append("Loads: dead, roof live and snow are all 0; something to carry is wanted.")
        stop_on(problems)
        must_be(self.slippery, bool, "Slippery roof")

    def live_at(self, slope: Number) -> Number:
        """Roof live load at a slope, psf on the projection."""
        return roof_live(slope) if self.live is None else self.live

    def snow_at(self, slope: Number) -> Number:
        """Roof snow at a slope, psf on the projection."""
        if self.snow is not None:
            return self.snow
        flat = flat_roof_snow(self.ground_snow, self.exposure, self.thermal, self.importance)
        return flat * slope_factor(slope, self.thermal, self.slippery)

    @property
    def drift_ground(self) -> float:
        """Ground snow, psf, from which snow on one side and minimum snow come: 0 where ASCE 7-22 is named."""
        return 0.0 if self.edition == "ASCE 7-22" else self.ground_snow

    def every_case(self, slope: Number, reach: Number = 0.0, snow: Number | None = None) -> tuple[Case, ...]:
        """Every load combination; one that does not hold at a slope stands there without snow.  Numbers or arrays.

        ``reach`` is level from eave to ridge, in; ``snow`` the roof snow where it is at hand.
        """
        ground, cold = self.drift_ground, DURATION["snow"]
        one_side = unbalanced_snow(ground, slope, reach, self.importance, self.edition)
        return (
            Case("dead", DURATION["dead"], self.dead, 0.0),
            Case("dead + roof live", DURATION["roof live"], self.dead, self.live_at(slope)),
            Case("dead + snow", cold, self.dead, self.snow_at(slope) if snow is None else snow),
            Case("dead + snow on one side", cold, self.dead, one_side, True),
            Case("dead + minimum snow", cold, self.dead, minimum_snow(ground, slope, self.importance)),
        )

    def cases(self, slope: float, reach: float = 0.0) -> tuple[Case, ...]:
        """Dead alone, D + Lr and D + S, each with its own load duration (ASCE 7 2.4, NDS Table 2.3.2 from memory).

        Where ground snow is given, snow on one side and minimum snow too, if they hold at this slope.
        """
        every = [case._replace(live=float(case.live)) for case in self.every_case(slope, reach)]
        return (*every[:3], *(case for case in every[3:] if case.live))

    def both_sides(self, slope: float) -> tuple[Case, ...]:
        """The combinations that load both sides of the ridge alike."""
        return tuple(case for case in self.cases(slope) if not case.one_side)

    def most(self, slope: float) -> float:
        """Largest total on both sides, psf on the projection: dead k(m) with the larger of live and snow."""
        return max(float(on_plan(case.dead, slope)) + case.live for case in self.both_sides(slope))

    def snow_note(self, slope: float, reach: float = 0.0) -> str:
        """What is taken for snow on one side of the ridge and for the minimum snow, and what is not, in words."""
        if not self.ground_snow:
            return NO_GROUND_SNOW if self.snow else ""
        if not self.drift_ground:
            return f"Snow on one side of the ridge and minimum snow are not worked out with {self.edition}: {ASK_SNOW}"
        lines, pg = [], self.ground_snow
        section = f"{self.edition} 7.6.1"
        if not drifts_over(slope, self.edition):
            lines.append(f"Snow on one side of the ridge is not asked for at this slope ({section}).")
        elif reach > LONGEST_UNBALANCED + 1e-9:
            lines.append(
                f"From eave to ridge it is more than 20 ft: snow drifted over the ridge is the engineer's ({section}), "
                "and it is not worked out here."
            )
        else:
            lines.append(
                f"Snow on one side: {float(unbalanced_snow(pg, slope, reach, self.importance, self.edition)):.1f} "
                f"psf, none on the other ({section}; Is·pg {FROM_MEMORY})."
            )
        if least := float(minimum_snow(pg, slope, self.importance)):
            lines.append(f"Minimum snow {least:.1f} psf ({self.edition} 7.3.4, {FROM_MEMORY}).")
        return " ".join(lines)

    def sentence(self, slope: float) -> str:
        """The loads in words, as a sheet prints them."""
        live = f"{float(self.live_at(slope)):.1f} psf" + (f" ({LIVE_SOURCE})" if self.live is None else " (given)")
        how = "given" if self.snow is not None else f"{self.edition}, ground {self.ground_snow:g} psf"
        return (
            f"Dead {self.dead:g} psf on the slope, {float(on_plan(self.dead, slope)):.1f} on the projection; "
            f"roof live {live} and roof snow {float(self.snow_at(slope)):.1f} psf ({how}) on the projection."
        )


def on_plan(load: Number, slope: Number) -> Number:
    """A load lying on the slope, per area of horizontal projection: load k(m), psf.

    >>> float(on_plan(12, 5 / 12))
    13.0
    """
    return load * geo.stretch(slope)
