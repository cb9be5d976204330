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
from rooflab.base.inputs import INPUTS, Ends, Read, attempt, must_be, read_ends, read_size, read_word, stop_on
from rooflab.base.jsonfile import record_problem, shown, text_problem
from rooflab.base.measure import InputError, feet_inches, inches, pitch, pitch_text, spoken
from rooflab.base.rows import Rows
from rooflab.checks.assumptions import Carries, Taken, carries, early_findings
from rooflab.checks.grades import grade_named
from rooflab.checks.limits import findings, soffit_line
from rooflab.checks.warmth import OverPlate, over_plate
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Gable, put
from rooflab.house.readings import READINGS
from rooflab.house.room import FINISH, ROOM_INPUTS, STOCK, room_of
from rooflab.house.seam import Comparison, Tail, compare, tail_and_soffit

from .jobfile import FOLLOWS, Job
from .schedule import between

FEWEST, MOST = 2, 6  # options side by side
LONGEST_NAME, LONGEST_TEXT, LONGEST_RECORD = 40, 300, 2000
OWN_RECORD = "option"  # the key of an option's name in the job file

GABLE = ("span", "pitch", "overhang", "bearing", "plate_height", "sheathing", "window_head")
RAFTER = ("lumber", "depth", "seat", "ridge", "plate")
TRUSS = ("ceiling_pitch", "heel", "chord", "bottom_chord", "truss_plate", "ceiling_from", "apex")
LAYERS = ("gypsum", "furring")
WORDS = {"ceiling_from": ("inside", "outside"), "apex": ("free", "ridge")}
LABELS: dict[str, str] = {
    **{name: INPUTS[name].label for name in (*GABLE, *RAFTER, *TRUSS) if name in INPUTS},
    "truss_plate": "Truss plate offset", "ceiling_from": "Ceiling line from", "apex": "Ceiling apex",
    "gypsum": "Gypsum", "furring": "Furring", "spacing": "Rafter spacing", "grade": "Grade",
    **{name: row.label for name, row in ROOM_INPUTS.items()},
}  # fmt: skip
"""Every value an option may hold, in the order in which they are listed, and what it is called."""

NAMES = tuple(LABELS)
TWO_ENDED = ("pitch", "overhang", "bearing", "plate_height", "seat", "plate", "ceiling_pitch", "heel", "truss_plate")
PITCHES = ("pitch", "ceiling_pitch")
SIZES = ("lumber", "ridge", "chord", "bottom_chord")


# --- reading what was given ------------------------------------------------------------------------------------------


def _read(name: str, value: Any, problems: list[str]) -> Any:
    """One value of an option as it is kept: a number, (left, right) or a plain word."""
    if name == "heel" and value == FOLLOWS:
        return FOLLOWS
    if name in TWO_ENDED:
        return read_ends("plate" if name == "truss_plate" else name, value, problems)
    if name in SIZES:
        if name == "ridge" and (value is None or value == "none"):
            return "none"
        read_size(name, value, problems)
        return " ".join(str(value).split())
    if name in WORDS:
        read_word(LABELS[name], value, WORDS[name], problems)
        return value
    if name == "grade":
        return getattr(attempt(problems, grade_named, value), "name", "")
    if name in LAYERS or name == "spacing":
        return between(problems, LABELS[name], value, *((6.0, 48.0) if name == "spacing" else (0.0, 6.0)))
    return (ROOM_INPUTS if name in ROOM_INPUTS else INPUTS)[name].read(value, problems)


def one_line_texts(what: str, given: Any, longest: int, problems: list[str]) -> tuple[str, ...]:
    """Texts of one line each, from several or from the lines of one; empty ones left away."""
    rows = given.split("\n") if isinstance(given, str) else given
    if not isinstance(rows, Iterable) or isinstance(rows, dict):
        problems.append(f"{what}: texts are needed, not {shown(given)}.")
        return ()
    made = []
    for row in rows:
        if said := text_problem(row, longest, True):
            problems.append(f"{what}: {said}")
        elif words := " ".join(row.split()):
            made.append(words)
    return tuple(made)


