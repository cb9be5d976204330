"""A common rafter as it is cut: marks along its edges, the framing square's settings, and stepping it off.

The rafter lies level, its top edge up.  A point of it is (u, v): ``u`` along the edge from the top of the ridge plumb
cut (after shortening) toward the tail, ``v`` square to the edge, from the top edge into the wood, in.  A plumb line
marked at u on the top edge comes out on the bottom edge D m further on.  The *building line* is plumb over the outside
face of framing.  Cuts come from depth, pitch and seat as they are; only what is printed is rounded, to 1/16 in.

Where things are measured from differs between manuals; here lengths run along the top edge, and the ridge board's half
comes off measured level (NAVEDTRA 14044, fig. 2-19).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import must_be, pair, read_word, stop_on
from rooflab.base.measure import feet_inches, pitch_text, sixteenth
from rooflab.base.rows import Reading, Rows

from .bays import RafterBay

STEP = 12.0  # run of one step of the framing square, in
TONGUE, BLADE = 16.0, 24.0  # arms of a framing square, outside, in (common size, no source)
Point = tuple[float, float]


def _steps(run: float) -> str:
    whole, odd = whole_steps(run)
    return f"{whole} and {feet_inches(odd)}" if odd else f"{whole}"


def whole_steps(run: float) -> tuple[int, float]:
    """Whole steps of 12 in in a level run, and the odd run left over, in.

    >>> whole_steps(156.0), whole_steps(143.25)
    ((13, 0.0), (11, 11.25))
    """
    whole = int(run / STEP + 1e-9)
    odd = run - whole * STEP
    return whole, odd if odd > 1e-9 else 0.0


CUTTING: tuple[Reading, ...] = tuple(
    Reading(name, label, unit, "cut", formula, function, args)
    for name, label, unit, formula, function, args in (
        ("line_length", "Line length, to the ridge line", "in", "run·k(m)", geo.line_length, "run m"),
        (
            "shortening", "Ridge shortening, level", "in", "t ÷ 2",
            lambda t: geo.ridge_shortening(t, 0.0), "t",
        ),
        (
            "building_line", "Building line on the tape", "in", "(run − t ÷ 2)·k(m)",
            lambda run, t, m: geo.cut_length(run, t, 0.0, m), "run t m",
        ),
        ("tail_length", "Tail, past the building line", "in", "o·k(m)", geo.line_length, "o m"),
        ("cut_length", "Cut length", "in", "(run − t ÷ 2 + o)·k(m)", geo.cut_length, "run t o m"),
        (
            "stock_length", "Stock needed", "in", "(run − t ÷ 2 + o)·k(m) + D·m",
            lambda run, t, o, m, depth: geo.stock_length(geo.cut_length(run, t, o, m), depth, m), "run t o m D",
        ),
        ("plumb_cut", "Plumb cut at ridge and tail", "in", "D·k(m)", geo.plumb_depth, "D m"),
        ("heel", "Heel, down the building line", "in", "D·k(m) − m·seat", geo.heel, "D m seat"),
        ("seat_cut", "Seat cut", "in", "seat", lambda seat: seat, "seat"),
        ("birdsmouth_plumb", "Heel cut", "in", "m·seat", geo.birdsmouth_plumb, "m seat"),
        ("notch_depth", "Notch, square to the edge", "in", "m·seat ÷ k(m)", geo.notch, "m seat"),
        ("mouth", "Birdsmouth along the bottom edge", "in", "seat·k(m)", geo.line_length, "seat m"),
        (
            "corner", "Corner of the birdsmouth, squared up", "in", "(run − t ÷ 2)·k(m) + heel ÷ k(m)·m",
            lambda run, t, m, heel: geo.stock_length(geo.cut_length(run, t, 0.0, m), geo.square_to(heel, m), m),
            "run t m heel",
        ),
        (
            "seat_end", "Inside end of the seat, squared up", "in", "(run − t ÷ 2 − seat)·k(m) + D·m",
            lambda run, t, seat, m, depth: geo.stock_length(geo.cut_length(run, t, -seat, m), depth, m),
            "run t seat m D",
        ),
        ("step", "One step of the square", "in", "12·k(m)", lambda m: geo.line_length(STEP, m), "m"),
        ("steps", "Steps to the ridge line", "", "run ÷ 12", _steps, "run"),
        ("plumb_angle", "Plumb cuts, off square", "degrees", "arctan(m)", geo.angle, "m"),
        ("seat_angle", "Seat cut, off square", "degrees", "90 − arctan(m)", lambda m: 90.0 - geo.angle(m), "m"),
    )
)  # fmt: skip
"""Readings of a rafter as it is cut; symbols as in ``READINGS``."""


class TapeMark(NamedTuple):
    """A tape mark: its name, what it is, how it is drawn ("plumb" or "squared up"), where (in), and as printed."""

    name: str
    label: str
    how: str
    at: float
    tape: float

    @property
    def text(self) -> str:
        """The mark's place on the tape, as printed in feet and inches."""
        return feet_inches(self.tape)


