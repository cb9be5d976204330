"""The two bays.  A rafter bay *sets* the roof lines: depth, pitch and seat give the heel.  A scissor bay *takes* a heel
and adds ceiling lines.  Every reading is read off those lines.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from typing import Any, TypeVar

import numpy as np

from rooflab.base import geometry as geo
from rooflab.base.geometry import Truth
from rooflab.base.inputs import INPUTS, Ends, Length, must_be, pair, read_ends, read_size, read_word, stop_on
from rooflab.base.measure import feet_inches, pitch_text
from rooflab.base.rows import Symbols

from .planes import (
    Bay,
    End,
    Gable,
    Houses,
    Line,
    ManyHouses,
    OneHouse,
    Rule,
    Wall,
    higher,
    lower,
    pick,
    ridge_at,
    ridge_stands,
    roof_end,
    set_fields,
    unread,
)
from .readings import RafterReadings, ScissorReadings


@dataclass(frozen=True, init=False)
class RafterBay(Bay, RafterReadings):
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
        depth: Length | None = None,
        plate: Any = 0,
        rounded: bool = False,
    ) -> None:
        must_be(gable, Gable, "Gable")
        must_be(rounded, bool, "Rounded")
        problems: list[str] = []
        thickness, nominal = (1.5, 0.0) if depth is not None else read_size("lumber", lumber, problems)
        own = nominal if depth is None else INPUTS["depth"].read(depth, problems)
        bare = ridge is None or (isinstance(ridge, str) and ridge == "none")
        board = (0.0, 0.0) if bare else read_size("ridge", ridge, problems)
        seats = gable.bearing if seat is None else read_ends("seat", seat, problems)
        offset = read_ends("plate", plate, problems)
        stop_on(problems)
        set_fields(
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
        )
        self._draw(OneHouse())

    def _draw(self, houses: Houses) -> None:
        """Derive both ends' heels and roof lines from the inputs."""
        gable, board = self.gable, self.ridge_size[0]
        walls, seats, slopes = gable.walls(self.plate), pair(self.seat), gable.slopes
        at = [(wall, seat, m) for wall, seat, m in zip(walls, seats, slopes, strict=True)]
        houses.ask(*(rule for end in at for rule in self._seat_rules(*end)))
        heels: list[Any] = [houses.number(geo.heel(self.depth, m, seat)) for _, seat, m in at]
        if self.rounded:
            heels = [houses.sixteenths(heel) for heel in heels]
        x: Any = houses.number(ridge_at(gable, walls, (heels[0], heels[1])))
        houses.ask(ridge_stands(gable, walls, x, board / 2))
        left, right = (roof_end(w, h, m, x) for w, h, m in zip(walls, heels, slopes, strict=True))
        set_fields(self, left=left, right=right)

    def _seat_rules(self, wall: Wall, seat: float, m: float) -> tuple[Rule, Rule]:
        """A seat is no longer than its bearing, and its birdsmouth leaves wood above it."""

        def named() -> str:
            seats = pair(self.seat)
            return f"Seat {feet_inches(seat)}{'' if seats[0] == seats[1] else f' at the {wall.side} wall'}"

        return (
            Rule(seat <= wall.bearing, lambda: f"{named()}: at most the bearing, {feet_inches(wall.bearing)}."),
            Rule(
                geo.notch(m, seat) < self.depth,
                lambda: (
                    f"{named()}: the birdsmouth would cut through a rafter {feet_inches(self.depth)} deep; at "
                    f"{pitch_text(12 * m)} the seat must stay under "
                    f"{feet_inches(float(geo.seat_at_notch(self.depth, m)))}."
                ),
            ),
        )

    def symbols(self, end: str = "left") -> Symbols:
        """Values of the formulas' symbols at one end, those of rafters among them: D, seat and t, in."""
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