def _lines(what: str, given: Any, problems: list[str]) -> tuple[str, ...]:
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
    given: tuple[tuple[str, Any], ...]

    def __init__(self, name: str, pros: Any = (), cons: Any = (), remark: str = "", **values: Any) -> None:
        problems = [f"Option's name: {said}" for said in [text_problem(name, LONGEST_NAME)] if said]
        if not problems and not name.strip():
            problems.append("Option's name: at least one letter is needed.")
        known = {key: value for key, value in values.items() if key in LABELS}
        problems += [f"{shown(key)} is nothing an option holds; it holds {', '.join(NAMES)}."
                     for key in values if key not in LABELS]  # fmt: skip
        if {"lumber", "depth"} <= set(known):
            problems.append("Rafter: give lumber or depth, not both.")
        read = {key: _read(key, known[key], problems) for key in NAMES if key in known}
        words = _lines("Pros", pros, problems), _lines("Cons", cons, problems)
        problems += [f"Remark: {said}" for said in [text_problem(remark, LONGEST_TEXT, True)] if said]
        stop_on(problems)
        put(self, name=" ".join(name.split()), pros=words[0], cons=words[1], remark=" ".join(remark.split()))
        put(self, given=tuple(read.items()))

    @property
    def values(self) -> dict[str, Any]:
        return dict(self.given)

    def with_(self, **changes: Any) -> Option:
        """The same option with another name, other words or other values; a value of None is left to the house."""
        made: dict[str, Any] = {name: getattr(self, name) for name in ("name", "pros", "cons", "remark")}
        made |= self.values
        for one, other in (("lumber", "depth"), ("depth", "lumber")):
            if changes.get(one) is not None:
                made.pop(other, None)
        made |= changes
        return Option(**{key: value for key, value in made.items() if value is not None})

    def text(self, name: str) -> str:
        """One of its values as it is printed."""
        return value_text(name, self.values[name])

    def record(self) -> dict[str, Any]:
        """The option as one flat record of texts and numbers for the job file."""
        made: dict[str, Any] = {OWN_RECORD: self.name}
        for name, value in self.given:
            both = value if isinstance(value, tuple) else (value,)
            made |= {key: _written(name, one) for key, one in zip((name, f"{name}_right"), both, strict=False)}
        words = {"pros": "\n".join(self.pros), "cons": "\n".join(self.cons), "remark": self.remark}
        return made | {key: text for key, text in words.items() if text}

    def __repr__(self) -> str:
        return f"{self.name}: {', '.join(f'{LABELS[name]} {self.text(name)}' for name, _ in self.given) or 'the house'}"


def value_text(name: str, value: Any) -> str:
    """A value of an option as it is printed.

    >>> value_text("pitch", (8.0, 6.0)), value_text("seat", 3.5), value_text("heel", "as rafters")
    ('8 in 12 and 6 in 12', '3 1/2"', 'as rafters')
    """
    if isinstance(value, tuple):
        return " and ".join(value_text(name, one) for one in value)
    return value if isinstance(value, str) else pitch_text(value) if name in PITCHES else feet_inches(value)


def _written(name: str, value: Any) -> Any:
    """A value as the job file holds it: trade text where that reads back to the same number."""
    if isinstance(value, str):
        return value
    text, read = (pitch_text(value), pitch) if name in PITCHES else (spoken(value), inches)
    return text if read(text) == value else value


def read_option(record: Any) -> Option:
    """An option from its record.  InputError with every problem.

    >>> read_option({"option": "Other way", "pitch": "8 in 12", "pitch_right": "6 in 12"}).values
    {'pitch': (8.0, 6.0)}
    """
    if said := record_problem(record):
        raise InputError(said)
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
    if clash := {"name", "given"} & set(made):
        problems += [f"{shown(key)} is nothing an option holds." for key in sorted(clash)]
        made = {key: value for key, value in made.items() if key not in clash}
    option = attempt(problems, Option, made.pop(OWN_RECORD), **made)
    stop_on(problems)
    assert option is not None
    return option