class Square(NamedTuple):
    """A framing square's settings at the rafter's edge, in, and the arm along which each cut is marked."""

    rise: float
    rise_arm: str
    run_arm: str

    @property
    def rise_text(self) -> str:
        """The rise as it is read on the square: inches, without feet."""
        return pitch_text(self.rise).removesuffix(" in 12") + '"'

    @property
    def words(self) -> str:
        """The square's settings in words: rise on one arm, 12" on the other."""
        return f'{self.rise_text} on the {self.rise_arm}, 12" on the {self.run_arm}'


class SquareStep(NamedTuple):
    """One step of the framing square: "run" or "tail", its number, its level run, its length along the edge, and the
    tape mark at its end, counted along the edge from the plumb line of the ridge itself, in."""

    part: str
    number: int
    run: float
    length: float
    mark: float

    @property
    def label(self) -> str:
        """The step's number, "tail" before it past the building line; of an odd step the part of a foot it is."""
        number = f"{self.number}" if self.run == STEP else f"+{feet_inches(self.run)} of run"
        return f"tail {number}" if self.part == "tail" else number


def square_for(rise: float) -> Square:
    """Rise on the tongue, 12 on the blade; a rise longer than the tongue's 16 in goes on the blade instead.

    The plumb line is drawn along the arm with the rise, the level line along the other (NAVEDTRA 14044, ch. 2; the
    exchange of the arms is common practice, no source).

    >>> square_for(8.0).words
    '8" on the tongue, 12" on the blade'
    """
    return Square(rise, *(("tongue", "blade") if rise <= TONGUE else ("blade", "tongue")))


