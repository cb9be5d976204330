"""What fits first: each rafter size on a row of seats, with its heel, notch and verdict.  Most talks end here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import takewhile
from typing import Any, NamedTuple

from rooflab.base.findings import MEETS, VERDICTS
from rooflab.base.inputs import INPUTS, pair
from rooflab.base.lumber import RAFTERS
from rooflab.base.measure import InputError, feet_inches, sixteenth
from rooflab.checks.limits import LEAST_BEARING

from .jobfile import FOLLOWS, Job
from .sweep import Sweep, sweep
from .values import House, at_ends, bays_of, house_of, rafters_of, size_of

COLUMNS = 9  # of seats, before those of the house are added


class GridCell(NamedTuple):
    """One rafter size on one seat: heel and notch as they are printed, or why it cannot be built.

    ``word`` is the worst verdict of the whole house, as on a map: "meets", "ask" or "misses" ("" where it cannot be
    built), and ``names`` say what asks or misses; ``same`` where the heel reads like the truss's; ``present`` is the
    house itself.  ``why`` says what is refused: a heel beside it means that the rafters stand and the trusses over them
    do not.
    """

    lumber: str
    seat: float
    heel: str
    notch: str
    word: str
    why: str
    same: bool
    present: bool
    names: tuple[str, ...] = ()


class SeatGrid(NamedTuple):
    """Rows by size, columns by seat; ``heel`` is the truss heel they are held against, as printed."""

    seats: tuple[float, ...]
    sizes: tuple[str, ...]
    rows: tuple[tuple[GridCell, ...], ...]
    heel: str
    sentence: str

    def cell(self, lumber: str, seat: float) -> GridCell:
        """The cell of one rafter size, such as 2x10, on one seat, in."""
        return self.rows[self.sizes.index(lumber)][self.seats.index(seat)]


def seats_up_to(bearing: float, *also: float) -> tuple[float, ...]:
    """Seats from 1 1/2 in to the bearing: every 1/4, 1/2 or whole inch, the bearing itself and those named.

    >>> seats_up_to(3.5, 2.875)[4:8]
    (2.5, 2.75, 2.875, 3.0)
    """
    if bearing <= LEAST_BEARING:
        return (bearing,)
    for step in (0.25, 0.5, 1.0, 2.0):
        row = list(takewhile(lambda s: s < bearing, (LEAST_BEARING + i * step for i in range(99))))
        if len(row) < COLUMNS:
            break
    return tuple(sorted({*row, bearing, *(s for s in also if s <= bearing)}))


def seat_grid(
    house: Job | Mapping[str, Any], sizes: Sequence[str] = RAFTERS[1:], seats: Sequence[Any] | None = None
) -> SeatGrid:
    """Each rafter size on a row of seats, the rest as the house has it: heel, notch, and what stands against it.

    The house's own size and seat are always among them.  Seats are one value for both ends; where the ends differ, a
    cell says both heels and the deeper notch.  InputError for a size or a seat that cannot be read.

    >>> from rooflab.job.jobfile import example
    >>> made = seat_grid(example())
    >>> made.cell("2x10", 3.5).heel, made.cell("2x10", 3.5).notch, made.cell("2x10", 5.5).word
    ('8 13/16"', '21 %', 'ask')
    """
    base = house_of(house)
    own, mine = size_of(base), at_ends(base, "seat")
    if seats is None:
        seats = seats_up_to(min(pair(base["bearing"])), *mine)
    problems: list[str] = []
    row = tuple(sorted({INPUTS["seat"].read(seat, problems) for seat in seats}))
    if problems:
        raise InputError(problems)
    names = tuple(dict.fromkeys((*sizes, own)))
    swept = sweep(base, lumber=names, seat=row)
    ends = ("left",) if not base_differs(swept) else ("left", "right")
    heels = [swept.reading("rafter.heel", end) for end in ends]
    notches = [swept.reading("rafter.notch_ratio", end) for end in ends]
    target = _truss_heel(base)
    made = []
    for i, size in enumerate(names):
        cells = []
        for j, seat in enumerate(row):
            here = swept.at(i, j)
            present = size == own and mine == (seat, seat)
            if swept.no_rafters_full[i, j]:
                cells.append(GridCell(size, seat, "", "", "", _refusal(here), False, present))
                continue
            said = " and ".join(dict.fromkeys(feet_inches(heel[i, j]) for heel in heels))
            notch = f"{100 * max(ratio[i, j] for ratio in notches):.0f} %"
            why = _refusal(here) if swept.no_truss_full[i, j] else ""
            word = VERDICTS[swept.state[i, j]]
            cells.append(GridCell(size, seat, said, notch, word, why, said == target, present, _worse(swept, i, j)))
        made.append(tuple(cells))
    return SeatGrid(row, names, tuple(made), target, _sentence(made, target))


def _worse(swept: Sweep, i: int, j: int) -> tuple[str, ...]:
    """Names of the findings of a cell that ask or miss, each once."""
    if swept.unbuildable[i, j]:
        return ()
    keys = [key for key in swept.findings if swept.verdict(key)[i, j] > MEETS]
    return tuple(dict.fromkeys(key.partition(".")[2].removesuffix("_right").replace("_", " ") for key in keys))


def base_differs(swept: Sweep) -> bool:
    """True where the left and right end of any cell differ."""
    return "rafter.end_notch_right" in swept.findings


def _truss_heel(house: House) -> str:
    """The truss's own heel, or the one the house hands over now, as printed; "" where that cannot be built."""
    heel = house["heel"]
    if heel == FOLLOWS:
        try:
            heel = tuple(sixteenth(end.heel) for end in rafters_of(house).ends)
        except InputError:
            return ""
    return " and ".join(dict.fromkeys(feet_inches(one) for one in pair(heel)))


def _refusal(house: House) -> str:
    """The first sentence with which the single house is refused."""
    try:
        bays_of(house)
    except InputError as error:
        return error.problems[0]
    return ""


def _sentence(rows: Sequence[Sequence[GridCell]], target: str) -> str:
    cells = [cell for row in rows for cell in row]
    fits = [cell for cell in cells if cell.heel and not cell.why]
    good = [cell for cell in fits if cell.word == VERDICTS[MEETS]]
    said = f"{len(fits)} of {len(cells)} can be built, {len(good)} of them meet every limit looked at"
    if not target:
        return f"{said}."
    same = [f"{cell.lumber} on {feet_inches(cell.seat)}" for cell in fits if cell.same]
    return f"{said}. A heel of {target}: {', '.join(same) if same else 'none of these'}."
