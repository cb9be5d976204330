"""One bay against the usual limits: meets, misses, or ask.

Each limit stands once, as a function of numbers or arrays; ``findings`` puts it in words with its source, a map asks it
for a million houses.  Local code and licensed practice decide: a finding is a reminder, never an approval.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rooflab.base import geometry as geo
from rooflab.base.findings import (
    ASK,
    HEEL_WITH_BLOCKING,
    HEEL_WITHOUT_BLOCKING,
    MEETS,
    MISSES,
    NO_LIMIT,
    VERDICTS,
    Finding,
)
from rooflab.base.geometry import Number
from rooflab.base.inputs import must_be, pair
from rooflab.base.lumber import THICKNESSES, WIDTHS, stock_at_least
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Symbols
from rooflab.house.bays import RafterBay
from rooflab.house.planes import Bay, End, pick
from rooflab.house.readings import heel_state, reading_of

LEAST_STOCK, LEAST_TAIL, LONGEST_TAIL, LEAST_BEARING, MASONRY_BEARING, LEAST_PITCH = 2.0, 3.5, 24.0, 1.5, 3.0, 3.0

STEADY_RATIO = 5.0
"""Nominal depth over thickness up to which a rafter stands upright by itself where it bears (IRC R802.8)."""

# --- the limits, for numbers or arrays -------------------------------------------------------------------------------

class LimitCheck(NamedTuple):
    """A value held against its limit, and the verdict as a place in ``VERDICTS``; numbers or arrays."""

    value: Number
    limit: Number
    verdict: int | NDArray[np.int_]


def at_least(value: Number, limit: Number, else_: int = MISSES) -> LimitCheck:
    """A value held against a lower limit: it meets from the limit up."""
    return LimitCheck(value, limit, pick(value >= limit - 1e-9, MEETS, else_))


def at_most(value: Number, limit: Number, else_: int = MISSES) -> LimitCheck:
    """A value held against an upper limit: it meets up to the limit."""
    return LimitCheck(value, limit, pick(value <= limit + 1e-9, MEETS, else_))


def end_notch_limit(depth: Number) -> Number:
    """Deepest notch at a member's end, D/4, square to the edge, in (IRC R802.7.1); numbers or arrays."""
    return depth / 4


def end_notch(depth: Number, slope: Number, seat: Number) -> LimitCheck:
    """Depth of the birdsmouth against a quarter of the rafter's, in; beyond it officials are asked (IRC R802.7.1).

    >>> end_notch(9.25, 0.75, 4.0).verdict == ASK  # 0.6 x 4 = 2.4; a quarter is 2.3125
    True
    """
    return at_most(geo.notch(slope, seat), end_notch_limit(depth), ASK)


def stock_above_seat(depth: Number, slope: Number, seat: Number) -> LimitCheck:
    """Stock left above the seat, square to the edge, in (an older rule: 2 in)."""
    return at_least(depth - geo.notch(slope, seat), LEAST_STOCK)


def tail_left(depth: Number, slope: Number, seat: Number, overhang: Number) -> LimitCheck:
    """Depth left past the notch to carry a tail, square to the edge, in (IRC R802.7.1.1)."""
    return _if_tail(at_least(depth - geo.notch(slope, seat), LEAST_TAIL), overhang)


def tail_length(overhang: Number) -> LimitCheck:
    """Reach of a notched tail, level, in (IRC R802.7.1.1)."""
    held = LimitCheck(overhang, LONGEST_TAIL, pick(overhang <= LONGEST_TAIL, MEETS, MISSES))
    return _if_tail(held, overhang)


def bearing_length(length: Number) -> LimitCheck:
    """Bearing against 1 1/2 in on wood or metal; from there to 3 in it is asked whether it is masonry (IRC R802.6)."""
    verdict = pick(length < LEAST_BEARING, MISSES, pick(length < MASONRY_BEARING, ASK, MEETS))
    return LimitCheck(length, LEAST_BEARING, verdict)


