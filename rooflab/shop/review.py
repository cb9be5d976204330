"""What came back from the manufacturer, held against what was asked for.

A drawing states more numbers than it needs and may contradict itself, so it is a table of items, no profile.  Each item
gets a verdict and what its difference would do on the roof; then come contradictions in the drawing itself, and the
slips that would explain all that differs.  A review looks at general conformance with the design intent; it never
approves the engineering.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import must_be
from rooflab.base.lumber import WIDTHS
from rooflab.base.measure import InputError, feet_inches
from rooflab.base.rows import Symbols
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job

from .causes import EQUAL, Cause, Truss, causes, items_of, rounding_of, symbols_of_truss
from .contradictions import Contradiction, Repair, conflicts, repair_sentence
from .items import ENDS, ITEMS, LENGTH_ROUNDING, PITCH_ROUNDING, DrawingValue, item_and_end, label, read_items

AGREES, ROUNDING, RESOLVE, NOT_SHOWN = "agrees", "rounding", "resolve", "not shown"
DEFER = (
    "General conformance with the design intent only. The truss designer answers for each truss; local code, the "
    "engineer and the building official decide."
)


class ReviewLine(NamedTuple):
    """One item: intended and returned (in, or in 12; None: not shown), difference, verdict and consequence."""

    item: str
    intended: float
    returned: float | None
    difference: float | None
    verdict: str
    consequence: str

    @property
    def texts(self) -> tuple[str, str, str, str]:
        """Item, intended, returned and difference as they are printed."""
        kind = item_and_end(self.item)[0]
        if self.returned is None or self.difference is None:
            return label(self.item), kind.text(self.intended), "not shown", ""
        said = f"{self.difference:.2f}" if kind.kind == "pitch" else feet_inches(self.difference)
        if kind.kind == "size":
            return label(self.item), _size_name(self.intended), _size_name(self.returned), said
        return (
            label(self.item),
            kind.text(self.intended),
            kind.text(self.returned),
            "0" if self.verdict == AGREES else said,
        )


@dataclass(frozen=True)
class Review:
    """A returned drawing held against its bay: lines, contradictions with their repairs, and the causes that fit."""

    bay: ScissorBay
    truss: Truss
    shown: dict[str, float]
    lines: tuple[ReviewLine, ...]
    contradictions: tuple[Contradiction, ...]
    repairs: tuple[Repair, ...]
    causes: tuple[Cause, ...]
    remarks: dict[str, str]

    def of(self, verdict: str) -> tuple[ReviewLine, ...]:
        """The lines with one verdict."""
        return tuple(line for line in self.lines if line.verdict == verdict)

    @property
    def sentence(self) -> str:
        """The whole review in a few words."""
        off, missing = self.of(RESOLVE), self.of(NOT_SHOWN)
        if not off and not self.contradictions:
            rest = f"; not shown: {_labels(missing)}" if missing else ""
            return f'All numbers shown agree with those asked for, within 1/16"{rest}.'
        said = f"To resolve: {_labels(off)}. " if off else ""
        if self.contradictions:
            said += f"The drawing contradicts itself {_times(len(self.contradictions))}. "
        return said + self.cause_sentence

    @property
    def cause_sentence(self) -> str:
        """What would explain the differences, as far as anything does."""
        if not self.of(RESOLVE):
            return "No number differs from the one asked for."
        if not self.causes:
            return "No usual slip fits: differs, cause unknown."
        names = [one.slip for one in self.causes]
        several = len(names) > 1 or ", or " in names[0]
        more = " Nobody can tell which it was: ask." if several else " It fits; it need not be what happened: ask."
        return f"What fits: {'; or '.join(names)}.{more}"

    @property
    def repair_sentence(self) -> str:
        """Which single number, changed, repairs every contradiction; "" without one."""
        return repair_sentence(self.repairs) if self.contradictions else ""


@dataclass(frozen=True)
class JobReview:
    """The reviews of a job's types by mark, the marks that nothing came back for, and what the types do to each
    other."""

    reviews: dict[str, Review]
    missing: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """A sentence on each type, on missing drawings, and on types whose planes differ, in order."""
        said = [f"Type {mark}: {one.sentence}" for mark, one in self.reviews.items()]
        said += [f"Type {mark}: nothing came back." for mark in self.missing]
        planes = {mark: plane_offset(one) for mark, one in self.reviews.items()}
        known = {mark: off for mark, off in planes.items() if off is not None}
        if len(known) > 1 and max(known.values()) - min(known.values()) > 1 / 16 + EQUAL:
            high, low = max(known, key=lambda m: known[m]), min(known, key=lambda m: known[m])
            said.append(
                f"Type {high} would stand {known[high] - known[low]:.2f} in above type {low}, plumb: one "
                f"roof plane is wanted."
            )
        return tuple(said)


def review(intended: Any, returned: Any, rafters: RafterBay | None = None) -> Any:
    """Hold a returned drawing against the truss that was asked for.

    ``intended`` is a ScissorBay, and ``returned`` a mapping of item to value, the text of a CSV (item, value, remark)
    or its path; then a Review comes back.  ``rafters`` is the bay that handed the heel over: without it, slips made
    with its depth and seat cannot be told.  A Job takes a mapping of marks to drawings and gives a JobReview.
    Tolerance: a length within 1/16 in is rounding, a pitch within 0.005 in 12; manufacturing variances are for built
    trusses only.  InputError with a sentence for all that cannot be read.

    >>> from rooflab import Gable
    >>> bay = ScissorBay(Gable("26'", 8, "5 1/2", 16), 4, "8 13/16")
    >>> review(bay, {"heel": "00-08-13", "span": "26-00-00", "pitch": 8}).sentence.split(";")[0]
    'All numbers shown agree with those asked for, within 1/16"'
    """
    if isinstance(intended, Job):
        return _job(intended, returned)
    must_be(intended, ScissorBay, "Intended truss")
    if rafters is not None:
        must_be(rafters, RafterBay, "Rafters")
    truss = symbols_of_truss(intended, rafters)
    asked = items_of(truss)
    shown, printed = _by_end(read_items(returned), asked)
    values = {key: one.value for key, one in shown.items() if key != "chord"}
    found, repairs = conflicts(truss, values, {item: keys for item, keys in printed.items() if item != "chord"})
    lines = tuple(_review_lines(intended, truss, {key: one.value for key, one in shown.items()}))
    remarks = {key: one.remark for key, one in shown.items() if one.remark}
    return Review(intended, truss, values, lines, found, repairs, causes(truss, values), remarks)


def _job(job: Job, returned: Any) -> JobReview:
    if not isinstance(returned, Mapping):
        raise InputError("Returned drawings: a job takes them by mark, such as {'A': ..., 'B': ...}.")
    kinds = {kind.mark: kind for kind in job.types}
    problems = [
        f"Type {mark}: the job has no such type; it has {', '.join(kinds) or 'none'}."
        for mark in returned
        if mark not in kinds
    ]
    reviews: dict[str, Review] = {}
    for mark, kind in kinds.items():
        if mark not in returned:
            continue
        try:
            reviews[mark] = review(kind.bay(job.scissor), returned[mark], job.rafters)
        except InputError as error:
            problems += [f"Type {mark}: {problem}" for problem in error.problems]
    if problems:
        raise InputError(problems)
    return JobReview(reviews, tuple(mark for mark in kinds if mark not in reviews))


def _by_end(
    found: dict[str, DrawingValue], asked: Mapping[str, float]
) -> tuple[dict[str, DrawingValue], dict[str, tuple[str, ...]]]:
    """Values by end, and the keys that each printed item stands for.

    A bare item stands for both ends where both were asked for alike, else, as everywhere, for the left one.
    """
    shown: dict[str, DrawingValue] = {}
    printed: dict[str, tuple[str, ...]] = {}
    for key, one in found.items():
        item, end = item_and_end(key)
        keys: tuple[str, ...] = (key,)
        if item.ends and not end:
            both = tuple(f"{item.name}_{end}" for end in ENDS)
            keys = both if abs(asked[both[0]] - asked[both[1]]) <= EQUAL else both[:1]
            if len(keys) == 1:
                key = keys[0]
        printed[key] = keys
        shown |= dict.fromkeys(keys, one)
    return shown, printed


# --- lines -----------------------------------------------------------------------------------------------------------


def verdict_of(key: str, difference: float) -> str:
    """agrees, rounding or resolve: a drawing's tolerance is the rounding of a tape, 1/16 in."""
    if item_and_end(key)[0].kind == "size":
        return AGREES if abs(difference) < EQUAL else RESOLVE
    same = PITCH_ROUNDING / 10 if item_and_end(key)[0].kind == "pitch" else LENGTH_ROUNDING
    if abs(difference) <= same + EQUAL:
        return AGREES
    return ROUNDING if abs(difference) <= rounding_of(key) + EQUAL else RESOLVE


