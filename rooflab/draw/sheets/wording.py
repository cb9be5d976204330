"""The words of the profile sheets: what to hold, what is free, what to tell us, loads, rounding and responsibility.

All in our own words; design intent only.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rooflab.base.inputs import pair
from rooflab.base.measure import LEVEL, feet_inches, pitch_text
from rooflab.checks.assumptions import EARLY_KEYS
from rooflab.checks.strength import slope_reach
from rooflab.draw.views.profile import apex_off, finish_words, heights, lower_bay, plates_differ
from rooflab.house.bays import ScissorBay
from rooflab.house.jog import finish, gable_end
from rooflab.job.jobfile import LOADS, NO_TITLE, SHEET, Job
from rooflab.job.schedule import TO_GIVE, TrussType
from rooflab.shop import checklist as wanted

TO_AGREE = "not given, to be agreed"
HOLD = (
    "Outer plane: roof pitch, heels and overall height as figured, to the top of the top chord.",
    "Ceiling plane: pitch as figured; the line is the underside of the bottom chord and leaves the plate at the {face} "
    "face of the bearing.",
    "Bearing lines: outside faces of framing, bearing widths as figured.",
    "Tail corner: overhang as figured, level, from the outside face of framing to the plumb end of the top chord.",
)
FREE = (
    "Depth and grade of the chords, so long as planes and bearings hold.",
    "Webs, plates, splices, and what fills the heel between the chords.",
)
TELL = (
    "Depth and cut of the tail as made: soffit and subfascia wait for it.",
    "Reactions, uplift, and spread at the bearings.",
    "Deflection, live and total: two bays must stay in line by eye.",
    "Camber, if any. What you would rather build otherwise.",
)
RESPONSIBLE = (
    "Design intent only: shape, supports and loads as the architect understands them. The truss manufacturer's "
    "designer designs each truss, its webs, plates and bracing requirements. Send drawings for review before "
    "fabrication. Dimensions are to framing, not sheathing; field dimensions are verified before "
    "fabrication by {who}. Local code and the building official govern."
)
DRAWING_ITEMS, ALSO = wanted.CODE_ITEMS, wanted.ALSO
CHECK = (
    "Hold each returned figure against sheet and type mark; answer in writing. What differs comes back before anything "
    "is made.",
    "Field dimensions are taken after the plates are set, by {who}.",
)
SITE = (
    "Trusses are not cut, notched, drilled, spliced or loaded further without a registered design professional (IRC "
    "R802.10.4, from memory: verify).",
    "Brace as the drawings say, while setting and for good. Nobody stands on or under unbraced trusses.",
)


def verifier(job: Job) -> str:
    """The name of who verifies field dimensions, in words."""
    return _words(job, "dimensions_verified_by") or "a person to be named"


def _words(job: Job, name: str) -> str:
    return " ".join(job.sheet.get(name, "").split())


def loads_in_words(loads: Mapping[str, Any]) -> tuple[str, ...]:
    """The loads as lines of text; what was not given says so.

    >>> loads_in_words({"ground_snow": 30})[2:4]
    ('Ground snow: 30 lb/ft²', 'Top chord live or roof snow: not given, to be agreed')
    """
    lines = []
    for name, row in LOADS.items():
        load = loads.get(name)
        text = (
            TO_AGREE
            if load is None or not str(load).strip()
            else " ".join(load.split())
            if row.kind == "words"
            else f"{load:g} {row.unit}"
        )
        lines.append(f"{row.label}: {text}")
    return tuple(lines)


def rafter_loads(job: Job) -> tuple[str, ...]:
    """The loads of the rafters' early check in words, where the job gives any; the trusses' are the lines above.

    >>> from rooflab.job.jobfile import example
    >>> rafter_loads(example())
    ()
    """
    own = [key for key in EARLY_KEYS if key in job.loads and key not in LOADS]
    if not own and not job.grade:
        return ()
    assumptions = job.assumptions
    said = dict.fromkeys(assumptions.loads.sentence(slope) for slope in job.gable.slopes)
    for slope, end in zip(job.gable.slopes, ("left", "right"), strict=True):
        said[assumptions.loads.snow_note(slope, float(slope_reach(job.rafters, end)))] = None
    loads = " ".join(filter(None, said))
    by_us = [label for key, keys, label in (("dead", own, "dead load"), ("grade", [job.grade and "grade"], "grade"),
                                        ("plate_species", own, "the plates' species"),
                                        ("tie_height", own, "the tie's height"))
               if key not in keys]  # fmt: skip
    last = f" Taken by us, to be agreed: {', '.join(by_us)}." if by_us else ""
    return (
        f"Rafter bay, early check: {loads} Rafters {assumptions.grade}, {assumptions.spacing:g} in apart, "
        f"{assumptions.tied}, {assumptions.below}.{last}",
    )


def missing(job: Job) -> tuple[str, ...]:
    """The labels of what a job's sheets still leave open.

    >>> from rooflab.job.jobfile import example
    >>> missing(example())[:3]
    ('Architect', 'Contact', 'Date')
    """
    words = [label for name, label in SHEET.items() if name not in ("project", "address") and not _words(job, name)]
    loads = [row.label for name, row in LOADS.items() if not str(job.loads.get(name, "")).strip()]
    untold = job.title == NO_TITLE and not _words(job, "project")
    lengths = [f"Length of type {kind.mark}" for kind in job.types if kind.remark == TO_GIVE] or (
        [] if job.types else ["Truss types"]
    )
    return (*(("Title",) if untold else ()), *words, *loads, *lengths)


def hold(bay: ScissorBay) -> tuple[str, ...]:
    """The lines on what the manufacturer holds."""
    return tuple(line.format(face=bay.ceiling_from) for line in HOLD)


def figures(bay: ScissorBay, kind: TrussType, layers: tuple[float, float] | None = None) -> tuple[str, ...]:
    """The lines of the profile in words: what a drawing may leave hard to read, and what it cannot say."""
    levels, rows = heights(bay), []
    for i, end in enumerate(bay.ends):
        parts = [
            f"heel {feet_inches(end.heel)}",
            f"bearing {feet_inches(end.bearing)}",
            f"overhang {feet_inches(end.overhang)}",
        ]
        tail = bay.reading("tail_top", end.wall.side).value
        parts.append(f"tail corner {feet_inches(abs(tail))} {'above' if tail >= 0 else 'below'} plate {'LR'[i]}")
        rows.append(f"{end.wall.side.capitalize()} end: {', '.join(parts)}.")
    plates = [
        f"{mark} {feet_inches(abs(plate))} {'above' if plate > 0 else 'below'}"
        for mark, plate in zip("LR", levels.plates, strict=True)
        if plate
    ]
    if plates:
        rows.append(f"Plates from the main plate M: {', '.join(plates)}.")
    rows.append(f"Roof pitch {slopes(bay, 'roof')}; ceiling pitch {slopes(bay, 'ceiling')}.")
    tops = [f"{m} {feet_inches(h)}" for m, h in zip("LR", levels.overall, strict=True)]
    above = " and ".join(tops) if plates_differ(bay) else f"both plates {feet_inches(levels.overall[0])}"
    rows.append(f"Peak above {above}{f', M {feet_inches(levels.main)}' if len(plates) == 2 else ''}.")
    mark = ("R" if lower_bay(bay) is bay.right else "L") if plates_differ(bay) else "the plates"
    rows.append(f"Ceiling rise {feet_inches(levels.rise)} above {mark}; depth at the peak {feet_inches(levels.depth)}.")
    off = apex_off(bay)
    if bay.apex == "ridge":
        rows.append("Ceiling apex held under the ridge: the ceiling pitches are what that needs.")
    elif abs(off) > LEVEL:
        where = "right" if off > 0 else "left"
        rows.append(f"The ceiling pitches hold: its apex stands {feet_inches(abs(off))} {where} of the ridge.")
    if layers and sum(layers):
        rows.append(f"Ceiling finish {finish_words(layers)}. {finish(bay, *layers).sentence}")
    if kind.jog and kind.jog.by:
        eave = "its fascia stays in line" if kind.jog.eave == "straight" else "its fascia steps with the wall"
        way = "in" if kind.jog.by > 0 else "out"
        rows.append(
            f"The {kind.jog.end} wall is set {way} {feet_inches(abs(kind.jog.by))}; {eave}. Can you make that overhang?"
        )
    if kind.remark.strip():
        rows.append(f"Remark: {' '.join(kind.remark.split())}")
    return tuple(rows)


def slopes(bay: ScissorBay, line: str) -> str:
    """The pitches of both roof or ceiling lines in words; one where they are equal."""
    left, right = (pitch_text(round(12 * abs(getattr(end, line).slope), 4)) for end in bay.ends)
    return left if left == right else f"{left} left, {right} right"


def rounding(job: Job, kind: TrussType) -> tuple[str, ...]:
    """The lines on what was rounded."""
    bay, lines = kind.bay(job.scissor), []
    if job.follows:
        exact = [f"{end.heel:.3f}" for end in job.rafters.ends]
        heels = " and ".join(dict.fromkeys(feet_inches(heel) for heel in pair(job.scissor.heel_input)))
        lines.append(
            f"Heel {heels} is the rafters' {' and '.join(dict.fromkeys(exact))} in, rounded first; heights follow "
            "from it."
        )
    if kind.jog:
        near = bay.left if kind.jog.end == "left" else bay.right
        lines.append(
            f"Set-in wall, read off the same planes: plate {near.plate:.3f} in above M, heel {near.heel:.3f} in."
        )
    lines.append("Figures to 1/16 in; one figure of each chain is the total less the printed others.")
    return tuple(lines)


def gable_words(job: Job, kind: TrussType) -> tuple[str, ...]:
    """The lines on what the gable end truss differs in, and what to mind."""
    bay, (size, how) = kind.bay(job.scissor), job.outlooker
    ends = [gable_end(bay, size, how, side) for side in ("left", "right")]
    drops = " and ".join(dict.fromkeys(feet_inches(end.drop) for end in ends))
    lines = [
        f"{kind.gable_ends} of type {kind.mark}. Top chord {drops} lower, plumb, for {size} outlookers laid {how}; "
        "plates and ceiling stay."
    ]
    for sentence, remedy in dict.fromkeys(
        (e.finding.sentence, e.finding.remedy if e.finding.verdict != "meets" else "") for e in ends
    ):
        lines.append(f"{sentence} {remedy}".strip())
    return (*lines, f"Caution: {ends[0].caution}")
