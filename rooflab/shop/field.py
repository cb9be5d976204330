"""On the site: built trusses held against their variances, the seam's shims, and the rafters cut to the set trusses.

Once trusses are set, authority reverses: trusses are never trimmed or notched, so the plane to aim for is at or above
the highest of them, and the rafters follow.  Cautions come first, always.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.findings import Finding
from rooflab.base.inputs import Input, Length, must_be, pair, stop_on
from rooflab.base.measure import InputError, feet_inches, sixteenth
from rooflab.checks.limits import end_notch_limit
from rooflab.house.bays import RafterBay, ScissorBay

from .items import ITEMS, cells_too_many, csv_source_text, drawing_length

CAUTIONS = (
    "Brace as the drawings say, temporary while setting and permanent before loading; the bracing on the "
    "truss drawings "
    "and the building designer's go before anything said here.",
    "Nobody stands on, walks on or works under trusses that are not braced. Nothing is stacked on them.",
    "Trusses are never cut, notched, drilled or trimmed (IRC R802.10.4, from memory: verify). A broken or "
    "bent one is the "
    "truss designer's to repair.",
    "Shims go under the full bearing and may change the uplift tie and the load path: settle both with the engineer.",
    "Before a shim goes in, bracing and fasteners are loosened and put back only as the truss designer directs, one "
    "truss at a time, the others held. Shims are hard, flat and as wide as the bearing; a stack over 3/4\" waits "
    "for the engineer (common practice, no source).",
    "Measure from a ladder or lift on firm ground, two people, fall protection.",
)
STACK = 0.75  # highest stack of shims without an engineer, in (common practice, no source)
TPI = "ANSI/TPI 1-2014, Table 3.5-1"
BCSI = "BCSI, from memory: verify"
STEP = 1 / 16  # finest shim, in
TOLERANCE = Input("tolerance", "Tolerance", "length", STEP, 2, hint="No shim is finer than 1/16\".")
MEASURED = {
    name: Input(name, name, "length", ITEMS[item].low if name == "plate" else 0, ITEMS[item].high)
    for name, item in (("length", "span"), ("height", "height"), ("heel", "heel"), ("plate", "plate"))
}
PLANE = Input("plane", "Plane", "length", ITEMS["plate"].low, ITEMS["plate"].high + ITEMS["heel"].high)
HAIR = 1e-9
ROWS = 500  # stations or trusses that are taken
STRAIGHT, BOW = 24.0, 0.5  # sheathing bows at most 1/2 in in 2 ft (NAHB performance guidelines)


# --- tables of measurements --------------------------------------------------------------------------------------


def measurement_rows(source: object, columns: Sequence[str], needed: int) -> list[tuple[str, tuple[float | None, ...]]]:
    """Rows of a name and lengths, from a sequence of rows or the text or path of a CSV; InputError with sentences.

    >>> measurement_rows("station,heel\\n0,8 3/4\\n24,00-08-13", ("heel", "plate"), 1)
    [('0', (8.75, None)), ('24', (8.8125, None))]
    """
    rows: list[Sequence[Any]]
    if isinstance(source, str) or hasattr(source, "__fspath__"):
        lines = [(n, line) for n, line in enumerate(csv_source_text(source).splitlines(), 1) if line.strip(" \t,;")]
        mark = max(";\t,", key=lines[0][1].count) if lines else ","
        table = [(n, next(csv.reader([line.replace("\0", "")], delimiter=mark))) for n, line in lines[: ROWS + 2]]
        width, named = len(columns) + 1, ", or begin the table with the names of its columns"
        if table and len(table[0][1]) > 1 and table[0][1][1].strip().lower() == columns[0]:
            width, named, table = len(table[0][1]), "", table[1:]
        optional = needed < len(columns)  # without names 0,8,5 may be a plate of 5 in, or 8.5
        more = [(n, cells_too_many(cells, width, 1, mark, named if optional else "")) for n, cells in table]
        stop_on([f"Line {n}: {said}" for n, said in more if said][:12])
        rows = [cells for _, cells in table]
    elif isinstance(source, Iterable) and not isinstance(source, (Mapping, bytes)):
        rows = [row if isinstance(row, Sequence) and not isinstance(row, str) else (row,) for row in source]
    else:
        raise InputError(f"Measurements: a value of type {type(source).__name__} is no table of rows.")
    if not 1 <= len(rows) <= ROWS:
        raise InputError(f"Measurements: {len(rows) or 'no'} rows; 1 to {ROWS} are taken.")
    problems: list[str] = []
    found = [_measurement(number, row, columns, needed, problems) for number, row in enumerate(rows, 1)]
    stop_on(problems[:12])
    return found


def _measurement(
    number: int, row: Sequence[Any], columns: Sequence[str], needed: int, problems: list[str]
) -> tuple[str, tuple[float | None, ...]]:
    cells = [cell.strip() if isinstance(cell, str) else cell for cell in row]
    name = str(cells[0]) if cells else ""
    values: list[float | None] = []
    for place, column in enumerate(columns, 1):
        cell = cells[place] if place < len(cells) else None
        if cell is None or cell == "":
            values.append(None)
            if place <= needed:
                problems.append(f"Row {number}: {column} is missing.")
            continue
        comma = place > 1 and str(cells[place - 1])[-1:].isdigit()
        hint = f"Is {cells[place - 1]},{cell} a decimal comma? Write it with a point." if comma else ""
        row_of = MEASURED[column]._replace(label=f"Row {number}, {column}", hint=hint)
        values.append(row_of.read(cell, problems, drawing_length))
    return name, tuple(values)


# --- built trusses ------------------------------------------------------------------------------------------------


def built_trusses(bay: ScissorBay, trusses: object) -> tuple[Finding, ...]:
    """Built trusses held against manufacturing variances: length without overhangs, and height.

    ``trusses`` are rows (mark, length, height) or a CSV of them.  Length: 1/2 in truss to truss, 3/4 in from design;
    height: 1/4 in and 1/2 in (ANSI/TPI 1-2014, Table 3.5-1).  These are for built trusses, never for drawings.

    >>> from rooflab import Gable
    >>> bay = ScissorBay(Gable("26'", 8, "5 1/2", 16), 4, "7 7/16")
    >>> [f.verdict for f in built_trusses(bay, [("1", "26'", "9'-3 7/16"), ("2", "26'-0 5/8", "9'-3 7/16")])]
    ['misses', 'meets', 'meets', 'meets']
    """
    must_be(bay, ScissorBay, "Truss")
    rows = measurement_rows(trusses, ("length", "height"), 2)
    designs = {"length": bay.right.wall.x - bay.left.wall.x, "height": bay.height}
    found = []
    for place, (what, between, off) in enumerate((("length", 0.5, 0.75), ("height", 0.25, 0.5))):
        values = [float(row[1][place] or 0.0) for row in rows]
        spread = max(values) - min(values)
        name, worst = max(
            ((row[0], v - designs[what]) for row, v in zip(rows, values, strict=True)), key=lambda one: abs(one[1])
        )
        found.append(_limit(
            f"{what}_spread", spread, between, TPI,
            f"From the shortest to the longest, {what} differs {feet_inches(spread)} from truss to truss; "
                f"{feet_inches(between)} is allowed."
            if what == "length" else
            f"From the lowest to the highest, {what} differs {feet_inches(spread)} from truss to truss; "
                f"{feet_inches(between)} is allowed.",
        ))  # fmt: skip
        found.append(_limit(
            f"{what}_from_design", abs(worst), off, TPI,
            f"Truss {name} is {feet_inches(abs(worst))} {'more' if worst > 0 else 'less'} than the {what} designed, "
            f"{feet_inches(designs[what])}; {feet_inches(off)} is allowed.",
        ))  # fmt: skip
    return tuple(found)


def _limit(name: str, value: float, limit: float, source: str, sentence: str, remedy: str = "") -> Finding:
    verdict = "meets" if value <= limit + HAIR else "misses"
    return Finding(
        name,
        value,
        limit,
        verdict,
        source,
        sentence,
        remedy or "Tell the truss designer before setting; trusses are not trimmed to fit.",
    )


def set_trusses(length: Length, depth: Length, plumb: Length, bow: Length, spacing: Length = 0) -> tuple[Finding, ...]:
    """Trusses as they stand: out of plumb, bow and spacing held against usual limits (BCSI, from memory: verify).

    ``length`` and ``depth`` (in) of the truss; ``plumb`` off over its depth, ``bow`` over its length, ``spacing`` off
    from the layout.  Limits: the lesser of D/50 and 2 in, the lesser of L/200 and 2 in, 1/4 in.

    >>> [(f.limit, f.verdict) for f in set_trusses("30'", 75, 1.5, "1 7/8", "-5/16")]
    [(1.5, 'meets'), (1.8, 'misses'), (0.25, 'misses')]
    """
    names = ("Truss length", "Truss depth", "Out of plumb", "Bow", "Spacing off")
    long, high = MEASURED["length"].high, MEASURED["height"].high
    problems: list[str] = []
    read = [
        Input(what, what, "length", low, most).read(value, problems, drawing_length)
        for what, value, low, most in zip(
            names,
            (length, depth, plumb, bow, spacing),
            (0, 0, -high, -long, -long),
            (long, high, high, long, long),
            strict=True,
        )
    ]
    stop_on(problems)
    for what, number in zip(names[:2], read, strict=False):
        if number <= 0:
            problems.append(f"{what} {feet_inches(number)}: it must be more than 0.")
    stop_on(problems)
    long, deep, lean, curve, gap = read
    rows = (
        ("plumb", abs(lean), min(deep / 50, 2.0), "Out of plumb", f'D/50 of {feet_inches(deep)} or 2", the lesser'),
        ("bow", abs(curve), min(long / 200, 2.0), "Bowed", f'L/200 of {feet_inches(long)} or 2", the lesser'),
        ("spacing", abs(gap), 0.25, "Spacing off by", 'the layout, to 1/4"'),
    )
    remedy = "Straighten and brace as the drawings say before anything is loaded; ask the truss designer."
    return tuple(
        _limit(
            name, value, limit, BCSI, f"{said} {feet_inches(value)}; allowed is {feet_inches(limit)} ({why}).", remedy
        )
        for name, value, limit, said, why in rows
    )


# --- the seam ---------------------------------------------------------------------------------------------------------


class Shim(NamedTuple):
    """One station: its top above the level line (plate + heel), how far it is below the plane, shim and what is
    left."""

    where: str
    heel: float
    plate: float
    top: float
    below: float
    shim: float
    left: float
    sentence: str


class Schedule(NamedTuple):
    """The plane to aim for (height of the top edges above the level line, in), the stations, and the whole in words."""

    aim: float
    rows: tuple[Shim, ...]
    sentence: str


def shim_schedule(
    stations: object, tolerance: Length = "1/8", plane: Length | None = None, pitch: float | None = None
) -> Schedule:
    """Shims along the seam that bring every truss up to one plane, none above it, none below by more than the
    tolerance.

    ``stations`` are rows (where, heel) or (where, heel, plate), or a CSV of them: ``heel`` measured plumb at the
    outside face, ``plate`` the top of plate above a level line (0 where it is left out).  The plane to aim for is the
    highest truss's, or ``plane`` (above the same line) where that is higher.  Shims go under the bearing, in whole
    1/16 in, never more than what is missing; ``pitch`` (in 12) adds the thickness of a furring strip on top instead,
    square to the roof.  No step is published for a seam: 1/8 in is the default, the office's own decides (common
    practice).

    >>> made = shim_schedule([("0", "8 3/4"), ("24", "8 13/16"), ("48", "8 1/2")])
    >>> made.aim, [row.shim for row in made.rows]
    (8.8125, [0.0, 0.0, 0.3125])
    """
    problems: list[str] = []
    limit = TOLERANCE.read(tolerance, problems)
    stop_on(problems)
    rows = [
        (where, float(heel or 0.0), float(plate or 0.0))
        for where, (heel, plate) in measurement_rows(stations, ("heel", "plate"), 1)
    ]
    bad = [where for where, heel, _ in rows if heel <= 0]
    stop_on(f"Station {where}: the heel must be more than 0." for where in bad)
    tops = [plate + heel for _, heel, plate in rows]
    highest = max(tops)
    wanted = highest if plane is None else PLANE.read(plane, problems, drawing_length)
    stop_on(problems)
    aim = max(highest, wanted)
    stretch = None if pitch is None else float(geo.stretch(pitch / 12))
    made = tuple(_shim_at(where, heel, plate, aim, limit, stretch) for where, heel, plate in rows)
    low = sum(row.shim > 0 for row in made)
    above = f"the rafters' plane, {feet_inches(aim - highest)} above the highest truss"
    said = f"Aim for {feet_inches(aim)}, {'the highest truss' if aim == highest else above}: "
    are = "is" if low == 1 else "are"
    said += (
        f"{low} of {len(made)} stations {are} shimmed under the bearing, none is cut." if low else "no shim is needed."
    )
    if wanted < highest - HAIR:
        said += f" The plane drawn is {feet_inches(highest - wanted)} lower, so the rafters come up to the trusses."
    return Schedule(aim, made, said)


class String(NamedTuple):
    """A string stretched over the tops of a schedule: its height at each station and the gap under it, in."""

    heights: tuple[float, ...]
    gaps: tuple[float, ...]


def string_over(tops: Sequence[float]) -> String:
    """A string stretched from the first to the last of evenly spaced tops (in): it rests on those that stand highest.

    >>> string_over([0.0, 1.0, 0.0, 0.5]).gaps
    (0.0, 0.0, 0.75, 0.0)
    """
    rests: list[int] = []
    for i, top in enumerate(tops):
        while len(rests) > 1:
            (a, b), (u, v) = rests[-2:], (tops[rests[-2]], tops[rests[-1]])
            if u + (top - u) * (b - a) / (i - a) < v:
                break
            rests.pop()
        rests.append(i)
    heights = [
        tops[a] + (tops[b] - tops[a]) * (i - a) / (b - a)
        for a, b in zip(rests, rests[1:], strict=False)
        for i in range(a, b)
    ]
    heights.append(tops[-1])
    return String(tuple(heights), tuple(high - top for high, top in zip(heights, tops, strict=True)))


def _shim_at(where: str, heel: float, plate: float, aim: float, limit: float, stretch: float | None) -> Shim:
    top = plate + heel
    below = aim - top
    shim = 0.0 if below <= limit + HAIR else math.floor(below / STEP + HAIR) * STEP
    left = below - shim
    if not shim:
        said = "Leave it." if below <= HAIR else f"Leave it: {feet_inches(below)} low is within the tolerance."
    else:
        said = f"Shim {feet_inches(shim)} under the full bearing."
        if stretch:
            said = said[:-1] + f", or fur {feet_inches(sixteenth(shim / stretch))} on its top edge."
        if shim > STACK:
            said += f" A stack over {feet_inches(STACK)} waits for the engineer."
    return Shim(where, heel, plate, top, below, shim, left, said)


class Seat(NamedTuple):
    """A rafter's seat (in) for a measured truss heel: its notch square to the edge and share of the depth, in words.

    ``verdict``: "meets" within D/4, "ask" beyond it, "misses" where no seat can do it.
    """

    seat: float
    notch: float
    ratio: float
    verdict: str
    sentence: str


def measured_seat(heel: Length, rafters: RafterBay, end: str = "left") -> Seat:
    """The seat that brings a rafter to a truss heel as measured, both on one plate: (D k(m) - heel) / m.

    >>> from rooflab import Gable
    >>> made = measured_seat("8 3/8", RafterBay(Gable("26'", 8, "5 1/2", 16), "2x10", "3 1/2"))
    >>> round(made.seat, 3), made.verdict
    (4.113, 'meets')
    """
    must_be(rafters, RafterBay, "Rafters")
    problems: list[str] = []
    tall = MEASURED["heel"].with_label("Measured heel").read(heel, problems, drawing_length)
    stop_on(problems)
    if tall <= 0:
        raise InputError(f"Measured heel {feet_inches(tall)}: it must be more than 0.")
    s = rafters.symbols(end)
    m, depth, bearing = s["m"], s["D"], s["bearing"]
    seat = float(geo.seat_from(tall, depth, m))
    notch = float(geo.notch(m, seat))
    most = float(end_notch_limit(depth))
    least = max(float(geo.heel(depth, m, bearing)), 0.0)
    if seat < 0:
        return Seat(seat, 0.0, 0.0, "misses", (
            f"No seat can do it: even uncut the rafter's heel is {feet_inches(float(geo.plumb_depth(depth, m)))}, "
            f"{feet_inches(-seat * m)} too low. Shim under the rafters' full bearing, or use deeper rafters; "
                f"ask the engineer."
        ))  # fmt: skip
    if seat > bearing + HAIR or notch >= depth:
        return Seat(seat, notch, notch / depth, "misses", (
            f"No seat can do it: it would be {feet_inches(seat)}, and the plate is {feet_inches(bearing)} "
                f"wide; on all of it the heel is "
            f"{feet_inches(least)}, {feet_inches(least - tall)} too high. Shim the trusses under their "
                f"bearing, or lower the rafters' plate."
        ))  # fmt: skip
    said = (
        f"Cut the seat {feet_inches(seat)} (now {feet_inches(pair(rafters.seat)[end == 'right'])}): the "
        f"notch is {feet_inches(notch)}, {100 * notch / depth:.0f} % of the depth"
    )
    if notch <= most + HAIR:
        return Seat(
            seat,
            notch,
            notch / depth,
            "meets",
            said + ", within a quarter. Cut one, try it beside the truss, then the others.",
        )
    return Seat(
        seat,
        notch,
        notch / depth,
        "ask",
        said + f"; a quarter is {feet_inches(most)}, so ask before cutting, or shim the trusses.",
    )


class Taper(NamedTuple):
    """How far a step is drawn out, in, so that the sheathing's bow stays within 1/2 in in 2 ft."""

    step: float
    length: float
    sentence: str


def taper(step: Length) -> Taper:
    """The length over which a step between top edges (in, square to the roof) is drawn out on tapered strips.

    Sheathing that bows more than 1/2 in in 2 ft counts as a defect (NAHB performance guidelines); a taper that leaves
    the plane by no more than that needs 48 times the step (teaching simplification).

    >>> taper("1/2").length, taper("3/4").length
    (24.0, 36.0)
    """
    off = abs(drawing_length(step, "Step"))
    if off > 12:
        raise InputError(f"Step {feet_inches(off)}: at most 12 in; a larger one is no taper.")
    long = off * STRAIGHT / BOW
    if not off:
        return Taper(0.0, 0.0, "The top edges run through: no taper.")
    said = (
        f"A step of {feet_inches(off)} is drawn out over {long / 12:.1f} ft, on strips that taper from "
        f"{feet_inches(off)} to nothing on the low side."
    )
    return Taper(off, long, said + ' Straightedge it before sheathing: 1/2" in 2 ft at most.')
