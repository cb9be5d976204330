"""What came back from the manufacturer, held against what was asked for.

A drawing states more numbers than it needs and may contradict itself, so it is a table of items, no profile.  Each item
gets a verdict and what its difference would do on the roof; then come contradictions in the drawing itself, and the
mistakes that would explain all that differs.  A review looks at general conformance with the design intent; it never
approves the engineering.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import must_be
from rooflab.base.lumber import WIDTHS
from rooflab.base.measure import LEVEL, InputError, feet_inches, sixteenth
from rooflab.base.rows import Symbols
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job

from .causes import (
    EQUAL,
    TOLERANCE,
    Cause,
    Numbers,
    Truss,
    causes,
    items_of,
    rounding_of,
    symbols_of_truss,
    truss_of_drawing,
)
from .contradictions import Contradiction, Repair, conflicts, repair_sentence
from .items import (
    ENDS,
    ITEMS,
    LENGTH_ROUNDING,
    PITCH_ROUNDING,
    DrawingValue,
    half_steps,
    item_and_end,
    label,
    read_items,
)

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
    half_steps: dict[str, float]
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
            if near := self.of(ROUNDING):
                return f"Rounding only: {_labels(near)}; all else shown agrees with what was asked for{rest}."
            lengths = [half for key, half in self.half_steps.items() if item_and_end(key)[0].kind == "length"]
            within = feet_inches(max([TOLERANCE, *lengths]))
            return f"All numbers shown agree with those asked for, within {within}{rest}."
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
            return "No one usual mistake gives all of them: ask about each."
        names = [one.mistake for one in self.causes]
        several = len(names) > 1 or ", or " in names[0]
        more = " Nobody can tell which it was: ask." if several else " It fits; it need not be what happened: ask."
        return f"What fits: {'; or '.join(names)}.{more}"

    @property
    def together(self) -> str:
        """What the inputs shown do together to ridge and eaves, in a sentence; "" where fewer than two differ."""
        names = dict.fromkeys(item_and_end(line.item)[0].label.lower() for line in self.of(RESOLVE)
                              if item_and_end(line.item)[0].name in ("span", "pitch", "heel", "plate"))  # fmt: skip
        if len(names) < 2:
            return ""
        drawn = truss_of_drawing(self.truss, self.shown)
        left, right = (_Step(self.truss, drawn, self.bay, end) for end in (False, True))
        eaves = list(dict.fromkeys(_step_in_words(at.eave) for at in (left, right)))
        said = f"both eaves {eaves[0]}" if len(eaves) == 1 else f"the left eave {eaves[0]}, the right eave {eaves[1]}"
        *most, last = names
        shown = f"{', '.join(most)} and {last}"
        return f"Together, by the {shown} shown: the ridge is {_step_in_words(left.ridge)}, {said}."

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
        if apart := planes_apart(self.reviews):
            said.append(apart)
        return tuple(said)


def review(intended: Any, returned: Any, rafters: RafterBay | None = None) -> Any:
    """Hold a returned drawing against the truss that was asked for.

    ``intended`` is a ScissorBay, and ``returned`` a mapping of item to value, the text of a CSV (item, value, remark)
    or its path; then a Review comes back.  ``rafters`` is the bay that handed the heel over: without it, mistakes
    with its depth and seat cannot be told.  A Job takes a mapping of marks to drawings and gives a JobReview.
    Tolerance: a length within 1/16 in is rounding (1/8 on a drawing in quarters), a pitch within 0.005 in 12;
    manufacturing variances are for built trusses only.  InputError with a sentence for all that cannot be read.

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
    return review_items(intended, read_items(returned), rafters)


def review_items(intended: ScissorBay, items: Mapping[str, DrawingValue], rafters: RafterBay | None = None) -> Review:
    """The same for items that were read already, by key; none where nothing is typed yet."""
    truss = symbols_of_truss(intended, rafters)
    asked = items_of(truss)
    shown, printed = _by_end(items, asked)
    values = {key: one.value for key, one in shown.items() if key != "chord"}
    half = half_steps(shown)
    printed = _both_ends_alike({item: keys for item, keys in printed.items() if item != "chord"}, values, half, asked)
    found, repairs = conflicts(truss, values, printed, half)
    lines = tuple(_review_lines(intended, truss, {key: one.value for key, one in shown.items()}, half))
    remarks = {key: one.remark for key, one in shown.items() if one.remark}
    return Review(intended, truss, values, half, lines, found, repairs, causes(truss, values, half), remarks)


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
    found: Mapping[str, DrawingValue], asked: Mapping[str, float]
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


