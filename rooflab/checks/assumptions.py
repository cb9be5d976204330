"""The early checks of both bays together: what they take for loads, lumber and insulation, and what they find.

What a job does not say is taken plainly and said: dead 15 lb/ft², roof live by slope, no snow, DFL No.2 at 16 in, a tie
on the plates, R-38 at 3.7 an inch looked at but not held against the house.  The engineer, the code official and the
manufacturer decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import attempt, must_be, read_word, stop_on
from rooflab.base.jsonfile import is_number, shown
from rooflab.base.measure import InputError
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import put

from .grades import GRADES, QUANTITIES, grade_named, graded
from .loads import EDITIONS, Loads
from .strength import RATIOS, check_rafter, strength_findings
from .thrust import thrust_findings
from .warmth import FULL_HEIGHT, MATERIALS, material_named, warmth_findings

ORDER = ("misses", "ask", "meets")
GOVERNS = dict(zip(RATIOS, ("bending", "shear", "bearing", "sag"), strict=True))
ALWAYS = ("heel_nails", "collar_ties", "wind_wash", "vent_path", "r_to_agree")  # asked whatever the numbers
MOST = 9.99  # a ratio that is printed as such


@dataclass(frozen=True)
class Taken:
    """What the early checks take: loads, the rafters' grade and spacing (in), the R required (None: not given), R per
    inch and edition of the energy code.  InputError with every problem.

    >>> Taken().sentence(8 / 12)[:46]
    'DFL No.2 rafters 16 in apart, tied on the plat'
    """

    loads: Loads = field(default_factory=Loads)
    grade: str = "DFL No.2"
    spacing: float = 16.0
    r_required: float | None = None
    per_inch: float = 3.7
    edition: str = "2018"

    def __post_init__(self) -> None:
        must_be(self.loads, Loads, "Loads")
        problems: list[str] = []
        attempt(problems, grade_named, self.grade)
        for name, row in (("spacing", "spacing"), ("r_required", "r_value"), ("per_inch", "per_inch")):
            if getattr(self, name) is not None:
                put(self, **{name: QUANTITIES[row].read(getattr(self, name), problems)})
        read_word("Edition of the energy code", self.edition, tuple(FULL_HEIGHT), problems)
        stop_on(problems)

    @property
    def r(self) -> float:
        """The R looked at: the one required, or R-38."""
        return 38.0 if self.r_required is None else self.r_required

    def sentence(self, slope: float) -> str:
        """All of it in words, for a roof of this slope."""
        return (
            f"{self.grade} rafters {self.spacing:g} in apart, tied on the plates. {self.loads.sentence(slope)} "
            f"R-{self.r:g} at {self.per_inch:g} an inch, energy code edition {self.edition}."
        )


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

BY_SLOPE = "by slope"
WARM_KEYS = {"r_required": "r_value", "per_inch": "per_inch", "material": "", "edition": ""}
"""What a job file says about insulation, and the rows of ``QUANTITIES`` of its numbers."""


def given_problems(loads: dict[str, Any], insulation: dict[str, Any], grade: str) -> list[tuple[str, str]]:
    """What is wrong with a job's words for the early checks: places and sentences."""
    found: list[tuple[str, str]] = []

    def number(place: str, row: str, value: Any) -> None:
        said: list[str] = []
        if is_number(value):
            QUANTITIES[row].read(value, said)
        else:
            said.append(f"{QUANTITIES[row].label} {shown(value)}: a number is needed.")
        found.extend((place, one) for one in said)

    def word(place: str, what: str, value: Any, allowed: Iterable[str]) -> None:
        if not isinstance(value, str) or value not in allowed:
            found.append((place, f"{what} {shown(value)}: allowed is {', '.join(allowed)}."))

    for key, value in loads.items():
        if key == "snow_edition":
            word("loads.snow_edition", "Edition for snow", value, EDITIONS)
        elif key in LOAD_KEYS and (key, value) != ("live", BY_SLOPE):
            number(f"loads.{key}", LOAD_KEYS[key], value)
    for key, value in insulation.items():
        if key in ("r_required", "per_inch"):
            number(f"insulation.{key}", WARM_KEYS[key], value)
        elif key in WARM_KEYS:
            word(f"insulation.{key}", key.capitalize(), value, MATERIALS if key == "material" else FULL_HEIGHT)
    if {"material", "per_inch"} <= set(insulation):
        found.append(("insulation", "give material or per_inch, not both."))
    if grade != "":
        word("rafters.grade", "Grade", grade, GRADES)
    if not found:
        try:
            taken_from(loads, insulation, grade)
        except InputError as error:
            found += [("loads", said) for said in error.problems]
    return found


