"""Walls, planes and the two bays that hang from them.

A section is seen from the gable end: x runs in from the outside face of the framing of the main left wall, y up from
its top of plate, in inches.  A rafter bay *sets* the roof lines (depth, pitch and seat give the heel); a scissor bay
*takes* a heel and adds ceiling lines.  Every reading is read off those lines.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, fields, replace
from typing import Any, NamedTuple

from . import geometry as geo
from .lumber import CHORDS, RAFTERS, RIDGES, dressed
from .measure import Given as Raw
from .measure import InputError, feet_inches, inches, pitch, pitch_text, sixteenth
from .readings import READINGS, Reading, Worked

Given = float | str
Ends = float | tuple[float, float]


class Input(NamedTuple):
    """One input: its name, label, kind, range, step of its control, default (the house of the examples) and note."""

    name: str
    label: str
    kind: str  # "length", "pitch" or "choice"
    low: float
    high: float
    step: float
    default: Any
    choices: tuple[str, ...] = ()

    def read(self, value: Any, problems: list[str]) -> float:
        """The value as a number inside the range; what is wrong with it is added to ``problems`` (then nan)."""
        kind = pitch if self.kind == "pitch" else inches
        try:
            number = kind(value, self.label)
        except InputError as error:
            problems.extend(error.problems)
            return float("nan")
        if not self.low <= number <= self.high:
            bounds = f"allowed is {self.show(self.low)} to {self.show(self.high)}"
            problems.append(f"{self.label} {self.show(number)}: {bounds}.{self._meant(value, number)}")
            return float("nan")
        return number

    def show(self, number: float) -> str:
        return pitch_text(number) if self.kind == "pitch" else feet_inches(number)

    def _meant(self, value: Any, number: float) -> str:
        """A bare number in a box for a long length was probably meant in feet."""
        bare = isinstance(value, (int, float, str)) and str(value).strip().replace(".", "", 1).isdigit()
        if self.kind == "length" and bare and number < self.low <= 12 * number <= self.high:
            return f" {number:g} in is {feet_inches(number)}; did you mean {number:g}'?"
        return ""


INPUTS: dict[str, Input] = {
    row.name: row
    for row in (
        Input("span", "Span, out to out", "length", 96, 720, 6, 312.0),
        Input("pitch", "Roof pitch", "pitch", 1, 24, 0.5, 8.0),
        Input("ceiling_pitch", "Ceiling pitch", "pitch", 0, 23.5, 0.5, 4.0),
        Input("overhang", "Overhang", "length", 0, 48, 1, 16.0),
        Input("bearing", "Bearing (plate)", "length", 1, 16, 0.25, 5.5),
        Input("seat", "Seat", "length", 0, 16, 0.125, 3.5),
        Input("heel", "Truss heel", "length", 0.0625, 60, 0.0625, 8.8125),
        Input("plate_height", "Plate above floor", "length", 0, 480, 1, 97.125),
        Input("plate", "Plate offset", "length", -120, 120, 0.0625, 0.0),
        Input("window_head", "Eave window head above floor", "length", 0, 480, 1, 82.0),
        Input("lumber", "Rafter", "choice", 0, 0, 0, "2x10", RAFTERS),
        Input("depth", "Rafter depth", "length", 2, 24, 0.0625, 9.25),
        Input("chord", "Top chord", "choice", 0, 0, 0, "2x4", CHORDS),
        Input("bottom_chord", "Bottom chord", "choice", 0, 0, 0, "2x4", CHORDS),
        Input("ridge", "Ridge board", "choice", 0, 0, 0, "2x12", ("none", *RIDGES)),
        Input("sheathing", "Roof sheathing", "length", 0, 2, 0.0625, 0.5, ("7/16", "1/2", "5/8", "3/4")),
        Input("jog", "Set-in of the wall", "length", -240, 360, 1, 24.0),
    )
}


def read_ends(name: str, value: Any, problems: list[str]) -> Ends:
    """One value, or two as (left, right), read by the row of ``INPUTS``; two equal ones become one."""
    if isinstance(value, (tuple, list)):
        if len(value) != 2:
            _refuse(value, INPUTS[name].label, "is not one value or two as (left, right)", problems)
            return float("nan")
        left, right = (INPUTS[name].read(one, problems) for one in value)
        return left if left == right else (left, right)
    return INPUTS[name].read(value, problems)


def read_size(name: str, value: Any, problems: list[str]) -> tuple[float, float]:
    """Dressed thickness and depth of a piece of lumber standing on edge."""
    row = INPUTS["depth"]
    try:
        thickness, depth = dressed(value, INPUTS[name].label)
    except InputError as error:
        problems.extend(error.problems)
        return float("nan"), float("nan")
    if not row.low <= depth <= row.high or thickness > depth:
        allowed = f"a depth of {row.show(row.low)} to {row.show(row.high)} and a thickness of at most the depth"
        _refuse(value, INPUTS[name].label, f"is no such piece; allowed is {allowed}", problems)
    return thickness, depth


def read_word(what: str, value: Any, allowed: tuple[str, ...], problems: list[str]) -> None:
    if not isinstance(value, str) or value not in allowed:
        _refuse(value, what, f"is not {' or '.join(allowed)}", problems)


def _refuse(value: Any, what: str, reason: str, problems: list[str]) -> None:
    problems.extend(Raw(value, what, "", "").refused(reason).problems)


def must_be(value: Any, kind: type, what: str) -> None:
    """InputError where a value is not of a class of ours (a Gable, a bay) or not a plain True or False."""
    if not isinstance(value, kind):
        problems: list[str] = []
        _refuse(value, what, "is not True or False" if kind is bool else f"is not a {kind.__name__}", problems)
        stop_on(problems)


def stop_on(problems: Iterable[str]) -> None:
    """Raise all the problems at once, if there are any."""
    if found := tuple(dict.fromkeys(problems)):
        raise InputError(found)


def pair(value: Ends) -> tuple[float, float]:
    """(left, right) of a value that stands for both."""
    return value if isinstance(value, tuple) else (value, value)


@dataclass(frozen=True)
class Line:
    """A plane seen on edge: y = at0 + slope x."""

    at0: float
    slope: float

    def at(self, x: Any) -> Any:
        return self.at0 + self.slope * x

    def meet(self, other: Line) -> tuple[float, float] | None:
        """The point shared with another line, or None where they are parallel."""
        if self.slope == other.slope:
            return None
        x = (other.at0 - self.at0) / (self.slope - other.slope)
        return x, self.at(x)

    @staticmethod
    def through(x: float, y: float, slope: float) -> Line:
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
        return self.wall.plate

    @property
    def bearing(self) -> float:
        return self.wall.bearing

    @property
    def overhang(self) -> float:
        return self.wall.overhang


def put(instance: object, **values: Any) -> None:
    """Set fields of a frozen record while it is made."""
    for name, value in values.items():
        object.__setattr__(instance, name, value)


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
        span: Given,
        pitch: Any,
        bearing: Any,
        overhang: Any = 0,
        plate_height: Any = "8'-1 1/8\"",
        sheathing: Given = 0.5,
        window_head: Given = "6'-10\"",
    ) -> None:
        problems: list[str] = []
        put(
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
        left, right = pair(self.pitch)
        return left / 12, right / 12


class Bay:
    """What both bays do: answer every row of ``READINGS`` as an attribute, and show the reasoning behind it."""

    kind = ""
    gable: Gable
    left: End
    right: End

    def symbols(self, end: str = "left") -> dict[str, Any]:
        """Values of the formulas' symbols at one end."""
        problems: list[str] = []
        read_word("End", end, ("left", "right"), problems)
        stop_on(problems)
        one, low = getattr(self, end), min(self.left.plate, self.right.plate)
        return {
            "m": abs(one.roof.slope),
            "run": one.run,
            "o": one.overhang,
            "heel": one.heel,
            "bearing": one.bearing,
            "plate": one.plate,
            "top": one.heel + one.plate,
            "up": one.plate - low,
        }

    @property
    def ends(self) -> tuple[End, End]:
        return self.left, self.right

    @property
    def peak(self) -> tuple[float, float]:
        """Where the two roof lines meet."""
        x = self.left.wall.inside(self.left.run)
        return x, self.left.roof.at(x)

    def roof_at(self, x: float) -> float:
        """Height of the roof line over x: the lower of the two."""
        return min(self.left.roof.at(x), self.right.roof.at(x))

    @property
    def equal_ends(self) -> bool:
        """True where the right end is the left one in a mirror."""
        one, other = self.symbols("left"), self.symbols("right")
        return all(abs(one[name] - other[name]) < 1e-9 for name in one)

    def rows(self) -> tuple[Reading, ...]:
        return tuple(row for row in READINGS if row.bay == self.kind)

    def reading(self, name: str, end: str = "left") -> Worked:
        """A reading with its reasoning: ``name value unit formula worked``.  InputError for a name this bay lacks."""
        rows = {row.name: row for row in self.rows()}
        problems: list[str] = []
        read_word(f"Reading of a {self.kind} bay", name, tuple(rows), problems)
        stop_on(problems)
        return rows[name].work(self.symbols(end))

    def __getattr__(self, name: str) -> Any:
        for row in READINGS:
            if row.bay == self.kind and row.name == name:
                return row.of(self.symbols())
        raise AttributeError(f"{type(self).__name__} has no {name!r}")

    def __dir__(self) -> list[str]:
        return [*super().__dir__(), *(row.name for row in self.rows())]