def scissor_ends(
    gable: Gable,
    walls: tuple[Wall, Wall],
    heels: tuple[Any, Any],
    ridge: Any,
    ceiling: tuple[Any, Any],
    ceiling_from: str,
    apex: str,
) -> list[End]:
    """Both ends of a scissor bay from its walls, heels and ceiling pitches: roof lines, ceiling lines, their apex."""
    starts = [wall.inside(wall.bearing if ceiling_from == "inside" else 0.0) for wall in walls]
    lines = [
        Line.through(at, wall.plate, wall.inward * c / 12)
        for at, wall, c in zip(starts, walls, ceiling, strict=True)
    ]
    if apex == "ridge":
        slope = -(lines[0].at(ridge) - walls[1].plate) / (starts[1] - ridge)
        lines[1] = Line.through(starts[1], walls[1].plate, slope)
    level = lines[0].slope == lines[1].slope
    rise, fall = (pick(level, 1.0, abs(line.slope)) for line in lines)  # level lines have no meet
    meet = geo.ridge_x(starts[1] - starts[0], rise, fall, walls[1].plate - walls[0].plate)
    apex_x = pick(level, ridge, meet + starts[0])
    return [
        replace(roof_end(wall, heel, m, ridge), ceiling=line, start=abs(at - wall.x), apex=abs(apex_x - wall.x))
        for wall, heel, m, line, at in zip(walls, heels, gable.slopes, lines, starts, strict=True)
    ]


def ceilings_meet(walls: tuple[Wall, Wall], ceiling: tuple[Any, Any]) -> Rule:
    """The rule that level ceilings lie on plates of one height."""
    level = (ceiling[0] == 0) & (ceiling[1] == 0)
    return Rule(
        np.logical_not(level & (walls[0].plate != walls[1].plate)),
        lambda: (
            f"Ceiling pitch 0 in 12: level ceilings on plates {feet_inches(abs(walls[1].plate - walls[0].plate))} "
            "apart never meet; give a ceiling pitch or level the plates."
        ),
    )


def under_roof(end: End) -> Rule:
    """The rule that the ceiling rises no more than the roof."""
    m, c = abs(end.roof.slope), end.ceiling.slope * end.wall.inward  # type: ignore[union-attr]
    return Rule(
        c <= m, lambda: f"Ceiling pitch {pitch_text(round(12 * c, 4))}: at most the roof pitch, {pitch_text(12 * m)}."
    )


def apex_stands(end: End, span: Any) -> Rule:
    """The rule that the ceiling rises, or lies level, to an apex between the walls."""
    rises = end.ceiling.slope * end.wall.inward >= 0  # type: ignore[union-attr]
    return Rule(
        (end.bearing + 1e-9 < end.apex) & (end.apex <= span) & rises,
        lambda: (
            f"Ceiling apex {feet_inches(end.apex)} in from the {end.wall.side} wall: it must stand between the "
            "walls; change a ceiling pitch or a plate."
        ),
    )


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
        set_fields(self, by=by, bearing=wide)