def taken_from(loads: dict[str, Any], insulation: dict[str, Any], grade: str = "", spacing: float = 16.0) -> Taken:
    """What the early checks take from a job's words; an insulation by its name counts with its lower R per inch.

    >>> taken_from({"dead": 12, "live": "by slope", "exposure": "B"}, {"material": "cellulose, loose"}).per_inch
    3.1
    """
    given = {LOAD_KEYS[key]: value for key, value in loads.items() if key in LOAD_KEYS and value != BY_SLOPE}
    warm: dict[str, Any] = {name: value for name, value in insulation.items() if name in WARM_KEYS}
    if material := warm.pop("material", None):
        warm["per_inch"] = material_named(material).low
    return Taken(Loads(**given), grade or Taken.grade, spacing, **warm)


class Carries(NamedTuple):
    """The rafter's check that is nearest to, or furthest beyond, its capacity: text, what governs, verdict, reasoning.

    ``findings`` are those of all its checks.
    """

    text: str
    word: str
    verdict: str
    why: str
    findings: tuple[Finding, ...]


def carries(bay: RafterBay, taken: Taken) -> Carries:
    """The governing demand over capacity of a rafter: of the worst verdict, the largest ratio (left end).

    >>> from rooflab import Gable
    >>> bay = RafterBay(Gable("26'", 8, "5 1/2", 16), "2x10", seat="3 1/2")
    >>> carries(bay, Taken()).verdict, carries(bay, Taken(Loads(ground_snow=150))).verdict
    ('meets', 'misses')
    """
    if not graded(bay.thickness, bay.depth):
        (one,) = found = strength_findings(bay, taken.loads, taken.grade, taken.spacing)
        return Carries("not known", "engineer", one.verdict, f"Early check: {one.sentence} {one.remedy}", found)
    checks = check_rafter(bay, taken.loads, taken.grade, taken.spacing)
    found = strength_findings(bay, taken.loads, taken.grade, taken.spacing, checks=checks)
    worst = min(zip(RATIOS, found, strict=False), key=lambda pair: (ORDER.index(pair[1].verdict), -pair[1].value))
    ratio, one = worst
    m = abs(bay.left.roof.slope)
    if math.isinf(one.value):
        return Carries("no seat", GOVERNS[ratio], one.verdict, f"Early check: {one.sentence}", found)
    check = max(checks, key=lambda made: float(made.values[ratio]))
    w, loads = check.reading(ratio), taken.loads
    why = (
        f"Early check, {GOVERNS[ratio]} = {w.formula} = {w.worked} = {float(w.value):.2f} under {check.case.name}. "
        f"Taken: {bay.lumber} {taken.grade}, {taken.spacing:g} in apart; dead {loads.dead:g} on the slope, roof live "
        f"{float(loads.live_at(m)):.3g} {'by slope' if loads.live is None else 'given'}, roof snow "
        f"{float(loads.snow_at(m)):.3g} lb/ft²."
    )
    text = f"{100 * one.value:.0f} % used" if one.value <= MOST else f"over {100 * MOST:.0f} %"
    return Carries(text, GOVERNS[ratio], one.verdict, why, found)


def early_findings(rafters: RafterBay, scissor: ScissorBay, taken: Taken) -> tuple[Finding, ...]:
    """Thrust of the rafters and warmth of both bays, for the list of ``limits.findings``; ``carries`` has strength.

    Where no R was given, R-38 is shown as something to agree on, not as missed.
    """
    warm = [
        row
        for bay in (rafters, scissor)
        for row in warmth_findings(bay, taken.r, taken.per_inch, edition=taken.edition)
    ]
    if taken.r_required is None:
        said = f"No R was given; for R-{taken.r:g}: "
        warm = [
            f._replace(name="r_to_agree", verdict="ask", sentence=said + f.sentence)
            if f.name.startswith("over_plate")
            else f
            for f in warm
        ]
    return (*thrust_findings(rafters, taken.loads, taken.spacing), *warm)
