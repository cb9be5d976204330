"""The early checks of both bays together: what they take for loads, lumber and insulation, and what they find.

What a job does not say is assumed plainly and said: dead 15 psf, roof live by slope, no snow, DFL No.2 at 16 in, a
tie on the plates, R-38 of loose cellulose (R-3.1 an inch) looked at but not held against the house.  The engineer, the
building official and the manufacturer decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import Input, attempt, must_be, read_word, stop_on
from rooflab.base.jsonfile import Json, is_number, json_text
from rooflab.base.measure import InputError, feet_inches, on_center
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import set_fields
from rooflab.house.seam import Tail, tail_and_soffit

from .grades import GRADES, PLATES, QUANTITIES, SOFTEST_PLATE, grade_by_name, is_graded
from .limits import findings, soffit_line
from .loads import EDITIONS, Loads
from .strength import RATIOS, check_rafter, slope_reach, strength_findings
from .thrust import NOT_TIED, thrust_findings, tie_bending_finding, tie_problems
from .warmth import CAREFUL, FULL_HEIGHT, LEAST_AIR, MATERIALS, USUAL_R, material_by_name, material_now, warmth_findings

CEILINGS = ("attached", "none")
"""What may be under the rafters: it sets how far they may sag."""

ORDER = ("misses", "ask", "meets")
GOVERNS = dict(zip((*RATIOS, "tie_bending"), ("bending", "shear", "bearing", "sag", "bending with tie"), strict=True))
ALWAYS = ("heel_nails", "collar_ties", "wind_wash", "vent_path", "r_to_agree", "sloped_attic")
"""Findings that are asked whatever the numbers."""

MOST = 9.99  # a ratio that is printed as such

TIE = Input("tie_height", "Tie height", "length", 0, 720, 6, 0.0)
"""The rafter tie above the plates, in; below the ridge, which a house knows."""

NO_TIE = "none"  # what stands in place of its height where no continuous tie crosses the bay


def read_tie(value: object, problems: list[str]) -> float | None:
    """A rafter tie's height above the plates, in, from a number or text; None for "none": no continuous tie.

    >>> read_tie("2'-8\\"", []), read_tie("none", [])
    (32.0, None)
    """
    if value is None or value == NO_TIE:
        return None
    wrong: list[str] = []
    height = TIE.read(value, wrong)
    problems += [f'{said.removesuffix(".")}, or "{NO_TIE}" where no continuous tie crosses the bay.' for said in wrong]
    return height


@dataclass(frozen=True)
class Assumptions:
    """What the early checks take: loads, the rafters' grade and spacing (in), the R required (None: not given), R per
    inch, edition of the energy code, the air space over the insulation (in), the species of the wall plates ("": not
    named, so the softest), whether a ceiling is "attached" to the rafters or "none", and the rafter tie's height above
    the plates (in; None or "none": no continuous tie crosses the bay).  InputError with every problem.

    >>> Assumptions().sentence(8 / 12)[:46]
    'DFL No.2 rafters 16" o.c., tied on the plates,'
    """

    loads: Loads = field(default_factory=Loads)
    grade: str = "DFL No.2"
    spacing: float = 16.0
    r_required: float | None = None
    per_inch: float = CAREFUL
    edition: str = "2018"
    air: float = LEAST_AIR
    plate: str = ""
    ceiling: str = "attached"
    tie_height: float | None = 0.0

    def __post_init__(self) -> None:
        must_be(self.loads, Loads, "Loads")
        problems: list[str] = []
        attempt(problems, grade_by_name, self.grade)
        for name, row in (("spacing", "spacing"), ("r_required", "r_value"), ("per_inch", "per_inch"), ("air", "air")):
            if getattr(self, name) is not None:
                set_fields(self, **{name: QUANTITIES[row].read(getattr(self, name), problems)})
        if self.plate:
            read_word("Plate's species", self.plate, tuple(PLATES), problems)
        read_word("Ceiling under the rafters", self.ceiling, CEILINGS, problems)
        set_fields(self, tie_height=read_tie(self.tie_height, problems))
        read_word("Edition of the energy code", self.edition, tuple(FULL_HEIGHT), problems)
        stop_on(problems)

    @property
    def r(self) -> float:
        """The R looked at: the one required, or R-38."""
        return USUAL_R if self.r_required is None else self.r_required

    @property
    def below(self) -> str:
        """The plates' species, and that no ceiling is attached where there is none, in words."""
        plates = f"plates of {self.plate or f'{SOFTEST_PLATE} (the softest, as none is named)'}"
        return plates + (", no ceiling attached" if self.ceiling == "none" else "")

    @property
    def tied(self) -> str:
        """Where the rafters are tied, in words."""
        if self.tie_height is None:
            return "not tied"
        return f"tied {feet_inches(self.tie_height)} above the plates" if self.tie_height else "tied on the plates"

    def tie_in(self, bay: RafterBay) -> float | None:
        """The tie's height in a bay, in; None where there is none, or where it would not stand below the ridge."""
        return None if self.tie_height is None or tie_problems(bay, self.tie_height) else self.tie_height

    def sentence(self, slope: float) -> str:
        """All of it in words, for a roof of this slope."""
        return (
            f"{self.grade} rafters {on_center(self.spacing)}, {self.tied}, {self.below}. "
            f"{self.loads.sentence(slope)} "
            f"R-{self.r:g} at {self.per_inch:g} an inch, energy code edition {self.edition}."
        )


    def texts(self) -> dict[str, str]:
        """All of it as texts for boxes, by what the panels call it; words where the program works a number out.

        >>> Assumptions().texts()["live"], Assumptions().texts()["per_inch"]
        ('by slope', '3.1')
        """
        loads = self.loads
        numbers = {
            "spacing": self.spacing, "dead": loads.dead, "live": loads.live, "ground_snow": loads.ground_snow,
            "snow": loads.snow, "thermal": loads.thermal, "r_value": self.r_required, "per_inch": self.per_inch,
        }  # fmt: skip
        made = {name: LEFT_OPEN[name] if value is None else f"{value:.10g}" for name, value in numbers.items()}
        return made | {
            "grade": self.grade, "edition": self.edition, "plate_species": self.plate or SOFTEST_PLATE,
            "rafter_ceiling": self.ceiling, "tie": TIE.exact(self.tie_height or 0.0),
            "hold": "nothing" if self.tie_height is None else "tie",
        }  # fmt: skip


LEFT_OPEN = {"live": "by slope", "snow": "worked out", "r_value": "to agree"}
"""What is said for a number that is left to the program."""

LOAD_KEYS = {
    "dead": "dead",
    "live": "live",
    "ground_snow": "ground_snow",
    "snow": "snow",
    "snow_exposure": "exposure",
    "thermal": "thermal",
    "importance": "importance",
    "snow_edition": "edition",
}
"""What a job file calls the rafters' loads, and the fields of ``Loads`` they are; all numbers but the edition."""


CHECK_WORDS: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "plate_species": ("plate", "Plate's species", tuple(PLATES)),
    "rafter_ceiling": ("ceiling", "Ceiling under the rafters", CEILINGS),
}
"""Words beside a job file's loads: the field of ``Assumptions``, what it is, and the words allowed."""

