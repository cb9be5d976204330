"""The words of the profile sheets: what to hold, what is free, what to tell us, loads, rounding and responsibility.

All in our own words; design intent only.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from rooflab.base.inputs import Input, pair
from rooflab.base.measure import LEVEL, InputError, feet_inches, inches, on_center, pitch_text
from rooflab.checks.assumptions import EARLY_KEYS
from rooflab.checks.frame import SAG_PARTS, sag_limits
from rooflab.checks.strength import slope_reach
from rooflab.draw.views.plan import mid_roof_gables
from rooflab.draw.views.profile import apex_off, finish_words, heights, lower_bay, plates_differ
from rooflab.house.bays import ScissorBay
from rooflab.house.jog import finish, gable_end
from rooflab.job.criteria import GROUPS, LOADS
from rooflab.job.jobfile import NO_TITLE, SHEET, Job
from rooflab.job.schedule import TrussType
from rooflab.shop import checklist as wanted

TO_AGREE = "not given, to be agreed"
BY_OFFICIAL = "not given: ask the building official"
SET_LOCALLY = ("code", "ground_snow", "wind_speed", "seismic_category")
"""What the jurisdiction sets for every house in it, so that the building official gives it (IRC Table R301.2)."""

OVER = ", L over"  # of a deflection limit's label
ON_TYPE_PAGES = ("code", "ground_snow", "wind_speed", "exposure", *(row.name for row in GROUPS["Loads on the chords"]))
HOLD_ROOF = "Outer plane: roof pitch, heels and overall height as figured, to the top of the top chord."
HOLD_CEILING = (
    "Ceiling plane: pitch as figured; the line is the underside of the bottom chord and leaves the plate at the {face} "
    "face of the bearing."
)
HOLD_BEARING = "Bearing lines: outside faces of framing, bearing widths as figured."
HOLD_TAIL = (
    "Tail: overhang as figured, level, from the outside face of framing to the end of the top chord's upper edge. "
    "{cut} and where the top of that cut stands are ours to hold."
)
FREE = (
    "Depth and grade of the chords, so long as planes and bearings hold.",
    "Webs, plates, splices, and what fills the heel between the chords.",
)
TELL_TAIL = "Depth of the tail as made: soffit and subfascia wait for it."
TELL = (
    "Reactions, uplift, and horizontal movement at the bearings.",
    "Deflection, live and total: two bays must stay in line by eye.",
    "Camber, if any. What you would rather build otherwise.",
)
RESPONSIBLE = (
    "Design intent only: shape, supports and loads as the architect understands them. The manufacturer's truss "
    "designer designs each truss, webs, plates and bracing. Send drawings for review before fabrication. Do not scale; "
    "written dimensions govern. Dimensions are to framing, not sheathing; field dimensions are verified before "
    "fabrication by {who}. Local code and the building official govern."
)
DRAWING_ITEMS, ALSO = wanted.CODE_ITEMS, wanted.ALSO
CHECK = (
    "Hold each returned figure against sheet and type mark; answer in writing. What differs comes back before anything "
    "is fabricated.",
    "Field dimensions are taken after the plates are set, by {who}.",
)
SITE = (
    "Trusses are not cut, notched, drilled, spliced or loaded further without a registered design "
    "professional's approval.",
    "Brace as the drawings say, while setting and for good. Nobody stands on or under unbraced trusses.",
)
EXTRA = (
    "Qty counts the trusses of a type, its extra trusses within; gable end trusses are counted separately. Extra: two "
    "trusses side by side at one position, each by itself; not a 2-ply girder."
)


def checked(words: str) -> str:
    """Words for an issued sheet: a source that was not verified is left out.

    >>> checked("Studs run to the ceiling line (IRC R602.3, from memory: verify). Ask.")
    'Studs run to the ceiling line. Ask.'
    """
    return re.sub(r"[\s,;]*\bfrom memory(?:: verify)?", "", re.sub(r"\s*\([^()]*from memory[^()]*\)", "", words))


def verifier(job: Job) -> str:
    """The name of who verifies field dimensions, in words."""
    return _words(job, "dimensions_verified_by") or "a person to be named"


NOT_ISSUED = "NOT ISSUED: dimensions not confirmed for this job"


def untitled(job: Job) -> bool:
    """Whether nobody gave a job its title yet, nor a word for the project."""
    return job.title.strip() in ("", NO_TITLE) and not _words(job, "project")


def not_issued(job: Job) -> str:
    """The line that stands on every sheet of a job whose dimensions only stand in, or "" where the job is its own.

    >>> from rooflab.job.jobfile import blank_job, example
    >>> not_issued(blank_job()), not_issued(example())
    ('NOT ISSUED: dimensions not confirmed for this job', '')
    """
    return NOT_ISSUED if untitled(job) or any(kind.stands_in for kind in job.types) else ""


def job_name(job: Job) -> str:
    """The name of a job as every sheet prints it: the job's title, and the title block's project where it differs.

    >>> from dataclasses import replace
    >>> from rooflab.job.jobfile import blank_job, example
    >>> job_name(replace(example(), title="Lot 4", sheet={"project": "Hill Road houses"}))
    'Lot 4 · Hill Road houses'
    >>> job_name(replace(blank_job(), sheet={"project": "Hill Road houses"}))
    'Hill Road houses'
    """
    title, project = " ".join(job.title.split()), _words(job, "project")
    if not project or title == project:
        return title or NO_TITLE
    return project if title in ("", NO_TITLE) else f"{title} · {project}"


def _words(job: Job, name: str) -> str:
    return " ".join(job.sheet.get(name, "").split())


def criterion(row: Input, value: Any, span: float = 0.0) -> str:
    """A row of the design criteria as a line of text; what was not given says who gives it.

    >>> print(criterion(LOADS["deflection_live"], 360, 312))
    Live load deflection limit: L/360, 0.87 in on 26'-0"
    """
    label = row.label.removesuffix(OVER)
    if value is None or not str(value).strip():
        text = BY_OFFICIAL if row.name in SET_LOCALLY else TO_AGREE
    elif row.kind != "number":
        text = " ".join(str(value).split())
        if row.name == "ladder_spacing":
            with suppress(InputError):  # words about a spacing stay as they are
                text = on_center(inches(text))
    else:
        figure = f"{value:g}"
        if row.name in ("snow_exposure", "thermal") and "." not in figure:  # factors, of one decimal at least
            figure += ".0"
        text = f"{figure} {row.unit}".rstrip()
        if label != row.label:
            text = f"L/{text}, {span / value:.2f} in on {feet_inches(span)}"
    return f"{label}: {text}"


def loads_in_words(loads: Mapping[str, Any]) -> tuple[str, ...]:
    """The loads that stand on every type's page as lines of text; what was not given says so.

    >>> loads_in_words({"ground_snow": 30})[1:3]
    ('Ground snow load pg: 30 psf', 'Basic wind speed Vult: not given: ask the building official')
    """
    return tuple(criterion(LOADS[name], loads.get(name)) for name in ON_TYPE_PAGES)


def criteria(job: Job) -> dict[str, tuple[str, ...]]:
    """The design criteria as lines of text under their headings, deflections in inches for the long truss's span.

    >>> from rooflab.job.jobfile import example
    >>> criteria(example())["Wind"][:2]
    ('Basic wind speed Vult: 115 mph', 'Wind exposure: B')
    """
    span = job.gable.span
    found = {
        heading: tuple(criterion(row, job.loads.get(row.name), span) for row in rows)
        for heading, rows in GROUPS.items()
        if heading != "Gable end" or any(kind.gable_ends for kind in job.types)
    }
    total, live = sag_limits(span)
    seam = "the stricter limit is for it"
    if not job.loads.get("deflection_seam"):
        seam = f"stricter limit at the seam: {TO_AGREE}"
    usual = (
        f"For comparison, under a gypsum ceiling at most L/{SAG_PARTS[0]} total and L/{SAG_PARTS[1]} live (ANSI/TPI 1, "
        f"sec. 7.6): {float(total):.2f} in and {float(live):.2f} in on {feet_inches(span)}. The first truss at the "
        f"seam stands beside rafters: {seam}."
    )
    ends = [job.loads.get(f"{end}_bearing") for end in ("left", "right")]
    both = {
        "held": "Both bearings are held: tell us the thrust, which the engineer holds against the walls.",
        "may slide": "Both bearings may slide: which one holds the truss in place has to be agreed.",
    }
    pair_words = (both[str(ends[0])],) if ends[0] in both and ends[0] == ends[1] else ()
    found["Movement"] = (*found["Movement"], *pair_words, usual)
    return found


def rafter_loads(job: Job) -> tuple[str, ...]:
    """The loads of the rafters' early check in words, where the job gives any; the trusses' are the lines above.

    >>> from rooflab.job.jobfile import example
    >>> rafter_loads(example())
    ()
    """
    own = [key for key in EARLY_KEYS if key in job.loads and key != "ground_snow"]
    if not set(own) - set(LOADS) and not job.grade:
        return ()
    assumptions = job.assumptions
    said = [
        " ".join(
            (
                assumptions.loads.sentence(slope),
                assumptions.loads.snow_note(slope, float(slope_reach(job.rafters, end))),
            )
        )
        for slope, end in zip(job.gable.slopes, ("left", "right"), strict=True)
    ]
    if said[0] != said[1]:
        marks = (
            f"{end} ({pitch_text(round(12 * slope, 4))}):"
            for end, slope in zip(("Left", "Right"), job.gable.slopes, strict=True)
        )
        said = [f"{mark} {line}" for mark, line in zip(marks, said, strict=True)]
    loads = " ".join(line.strip() for line in dict.fromkeys(said))
    by_us = [label for key, keys, label in (("dead", own, "dead load"), ("grade", [job.grade and "grade"], "grade"),
                                        ("plate_species", own, "the plates' species"),
                                        ("tie_height", own, "the tie's height"))
               if key not in keys]  # fmt: skip
    last = f" Assumed by the architect, to be agreed: {', '.join(by_us)}." if by_us else ""
    return (
        checked(f"Rafter bay, early check: {loads}")
        + f" Rafters {assumptions.grade}, {on_center(assumptions.spacing)}, {assumptions.tied}, {assumptions.below}."
        + last,
    )


def still_open(job: Job) -> str:
    """What a job's sheets still leave open, in one line: labels under the headings of the form that asks for them.

    >>> from rooflab.job.jobfile import example
    >>> still_open(example()).partition(";")[0]
    'Title block: Architect, Contact, Date, Field dimensions verified by'
    """
    return "; ".join(f"{heading}: {', '.join(labels)}" for heading, labels in open_groups(job).items())


def open_groups(job: Job) -> dict[str, tuple[str, ...]]:
    """What a job's sheets still leave open: labels under the headings of the form that asks for them."""
    words = [label for name, label in SHEET.items() if name not in ("project", "address") and not _words(job, name)]
    found = {"Title block": (*(("Title",) if untitled(job) else ()), *words)}
    if not_issued(job):
        found["Dimensions"] = ("Span, pitches, heels and the rest of the planes",)
    for heading, rows in GROUPS.items():
        if heading != "Gable end" or any(kind.gable_ends for kind in job.types):
            left = [row for row in rows if not str(job.loads.get(row.name, "")).strip()]
            found[heading] = tuple(row.label.removesuffix(OVER) for row in left)
    lengths = [f"Length of type {kind.mark}" for kind in job.types if kind.stands_in]
    found["Truss types"] = tuple(lengths or ([] if job.types else ["Truss types"]))
    return {heading: labels for heading, labels in found.items() if labels}