# --- in the job ------------------------------------------------------------------------------------------------------


def read_records(place: str, rows: Iterable[Any], read: Callable[[Any], Read]) -> tuple[Read, ...]:
    """What ``read`` makes of each record of a list in the job file.  InputError naming each that it refuses."""
    problems: list[str] = []
    found = []
    for i, record in enumerate(rows):
        try:
            found.append(read(record))
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


def _readable(record: Any) -> bool:
    return attempt([], read_option, record) is not None


def option_names(options: Any, least: int) -> list[str]:
    """The names of a list of options.  InputError for anything else, too few or too many, or a name that repeats."""
    if not isinstance(options, (list, tuple)) or not all(isinstance(one, Option) for one in options):
        raise InputError(f"Options: a list of options is needed, not {shown(options)}.")
    names = [one.name for one in options]
    if not least <= len(names) <= MOST:
        raise InputError(f"Options: {len(names)}; {least} to {MOST} can be kept side by side.")
    twice = dict.fromkeys(name for name in names if names.count(name) > 1)
    stop_on(f"Option {shown(name)}: the name stands more than once." for name in twice)
    return names


def option_of(name: str, house: Job, **changes: Any) -> Option:
    """All numbers of a house under a name, with some changed: later changes of the house leave it as it is.

    >>> from rooflab.job.jobfile import example
    >>> option_of("As it stands", example()).text("heel"), option_of("Wider", example(), span="28'").text("span")
    ('as rafters', '28\\'-0"')
    """
    must_be(house, Job, "House")
    gable, rafters, truss = house.gable, house.rafters, house.scissor
    made: dict[str, Any] = {key: getattr(gable, key) for key in GABLE}
    made |= {"lumber": rafters.lumber} if rafters.lumber else {"depth": rafters.depth}
    made |= {"seat": rafters.seat, "ridge": rafters.ridge, "plate": rafters.plate}
    made |= {"heel": FOLLOWS if house.follows else truss.heel_given, "truss_plate": truss.plate}
    made |= {key: getattr(truss, key) for key in TRUSS if key not in ("heel", "truss_plate")}
    made |= dict(zip(LAYERS, house.finish or FINISH, strict=True))
    made |= {key: row.default for key, row in ROOM_INPUTS.items()}
    made |= {"spacing": house.rafter_spacing, "grade": house.taken.grade}
    return Option(name, **{**made, "ridge": made["ridge"] or "none"}).with_(**changes)


# --- solved ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Solved:
    """An option worked out: both bays as handed over, how they meet, the room, the plate, the rafter, what is found.

    ``room`` holds the readings of ``room.ROOM``, ``plates`` the insulation over the plates of both bays, ``stock`` the
    rafters' stock needed and to buy, in (0: longer than common stock); one stands for both ends where they are equal.
    """

    option: Option
    rafters: RafterBay
    scissor: ScissorBay
    seam: Comparison
    tail: Tail | None
    room: Rows
    plates: tuple[OverPlate, ...]
    carries: Carries
    findings: tuple[Finding, ...]
    stock: tuple[tuple[float, float], ...]
    taken: Taken = field(repr=False)


NEEDED = next(row for row in READINGS if row.name == "stock_length")


def solved(option: Option, house: Job, taken: Taken | None = None) -> Solved:
    """The option's numbers over the house's, worked out as everywhere else.  InputError with every problem, by name.

    ``taken`` is the house's own, for those who have it at hand.

    >>> from rooflab.job.jobfile import example
    >>> made = solved(Option("Longer seat", seat="5 1/2"), example())
    >>> made.scissor.left.heel, made.seam.coplanar, made.stock[0][1]
    (7.4375, True, 216.0)
    """
    must_be(option, Option, "Option")
    must_be(house, Job, "House")
    try:
        early = taken or house.taken
        made = _solve(option.given, house.rafters, house.scissor, house.follows, early, house.finish)
    except InputError as error:
        raise InputError([f"{option.name}: {said}" for said in error.problems]) from None
    return replace(made, option=option)


