"""A house as values: a dict of numbers, sizes and words by name; read, turned into bays, texts and jobs, here alone.

Names are those of ``INPUTS`` and ``ROOM_INPUTS``; lengths are in inches, pitches in 12; one value, or (left, right)
where the ends may differ.  A ``Job`` is a house in its file; everywhere else a house is such a dict.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from rooflab.base.inputs import INPUTS, Ends, Input, attempt, must_be, pair, read_ends, read_size, read_word, stop_on
from rooflab.base.measure import InputError
from rooflab.checks.assumptions import Assumptions
from rooflab.checks.grades import grade_by_name
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.jog import FINISH, LAYERS
from rooflab.house.planes import Gable
from rooflab.house.room import ROOM_INPUTS

from .jobfile import FOLLOWS, RAFTER_SPACING, Job

House = dict[str, Any]
"""A house as values: every name of ``NAMES`` but one of "lumber" and "depth", and "assumptions" of the early checks.

``seat`` None sits on the full bearing, ``heel`` is a length or "as rafters", ``truss_plate`` raises the trusses' own
plates, ``ridge`` is a size or "none".
"""

GABLE = ("span", "pitch", "overhang", "bearing", "plate_height", "sheathing", "window_head")
RAFTER = ("lumber", "depth", "seat", "ridge", "plate")
TRUSS = ("ceiling_pitch", "heel", "chord", "bottom_chord", "truss_plate", "ceiling_from", "apex")
WORDS = {"ceiling_from": ("inside", "outside"), "apex": ("free", "ridge")}
ROWS: dict[str, Input] = {
    **INPUTS, "truss_plate": INPUTS["plate"]._replace(name="truss_plate", label="Truss plate offset"), **LAYERS,
    "spacing": RAFTER_SPACING, **ROOM_INPUTS,
}  # fmt: skip
"""Label, range and default of every value that has a range."""

LABELS: dict[str, str] = {
    **{name: ROWS[name].label for name in (*GABLE, *RAFTER, *TRUSS) if name in ROWS},
    "ceiling_from": "Ceiling line from", "apex": "Ceiling apex",
    **{name: row.label for name, row in LAYERS.items()},
    "spacing": RAFTER_SPACING.label, "grade": "Grade",
    **{name: row.label for name, row in ROOM_INPUTS.items()},
}  # fmt: skip
"""Every value of a house, in the order in which they are listed, and what it is called."""

NAMES = tuple(LABELS)
TWO_ENDED = ("pitch", "overhang", "bearing", "plate_height", "seat", "plate", "ceiling_pitch", "heel", "truss_plate")
PITCHES = ("pitch", "ceiling_pitch")
SIZES = ("lumber", "ridge", "chord", "bottom_chord")
NOTHING = "none"  # instead of a ridge board


# --- reading ---------------------------------------------------------------------------------------------------------


def read_value(name: str, value: Any, problems: list[str]) -> Any:
    """One value of a house: a number, (left, right), a size or a word; what is wrong is added to ``problems``.

    >>> read_value("pitch", ("8 in 12", 6), []), read_value("ridge", None, []), read_value("heel", "as rafters", [])
    ((8.0, 6.0), 'none', 'as rafters')
    """
    if name == "heel" and value == FOLLOWS:
        return FOLLOWS
    if name in TWO_ENDED:
        return read_ends(ROWS[name].name if name != "truss_plate" else "plate", value, problems)
    if name in SIZES:
        if name == "ridge" and (value is None or value == NOTHING):
            return NOTHING
        read_size(name, value, problems)
        return " ".join(str(value).split())
    if name in WORDS:
        read_word(LABELS[name], value, WORDS[name], problems)
        return value
    if name == "grade":
        return getattr(attempt(problems, grade_by_name, value), "name", "")
    return ROWS[name].read(value, problems)


def stock(text: object) -> dict[str, Any]:
    """What is typed for a rafter as values: a size such as 2x10 as "lumber", a mere length as "depth".

    >>> stock("2x10"), stock("9 1/2")
    ({'lumber': '2x10'}, {'depth': '9 1/2'})
    """
    return {"lumber" if re.search("[x×]", str(text).lower()) else "depth": text}


def from_boxes(boxes: Mapping[str, str], problems: list[str]) -> House:
    """The values of a house that single boxes hold, each text read once; "chord" may be two sizes, as in 2x6/2x4.

    >>> from_boxes({"lumber": "9 1/2", "chord": "2x6/2x4"}, [])
    {'depth': 9.5, 'chord': '2x6', 'bottom_chord': '2x4'}
    """
    made: House = {}
    for name, text in boxes.items():
        if name == "chord" and "bottom_chord" not in boxes:
            top, bottom = chords(text)
            made["chord"] = read_value("chord", top, problems)
            made["bottom_chord"] = made["chord"] if top == bottom else read_value("bottom_chord", bottom, problems)
            continue
        for own, value in (stock(text) if name == "lumber" else {name: text}).items():
            made[own] = read_value(own, value.strip().lower() if own in ("ridge", "heel") else value, problems)
    return made


def chords(text: str) -> tuple[str, str]:
    """Top and bottom chord: one size for both, or two as in 2x6/2x4."""
    two = re.fullmatch(r"\s*(\d\s*x\s*\d+)\s*/\s*(\d\s*x\s*\d+)\s*", text.lower())
    return (two[1], two[2]) if two else (text, text)


def with_values(house: Mapping[str, Any], values: Mapping[str, Any]) -> House:
    """The house with some values changed; a size and a depth take each other's place.

    >>> with_values({"lumber": "2x10", "seat": 3.5}, {"depth": 9.5})
    {'seat': 3.5, 'depth': 9.5}
    """
    made = dict(house)
    for one, other in (("lumber", "depth"), ("depth", "lumber")):
        if values.get(one) is not None:
            made.pop(other, None)
    return made | dict(values)


def over(house: House, boxes: Mapping[str, Any]) -> House:
    """The house with what single boxes read; a box that reads as the left end does leaves both ends as they are.

    >>> over({"pitch": (8.0, 6.0), "seat": None, "bearing": 5.5}, {"pitch": 8.0, "seat": 5.5})
    {'pitch': (8.0, 6.0), 'seat': 5.5, 'bearing': 5.5}
    """
    full = {**house, "seat": at_ends(house, "seat")} if "seat" in boxes else house
    moved = {name: value for name, value in boxes.items() if name not in full or not same(value, first(full[name]))}
    made = with_values(house, moved)
    if "seat" in boxes and "seat" not in moved:
        left, right = full["seat"]
        made["seat"] = left if left == right else full["seat"]
    return made


def same(one: Any, other: Any) -> bool:
    """Whether two values are equal to the twelve decimals that a box's text carries."""
    return one == other or (isinstance(one, float) and isinstance(other, float) and abs(one - other) < 1e-9)


