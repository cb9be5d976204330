"""Many houses at once: every reading and finding over any inputs, through the same lines, formulas and limits.

A *sweep* lays the values of its axes out in a grid and works out both bays for all cells together.  The bays are the
usual ones with arrays for numbers, so a cell is what the single house gives, bit for bit; a cell that the single house
refuses is masked.  Both ends are worked out, each from its own lines: unequal ends are no special case.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np

from rooflab.base.findings import NO_LIMIT
from rooflab.base.inputs import pair, read_size, stop_on
from rooflab.base.measure import InputError, inches, pitch
from rooflab.checks.strength import STRENGTH
from rooflab.checks.warmth import HEIGHTS, over_plate
from rooflab.house.bays import RafterBay, ScissorBay, bays_of_many
from rooflab.house.planes import Gable, unread
from rooflab.house.readings import READINGS, reading_of
from rooflab.house.room import ROOM, STOCK, room_symbols

from .jobfile import Job
from .sweep_findings import rafter_strength, verdict_codes
from .values import (
    GABLE,
    NOTHING,
    RAFTER,
    ROWS,
    SIZES,
    TRUSS,
    TWO_ENDED,
    House,
    assumptions_of,
    at_ends,
    finish_of,
    house_of,
    room_values,
    with_values,
)

MOST_CELLS = 4_000_000

# --- what can be read ------------------------------------------------------------------------------------------------


class Readable(NamedTuple):
    """A reading that a sweep lays out: its key, what it is called, its unit."""

    key: str
    label: str
    unit: str


BAYS = ("rafter", "scissor")
STRENGTH_RATIOS = ("bending_ratio", "shear_ratio", "bearing_ratio", "deflection_ratio")
READABLE: dict[str, Readable] = {
    row.key: row
    for row in (
        *(Readable(f"{row.bay}.{row.name}", row.label, row.unit) for row in READINGS if row.bay in BAYS),
        *(Readable(f"{bay}.{row.name}", row.label, row.unit) for bay in BAYS for row in HEIGHTS),
        *(Readable(f"rafter.{row.name}", row.label, row.unit) for row in STRENGTH if row.name in STRENGTH_RATIOS),
        Readable("rafter.used", "Rafter's capacity used", ""),
        Readable(f"rafter.{STOCK.name}", STOCK.label, STOCK.unit),
        *(Readable(f"room.{row.name}", row.label, row.unit) for row in ROOM),
    )
}
"""Readings of a sweep by key: both bays', the insulation over their plates, the rafter's worst demand over capacity by
check and of all, the room's."""


# --- axes ------------------------------------------------------------------------------------------------------------

AXIS_INPUTS = (*GABLE, *RAFTER, *TRUSS[:5])
"""What an axis can move."""


class Axis(NamedTuple):
    """One axis: its name, the input it moves, at which end ("" both), its values, and the same as numbers or sizes."""

    name: str
    base: str
    end: str
    values: tuple[Any, ...]
    numbers: Any  # an array; of sizes two: thickness and depth

    @property
    def label(self) -> str:
        return ROWS[self.base].label + (f", {self.end} end" if self.end else "")

    def text(self, value: Any) -> str:
        """A value of the axis as the trade says it."""
        return str(value) if self.base in SIZES else ROWS[self.base].show(value)


def axis_of(name: str, values: Any) -> Axis:
    """An axis from an input's name and its values, numbers or trade text; ``pitch_left`` moves one end alone.

    InputError for a name that is no input of a house, and for values that cannot be read.
    """
    base, end = name, ""
    for side in ("left", "right"):
        if name.endswith(f"_{side}") and name.removesuffix(f"_{side}") in TWO_ENDED:
            base, end = name.removesuffix(f"_{side}"), side
    if base not in AXIS_INPUTS:
        allowed = f"{', '.join(AXIS_INPUTS)}; one end alone as in pitch_left"
        raise InputError(f"Axis {name!r}: no input of a house that can be swept; allowed is {allowed}.")
    if isinstance(values, (str, bytes, float, int)) or not isinstance(values, Iterable):
        values = (values,)
    problems: list[str] = []
    if base in SIZES:
        given = tuple(NOTHING if value is None else value for value in values)
        sizes = [(0.0, 0.0) if (base, one) == ("ridge", NOTHING) else read_size(base, one, problems) for one in given]
        numbers: Any = np.array(sizes, float).reshape(-1, 2).T
    else:
        row = ROWS[base]
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
        problems.append(f"{ROWS[base].label}: an axis wants a row of one value or more.")
    stop_on(problems)
    return Axis(name, base, end, given, numbers)


def with_value(house: House, axis: Axis, value: Any) -> House:
    """The house with one input changed; a size and a depth take each other's place."""
    if axis.end:
        left, right = at_ends(house, axis.base)
        value = (value, right) if axis.end == "left" else (left, value)
    return with_values(house, {axis.base: value})


