"""What a job says of its trusses' design: the rows of code, loads, movement, bracing and tail, in their groups.

Each is an ``Input``: a number in its unit, one of some choices, or words.  What a job leaves open stays open: nothing
here has a value that stands in.
"""

from __future__ import annotations

from rooflab.base.inputs import Input
from rooflab.base.jsonfile import Json, json_text, text_problem
from rooflab.checks.assumptions import number_problems
from rooflab.checks.grades import PLATES, QUANTITIES, number_range

LONGEST = 200  # letters of a word's box
SLIDES = ("may slide", "held")  # what a bearing does sideways
TAILS = ("plumb", "square")  # cuts of a tail
ASKED = ("yes", "no")


def _words(name: str, label: str, choices: tuple[str, ...] = ()) -> Input:
    return Input(name, label, "choice" if choices else "words", 0, 0, choices=choices)


GROUPS: dict[str, tuple[Input, ...]] = {
    "Code": (
        _words("code", "Code and edition"),
        _words("jurisdiction", "Jurisdiction"),
        _words("risk_category", "Risk category", ("I", "II", "III", "IV")),
        _words("seismic_category", "Seismic design category", ("A", "B", "C", "D0", "D1", "D2", "D", "E", "F")),
    ),
    "Snow": (
        QUANTITIES["ground_snow"]._replace(label="Ground snow load pg", unit="psf"),
        QUANTITIES["exposure"]._replace(name="snow_exposure", label="Snow exposure factor Ce"),
        QUANTITIES["thermal"]._replace(label="Thermal factor Ct"),
        _words("unbalanced", "Unbalanced and drifting snow"),
    ),
    "Wind": (
        number_range("wind_speed", "Basic wind speed Vult", "mph", 0, 250),
        _words("exposure", "Wind exposure"),
        _words("enclosure", "Enclosure", ("enclosed", "partially enclosed", "partially open", "open")),
        number_range("roof_height", "Mean roof height", "ft", 0, 200),
    ),
    "Loads on the chords": (
        number_range("top_live", "Top chord live or roof snow (TCLL)", "psf", 0, 300),
        number_range("top_dead", "Top chord dead (TCDL)", "psf", 0, 60),
        number_range("bottom_live", "Bottom chord live (BCLL)", "psf", 0, 60),
        number_range("bottom_dead", "Bottom chord dead (BCDL)", "psf", 0, 60),
        _words("carried", "Fans, lights, ducts, solar, storage"),
    ),
    "Movement": (
        number_range("deflection_live", "Live load deflection limit, L over", "", 120, 2000),
        number_range("deflection_total", "Total load deflection limit, L over", "", 120, 2000),
        number_range("deflection_seam", "First truss at the seam, live load deflection limit, L over", "", 120, 4000),
        number_range("movement", "Horizontal movement allowed at a bearing", "in", 0, 4),
        _words("left_bearing", "Left bearing, horizontally", SLIDES),
        _words("right_bearing", "Right bearing, horizontally", SLIDES),
    ),
    "Bearing and bracing": (
        _words("plate_species", "Species of the wall plates", tuple(PLATES)),
        _words("top_bracing", "Roof sheathing as bracing of the top chord"),
        _words("bottom_bracing", "Ceiling as bracing of the bottom chord"),
        _words("heel_blocking", "Heel blocking by"),
    ),
    "Tail and eave": (
        _words("tail_cut", "Tail cut", TAILS),
        _words("subfascia", "Subfascia"),
        _words("fascia", "Fascia"),
        _words("soffit", "Soffit"),
    ),
    "Gable end": (
        _words("ladder", "Gable ladder (outlookers) by"),
        _words("ladder_spacing", "Outlookers, on center"),
        _words("gable_studs", "Studs in the gable end truss"),
        _words("gable_sheathing", "Gable end sheathing by"),
    ),
    "Drawings": (
        _words("sealed", "Sealed truss drawings asked for", ASKED),
        _words("placement", "Truss placement diagram asked for", ASKED),
    ),
}
"""The rows of a job's design criteria under their headings."""

LOADS: dict[str, Input] = {row.name: row for rows in GROUPS.values() for row in rows}
"""The rows of all groups, by name."""


def criterion_problem(name: str, value: Json) -> list[str]:
    """Sentences on what is wrong with a value of a row: none, or one."""
    row = LOADS[name]
    if row.kind == "number":
        return number_problems(row, value)
    if row.kind == "words":
        return [said] if (said := text_problem(value, LONGEST)) else []
    if isinstance(value, str) and value in row.choices:
        return []
    return [f"{row.label} {json_text(value)}: allowed is {', '.join(row.choices)}."]