def tail_cut(job: Job) -> str:
    """The cut of the tail as a sentence's beginning: plumb, square, or to be agreed."""
    cut = job.loads.get("tail_cut")
    return f"A {cut} cut" if cut else f"Plumb or square cut ({TO_AGREE})"


def hold(job: Job, bay: ScissorBay) -> tuple[str, ...]:
    """The lines on what the manufacturer holds."""
    tail = (HOLD_TAIL.format(cut=tail_cut(job)),) if any(end.overhang for end in bay.ends) else ()
    return (HOLD_ROOF, HOLD_CEILING.format(face=bay.ceiling_from), HOLD_BEARING, *tail)


def low_heels(bay: ScissorBay) -> tuple[str, ...]:
    """A question for each heel under the minimum of the chord that is drawn; none where every heel can be built.

    >>> from rooflab import Gable
    >>> low_heels(ScissorBay(Gable("26'", 12, "5 1/2", 16), 4, 5))
    ('Heel 5" is under the minimum 5 3/16" for a 2x4: can you build it? Answer before design.',)
    """
    found = []
    for end in bay.ends:
        least = float(bay.reading("minimum_heel", end.wall.side).value)
        if end.heel < least - 1e-9:
            which = "Heel" if bay.equal_ends else f"{end.wall.side.capitalize()} heel"
            found.append(
                f"{which} {feet_inches(end.heel)} is under the minimum {feet_inches(least)} for a {bay.chord}: can you "
                "build it? Answer before design."
            )
    return tuple(dict.fromkeys(found))


