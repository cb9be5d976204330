"""Design values of lumber, and the ranges in which numbers about strength and warmth make sense.

Only the published rows named here are known; other species and grades are the engineer's.  Every row carries its
source; what is written from memory says so and is a reminder to look it up, never an authority.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rooflab.base.geometry import Number
from rooflab.base.inputs import Input, read_word
from rooflab.base.lumber import WIDTHS, dressed_size
from rooflab.base.measure import InputError, InputValue

TABLE_4A = "NDS 2018 Supplement Table 4A"
TABLE_4B = "NDS 2018 Supplement Table 4B"
FROM_MEMORY = "from memory: verify"

Amount = float | str
"""A quantity as people give it: a number in the unit of its row in ``QUANTITIES``, or text that says one."""


def number_range(name: str, label: str, unit: str, low: float, high: float, hint: str = "") -> Input:
    """The range of a number that people type in a unit; ``hint`` is for one who missed it."""
    return Input(name, label, "number", low, high, unit=unit, hint=hint)


PSI = "Stresses and E are in psi: 1.6 million psi is written 1600000."
CHECK = "Check the unit and the official figure."

QUANTITIES: dict[str, Input] = {
    row.name: row
    for row in (
        number_range("dead", "Dead load on the slope", "psf", 0, 60, CHECK),
        number_range("live", "Roof live load", "psf", 0, 100, CHECK),
        number_range("ground_snow", "Ground snow load", "psf", 0, 300, CHECK),
        number_range("snow", "Roof snow load", "psf", 0, 300, CHECK),
        number_range("exposure", "Exposure factor Ce", "", 0.7, 1.2),
        number_range("thermal", "Thermal factor Ct", "", 0.85, 1.3),
        number_range("importance", "Importance factor Is", "", 0.8, 1.2),
        number_range("spacing", "Spacing", "in", 4, 72),
        number_range("limit", "Deflection limit: span over", "", 120, 720),
        number_range("Fb", "Bending value Fb", "psi", 200, 4000, PSI),
        number_range("Fv", "Shear value Fv", "psi", 50, 500, PSI),
        number_range("Fp", "Bearing value Fc perpendicular", "psi", 100, 1500, PSI),
        number_range("E", "Modulus of elasticity E", "psi", 400_000, 3_000_000, PSI),
        number_range("area", "Area of a member", "in²", 0.5, 500),
        number_range("nail", "Load one nail carries", "lb", 20, 500),
        number_range("slip", "Slip of the heel joint", "in", 0, 1),
        number_range("joint_load", "Load at a joint", "lb", 10, 5000),
        number_range("air", "Air space over the insulation", "in", 0, 6),
        number_range("r_value", "Wanted R-value", "", 1, 120, "R is in sq ft·h·°F/Btu."),
        number_range("per_inch", "R per inch", "", 1, 8, "R is in sq ft·h·°F/Btu."),
    )
}


def read_quantities(problems: list[str] | None = None, **values: object) -> tuple[float, ...]:
    """The values read by their rows of ``QUANTITIES``; InputError with every problem at once.

    >>> read_quantities(live="20", spacing="16 in")
    (20.0, 16.0)
    """
    found: list[str] = [] if problems is None else problems
    read = tuple(QUANTITIES[name].read(value, found) for name, value in values.items())
    if found and problems is None:
        raise InputError(found)
    return read


# --- grades ----------------------------------------------------------------------------------------------------------


class Grade(NamedTuple):
    """Reference design values of a species and grade, psi: bending Fb, tension Ft, shear Fv, bearing perpendicular to
    the grain Fp, compression Fc and E.  ``by_width`` holds Fb by dressed depth (in) where the table has the size in
    it, and is empty where CF still applies.  Ft and Fc are nan where they are not held here.
    """

    name: str
    species: str
    Fb: float
    Ft: float
    Fv: float
    Fp: float
    Fc: float
    E: float
    source: str
    by_width: tuple[tuple[float, float], ...] = ()


def _table_4a_rows(mark: str, species: str, *rows: tuple[str, float, float, float, float, float, float]) -> list[Grade]:
    return [Grade(f"{mark} {grade}", species, fb, ft, fv, fp, fc, e, TABLE_4A) for grade, fb, ft, fv, fp, fc, e in rows]


SOUTHERN = ((3.5, 1100.0), (5.5, 1000.0), (7.25, 925.0), (9.25, 800.0), (11.25, 750.0))

GRADES: dict[str, Grade] = {
    grade.name: grade
    for grade in (
        *_table_4a_rows(
            "DFL", "Douglas fir-larch",
            ("SS", 1500, 1000, 180, 625, 1700, 1.9e6),
            ("No.1", 1000, 675, 180, 625, 1500, 1.7e6),
            ("No.2", 900, 575, 180, 625, 1350, 1.6e6),
        ),
        *_table_4a_rows(
            "HF", "Hem-fir",
            ("SS", 1400, 925, 150, 405, 1500, 1.6e6),
            ("No.1", 975, 625, 150, 405, 1350, 1.5e6),
            ("No.2", 850, 525, 150, 405, 1300, 1.3e6),
        ),
        *_table_4a_rows(
            "SPF", "Spruce-pine-fir",
            ("SS", 1250, 700, 135, 425, 1400, 1.5e6),
            ("No.1/No.2", 875, 450, 135, 425, 1150, 1.4e6),
        ),
        Grade("SP No.2", "Southern pine", 750, math.nan, 175, 565, math.nan, 1.4e6, TABLE_4B, SOUTHERN),
    )
}  # fmt: skip
"""Species and grades known here, psi: NDS 2018 Supplement Tables 4A and 4B (single rows; the tables hold many more)."""


def grade_by_name(grade: str | Grade) -> Grade:
    """A grade by its name, or one of your own passed through.  InputError for a name not known here.

    >>> grade_by_name("DFL No.2").Fb
    900
    """
    if isinstance(grade, Grade):
        return grade
    if not isinstance(grade, str) or grade not in GRADES:
        raise InputValue(grade, "Grade", "", "").refusal(
            f"is not known here; known are {', '.join(GRADES)}, or own_grade"
        )
    return GRADES[grade]


def own_grade(name: str, Fb: Amount, Fv: Amount, Fp: Amount, E: Amount, source: str = "given by the user") -> Grade:
    """A grade from the user's own values, psi, taken at their word with the size factor still to apply.

    >>> own_grade("local larch", 900, 180, 625, 1600000).E
    1600000.0
    """
    fb, fv, fp, e = read_quantities(Fb=Fb, Fv=Fv, Fp=Fp, E=E)
    return Grade(str(name), str(name), fb, math.nan, fv, fp, math.nan, e, source)


# --- factors ---------------------------------------------------------------------------------------------------------

DEPTHS = np.array(sorted(WIDTHS.values()))
SIZE_FACTORS: dict[str, float] = {"2x4": 1.5, "2x6": 1.3, "2x8": 1.2, "2x10": 1.1, "2x12": 1.0}
"""CF for bending, for Select Structural to No.2 2x lumber.  Source: NDS 2018 Supplement Table 4A."""

REPETITIVE = 1.15
"""Cr: three or more members no more than 24" o.c., joined by sheathing.  Source: NDS 2018, Supplement Table 4A."""