def _review_lines(bay: ScissorBay, truss: Truss, shown: Mapping[str, float]) -> Iterator[ReviewLine]:
    asked = {**items_of(truss), "chord": bay.chord_depth}
    for item in ITEMS.values():
        keys = [f"{item.name}_{end}" for end in ENDS] if item.ends else [item.name]
        if item.name in ("chord", "plate") and not set(keys) & set(shown):
            continue  # drawings need not repeat these
        alike = (
            len(keys) == 2
            and abs(asked[keys[0]] - asked[keys[1]]) <= EQUAL
            and shown.get(keys[0]) == shown.get(keys[1])
        )
        for key in keys[:1] if alike else keys:
            name = item.name if alike else key
            value = shown.get(key)
            if value is None:
                yield ReviewLine(name, asked[key], None, None, NOT_SHOWN, f"{label(name)} is not shown: ask for it.")
                continue
            off = value - asked[key]
            verdict = verdict_of(key, off)
            said = "" if verdict == AGREES else _CONSEQUENCES[item.name](off, truss[key.endswith("_right")], bay)
            yield ReviewLine(name, asked[key], value, off, verdict, "Within rounding." if verdict == ROUNDING else said)


def _size_name(depth: float) -> str:
    return next(
        (f"2x{name}" for name, dressed in WIDTHS.items() if abs(dressed - depth) < EQUAL), feet_inches(depth) + " deep"
    )