def _both_ends_alike(
    printed: Mapping[str, tuple[str, ...]], shown: Mapping[str, float], half: Mapping[str, float],
    asked: Mapping[str, float],
) -> dict[str, tuple[str, ...]]:  # fmt: skip
    """Printed items, both ends one number where they were asked for alike and are shown alike."""
    found: dict[str, tuple[str, ...]] = {}
    for key, keys in printed.items():
        item, end = item_and_end(key)
        both = tuple(f"{item.name}_{end}" for end in ENDS)
        if end and all(k in printed and printed[k] == (k,) for k in both):
            left, right = both
            if shown[left] == shown[right] and half[left] == half[right] and abs(asked[left] - asked[right]) <= EQUAL:
                key, keys = item.name, both
        found[key] = keys
    return found


# --- lines -----------------------------------------------------------------------------------------------------------


def verdict_of(key: str, difference: float, half: float = LENGTH_ROUNDING) -> str:
    """agrees, rounding or resolve: a drawing's tolerance is the rounding of a tape, 1/16 in.

    ``half`` is half the step that the number is written in, where that is more.
    """
    kind = item_and_end(key)[0].kind
    if kind == "size":
        return AGREES if abs(difference) < EQUAL else RESOLVE
    same = PITCH_ROUNDING / 10 if kind == "pitch" else LENGTH_ROUNDING
    if abs(difference) <= same + EQUAL:
        return AGREES
    return ROUNDING if abs(difference) <= rounding_of(half, key) + EQUAL else RESOLVE


def _review_lines(
    bay: ScissorBay, truss: Truss, shown: Mapping[str, float], half: Mapping[str, float]
) -> Iterator[ReviewLine]:
    asked = {**items_of(truss), "chord": bay.chord_depth}
    for item in ITEMS.values():
        keys = [f"{item.name}_{end}" for end in ENDS] if item.ends else [item.name]
        if item.name in ("chord", "plate") and not set(keys) & set(shown):
            continue  # drawings need not repeat these
        drawn = truss_of_drawing(truss, _with_own_inputs(item.name, shown))
        lines = [_line(key, asked[key], shown, half, _Step(truss, drawn, bay, key.endswith("_right"))) for key in keys]
        if item.name == "plate":  # nor say that one is level with the main plate
            lines = [line for line in lines if line.verdict != NOT_SHOWN or abs(line.intended) > LENGTH_ROUNDING]
        if len(lines) == 2 and abs(lines[0].intended - lines[1].intended) <= EQUAL and lines[0][2:] == lines[1][2:]:
            lines = [lines[0]._replace(item=item.name)]
        for line in lines:
            missing = f"{label(line.item)} is not shown: ask for it."
            yield line._replace(consequence=missing) if line.verdict == NOT_SHOWN else line


def _with_own_inputs(name: str, shown: Mapping[str, float]) -> Numbers:
    """The numbers shown that an item's own effect follows from: the item, and where its truss stands on the plates."""
    beside = {"heel": ("plate",), "plate": ("heel",)}.get(name, () if ITEMS[name].is_input else ("plate",))
    return {key: value for key, value in shown.items() if item_and_end(key)[0].name in (name, *beside)}


def _line(key: str, asked: float, shown: Mapping[str, float], half: Mapping[str, float], step: _Step) -> ReviewLine:
    if key not in shown:
        return ReviewLine(key, asked, None, None, NOT_SHOWN, "")
    off = shown[key] - asked
    verdict = verdict_of(key, off, half[key])
    said = "Within rounding." if verdict == ROUNDING else ""
    if verdict == RESOLVE:
        said = _CONSEQUENCES[item_and_end(key)[0].name](off, step)
    return ReviewLine(key, asked, shown[key], off, verdict, said)


def _size_name(depth: float) -> str:
    return next(
        (f"2x{name}" for name, dressed in WIDTHS.items() if abs(dressed - depth) < EQUAL), feet_inches(depth) + " deep"
    )


