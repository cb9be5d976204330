"""Planes seen on edge, the walls under them, and what both bays share.

A section is seen from the gable end: x runs in from the outside face of the framing of the main left wall, y up from
its top of plate, in inches.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar, overload

import numpy as np

from rooflab.base import geometry as geo
from rooflab.base.geometry import Number, Truth
from rooflab.base.inputs import INPUTS, Ends, Length, OneOrTwo, pair, read_ends, read_word, stop_on
from rooflab.base.measure import feet_inches, sixteenth
from rooflab.base.rows import Reading, Reasoning, Symbols

from .readings import READINGS, reading_of, rows_of

# --- numbers or arrays: walls and lines of one house, or of many at once ----------------------------------------------


Yes = TypeVar("Yes")
No = TypeVar("No")


@overload
def pick(test: bool | np.bool_, yes: Yes, no: No) -> Yes | No: ...
@overload
def pick(test: Truth, yes: object, no: object) -> Any: ...
def pick(test: Truth, yes: Any, no: Any) -> Any:
    """``yes`` where the test holds, else ``no``; for one test, or value by value for an array of them."""
    return np.where(test, yes, no) if isinstance(test, np.ndarray) else yes if test else no


@overload
def lower(one: float, other: float) -> float: ...
@overload
def lower(one: Number, other: Number) -> Number: ...
def lower(one: Number, other: Number) -> Number:
    """The lower of two."""
    return pick(other < one, other, one)


@overload
def higher(one: float, other: float) -> float: ...
@overload
def higher(one: Number, other: Number) -> Number: ...
def higher(one: Number, other: Number) -> Number:
    """The higher of two."""
    return pick(other > one, other, one)


@dataclass(frozen=True)
class Line:
    """A plane seen on edge: y = at0 + slope x."""

    at0: float
    slope: float

    @overload
    def at(self, x: float) -> float: ...
    @overload
    def at(self, x: Number) -> Number: ...
    def at(self, x: Number) -> Number:
        """Height of the line over x, in."""
        return self.at0 + self.slope * x

    def meet(self, other: Line) -> tuple[float, float] | None:
        """The point shared with another line, or None where they are parallel."""
        if self.slope == other.slope:
            return None
        x = (other.at0 - self.at0) / (self.slope - other.slope)
        return x, self.at(x)

    @staticmethod
    def through(x: float, y: float, slope: float) -> Line:
        """The line through a point (x, y), in, with this slope."""
        return Line(y - slope * x, slope)


@dataclass(frozen=True)
class Wall:
    """A bearing wall: x of its outside face of framing, its top of plate, bearing width, the overhang and its side."""

    x: float
    plate: float
    bearing: float
    overhang: float
    side: str

    @property
    def inward(self) -> int:
        """+1 where the house lies to the right of the wall, -1 where it lies to the left."""
        return 1 if self.side == "left" else -1

    def inside(self, distance: float) -> float:
        """x a level distance in from the outside face (negative: out)."""
        return self.x + self.inward * distance


@dataclass(frozen=True)
class End:
    """One end of a bay: its wall, the heel there and the lines above it.

    ``start`` is where the ceiling line leaves the plate, in from the outside face; None without a sloped ceiling.
    """

    wall: Wall
    heel: float
    roof: Line
    run: float
    ceiling: Line | None = None
    start: float = 0.0
    apex: float = 0.0

    @property
    def plate(self) -> float:
        """Top of plate at this end, in."""
        return self.wall.plate

    @property
    def bearing(self) -> float:
        """Width of plate sat on at this end, in."""
        return self.wall.bearing

    @property
    def overhang(self) -> float:
        """Overhang at this end, level, in."""
        return self.wall.overhang


def set_fields(instance: object, **values: object) -> None:
    """Set fields of a frozen record while it is made."""
    for name, value in values.items():
        object.__setattr__(instance, name, value)


Record = TypeVar("Record")


def unread(kind: type[Record], **values: object) -> Record:
    """A record with its fields set, past the reading of typed values; arrays for numbers stand for many houses."""
    made = object.__new__(kind)
    set_fields(made, **values)
    return made


class Rule(NamedTuple):
    """What a house must keep to: whether it does, value by value for many, and the sentence for one that does not."""

    holds: Truth
    sentence: Callable[[], str]


class OneHouse:
    """How one house is drawn: with plain numbers, and rules that are broken stop it with their sentences."""

    @staticmethod
    def number(x: Number) -> float:
        """A number as a plain float."""
        return float(x)

    sixteenths = staticmethod(sixteenth)

    @staticmethod
    def ask(*rules: Rule) -> None:
        """Raise InputError with the sentences of the rules that are broken."""
        stop_on(rule.sentence() for rule in rules if not rule.holds)


class ManyHouses:
    """How many houses are drawn at once: with arrays for numbers; ``unbuildable`` is where a rule is broken."""

    unbuildable: Truth = False

    @staticmethod
    def number(x: Number) -> Number:
        """A number or an array, as it is."""
        return x

    sixteenths = staticmethod(geo.sixteenths)

    def ask(self, *rules: Rule) -> None:
        """Mark the houses that break one of the rules."""
        for rule in rules:
            self.unbuildable = self.unbuildable | np.logical_not(rule.holds)


Houses = OneHouse | ManyHouses


@dataclass(frozen=True, init=False)
class Gable:
    """Walls and pitches that both bays share, out to out of framing.

    Lengths are inches or trade text, pitches inches of rise in 12 of run.  ``pitch``, ``bearing``, ``overhang`` and
    ``plate_height`` take one value or ``(left, right)``.  ``bearing`` is the width of plate sat on; ``plate_height``
    and ``window_head`` (of a window under the eave) count from the subfloor.
    Raises InputError with every problem at once.

    >>> Gable("26'", 8, "5 1/2", "16").span
    312.0
    """

    span: float
    pitch: Ends
    bearing: Ends
    overhang: Ends = 0.0
    plate_height: Ends = 97.125
    sheathing: float = 0.5
    window_head: float = 82.0

    def __init__(
        self,
        span: Length,
        pitch: OneOrTwo,
        bearing: OneOrTwo,
        overhang: OneOrTwo = 0,
        plate_height: OneOrTwo = "8'-1 1/8\"",
        sheathing: Length = 0.5,
        window_head: Length = "6'-10\"",
    ) -> None:
        problems: list[str] = []
        set_fields(
            self,
            span=INPUTS["span"].read(span, problems),
            pitch=read_ends("pitch", pitch, problems),
            bearing=read_ends("bearing", bearing, problems),
            overhang=read_ends("overhang", overhang, problems),
            plate_height=read_ends("plate_height", plate_height, problems),
            sheathing=INPUTS["sheathing"].read(sheathing, problems),
            window_head=INPUTS["window_head"].read(window_head, problems),
        )
        stop_on(problems)

    def walls(self, offset: Ends) -> tuple[Wall, Wall]:
        """The two walls under a bay whose plates stand ``offset`` above the gable's."""
        heights, raised = pair(self.plate_height), pair(offset)
        left, right = (
            Wall(x, height - heights[0] + up, bearing, overhang, side)
            for x, height, up, bearing, overhang, side in zip(
                (0.0, self.span),
                heights,
                raised,
                pair(self.bearing),
                pair(self.overhang),
                ("left", "right"),
                strict=True,
            )
        )
        return left, right

    @property
    def slopes(self) -> tuple[float, float]:
        """(left, right) slopes of the roof, rise over run."""
        left, right = pair(self.pitch)
        return left / 12, right / 12


