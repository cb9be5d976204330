"""An option: the house under a name with some numbers of its own; solved, kept in the job file, read back the same.

An option holds what differs from the house, or everything (``option_of``), so that later changes of the house leave it
alone.  In the job file it is one flat record of texts and numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from rooflab.base.findings import Finding
from rooflab.base.inputs import Value, attempt, must_be, stop_on
from rooflab.base.jsonfile import Record, json_text, record_problem, text_problem
from rooflab.base.measure import InputError
from rooflab.base.rows import Rows
from rooflab.checks.assumptions import Assumptions, Carries, carries, house_findings
from rooflab.checks.warmth import OverPlate, over_plate
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import set_fields
from rooflab.house.readings import reading_of
from rooflab.house.room import STOCK, room_of
from rooflab.house.seam import Comparison, Tail, compare, tail_and_soffit

from .jobfile import Job
from .values import (
    LABELS,
    NAMES,
    TWO_ENDED,
    House,
    assumptions_of,
    bays_of,
    file_value,
    finish_of,
    house_of,
    job_with,
    read_value,
    room_values,
    value_text,
    with_values,
)

FEWEST, MOST = 2, 6  # options side by side
LONGEST_NAME, LONGEST_TEXT, LONGEST_RECORD = 40, 300, 2000
OWN_RECORD = "option"  # the key of an option's name in the job file

# --- words -----------------------------------------------------------------------------------------------------------


def one_line_texts(what: str, given: object, longest: int, problems: list[str]) -> tuple[str, ...]:
    """Texts of one line each, from several or from the lines of one; empty ones left away."""
    rows = given.split("\n") if isinstance(given, str) else given
    if not isinstance(rows, Iterable) or isinstance(rows, dict):
        problems.append(f"{what}: texts are needed, not {json_text(given)}.")
        return ()
    made = []
    for row in rows:
        if said := text_problem(row, longest, True):
            problems.append(f"{what}: {said}")
        elif words := " ".join(row.split()):
            made.append(words)
    return tuple(made)


def _lines(what: str, given: object, problems: list[str]) -> tuple[str, ...]:
    """Pros or cons: a text a line, or several texts."""
    made = one_line_texts(what, given, LONGEST_TEXT, problems)
    if len("\n".join(made)) > LONGEST_RECORD:
        problems.append(f"{what}: up to {LONGEST_RECORD} characters together are allowed.")
    return made


@dataclass(frozen=True, init=False)
class Option:
    """A way to build the house, under a name of its own.

    ``values`` are what differs from the house (or all of it), by the names of ``NAMES``: lengths in inches or trade
    text, pitches in 12, sizes, one value or (left, right) where walls may differ; ``heel`` is a length or "as rafters".
    ``pros``, ``cons`` and ``remark`` are people's words.  InputError with every problem.

    >>> Option("Deeper rafter", lumber="2x12", seat="3 1/2", pros=["more insulation"])
    Deeper rafter: Rafter 2x12, Seat 3 1/2"
    """

    name: str
    pros: tuple[str, ...]
    cons: tuple[str, ...]
    remark: str
    value_pairs: tuple[tuple[str, Any], ...]

    def __init__(self, name: str, pros: Any = (), cons: Any = (), remark: str = "", **values: Any) -> None:
        problems = [f"Option's name: {said}" for said in [text_problem(name, LONGEST_NAME)] if said]
        if not problems and not name.strip():
            problems.append("Option's name: at least one letter is needed.")
        known = {key: value for key, value in values.items() if key in LABELS}
        problems += [f"{json_text(key)} is nothing an option holds; it holds {', '.join(NAMES)}."
                     for key in values if key not in LABELS]  # fmt: skip
        if {"lumber", "depth"} <= set(known):
            problems.append("Rafter: give lumber or depth, not both.")
        values = {key: read_value(key, known[key], problems) for key in NAMES if key in known}
        words = _lines("Pros", pros, problems), _lines("Cons", cons, problems)
        problems += [f"Remark: {said}" for said in [text_problem(remark, LONGEST_TEXT, True)] if said]
        stop_on(problems)
        set_fields(self, name=" ".join(name.split()), pros=words[0], cons=words[1], remark=" ".join(remark.split()))
        set_fields(self, value_pairs=tuple(values.items()))

    @property
    def values(self) -> dict[str, Any]:
        """What differs from the house, values by name."""
        return dict(self.value_pairs)

    def with_(self, **changes: Any) -> Option:
        """The same option with another name, other words or other values; a value of None is left to the house."""
        made: dict[str, Any] = {name: getattr(self, name) for name in ("name", "pros", "cons", "remark")}
        made |= with_values(self.values, changes)
        return Option(**{key: value for key, value in made.items() if value is not None})

    def text(self, name: str) -> str:
        """One of its values as it is printed."""
        return value_text(name, self.values[name])

    def record(self) -> Record:
        """The option as one flat record of texts and numbers for the job file."""
        made: Record = {OWN_RECORD: self.name}
        for name, value in self.value_pairs:
            both = value if isinstance(value, tuple) else (value,)
            made |= {key: file_value(name, one) for key, one in zip((name, f"{name}_right"), both, strict=False)}
        words = {"pros": "\n".join(self.pros), "cons": "\n".join(self.cons), "remark": self.remark}
        return made | {key: text for key, text in words.items() if text}

    def __repr__(self) -> str:
        values = ", ".join(f"{LABELS[name]} {self.text(name)}" for name in self.values)
        return f"{self.name}: {values or 'the house'}"


def read_option(record: object) -> Option:
    """An option from its record.  InputError with every problem.

    >>> read_option({"option": "Other way", "pitch": "8 in 12", "pitch_right": "6 in 12"}).values
    {'pitch': (8.0, 6.0)}
    """
    if said := record_problem(record):
        raise InputError(said)
    assert isinstance(record, dict)
    made, problems = dict(record), list[str]()
    if OWN_RECORD not in made:
        raise InputError(f"{OWN_RECORD!r}, the option's name, is missing.")
    for name in TWO_ENDED:
        if f"{name}_right" in made:
            right = made.pop(f"{name}_right")
            if name in made:
                made[name] = (made[name], right)
            else:
                problems.append(f"{name}_right: {name!r} for the left end is missing.")
    if clash := {"name", "self"} & set(made):
        problems += [f"{json_text(key)} is nothing an option holds." for key in sorted(clash)]
        made = {key: value for key, value in made.items() if key not in clash}
    option = attempt(problems, Option, made.pop(OWN_RECORD), **made)
    stop_on(problems)
    assert option is not None
    return option


# --- in the job ------------------------------------------------------------------------------------------------------


def read_records(place: str, rows: Iterable[Record], reader: Callable[[Record], Value]) -> tuple[Value, ...]:
    """What ``reader`` makes of each record of a list in the job file.  InputError naming each that it refuses."""
    problems: list[str] = []
    found = []
    for i, record in enumerate(rows):
        try:
            found.append(reader(record))
        except InputError as error:
            problems += [f"{place}[{i}]: {said}" for said in error.problems]
    stop_on(problems)
    return tuple(found)


def options_in(house: Job) -> tuple[Option, ...]:
    """The options kept in a job, in their order.  InputError naming each record that is not one."""
    return read_records("options", house.options, read_option)


def with_options(house: Job, options: Sequence[Option]) -> Job:
    """The job with these options in place of those kept; a record that cannot be read as an option stays as it is."""
    option_names(options, 0)
    strange = [record for record in house.options if not _readable(record)]
    return replace(house, options=(*(option.record() for option in options), *strange))


def _readable(record: object) -> bool:
    return attempt([], read_option, record) is not None


def option_names(options: object, least: int) -> list[str]:
    """The names of a list of options.  InputError for anything else, too few or too many, or a name that repeats."""
    if not isinstance(options, (list, tuple)) or not all(isinstance(one, Option) for one in options):
        raise InputError(f"Options: a list of options is needed, not {json_text(options)}.")
    names = [one.name for one in options]
    if not least <= len(names) <= MOST:
        raise InputError(f"Options: {len(names)}; {least} to {MOST} can be kept side by side.")
    twice = dict.fromkeys(name for name in names if names.count(name) > 1)
    stop_on(f"Option {json_text(name)}: the name stands more than once." for name in twice)
    return names


def option_of(name: str, house: Job, **changes: Any) -> Option:
    """All numbers of a house under a name, with some changed: later changes of the house leave it as it is.

    >>> from rooflab.job.jobfile import example
    >>> option_of("As it stands", example()).text("heel"), option_of("Wider", example(), span="28'").text("span")
    ('as rafters', '28\\'-0"')
    """
    must_be(house, Job, "House")
    made = house_of(house)
    del made["assumptions"]
    made["seat"] = house.rafters.seat
    return Option(name, **made).with_(**changes)


def full_option(option: Option, house: Job) -> Option:
    """The option with all its numbers: what it leaves to the house it takes from it, and keeps.

    >>> from rooflab.job.jobfile import example
    >>> full_option(Option("Long seat", seat="5 1/2"), example()).text("span")
    '26\\'-0"'
    """
    words = {"pros": option.pros, "cons": option.cons, "remark": option.remark}
    return option_of(option.name, house).with_(**option.values, **words)


# --- solved ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class OptionResult:
    """An option worked out: its house as values, both bays as handed over, how they meet, the room, what is found.

    ``room`` holds the readings of ``room.ROOM``, ``plates`` the insulation over the plates of both bays, ``stock`` the
    rafters' stock needed and to buy, in (0: longer than common stock); one stands for both ends where they are equal.
    """

    option: Option
    house: House = field(repr=False)
    rafters: RafterBay
    scissor: ScissorBay
    seam: Comparison
    tail: Tail | None
    room: Rows
    plates: tuple[OverPlate, ...]
    carries: Carries
    findings: tuple[Finding, ...]
    stock: tuple[tuple[float, float], ...]
    assumptions: Assumptions = field(repr=False)


STOCK_ROW = reading_of("rafter", "stock_length")


def solve_option(option: Option, house: Job) -> OptionResult:
    """The option's numbers over the house's, worked out as everywhere else.  InputError with every problem, by name.

    >>> from rooflab.job.jobfile import example
    >>> made = solve_option(Option("Longer seat", seat="5 1/2"), example())
    >>> made.scissor.left.heel, made.seam.coplanar, made.stock[0][1]
    (7.4375, True, 216.0)
    """
    must_be(option, Option, "Option")
    must_be(house, Job, "House")
    try:
        made = _solve(tuple(with_values(house_of(house), option.values).items()))
    except InputError as error:
        raise InputError([f"{option.name}: {said}" for said in error.problems]) from None
    return replace(made, option=option)


@lru_cache(64)
def _solve(given: tuple[tuple[str, Any], ...]) -> OptionResult:
    house = dict(given)
    bay, truss = bays_of(house)
    assumed = assumptions_of(house)
    room = room_of(truss, finish_of(house), **room_values(house))
    seam, tail = compare(bay, truss), tail_and_soffit(bay, truss)
    sides = ("left",) if bay.equal_ends and truss.equal_ends else ("left", "right")  # a right end that mirrors the left
    plates = tuple(over_plate(one, assumed.r, assumed.per_inch, end=side) for one in (bay, truss) for side in sides)
    needed = [STOCK_ROW.of(bay.symbols(side)) for side in sides]
    stock = tuple((one, STOCK.of({"stock_length": one})) for one in needed)
    made = carries(bay, assumed)
    found = tuple(dict.fromkeys(house_findings(bay, truss, assumed, tail, made).values()))
    return OptionResult(_NOBODY, house, bay, truss, seam, tail, room, plates, made, found, stock, assumed)


def adopt(option: Option, house: Job) -> Job:
    """The house as the option has it, its truss types and words kept.  InputError where they do not fit.

    What only the room asks (``ROOM_INPUTS``) stays with the option.
    """
    solve_option(option, house)
    return job_with(house, option.values)


_NOBODY = Option("-")
