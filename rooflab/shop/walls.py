"""Both walls of set trusses: heels read along each, shims truss by truss, the rafters to match, and what moved.

A list is read as it is called out or pasted: ``8 13/16, 8 3/4, -, 8 7/8``, one truss after the other along the wall.
Each truss is held against the heel asked for of its own type at its own end, so that a wall set in, unequal pitches and
unequal bearings are no special cases: what is leveled is the plane.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from rooflab.base.findings import Finding
from rooflab.base.inputs import Input, Length, must_be, pair, read_word, stop_on
from rooflab.base.measure import LEVEL, InputError, feet_inches, sixteenth
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import Cut
from rooflab.job.jobfile import Job
from rooflab.job.schedule import TrussType

from .field import HAIR, MEASURED, STACK, TPI, Schedule, Seat, Shim, measured_seat, shim_schedule
from .items import ENDS, drawing_length

AIMS = ("each wall's highest", "both walls alike", "rafters as drawn")
"""The planes to aim for: at each wall its highest truss; as far above what was asked for at both, so that the ridge
stays in the middle; not lower than rafters that are cut already."""
MOST, LETTERS = 150, 20_000  # trusses of a wall, and letters of a list
PLACE = Input("place", "Place", "length", 0, 2400)
NEAR = 3.0  # a place that is measured is the truss of the job that stands this near, in
ODD = 2.0  # farther than this from what was asked for, the tape is read again (common practice, no source), in
BETWEEN = 0.25  # overall heights may differ by this from truss to truss (ANSI/TPI 1-2014, Table 3.5-1), in
NOT_MEASURED = ("", "-", "--", "\u2013", "\u2014", "?")
ASK_FOR = (
    "Nothing is measured yet. Measure each heel plumb at the outside face of framing, and type the heels of a wall in "
    "their order into its box."
)


class WallHeel(NamedTuple):
    """One entry of a list: the place that is written with it (in, None: the next one), and the heel (None: not yet)."""

    place: float | None
    heel: float | None


def read_heels(text: str, wall: str = "Left wall") -> tuple[WallHeel, ...]:
    """The heels of a wall in their order, in, from a list as it is typed or pasted.

    Commas, semicolons, lines and tabs part them; an empty place or a dash is not measured yet; ``2': 8 3/4`` says where
    the truss stands.  InputError with a sentence for each entry that cannot be read.

    >>> [one.heel for one in read_heels("8 13/16, 8 3/4; -\\n00-08-14")], read_heels("2': 8 3/4")[0].place
    ([8.8125, 8.75, None, 8.875], 24.0)
    """
    text = str(text).replace("\r\n", "\n").replace("\r", "\n")
    if len(text) > LETTERS:
        raise InputError(f"{wall}: a list of {len(text)} letters; at most {LETTERS} are taken.")
    lines = [line for line in text.split("\n") if line.strip()]
    if len(lines) > 1 and (wide := max(len(line.strip("\n").split("\t")) for line in lines)) > 1:
        raise InputError(f"{wall}: a table of {len(lines)} lines and {wide} columns; paste one column, one wall.")
    if found := re.search(r"(?<![\d/])\d+,\d+(?![\d/'\" ])", text):
        whole, _, part = found[0].partition(",")
        raise InputError(
            f"{wall}: is {found[0]} a decimal comma? Write {whole}.{part}, or two heels as {whole}, {part}."
        )
    entries = re.split(r"[,;\t\n]", re.sub(r"[ \t]*[,;][ \t]*\n", "\n", text))
    while entries and not entries[-1].strip():
        entries.pop()
    if len(entries) > MOST:
        raise InputError(f"{wall}: {len(entries)} heels; at most {MOST} are taken.")
    problems: list[str] = []
    heels = tuple(_entry(wall, number, entry.strip(), problems) for number, entry in enumerate(entries, 1))
    more = len(problems) - 6
    stop_on(problems if more <= 0 else [*problems[:6], f"{wall}: and {more} more that cannot be read."])
    return heels


def _entry(wall: str, number: int, entry: str, problems: list[str]) -> WallHeel:
    where, colon, tall = entry.rpartition(":")
    place = None
    if colon:
        said = f"{wall}, heel {number}, place"
        if not re.search(r"['\"\u2019\u201d\u2032\u2033]|ft|in", where):
            problems.append(f"{said} {where.strip()[:20] or 'nothing'}: write it as 2' or 24\".")
        else:
            place = PLACE.with_label(said).read(where, problems, drawing_length)
    if tall.strip() in NOT_MEASURED:
        return WallHeel(place, None)
    heel = MEASURED["heel"].with_label(f"{wall}, heel {number}").read(tall, problems, drawing_length)
    if heel <= 0:
        problems.append(f"{wall}, heel {number}: {feet_inches(heel)} is no heel; it must be more than 0.")
    return WallHeel(place, heel)


class TrussPlace(NamedTuple):
    """Where a truss stands: its number along the wall, its near face from the first one's (in), its type's mark, and
    the heels asked for, left and right, in."""

    number: int
    at: float
    mark: str
    asked: tuple[float, float]

    @property
    def name(self) -> str:
        return f"No. {self.number}"


class Variance(NamedTuple):
    """How much the trusses of a wall differ, in: lowest to highest, and the largest step to the next; their names."""

    spread: float
    lowest: str
    highest: str
    step: float
    between: tuple[str, str]


class MeasuredWall(NamedTuple):
    """One wall: its end, the heel asked for and the seat drawn of the main trusses' plane, what was measured.

    ``heels`` and ``rows`` have one entry a place, None where nothing is measured; ``schedule`` is that of ``rows``.
    """

    end: str
    asked: float
    drawn_seat: float
    heels: tuple[float | None, ...]
    rows: tuple[Shim | None, ...]
    schedule: Schedule | None
    variance: Variance | None

    @property
    def label(self) -> str:
        return f"{self.end.capitalize()} wall"

    @property
    def shimmed(self) -> tuple[Shim, ...]:
        """The trusses that are shimmed without asking."""
        return tuple(row for row in self.rows if row and 0 < row.shim <= STACK)

    @property
    def stopped(self) -> tuple[Shim, ...]:
        """The trusses that want a higher stack than anyone but the engineer may set."""
        return tuple(row for row in self.rows if row and row.shim > STACK)

    @property
    def missing(self) -> int:
        """Places that are not measured yet."""
        return self.heels.count(None)

    @property
    def sentence(self) -> str:
        """What is aimed for at this wall, and how many trusses are shimmed for it."""
        if self.schedule is None:
            return f"{self.label}: not measured yet."
        off = self.schedule.aim - self.asked
        way = "above" if off > 0 else "below"
        than = "the heel asked for" if abs(off) <= LEVEL else f"{feet_inches(abs(off))} {way} the heel asked for"
        many = len(self.shimmed)
        parts = [f"shim {many} of {len(self.schedule.rows)} trusses" if many else "no shim is set"]
        if self.stopped:
            parts.append(f"{', '.join(row.where for row in self.stopped)} to the engineer, over {feet_inches(STACK)}")
        if self.missing:
            parts.append(f"{self.missing} not measured yet")
        return f"{self.label}: aim for {feet_inches(self.schedule.aim)}, {than}; {'; '.join(parts)}."


class MatchedRafters(NamedTuple):
    """Rafters with the seats that meet the planes of the set trusses: the bay so cut, each end's seat (None where that
    wall is not measured), and how far the ridge moves right and up, in."""

    bay: RafterBay
    seats: tuple[Seat | None, Seat | None]
    right: float = 0.0
    up: float = 0.0

    @property
    def measured(self) -> bool:
        """Whether both walls are."""
        return None not in self.seats


def rafters_to_match(rafters: RafterBay, aims: Mapping[str, float]) -> MatchedRafters:
    """The rafters whose seats meet the planes aimed for, heels by end, in; a heel that is as drawn leaves its seat.

    >>> from rooflab.job.jobfile import example
    >>> made = rafters_to_match(example().rafters, {"left": 9.0625})
    >>> round(made.seats[0].seat, 3), made.seats[1], round(made.right, 3)
    (3.082, None, -0.209)
    """
    must_be(rafters, RafterBay, "Rafters")
    seats: list[Seat | None] = [None, None]
    cut = list(pair(rafters.seat))
    for place, end in enumerate(ENDS):
        if end not in aims:
            continue
        drawn = rafters.ends[place].heel
        as_drawn = abs(drawn - aims[end]) <= LEVEL
        seats[place] = found = measured_seat(drawn if as_drawn else aims[end], rafters, end)
        if as_drawn:
            said = f"Leave the seat as drawn, {feet_inches(cut[place])}: its heel meets the plane aimed for."
            seats[place] = found._replace(sentence=said)
        elif found.verdict != "misses":
            cut[place] = found.seat
    bay = rafters if tuple(cut) == pair(rafters.seat) else rafters.with_(seat=tuple(cut))
    right, up = (new - old for new, old in zip(bay.peak, rafters.peak, strict=True))
    return MatchedRafters(bay, (seats[0], seats[1]), right, up)


def ridge_words(drawn: RafterBay, made: MatchedRafters, end: str) -> str:
    """What new seats do to the ridge, and to the rafter at the other end than ``end``."""
    place = int(end == "left")
    other, measured = ENDS[place], made.seats[place] is not None
    start = "Both walls measured" if measured else f"{other.capitalize()} end as drawn, not measured here"
    before = "Cut one pair and try it." if measured else "Measure both ends before cutting."
    more = Cut(made.bay, other).values["cut_length"] - Cut(drawn, other).values["cut_length"]
    if not sixteenth(made.right) and not sixteenth(more):
        return f"{start}: {'the ridge stays.' if measured else 'measure both ends before cutting.'}"
    return (
        f"{start}; ridge moves {feet_inches(abs(made.right))} {'right' if made.right > 0 else 'left'}; {other} rafter "
        f"{'+' if more > 0 else '-'}{feet_inches(abs(more))}. {before}"
    )


class TrussMove(NamedTuple):
    """A truss measured twice: how far its top moved up, in, and its shim before and now (None: not measured)."""

    where: str
    end: str
    moved: float
    before: float
    now: float


class MeasuredWalls(NamedTuple):
    """A job's set trusses as measured: places, both walls, the rafters to match, and what moved since the last time."""

    places: tuple[TrussPlace, ...]
    walls: tuple[MeasuredWall, MeasuredWall]
    earlier: tuple[MeasuredWall, MeasuredWall]
    rafters: RafterBay
    match: MatchedRafters
    tolerance: float
    remarks: tuple[str, ...]  # what is assumed of trusses that the job does not know, and which are not measured here

    def wall(self, end: str) -> MeasuredWall:
        return self.walls[ENDS.index(end)]

    @property
    def empty(self) -> bool:
        """Whether nothing is measured yet."""
        return all(wall.schedule is None for wall in self.walls)

    @property
    def moves(self) -> tuple[TrussMove, ...]:
        """The trusses measured both times, wall by wall."""
        return tuple(
            TrussMove(new.where, wall.end, new.heel - old.heel, old.shim, new.shim)
            for wall, before in zip(self.walls, self.earlier, strict=True)
            for new, old in zip(wall.rows, before.rows, strict=True)
            if new and old
        )

    @property
    def sentence(self) -> str:
        """The aims and what is done, both walls."""
        if self.empty:
            return ASK_FOR
        return " ".join([*(wall.sentence for wall in self.walls), *filter(None, [self.moved_sentence])])

    @property
    def moved_sentence(self) -> str:
        """How many trusses moved since the last time; nothing where none was measured twice."""
        moves = self.moves
        if not moves:
            return ""
        gone = [one for one in moves if sixteenth(one.moved)]
        other = sum(one.before != one.now for one in moves)
        if not gone:
            return f"None of {len(moves)} trusses measured twice has moved."
        most = max(gone, key=lambda one: abs(one.moved))
        return (
            f"{len(gone)} of {len(moves)} moved since the last time, {most.where} {most.end} the most, "
            f"{signed(most.moved)}; {other or 'no'} shim{'s' * (other != 1)} changed."
        )

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Seats, stacks, variance and odd readings of both walls, each with its verdict."""
        return tuple(one for wall, seat in zip(self.walls, self.match.seats, strict=True) for one in _of(wall, seat))


def signed(length: float) -> str:
    """A length that went up or down, in.

    >>> signed(0.125), signed(-0.125), signed(0.0)
    ('+1/8"', '-1/8"', '0"')
    """
    text = feet_inches(abs(length))
    return text if text == '0"' else f"{'+' if length > 0 else '-'}{text}"


def _of(wall: MeasuredWall, seat: Seat | None) -> Iterator[Finding]:
    if wall.schedule is None:
        return
    if seat:
        yield Finding(f"{wall.end}_seat", seat.seat, None, seat.verdict, "IRC R802.7.1 (D/4)", seat.sentence, "")
    high = max(row.shim for row in wall.schedule.rows)
    names = ", ".join(row.where for row in wall.stopped)
    yield Finding(
        f"{wall.end}_stack", high, STACK, "misses" if names else "meets", "common practice, no source",
        f"{wall.label}: {names} would take more than {feet_inches(STACK)} of shims." if names else
        f"{wall.label}: the highest stack is {feet_inches(high)}; {feet_inches(STACK)} is set without asking.",
        "No shim before the engineer has said how." if names else "",
    )  # fmt: skip
    if varies := wall.variance:
        sentence = (
            f"{wall.label}: {varies.lowest} is {feet_inches(varies.spread)} lower than {varies.highest}; the largest "
            f"step is {feet_inches(varies.step)}, between {' and '.join(varies.between)}."
        )
        if not sixteenth(varies.spread):
            sentence = f"{wall.label}: all that is measured stands level."
        yield Finding(
            f"{wall.end}_variance", varies.spread, BETWEEN, "ask" if varies.spread > BETWEEN + HAIR else "meets",
            f"{TPI}: overall height, 1/4 in; of heels it says nothing", sentence,
            "Plates or trusses? Level the plate first, then ask the truss designer.",
        )  # fmt: skip
    odd = [row for row in wall.schedule.rows if abs(row.top - wall.asked) > ODD]
    if odd:
        read = ", ".join(f"{row.where} {feet_inches(row.heel)}" for row in odd[:6])
        yield Finding(
            f"{wall.end}_reading", max(abs(row.top - wall.asked) for row in odd), ODD, "ask",
            "common practice, no source",
            f"{wall.label}: {read} is more than {feet_inches(ODD)} off what was asked for.",
            "Read the tape again, and see that the list begins at the first truss.",
        )  # fmt: skip


# --- from lists to walls ---------------------------------------------------------------------------------------------


def measured_walls(
    job: Job, left: str = "", right: str = "", tolerance: Length = "1/8", aim: str = AIMS[0],
    earlier: tuple[str, str] = ("", ""),
) -> MeasuredWalls:  # fmt: skip
    """A job's set trusses as measured along both walls: aims, shims, seats, variance, and what moved since ``earlier``.

    ``left`` and ``right`` are lists as for ``read_heels``, ``earlier`` the two of the last time.  The trusses are the
    job's, in the order of its types; a list may go on beyond them.  ``aim`` is one of ``AIMS``.  InputError with every
    sentence.

    >>> from rooflab.job.jobfile import example
    >>> made = measured_walls(example(), "8 3/4, 8 13/16, 8 1/2", "8 13/16, -, 8 7/8")
    >>> [[row and row.shim for row in wall.rows[:3]] for wall in made.walls]
    [[0.0, 0.0, 0.3125], [0.0, None, 0.0]]
    """
    must_be(job, Job, "Job")
    problems: list[str] = []
    read_word("Aim", aim, AIMS, problems)
    lists = []
    for words, text in zip(("Left wall", "Right wall", "Left, last time", "Right, last time"), (left, right, *earlier),
                           strict=True):  # fmt: skip
        try:
            lists.append(read_heels(text, words))
        except InputError as error:
            problems += error.problems
    stop_on(problems)
    known = tuple(_known_places(job))
    spots, stands = _places(known, lists, job.types[0].spacing if job.types else 24.0)
    places = tuple(_truss_places(job, spots, known))
    remarks = []
    if known and (beyond := len(set(spots) - {at for at, _ in known})):
        remarks.append(f"{beyond} more than the job's {len(known)} places: held against the main trusses' heel.")
    if any(kind.gable_ends for kind in job.types):
        remarks.append("Gable end trusses that are dropped for outlookers stand lower: put a dash for them.")
    heels = [tuple(one.get(at) for at in spots) for one in stands]
    now, before = (_walls(job, places, heels[i : i + 2], tolerance, aim) for i in (0, 2))
    aims = {wall.end: wall.schedule.aim for wall in now if wall.schedule}
    made = rafters_to_match(job.rafters, aims)
    limit = sixteenth(drawing_length(tolerance, "Tolerance"))
    return MeasuredWalls(places, now, before, job.rafters, made, limit, tuple(remarks))


def _known_places(job: Job) -> Iterator[tuple[float, TrussType]]:
    """Where the job's trusses stand from the first one on, in, as far as lengths are given; and their types."""
    start = 0.0
    for kind in job.types:
        if kind.stands_in:
            return
        yield from ((start + place, kind) for place in kind.places())
        start += kind.length