def _labels(lines: tuple[ReviewLine, ...]) -> str:
    return ", ".join(label(line.item).lower() for line in lines)


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


# --- what a difference would do on the roof --------------------------------------------------------------------------


class _Step:
    """How far the planes of the truss drawn stand off those asked for, seen from one end, in; up and outward are more.

    The truss is set centered on its walls and stands on the plates that its drawing shows.
    """

    def __init__(self, asked: Truss, drawn: Truss, bay: ScissorBay, right: bool) -> None:
        old, new = asked[right], drawn[right]
        self.bay, self.old, self.new = bay, old, new
        was, now = items_of(asked), items_of(drawn)
        self.out = (now["span"] - was["span"]) / 2  # past each wall
        self.low = min(s["plate"] for s in drawn) - min(s["plate"] for s in asked)
        self.plate = new["plate"] - old["plate"]
        self.eave = _roof(new, self.out) - _roof(old, 0)
        self.tail = _roof(new, -new["o"]) - _roof(old, -old["o"])
        self.fascia = self.out + new["o"] - old["o"]
        self.ceiling = _ceiling(new, self.out + old["start"]) - _ceiling(old, old["start"])
        self.ridge = self.low + now["height"] - was["height"]
        self.apex = self.low + now["ceiling_rise"] - was["ceiling_rise"]
        self.in_by = _ridge_place(drawn, now["height"], right) - self.out - _ridge_place(asked, was["height"], right)


def _roof(s: Symbols, x: float) -> float:
    """Height of one end's roof line above the level line, ``x`` in from the truss's end, in."""
    return float(s["plate"] + s["heel"] + s["m"] * x)


def _ceiling(s: Symbols, x: float) -> float:
    """Height of one end's ceiling line above the level line, ``x`` in from the truss's end, in."""
    return float(s["plate"] + s["c"] * (x - s["start"]))


def _ridge_place(truss: Truss, height: float, right: bool) -> float:
    """How far in from one end the ridge stands, in."""
    s = truss[right]
    return float((height + min(one["plate"] for one in truss) - _roof(s, 0)) / s["m"])


def _shows(value: float) -> bool:
    return abs(value) >= LEVEL


def _in(value: float) -> str:
    return feet_inches(abs(value))


def _high_or_low(value: float) -> str:
    return "high" if value > 0 else "low"


def _off(value: float) -> str:
    """A step in words: ``2" high``."""
    return f"{_in(value)} {_high_or_low(value)}"


def _step_in_words(value: float) -> str:
    return _off(value) if _shows(value) else "as high as asked for"


def _heel_consequence(d: float, at: _Step) -> str:
    if not _shows(at.eave):
        made = "plate" if _shows(at.plate) else "rest"
        return f"The {made} of the drawing makes up for it: at this wall the roof plane stands where it was asked for."
    square = float(geo.square_to(at.eave, at.old["m"]))
    if _in(at.eave) == _in(at.ridge) and at.eave * at.ridge > 0:
        plumb = f"eave and ridge {_in(at.eave)} plumb"
    else:
        plumb = f"plumb, the eave is {_off(at.eave)}, the ridge {_step_in_words(at.ridge)}"
    return f"Built so, the roof plane stands {_off(square)}, square to the plane; {plumb}. A step at the seam."


def _each_foot(d: float) -> str:
    """How far two pitches part, in words."""
    return f"{_in(d)} in each foot" if sixteenth(abs(d)) else 'less than 1/16" in each foot'


def _pitch_consequence(d: float, at: _Step) -> str:
    said = f"Built so, the plane leaves the rafters' by {_each_foot(d)}: "
    said += f"a ridge gap of {_off(at.ridge)}" if _shows(at.ridge) else "the ridge as high as asked for"
    if _shows(at.in_by):
        said += f", {_in(at.in_by)} farther {'in' if at.in_by > 0 else 'out'}"
    elif _shows(at.ridge):
        said += f" ({_in(float(geo.square_to(at.ridge, at.old['m'])))} square to the plane)"
    return said + (f", the tail {_off(at.tail)}." if _shows(at.tail) else ".")


