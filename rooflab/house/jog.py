"""A wall set in or out under the planes: the short truss, the other ways to frame it, and what each breaks.

Also what a gable end and a ceiling finish do to the scissor bay's numbers.  What an office usually tries is common
practice, no source; each number is read off the lines.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.findings import HEEL_WITH_BLOCKING, HEEL_WITHOUT_BLOCKING, Finding
from rooflab.base.inputs import Input, Length, attempt, must_be, pair, read_word, stop_on
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import LEVEL, feet_inches

from .bays import ScissorBay
from .planes import Bay, End, Gable, Line, set_fields
from .readings import JogReadings

PLATES = 4.5  # three 1 1/2 in plates, two above the studs and one below, in
FINISH = (0.5, 0.0)
"""Gypsum and furring taken where a job gives none, in (common practice, no source)."""

LAYERS: dict[str, Input] = {
    row.name: row
    for row in (
        Input("gypsum", "Gypsum", "length", 0, 6, 0.125, FINISH[0]),
        Input("furring", "Furring", "length", 0, 6, 0.125, FINISH[1]),
    )
}
"""What the finished ceiling is made of."""

AREA_LOAD = Input("area_load", "Area load", "number", 0, 400, unit="psf")
SPAN_CARRIED = Input("span", "Span", "length", 1 / 16, 1200)
WAYS = {
    "move plate": "Plate moved to the ceiling plane",
    "block up": "Plate left, ceiling plane kept",
    "new ceiling": "Plate left, ceiling begun again",
    "same heel": "Heel left, plate moved with the roof",
    "beam": "Long truss kept, on a beam",
}


class Way(NamedTuple):
    """One way to frame the set-in wall, all under the same roof plane.

    ``plate`` is its top above the long truss's plate, ``heel`` the truss's there, ``ceiling_break`` how much higher its
    ceiling begins than the ceiling plane, ``stand_off`` how far the ceiling plane passes above the plate (all in).
    ``bay`` is the truss so framed, to be drawn and read (its inputs stay the short truss's), None where there is none.
    """

    name: str
    title: str
    plate: float
    heel: float
    ceiling_break: float
    stand_off: float
    sentence: str
    bay: ScissorBay | None


@dataclass(frozen=True, init=False)
class WallJog(Bay, JogReadings):
    """A long truss and the short one on a wall moved ``by`` inches under its lines, with what the wall needs.

    Readings: ``rise`` (of the plate), ``heel``, ``stud``, ``run``, ``ceiling_break`` and ``fascia_step``; ``ways``
    holds the five ways in the order of ``WAYS``.  Made by ``jog``.
    """

    long: ScissorBay
    short: ScissorBay
    end: str
    by: float
    eave: str
    gable: Gable = field(compare=False, repr=False)
    left: End = field(compare=False, repr=False)
    right: End = field(compare=False, repr=False)
    kind = "jog"

    def __init__(self, long: ScissorBay, short: ScissorBay, end: str, by: float, eave: str) -> None:
        set_fields(self, long=long, short=short, end=end, by=by, eave=eave)
        set_fields(self, gable=long.gable, left=short.left, right=short.right)

    @property
    def old(self) -> End:
        """The long truss's end at the moved wall."""
        one: End = getattr(self.long, self.end)
        return one

    @property
    def new(self) -> End:
        """The short truss's end at the moved wall."""
        one: End = getattr(self.short, self.end)
        return one

    def symbols(self, end: str = "left") -> dict[str, Any]:
        """Values of the formulas' symbols at the moved wall, whichever ``end`` is named."""
        old, new = self.old, self.new
        assert old.ceiling is not None
        return {
            "m": abs(old.roof.slope),
            "c": abs(old.ceiling.slope),
            "j": self.by,
            "heel": old.heel,
            "run": old.run,
            "o": old.overhang,
            "o_new": new.overhang,
            "bearing": old.bearing,
            "bearing_new": new.bearing,
            "start": old.start,
            "start_new": new.start,
            "stud": self.floor - PLATES,
        }

    @property
    def floor(self) -> float:
        """The long truss's plate above the subfloor, in."""
        return pair(self.gable.plate_height)[0] + self.old.plate

    @property
    def ways(self) -> tuple[Way, ...]:
        """Every way to frame the set-in wall, each with its heel and a sentence."""
        return _ways(self)

    @property
    def move_words(self) -> str:
        """The move in words: set in, set out, or left where it is."""
        if self.by == 0:
            return "left where it is"
        return f"set {'in' if self.by > 0 else 'out'} {feet_inches(abs(self.by))}"

    @property
    def eave_sentence(self) -> str:
        """What the eave does, and what it asks of whom."""
        out, was = feet_inches(self.new.overhang), feet_inches(self.old.overhang)
        if self.eave == "stepped":
            step = self.fascia_step
            how = "no step" if abs(step) < LEVEL else f"{feet_inches(abs(step))} {'higher' if step > 0 else 'lower'}"
            return f"Stepped eave: the overhang stays {out}; fascia and soffit of the moved wall lie {how}."
        if self.by == 0:
            return f"The eave stays as it is, {out} deep."
        grows, ask = ("grows", " Ask the manufacturer for so long a tail.") if self.by > 0 else ("shrinks", "")
        return f"Straight eave: fascia and soffit run through; the overhang {grows} from {was} to {out}.{ask}"

    @property
    def return_wall(self) -> str:
        """The wall between the main and the moved one, whose plates step where they meet."""
        here, rise = feet_inches(self.floor), self.rise
        if abs(rise) < LEVEL:
            return f"The return wall, {feet_inches(abs(self.by))} long, keeps its plate {here} above the floor."
        up = feet_inches(self.floor + rise)
        return (
            f"The return wall, {feet_inches(abs(self.by))} long, has its plate {here} above the floor at the main wall "
            f"and {up} at the moved one. Plates cannot lap over that step of {feet_inches(abs(rise))}: how they are "
            "tied is the engineer's."
        )


def jog(
    long: ScissorBay, by: Length, bearing: Length | None = None, end: str = "left", eave: str = "straight"
) -> WallJog:
    """A wall set in by ``by`` inches (negative: out) under the long truss's lines.

    The plate rises c (j + bearing' - bearing) with the ceiling line from the inside face, c j from the outside face;
    the heel becomes heel + m j less that rise.  InputError as ``ScissorBay.jogged``.

    Worked by hand, heel 7 7/16, 8 and 4 in 12, bearing 5 1/2 to 3 1/2: (24 + 3.5 - 5.5)/3 = 7.3333; 7.4375 + 16 -
    7.3333 = 16.1042.

    >>> made = jog(ScissorBay(Gable("26'", 8, "5 1/2", 16), 4, "7 7/16"), 24, "3 1/2")
    >>> round(made.rise, 4), round(made.heel, 4), round(made.ways[3].ceiling_break, 4)
    (7.3333, 16.1042, 8.6667)
    """
    must_be(long, ScissorBay, "Long truss")
    short = long.jogged(by, bearing, end, eave)
    return WallJog(long, short, end, short.jogs[-1].by, eave)


# --- the five ways ---------------------------------------------------------------------------------------------------


def _ways(made: WallJog) -> tuple[Way, ...]:
    old, new = made.old, made.new
    assert old.ceiling is not None and new.ceiling is not None
    rise, step = made.rise, abs(old.roof.slope) * made.by
    kept = old.heel + step
    begun = new.wall.inside(new.start)
    afresh = Line.through(begun, old.plate, old.ceiling.slope)
    raised = Line.through(begun, old.plate + step, old.ceiling.slope)
    return (
        _way("move plate", rise, new.heel, 0.0, 0.0, _one_heel_sentence(rise, new.heel), made.short),
        _way("block up", 0.0, kept, 0.0, rise, _blocking_sentence(rise, made),
             _truss_with(made, old.plate, kept, old.ceiling, old.start - made.by)),
        _way("new ceiling", 0.0, kept, -rise, 0.0, _new_ceiling_sentence(rise),
             _truss_with(made, old.plate, kept, afresh, new.start)),
        _way("same heel", step, old.heel, step - rise, 0.0, _same_heel_sentence(step, step - rise),
             _truss_with(made, old.plate + step, old.heel, raised, new.start)),
        _way("beam", 0.0, old.heel, 0.0, 0.0, _beam_sentence(made.by), made.long),
    )  # fmt: skip


def _way(name: str, plate: float, heel: float, off: float, up: float, said: str, bay: ScissorBay | None) -> Way:
    return Way(name, WAYS[name], plate, heel, off, up, said, bay)


def _truss_with(made: WallJog, plate: float, heel: float, ceiling: Line, start: float) -> ScissorBay | None:
    """The short truss with another plate, heel and ceiling line at the moved wall; None where it cannot be drawn."""
    new = made.new
    other = made.short.right if made.end == "left" else made.short.left
    assert other.ceiling is not None
    meet = ceiling.meet(other.ceiling)
    x = meet[0] if meet else made.short.peak[0]
    apart = meet is None and abs(ceiling.at0 - other.ceiling.at0) > 1e-9
    inside = all((x - end.wall.x) * end.wall.inward > end.bearing for end in (new, other))
    if apart or not inside or heel <= 0:
        return None
    bay = copy(made.short)
    mine = replace(
        new, wall=replace(new.wall, plate=plate), heel=heel, ceiling=ceiling, start=start, apex=abs(x - new.wall.x)
    )
    theirs = replace(other, apex=abs(x - other.wall.x))
    set_fields(bay, **{made.end: mine, theirs.wall.side: theirs})
    return bay if bay.chords_part else None


def _one_heel_sentence(rise: float, heel: float) -> str:
    what = (
        "Leave the plate at its height"
        if abs(rise) < LEVEL
        else f"{_up_words(rise)} the plate {feet_inches(abs(rise))}"
    )
    return f"{what} and order a heel of {feet_inches(heel)}: roof plane and ceiling plane run through."


def _up_words(rise: float) -> str:
    return "Raise" if rise > 0 else "Lower"


def _blocking_sentence(rise: float, made: WallJog) -> str:
    if abs(rise) < LEVEL:
        return "The ceiling plane meets this plate: nothing to block up."
    if rise > 0:
        return (
            f"The bottom chord stands {feet_inches(rise)} off the plate: a level return, a block or an end vertical "
            "must reach it. Ask the manufacturer."
        )
    strip = made.old.start - made.by - made.new.start
    return (
        f"The ceiling plane comes {feet_inches(-rise)} below the plate's top, where no truss can go: for "
        f"{feet_inches(strip)} from the wall the ceiling would run level."
    )


def _new_ceiling_sentence(rise: float) -> str:
    if abs(rise) < LEVEL:
        return "The ceiling begun again is the ceiling plane: no step."
    where = "lower" if rise > 0 else "higher"
    return (
        f"On this side the short trusses' ceiling lies {feet_inches(abs(rise))} {where}: a step across the room, and "
        "an apex beside the ridge."
    )


def _same_heel_sentence(step: float, broken: float) -> str:
    if abs(step) < LEVEL:
        return "The wall stands where it stood: the heel is the long truss's."
    how = "the ceiling plane still runs through"
    if abs(broken) >= LEVEL:
        how = f"the ceiling begins {feet_inches(abs(broken))} {'too high' if broken > 0 else 'too low'} and breaks"
    by = f"{_up_words(step)} the plate {feet_inches(abs(step))}"
    return f"{by} so that the long truss's heel holds the roof plane; {how}."


def _beam_sentence(by: float) -> str:
    if by >= 0:
        return (
            "Both planes run on over the recess. The beam is the engineer's; the moved wall carries nothing and stays "
            "clear of the chords."
        )
    return (
        "Long trusses end on a beam; rafters carry the roof plane on over the part outside. The ceiling stops at the "
        "beam, which is the engineer's."
    )


# --- what the wall carries -------------------------------------------------------------------------------------------


def header_load(area_load: float, span: Length) -> float:
    """Line load of trusses on a header or girder that carries one end, w L / 2, in plf; its top is the raised plate.

    ``area_load`` is all that the trusses carry, psf of horizontal projection, ``span`` theirs in inches.  Overhangs
    and concentrated loads come on top: the engineer sizes the header.  Statics of a simple span.

    >>> header_load(40, "26'")
    520.0
    """
    problems: list[str] = []
    load, length = AREA_LOAD.read(area_load, problems), SPAN_CARRIED.read(span, problems)
    stop_on(problems)
    return load * length / 12 / 2


def blocking_from(long: ScissorBay, bearing: Length | None = None, end: str = "left") -> tuple[float, float] | None:
    """Set-ins beyond which the heel passes 9 1/4 in (blocking) and 15 1/4 in (panels or design); None if never.

    From heel + m j - c (j + bearing' - bearing) = limit.  Limits: IRC R602.10.8.2, from memory.  Worked by hand, heel
    7 7/16, 8 and 4 in 12: (9.25 - 7.4375) x 3 = 5.4375 and (15.25 - 7.4375) x 3 = 23.4375.

    >>> [round(j, 4) for j in blocking_from(ScissorBay(Gable("26'", 8, "5 1/2", 16), 4, "7 7/16"))]
    [5.4375, 23.4375]
    """
    there = jog(long, 0, bearing, end)
    s = there.symbols()
    grows = s["m"] - s["c"]
    if grows < 1e-9:
        return None
    first, second = ((limit - there.heel) / grows for limit in (HEEL_WITHOUT_BLOCKING, HEEL_WITH_BLOCKING))
    return first, second


# --- gable end and finish --------------------------------------------------------------------------------------------


class GableEnd(NamedTuple):
    """The dropped gable end truss: how far its top chord is lowered, its heel, and the heel held against the least."""

    drop: float
    heel: float
    finding: Finding
    caution: str


STUDS_RUN = (
    "Frame the end wall under a sloped ceiling with full-height (balloon-framed) studs from floor to ceiling line: a "
    "flat plate with a gable wall on top is a hinge (IRC R602.3, from memory: verify). Tall studs and the header are "
    "the engineer's."
)


def gable_end(bay: ScissorBay, outlooker: str = "2x4", laid: str = "flat", end: str = "left") -> GableEnd:
    """The gable end truss lowered so that outlookers pass over it: drop = outlooker depth x k(m), heel less the same.

    ``laid`` "flat" takes the outlooker's thickness, "on edge" its depth.

    >>> made = gable_end(ScissorBay(Gable("26'", 9, "5 1/2", 16), 4, "8 5/8"), "2x4", "flat")
    >>> made.drop, made.heel, made.finding.verdict
    (1.875, 6.75, 'meets')
    """
    must_be(bay, ScissorBay, "Bay")
    problems: list[str] = []
    read_word("Outlooker laid", laid, ("flat", "on edge"), problems)
    read_word("End", end, ("left", "right"), problems)
    size = attempt(problems, dressed_size, outlooker, "Outlooker") or (0.0, 0.0)
    stop_on(problems)
    one: End = getattr(bay, end)
    drop = float(geo.plumb_depth(size[laid == "on edge"], abs(one.roof.slope)))
    heel, least = one.heel - drop, bay.reading("minimum_heel", end).value
    verdict = "meets" if heel >= least - 1e-9 else "misses"
    finding = Finding(
        "gable_end_heel", heel, least, verdict, "common shop practice, from memory",
        f"Lowered {feet_inches(drop)} for outlookers, the gable end truss has a heel of {feet_inches(heel)}; the least "
        f"is {feet_inches(least)}.",
        f"Raise the heel{', lay the outlookers flat,' * (laid != 'flat')} or ask the manufacturer for a ladder "
        "instead.",
    )  # fmt: skip
    return GableEnd(drop, heel, finding, STUDS_RUN)


class Finish(NamedTuple):
    """The finished ceiling below the chords, heights above the left plate: its distance below the chord line, plumb;
    where it leaves the plate; its apex; and how much lower than a flat ceiling's finish it begins."""

    below: float
    at_plate: float
    apex: float
    step: float

    @property
    def sentence(self) -> str:
        """Where the finish lies and whether it meets the flat-ceiling bay's, in words."""
        said = f"The finish lies {feet_inches(self.below)} plumb below the chord line"
        if self.step < LEVEL:
            return f"{said}, and meets the flat-ceiling bay's finish at the plate."
        return (
            f"{said}, so at the plate it begins {feet_inches(self.step)} below the flat-ceiling bay's: fur that one "
            "down, or cover the step where the bays meet."
        )


def finish(bay: ScissorBay, gypsum: Length = "1/2", furring: Length = 0) -> Finish:
    """The finish plane: chord line less (gypsum + furring) k(c), plumb, on both sides.

    ``step`` is t (k(c) - 1) at the left plate, for a flat ceiling of the same layers t.  Worked by hand at 9 in 12
    (k = 1.25) with 1 1/4 in: 1.5625 below, 0.3125 lower than the flat one.

    >>> made = finish(ScissorBay(Gable("24'", 12, "5 1/2"), 9, 12), "1/2", "3/4")
    >>> made.below, made.step
    (1.5625, 0.3125)
    """
    must_be(bay, ScissorBay, "Bay")
    problems: list[str] = []
    layers = [LAYERS["gypsum"].read(gypsum, problems), LAYERS["furring"].read(furring, problems)]
    stop_on(problems)
    thick = sum(layers)
    below, lowered = [], []
    for end in bay.ends:
        assert end.ceiling is not None
        below.append(float(geo.plumb_depth(thick, abs(end.ceiling.slope))))
        lowered.append(replace(end.ceiling, at0=end.ceiling.at0 - below[-1]))
    meet = lowered[0].meet(lowered[1])
    apex = (meet[1] if meet else lowered[0].at0) - bay.left.plate
    return Finish(below[0], -below[0], apex, below[0] - thick)