REPETITIVE_SPACING = 24.0
"""Widest spacing at which Cr holds, in.  Source: NDS 2018 4.3.9."""

DURATION: dict[str, float] = {"dead": 0.9, "occupancy": 1.0, "snow": 1.15, "roof live": 1.25, "wind": 1.6}
"""CD, load duration, by the shortest load of the combination (from memory: verify in NDS 2018 Table 2.3.2)."""

CREEP = 1.5
"""Kcr: long-term deflection of seasoned lumber under lasting load (from memory: verify in NDS 2018 3.5.2)."""


def size_factor(grade: str | Grade, depth: Number) -> Number:
    """CF for bending by dressed depth, in (numbers or arrays); 1 for a grade whose table has the size in it.

    Depths between two sizes take the deeper one's; beyond a 2x12 there is none here (nan).

    >>> float(size_factor("DFL No.2", 7.25)), float(size_factor("SP No.2", 7.25))
    (1.2, 1.0)
    """
    sizes = grade_by_name(grade).by_width
    return _by_depth(depth, np.ones(len(DEPTHS)) if sizes else np.array([*SIZE_FACTORS.values()]))


def bending_value(grade: str | Grade, depth: Number) -> Number:
    """Fb before factors, psi, by dressed depth, in; numbers or arrays, nan beyond a 2x12."""
    row = grade_by_name(grade)
    return _by_depth(depth, np.array([fb for _, fb in row.by_width] or [row.Fb] * len(DEPTHS)))


def repetitive(spacing: Number) -> Number:
    """Cr: 1.15 up to 24 in of spacing, else 1 (numbers or arrays).  Source: NDS 2018 4.3.9."""
    return np.where(np.asarray(spacing) <= REPETITIVE_SPACING + 1e-9, REPETITIVE, 1.0)


def _by_depth(depth: Number, values: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.append(values, math.nan)[np.searchsorted(DEPTHS, np.asarray(depth) - 1e-9)]


PLATES: dict[str, float] = {"SPF": 425.0, "HF": 405.0, "SP": 565.0, "DFL": 625.0}
"""Fc perpendicular of a wall plate by its species, psi.  Source: NDS 2018 Supplement Tables 4A and 4B."""

SOFTEST_PLATE = min(PLATES, key=lambda name: PLATES[name])
"""The species taken where none is named."""


def plate_value(plate: str = "") -> float:
    """Fc perpendicular of a plate, psi; the softest species' where none is named.  InputError for an unknown name.

    >>> plate_value("SPF"), plate_value()
    (425.0, 405.0)
    """
    problems: list[str] = []
    read_word("Plate's species", plate or SOFTEST_PLATE, tuple(PLATES), problems)
    if problems:
        raise InputError(problems)
    return PLATES[plate or SOFTEST_PLATE]


def bearing_value(grade: Grade, plate: str = "") -> float:
    """Fc perpendicular at the seat, psi: the lower of the rafter's and the plate's, both loaded across their grain.

    >>> bearing_value(grade_by_name("DFL No.2"), "SPF"), bearing_value(grade_by_name("HF No.2"), "DFL")
    (425.0, 405)
    """
    return min(grade.Fp, plate_value(plate))


def bearing_words(grade: Grade, plate: str = "") -> str:
    """Which of rafter and plate bears less, in words."""
    named = f"the plate ({plate})" if plate else f"the plate ({SOFTEST_PLATE}, the softest, as none is named)"
    low = "plate" if plate_value(plate) < grade.Fp else "rafter"
    return (
        f"Across its grain {named} bears {plate_value(plate):g} psi and the rafter {grade.Fp:g}: the {low} decides."
    )


def is_graded(thickness: float, depth: float) -> bool:
    """Whether a piece has the dressed size of a 2x4 to 2x12, so that the tables hold for it.

    >>> is_graded(1.5, 9.25), is_graded(1.75, 11.875), is_graded(1.5, 9.0)
    (True, False, False)
    """
    return any(dressed_size(size) == (thickness, depth) for size in SIZE_FACTORS)