EARLY_KEYS = (*LOAD_KEYS, *CHECK_WORDS, TIE.name)
"""What a job file's loads hold for the early checks."""

BY_SLOPE = "by slope"
WARM_KEYS = {"r_required": "r_value", "per_inch": "per_inch", "material": "", "edition": ""}
"""What a job file says about insulation, and the rows of ``QUANTITIES`` of its numbers."""


def number_problems(row: Input, value: object) -> list[str]:
    """Sentences on what is wrong with a number of a job file: none, or one."""
    if not is_number(value):
        return [f"{row.label} {json_text(value)}: a number is needed, {row.allowed}."]
    problems: list[str] = []
    row.read(value, problems)
    return problems


def assumption_problems(
    loads: Mapping[str, Json], insulation: Mapping[str, Json], grade: str
) -> list[tuple[str, str]]:
    """What is wrong with a job's words for the early checks: places and sentences."""
    found: list[tuple[str, str]] = []

    def number(place: str, row: str, value: object) -> None:
        found.extend((place, said) for said in number_problems(QUANTITIES[row], value))

    def word(place: str, what: str, value: object, allowed: Iterable[str]) -> None:
        if not isinstance(value, str) or value not in allowed:
            found.append((place, f"{what} {json_text(value)}: allowed is {', '.join(allowed)}."))

    for key, value in loads.items():
        if key == "snow_edition":
            word("loads.snow_edition", "Edition for snow", value, EDITIONS)
        elif key in CHECK_WORDS:
            _, what, allowed = CHECK_WORDS[key]
            word(f"loads.{key}", what, value, allowed)
        elif key == TIE.name:
            problems: list[str] = []
            read_tie("" if value is None else value, problems)
            found += [("loads.tie_height", said) for said in problems]
        elif key in LOAD_KEYS and (key, value) != ("live", BY_SLOPE):
            number(f"loads.{key}", LOAD_KEYS[key], value)
    for key, value in insulation.items():
        if key in ("r_required", "per_inch"):
            number(f"insulation.{key}", WARM_KEYS[key], value)
        elif key in WARM_KEYS:
            value = material_now(value) if key == "material" else value
            word(f"insulation.{key}", key.capitalize(), value, MATERIALS if key == "material" else FULL_HEIGHT)
    if {"material", "per_inch"} <= set(insulation):
        found.append(("insulation", "give material or per_inch, not both."))
    if grade != "":
        word("rafters.grade", "Grade", grade, GRADES)
    if not found:
        try:
            assumptions_from(loads, insulation, grade)
        except InputError as error:
            found += [("loads", said) for said in error.problems]
    return found