def _places(
    known: tuple[tuple[float, TrussType], ...], lists: Iterable[tuple[WallHeel, ...]], spacing: float
) -> tuple[list[float], list[dict[float, float | None]]]:
    """Every place of a truss, in, and for each list its heels by place.  InputError where two fall on one place."""
    spots = [at for at, _ in known]
    found, problems = [], list[str]()
    for words, heels in zip(ENDS * 2, lists, strict=True):
        at, own = 0.0, dict[float, float | None]()
        for number, one in enumerate(heels):
            if one.place is not None:
                at = min(spots, key=lambda spot, place=one.place: abs(spot - place), default=one.place)  # type: ignore[misc]
                at = one.place if abs(at - one.place) > NEAR else at
            elif number:
                later = [spot for spot, _ in known if spot > at]
                at = later[0] if later else at + spacing
            if at in own:
                problems.append(
                    f"{words.capitalize()} wall, heel {number + 1}: another stands at {feet_inches(at)} already."
                )
            own[at] = one.heel
            if at not in spots:
                spots.append(at)
        found.append(own)
    stop_on(problems)
    return sorted(spots), found


def _truss_places(
    job: Job, spots: Iterable[float], known: tuple[tuple[float, TrussType], ...]
) -> Iterator[TrussPlace]:
    main = next((kind for kind in job.types if kind.jog is None), None)
    by_place = dict(known)
    for number, at in enumerate(spots, 1):
        kind = by_place.get(at, next((one for place, one in reversed(known) if place < at < known[-1][0]), main))
        bay = kind.bay(job.scissor) if kind else job.scissor
        yield TrussPlace(number, at, kind.mark if kind else "", (bay.left.heel, bay.right.heel))