def _labels(lines: tuple[ReviewLine, ...]) -> str:
    return ", ".join(label(line.item).lower() for line in lines)


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


# --- what a difference would do on the roof --------------------------------------------------------------------------


def _in(value: float) -> str:
    return f"{abs(value):.2f} in"


def _high_or_low(value: float) -> str:
    return "high" if value > 0 else "low"


def _heel_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    square = float(geo.square_to(d, s["m"]))
    return (
        f"Built so, the roof plane stands {_in(square)} {_high_or_low(d)}, square to the plane; eave and ridge "
        f"{_in(d)} plumb. A step at the seam."
    )


def _pitch_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    rise, tail = d / 12 * s["run"], d / 12 * s["o"]
    square = float(geo.square_to(rise, s["m"]))
    said = (
        f"Built so, the plane leaves the rafters' by {_in(d)} in each foot: a ridge gap of {_in(rise)} "
        f"{_high_or_low(d)} ({_in(square)} square to the plane)"
    )
    return said + (f", the tail {_in(tail)} {_high_or_low(-d)}." if s["o"] else ".")


def _span_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    ridge = d / 2 * s["m"]
    said = f"bearing short by {_in(d / 2)} at each end" if d < 0 else f"the ends stand {_in(d / 2)} out past each wall"
    return f"Centred on the walls, {said}; the ridge is {_in(ridge)} {_high_or_low(d)}."


def _overhang_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    drop = d * s["m"]
    return (
        f"Seen from above, fascia and soffit step {'out' if d > 0 else 'back'} {_in(d)}; the tail's top "
        f"is {_in(drop)} {_high_or_low(-d)}."
    )


def _bearing_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    said = (
        f"Bearing short by {_in(d)} of the plate."
        if d < 0
        else f"Bearing short by {_in(d)}: the plate is narrower than the truss wants."
    )
    ceiling = -d * s["c"]
    return said + (
        f" The ceiling line starts at that face: {_in(ceiling)} {_high_or_low(ceiling)}, a ceiling step."
        if s["start"] and s["c"]
        else ""
    )


def _height_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    return f"A ridge gap: the peak stands {_in(d)} {_high_or_low(d)} beside the rafters' ridge."


def _rise_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    return (
        f"The ceiling is {_in(d)} {_high_or_low(d)} at its apex: a ceiling step at the jog and against the end walls."
    )


def _ceiling_pitch_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    apex = d / 12 * (s["apex"] - s["start"])
    return (
        f"The ceiling line drifts {_in(d)} in each foot: {_in(apex)} {_high_or_low(d)} at its apex, a ceiling step at "
        "the jog."
    )


def _depth_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    return (
        f"Roof and ceiling stand {_in(d)} {'further apart' if d > 0 else 'closer'} at the peak: one of "
        f"the two planes is off."
    )


def _tail_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    return f"The top of the tail is {_in(d)} {_high_or_low(d)}: a fascia and soffit step at the seam."


def _plate_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    return f"All that stands on this plate is {_in(d)} {_high_or_low(d)}, ceiling and roof plane too."


def _chord_consequence(d: float, s: Symbols, bay: ScissorBay) -> str:
    under = float(geo.plumb_depth(abs(d), s["m"]))
    new, old = _size_name(bay.chord_depth + d), _size_name(bay.chord_depth)
    return (
        f"A {new} chord returned instead of {old} moves the tail's underside {_in(under)} "
        f"{'down' if d > 0 else 'up'} and the plane not at all."
    )


_CONSEQUENCES: dict[str, Callable[[float, Symbols, ScissorBay], str]] = {
    "span": _span_consequence,
    "pitch": _pitch_consequence,
    "ceiling_pitch": _ceiling_pitch_consequence,
    "overhang": _overhang_consequence,
    "bearing": _bearing_consequence,
    "heel": _heel_consequence,
    "height": _height_consequence,
    "ceiling_rise": _rise_consequence,
    "depth_at_peak": _depth_consequence,
    "tail_top": _tail_consequence,
    "plate": _plate_consequence,
    "chord": _chord_consequence,
}


def plane_offset(one: Review) -> float | None:
    """How far a returned truss's plane would stand above the one asked for, plumb at the left face; None if unknown."""
    if "heel_left" not in one.shown:
        return None
    s = one.truss[0]
    return one.shown["heel_left"] - s["heel"] + one.shown.get("plate_left", s["plate"]) - s["plate"]