@dataclass(frozen=True, init=False)
class ScissorBay(Bay, ScissorReadings):
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
    heel_input: Ends
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
        set_fields(
            self,
            gable=gable,
            ceiling_pitch=ceiling,
            heel_input=heels,
            chord=chord,
            bottom_chord=bottom_chord,
            plate=offset,
            ceiling_from=ceiling_from,
            apex=apex,
            jogs=jogs,
            chord_depth=top,
            bottom_depth=bottom,
        )
        self._draw(OneHouse())

    def _draw(self, houses: Houses) -> None:
        """Derive both ends' roof and ceiling lines from the inputs, and move the walls that are set in."""
        gable, walls = self.gable, self.gable.walls(self.plate)
        heels, ceiling = pair(self.heel_input), pair(self.ceiling_pitch)
        x: Any = houses.number(ridge_at(gable, walls, heels))
        houses.ask(ridge_stands(gable, walls, x))
        if self.apex == "free":  # held under the ridge, the right ceiling line is the one that gets there
            houses.ask(ceilings_meet(walls, ceiling))
        left, right = scissor_ends(gable, walls, heels, x, ceiling, self.ceiling_from, self.apex)
        set_fields(self, left=left, right=right)
        for jog in self.jogs:
            self._move(jog)
        span = self.right.wall.x - self.left.wall.x  # of the walls as they stand now
        houses.ask(*(rule for end in self.ends for rule in (under_roof(end), apex_stands(end, span))))
        houses.ask(Rule(self.chords_part, self._no_room))

    @property
    def chords_part(self) -> bool:
        """True where there is space between the chords under the ridge and at the ceiling's apex."""
        (_, room, solid), (_, at_apex, both) = self._places()
        return (room > solid) & (at_apex > both)

    def _no_room(self) -> str:
        """A sentence on where the chords have least room, how much, and what both need there."""
        where, room, solid = min(self._places(), key=lambda place: place[1] - place[2])
        return (
            f"Ceiling pitch with this heel leaves {feet_inches(room)} between roof and ceiling line at the {where}: "
            f"the two chords alone need more than {feet_inches(solid)}; lower the ceiling pitch or raise the heel."
        )

    def _places(self) -> list[tuple[str, Any, Any]]:
        """Under the ridge and at the ceiling's apex: the plumb depth between the lines, what both chords need, in."""
        places = []
        for where, x in (("ridge", self.peak[0]), ("ceiling's apex", self.left.wall.inside(self.left.apex))):
            solid = []
            for deep, lines in (
                (self.chord_depth, [(end.roof, end.run) for end in self.ends]),
                (self.bottom_depth, [(end.ceiling, end.apex) for end in self.ends]),
            ):  # only the chords that come this far count
                depths = [
                    pick(abs(x - end.wall.x) - 1e-9 <= reach, geo.plumb_depth(deep, line.slope), 0.0)  # type: ignore
                    for end, (line, reach) in zip(self.ends, lines, strict=True)
                ]
                solid.append(higher(*depths))
            places.append((where, self.roof_at(x) - self.ceiling_at(x), solid[0] + solid[1]))
        return places

    def ceiling_at(self, x: float) -> float:
        """Height of the ceiling line over x, in: the lower of the two."""
        left, right = self.left.ceiling, self.right.ceiling
        assert left is not None and right is not None
        return lower(left.at(x), right.at(x))

    def symbols(self, end: str = "left") -> Symbols:
        """Values of the formulas' symbols at one end, those of trusses among them: ceiling slope, chords, in."""
        common = super().symbols(end)
        one: End = getattr(self, end)
        assert one.ceiling is not None
        low = lower(self.left.plate, self.right.plate)
        return {
            **common,
            "d_t": self.chord_depth,
            "d_b": self.bottom_depth,
            "c": abs(one.ceiling.slope),
            "start": one.start,
            "apex": one.apex,
            "ceiling": self.ceiling_at(self.peak[0]) - low,
        }

    def jogged(
        self, by: Length, bearing: Length | None = None, end: str = "left", eave: str = "straight"
    ) -> ScissorBay:
        """The short truss on a wall set in by ``by`` inches (negative: out) under the same roof and ceiling lines.

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
        said = f"Wall set {'in' if jog.by >= 0 else 'out'} {feet_inches(abs(jog.by))}"
        if jog.by + bearing >= min(old.apex, old.run):
            problems.append(
                f"{said}: the bearing must end before the ridge and the ceiling's apex, "
                f"{feet_inches(min(old.apex, old.run))} in."
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
        set_fields(
            self,
            **{jog.end: replace(old, wall=moved, heel=heel, run=old.run - jog.by, apex=old.apex - jog.by, start=start)},
        )

    def with_(self, **changes: Any) -> ScissorBay:
        """The same bay with some inputs changed."""
        made = _inputs(self)
        made["heel"] = made.pop("heel_input")
        return ScissorBay(**{**made, **changes})


def _inputs(bay: RafterBay | ScissorBay) -> dict[str, Any]:
    return {f.name: getattr(bay, f.name) for f in fields(bay) if f.compare}


AnyBay = TypeVar("AnyBay", RafterBay, ScissorBay)


def bays_of_many(kind: type[AnyBay], **inputs: Any) -> tuple[AnyBay, Truth]:
    """A bay of many houses at once, from its inputs as numbers or arrays, and where a single house would be refused."""
    bay, houses = unread(kind, **inputs), ManyHouses()
    bay._draw(houses)
    return bay, houses.unbuildable