def _walls(
    job: Job, places: tuple[TrussPlace, ...], heels: list[tuple[float | None, ...]], tolerance: Length, aim: str
) -> tuple[MeasuredWall, MeasuredWall]:
    """Both walls of one measurement."""
    asked = job.scissor.left.heel, job.scissor.right.heel

    def schedule(end: int, plane: float | None) -> Schedule | None:
        rows = [
            (place.name, heel, asked[end] - place.asked[end])  # a wall set in stands under the same plane
            for place, heel in zip(places, heels[end], strict=True)
            if heel is not None
        ]
        pitch = 12 * abs(job.rafters.ends[end].roof.slope)
        return shim_schedule(rows, tolerance, plane, pitch) if rows else None

    planes: list[float | None] = [None, None]
    if aim == AIMS[1]:
        own = [schedule(end, None) for end in (0, 1)]
        most = max((one.aim - tall for one, tall in zip(own, asked, strict=True) if one), default=0.0)
        planes = [tall + most for tall in asked]
    elif aim == AIMS[2]:
        planes = [end.heel for end in job.rafters.ends]
    made = [
        _wall(ENDS[end], asked[end], pair(job.rafters.seat)[end], places, heels[end], schedule(end, planes[end]))
        for end in (0, 1)
    ]
    return made[0], made[1]


def _wall(
    end: str, asked: float, seat: float, places: tuple[TrussPlace, ...], heels: tuple[float | None, ...],
    schedule: Schedule | None,
) -> MeasuredWall:  # fmt: skip
    rows = {row.where: row for row in schedule.rows} if schedule else {}
    varies = _variance(schedule) if schedule and len(schedule.rows) > 1 else None
    return MeasuredWall(end, asked, seat, heels, tuple(rows.get(place.name) for place in places), schedule, varies)


def _variance(schedule: Schedule) -> Variance:
    low, *_, high = sorted(schedule.rows, key=lambda row: row.top)
    a, b = max(zip(schedule.rows, schedule.rows[1:], strict=False), key=lambda two: abs(two[0].top - two[1].top))
    return Variance(high.top - low.top, low.where, high.where, abs(a.top - b.top), (a.where, b.where))