def ridge_board_depth(board: Number, depth: Number, slope: Number) -> LimitCheck:
    """The ridge board (0: none, then it is asked) against the rafter's plumb cut, in (IRC R802.3)."""
    held = at_least(board, geo.plumb_depth(depth, slope))
    return held._replace(verdict=pick(board == 0, ASK, held.verdict))


def least_slope(slope: Number) -> LimitCheck:
    """Rise in 12 against the least without a ridge beam (IRC R802.3, R802.4.2)."""
    return at_least(12 * slope, LEAST_PITCH)


def heel_blocking(heel: Number) -> LimitCheck:
    """Heel against the most that asks for no blocking at a braced wall, in (IRC R602.10.8.2, from memory)."""
    return at_most(heel, HEEL_WITHOUT_BLOCKING, ASK)


def lateral_support(thickness: Number, depth: Number) -> LimitCheck:
    """Nominal depth over thickness where the rafter bears: over 5 : 1 it is asked how it is held upright (IRC R802.8).

    >>> lateral_support(1.5, 11.25).verdict == ASK, lateral_support(1.5, 9.25).verdict == NO_LIMIT
    (True, True)
    """
    held = at_most(nominal_size(WIDTHS, depth) / nominal_size(THICKNESSES, thickness), STEADY_RATIO, ASK)
    return held._replace(verdict=pick(held.verdict == MEETS, NO_LIMIT, held.verdict))


def nominal_size(sizes: Mapping[int, float], size: Number) -> Number:
    """The nominal size of a dressed one, in; measured stock is taken at its word.  Numbers or arrays."""
    made: Number = size
    for name, dressed in sizes.items():
        made = np.where(np.abs(np.asarray(size) - dressed) < 1e-9, float(name), made)
    return made


def heel_bears(heel: Number, depth: Number, slope: Number) -> LimitCheck:
    """Truss heel against the least at which its top chord bears, in (common shop practice, from memory)."""
    return at_least(heel, geo.minimum_heel(depth, slope))


def soffit_clears(line: Number, head: Number, overhang: Number = 1.0) -> LimitCheck:
    """Height of the tail's underside against the eave window's head, both above the floor, in."""
    return _if_tail(at_least(line, head), overhang)


def _if_tail(held: LimitCheck, overhang: Number) -> LimitCheck:
    return held._replace(verdict=pick(overhang == 0, NO_LIMIT, held.verdict))


class Limit(NamedTuple):
    """A limit of one kind of bay: its function and that function's symbols (those of ``limit_symbols``)."""

    name: str
    bay: str
    function: Callable[..., LimitCheck]
    args: str

    def hold(self, symbols: Symbols) -> LimitCheck:
        """The value held against its limit, from the symbols of ``limit_symbols``."""
        return self.function(*(symbols[name] for name in self.args.split()))


LIMITS: tuple[Limit, ...] = (
    Limit("end_notch", "rafter", end_notch, "D m seat"),
    Limit("stock_above_seat", "rafter", stock_above_seat, "D m seat"),
    Limit("tail_left", "rafter", tail_left, "D m seat o"),
    Limit("tail_length", "rafter", tail_length, "o"),
    Limit("bearing", "rafter", bearing_length, "seat"),
    Limit("ridge_board", "rafter", ridge_board_depth, "board D m"),
    Limit("slope", "rafter", least_slope, "m"),
    Limit("heel_blocking", "rafter", heel_blocking, "heel"),
    Limit("lateral_support", "rafter", lateral_support, "b D"),
    Limit("soffit_line", "rafter", soffit_clears, "soffit head o"),
    Limit("minimum_heel", "scissor", heel_bears, "heel d_t m"),
    Limit("bearing", "scissor", bearing_length, "bearing"),
    Limit("heel_blocking", "scissor", heel_blocking, "heel"),
    Limit("soffit_line", "scissor", soffit_clears, "soffit head o"),
)


