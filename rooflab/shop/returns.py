"""What came back for a whole job: drawings by mark, return after return, and the file that keeps them.

A *return* is all that came back at one time.  A drawing of it belongs to a type of the job by its mark; one whose mark
is none of ours, or that names another job, is told apart and never reviewed.  The second drawing of a mark is held
against the first one: what was to resolve is resolved or still there, and something new may have come.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.files import locked, place_of, read_text
from rooflab.base.inputs import stop_on
from rooflab.base.jsonfile import Json, Reader, read_document, text_problem, write_document
from rooflab.base.measure import InputError, sixteenth
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job

from .causes import items_of, symbols_of_truss
from .items import (
    ENDS,
    HEAD,
    ITEMS,
    KEYS,
    LARGEST,
    ItemRow,
    csv_rows,
    csv_source_text,
    item_and_end,
    item_word,
    items_in_rows,
    short_text,
    stop_on_few,
)
from .review import AGREES, NOT_SHOWN, RESOLVE, Review, ReviewLine, planes_apart, review_items

RESOLVED, STILL, NEW = "resolved", "still", "new"
LONGEST_WORD = 120  # characters of a mark or of a line of the head
MOST_RETURNS, MOST_DRAWINGS = 20, 200  # of one job; of one return
ENDINGS = (".csv", ".txt")  # of the files in a folder that are read
SAMPLE = "SAMPLE, not a returned drawing"
_MARK_WORDS = ("mark", "type", "truss", "truss_mark")


class Drawing(NamedTuple):
    """A returned drawing: its values as they are printed, by item's key; remarks by key; lines of ``HEAD`` by name."""

    values: dict[str, str]
    remarks: dict[str, str] = {}
    head: dict[str, str] = {}


Return = dict[str, Drawing]
"""What came back at one time, by mark; a drawing that names another job stands as "A of" that job."""


# --- from a table, or a folder of them -------------------------------------------------------------------------------


def read_return(source: object, job: Job, mark: str = "") -> Return:
    """The drawings that a table shows, by the job's marks; those of other jobs under marks of their own.

    ``source`` is the text of a table or its path.  It has a column of marks, or a row "mark" before each drawing's
    rows, or a row a mark with a column an item; a table without marks is the drawing of ``mark``.  InputError with a
    sentence for all that cannot be read; then nothing is taken.

    >>> from rooflab.job.jobfile import example
    >>> found = read_return("mark,heel,span\\nA,00-08-13,26-00-00\\nT7,00-09-00,", example())
    >>> found["A"].values, list(found)
    ({'heel': '00-08-13', 'span': '26-00-00'}, ['A', 'T7'])
    """
    problems: list[str] = []
    found = list(_drawings(csv_rows(csv_source_text(source), problems), own_marks(job), mark, problems))
    return _by_mark(found, job, problems)


def read_folder(folder: str | os.PathLike[str], job: Job) -> Return:
    """The same from all tables in a folder; a file that names no mark is the drawing its name says: ``A.csv``.

    InputError where the folder is not there, holds no table, or one cannot be read.
    """
    place, problems = Path(folder), list[str]()
    try:
        files = sorted(one for one in place.iterdir() if one.suffix.lower() in ENDINGS and one.name[0] != ".")
    except OSError:
        raise InputError(
            f"Folder {place.name}: it is not there; make it beside this workbook and put the tables in it."
        ) from None
    if not files:
        raise InputError(f"Folder {place.name}: it holds no table; files that end in {' or '.join(ENDINGS)} are read.")
    if len(files) > MOST_DRAWINGS:
        raise InputError(f"Folder {place.name}: {len(files)} tables; up to {MOST_DRAWINGS} are read.")
    found: list[tuple[str, str, Drawing]] = []
    for file in files:
        said: list[str] = []
        try:
            text = read_text(file, f"File {short_text(file.name)}", LARGEST)
            rows = csv_rows(f"{text}\n", said)
            found += _drawings(rows, own_marks(job), own_mark(file.stem, own_marks(job)), said)
        except InputError as error:
            said += error.problems
        problems += [one if one.startswith("File ") else f"File {short_text(file.name)}, {one}" for one in said]
    return _by_mark(found, job, problems)