def tell(bay: ScissorBay) -> tuple[str, ...]:
    """The lines on what the manufacturer tells us."""
    return (TELL_TAIL, *TELL) if any(end.overhang for end in bay.ends) else TELL


def figures(
    bay: ScissorBay, kind: TrussType, layers: tuple[float, float] | None = None, dropped: bool = False
) -> tuple[str, ...]:
    """The lines of the profile in words: what a drawing may leave hard to read, and what it cannot say.

    Of a ``dropped`` gable end those of its tail are left out.
    """
    levels, rows = heights(bay), []
    for i, end in enumerate(bay.ends):
        parts = [
            f"heel {feet_inches(end.heel)}",
            f"bearing {feet_inches(end.bearing)}",
        ]
        if not dropped:
            tail = bay.reading("tail_top", end.wall.side).value
            where = "above" if tail >= 0 else "below"
            parts.append(f"overhang {feet_inches(end.overhang)}")
            parts.append(f"top of the tail cut {feet_inches(abs(tail))} {where} plate {'LR'[i]}")
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
    if kind.jog and kind.jog.by and not dropped:
        eave = "its subfascia stays in line" if kind.jog.eave == "straight" else "its subfascia steps with the wall"
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
        heels = " and ".join(dict.fromkeys(feet_inches(heel) for heel in pair(job.scissor.heel_input)))
        lines.append(f"Heel {heels} is the rafters', rounded to 1/16 in first; heights follow from it.")
    if kind.jog:
        near = bay.left if kind.jog.end == "left" else bay.right
        lines.append(
            f"Moved wall, read off the same planes: plate {feet_inches(abs(near.plate))} "
            f"{'above' if near.plate >= 0 else 'below'} M, heel {feet_inches(near.heel)}."
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
        "bearings and ceiling line do not change."
    ]
    said = [f"{e.finding.sentence} {e.finding.remedy if e.finding.verdict != 'meets' else ''}".strip() for e in ends]
    same = said[0] == said[1]
    lines += [
        checked(line if same else f"{side}: {line}")
        for side, line in zip(("Left", "Right")[: 2 - same], said, strict=False)
    ]
    lines += mid_roof_gables(job, kind)
    lines += [criterion(row, job.loads.get(row.name)) for row in GROUPS["Gable end"]]
    return (*lines, checked(f"Caution: {ends[0].caution}"))


def hold_gable(bay: ScissorBay) -> tuple[str, ...]:
    """The lines on what the manufacturer holds of a dropped gable end truss: no roof plane and no tail."""
    return (
        "Top chord: heels and overall height as figured, below the roof plane: this truss holds no roof plane.",
        "No tail: none is drawn or held. Where the ladder needs one, tell us before fabrication.",
        HOLD_CEILING.format(face=bay.ceiling_from),
        HOLD_BEARING,
    )
