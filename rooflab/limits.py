"""One bay against the usual limits: meets, misses, or ask.

Limits are functions of arrays; findings put them in words with their source.  Local code and licensed practice decide:
a finding is a reminder, never an approval.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from . import geometry as geo
from .house import RafterBay
from .inputs import must_be, pair
from .lumber import stock_at_least
from .measure import feet_inches
from .planes import Bay, End

NO_BLOCKING, BLOCKED = 9.25, 15.25  # heel heights, in
LEAST_STOCK, LEAST_TAIL, LONGEST_TAIL, LEAST_BEARING, MASONRY_BEARING, LEAST_PITCH = 2.0, 3.5, 24.0, 1.5, 3.0, 3.0


def end_notch_limit(depth: Any) -> Any:
    """Deepest notch at a member's end, D/4, square to the edge, in (IRC R802.7.1); numbers or arrays."""
    return depth / 4


class Finding(NamedTuple):
    """One limit: name, value and limit in the quantity's unit, verdict, source, sentence and remedy.

    The verdict is meets, misses or ask.
    """

    name: str
    value: Any
    limit: Any
    verdict: str
    source: str
    sentence: str
    remedy: str


def findings(bay: Bay) -> tuple[Finding, ...]:
    """The bay's numbers against the usual limits; the right end too where it differs.

    *meets*, *misses*, or *ask*: the code official, the engineer or the manufacturer decides.  IRC numbers are those of
    2018 to 2024; local code governs.

    >>> from rooflab import Gable
    >>> [f.name for f in findings(RafterBay(Gable("26'", 8, "5 1/2", 16), seat="3 1/2")) if f.verdict == "misses"]
    []
    """
    must_be(bay, Bay, "Bay")
    rows = _rafter_rows if isinstance(bay, RafterBay) else _scissor_rows
    found = [*rows(bay, "left")]
    if not bay.equal_ends:
        found += [f._replace(name=f"{f.name}_right") for f in rows(bay, "right")]
    return tuple(found)


def _rafter_rows(bay: Any, end: str) -> Iterator[Finding]:
    one: End = getattr(bay, end)
    m, depth, seat = abs(one.roof.slope), bay.depth, pair(bay.seat)[end == "right"]
    notch, most = float(geo.notch(m, seat)), float(end_notch_limit(depth))
    longest = min(float(geo.seat_at_notch(most, m)), one.bearing)
    yield Finding(
        "end_notch",
        notch,
        most,
        "meets" if notch <= most + 1e-9 else "ask",
        "IRC R802.7.1 (D/4 at a member's end)",
        f"The birdsmouth is {feet_inches(notch)} deep square to the edge; a quarter of the depth is {feet_inches(most)}"
        + (
            "."
            if notch <= most + 1e-9
            else ": officials differ on whether a birdsmouth counts as an end notch, so ask."
        ),
        f"A seat of {feet_inches(longest - longest % 0.0625)} or less stays within it.",
    )
    left = depth - notch
    yield Finding(
        "stock_above_seat",
        left,
        LEAST_STOCK,
        _least(left, LEAST_STOCK),
        "NAVEDTRA 14044 p. 67 (older rule)",
        f'{feet_inches(left)} of stock stands above the seat; an older rule keeps at least 2".',
        "Shorten the seat or use a deeper rafter.",
    )
    if one.overhang:
        yield Finding(
            "tail_left",
            left,
            LEAST_TAIL,
            _least(left, LEAST_TAIL),
            "IRC R802.7.1.1",
            f'{feet_inches(left)} of the rafter runs on past the notch to carry the tail; at least 3 1/2" is wanted.',
            "Shorten the seat or use a deeper rafter.",
        )
        yield Finding(
            "tail_length",
            one.overhang,
            LONGEST_TAIL,
            "meets" if one.overhang <= LONGEST_TAIL else "misses",
            "IRC R802.7.1.1",
            f"The tail reaches {feet_inches(one.overhang)} level beyond the wall; a notched tail may reach 2'-0\".",
            "Shorten the overhang or have the engineer design the tail.",
        )
    yield _bearing(seat, "The seat", "Lengthen the seat.")
    if bay.ridge:
        plumb, board = float(geo.plumb_depth(depth, m)), bay.ridge_size[1]
        yield Finding(
            "ridge_board",
            board,
            plumb,
            _least(board, plumb),
            "IRC R802.3",
            f"The ridge board is {feet_inches(board)} deep, the rafter's plumb cut {feet_inches(plumb)}; "
            "the board must be no less deep than the cut end.",
            f"Use a ridge board at least {feet_inches(plumb)} deep "
            f"({stock_at_least(plumb) or 'deeper than sawn stock'}).",
        )
    else:
        yield Finding(
            "ridge_board",
            "none",
            "1 in nominal",
            "ask",
            "IRC R802.3",
            "No ridge board: how do the rafters meet?",
            "Name a ridge board, or ask the engineer for the gusset or beam.",
        )
    yield Finding(
        "slope",
        12 * m,
        LEAST_PITCH,
        "meets" if 12 * m >= LEAST_PITCH - 1e-9 else "misses",
        "IRC R802.3, R802.4.2",
        f"The roof rises {12 * m:.4g} in 12; under 3 in 12, or without a continuous tie, a ridge beam or bearing "
        "wall is required.",
        "Have the engineer size a ridge beam, or steepen the roof.",
    )
    yield _blocking(one.heel)
    yield from _soffit(bay, end)