def limit_symbols(bay: Bay, end: str = "left") -> Symbols:
    """The bay's symbols at one end with what the limits need beside them: ridge board, soffit line, window head."""
    made = bay.symbols(end)
    tail = reading_of(bay.kind, "tail_underside")
    floor = pair(bay.gable.plate_height)[0] + getattr(bay, end).plate
    made |= {"soffit": tail.of(made) + floor, "head": bay.gable.window_head}
    if isinstance(bay, RafterBay):
        made |= {"board": bay.ridge_size[1], "b": bay.thickness}
    return made


# --- in words --------------------------------------------------------------------------------------------------------


def findings(bay: Bay) -> tuple[Finding, ...]:
    """The bay's numbers against the usual limits; the right end too where it differs.

    *meets*, *misses*, or *ask*: the building official, the engineer or the manufacturer decides.  IRC numbers are those
    of 2018 to 2024; local code governs.

    >>> from rooflab import Gable
    >>> [f.name for f in findings(RafterBay(Gable("26'", 8, "5 1/2", 16), seat="3 1/2")) if f.verdict == "misses"]
    []
    """
    must_be(bay, Bay, "Bay")
    found = [*_findings_at(bay, "left")]
    if not bay.equal_ends:
        found += [f._replace(name=f"{f.name}_right") for f in _findings_at(bay, "right")]
    return tuple(found)


def _findings_at(bay: Bay, end: str) -> Iterator[Finding]:
    symbols = limit_symbols(bay, end)
    for row in LIMITS:
        if row.bay == bay.kind:
            held = row.hold(symbols)
            if held.verdict != NO_LIMIT:
                yield _finding(row.name, held, *WORDS[row.name](bay, getattr(bay, end), held, symbols))


def _finding(name: str, held: LimitCheck, source: str, sentence: str, remedy: str) -> Finding:
    value, limit, verdict = float(held.value), float(held.limit), VERDICTS[int(held.verdict)]
    if name == "ridge_board" and value == 0:
        return Finding(name, "none", "1 in nominal", verdict, source, sentence, remedy)
    return Finding(name, value, limit, verdict, source, sentence, remedy)


Wording = tuple[str, str, str]  # source, sentence, remedy


def _end_notch_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    longest = min(float(geo.seat_at_notch(held.limit, v["m"])), end.bearing)
    asks = ": officials differ on whether a birdsmouth counts as an end notch, so ask."
    return (
        "IRC R802.7.1 (D/4 at a member's end)",
        f"The birdsmouth is {feet_inches(held.value)} deep square to the edge; a quarter of the depth is "
        f"{feet_inches(held.limit)}{'.' if held.verdict == MEETS else asks}",
        f"A seat of {feet_inches(longest - longest % 0.0625)} or less stays within it.",
    )


def _stock_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    return (
        "NAVEDTRA 14044 p. 67 (older rule)",
        f'{feet_inches(held.value)} of stock stands above the seat; an older rule keeps at least 2".',
        "Shorten the seat or use a deeper rafter.",
    )


def _tail_left_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    return (
        "IRC R802.7.1.1",
        f'{feet_inches(held.value)} of the rafter runs on past the notch to carry the tail; at least 3 1/2" is wanted.',
        "Shorten the seat or use a deeper rafter.",
    )


def _tail_length_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    return (
        "IRC R802.7.1.1",
        f"The tail reaches {feet_inches(held.value)} level beyond the wall; a notched tail may reach 2'-0\".",
        "Shorten the overhang or have the engineer design the tail.",
    )


def _bearing_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    rafter = bay.kind == "rafter"
    what = "The seat" if rafter else "The truss's bearing"
    return (
        "IRC R802.6",
        f"{what} is {feet_inches(held.value)} long; "
        'at least 1 1/2" is wanted on wood or metal, 3" on masonry'
        + (": fine on wood, ask if it is masonry." if held.verdict == ASK else "."),
        "Lengthen the seat." if rafter else "Widen the plate or ask the manufacturer.",
    )


