"""The house in the round: both bays side by side along the ridge, turned to any side; and what a plane across it cuts.

x runs across from the outside face of the left wall, y up from its plate, z along the ridge from the rafter bay's gable
end, in inches.  The rafter bay's own length is no number of a job: six pairs of rafters stand for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import hypot, radians, sin
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.measure import LEVEL, feet_inches
from rooflab.draw.layout import STEPS
from rooflab.draw.members import BOARD, chord_outlines, rafter_outline, ridge_board, webs
from rooflab.draw.placing import Box, spread, within
from rooflab.draw.prisms import Piece, Point3, Prism, Span, Stretch, View, convex_pieces, faces, in_order, paint
from rooflab.draw.scene import Halfplane, Note, Point, Scene, Shape, Stroke, Title, clip, width
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Bay, End
from rooflab.job.jobfile import Job
from rooflab.job.schedule import THICK, TrussType

from .parts import rectangle, rise_text

PAIRS = 6  # of rafters that are drawn
TALL = 54.0  # of the lowest wall that is drawn, in: all are cut off below
GYPSUM = 1.0  # of the ceiling as it is drawn, in
VIEWS: dict[str, tuple[str, float, float]] = {
    "corner": ("From the left", -52.0, 24.0),
    "gable": ("From the gable", 0.0, 8.0),
    "seam": ("Along the seam", -90.0, 22.0),
    "below": ("From below", -38.0, -28.0),
}
"""Named views: label, turn and height in degrees."""
COVERS = {"frame": "Frame", "ceiling": "Ceiling", "roof": "Roof on"}
"""What is on: nothing, the ceiling under the trusses, or the roof over everything."""
FRAME = 840.0, 480.0  # of a usual picture, px


class RoomSpan(NamedTuple):
    """A stretch of the house that a picture can speak of: its name, words, place along the ridge and outermost bay."""

    name: str  # "rafters", or a truss type's mark
    words: str
    start: float
    end: float
    bay: RafterBay | ScissorBay
    places: tuple[float, ...]  # near faces of its members, from the rafter bay's gable end


@dataclass(frozen=True)
class RoundHouse:
    """A job's house along its ridge: the rooms in order, and the walls between and at their ends."""

    rooms: tuple[RoomSpan, ...]

    @property
    def length(self) -> float:
        return self.rooms[-1].end

    @property
    def low(self) -> float:
        """Where the walls are cut off below, in: one level for all."""
        return min(end.plate for room in self.rooms for end in room.bay.ends) - TALL

    @property
    def middle(self) -> tuple[float, float, float]:
        """The middle of the house, in: it stays where it is when the house is turned."""
        left, right = self.rooms[0].bay.ends
        return (left.wall.x + right.wall.x) / 2, (self.low + self.rooms[0].bay.peak[1]) / 2, self.length / 2

    def view(self, name: str = "corner", turn: float = 0.0, up: float = 0.0) -> View:
        """A named view, ``turn`` degrees on and ``up`` degrees higher, at most from straight above or below."""
        _, base, high = VIEWS[name]
        return View(base + turn, min(max(high + up, -90.0), 90.0), self.middle)

    def room(self, name: str) -> RoomSpan:
        return next(one for one in self.rooms if one.name == name)

    def room_at(self, z: float) -> RoomSpan:
        """The room that a plane across the ridge cuts."""
        return next((one for one in self.rooms if z < one.end), self.rooms[-1])


def house_in_round(job: Job) -> RoundHouse:
    """The rooms of a job: rafters first, as they are handed over, then each truss type over its stretch of wall."""
    rafters = job.rafters.handed_over() if job.follows else job.rafters
    return house_of_bays(rafters, job.scissor, job.types, job.rafter_spacing)