def _scissor_rows(bay: Any, end: str) -> Iterator[Finding]:
    one: End = getattr(bay, end)
    least, state = bay.reading("least_heel", end).value, bay.reading("heel_state", end).value
    alike = feet_inches(least) == feet_inches(one.heel) and one.heel < least
    said = f"{least:.3f} in" if alike else feet_inches(least)  # a hair below the least prints like the least
    meaning = {
        "below least": "no chord can bear at this heel",
        "scarfed": "the chords overlap at the bearing and are scarfed, as usual",
        "raised": "the heel is raised; slider, wedge or end vertical is the manufacturer's choice",
    }
    yield Finding(
        "least_heel",
        one.heel,
        least,
        _least(one.heel, least),
        "common shop practice, from memory",
        f"The truss heel is {feet_inches(one.heel)}, the least for its top chord {said}: {meaning[state]}.",
        f"Raise the heel to {said} or more, or ask the manufacturer.",
    )
    yield _bearing(one.bearing, "The truss's bearing", "Widen the plate or ask the manufacturer.")
    yield _blocking(one.heel)
    yield from _soffit(bay, end)


def _least(value: float, limit: float) -> str:
    return "meets" if value >= limit - 1e-9 else "misses"


def _bearing(value: float, what: str, remedy: str) -> Finding:
    verdict = "misses" if value < LEAST_BEARING else "ask" if value < MASONRY_BEARING else "meets"
    return Finding(
        "bearing",
        value,
        LEAST_BEARING,
        verdict,
        "IRC R802.6",
        f'{what} is {feet_inches(value)} long; at least 1 1/2" is wanted on wood or metal, 3" on masonry'
        + (": fine on wood, ask if it is masonry." if verdict == "ask" else "."),
        remedy,
    )


def _blocking(heel: float) -> Finding:
    said = (
        "no blocking is asked for"
        if heel <= NO_BLOCKING + 1e-9
        else "blocking is wanted"
        if heel <= BLOCKED + 1e-9
        else "the connection is designed"
    )
    return Finding(
        "heel_blocking",
        heel,
        NO_BLOCKING,
        "meets" if heel <= NO_BLOCKING + 1e-9 else "ask",
        "IRC R602.10.8.2, from memory: verify",
        f"At a braced wall a heel of {feet_inches(heel)} means {said} "
        '(to 9 1/4" none, to 15 1/4" blocking, above designed; low seismic).',
        "Settle blocking and shear transfer with the engineer.",
    )


def soffit_line(line: float, head: float, what: str) -> Finding:
    """The soffit line and the eave window's head, both above the floor, in; ``what`` names the line in the sentence."""
    return Finding(
        "soffit_line",
        line,
        head,
        _least(line, head),
        "drawing: the soffit must clear the eave window's head",
        f"{what} is {feet_inches(line)} above the floor, the eave window's head {feet_inches(head)}.",
        "Shorten the overhang, cut the tail level, raise the plate or lower the window.",
    )


def _soffit(bay: Bay, end: str) -> Iterator[Finding]:
    one: End = getattr(bay, end)
    if not one.overhang:
        return
    floor = pair(bay.gable.plate_height)[0] + one.plate
    line = bay.reading("tail_underside", end).value + floor
    yield soffit_line(line, bay.gable.window_head, "The tail's underside")
