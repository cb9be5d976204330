"""A house's numbers by name, both bays of it, and axes along which some of them move.

Inputs carry the names of ``INPUTS``; what moves one end alone is called ``pitch_left`` and the like.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

import numpy as np

from rooflab.base.inputs import INPUTS, Input, attempt, must_be, pair, read_ends, read_size, read_word, stop_on
from rooflab.base.measure import InputError, inches, pitch
from rooflab.checks.assumptions import Taken
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Gable
from rooflab.house.room import FINISH, ROOM_INPUTS

from .jobfile import FOLLOWS, Job

GABLE = ("span", "pitch", "bearing", "overhang", "plate_height", "sheathing", "window_head")
RAFTER = ("lumber", "depth", "seat", "ridge", "plate")
TRUSS = ("ceiling_pitch", "heel", "chord", "bottom_chord", "truss_plate")
TWO_ENDED = ("pitch", "bearing", "overhang", "plate_height", "seat", "plate", "ceiling_pitch", "heel", "truss_plate")
SIZES = ("lumber", "ridge", "chord", "bottom_chord")
WORDS = {"ceiling_from": ("inside", "outside"), "apex": ("free", "ridge")}
BUILT_OF = (*GABLE, *RAFTER, *TRUSS)

House = dict[str, Any]
"""A house's numbers by the names of ``INPUTS``: one value or (left, right) where its ends may differ.

``seat`` None sits on the full bearing, ``heel`` is a length or "as rafters", ``truss_plate`` raises the trusses' own
plates; beside them stand ``ceiling_from``, ``apex``, ``taken`` (for the early checks), ``finish`` and the names of
``ROOM_INPUTS``.
"""


def row_of(name: str) -> Input:
    """The row of ``INPUTS`` of an input's name."""
    return INPUTS["plate" if name == "truss_plate" else name]


# --- one house -------------------------------------------------------------------------------------------------------


def house_of(house: Job | Mapping[str, Any]) -> House:
    """A house's numbers from a job, or from some of them by name over the usual ones.  InputError with every problem.

    >>> house_of({"pitch": "9 in 12", "lumber": "2x12"})["pitch"]
    9.0
    """
    made: House = {name: row_of(name).default for name in BUILT_OF if name != "depth"}
    made |= {"heel": FOLLOWS, "ceiling_from": "inside", "apex": "free", "taken": Taken(), "finish": FINISH}
    made |= {name: row.default for name, row in ROOM_INPUTS.items()}
    if isinstance(house, Job):
        gable, rafters, truss = house.gable, house.rafters, house.scissor
        made |= {name: getattr(gable, name) for name in GABLE}
        made |= {"lumber": rafters.lumber, "depth": rafters.depth, "plate": rafters.plate, "ridge": rafters.ridge}
        made.pop("depth" if rafters.lumber else "lumber")
        made["seat"] = None if rafters.seat == gable.bearing else rafters.seat
        made |= {name: getattr(truss, name) for name in TRUSS if name not in ("heel", "truss_plate")}
        made |= {"heel": FOLLOWS if house.follows else truss.heel_given, "truss_plate": truss.plate}
        made |= {"ceiling_from": truss.ceiling_from, "apex": truss.apex, "taken": house.taken}
        return made | {"finish": house.finish or FINISH}
    if not isinstance(house, Mapping):
        raise InputError("House: a job, or numbers by their names, is needed.")
    if {"lumber", "depth"} <= {name for name, value in house.items() if value is not None}:
        raise InputError("Rafter: give lumber or depth, not both.")
    problems: list[str] = []
    for name, value in house.items():
        if name not in made and name != "depth":
            problems.append(f"House: {name!r} is not known here; known are {', '.join((*made, 'depth'))}.")
        elif value is not None or name in ("seat", "ridge"):
            made[name] = _read(name, value, problems)
    if house.get("depth") is not None:
        made.pop("lumber", None)
    stop_on(problems)
    return made


def _read(name: str, value: Any, problems: list[str]) -> Any:
    if (name, value) in (("heel", FOLLOWS), ("seat", None)) or (name == "ridge" and value in (None, "none")):
        return value
    if name in TWO_ENDED:
        return read_ends("plate" if name == "truss_plate" else name, value, problems)
    if name in SIZES:
        read_size(name, value, problems)
    elif name in WORDS:
        read_word(name.replace("_", " ").capitalize(), value, WORDS[name], problems)
    elif name == "taken":
        must_be(value, Taken, "Taken")
    elif name == "finish":
        layers = value if isinstance(value, (tuple, list)) and len(value) == 2 else ("", "")
        return tuple(attempt(problems, inches, one, "Finish") or 0.0 for one in layers)
    else:
        return (ROOM_INPUTS if name in ROOM_INPUTS else INPUTS)[name].read(value, problems)
    return value