def own_marks(job: Job) -> tuple[str, ...]:
    """The marks of a job's types; "A" where it has none: then every truss is the long one."""
    return tuple(kind.mark for kind in job.types) or ("A",)


def own_bays(job: Job) -> dict[str, ScissorBay]:
    """What was asked for, by mark."""
    return {kind.mark: kind.bay(job.scissor) for kind in job.types} or {own_marks(job)[0]: job.scissor}


def own_mark(text: str, marks: Sequence[str]) -> str:
    """A mark as the job writes it, from "type a" or "A"; one that is none of the job's as it stands.

    >>> own_mark("Type a", ("A", "B")), own_mark(" T7 ", ("A", "B"))
    ('A', 'T7')
    """
    tidy = " ".join(text.split())
    bare = re.sub(r"^(?:truss|type|mark)\b[\s:]*", "", tidy, flags=re.IGNORECASE) or tidy
    by_case = {mark.casefold(): mark for mark in reversed(marks)}
    return next((mark for mark in marks if mark in (bare, tidy)), by_case.get(bare.casefold(), bare))


def _drawings(
    rows: Iterable[ItemRow], marks: Sequence[str], mark: str, problems: list[str]
) -> Iterator[tuple[str, str, Drawing]]:
    """Mark, where it begins, and drawing: a row "mark" begins another one, rows of a column of marks go together."""
    groups: dict[tuple[str, int], list[ItemRow]] = {}
    now, number = own_mark(mark, marks) if mark else "", 0
    for row in rows:
        if item_word(row.item) in _MARK_WORDS and not row.mark:
            now, number = own_mark(str(row.value), marks), number + 1
            if said := text_problem(now, LONGEST_WORD) or ("" if now else "it is empty."):
                problems.append(f"{row.place}mark: {said}")
            groups[now, number] = [row]
            continue
        own = own_mark(row.mark, marks) if row.mark else now
        if not own:
            problems.append(f"{row.place}{short_text(row.item)}: no mark says whose drawing it is; add one.")
            break
        groups.setdefault((own, 0 if row.mark else number), []).append(row)
    for (own, _), group in groups.items():
        head = {item_word(row.item): row for row in group if item_word(row.item) in HEAD}
        for name, row in head.items():
            if said := text_problem(" ".join(row.value.split()), LONGEST_WORD):
                problems.append(f"{row.place}{HEAD[name]}: {said}")
        shown = items_in_rows((row for row in group if item_word(row.item) not in (*HEAD, *_MARK_WORDS)), problems)
        values, remarks = {key: one.text for key, one in shown.items()}, {k: v.remark for k, v in shown.items()}
        words = {name: " ".join(row.value.split()) for name, row in head.items() if row.value.strip()}
        yield own, group[0].place, Drawing(values, {k: v for k, v in remarks.items() if v}, words)


def _by_mark(found: Sequence[tuple[str, str, Drawing]], job: Job, problems: list[str]) -> Return:
    """Drawings by mark; InputError where anything was wrong, or nothing is shown."""
    made = Return()
    for mark, place, drawing in found:
        other = of_another_job(drawing, job)
        name = f"{mark} of {other}" if other else mark
        if name in made:
            problems.append(f"{place}Mark {short_text(name)}: it came back twice in the same return; keep one drawing.")
        if not drawing.values and not problems:
            problems.append(f"{place}Mark {short_text(name)}: its drawing shows no number.")
        made[name] = drawing
    if not found and not problems:
        problems.append("Returned drawings: the table shows nothing; give at least one item and its value.")
    if len(made) > MOST_DRAWINGS:
        problems.append(f"Returned drawings: {len(made)} in one return; up to {MOST_DRAWINGS} are read.")
    stop_on_few(problems)
    return made


def of_another_job(drawing: Drawing, job: Job) -> str:
    """The job that a drawing names where it is not this one; "" where it is, or names none."""
    name = drawing.head.get("job", "")
    known = {" ".join(one.casefold().split()) for one in (job.title, job.sheet.get("project", ""), SAMPLE)}
    return "" if not name or name.casefold() in known else name


def return_table(drawings: Mapping[str, Drawing]) -> str:
    """A return as the table it could be pasted as, a row an item."""
    lines = ["item,value,remark"]
    for mark, one in drawings.items():
        rows = [("mark", mark, ""), *((name, text, "") for name, text in one.head.items())]
        rows += [(key, text, one.remarks.get(key, "")) for key, text in one.values.items()]
        lines += [",".join(_cell(cell) for cell in row) for row in rows]
    return "\n".join(lines) + "\n"