def first(value: Any) -> Any:
    """The left end's value, or the one that stands for both."""
    return value[0] if isinstance(value, tuple) else value


# --- a house ---------------------------------------------------------------------------------------------------------


def house_of(house: Job | Mapping[str, Any]) -> House:
    """A house as values from a job, or from some of them by name over the usual ones.  InputError with every problem.

    >>> house_of({"pitch": "9 in 12", "lumber": "2x12"})["pitch"]
    9.0
    """
    if isinstance(house, Job):
        made = values_of(house.rafters, house.scissor, house.follows)
        made |= zip(LAYERS, house.finish or FINISH, strict=True)
        made |= {name: row.default for name, row in ROOM_INPUTS.items()}
        assumed = house.assumptions
        return made | {"spacing": assumed.spacing, "grade": assumed.grade, "assumptions": assumed}
    if not isinstance(house, Mapping):
        raise InputError("House: a job, or numbers by their names, is needed.")
    if {"lumber", "depth"} <= {name for name, value in house.items() if value is not None}:
        raise InputError("Rafter: give lumber or depth, not both.")
    assumed = house.get("assumptions") or Assumptions()
    must_be(assumed, Assumptions, "Assumptions", "a set of assumptions")
    made = {name: ROWS[name].default for name in NAMES if name in ROWS and name != "depth"}
    made |= {"heel": FOLLOWS, "ceiling_from": "inside", "apex": "free"}
    made |= {"spacing": assumed.spacing, "grade": assumed.grade, "assumptions": assumed}
    problems: list[str] = []
    for name, value in house.items():
        if name not in made and name != "depth":
            problems.append(f"House: {name!r} is not known here; known are {', '.join((*made, 'depth'))}.")
        elif name == "seat" and value is None:
            made[name] = None
        elif name != "assumptions" and (value is not None or name == "ridge"):
            made[name] = read_value(name, value, problems)
    if house.get("depth") is not None:
        made.pop("lumber", None)
    stop_on(problems)
    return made


