"""What a returned truss drawing must show: the list of the code, what that list leaves out, and movement limits.

Items are in our own words.  A reviewer ticks what is there; the truss designer answers for what it says.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import Length, stop_on
from rooflab.base.measure import InputError, feet_inches
from rooflab.checks.frame import SAG_PARTS, SPREAD_LIMITS, sag_limits

from .items import drawing_length

SOURCE = "IRC R802.10.1"
CODE_ITEMS = (
    "Slope or depth, span and spacing",
    "Where every joint is",
    "The bearing width each support needs",
    "Loads designed for: top chord live with snow, top chord dead, bottom chord live, bottom chord dead, loads at a "
    "point and where, the wind and earthquake that govern",
    "Changes made to lumber and connector values",
    "Each reaction: how much, which way",
    "Connector plates: type, size, place at each joint",
    "Lumber of each member: size, species, grade",
    "How trusses join girders, plies each other, and field splices",
    "Deflection, live and total, as a ratio or in inches",
    "Largest compression along the members",
    "Permanent bracing that members need",
)
ALSO = (
    "Heel height at each bearing, at the outside face of framing",
    "Overhang, and how the tail is cut and how deep",
    "Ceiling pitch, and from which face of the bearing it rises",
    "Camber, if any",
)


class Point(NamedTuple):
    """One thing that a drawing shows or does not: number (1 to 12 the code's, then ours), text, source, ticked."""

    number: int
    text: str
    source: str
    ticked: bool


def completeness(ticked: Iterable[int] = ()) -> tuple[Point, ...]:
    """The list with the reviewer's ticks: numbers 1 to 12 are the code's, 13 to 16 those it leaves out.

    >>> [point.number for point in completeness(range(1, 15)) if not point.ticked]
    [15, 16]
    """
    every = [(text, SOURCE) for text in CODE_ITEMS] + [(text, "not in that list: ask apart") for text in ALSO]
    marks = list(ticked)
    wrong = [mark for mark in marks if isinstance(mark, bool) or mark not in range(1, len(every) + 1)]
    stop_on(f"Tick {mark!r}: 1 to {len(every)} is allowed." for mark in wrong[:3])
    return tuple(Point(n, text, source, n in marks) for n, (text, source) in enumerate(every, 1))


def movement(
    span: Length,
    total: Length | None = None,
    live: Length | None = None,
    sideways_total: Length | None = None,
    sideways_live: Length | None = None,
) -> tuple[Finding, ...]:
    """Deflection and horizontal movement at the bearing as the drawing states them, in, against usual limits.

    Under a gypsum ceiling L/180 total and L/240 live (ANSI/TPI 1, sec. 7.6); sideways 1 1/4 in total and 3/4 in live
    (the same, from memory: verify).  What is left out gives the verdict "ask".  The
    sentences name no verdict: the figure is the truss designer's.

    >>> [(round(f.limit, 2), f.verdict) for f in movement("35'", total=2, live="1 7/8")]
    [(2.33, 'meets'), (1.75, 'misses'), (1.25, 'ask'), (0.75, 'ask')]
    """  # fmt: skip
    long = drawing_length(span, "Span")
    if long <= 0:
        raise InputError(f"Span {feet_inches(long)}: it must be more than 0.")
    sec, memory = "ANSI/TPI 1, sec. 7.6", "ANSI/TPI 1, sec. 7.6, from memory: verify"
    (sag, live_sag), (spread, live_spread) = sag_limits(long), SPREAD_LIMITS
    rows = (
        ("deflection_total", total, float(sag), sec, f"Deflection, total (L/{SAG_PARTS[0]})"),
        ("deflection_live", live, float(live_sag), sec, f"Deflection, live (L/{SAG_PARTS[1]})"),
        ("sideways_total", sideways_total, spread, memory, "Horizontal movement at the bearing, total"),
        ("sideways_live", sideways_live, live_spread, memory, "Horizontal movement at the bearing, live"),
    )
    return tuple(_movement_finding(*row) for row in rows)


def _movement_finding(name: str, given: Length | None, limit: float, source: str, what: str) -> Finding:
    remedy = "Ask the truss designer; the building designer may set a stricter limit."
    if given is None or given == "":
        return Finding(name, None, limit, "ask", source, f"{what}: not stated; usual limit {limit:.2f} in.", remedy)
    value = abs(drawing_length(given, what))
    verdict = "meets" if value <= limit + 1e-9 else "misses"
    return Finding(
        name, value, limit, verdict, source, f"{what}: stated {value:.2f} in; usual limit {limit:.2f} in.", remedy
    )