def house_of_bays(
    rafters: RafterBay, scissor: ScissorBay, types: Sequence[TrussType] = (), spacing: float = 16.0
) -> RoundHouse:
    """The rooms of two bays; without truss types one stretch of trusses stands for them."""
    places = tuple(i * spacing for i in range(PAIRS))
    end = places[-1] + THICK
    rooms = [RoomSpan("rafters", "rafters, cut on site", 0.0, end, rafters, places)]
    for kind in types or (TrussType("A", 240.0),):
        bay = kind.bay(scissor)
        stands = tuple(end + place for place in kind.places())
        rooms.append(RoomSpan(kind.mark, _type_words(kind), end, end + kind.length, bay, stands))
        end += kind.length
    return RoundHouse(tuple(rooms))


def _type_words(kind: TrussType) -> str:
    return f"{len(kind.places())} trusses {kind.mark}" if kind.positions > 1 else f"truss {kind.mark}"


# --- what stands in a stretch ----------------------------------------------------------------------------------------


def _prisms(name: str, style: str, outline: Iterable[Point], spans: Sequence[Span]) -> list[Prism]:
    return [Prism(name, style, piece, tuple(spans)) for piece in convex_pieces(tuple(outline))] if spans else []


def _walls(ends: Iterable[End], low: float, start: float, end: float) -> list[Prism]:
    """Double top plates on studs."""
    made = []
    for one in ends:
        x0, x1, mid = one.wall.inside(0.0), one.wall.inside(one.bearing), one.plate - 2 * BOARD
        name = f"{one.wall.side} wall"
        made += _prisms(f"{name} plate", "board", _box(x0, mid, x1, one.plate), [(start, end)])
        made += _prisms(name, "wall", _box(x0, low, x1, mid), [(start, end)])
    return made


def _gable_wall(bay: Bay, low: float, start: float, end: float) -> list[Prism]:
    """The wall under a gable end between the side walls, as high as the lower plate and under what hangs lower."""
    if isinstance(bay, RafterBay):
        hangs = [y for board in ridge_board(bay) for _, y in board.points]
    else:
        hangs = [one.plate - GYPSUM for one in bay.ends]
    x0, x1 = (one.wall.inside(one.bearing) for one in bay.ends)
    outline = _box(x0, low, x1, min(*(one.plate for one in bay.ends), *hangs))
    return _prisms("gable wall", "wall", outline, [(start, end)])


def _return_walls(before: Bay, room: RoomSpan, low: float, start: float, end: float) -> list[Prism]:
    """Where a wall is set in or out: the wall that joins both, under the lower plate, the ceiling and the roof."""
    made: list[Prism] = []
    for old, new in zip(before.ends, room.bay.ends, strict=True):
        inward, by = new.wall.inward, (new.wall.x - old.wall.x) * new.wall.inward
        inner = new.wall.inside(new.bearing), old.wall.inside(old.bearing)
        x0, x1 = (old.wall.x, new.wall.x) if by > 0 else inner
        if abs(by) > LEVEL and (x1 - x0) * inward > LEVEL:
            outline = clip(_box(x0, low, x1, min(old.plate, new.plate - GYPSUM)), *_under_chord(room.bay, new))
            made += _prisms(f"{new.wall.side} return wall", "wall", outline, [(start, end)])
    return made


def _under_chord(bay: Bay, one: End) -> Halfplane:
    """What lies under the top chord of a truss."""
    assert isinstance(bay, ScissorBay)
    return -one.roof.slope, 1.0, one.roof.at0 - float(geo.plumb_depth(bay.chord_depth, abs(one.roof.slope)))