def values_of(rafters: RafterBay, truss: ScissorBay, follows: bool) -> House:
    """The values that two bays were built of; ``follows``: the truss takes the rafters' heel."""
    gable = rafters.gable
    made: House = {name: getattr(gable, name) for name in GABLE}
    made |= {"lumber": rafters.lumber} if rafters.lumber else {"depth": rafters.depth}
    made["seat"] = None if rafters.seat == gable.bearing else rafters.seat
    made |= {"ridge": rafters.ridge or NOTHING, "plate": rafters.plate}
    made |= {"heel": FOLLOWS if follows else truss.heel_input, "truss_plate": truss.plate}
    return made | {name: getattr(truss, name) for name in TRUSS if name not in ("heel", "truss_plate")}


def one_end(job: Job, end: str) -> House:
    """A job's house with what one end has at both, and the heel there as a length; for what shows one end.

    >>> from rooflab.job.jobfile import example
    >>> one_end(example(), "left")["heel"]
    8.8125
    """
    near = getattr(job.scissor, end)
    made = {name: pair(value)[end == "right"] for name, value in house_of(job).items()}
    if made["apex"] == "ridge" and end == "right":  # there the apex gives the pitch
        made["ceiling_pitch"] = 12 * abs(near.ceiling.slope)
    return made | {"heel": near.heel}


def at_ends(house: Mapping[str, Any], name: str) -> tuple[Any, Any]:
    """(left, right) of a value; a seat on the full bearing is the bearing."""
    return pair(house["bearing"] if name == "seat" and house["seat"] is None else house[name])


def assumptions_of(house: Mapping[str, Any]) -> Assumptions:
    """What the early checks assume for a house: its own grade and spacing, the rest as its job has it."""
    assumed: Assumptions = house["assumptions"]
    if (assumed.grade, assumed.spacing) == (house["grade"], house["spacing"]):
        return assumed
    return replace(assumed, grade=house["grade"], spacing=house["spacing"])


def finish_of(house: Mapping[str, Any]) -> tuple[float, float]:
    """(gypsum, furring) below the chords, in."""
    return house["gypsum"], house["furring"]


def room_values(house: Mapping[str, Any]) -> dict[str, Any]:
    """What only the room asks, by the names of ``ROOM_INPUTS``."""
    return {name: house[name] for name in ROOM_INPUTS}


def size_of(house: Mapping[str, Any]) -> str:
    """The rafter's size as a choice: its name, or as measured stock 1 1/2 in thick where only its depth is given.

    >>> size_of(house_of({"depth": 9.5}))
    '1.5 x 9.5'
    """
    return str(house["lumber"]) if "lumber" in house else f"1.5 x {float(house['depth'])!r}"


# --- to bays ---------------------------------------------------------------------------------------------------------


def bays_of(house: Mapping[str, Any], rounded: bool = True) -> tuple[RafterBay, ScissorBay]:
    """Both bays of a house; the truss takes the rafters' heel where it follows.

    ``rounded`` hands the heel over to the nearest 1/16 in, as drawn and printed.  InputError with every problem.

    >>> from rooflab.job.jobfile import example
    >>> rafters, truss = bays_of(house_of(example()))
    >>> rafters.left.heel == truss.left.heel == 8.8125
    True
    """
    gable = gable_of(house)
    rafters = rafters_of(house, rounded, gable)
    return rafters, truss_of(house, (rafters.left.heel, rafters.right.heel), gable)


def gable_of(house: Mapping[str, Any]) -> Gable:
    """The gable of a house: the walls and pitches that both bays share."""
    return _gable(*(house[name] for name in GABLE))


@lru_cache(64)  # most moves leave the walls as they are
def _gable(*values: Any) -> Gable:
    return Gable(**dict(zip(GABLE, values, strict=True)))