def _cell(text: str) -> str:
    return f'"{text.replace(chr(34), 2 * chr(34))}"' if re.search('[",;\t]', text) else text


def sample_return(job: Job) -> Return:
    """A return of our own making for a job, to try things with: each says of itself that it is one.

    The first type has the seat forgotten, so that its heel is the rafters' full plumb depth; of three types or more
    the last one did not come back; the others are as they were asked for.
    """
    made = Return()
    kinds = list(own_bays(job).items())
    for mark, bay in kinds[:-1] if len(kinds) > 2 else kinds:
        truss = symbols_of_truss(bay, job.rafters)
        if not made:
            both = zip(truss, ENDS, strict=True)
            left, right = ({**s, "heel": s["heel"] + _seat_rise(job.rafters, end)} for s, end in both)
            truss = left, right
        found = items_of(truss)
        plates = [found[f"plate_{end}"] for end in ENDS]
        made[mark] = Drawing(
            {
                key: _printed(key, value)
                for key, value in _both_alike(found).items()
                if item_and_end(key)[0].name != "plate" or max(map(abs, plates)) > 1 / 32
            },
            {},
            {"job": SAMPLE},
        )
    return made


def _printed(key: str, value: float) -> str:
    """A number as shops print it: feet, inches and sixteenths with dashes between; a pitch to two decimals.

    >>> _printed("heel", 8.8125), _printed("tail_top_left", -1.875), _printed("pitch", 8)
    ('00-08-13', '-00-01-14', '8.00')
    """
    if item_and_end(key)[0].kind == "pitch":
        return f"{value:.2f}"
    inch, part = divmod(round(16 * abs(sixteenth(value))), 16)
    return f"{'-' if sixteenth(value) < 0 else ''}{inch // 12:02d}-{inch % 12:02d}-{part:02d}"


def _seat_rise(rafters: RafterBay, end: str) -> float:
    """How much higher a rafter's heel would be without its seat, in."""
    s = rafters.symbols(end)
    return float(geo.heel(s["D"], s["m"], 0.0) - geo.heel(s["D"], s["m"], s["seat"]))


def _both_alike(found: Mapping[str, float]) -> dict[str, float]:
    """Items by key, both ends in one where their numbers are the same."""
    alike: dict[str, float] = {}
    for item in ITEMS.values():
        keys = [f"{item.name}_{end}" for end in ENDS] if item.ends else [item.name]
        values = {key: found[key] for key in keys if key in found}
        alike |= {item.name: values[keys[0]]} if len(set(values.values())) == 1 else values
    return alike


# --- held against what was asked for ---------------------------------------------------------------------------------


class MarkReview(NamedTuple):
    """A type of the job: its bay, the return that it last came back in (0: never), and what is to be said of it.

    ``review`` is None where nothing came back yet, ``before`` where nothing had before that.
    """

    mark: str
    bay: ScissorBay
    number: int
    drawing: Drawing
    review: Review | None
    before: Review | None = None

    @property
    def verdict(self) -> str:
        """agrees, resolve or not shown, of the whole drawing."""
        if self.review is None:
            return NOT_SHOWN
        if self.review.of(RESOLVE) or self.review.contradictions:
            return RESOLVE
        return NOT_SHOWN if self.review.of(NOT_SHOWN) else AGREES

    @property
    def since(self) -> dict[str, str]:
        """What became of each line since the drawing before this one, by item: resolved, still or new."""
        return lines_since(self.before, self.review) if self.before and self.review else {}


def verdict_counts(since: Mapping[str, str]) -> str:
    """How many lines were resolved, are still there or came new, in words.

    >>> verdict_counts({"heel": "still", "height": "resolved", "span": "resolved"})
    '2 resolved, 1 still'
    """
    words = list(since.values())
    return ", ".join(f"{words.count(word)} {word}" for word in (RESOLVED, STILL, NEW) if word in words)