# --- many houses -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Sweep:
    """Both bays over a grid: arrays in the order of the axes.

    ``rafters`` and ``scissor`` are the bays with arrays for numbers; ``no_rafters`` and ``no_truss`` say where each
    is refused.  What needs no axis has no length along it until ``reading`` or ``verdict`` lays it out in full.
    """

    house: House
    axes: tuple[Axis, ...]
    shape: tuple[int, ...]
    rounded: bool
    rafters: RafterBay = field(repr=False)
    scissor: ScissorBay = field(repr=False)
    no_rafters: Any = field(repr=False)
    no_truss: Any = field(repr=False)
    cache: dict[Any, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def unbuildable(self) -> Any:
        """Where the house as a whole cannot be built as drawn."""
        return self._full(self.no_rafters | self.no_truss)

    @property
    def no_rafters_full(self) -> Any:
        """Where the rafters are refused, laid out in full."""
        return self._full(self.no_rafters)

    @property
    def no_truss_full(self) -> Any:
        """Where the trusses are refused, laid out in full."""
        return self._full(self.no_truss)

    def at(self, *index: int) -> House:
        """The house of one cell, for ``bays_of``."""
        made = dict(self.house)
        for axis, i in zip(self.axes, index, strict=True):
            made = with_value(made, axis, axis.values[i])
        return made

    def reading(self, key: str, end: str = "left") -> Any:
        """A reading over the grid, nan (or "") where its bay is refused: see ``READABLE`` for the keys."""
        if (key, end) not in self.cache:
            value = self._reading(key, end)
            missing = self._missing(key)
            empty: Any = "" if getattr(value, "dtype", None) is not None and value.dtype.kind == "U" else np.nan
            empty = "" if isinstance(value, str) else empty
            self.cache[key, end] = self._full(np.where(missing, empty, value))
        return self.cache[key, end]

    def _missing(self, key: str) -> Any:
        kind = key.partition(".")[0]
        if kind != "room":
            return self.no_rafters if kind == "rafter" else self.no_truss
        v = self._room()
        low = [(v[f"low_{s}"] <= 0) | (v[f"plate_{s}"] - v["finish"] <= 0) for s in "lr"]
        return self.no_truss | low[0] | low[1] | (v["window"] > v["widest_window"])

    def _reading(self, key: str, end: str) -> Any:
        stop_on([] if key in READABLE else [f"Reading {key!r}: not known here; known are {', '.join(READABLE)}."])
        kind, _, name = key.partition(".")
        with np.errstate(all="ignore"):
            if kind == "room":
                return self._room()[name]
            bay = self.rafters if kind == "rafter" else self.scissor
            if name == STOCK.name:
                return STOCK.of({"stock_length": self._reading("rafter.stock_length", end)})
            if name in (*STRENGTH_RATIOS, "used"):
                return rafter_strength(bay, assumptions_of(self.house), end)[name]
            if name in {row.name for row in HEIGHTS}:
                assumed = assumptions_of(self.house)
                return over_plate(bay, assumed.r, assumed.per_inch, end=end).values[name]
            return reading_of(bay.kind, name).of(bay.symbols(end))

    def _room(self) -> dict[str, Any]:
        if "room" not in self.cache:
            values: dict[str, Any] = room_symbols(self.scissor, finish_of(self.house), **room_values(self.house))
            with np.errstate(all="ignore"):
                for row in ROOM:
                    values[row.name] = row.of(values)
            self.cache["room"] = values
        return self.cache["room"]

    # --- findings

    @property
    def _codes(self) -> dict[str, Any]:
        if "codes" not in self.cache:
            with np.errstate(all="ignore"):
                self.cache["codes"] = verdict_codes(self.rafters, self.scissor, assumptions_of(self.house))
        return self.cache["codes"]

    @property
    def findings(self) -> tuple[str, ...]:
        """Keys of the findings looked at, such as "rafter.end_notch" or "scissor.minimum_heel"."""
        return tuple(self._codes)

    def verdict(self, key: str) -> Any:
        """A finding's verdict over the grid, places in ``limits.VERDICTS``: 0 where it does not apply or is refused."""
        known = self.findings
        stop_on([] if key in known else [f"Finding {key!r}: not looked at here; looked at are {', '.join(known)}."])
        refused = self.no_rafters if key.startswith("rafter.") else self.no_truss
        return self._full(np.where(refused, NO_LIMIT, self._codes[key]).astype(np.int8))

    @property
    def state(self) -> Any:
        """The worst verdict of each cell: 1 all findings meet, 2 something to ask, 3 something misses, 0 refused.

        What is asked whatever the numbers is left out (``assumptions.ALWAYS``).
        """
        if "state" not in self.cache:
            worst: Any = np.int8(1)
            for code in self._codes.values():
                worst = np.maximum(worst, code)
            self.cache["state"] = self._full(np.where(self.no_rafters | self.no_truss, 0, worst).astype(np.int8))
        return self.cache["state"]

    def worse_than(self, code: int) -> Any:
        """How many findings of each cell are worse than a place in ``VERDICTS``."""
        total: Any = np.int16(0)
        for key in self._codes:
            total = total + (np.asarray(self._codes[key]) > code)
        return self._full(total)

    def _full(self, value: Any) -> Any:
        return np.broadcast_to(value, self.shape)


def sweep(house: Job | Mapping[str, Any], rounded: bool = True, **axes: Any) -> Sweep:
    """Both bays over every combination of the axes' values, the rest as the house has it.

    ``house`` is a job or numbers by their names (see ``House``).  An axis is named like an input and takes a row of
    numbers, trade text or, for lumber, chords and ridge, sizes; ``pitch_left`` and the like move one end, the plain
    name both.  ``rounded`` hands the heel over to the nearest 1/16 in, as drawn and printed.  InputError for an axis
    that is no input, two that move the same input, a value that cannot be read, and more than four million cells.

    >>> from rooflab.job.jobfile import example
    >>> made = sweep(example(), lumber=["2x8", "2x10"], seat=["3 1/2", "5 1/2"])
    >>> made.reading("scissor.heel").tolist()  # as handed over
    [[6.375, 5.0625], [8.8125, 7.4375]]
    >>> from rooflab.checks.limits import VERDICTS
    >>> [VERDICTS[code] for code in made.verdict("rafter.end_notch")[1]]
    ['meets', 'ask']
    """
    base, rows = house_of(house), tuple(axis_of(name, values) for name, values in axes.items())
    shape = tuple(len(axis.values) for axis in rows)
    moved = [(axis.base, end) for axis in rows for end in ((axis.end,) if axis.end else ("left", "right"))]
    problems = [
        f"Axes: {ROWS[name].label} stands on two of them; once is allowed."
        for name, end in moved
        if moved.count((name, end)) > 1
    ]
    if {"lumber", "depth"} <= {axis.base for axis in rows}:
        problems.append("Axes: give lumber or depth, not both.")
    if (cells := float(np.prod(shape, dtype=float))) > MOST_CELLS:
        problems.append(f"Sweep: {cells:,.0f} cells; at most {MOST_CELLS:,} are worked out at once.")
    stop_on(problems)
    laid = [
        axis.numbers.reshape(*axis.numbers.shape[:-1], *(-1 if i == j else 1 for j in range(len(rows))))
        for i, axis in enumerate(rows)
    ]
    return _sweep_of(base, rows, laid, shape, rounded)


def places_sweep(house: Job | Mapping[str, Any], rounded: bool = True, **values: Any) -> Sweep:
    """Both bays at single places: rows of equal length, one value of each input for each place."""
    base, rows = house_of(house), tuple(axis_of(name, row) for name, row in values.items())
    if len({len(axis.values) for axis in rows}) != 1:
        raise InputError("Places: rows of equal length are needed, one value of each input for each place.")
    return at_places(base, rows, [axis.numbers for axis in rows], rounded)


def at_places(house: House, axes: tuple[Axis, ...], numbers: Sequence[Any], rounded: bool = True) -> Sweep:
    """The same for numbers that were read before: arrays of equal length in place of the axes' own."""
    return _sweep_of(house, axes, list(numbers), (np.shape(numbers[0])[-1],), rounded)


def _sweep_of(
    house: House, axes: tuple[Axis, ...], laid: list[Any], shape: tuple[int, ...], rounded: bool
) -> Sweep:
    v = dict(house)
    outside: dict[str, Any] = {"gable": False, "rafter": False, "truss": False}
    for axis, numbers in zip(axes, laid, strict=True):
        v = with_value(v, axis, numbers)
        if axis.base not in SIZES:
            where = "gable" if axis.base in GABLE else "rafter" if axis.base in RAFTER else "truss"
            outside[where] = outside[where] | ~ROWS[axis.base].holds(numbers)
    for name in SIZES:
        if isinstance(v.get(name), str) or v.get(name, ()) is None:
            v[name] = (0.0, 0.0) if v[name] in (None, NOTHING) else read_size(name, v[name], [])
    size, board, heels = v.get("lumber", (1.5, v.get("depth"))), v["ridge"], v["heel"]
    with np.errstate(all="ignore"):
        gable = unread(Gable, **{name: v[name] for name in GABLE})
        rafters, no_rafters = bays_of_many(
            RafterBay, gable=gable, seat=v["bearing"] if v["seat"] is None else v["seat"], depth=size[1],
            thickness=size[0], plate=v["plate"], rounded=rounded, ridge_size=(board[0], board[1]),
        )  # fmt: skip
        no_rafters = no_rafters | outside["gable"] | outside["rafter"]
        if follows := isinstance(heels, str):
            heels = rafters.left.heel, rafters.right.heel
        scissor, no_truss = bays_of_many(
            ScissorBay, gable=gable, ceiling_pitch=v["ceiling_pitch"], heel_input=heels, plate=v["truss_plate"],
            chord_depth=v["chord"][1], bottom_depth=v["bottom_chord"][1], ceiling_from=v["ceiling_from"],
            apex=v["apex"], jogs=(),
        )  # fmt: skip
        for heel in pair(heels):
            outside["truss"] = outside["truss"] | np.logical_not(ROWS["heel"].holds(heel))
        no_truss = no_truss | outside["gable"] | outside["truss"] | (no_rafters if follows else False)
    return Sweep(house, axes, shape, rounded, rafters, scissor, np.asarray(no_rafters), np.asarray(no_truss))
