"""Members to their dressed size with true cuts, in model inches.

A member is the strip between two lines, clipped by half-planes; it is drawn for a left end and mirrored for a right.
"""

from __future__ import annotations

from rooflab.base import geometry as geo
from rooflab.base.inputs import pair
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Bay, End
from rooflab.house.seam import SUBFASCIA

from .scene import Point, Shape, Stroke, clip

WALL = 30.0  # how far a section shows the walls below their plates, in
BOARD = 1.5  # thickness of one top plate, in
HAIR = 1e-6  # in: an overhang of no more has no tail
Part = Shape | Stroke


def parts_drawing(parts: list[Part]) -> tuple[tuple[Shape, ...], tuple[Stroke, ...]]:
    """Shapes and strokes of a list of parts."""
    shapes = tuple(part for part in parts if isinstance(part, Shape))
    return shapes, tuple(part for part in parts if isinstance(part, Stroke))


def points_at(end: End, points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Points given in from the outside face and up from the plate, where the end stands."""
    return tuple((end.wall.inside(x), end.plate + y) for x, y in points)


def rafter_outline(bay: RafterBay, side: str = "left") -> tuple[Point, ...]:
    """The rafter with its plumb cuts at tail and ridge board and its birdsmouth."""
    end: End = getattr(bay, side)
    m, seat = abs(end.roof.slope), pair(bay.seat)[side == "right"]
    deep = float(geo.plumb_depth(bay.depth, m))
    tail, ridge, top = -end.overhang, end.run - bay.ridge_size[0] / 2, end.heel

    def under(x: float) -> Point:
        return x, end.heel + m * x - deep

    below = (under(tail), under(0.0)) if end.overhang > HAIR else ()
    bottom = (*below, (0.0, 0.0), (seat, 0.0), under(ridge))
    return points_at(end, (*bottom, (ridge, top + m * ridge), (tail, top + m * tail)))


def chord_outlines(
    bay: ScissorBay, side: str = "left"
) -> tuple[tuple[Point, ...], tuple[Point, ...], tuple[Point, ...]]:
    """Top chord, bottom chord (tapered under the top one where they overlap) and the space between them at the heel."""
    end: End = getattr(bay, side)
    assert end.ceiling is not None
    m, c = abs(end.roof.slope), end.ceiling.slope * end.wall.inward
    thick, under = float(geo.plumb_depth(bay.chord_depth, m)), end.heel - float(geo.plumb_depth(bay.chord_depth, m))
    floor, deep = -c * end.start, float(geo.plumb_depth(bay.bottom_depth, c))
    far = end.run
    top: tuple[Point, ...] = tuple(
        (x, end.heel + m * x - d) for x, d in ((-end.overhang, 0), (far, 0), (far, thick), (-end.overhang, thick))
    )
    bottom: tuple[Point, ...] = tuple(
        (x, floor + c * x + d) for x, d in ((0, 0), (end.apex, 0), (end.apex, deep), (0, deep))
    )
    for plane in ((-m, 1.0, under), (0.0, -1.0, 0.0)):
        bottom = clip(bottom, *plane)
    if under < 0:  # the top chord itself sits on the plate: a level butt
        top = _butt(end, m, under, thick)
    reach = max(18.0, 3 * bay.chord_depth)
    wedge: tuple[Point, ...] = ((0.0, -99.0), (reach, -99.0), (reach, 999.0), (0.0, 999.0))
    for plane in ((-m, 1.0, under), (c, -1.0, -(floor + deep)), (0.0, -1.0, 0.0)):
        wedge = clip(wedge, *plane)
    return points_at(end, top), points_at(end, bottom), points_at(end, wedge)


def _butt(end: End, m: float, under: float, thick: float) -> tuple[Point, ...]:
    """Top chord whose underside would stand below the plate: seated level over the bearing."""
    seat = -under / m
    line = [(x, end.heel + m * x) for x in (-end.overhang, end.run)]
    below = ((0.0, under), (-end.overhang, line[0][1] - thick)) if end.overhang > HAIR else ()
    return line[0], line[1], (end.run, line[1][1] - thick), (seat, 0.0), (0.0, 0.0), *below


def wall(end: End, name: str, depth: float = WALL) -> list[Part]:
    """Double top plate on studs, cut off below."""
    rows = [(0.0, -BOARD), (-BOARD, -2 * BOARD), (-2 * BOARD, -depth)]
    return [
        Shape(f"{name} {part}", points_at(end, ((0, y0), (end.bearing, y0), (end.bearing, y1), (0, y1))), "wall")
        for part, (y0, y1) in zip(("plate", "lower plate", "stud"), rows, strict=True)
    ]


def roof_skin(bay: Bay, end: End, name: str, stop: float, fascia: float = 5.5) -> list[Part]:
    """Sheathing over the member and a subfascia ``fascia`` deep on its tail, square-edged under the plane."""
    m, thick = abs(end.roof.slope), float(geo.plumb_depth(bay.gable.sheathing, abs(end.roof.slope)))
    tail = -end.overhang
    skin = tuple((x, end.heel + m * x + d) for x, d in ((tail, 0), (stop, 0), (stop, thick), (tail, thick)))
    parts: list[Part] = [Shape(f"{name} sheathing", points_at(end, skin), "sheathing")] if thick else []
    if end.overhang:
        out = tail - SUBFASCIA
        top = end.heel + m * out
        board = (tail, top), (out, top), (out, top - fascia), (tail, top - fascia)
        parts.append(Shape(f"{name} subfascia", points_at(end, board), "board"))
    return parts


def ridge_board(bay: RafterBay, whole: bool = False) -> list[Part]:
    """The left half of the ridge board under the peak, or the ``whole`` of it.

    It is square-topped and flush with the left rafters at its face; what would stand over the right roof line is off.
    """
    t, deep = bay.ridge_size
    if not t:
        return []
    x, top, roof = bay.peak[0], bay.ridge_top + bay.left.plate, bay.right.roof
    far = x + t / 2 if whole else x
    outline = (x - t / 2, top - deep), (far, top - deep), (far, top), (x - t / 2, top)
    return [Shape("ridge board", clip(outline, -roof.slope, 1.0, roof.at0), "board")]


def webs(bay: ScissorBay, end: End) -> list[Part]:
    """A few webs, only to say that there are some: the truss designer's."""
    assert end.ceiling is not None
    m, c = abs(end.roof.slope), end.ceiling.slope * end.wall.inward
    under = end.heel - float(geo.plumb_depth(bay.chord_depth, m))
    over = float(geo.plumb_depth(bay.bottom_depth, c)) - c * end.start
    third = end.run / 3
    ends = [(3 * third, 3 * third), (2 * third, 1.5 * third), (2 * third, 3 * third)]
    return [
        Stroke("web", points_at(end, ((top, under + m * top), (low, over + c * low))), "web")
        for top, low in ends
        if under + m * top - over - c * low > 1
    ]


def rafter_parts(bay: RafterBay, side: str = "left") -> list[Part]:
    """Wall, rafter, sheathing and subfascia of one end of a rafter bay."""
    end: End = getattr(bay, side)
    rafter = Shape("rafter", rafter_outline(bay, side), "rafter")
    return [*wall(end, "rafter wall"), rafter, *roof_skin(bay, end, "rafter", end.run)]


def truss_parts(bay: ScissorBay, side: str = "right") -> list[Part]:
    """Wall, chords, the space between them, a few webs, sheathing and subfascia of one end of a scissor bay."""
    end: End = getattr(bay, side)
    top, bottom, wedge = chord_outlines(bay, side)
    parts: list[Part] = [*wall(end, "truss wall"), *webs(bay, end)]
    if len(wedge) > 2 and bay.reading("heel_state", side).value == "raised":
        parts.append(Shape("wedge", wedge, "wedge"))
    return [
        *parts,
        Shape("bottom chord", bottom, "truss"),
        Shape("top chord", top, "truss"),
        *roof_skin(bay, end, "truss", end.run),
    ]