def lines_since(before: Review, now: Review) -> dict[str, str]:
    """What became of each line of the present review that is open, or was: resolved, still or new, by its item.

    A line is open where its number is to resolve or not shown.  A number that was missing and is now wrong is new.
    """
    old, found = {key: line for line in before.lines for key in _keys(line)}, dict[str, str]()
    for line in now.lines:
        words = [_change(old.get(key), line) for key in _keys(line)]
        if word := next((one for one in (NEW, STILL, RESOLVED) if one in words), ""):
            found[line.item] = word
    return found


def _keys(line: ReviewLine) -> list[str]:
    item, end = item_and_end(line.item)
    return [f"{item.name}_{one}" for one in ENDS] if item.ends and not end else [line.item]


def _change(old: ReviewLine | None, line: ReviewLine) -> str:
    was = old.verdict if old else AGREES
    if line.verdict not in (RESOLVE, NOT_SHOWN):
        return RESOLVED if was in (RESOLVE, NOT_SHOWN) else ""
    return STILL if was == RESOLVE or was == line.verdict else NEW


@dataclass(frozen=True)
class ReturnsReview:
    """All that came back for a job: its types in their order, and marks of the present return that it does not have."""

    title: str
    number: int
    marks: tuple[MarkReview, ...]
    others: tuple[str, ...]
    sample: bool = False

    @property
    def missing(self) -> tuple[str, ...]:
        """The marks of the job that never came back."""
        return tuple(one.mark for one in self.marks if one.review is None)

    @property
    def reviews(self) -> dict[str, Review]:
        """The last review of each mark that came back."""
        return {one.mark: one.review for one in self.marks if one.review is not None}

    def of(self, verdict: str) -> list[str]:
        """The marks that came back and have one verdict."""
        return [one.mark for one in self.marks if one.review is not None and one.verdict == verdict]

    @property
    def planes(self) -> str:
        """A sentence on types whose roof planes would stand apart; "" where none do."""
        return planes_apart(self.reviews)

    @property
    def sentence(self) -> str:
        """The whole job in a few words."""
        if not self.reviews and not self.others:
            return "Nothing came back yet: read a table, or type a drawing's numbers where they stand on it."
        here = [one.mark for one in self.marks if one.number == self.number]
        said = [f"Return {self.number}: {len(here)} of {len(self.marks)} types came back."]
        words = {RESOLVE: "To resolve", NOT_SHOWN: "Numbers not shown", AGREES: "Agrees"}
        said += [f"{word}: {', '.join(self.of(verdict))}." for verdict, word in words.items() if self.of(verdict)]
        said += [f"Nothing came back for {', '.join(self.missing)}."] if self.missing else []
        said += [f"Not of this job: {', '.join(self.others)}."] if self.others else []
        return f"{SAMPLE}. " * self.sample + " ".join(said)


def review_returns(job: Job, returns: Sequence[Return]) -> ReturnsReview:
    """Hold the returns of a job, the first one first, against its types.

    Each mark counts by the last drawing that came of it, and that one is held against the one before it, too.
    InputError with a sentence for a number that cannot be read.
    """
    marks, problems = list[MarkReview](), list[str]()
    for mark, bay in own_bays(job).items():
        came = [(n, one[mark]) for n, one in enumerate(returns, 1) if mark in one and one[mark].values]
        try:
            held = [review_drawing(bay, job.rafters, drawing) for _, drawing in came[-2:]]
        except InputError as error:
            problems += [f"Type {mark}: {said}" for said in error.problems]
            continue
        number, drawing = came[-1] if came else (0, Drawing({}))
        marks.append(MarkReview(mark, bay, number, drawing, held[-1] if held else None, held[0] if held[1:] else None))
    stop_on(problems)
    others = [mark for mark in (returns[-1] if returns else ()) if mark not in own_marks(job)]
    sample = any(one.head.get("job") == SAMPLE for each in returns for one in each.values())
    return ReturnsReview(job.title, max(len(returns), 1), tuple(marks), tuple(others), sample)


def review_drawing(bay: ScissorBay, rafters: RafterBay, drawing: Drawing) -> Review:
    """A drawing held against its type; with no number typed yet, nothing of it is shown."""
    return _review_of(bay, rafters, tuple(drawing.values.items()), tuple(drawing.remarks.items()))