class Bay:
    """What both bays do: answer every row of ``READINGS`` as an attribute, and show the reasoning behind it."""

    kind = ""
    gable: Gable
    left: End
    right: End

    def symbols(self, end: str = "left") -> Symbols:
        """Values of the formulas' symbols at one end."""
        problems: list[str] = []
        read_word("End", end, ("left", "right"), problems)
        stop_on(problems)
        one, low = getattr(self, end), lower(self.left.plate, self.right.plate)
        return {
            "m": abs(one.roof.slope),
            "run": one.run,
            "o": one.overhang,
            "heel": one.heel,
            "bearing": one.bearing,
            "plate": one.plate,
            "roof": one.heel + one.plate,
            "up": one.plate - low,
        }

    @property
    def ends(self) -> tuple[End, End]:
        """(left, right) ends of the bay."""
        return self.left, self.right

    @property
    def peak(self) -> tuple[float, float]:
        """Point (x, y) where the two roof lines meet, in."""
        x = self.left.wall.inside(self.left.run)
        return x, self.left.roof.at(x)

    def roof_at(self, x: float) -> float:
        """Height of the roof line over x, in: the lower of the two."""
        return lower(self.left.roof.at(x), self.right.roof.at(x))

    @property
    def equal_ends(self) -> bool:
        """True where the right end is the left one in a mirror."""
        one, other = self.symbols("left"), self.symbols("right")
        return all(abs(one[name] - other[name]) < 1e-9 for name in one)

    def rows(self) -> tuple[Reading, ...]:
        """The rows of ``READINGS`` that this kind of bay has."""
        return rows_of(self.kind)

    def reading(self, name: str, end: str = "left") -> Reasoning:
        """A reading with its reasoning: ``name value unit formula worked``.  InputError for a name this bay lacks."""
        return reading_of(self.kind, name).work(self.symbols(end))

    if not TYPE_CHECKING:  # a type checker has the readings by name, from house/readings.py

        def __getattr__(self, name: str) -> float | str:
            for row in READINGS:
                if row.bay == self.kind and row.name == name:
                    return row.of(self.symbols())
            raise AttributeError(f"{type(self).__name__} has no {name!r}")

    def __dir__(self) -> list[str]:
        return [*super().__dir__(), *(row.name for row in self.rows())]


def ridge_at(gable: Gable, walls: tuple[Wall, Wall], heels: tuple[Number, Number]) -> Number:
    """x of the ridge from the left outside face, in."""
    up = walls[1].plate + heels[1] - walls[0].plate - heels[0]
    return geo.ridge_x(gable.span, *gable.slopes, up)


def ridge_stands(gable: Gable, walls: tuple[Wall, Wall], x: Number, half: Number = 0.0) -> Rule:
    """A ridge at ``x`` from the left outside face, and ``half`` a ridge board, must stand between the walls."""
    holds = (walls[0].bearing + half < x) & (x < gable.span - walls[1].bearing - half)
    return Rule(
        holds,
        lambda: (
            f"Ridge at {feet_inches(float(x))} from the left face: it must stand between the walls, which these "
            f"plates, heels and pitches do not allow over {feet_inches(gable.span)}."
        ),
    )


def roof_end(wall: Wall, heel: float, slope: float, ridge: float) -> End:
    """One end of a bay under its roof line, from its wall, heel (in), slope and the ridge's x (in)."""
    roof = Line.through(wall.x, wall.plate + heel, wall.inward * slope)
    return End(wall, heel, roof, abs(ridge - wall.x))