def bays_of(house: House, rounded: bool = True) -> tuple[RafterBay, ScissorBay]:
    """Both bays of one house as every other picture has them; the truss takes the rafters' heel where it follows.

    ``rounded`` hands the heel over to the nearest 1/16 in, as drawn and printed.  InputError with every problem.

    >>> from rooflab.job.jobfile import example
    >>> rafters, truss = bays_of(house_of(example()))
    >>> rafters.left.heel == truss.left.heel == 8.8125
    True
    """
    rafters = rafters_of(house, rounded)
    return rafters, truss_of(house, (rafters.left.heel, rafters.right.heel))


def rafters_of(house: House, rounded: bool = True) -> RafterBay:
    """The rafter bay of one house."""
    ridge = None if house["ridge"] == "none" else house["ridge"]
    stock = {name: house[name] for name in ("lumber", "depth") if name in house}
    return RafterBay(_gable(house), seat=house["seat"], ridge=ridge, plate=house["plate"], rounded=rounded, **stock)


def truss_of(house: House, heels: tuple[float, float]) -> ScissorBay:
    """The scissor bay of one house; ``heels`` are the rafters', for one that takes them."""
    return ScissorBay(
        _gable(house),
        house["ceiling_pitch"],
        heels if house["heel"] == FOLLOWS else house["heel"],
        house["chord"],
        house["bottom_chord"],
        house["truss_plate"],
        house["ceiling_from"],
        house["apex"],
    )


def _gable(house: House) -> Gable:
    return Gable(**{name: house[name] for name in GABLE})


def size_of(house: House) -> str:
    """The rafter's size as a choice: its name, or as measured stock 1 1/2 in thick where only its depth is given.

    >>> size_of(house_of({"depth": 9.5}))
    '1.5 x 9.5'
    """
    return str(house["lumber"]) if "lumber" in house else f"1.5 x {float(house['depth'])!r}"


# --- axes ------------------------------------------------------------------------------------------------------------


class Axis(NamedTuple):
    """One axis: its name, the input it moves, at which end ("" both), its values, and the same as numbers or sizes."""

    name: str
    base: str
    end: str
    values: tuple[Any, ...]
    numbers: Any  # an array; of sizes two: thickness and depth

    @property
    def label(self) -> str:
        return row_of(self.base).label + (f", {self.end} end" if self.end else "")

    def text(self, value: Any) -> str:
        """A value of the axis as the trade says it."""
        return str(value) if self.base in SIZES else row_of(self.base).show(value)


def axis_of(name: str, values: Any) -> Axis:
    """An axis from an input's name and its values, numbers or trade text; ``pitch_left`` moves one end alone.

    InputError for a name that is no input of a house, and for values that cannot be read.
    """
    base, end = name, ""
    for side in ("left", "right"):
        if name.endswith(f"_{side}") and name.removesuffix(f"_{side}") in TWO_ENDED:
            base, end = name.removesuffix(f"_{side}"), side
    if base not in BUILT_OF:
        allowed = f"{', '.join(BUILT_OF)}; one end alone as in pitch_left"
        raise InputError(f"Axis {name!r}: no input of a house that can be swept; allowed is {allowed}.")
    if isinstance(values, (str, bytes, float, int)) or not isinstance(values, Iterable):
        values = (values,)
    problems: list[str] = []
    if base in SIZES:
        given = tuple("none" if value is None else value for value in values)
        sizes = [(0.0, 0.0) if (base, one) == ("ridge", "none") else read_size(base, one, problems) for one in given]
        numbers: Any = np.array(sizes, float).reshape(-1, 2).T
    else:
        row = row_of(base)
        read = pitch if row.kind == "pitch" else inches
        given = tuple(read(one, row.label) if isinstance(one, str) else one for one in values)
        try:
            if any(one is None or isinstance(one, bool) for one in given):
                raise TypeError
            numbers = np.array(given, float) + 0.0
        except (TypeError, ValueError):
            raise InputError(f"{row.label}: an axis wants numbers or trade text.") from None
        given = tuple(numbers.tolist()) if numbers.ndim == 1 else given
    if numbers.ndim != (2 if base in SIZES else 1) or not given:
        problems.append(f"{row_of(base).label}: an axis wants a row of one value or more.")
    stop_on(problems)
    return Axis(name, base, end, given, numbers)


def with_value(house: House, axis: Axis, value: Any) -> House:
    """The house with one input changed; a size and a depth take each other's place."""
    made = dict(house)
    for one, other in (("lumber", "depth"), ("depth", "lumber")):
        if axis.base == one:
            made.pop(other, None)
    if axis.end:
        old = made[axis.base]
        if old is None:  # a seat on the full bearing
            old = made["bearing"]
        left, right = pair(old)
        value = (value, right) if axis.end == "left" else (left, value)
    return made | {axis.base: value}