@dataclass(frozen=True)
class Cut:
    """One common rafter of a bay, lying level, its tape hooked at the ("ridge" or "tail") plumb cut's top.

    ``level_cut`` is the length of the level cut that the soffit wants on the tail, in (0: none).  InputError for
    anything but a RafterBay, another end or another hook.  Worked by hand, 9 in 12 (k = 5/4), 24'-0"
    span, 2x10, seat 4, ridge board 1 1/2, overhang 16: building line (144 − 3/4)·5/4 = 179.0625, tail 16·5/4 = 20, cut
    length 199.0625, stock + 9.25·3/4 = 206.

    >>> from rooflab import Gable
    >>> cut = Cut(RafterBay(Gable("24'", 9, "5 1/2", 16), "2x10", 4))
    >>> [(mark.name, mark.at) for mark in cut.marks][:2], cut.values["stock_length"]
    ([('ridge', 0.0), ('building line', 179.0625)], 206.0)
    """

    bay: RafterBay
    end: str = "left"
    hook: str = "ridge"
    level_cut: float = 0.0

    def __post_init__(self) -> None:
        must_be(self.bay, RafterBay, "RafterBay")
        problems: list[str] = []
        read_word("End", self.end, ("left", "right"), problems)
        read_word("Tape hooked at", self.hook, ("ridge", "tail"), problems)
        stop_on(problems)

    # --- numbers

    @cached_property
    def numbers(self) -> Rows:
        """Every row of ``CUTTING`` with its reasoning."""
        known = self.bay.symbols(self.end)
        return Rows(CUTTING, {name: known[name] for name in ("m", "run", "t", "o", "D", "seat")})

    @property
    def values(self) -> dict[str, Any]:
        """The readings by name, and the symbols they come from."""
        return self.numbers.all

    @property
    def slope(self) -> float:
        """Slope of the rafter, rise over run."""
        return float(self.values["m"])

    @property
    def depth(self) -> float:
        """Depth of the rafter, square to its edge, in."""
        return self.bay.depth

    @property
    def has_tail(self) -> bool:
        """Whether the rafter runs on past the wall."""
        return bool(self.values["o"] > 0)

    @property
    def has_mouth(self) -> bool:
        """Whether the rafter has a birdsmouth."""
        return pair(self.bay.seat)[self.end == "right"] > 0

    @property
    def has_level_cut(self) -> bool:
        """Whether the tail is cut level too: the cut stays clear of the wall and leaves wood above it."""
        return self.has_tail and 0 < self.level_cut <= self.values["o"] and self.tail_plumb > 0

    @property
    def tail_plumb(self) -> float:
        """What the level cut leaves of the tail's plumb cut, in: D k(m) - m cut."""
        return float(geo.heel(self.depth, self.slope, self.level_cut))

    @property
    def square(self) -> Square:
        """The framing square for every cut of this rafter."""
        return square_for(round(12 * self.slope, 9))

    # --- tape marks

    def _mark(self, name: str, label: str, how: str, along: float, total: float) -> TapeMark:
        """``along`` and ``total`` count from the ridge's end of the edge; hooked at the tail, what is left of it."""
        if self.hook == "ridge":
            return TapeMark(name, label, how, along, sixteenth(along))
        return TapeMark(name, label, how, total - along, sixteenth(total) - sixteenth(along))

    @cached_property
    def marks(self) -> tuple[TapeMark, ...]:
        """Marks along the top edge, in order from the hook; those from the tail are the printed total less the others.

        Plumb marks are drawn with the square; the birdsmouth's corner and the seat's inside end are squared up to the
        edge, as a check; hooked at a short tail, those that lie beyond the hook are left out.  Without an overhang the
        building line is where the rafter ends.
        """
        v, total = self.values, self.values["cut_length"]
        made = [("ridge", "Ridge plumb cut", "plumb", 0.0)]
        end = "Building line" if self.has_tail else "Building line: the rafter ends here"
        made.append(("building line", end, "plumb", v["building_line"]))
        if self.has_mouth:
            made.append(("corner", "Corner of the birdsmouth", "squared up", v["corner"]))
            made.append(("seat end", "Inside end of the seat", "squared up", v["seat_end"]))
        if self.has_tail:
            made.append(("tail", "Tail plumb cut", "plumb", total))
        marks = sorted((self._mark(*row, total) for row in made), key=lambda mark: mark.at)
        return tuple(mark for mark in marks if mark.at >= 0)

    def mark(self, name: str) -> TapeMark:
        """The mark of that name on the top edge."""
        return next(mark for mark in self.marks if mark.name == name)

    @cached_property
    def bottom_marks(self) -> tuple[TapeMark, ...]:
        """Marks along the bottom edge, from the lower end of the same plumb cut; plumb lines stand as far as on top.

        Without an overhang the bottom edge ends at the seat, and nothing can be hooked at the tail: no marks then.
        """
        v, total = self.values, self.values["cut_length"]
        made = []
        if self.has_mouth:
            inside = geo.cut_length(v["run"], v["t"], -v["seat"], v["m"])
            made.append(("seat end", "Inside end of the seat", "plumb", float(inside)))
        if self.has_tail:
            made.append(("foot", "Foot of the heel cut", "plumb", v["building_line"]))
            made.append(("tail", "Tail plumb cut", "plumb", total))
            if self.has_level_cut:
                made.append(("level cut", "Inside end of the level tail cut", "plumb", self.level_end))
        elif self.hook == "tail":
            return ()
        return tuple(sorted((self._mark(*row, total) for row in made), key=lambda mark: mark.at))

    @property
    def chain(self) -> tuple[tuple[str, float], ...]:
        """Lengths between the plumb marks as they are printed: differences of printed marks, so that they add up."""
        plumb = [mark for mark in self.marks if mark.how == "plumb"]
        return tuple(
            (f"{a.label} to {b.label[0].lower()}{b.label[1:]}", b.tape - a.tape)
            for a, b in zip(plumb, plumb[1:], strict=False)
        )

    # --- the piece of wood

    @cached_property
    def corner(self) -> Point:
        """The birdsmouth's corner, (along, across) in: on the building line, a heel down from the top edge."""
        v = self.values
        return v["corner"], float(geo.square_to(v["heel"], v["m"]))

    @cached_property
    def shift(self) -> float:
        """How far along the edge a plumb line runs from the top edge to the bottom edge, in."""
        return float(geo.plumb_shift(self.depth, self.slope))

    @property
    def level_end(self) -> float:
        """Where the level cut on the tail begins, along the bottom edge from the ridge cut's lower end, in."""
        v = self.values
        return float(geo.cut_length(v["run"], v["t"], v["o"] - self.level_cut, v["m"]))

    @property
    def level_line(self) -> tuple[Point, Point]:
        """The level cut on the tail from the bottom edge to the tail's plumb cut, (along, across) in."""
        across = float(geo.square_to(self.tail_plumb, self.slope))
        outside = float(geo.stock_length(self.values["cut_length"], across, self.slope))
        return (self.level_end + self.shift, self.depth), (outside, across)

    @cached_property
    def outline(self) -> tuple[Point, ...]:
        """Corners of the rafter as cut, (along, across) in, from the top of the ridge cut round by its bottom edge."""
        v, deep, shift = self.values, self.depth, self.shift
        total, line = v["cut_length"], v["building_line"]
        points = [(0.0, 0.0), (shift, deep)]
        if self.has_mouth:
            points += [(v["seat_end"], deep), self.corner]
        if self.has_tail:
            points += [(line + shift, deep)] * self.has_mouth
            points += self.level_line if self.has_level_cut else ((total + shift, deep),)
        elif not self.has_mouth:
            points.append((line + shift, deep))
        return (*points, (total, 0.0))

    @cached_property
    def waste(self) -> dict[str, tuple[Point, ...]]:
        """Outlines of what is sawn off the stick: at the "ridge", in the "birdsmouth" and at the "tail"."""
        v, deep, shift = self.values, self.depth, self.shift
        total, line, stock = v["cut_length"], v["building_line"], v["stock_length"]
        off = {"ridge": ((0.0, 0.0), (shift, deep), (0.0, deep))}
        if not self.has_tail and self.has_mouth:
            return off | {"tail": ((line, 0.0), (stock, 0.0), (stock, deep), (v["seat_end"], deep), self.corner)}
        if self.has_mouth:
            off["birdsmouth"] = ((v["seat_end"], deep), self.corner, (line + shift, deep))
        level = self.level_line if self.has_level_cut else ()
        return off | {"tail": ((total, 0.0), (stock, 0.0), (stock, deep), *level)}

    # --- stepping off

    @cached_property
    def steps(self) -> tuple[SquareStep, ...]:
        """Steps of 12 in of run from the plumb line of the ridge to the building line, then on to the tail.

        The steps of the run add up to the line length.  7 in 12, span 16 ft: eight steps of 13.89 in, 111.1 in
        (NAVEDTRA 14044, fig. 2-17).
        """
        m, made, level = self.slope, list[SquareStep](), 0.0
        for part, run in (("run", self.values["run"]), ("tail", self.values["o"])):
            whole, odd = whole_steps(run)
            for number, one in enumerate([STEP] * whole + [odd] * (odd > 0), 1):
                level += one
                made.append(
                    SquareStep(part, number, one, float(geo.line_length(one, m)), float(geo.line_length(level, m)))
                )
        return tuple(made)