def assumptions_from(
    loads: Mapping[str, Any], insulation: Mapping[str, Any], grade: str = "", spacing: float = 16.0
) -> Assumptions:
    """What the early checks assume by a job's words; an insulation by its name counts with its lower R per inch.

    >>> assumptions_from({"dead": 12, "live": "by slope", "exposure": "B"}, {"material": "cellulose, loose"}).per_inch
    3.1
    """
    given = {LOAD_KEYS[key]: value for key, value in loads.items() if key in LOAD_KEYS and value != BY_SLOPE}
    warm: dict[str, Any] = {name: value for name, value in insulation.items() if name in WARM_KEYS}
    if material := warm.pop("material", None):
        warm["per_inch"] = material_by_name(material).low
    warm |= {field: loads[key] for key, (field, *_) in CHECK_WORDS.items() if key in loads}
    if TIE.name in loads:
        warm[TIE.name] = loads[TIE.name]
    return Assumptions(Loads(**given), grade or Assumptions.grade, spacing, **warm)


class Carries(NamedTuple):
    """The rafter's check that is nearest to, or furthest beyond, its capacity: text, what governs, verdict, reasoning.

    ``findings`` are those of all its checks, the bending under a raised tie among them.
    """

    text: str
    word: str
    verdict: str
    why: str
    findings: tuple[Finding, ...]


def carries(bay: RafterBay, assumptions: Assumptions) -> Carries:
    """The governing demand over capacity of a rafter: of the worst verdict, the largest ratio (left end).

    >>> from rooflab import Gable
    >>> bay = RafterBay(Gable("26'", 8, "5 1/2", 16), "2x10", seat="3 1/2")
    >>> carries(bay, Assumptions()).verdict, carries(bay, Assumptions(Loads(ground_snow=150))).verdict
    ('meets', 'misses')
    """
    if not is_graded(bay.thickness, bay.depth):
        (one,) = found = strength_findings(bay, assumptions.loads)
        return Carries("not known", "engineer", one.verdict, f"Early check: {one.sentence} {one.remedy}", found)
    taken = assumptions
    of: dict[str, Any] = {name: getattr(taken, name) for name in ("grade", "spacing", "plate", "ceiling")}
    checks = check_rafter(bay, taken.loads, **of)
    found = strength_findings(bay, taken.loads, **of, checks=checks)
    ends = dict(zip(RATIOS, found, strict=False))  # those of the left end
    if tie := taken.tie_in(bay):
        found += (tie_bending_finding(bay, taken.loads, tie, taken.grade, taken.spacing),)
        ends[found[-1].name] = found[-1]
    ratio, one = min(ends.items(), key=lambda pair: (ORDER.index(pair[1].verdict), -pair[1].value))
    text = f"{100 * one.value:.0f} % used" if one.value <= MOST else f"over {100 * MOST:.0f} %"
    m = abs(bay.left.roof.slope)
    if math.isinf(one.value):
        return Carries("no seat", GOVERNS[ratio], one.verdict, f"Early check: {one.sentence}", found)
    loads = assumptions.loads
    if ratio in RATIOS:
        check = max(checks, key=lambda made: float(made.values[ratio]))
        w = check.reading(ratio)
        why = f"{GOVERNS[ratio]} = {w.formula} = {w.worked} = {float(w.value):.2f} under {check.case.name}."
    else:
        why = f"{GOVERNS[ratio]}. {one.sentence}"
    why = (
        f"Early check, {why} "
        f"Taken: {bay.lumber} {assumptions.grade}, {on_center(assumptions.spacing)}; dead {loads.dead:g} on the slope, "
        f"roof live {float(loads.live_at(m)):.3g} {'by slope' if loads.live is None else 'given'}, roof snow "
        f"{float(loads.snow_at(m)):.3g} psf. {loads.snow_note(m, float(slope_reach(bay)))}"
    ).rstrip()
    return Carries(text, GOVERNS[ratio], one.verdict, why, found)


