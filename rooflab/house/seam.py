"""Two bays held against each other.

``compare`` reads both roof lines at the same x; ``tail_and_soffit`` brings both tails to one soffit line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import Input, Length, must_be, pair, read_word, stop_on
from rooflab.base.lumber import RAFTERS, dressed_size, stock_at_least
from rooflab.base.measure import LEVEL, feet_inches, pitch_text

from .bays import RafterBay, ScissorBay
from .planes import End, higher, pick
from .readings import reading_of

TOLERANCE = Input("tolerance", "Tolerance", "length", 0, inf)
SUBFASCIA = 1.5  # thickness of a 2x subfascia, in


# --- the seam --------------------------------------------------------------------------------------------------------


class Remedy(NamedTuple):
    """One way to bring the planes together: what changes, by how much (in), to what, and a sentence."""

    what: str
    change: float
    to: float
    possible: bool
    sentence: str


@dataclass(frozen=True)
class Comparison:
    """Differences of the two roof lines, in; positive: the scissor bay is high.

    ``heel_gap`` at the rafter's outside face, ``tail_gap`` over its tail, ``ridge_gap`` at its ridge, all plumb;
    ``plane_offset`` the largest anywhere, square to the rafter plane, and ``end`` where that is; ``drift`` the change
    per foot of run.  Gaps and drift are the left planes', the remedies those of ``end``.
    """

    tolerance: float
    heel_gap: float
    tail_gap: float
    ridge_gap: float
    plane_offset: float
    drift: float
    remedies: tuple[Remedy, ...]
    end: str = "left"

    @property
    def coplanar(self) -> bool:
        """Whether the largest offset of the roof planes, square to them, is within the tolerance."""
        return abs(self.plane_offset) <= self.tolerance + 1e-9

    @property
    def sentence(self) -> str:
        """Whether the planes run through, and if not what is off and by how much."""
        if self.coplanar:
            most = feet_inches(abs(self.plane_offset))
            return (
                f"The planes run through: tail, eave and ridge agree (largest offset {most}, tolerance "
                f"{feet_inches(self.tolerance)})."
            )
        if self.end == "right":
            return (
                "The planes do not run through: at the right end the truss plane is "
                f"{feet_inches(abs(self.plane_offset))} too "
                f"{_side(self.plane_offset)}, square to the roof."
            )
        places = (("tail", self.tail_gap), ("eave", self.heel_gap), ("ridge", self.ridge_gap))
        if abs(self.drift) < 1e-9:
            return (
                f"The planes do not run through: the truss plane is {feet_inches(abs(self.heel_gap))} too "
                f"{_side(self.heel_gap)} "
                f"all along, {feet_inches(abs(self.plane_offset))} square to the roof."
            )
        parts = ", ".join(f"{_gap_words(gap)} at the {name}" for name, gap in places)
        return (
            f"The planes do not run through: the truss plane is {parts}; they drift "
            f"{feet_inches(abs(self.drift))} a foot."
        )


def _side(gap: float) -> str:
    return "high" if gap > 0 else "low"


def _gap_words(gap: float) -> str:
    return f"{feet_inches(abs(gap))} {_side(gap)}" if abs(gap) >= LEVEL else "level"


def compare(rafters: RafterBay, scissor: ScissorBay, tolerance: Length = "1/8") -> Comparison:
    """Differences of the scissor bay's roof lines from the rafter bay's, in, at the same x (never heel against heel).

    ``tolerance`` (inches, square to the plane) is the office's own: no step between a rafter plane and a truss plane is
    published; 1/8 is the default, about 1/4 over one truss space is lived with (common practice, no source).

    >>> from rooflab import Gable
    >>> gable = Gable("26'", 8, "5 1/2", 16)
    >>> rafters = RafterBay(gable, "2x10")
    >>> compare(rafters, ScissorBay(gable, 4, rafters.heel)).coplanar
    True
    """
    must_be(rafters, RafterBay, "Rafter bay")
    must_be(scissor, ScissorBay, "Scissor bay")
    problems: list[str] = []
    limit = TOLERANCE.read(tolerance, problems)
    stop_on(problems)
    offsets = [
        max(
            (
                float(geo.square_to(truss.roof.at(x) - rafter.roof.at(x), rafter.roof.slope)) + 0.0
                for x in (rafter.wall.inside(-rafter.overhang), rafter.wall.x, rafters.peak[0])
            ),
            key=abs,
        )
        for rafter, truss in zip(rafters.ends, scissor.ends, strict=True)
    ]
    end = "right" if abs(offsets[1]) > abs(offsets[0]) + 1e-9 else "left"
    left, truss, wall = rafters.left.roof, scissor.left.roof, rafters.left.wall

    def gap(x: float) -> float:
        return float(truss.at(x) - left.at(x)) + 0.0

    ridge = float(scissor.roof_at(rafters.peak[0]) - rafters.roof_at(rafters.peak[0])) + 0.0
    drift = 12 * (truss.slope - left.slope)
    return Comparison(
        limit,
        gap(wall.x),
        gap(wall.inside(-wall.overhang)),
        ridge,
        offsets[end == "right"],
        drift,
        tuple(_remedies(rafters, scissor, end)),
        end,
    )


def _remedies(rafters: RafterBay, scissor: ScissorBay, end: str) -> Iterator[Remedy]:
    """Ways to close the gap at the outside face of one wall."""
    mine: End = getattr(rafters, end)
    theirs: End = getattr(scissor, end)
    m, depth, seat = abs(mine.roof.slope), rafters.depth, pair(rafters.seat)[end == "right"]
    target = theirs.roof.at(mine.wall.x) - mine.plate  # the heel that meets the truss's plane
    gap, drift = target - mine.heel, 12 * (abs(theirs.roof.slope) - m)
    if abs(drift) > 1e-9:
        wanted = 12 * m
        yield Remedy(
            "pitch",
            -drift,
            wanted,
            True,
            f"Order the truss's roof pitch as {pitch_text(round(wanted, 4))}: while pitches differ the planes can "
            "meet at one x only.",
        )
    if abs(gap) < 1e-9:
        return
    way, by = ("shorter" if gap > 0 else "longer"), feet_inches(abs(gap))
    new = float(geo.seat_from(target, depth, m))
    if 0 <= new <= mine.bearing and target > 0:
        share = 100 * float(geo.notch(m, new)) / depth
        yield Remedy(
            "seat",
            new - seat,
            new,
            True,
            f"Cut the seat {feet_inches(abs(new - seat))} {way}, {feet_inches(new)}: the notch becomes {share:.0f} % "
            f"of the rafter's depth (now {100 * rafters.reading('notch_ratio', end).value:.0f} %).",
        )
    else:
        yield Remedy(
            "seat",
            new - seat,
            new,
            False,
            f"No seat does it: it would be {feet_inches(new)}; allowed is 0 to the bearing of "
            f"{feet_inches(mine.bearing)}, with "
            "wood left above it.",
        )
    made = theirs.heel - gap
    yield Remedy(
        "heel",
        -gap,
        made,
        made > 0,
        f"Have the trusses made with a heel of {feet_inches(made)}, {by} {'lower' if gap > 0 else 'higher'}.",
    )
    low = "rafters'" if gap > 0 else "trusses'"
    yield Remedy(
        "plate",
        abs(gap),
        abs(gap),
        True,
        f"Raise the {low} plate by {by}, or shim under the full bearing; all that hangs from it rises too, "
        "ceiling and soffit included.",
    )
    deep = float(geo.depth_from(target, seat, m))
    size = _sawn_size(deep)
    stock = f"that is a {size}" if size else f"no sawn size ({_neighbors(deep)})"
    yield Remedy(
        "depth",
        deep - depth,
        deep,
        size is not None,
        f"Use a rafter {feet_inches(abs(deep - depth))} {'deeper' if gap > 0 else 'shallower'}, "
        f"{feet_inches(deep)}: {stock}; "
        "one ripped from its graded width loses its grade.",
    )


def _sawn_size(depth: float) -> str | None:
    return next((size for size in RAFTERS if abs(dressed_size(size)[1] - depth) < 1 / 32), None)


def _neighbors(depth: float) -> str:
    below = [s for s in RAFTERS if dressed_size(s)[1] < depth]
    above = [s for s in RAFTERS if dressed_size(s)[1] > depth]
    return " and ".join(f"{s} is {feet_inches(dressed_size(s)[1])}" for s in (*below[-1:], *above[:1]))


# --- tail and soffit -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Tail:
    """Both tails of an eave at the fascia, in, above its plate: how their undersides come to one soffit line.

    ``step`` is the rafter's underside below the truss's; the deeper tail gets a ``level_cut`` that long, which leaves
    ``leaves`` square to the edge at its end.  ``soffit`` is the shared line, ``soffit_height`` it above the floor.
    ``beveled`` and ``square_edged`` are the subfascia depths from the roof line to the soffit line; ``subfascia`` the
    least sawn size that covers the square-edged one (None: deeper than stock).
    """

    top: float
    rafter_underside: float
    truss_underside: float
    step: float
    level_cut: float
    leaves: float
    soffit: float
    soffit_height: float
    beveled: float
    square_edged: float
    subfascia: str | None
    sentence: str

    @property
    def words(self) -> str:
        """The soffit line above the floor, and the subfascia that covers both tails."""
        size = f"a square-edged {self.subfascia} does" if self.subfascia else "deeper than sawn stock"
        return (
            f"The soffit line is {feet_inches(self.soffit_height)} above the floor; the level cut leaves "
            f"{feet_inches(self.leaves)} of the deeper tail, square to the edge. A subfascia "
            f"{feet_inches(self.beveled)} deep beveled to the roof, or {feet_inches(self.square_edged)} square-edged, "
            f"covers both: {size}."
        )


class Soffit(NamedTuple):
    """Both tails of an eave, in, above its plate: top, undersides, the step between them, the shared line.

    ``height`` is that line above the floor, ``leaves`` what the level cut leaves of the deeper tail, square to its
    edge; numbers or arrays.
    """

    top: Any
    rafter: Any
    truss: Any
    step: Any
    line: Any
    height: Any
    leaves: Any


def soffit_of(rafters: RafterBay, scissor: ScissorBay, end: str = "left") -> Soffit:
    """Both tails of one eave and their one soffit line, for one house or bays with arrays for numbers."""
    own, others = getattr(rafters, end), getattr(scissor, end)
    symbols, other = rafters.symbols(end), scissor.symbols(end)
    m, plate = symbols["m"], others.plate - own.plate
    mine = reading_of("rafter", "tail_underside").of(symbols)
    theirs = reading_of("scissor", "tail_underside").of(other) + plate
    step, line = theirs - mine, higher(mine, theirs)
    deeper = pick(step >= 0, rafters.depth, scissor.chord_depth)
    height = pair(rafters.gable.plate_height)[0] + own.plate + line
    tops = (reading_of("rafter", "tail_top").of(symbols), reading_of("scissor", "tail_top").of(other) + plate)
    top = higher(*tops)
    return Soffit(top, mine, theirs, step, line, height, deeper - geo.square_to(abs(step), m))


def tail_and_soffit(rafters: RafterBay, scissor: ScissorBay, end: str = "left") -> Tail | None:
    """An eave's tails and soffit ("left" or "right"), or None without an overhang on either bay.

    >>> from rooflab import Gable
    >>> gable = Gable("26'", 8, "5 1/2", 16)
    >>> tail = tail_and_soffit(RafterBay(gable).handed_over(), ScissorBay(gable, 4, "7 7/16"))
    >>> feet_inches(tail.level_cut), round(tail.leaves, 6)
    ('10 3/8"', 3.5)
    """
    must_be(rafters, RafterBay, "Rafter bay")
    must_be(scissor, ScissorBay, "Scissor bay")
    problems: list[str] = []
    read_word("End", end, ("left", "right"), problems)
    stop_on(problems)
    overhang = getattr(rafters, end).overhang
    if not overhang or not getattr(scissor, end).overhang:
        return None
    m = rafters.symbols(end)["m"]
    top, mine, theirs, step, soffit, height, leaves = soffit_of(rafters, scissor, end)
    cut, leaves = float(geo.level_cut(abs(step), m)), float(leaves)
    square = top - m * SUBFASCIA - soffit
    who = (
        f"a level cut {feet_inches(cut)} long on the rafter tail brings it to the truss's soffit line and leaves "
        f"{feet_inches(leaves)} square to the edge"
        if step > LEVEL
        else f"ask the manufacturer for a tail cut {feet_inches(-step)} higher: trusses are not cut on site"
        if step < -LEVEL
        else "both undersides meet"
    )
    runs_in = (
        ""
        if cut <= overhang
        else "; that cut would run into the wall, so lower the soffit or shorten the drop"
    )
    if leaves <= 0:
        runs_in = "; nothing would be left of the tail, so bring the two planes together first"
    return Tail(
        top,
        mine,
        theirs,
        step,
        cut,
        leaves,
        soffit,
        height,
        top - soffit,
        square,
        stock_at_least(square),
        f"Underside of tail: rafter {feet_inches(mine)}, truss {feet_inches(theirs)} from the plate; {who}{runs_in}.",
    )