def _ridge(
    gable: Gable, walls: tuple[Wall, Wall], heels: tuple[float, float], problems: list[str], half: float = 0.0
) -> float:
    """x of the ridge from the left outside face; it, and ``half`` a ridge board, must stand between the walls."""
    higher = walls[1].plate + heels[1] - walls[0].plate - heels[0]
    x = float(geo.ridge_x(gable.span, *gable.slopes, higher))
    if not walls[0].bearing + half < x < gable.span - walls[1].bearing - half:
        problems.append(
            f"Ridge at {feet_inches(x)} from the left face: it must stand between the walls, which these plates, "
            f"heels and pitches do not allow over {feet_inches(gable.span)}."
        )
    return x


def _roof_end(wall: Wall, heel: float, slope: float, ridge: float) -> End:
    roof = Line.through(wall.x, wall.plate + heel, wall.inward * slope)
    return End(wall, heel, roof, abs(ridge - wall.x))


@dataclass(frozen=True, init=False)
class RafterBay(Bay):
    """Common rafters with a birdsmouth on each wall, framed to a ridge board.

    ``lumber`` is a nominal size; ``depth`` (inches) instead of it for engineered or measured stock.  ``seat`` is the
    level cut on the plate, one value or (left, right); None sits on the full bearing.  ``ridge`` is the ridge board,
    None where rafters meet each other.  ``plate`` raises the bay's own plates above the gable's.  ``rounded`` bays hang
    their planes from the heel as it is handed over, to the nearest 1/16 in, so that all printed heights add up.
    Raises InputError with every problem at once.

    >>> bay = RafterBay(Gable("24'", 9, "7 1/4"), "2x12")
    >>> bay.heel, bay.reading("heel").worked
    (8.625, '11.25 × √(1 + (9/12)²) − (9/12) × 7.25')
    """

    gable: Gable
    lumber: str | None
    seat: Ends
    ridge: str | None
    depth: float
    plate: Ends
    rounded: bool
    thickness: float = field(default=1.5, compare=False)
    ridge_size: tuple[float, float] = field(default=(0.0, 0.0), compare=False)
    left: End = field(default=None, compare=False, repr=False)  # type: ignore[assignment]
    right: End = field(default=None, compare=False, repr=False)  # type: ignore[assignment]
    kind = "rafter"

    def __init__(
        self,
        gable: Gable,
        lumber: str | None = "2x10",
        seat: Any = None,
        ridge: str | None = "2x12",
        depth: Given | None = None,
        plate: Any = 0,
        rounded: bool = False,
    ) -> None:
        must_be(gable, Gable, "Gable")
        must_be(rounded, bool, "Rounded")
        problems: list[str] = []
        thickness, nominal = (1.5, 0.0) if depth is not None else read_size("lumber", lumber, problems)
        own = nominal if depth is None else INPUTS["depth"].read(depth, problems)
        board = (0.0, 0.0) if ridge in (None, "none") else read_size("ridge", ridge, problems)
        seats = gable.bearing if seat is None else read_ends("seat", seat, problems)
        offset = read_ends("plate", plate, problems)
        stop_on(problems)
        walls = gable.walls(offset)
        for wall, one, m in zip(walls, pair(seats), gable.slopes, strict=True):
            where = "" if pair(seats)[0] == pair(seats)[1] else f" at the {wall.side} wall"
            if one > wall.bearing:
                problems.append(f"Seat {feet_inches(one)}{where}: at most the bearing, {feet_inches(wall.bearing)}.")
            if geo.notch(m, one) >= own:
                problems.append(
                    f"Seat {feet_inches(one)}{where}: the birdsmouth would cut through a rafter {feet_inches(own)} deep; "
                    f"at {pitch_text(12 * m)} the seat must stay under {feet_inches(float(geo.seat_at_notch(own, m)))}."
                )
        stop_on(problems)
        heels = [float(geo.heel(own, m, one)) for m, one in zip(gable.slopes, pair(seats), strict=True)]
        if rounded:
            heels = [sixteenth(heel) for heel in heels]
        x = _ridge(gable, walls, (heels[0], heels[1]), problems, board[0] / 2)
        stop_on(problems)
        left, right = (_roof_end(w, h, m, x) for w, h, m in zip(walls, heels, gable.slopes, strict=True))
        put(
            self,
            gable=gable,
            lumber=None if depth is not None else lumber,
            seat=seats,
            depth=own,
            plate=offset,
            rounded=rounded,
            ridge=None if board[0] == 0 else ridge,
            thickness=thickness,
            ridge_size=board,
            left=left,
            right=right,
        )

    def symbols(self, end: str = "left") -> dict[str, Any]:
        common = super().symbols(end)
        return {**common, "D": self.depth, "seat": pair(self.seat)[end == "right"], "t": self.ridge_size[0]}

    def with_(self, **changes: Any) -> RafterBay:
        """The same bay with some inputs changed; a seat on the full bearing stays on the full bearing."""
        depth = None if self.lumber or "lumber" in changes else self.depth
        seat = None if self.seat == self.gable.bearing else self.seat
        return RafterBay(**{**_inputs(self), "depth": depth, "seat": seat, **changes})

    def handed_over(self) -> RafterBay:
        """The bay as it is drawn and printed: planes hung from the heel rounded to 1/16 in."""
        return self.with_(rounded=True)