def _span_consequence(d: float, at: _Step) -> str:
    out = f"the ends stand {_in(d / 2)} out past each wall"
    said = f"bearing short by {_in(d / 2)} at each end" if d < 0 else out
    return f"Centered on the walls, {said}; the ridge is {_step_in_words(at.ridge)}."


def _overhang_consequence(d: float, at: _Step) -> str:
    step = f"fascia and soffit step {'out' if at.fascia > 0 else 'back'} {_in(at.fascia)}"
    above = step if _shows(at.fascia) else "fascia and soffit run through"
    return f"Seen from above, {above}; the tail's top is {_step_in_words(at.tail)}."


def _bearing_consequence(d: float, at: _Step) -> str:
    said = (
        f"Bearing short by {_in(d)} of the plate."
        if d < 0
        else f"Bearing short by {_in(d)}: the plate is narrower than the truss wants."
    )
    moves = at.old["start"] and _shows(at.ceiling)
    return said + (f" The ceiling line starts at that face: {_off(at.ceiling)}, a ceiling step." if moves else "")


def _height_consequence(d: float, at: _Step) -> str:
    step = d + at.low
    if not _shows(step):
        return "The plates make up for it: the peak stands as high as the rafters' ridge."
    return f"A ridge gap: the peak stands {_off(step)} beside the rafters' ridge."


def _rise_consequence(d: float, at: _Step) -> str:
    step = d + at.low
    if not _shows(step):
        return "The plates make up for it: the ceiling is as high at its apex as it was asked for."
    return f"The ceiling is {_off(step)} at its apex: a ceiling step at the jog and against the end walls."


def _ceiling_pitch_consequence(d: float, at: _Step) -> str:
    said = f"The ceiling line drifts {_each_foot(d)}: "
    return said + (f"{_off(at.apex) if _shows(at.apex) else 'level'} at its apex, a ceiling step at the jog.")


def _depth_consequence(d: float, at: _Step) -> str:
    return (
        f"Roof and ceiling stand {_in(d)} {'farther apart' if d > 0 else 'closer'} at the peak: one of "
        f"the two planes is off."
    )


def _tail_consequence(d: float, at: _Step) -> str:
    step = d + at.plate
    if not _shows(step):
        return "The plate makes up for it: the top of the tail is where it was asked for."
    return f"The top of the tail is {_off(step)}: a fascia and soffit step at the seam."


def _plate_consequence(d: float, at: _Step) -> str:
    if _in(at.eave) == _in(at.ceiling) == _in(d) and at.eave * d > 0 and at.ceiling * d > 0:
        return f"All that stands on this plate is {_off(d)}, ceiling and roof plane too."
    return (
        f"Built so, at this wall the ceiling is {_step_in_words(at.ceiling)}, the roof plane {_step_in_words(at.eave)}."
    )


def _chord_consequence(d: float, at: _Step) -> str:
    under = float(geo.plumb_depth(abs(d), at.old["m"]))
    new, old = _size_name(at.bay.chord_depth + d), _size_name(at.bay.chord_depth)
    return (
        f"A {new} chord returned instead of {old} moves the tail's underside {_in(under)} "
        f"{'down' if d > 0 else 'up'} and the plane not at all."
    )


_CONSEQUENCES: dict[str, Callable[[float, _Step], str]] = {
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


def planes_apart(reviews: Mapping[str, Review]) -> str:
    """A sentence on types whose roof planes would stand apart, by their returned drawings; "" where none do."""
    planes = {mark: plane_offset(one) for mark, one in reviews.items()}
    known = {mark: off for mark, off in planes.items() if off is not None}
    if len(known) < 2 or max(known.values()) - min(known.values()) <= 1 / 16 + EQUAL:
        return ""
    high, low = max(known, key=lambda m: known[m]), min(known, key=lambda m: known[m])
    apart = feet_inches(known[high] - known[low])
    return f"Type {high} would stand {apart} above type {low}, plumb: one roof plane is wanted."


def plane_offset(one: Review) -> float | None:
    """How far a returned truss's plane would stand above the one asked for, plumb at the left face; None if unknown."""
    if "heel_left" not in one.shown:
        return None
    s = one.truss[0]
    return one.shown["heel_left"] - s["heel"] + one.shown.get("plate_left", s["plate"]) - s["plate"]