def _box(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return rectangle(min(x0, x1), y0, max(x0, x1), y1)


def _members(room: RoomSpan, spans: Sequence[Span]) -> list[Prism]:
    """Rafters with their birdsmouth, or the chords of trusses, on their places."""
    made: list[Prism] = []
    for side in ("left", "right"):
        if isinstance(room.bay, RafterBay):
            made += _prisms(f"{side} rafter", "slim rafter", rafter_outline(room.bay, side), spans)
        else:
            top, bottom, _ = chord_outlines(room.bay, side)
            made += _prisms(f"{side} bottom chord", "slim truss", bottom, spans)
            made += _prisms(f"{side} top chord", "slim truss", top, spans)
            made += _webs(room.bay, side, spans)
    return made


def _webs(bay: ScissorBay, side: str, spans: Sequence[Span]) -> list[Prism]:
    """The few webs that say there are some, lines in the middle of each truss; the one at the ridge is the left's."""
    end: End = getattr(bay, side)
    middles = tuple(((z0 + z1) / 2,) * 2 for z0, z1 in spans)
    found = []
    for web in webs(bay, end):
        p, q = web.points
        if spans and (side == "left" or abs(p[0] - bay.peak[0]) > LEVEL):
            found.append(Prism("web", "web", Piece((p, q), (True, True)), middles))
    return found


def _ridge(bay: RafterBay, start: float, end: float) -> list[Prism]:
    """The ridge board."""
    return [
        one
        for board in ridge_board(bay, whole=True)
        for one in _prisms("ridge board", "board", board.points, [(start, end)])
    ]


def _cover(room: RoomSpan, on: str, start: float, end: float) -> list[Prism]:
    """Sheathing over the roof's members, or the ceiling under the trusses' chords."""
    made: list[Prism] = []
    for one in room.bay.ends:
        m, side = abs(one.roof.slope), one.wall.side
        if on == "roof":
            thick = float(geo.plumb_depth(max(room.bay.gable.sheathing, 0.5), m))
            rows = ((-one.overhang, 0.0), (one.run, 0.0), (one.run, thick), (-one.overhang, thick))
            outline = [(one.wall.inside(x), one.roof.at(one.wall.inside(x)) + up) for x, up in rows]
            made += _prisms(f"{side} roof", "roof", outline, [(start, end)])
        elif on == "ceiling" and one.ceiling is not None:
            low = max(one.start, one.bearing)
            rows = ((low, 0.0), (one.apex, 0.0), (one.apex, -GYPSUM), (low, -GYPSUM))
            outline = [(one.wall.inside(x), one.ceiling.at(one.wall.inside(x)) + up) for x, up in rows]
            below = clip(outline, *_under_chord(room.bay, one))
            made += _prisms(f"{side} ceiling", "ceiling plane", below, [(start, end)])
    return made


@lru_cache(16)
def stretches(job_house: RoundHouse, on: str = "frame") -> tuple[tuple[str, Stretch], ...]:
    """The house in stretches along the ridge, each with the name of its room."""
    made: list[tuple[str, Stretch]] = []
    rooms, low = job_house.rooms, job_house.low
    for i, room in enumerate(rooms):
        bearing = min(max(end.bearing for end in room.bay.ends), (room.end - room.start) / 3)
        marks = [room.start, room.end]
        first, last = i == 0, i == len(rooms) - 1
        steps = [] if first else _steps(rooms[i - 1], room)
        if first or steps:
            marks.insert(1, room.start + bearing)
        if last:
            marks.insert(-1, room.end - bearing)
        for k, (z0, z1) in enumerate(zip(marks, marks[1:], strict=False)):
            gable = (first and k == 0) or (last and k == len(marks) - 2)
            spans = [(max(z, z0), min(z + THICK, z1)) for z in room.places if z < z1 - 1e-9 and z + THICK > z0 + 1e-9]
            prisms = _members(room, spans)
            prisms += _walls(room.bay.ends, low, z0, z1)
            if gable:
                prisms += _gable_wall(room.bay, low, z0, z1)
            if steps and k == 0:
                prisms += _return_walls(rooms[i - 1].bay, room, low, z0, z1)
            if isinstance(room.bay, RafterBay):
                prisms += _ridge(room.bay, z0, z1)
            prisms += _cover(room, on, z0, z1)
            made.append((room.name, Stretch(z0, z1, tuple(prisms))))
    return _joined(made)


def _joined(made: Sequence[tuple[str, Stretch]]) -> tuple[tuple[str, Stretch], ...]:
    """The stretches, with no end where what runs through one runs on in the next."""
    runs = [{_run(one) for one in stretch.prisms if one.spans == (stretch[:2],)} for _, stretch in made]
    joined = []
    for i, (name, stretch) in enumerate(made):
        before, after = (runs[j] & runs[i] if 0 <= j < len(made) else set() for j in (i - 1, i + 1))
        prisms = [one._replace(ends=(_run(one) not in before, _run(one) not in after)) for one in stretch.prisms]
        joined.append((name, stretch._replace(prisms=tuple(prisms))))
    return tuple(joined)


def _run(one: Prism) -> tuple[object, ...]:
    """What tells whether one prism runs on in another: its name and outline."""
    return one.name, *((round(x, 6), round(y, 6)) for x, y in one.piece.points)


def _steps(one: RoomSpan, other: RoomSpan) -> list[str]:
    """The sides on which a wall does not run on from one room to the next."""
    ends = zip(one.bay.ends, other.bay.ends, strict=True)
    return [a.wall.side for a, b in ends if abs(a.wall.x - b.wall.x) > LEVEL]


# --- the picture -----------------------------------------------------------------------------------------------------


def house_scene(
    found: RoundHouse, view: View | None = None, on: str = "frame", lit: str = "", at: float | None = None,
    numbers: bool = False, turned: float | None = None, frame: tuple[float, float] = FRAME,
) -> Scene:  # fmt: skip
    """The house from a side, with the names of its rooms and walls; where a room is ``lit`` the others are pale.

    ``at`` is where a plane cuts across the ridge, in from the rafter bay's gable end: its outline is drawn.  With
    ``numbers`` the main sizes are written to the names.  ``turned`` draws the track of a knob that turns it, and says
    where that stands, in degrees.  ``frame`` is what the picture is drawn for, px: it decides how far names stand off.
    """
    view = view or found.view()
    shapes: list[Shape] = []
    for name, stretch in _from_afar(found, view, on):
        painted = paint([stretch], view)
        shapes += painted if not lit or name == lit else map(_pale, painted)
    strokes = [_seam_line(found, view)] if view.up > 0 else []
    if at is not None:
        strokes.append(_cut_line(found, view, at))
    if turned is not None:
        strokes.append(
            Stroke("turntable", tuple(turned_to(found, view, one) for one in (-HALF_TURN, HALF_TURN)), "guide")
        )
    bare = Scene("The house in the round", describe(found), tuple(shapes), tuple(strokes))
    leaders, notes = _names(found, view, bare.bounds(), numbers, frame)
    must = tuple(note.name for note in notes if note.name.startswith("room") or note.name in ("left wall", "seam"))
    return replace(bare, strokes=(*strokes, *leaders), notes=notes, must=must)


def turned_to(found: RoundHouse, view: View, turn: float) -> Point:
    """Where the knob of the turntable stands for a turn, in degrees: under the house, however it is turned."""
    x, y, z = found.middle
    (_, (_, rises, _)) = view.axes
    low = hypot(x, z) * abs(sin(radians(view.up))) + (y - found.low) * rises
    return TRACK * turn / HALF_TURN * max(found.length, 2 * x), -low


def part_at(found: RoundHouse, view: View, on: str, at: Point) -> str:
    """The name of the room whose face is seen at a point of the picture; "" beside the house."""
    met = ""
    for name, stretch in _from_afar(found, view, on):
        if any(len(face.points) > 2 and within(at, face.points) for face in paint([stretch], view)):
            met = name
    return met


def cut_scene(found: RoundHouse, at: float, on: str = "frame") -> Scene:
    """What a plane across the ridge shows to who looks along it: what it cuts in color, what stands beyond it pale."""
    view, room = View(0.0, 0.0, found.middle), found.room_at(at)
    shapes: list[Shape] = []
    for _, stretch in _from_afar(found, view, on):
        for prism, span in in_order(stretch, view):
            if span[1] > at:
                made = faces(prism._replace(ends=(True, True)), (max(span[0], at), span[1]), view)
                shapes += made if span[0] <= at else map(_pale, made)
    met = any(place <= at < place + THICK for place in room.places)
    what = "through a member" if met else "between two members"
    title = Title("cut", f"CUT {feet_inches(at)} from the gable end: {room.words}, {what}", "left")
    return Scene(title.text, f"{title.text}. {describe(found)}", tuple(shapes), titles=(title,))


def _pale(shape: Shape) -> Shape:
    return shape._replace(style="pale face" if shape.style.endswith(" face") else "pale")


def _from_afar(found: RoundHouse, view: View, on: str) -> list[tuple[str, Stretch]]:
    """The stretches with the names of their rooms, the far ones first."""
    first = 1 if view.toward[2] > 0 else -1
    return sorted(stretches(found, on), key=lambda one: first * one[1].start)


def _seam_line(found: RoundHouse, view: View) -> Stroke:
    """The seam over those slopes of the roof that look this way."""
    (x, y, _), bay, z = view.toward, found.rooms[0].bay, found.rooms[0].end
    points = []
    for end in bay.ends:
        out = end.wall.inside(-end.overhang)
        shows = y - end.roof.slope * x > 0  # a roof line's normal is (-slope, 1)
        points += [(out, end.roof.at(out))] * shows
    left, right = bay.ends
    rows = [*(p for p in points if p[0] < bay.peak[0]), bay.peak, *(p for p in points if p[0] > bay.peak[0])]
    return Stroke("seam", tuple(view.at(*p, z) for p in rows), "seam")


def _cut_line(found: RoundHouse, view: View, at: float) -> Stroke:
    """The outline of the section at a place along the ridge: roof lines and the walls' feet."""
    bay, low = found.room_at(at).bay, found.low
    left, right = bay.ends
    rows = [(left.wall.x, low), (left.wall.x, left.roof.at(left.wall.x)), bay.peak,
            (right.wall.x, right.roof.at(right.wall.x)), (right.wall.x, low)]  # fmt: skip
    points = [view.at(x, y, at) for x, y in rows]
    return Stroke("cut", (*points, points[0]), "cut plane")


HALF_TURN, TRACK = 180.0, 0.4  # degrees; half the track of the turntable, of the length of the house
LETTER, OFF = 14.0, 18.0  # of the names, and how far they stand off, px
ASIDE = 0.5  # of a view along the ridge: there both walls show


def _names(
    found: RoundHouse, view: View, bounds: Box, numbers: bool, frame: tuple[float, float]
) -> tuple[list[Stroke], tuple[Note, ...]]:
    """Names and numbers on leaders: what lies over the eaves above the house, what lies under them below it."""
    (x0, y0, x1, y1), (toward, _, _) = bounds, view.toward
    room = frame[0] - 2 * OFF, frame[1] - 2 * (OFF + 2 * LETTER)
    scale = next((one for one in STEPS if (x1 - x0) * one <= room[0] and (y1 - y0) * one <= room[1]), STEPS[-1])
    inch = 1 / scale  # of the model, for a px
    first = found.rooms[0]
    above: list[Name] = [
        (f"room {one.name}", one.words, (*one.bay.peak, (one.start + one.end) / 2)) for one in found.rooms
    ]
    middle = (first.end + found.length) / 2
    below: list[Name] = [
        (f"{end.wall.side} wall", f"{end.wall.side} wall", (end.wall.x, found.low, middle))
        for end in first.bay.ends
        if -end.wall.inward * toward > -ASIDE
    ]
    left = first.bay.left
    eave = left.wall.inside(-left.overhang)
    if toward < ASIDE:
        below.append(("seam", "seam", (eave, left.roof.at(eave), first.end)))
    gone = (*FROM_ABOVE,) * (view.up < 0) + (*ACROSS,) * (abs(view.toward[2]) < ASIDE / 2)
    more = (_upper_numbers(found), _lower_numbers(found)) if numbers else ((), ())
    strokes, notes = [], []
    for up, names, sizes_there in ((1, above, more[0]), (-1, below, more[1])):
        rows = [one for one in (*names, *sizes_there) if one[0] not in gone]
        while len(rows) > len(names) and sum(width(text, LETTER) + 2 * LETTER for _, text, _ in rows) > frame[0]:
            rows.pop()
        ends = sorted((view.at(*point), name, text) for name, text, point in rows)
        sizes = [(width(text, LETTER) + 2 * LETTER) * inch for _, _, text in ends]
        y = y1 + OFF * inch if up > 0 else y0 - OFF * inch
        if sum(sizes) > 3 * (ends[-1][0][0] - ends[0][0][0]) and up > 0:  # one behind the other
            notes.append(Note("rooms", ", ".join(text for _, text, _ in rows), (ends[0][0][0], y1), "middle", 1))
            continue
        for (end, name, text), u in zip(ends, spread([end[0] for end, _, _ in ends], sizes, 0.0), strict=True):
            strokes.append(Stroke(f"leader {name}", (end, (u, y)), "leader"))
            notes.append(Note(name, text, (u, y), "middle", up))
    return strokes, tuple(notes)


FROM_ABOVE = ("seam", "heel", "wall", "overhang", "roof pitch")  # what cannot be seen from below
ACROSS = ("span", "wall", "overhang", "roof pitch", "ceiling pitch")  # what cannot be seen from the side
Name = tuple[str, str, Point3]
"""A name, its text, and where its leader ends."""


def _upper_numbers(found: RoundHouse) -> list[Name]:
    """Both pitches, each on its plane at the far gable end."""
    left, z = found.rooms[-1].bay.left, found.length
    x = left.wall.x + 0.6 * left.run
    rows = [("roof pitch", f"roof {rise_text(left.roof.slope)} in 12", (x, left.roof.at(x), z))]
    if left.ceiling is not None:
        x = left.wall.x + 0.8 * left.run
        rows.append(("ceiling pitch", f"ceiling {rise_text(left.ceiling.slope)} in 12", (x, left.ceiling.at(x), z)))
    return rows


def _lower_numbers(found: RoundHouse) -> list[Name]:
    """Sizes at the near gable end, and how far a wall is set in."""
    left, right = found.rooms[0].bay.ends
    middle, top = (left.wall.x + right.wall.x) / 2, left.plate + left.heel
    rows: list[Name] = [
        ("span", f"span {feet_inches(right.wall.x)}", (middle, found.low, 0.0)),
        ("heel", f"heel {feet_inches(left.heel)}", (0.0, top, 0.0)),
    ]
    for before, room in zip(found.rooms, found.rooms[1:], strict=False):
        for old, new in zip(before.bay.ends, room.bay.ends, strict=True):
            by = abs(new.wall.x - old.wall.x)
            if by > LEVEL and isinstance(before.bay, ScissorBay):
                at = new.wall.x, found.low, (room.start + room.end) / 2
                rows.append((f"{new.wall.side} set-in", f"set in {feet_inches(by)}", at))
    rows.append(
        ("wall", f"wall {feet_inches(right.bearing)}", (right.wall.inside(right.bearing / 2), right.plate, 0.0))
    )
    if left.overhang:
        tail = left.wall.inside(-left.overhang)
        rows.append(("overhang", f"overhang {feet_inches(left.overhang)}", (tail, left.roof.at(tail), 0.0)))
    return rows


def describe(found: RoundHouse) -> str:
    """What stands along the ridge, in words."""
    rooms = "; ".join(f"{one.words} over {feet_inches(one.end - one.start)}" for one in found.rooms)
    return f"Along the ridge from the rafter bay's gable end: {rooms}. One roof plane runs over all of them."