def _bays(
    values: dict[str, Any], rafters: RafterBay, scissor: ScissorBay, follows: bool
) -> tuple[RafterBay, ScissorBay, bool]:
    """Both bays with an option's values, the rafters as handed over, and whether the truss heel follows them."""
    old = rafters.gable
    gable = Gable(**{name: values.get(name, getattr(old, name)) for name in GABLE})
    changes = {name: values[name] for name in RAFTER if name in values}
    if changes.get("ridge") == "none":
        changes["ridge"] = None
    bay = rafters.with_(gable=gable, rounded=True, **changes)
    heel = values.get("heel", FOLLOWS if follows else scissor.heel_given)
    truss = {name: values[name] for name in TRUSS if name in values and name not in ("heel", "truss_plate")}
    if "truss_plate" in values:
        truss["plate"] = values["truss_plate"]
    tall: Ends = (bay.left.heel, bay.right.heel) if heel == FOLLOWS else heel
    return bay, scissor.with_(gable=gable, heel=tall, **truss), heel == FOLLOWS


def _finish(values: dict[str, Any], finish: tuple[float, float] | None) -> tuple[float, float]:
    gypsum, furring = finish or FINISH
    return values.get("gypsum", gypsum), values.get("furring", furring)


@lru_cache(64)
def _solve(
    given: tuple[tuple[str, Any], ...], rafters: RafterBay, scissor: ScissorBay, follows: bool, taken: Taken,
    finish: tuple[float, float] | None,
) -> Solved:  # fmt: skip
    values = dict(given)
    bay, truss, _ = _bays(values, rafters, scissor, follows)
    changed = {name: values[name] for name in ("grade", "spacing") if name in values}
    used = replace(taken, **changed) if changed else taken
    room = room_of(truss, _finish(values, finish), **{name: values[name] for name in ROOM_INPUTS if name in values})
    seam, tail = compare(bay, truss), tail_and_soffit(bay, truss)
    sides = ("left",) if bay.equal_ends and truss.equal_ends else ("left", "right")  # a right end that mirrors the left
    plates = tuple(over_plate(one, used.r, used.per_inch, end=side) for one in (bay, truss) for side in sides)
    made = carries(bay, used)
    needed = [NEEDED.of(bay.symbols(side)) for side in sides]
    stock = tuple((one, STOCK.of({"stock_length": one})) for one in needed)
    found = _found(bay, truss, tail, made, used)
    return Solved(_NOBODY, bay, truss, seam, tail, room, plates, made, found, stock, used)


def _found(
    bay: RafterBay, truss: ScissorBay, tail: Tail | None, made: Carries, taken: Taken
) -> tuple[Finding, ...]:
    """What both bays find, each once; a soffit that both share is looked at with the level cut made."""
    found = [*findings(bay), *findings(truss)]
    if tail and tail.leaves > 0 and bay.equal_ends and truss.equal_ends:
        shared = soffit_line(tail.soffit_height, bay.gable.window_head, "The soffit line, the level cut made,")
        found = [one for one in found if one.name != "soffit_line"] + [shared]
    found += [*made.findings, *early_findings(bay, truss, taken)]
    return tuple(dict.fromkeys(found))


def adopted(option: Option, house: Job) -> Job:
    """The house as the option has it, its truss types and words kept.  InputError where they do not fit.

    What only the room asks (``ROOM_INPUTS``) stays with the option.
    """
    made, values = solved(option, house), option.values
    bay, truss, follows = _bays(values, house.rafters, house.scissor, house.follows)
    layers = _finish(values, house.finish) if set(LAYERS) & set(values) else house.finish
    words = {"grade": values["grade"]} if "grade" in values and values["grade"] != house.taken.grade else {}
    return replace(
        house, rafters=bay, scissor=truss, follows=follows, finish=layers, rafter_spacing=made.taken.spacing, **words
    )


_NOBODY = Option("-")