@lru_cache(400)
def _review_of(
    bay: ScissorBay, rafters: RafterBay, values: tuple[tuple[str, str], ...], remarks: tuple[tuple[str, str], ...]
) -> Review:
    problems: list[str] = []
    beside = dict(remarks)
    items = items_in_rows((ItemRow("", key, text, beside.get(key, "")) for key, text in values), problems)
    stop_on(problems)
    return review_items(bay, items, rafters)


# --- kept beside the job file ----------------------------------------------------------------------------------------

WHAT, FORMAT, VERSION = "Returned drawings", "rooflab returned drawings", 1


def returns_document(title: str, returns: Sequence[Return]) -> dict[str, Json]:
    """Returns as plain values for JSON."""

    def plain(one: Drawing) -> dict[str, Json]:
        parts: dict[str, Any] = {"head": dict(one.head), "values": dict(one.values), "remarks": dict(one.remarks)}
        return {name: part for name, part in parts.items() if part}

    rows: list[Json] = [{mark: plain(one) for mark, one in each.items()} for each in returns]
    return {FORMAT: VERSION, "title": title, "returns": rows}


def read_returns_document(document: object) -> list[Return]:
    """Returns from plain values; InputError with every problem and its place."""
    reader = Reader()
    table = reader.table(document, WHAT, (FORMAT, "title", "returns"), (FORMAT, "returns"))
    if table and table.get(FORMAT) != VERSION:
        reader.say(WHAT, f"version {short_text(table.get(FORMAT))} cannot be read here, {VERSION} can.")
    returns = []
    for n, row in enumerate(reader.rows(table.get("returns", []), "returns", MOST_RETURNS), 1):
        if not isinstance(row, dict):
            reader.say(f"return {n}", "drawings by mark are needed.")
            continue
        returns.append({mark: _read_drawing(reader, f"return {n}, mark {short_text(mark)}", row[mark]) for mark in row})
    stop_on_few(reader.problems)
    return returns


def _read_drawing(reader: Reader, place: str, value: object) -> Drawing:
    table = reader.table(value, place, ("head", "values", "remarks"))
    parts = {name: reader.table(table.get(name, {}), place, tuple(HEAD) if name == "head" else KEYS)
             for name in ("head", "values", "remarks")}  # fmt: skip
    texts = {name: {key: str(one) for key, one in part.items()} for name, part in parts.items()}
    reader.problems += [f"{place}, {key}: {said}" for part in texts.values() for key, text in part.items()
                        if (said := text_problem(text, 2000, True))]  # fmt: skip
    items_in_rows((ItemRow(f"{place}, ", key, text) for key, text in texts["values"].items()), reader.problems)
    return Drawing(texts["values"], texts["remarks"], texts["head"])


class Record:
    """The file that keeps a job's returns; what another kernel wrote of other drawings meanwhile stays.

    InputError for a file that cannot be read: it is left as it is.
    """

    def __init__(self, path: str | os.PathLike[str], title: str) -> None:
        self.path, self.title = place_of(path, WHAT), title
        self.returns = self._read()
        self._known, self._count = _flat(self.returns), _count(self.returns)

    def _read(self) -> list[Return]:
        return read_returns_document(read_document(self.path, WHAT)) if os.path.lexists(self.path) else []

    def keep(self, returns: Sequence[Return]) -> None:
        """Write the returns where they differ from what was read or written last.  InputError where it cannot be."""
        now, count = _flat(returns), _count(returns)
        if (now, count) == (self._known, self._count):
            return
        with locked(self.path, WHAT):
            file = _flat(self._read())
            for key in {**self._known, **now}:
                if now.get(key) != self._known.get(key):
                    file.pop(key, None)
                    file |= {key: now[key]} if key in now else {}
            numbers = range(1, max([count, *(number for number, _ in file)]) + 1)
            rows = [{mark: one for (number, mark), one in file.items() if number == n} for n in numbers]
            write_document(self.path, returns_document(self.title, rows), WHAT)
        self.returns, self._known, self._count = list(returns), now, count


def _count(returns: Sequence[Return]) -> int:
    """How many returns there are: one that has begun counts, but for the first."""
    return len(returns) if len(returns) > 1 or any(returns) else 0


def _flat(returns: Sequence[Return]) -> dict[tuple[int, str], Drawing]:
    return {(n, mark): one for n, each in enumerate(returns, 1) for mark, one in each.items()}