def _ridge_board_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    if held.value == 0:
        ask = "Name a ridge board, or ask the engineer for the gusset or beam."
        return "IRC R802.3", "No ridge board: how do the rafters meet?", ask
    plumb = float(held.limit)
    return (
        "IRC R802.3",
        f"The ridge board is {feet_inches(held.value)} deep, the rafter's plumb cut {feet_inches(plumb)}; "
        "the board must be no less deep than the cut end.",
        f"Use a ridge board at least {feet_inches(plumb)} deep "
        f"({stock_at_least(plumb) or 'deeper than sawn stock'}).",
    )


def _slope_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    return (
        "IRC R802.3, R802.4.2",
        f"The roof rises {held.value:.4g} in 12; under 3 in 12, or without a continuous tie, a ridge beam or bearing "
        "wall is required.",
        "Have the engineer size a ridge beam, or steepen the roof.",
    )


def _minimum_heel_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    heel, least = held.value, float(held.limit)
    alike = feet_inches(least) == feet_inches(heel) and heel < least
    said = f"{least:.3f} in" if alike else feet_inches(least)  # a hair below the least prints like the least
    meaning = {
        "below minimum": "no chord can bear at this heel",
        "standard": "a standard heel: the bottom chord is tapered under the top chord",
        "raised": "the heel is raised; slider, wedge or end vertical is the manufacturer's choice",
    }[str(heel_state(heel, v["d_t"], v["m"], v["d_b"], v["c"], v["start"]))]
    return (
        "common shop practice, from memory",
        f"The truss heel is {feet_inches(heel)}, the least for its top chord {said}: {meaning}.",
        f"Raise the heel to {said} or more, or ask the manufacturer.",
    )


def _blocking_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    said = (
        "no blocking is asked for"
        if held.verdict == MEETS
        else "blocking is wanted"
        if held.value <= HEEL_WITH_BLOCKING + 1e-9
        else "prescriptive panels or a design"
    )
    return (
        "IRC R602.10.8.2, from memory: verify",
        f"At a braced wall a heel of {feet_inches(held.value)} means {said} "
        '(to 9 1/4" none, to 15 1/4" blocking, above prescriptive panels or a design; low seismic).',
        "Settle blocking and shear transfer with the engineer.",
    )


def _lateral_words(bay: Bay, end: End, held: LimitCheck, v: Symbols) -> Wording:
    return (
        "IRC R802.8",
        f"The rafter is {float(held.value):.3g} times as deep as thick by its nominal size; over 5 : 1 it is held "
        "against rolling where it bears.",
        "Show blocking, a rim board or bridging at the bearings, and ask which the official wants.",
    )


def _soffit_words(
    bay: Bay | None, end: End | None, held: LimitCheck, v: Symbols, what: str = "The tail's underside"
) -> Wording:
    return (
        "drawing: the soffit must clear the eave window's head",
        f"{what} is {feet_inches(held.value)} above the floor, the eave window's head {feet_inches(held.limit)}.",
        "Shorten the overhang, cut the tail level, raise the plate or lower the window.",
    )


WORDS: dict[str, Callable[..., Wording]] = {
    "end_notch": _end_notch_words,
    "stock_above_seat": _stock_words,
    "tail_left": _tail_left_words,
    "tail_length": _tail_length_words,
    "bearing": _bearing_words,
    "ridge_board": _ridge_board_words,
    "slope": _slope_words,
    "heel_blocking": _blocking_words,
    "lateral_support": _lateral_words,
    "soffit_line": _soffit_words,
    "minimum_heel": _minimum_heel_words,
}


def soffit_line(line: float, head: float, what: str) -> Finding:
    """The soffit line and the eave window's head, both above the floor, in; ``what`` names the line in the sentence."""
    held = soffit_clears(line, head)
    return _finding("soffit_line", held, *_soffit_words(None, None, held, {}, what))