@dataclass(frozen=True)
class Jog:
    """One wall moved under the planes: its end, how far in, the new bearing (None: as it was) and the eave."""

    end: str
    by: float
    bearing: float | None = None
    eave: str = "straight"

    def __post_init__(self) -> None:
        problems: list[str] = []
        by = INPUTS["jog"].read(self.by, problems)
        wide = None if self.bearing is None else INPUTS["bearing"].read(self.bearing, problems)
        read_word("End", self.end, ("left", "right"), problems)
        read_word("Eave", self.eave, ("straight", "stepped"), problems)
        stop_on(problems)
        put(self, by=by, bearing=wide)


@dataclass(frozen=True, init=False)
class ScissorBay(Bay):
    """Manufactured scissor trusses that take a heel and add ceiling lines.

    ``heel`` (one value or (left, right)) is handed over by the rafter bay; ``chord`` and ``bottom_chord`` are nominal
    sizes the architect assumes, the manufacturer decides.  The ceiling line is the underside of the bottom chord; it
    leaves the plate at the ``"inside"`` (default) or ``"outside"`` face of the bearing (``ceiling_from``).
    ``apex`` is ``"free"`` (equal ceiling pitches meet where they meet) or ``"ridge"`` (the right ceiling pitch is what
    brings the apex under the ridge).  Readings ``height`` and ``ceiling_rise`` count from the lower of its own plates.
    Raises InputError with every problem at once.

    >>> bay = ScissorBay(Gable("24'", 9, "7 1/4"), 4.5, "8 5/8")
    >>> bay.height, bay.ceiling_rise
    (116.625, 51.28125)
    """

    gable: Gable
    ceiling_pitch: Ends
    heel_given: Ends
    chord: str
    bottom_chord: str
    plate: Ends
    ceiling_from: str
    apex: str
    jogs: tuple[Jog, ...]
    chord_depth: float = field(default=3.5, compare=False)
    bottom_depth: float = field(default=3.5, compare=False)
    left: End = field(default=None, compare=False, repr=False)  # type: ignore[assignment]
    right: End = field(default=None, compare=False, repr=False)  # type: ignore[assignment]
    kind = "scissor"

    def __init__(
        self,
        gable: Gable,
        ceiling_pitch: Any,
        heel: Any,
        chord: str = "2x4",
        bottom_chord: str = "2x4",
        plate: Any = 0,
        ceiling_from: str = "inside",
        apex: str = "free",
        jogs: tuple[Jog, ...] = (),
    ) -> None:
        must_be(gable, Gable, "Gable")
        must_be(jogs, tuple, "Jogs")
        for jog in jogs:
            must_be(jog, Jog, "Jog")
        problems: list[str] = []
        ceiling = read_ends("ceiling_pitch", ceiling_pitch, problems)
        heels = read_ends("heel", heel, problems)
        top, bottom = read_size("chord", chord, problems)[1], read_size("bottom_chord", bottom_chord, problems)[1]
        offset = read_ends("plate", plate, problems)
        read_word("Ceiling line from", ceiling_from, ("inside", "outside"), problems)
        read_word("Ceiling apex", apex, ("free", "ridge"), problems)
        stop_on(problems)
        walls = gable.walls(offset)
        x = _ridge(gable, walls, pair(heels), problems)
        if pair(ceiling) == (0, 0) and walls[0].plate != walls[1].plate:
            problems.append(
                f"Ceiling pitch 0 in 12: level ceilings on plates {feet_inches(abs(walls[1].plate - walls[0].plate))} apart "
                "never meet; give a ceiling pitch or level the plates."
            )
        stop_on(problems)
        starts = [wall.inside(wall.bearing if ceiling_from == "inside" else 0.0) for wall in walls]
        lines = [
            Line.through(at, wall.plate, wall.inward * c / 12)
            for at, wall, c in zip(starts, walls, pair(ceiling), strict=True)
        ]
        if apex == "ridge":
            lines[1] = Line.through(starts[1], walls[1].plate, -(lines[0].at(x) - walls[1].plate) / (starts[1] - x))
        apex_x = (
            geo.ridge_x(
                starts[1] - starts[0], abs(lines[0].slope), abs(lines[1].slope), walls[1].plate - walls[0].plate
            )
            + starts[0]
            if lines[0].slope != lines[1].slope
            else x
        )
        ends = [
            replace(
                _roof_end(wall, heel, m, x),
                ceiling=line,
                start=abs(at - wall.x),
                apex=abs(float(apex_x) - wall.x),
            )
            for wall, heel, m, line, at in zip(walls, pair(heels), gable.slopes, lines, starts, strict=True)
        ]
        put(
            self,
            gable=gable,
            ceiling_pitch=ceiling,
            heel_given=heels,
            chord=chord,
            bottom_chord=bottom_chord,
            plate=offset,
            ceiling_from=ceiling_from,
            apex=apex,
            jogs=jogs,
            chord_depth=top,
            bottom_depth=bottom,
            left=ends[0],
            right=ends[1],
        )
        for jog in self.jogs:
            self._move(jog)
        self._fits()

    def _fits(self) -> None:
        """Refuse what cannot be drawn: chords that do not part, an apex outside the walls."""
        problems = []
        for end in self.ends:
            assert end.ceiling is not None
            m, c = abs(end.roof.slope), end.ceiling.slope * end.wall.inward
            if c > m:
                problems.append(
                    f"Ceiling pitch {pitch_text(round(12 * c, 4))}: at most the roof pitch, {pitch_text(12 * m)}."
                )
            if not end.start <= end.apex <= self.gable.span or c < 0:
                problems.append(
                    f"Ceiling apex {feet_inches(end.apex)} in from the {end.wall.side} wall: it must stand between the "
                    "walls; change a ceiling pitch or a plate."
                )
        stop_on(problems)
        if not self.chords_part:
            where, room, solid = self._tightest()
            problems.append(
                f"Ceiling pitch with this heel leaves {feet_inches(room)} between roof and ceiling line at the {where}: the "
                f"two chords alone need more than {feet_inches(solid)}; lower the ceiling pitch or raise the heel."
            )
        stop_on(problems)

    @property
    def chords_part(self) -> bool:
        """True where there is space between the chords under the ridge and at the ceiling's apex."""
        _, room, solid = self._tightest()
        return room > solid

    def _tightest(self) -> tuple[str, float, float]:
        """Where the chords have least room, the plumb depth between the lines there, and what both chords need of it."""
        places = []
        for where, x in (("ridge", self.peak[0]), ("ceiling's apex", self.left.wall.inside(self.left.apex))):
            reach = [(end, abs(x - end.wall.x) - 1e-9) for end in self.ends]  # only the chords that come this far
            top = max(geo.plumb_depth(self.chord_depth, end.roof.slope) for end, far in reach if far <= end.run)
            bottom = max(
                geo.plumb_depth(self.bottom_depth, end.ceiling.slope)  # type: ignore[union-attr]
                for end, far in reach
                if far <= end.apex
            )
            places.append((where, self.roof_at(x) - self.ceiling_at(x), float(top + bottom)))
        return min(places, key=lambda place: place[1] - place[2])

    def ceiling_at(self, x: float) -> float:
        """Height of the ceiling line over x: the lower of the two."""
        left, right = self.left.ceiling, self.right.ceiling
        assert left is not None and right is not None
        return min(left.at(x), right.at(x))

    def symbols(self, end: str = "left") -> dict[str, Any]:
        one: End = getattr(self, end)
        assert one.ceiling is not None
        low = min(self.left.plate, self.right.plate)
        return {
            **super().symbols(end),
            "d_t": self.chord_depth,
            "d_b": self.bottom_depth,
            "c": abs(one.ceiling.slope),
            "start": one.start,
            "apex": one.apex,
            "ceiling": self.ceiling_at(self.peak[0]) - low,
        }

    def jogged(self, by: Given, bearing: Given | None = None, end: str = "left", eave: str = "straight") -> ScissorBay:
        """The short truss where a wall is set in by ``by`` inches (negative: out) under the same roof and ceiling lines.

        ``bearing`` is the new wall's (None: as it was); ``eave`` "straight" keeps the fascia's line, so the overhang
        grows by the jog, "stepped" keeps the overhang.  The plate goes where the ceiling line needs it.
        InputError past the ridge or the ceiling's apex, and where no heel or no eave is left.
        """
        return self.with_(jogs=(*self.jogs, Jog(end, by, bearing, eave)))  # type: ignore[arg-type]

    def _move(self, jog: Jog) -> None:
        """Move a wall of this (new) bay under its lines."""
        old: End = getattr(self, jog.end)
        assert old.ceiling is not None
        wall, problems = old.wall, []
        bearing = wall.bearing if jog.bearing is None else jog.bearing
        overhang = wall.overhang + (jog.by if jog.eave == "straight" else 0.0)
        start = bearing if self.ceiling_from == "inside" else 0.0
        said = f"Wall set in {feet_inches(jog.by)}"
        if jog.by + bearing >= min(old.apex, old.run):
            problems.append(
                f"{said}: the bearing must end before the ridge and the ceiling's apex, {feet_inches(min(old.apex, old.run))} in."
            )
        if overhang < 0:
            problems.append(f"{said} under a straight eave: at most {feet_inches(wall.overhang)} out, the overhang.")
        stop_on(problems)
        x = wall.inside(jog.by)
        moved = Wall(x, old.ceiling.at(wall.inside(jog.by + start)), bearing, overhang, wall.side)
        heel = old.roof.at(x) - moved.plate
        if heel <= 0:
            problems.append(f"{said}: the heel would be {feet_inches(heel)}; it must be more than 0.")
        stop_on(problems)
        put(
            self,
            **{jog.end: replace(old, wall=moved, heel=heel, run=old.run - jog.by, apex=old.apex - jog.by, start=start)},
        )

    def with_(self, **changes: Any) -> ScissorBay:
        """The same bay with some inputs changed."""
        made = _inputs(self)
        made["heel"] = made.pop("heel_given")
        return ScissorBay(**{**made, **changes})


def _inputs(bay: RafterBay | ScissorBay) -> dict[str, Any]:
    return {f.name: getattr(bay, f.name) for f in fields(bay) if f.compare}
