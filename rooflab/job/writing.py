"""Changes of the job file: what a writer touched goes over what the file holds now; the rest of the file stays.

Two may have the same file open.  Each says what it saw and what it wants; where both changed the same field, nothing is
written, and both values come back for a person to choose from.  So it is where a writer changes what was agreed last.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from rooflab.base.files import locked, place_of
from rooflab.base.jsonfile import Json
from rooflab.base.measure import InputError

from .agreement import last_agreement
from .jobfile import LOADS, SHEET, Job, read_job
from .option import OWN_RECORD
from .values import LABELS, job_with

Fields = dict[str, Json]
"""The values of a job file by their places, such as "gable.span", "sheet.revision", "types.A.length", "options.B"."""

ROWS = {"types": "mark", "options": OWN_RECORD}  # lists whose rows have a name, and its key
LISTS = ("notes", "decisions")  # lists whose rows have none: some are added, some taken away
STOCK = ("rafters.lumber", "rafters.depth")  # one field: a size or a depth
NOTHING = "nothing"
ABSENT = object()  # the value of a field that a file has not


@dataclass(frozen=True)
class Conflict:
    """A field that the file and a writer have both changed: its place and label, the file's value and the writer's.

    Or one that was agreed on and that the writer changes: ``agreed`` is then (date, value of the agreement).
    """

    place: str
    label: str
    file: str
    mine: str
    agreed: tuple[str, str] | None = None

    def __str__(self) -> str:
        if not self.agreed:
            return f"{self.label}: the file has {self.file} now, here it is {self.mine}."
        date, value = self.agreed
        now = f"; the file has {self.file} now" if self.file != value else ""
        return f"{self.label}: agreed on {date}: {value}{now}; here: {self.mine}."


@dataclass(frozen=True)
class FileChange:
    """What became of a change: the job as it was written, or the conflicts for which nothing was written."""

    job: Job | None
    conflicts: tuple[Conflict, ...] = ()


def job_in(path: str | os.PathLike[str]) -> Job | None:
    """The job in a file; None where there is no file.  InputError where the file cannot be used."""
    return Job.load(path) if os.path.lexists(place_of(path, "Job file")) else None


def change(
    path: str | os.PathLike[str],
    base: Job,
    wanted: Job,
    choices: Mapping[Conflict, bool] | None = None,
    seen: Job | None = None,
    write: Callable[[Job], Job] | None = None,
) -> FileChange:
    """Write what differs between ``base`` and ``wanted`` into the job file, and nothing else of it.

    ``base`` is what the file held when the writer read it (or what a new file begins with), ``seen`` what was shown
    instead of it.  ``choices`` settles conflicts: True takes the writer's value, False the file's.
    What the file's last agreement holds is asked about, too, where it would change.  ``write`` is for who agrees anew,
    and is not asked so: it is handed the job that comes of it and saves it, with what else belongs to it, as the job it
    returns.  The file is locked from reading to writing.  InputError where it cannot be used, or changes do not fit.
    """
    with locked(place_of(path, "Job file"), "Job file"):
        now = job_in(path)
        file = base if now is None else now
        job, conflicts = merged(base, wanted, file, choices or {}, seen, None if write else agreed_fields(file))
        if conflicts:
            return FileChange(None, conflicts)
        if write is not None:
            return FileChange(write(job))
        if job != now:
            job.save(path)
        return FileChange(job)


@dataclass(frozen=True)
class AgreedFields:
    """The date of the agreement that holds, and the values of the fields that it fixed."""

    date: str
    fields: Fields


def agreed_fields(job: Job) -> AgreedFields | None:
    """What the last agreement in a job holds, as its file has it; None where nothing is agreed.

    The fields are those whose values its option gives; what that leaves to the house was not agreed on.
    """
    if not (last := last_agreement(job)):
        return None
    values = last[1].values
    bare = replace(job, types=(), loads={}, options=(), decisions=())  # what a house as agreed need not fit any more
    try:
        fields = fields_of(job_with(bare, values))
    except InputError:  # nor can it be built with what the file has beside it
        return None
    names = {*values, *(["rafters.stock"] if {"lumber", "depth"} & set(values) else [])}
    held = {place: value for place, value in fields.items() if value_name(place) in names}
    return AgreedFields(last[0].date, held)


def merged(
    base: Job,
    wanted: Job,
    now: Job,
    choices: Mapping[Conflict, bool],
    seen: Job | None = None,
    agreed: AgreedFields | None = None,
) -> tuple[Job, tuple[Conflict, ...]]:
    """The job ``now`` with what differs between ``base`` and ``wanted``, and the conflicts that are not settled yet.

    What would no longer be as ``agreed`` is one, whoever changed it.
    """
    if wanted == base or (now == base and agreed is None):
        return (wanted if now == base else now), ()
    before, mine, file = fields_of(base), fields_of(wanted), fields_of(now)
    shown = fields_of(seen) if seen else before
    held = agreed.fields if agreed else {}
    made, conflicts = dict[str, Any](file), list[Conflict]()
    for place in dict.fromkeys((*file, *mine, *before)):
        old, new, there = (fields.get(place, ABSENT) for fields in (before, mine, file))
        if new == old or new == there:
            continue
        breaks = agreed and place in held and new != held[place]
        told = (agreed.date, value_words(held[place])) if agreed and breaks else None
        conflict = Conflict(place, label_of(place), value_words(there), value_words(new), told)
        if choices.get(conflict) or (there in (old, shown.get(place, ABSENT)) and not breaks):
            made[place] = new
        elif conflict not in choices:
            conflicts.append(conflict)
    if conflicts:
        return now, tuple(conflicts)
    if now == base and made == mine:
        return wanted, ()
    try:
        return read_job(document_of({place: value for place, value in made.items() if value is not ABSENT})), ()
    except InputError as error:
        two = "What stays as agreed and what is new" if now == base else "The file has changed meanwhile; both changes"
        raise InputError([f"{two} do not fit each other: {one}" for one in error.problems]) from None


# --- fields ----------------------------------------------------------------------------------------------------------


def fields_of(job: Job) -> Fields:
    """The values of a job by their places in its file.

    >>> from .jobfile import example
    >>> fields = fields_of(example())
    >>> fields["gable.span"], fields["types.B.jog"]["by"], fields["rafters.stock"]
    ('26 ft 0 in', '2 ft 0 in', {'lumber': '2x10'})
    """
    made: Fields = {}
    for name, value in job.document().items():
        if name in ROWS:
            for row in value:
                made |= _row_fields(name, row, made)
        elif name in LISTS:
            for row in value:
                made[_free(f"{name}.{json.dumps(row, sort_keys=True)}", made)] = row
        elif isinstance(value, dict):
            made |= {f"{name}.{key}": one for key, one in value.items()}
        else:
            made[name] = value
    stock = {place.partition(".")[2]: made.pop(place) for place in STOCK if place in made}
    return {**made, "rafters.stock": stock}


def _row_fields(name: str, row: dict[str, Any], made: Fields) -> Fields:
    """A truss type field by field; an option as one."""
    key = ROWS[name]
    if name == "types":
        return {f"{name}.{row[key]}.{part}": value for part, value in row.items()}
    own = row[key] if isinstance(row.get(key), str) else json.dumps(row, sort_keys=True)
    return {_free(f"{name}.{own}", made): row}


def _free(place: str, made: Fields) -> str:
    """The place, or for a row that stands more than once the place with a number."""
    number = 1
    while (numbered := place if number == 1 else f"{place} #{number}") in made:
        number += 1
    return numbered


def document_of(fields: Mapping[str, Json]) -> dict[str, Any]:
    """The plain values of a job file from its fields."""
    made: dict[str, Any] = {name: [] for name in (*ROWS, *LISTS)}
    types: dict[str, dict[str, Json]] = {}
    for place, value in fields.items():
        name, _, key = place.partition(".")
        if name == "types":
            mark, _, part = key.rpartition(".")
            types.setdefault(mark, {})[part] = value
        elif name in made and isinstance(made[name], list):
            made[name].append(value)
        elif place == "rafters.stock":
            assert isinstance(value, dict)
            made.setdefault(name, {}).update(value)
        elif key:
            made.setdefault(name, {})[key] = value
        else:
            made[name] = value
    return made | {"types": list(types.values())}


# --- in words --------------------------------------------------------------------------------------------------------

PARTS = {"title": "Title of the house", "rafters.stock": LABELS["lumber"], "rafters.spacing": LABELS["spacing"]}


def label_of(place: str) -> str:
    """What a field of a job file is called.

    >>> label_of("sheet.revision"), label_of("types.A.length"), label_of("options.Long seat")
    ('Revision', 'Type A: length', 'Option Long seat')
    """
    name, _, key = place.partition(".")
    if place in PARTS:
        return PARTS[place]
    if name == "types":
        mark, _, part = key.rpartition(".")
        return f"Type {mark}: {part.replace('_', ' ')}"
    if name == "options":
        return f"Option {key}"
    if name == "sheet":
        return SHEET[key]
    if name == "loads" and key in LOADS:
        return LOADS[key].label
    return LABELS.get(value_name(place), place.replace(".", ": ").replace("_", " "))


def value_name(place: str) -> str:
    """The name among a house's values of a field of its file; the rafter's stock has two, and is its place.

    >>> value_name("trusses.plate"), value_name("gable.pitch"), value_name("rafters.stock")
    ('truss_plate', 'pitch', 'rafters.stock')
    """
    return {"trusses.plate": "truss_plate", "rafters.stock": place}.get(place, place.rpartition(".")[2])


def value_words(value: object) -> str:
    """A value of a job file in a few words."""
    if value in (None, "", ABSENT):
        return NOTHING
    if isinstance(value, dict):
        rows = (f"{key.replace('_', ' ')} {value_words(one)}" for key, one in value.items() if key != OWN_RECORD)
        text = ", ".join(rows) if len(value) > 1 else value_words(next(iter(value.values()), None))
    elif isinstance(value, list):
        text = " and ".join(map(value_words, value))
    else:
        text = f"{value:g}" if isinstance(value, float) else str(value)
    return text if len(text) <= 60 else f"{text[:57]}..."