def warm_findings(
    rafters: RafterBay, scissor: ScissorBay, assumptions: Assumptions
) -> tuple[tuple[str, Finding], ...]:
    """Insulation and air of both bays as (bay, finding).

    Where no R was given, R-38 is shown as something to agree on, not as missed.  Over a sloped ceiling even full height
    is asked whatever the numbers, so that it stands among the reminders.
    """
    made = []
    for bay in (rafters, scissor):
        for f in warmth_findings(bay, assumptions.r, assumptions.per_inch, assumptions.air, assumptions.edition):
            if f.name.startswith("over_plate") and assumptions.r_required is None:
                said = f"No R was given; for R-{assumptions.r:g}: {f.sentence}"
                f = f._replace(name=f.name.replace("over_plate", "r_to_agree"), verdict="ask", sentence=said)
            elif f.name.startswith("over_plate") and f.verdict == "ask":
                f = f._replace(name=f.name.replace("over_plate", "sloped_attic"))
            made.append((bay.kind, f))
    return tuple(made)


def early_findings(
    rafters: RafterBay, scissor: ScissorBay, assumptions: Assumptions
) -> tuple[tuple[str, Finding], ...]:
    """Thrust of the rafters and insulation of both bays as (bay, finding); ``carries`` has strength."""
    taken, tie = assumptions, assumptions.tie_in(rafters)
    up = taken.tie_height
    why = f"the tie, {feet_inches(up)} above the plates, is not below the ridge" if up else NOT_TIED
    thrust = thrust_findings(rafters, taken.loads, taken.spacing, tie, grade=taken.grade, untied=why)
    return (*(("rafter", f) for f in thrust), *warm_findings(rafters, scissor, assumptions))


SHARED = "The soffit line, the level cut made,"


def house_findings(
    rafters: RafterBay, scissor: ScissorBay, assumptions: Assumptions | None, tail: Tail | None = None,
    carried: Carries | None = None,
) -> dict[str, Finding]:  # fmt: skip
    """Every finding of a house by bay and name ("rafter.end_notch"), those of all panels, tables, sheets and maps.

    Usual limits of both bays, the rafters' strength, thrust and insulation; without ``assumptions`` the limits alone.
    Where both bays share a soffit at an eave, the level cut made, both have that line's finding.  ``tail`` (of the left
    eave) and ``carried`` are the house's, for those who have them at hand.

    >>> from rooflab import Gable
    >>> gable = Gable("26'", 8, "5 1/2", 16)
    >>> rafters = RafterBay(gable, "2x12", seat="3 1/2").handed_over()
    >>> found = house_findings(rafters, ScissorBay(gable, 4, rafters.heel), Assumptions())
    >>> [key for key, one in found.items() if one.verdict == "misses"]  # 11 1/4 in against 11 1/4 x 1.202
    ['rafter.ridge_board']
    """
    made = {f"{bay.kind}.{f.name}": f for bay in (rafters, scissor) for f in findings(bay)}
    ends = {"": tail or tail_and_soffit(rafters, scissor)}
    if not (rafters.equal_ends and scissor.equal_ends):
        ends["_right"] = tail_and_soffit(rafters, scissor, "right")
    own = {kind: made.pop(f"{kind}.soffit_line", None) for kind in ("rafter", "scissor")}
    for end, shared in ends.items():
        line = shared and shared.leaves > 0 and soffit_line(shared.soffit_height, rafters.gable.window_head, SHARED)
        for bay in (rafters, scissor):
            key = f"{bay.kind}.soffit_line{end}"
            alone = own[bay.kind] if bay.equal_ends or not end else None
            if one := line or made.get(key) or alone:
                made[key] = one._replace(name=f"soffit_line{end}")
    if assumptions is None:
        return made
    made |= {f"rafter.{f.name}": f for f in (carried or carries(rafters, assumptions)).findings}
    return made | {f"{kind}.{f.name}": f for kind, f in early_findings(rafters, scissor, assumptions)}


def reminder(finding: Finding) -> bool:
    """Whether a finding is asked whatever the numbers."""
    return finding.name.removesuffix("_right") in ALWAYS