def rafters_of(house: Mapping[str, Any], rounded: bool = True, gable: Gable | None = None) -> RafterBay:
    """The rafter bay of a house."""
    wood = house.get("lumber"), house.get("depth")
    return _rafters(gable or gable_of(house), rounded, *wood, house["seat"], house["ridge"], house["plate"])


@lru_cache(64)
def _rafters(gable: Gable, rounded: bool, lumber: Any, depth: Any, seat: Any, ridge: Any, plate: Any) -> RafterBay:
    return RafterBay(gable, lumber, seat, ridge, depth, plate, rounded)


def truss_of(house: Mapping[str, Any], heels: Ends, gable: Gable | None = None) -> ScissorBay:
    """The scissor bay of a house; ``heels`` are the rafters', for one that takes them."""
    rest = {name: house[name] for name in TRUSS if name not in ("heel", "truss_plate")}
    heel = heels if house["heel"] == FOLLOWS else house["heel"]
    return ScissorBay(gable or gable_of(house), heel=heel, plate=house["truss_plate"], **rest)


# --- to texts --------------------------------------------------------------------------------------------------------


def value_text(name: str, value: Any) -> str:
    """A value of a house as it is printed, to the nearest 1/16 in.

    >>> value_text("pitch", (8.0, 6.0)), value_text("seat", 3.5), value_text("heel", "as rafters")
    ('8 in 12 and 6 in 12', '3 1/2"', 'as rafters')
    """
    if isinstance(value, tuple):
        return " and ".join(value_text(name, one) for one in value)
    return value if isinstance(value, str) else ROWS[name].show(value)


def box_text(name: str, value: Any) -> str:
    """A value of a house as a box shows it: as on a tape where that is exact, else in decimals; both ends.

    >>> box_text("seat", (3.5, 3.3)), box_text("lumber", "2x10")
    ('3 1/2" and 3.3"', '2x10')
    """
    if isinstance(value, tuple):
        return " and ".join(box_text(name, one) for one in value)
    return value if isinstance(value, str) else ROWS[name].exact(value)


def file_value(name: str, value: Any) -> Any:
    """A value of a house as the job file holds it: trade text where that reads back to the same number."""
    return value if isinstance(value, str) else ROWS[name].file_value(value)


def rafter_text(house: Mapping[str, Any]) -> str:
    """The rafter as a box shows it: its size, or its depth where only that is given."""
    return str(house["lumber"]) if "lumber" in house else box_text("depth", house["depth"])


def texts_of(house: Job | House) -> dict[str, str]:
    """A house's values, by name, as texts for single boxes; where its ends differ, those of the left one.

    "lumber" is a size or a typed depth; "chord" is both where the two chords differ, as in 2x6/2x4.  Beside them stand
    what the early checks assume: "dead", "ground_snow" and the like.

    >>> from rooflab.job.jobfile import example
    >>> texts = texts_of(example())
    >>> texts["seat"], texts["lumber"], texts["ground_snow"], texts["live"]
    ('3 1/2"', '2x10', '30', 'by slope')
    """
    values = house_of(house) if isinstance(house, Job) else house
    made = {name: box_text(name, first(values[name])) for name in NAMES if name in values and name != "seat"}
    made["seat"] = box_text("seat", at_ends(values, "seat")[0])
    made["lumber"] = rafter_text(values)
    top, bottom = values["chord"], values["bottom_chord"]
    made["chords"] = top if top == bottom else f"{top}/{bottom}"
    return made | assumptions_of(values).texts()


# --- to the job ------------------------------------------------------------------------------------------------------


def job_with(job: Job, values: Mapping[str, Any]) -> Job:
    """The job with some values of its house changed, its truss types and words kept.  InputError where they do not fit.

    What only the room asks (``ROOM_INPUTS``) is nothing a job holds.

    >>> from rooflab.job.jobfile import example
    >>> job_with(example(), {"seat": 5.5}).scissor.heel_input
    7.4375
    """
    made = with_values(house_of(job), values)
    rafters, scissor = bays_of(made)
    layers = finish_of(made) if set(LAYERS) & set(values) else job.finish
    grade = made["grade"] if made["grade"] != job.assumptions.grade else job.grade
    return replace(
        job, rafters=rafters, scissor=scissor, follows=made["heel"] == FOLLOWS, finish=layers,
        rafter_spacing=made["spacing"], grade=grade,
    )  # fmt: skip
