"""Where the trade words stand on one section: a small house with both bays, and a place on it for each word.

The eave is the one of the lessons' house; the house itself is narrow, so that heel and seat can be seen.
"""

from __future__ import annotations

from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import pair
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Gable
from rooflab.house.seam import SUBFASCIA, tail_and_soffit

Point = tuple[float, float]
LOW = 15.0  # how far the walls are shown below their plates, in
SET_IN = 15.0  # of the moved wall that is drawn faintly, in
AIR, SHIM, STEP = 1.0, 0.75, 1.0  # an air space, a shim and a step, large enough to be seen, in


class TermSpot(NamedTuple):
    """A place on the section, in model inches.

    ``kind`` is a measure ("plumb", "level", "along" the slope, "square" to the edge), a "line" or an "arrow", an
    outline ("area"), a "point", or whole "parts" that are drawn and named in ``parts``; ``at`` is what a leader
    points to.  ``faint`` ones are not part of the section and are always drawn faintly.
    """

    kind: str
    points: tuple[Point, ...]
    at: Point
    parts: tuple[str, ...] = ()
    faint: bool = False


MEASURES = ("plumb", "level", "along", "square")


def example_house() -> tuple[RafterBay, ScissorBay]:
    """Both bays of the small house.

    >>> [bay.left.heel for bay in example_house()]
    [8.8125, 8.8125]
    """
    gable = Gable("11'", 8, "5 1/2", 14)
    rafters = RafterBay(gable, "2x10", "3 1/2").handed_over()
    return rafters, ScissorBay(gable, 4, rafters.left.heel)


def jog_plate_rise(scissor: ScissorBay) -> float:
    """How far the plate of the moved wall stands above the others, in."""
    short = scissor.jogged(SET_IN, end="right")
    return short.right.plate - scissor.right.plate


def _between_points(kind: str, a: Point, b: Point, part: float = 0.5, faint: bool = False) -> TermSpot:
    """A measure or a line from ``a`` to ``b``, pointed to at a part of its length."""
    return TermSpot(kind, (a, b), (a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])), faint=faint)


def _area(*points: Point, faint: bool = False) -> TermSpot:
    middle = tuple(sum(values) / len(points) for values in zip(*points, strict=True))
    return TermSpot("area", points, (middle[0], middle[1]), faint=faint)


def _point(x: float, y: float) -> TermSpot:
    return TermSpot("point", ((x, y),), (x, y))


def _member_parts(x: float, y: float, *names: str) -> TermSpot:
    return TermSpot("parts", (), (x, y), names)


def term_spots(rafters: RafterBay, scissor: ScissorBay) -> dict[str, TermSpot]:
    """Every word's place, by the word; x from the outside face of the left wall, y from its plate."""
    return _rafter(rafters, scissor) | _truss(scissor) | _wall_shapes(rafters, scissor) | _more(rafters, scissor)


def _rafter(rafters: RafterBay, scissor: ScissorBay) -> dict[str, TermSpot]:
    left, t = rafters.left, rafters.ridge_size[0]
    m, heel, o, run = left.roof.slope, left.heel, left.overhang, left.run
    k, deep, seat = float(geo.stretch(m)), rafters.plumb_depth, pair(rafters.seat)[0]
    tail, cut = tail_and_soffit(rafters, scissor), m * seat / (1 + m * m)
    assert tail is not None
    soffit = tail.soffit

    def top(x: float, off: float = 0.0) -> Point:
        """A point of the roof line, moved ``off`` square to it."""
        return x - off * m / k, heel + m * x + off / k

    def under(x: float) -> Point:
        return x, heel + m * x - deep

    mid, third, collar = 0.56 * run, 0.34 * run, under(0.79 * run)[1] - 1
    square = top(third), (third + rafters.depth * m / k, heel + m * third - rafters.depth / k)
    return {
        "run": _between_points("level", (0.0, -LOW - 4), (run, -LOW - 4)),
        "rise": _between_points("plumb", (-o - 7, heel), (-o - 7, heel + m * run)),
        "pitch": TermSpot("line",
                          (top(0.62 * run, 2), (0.62 * run + 12, top(0.62 * run, 2)[1]), top(0.62 * run + 12, 2)),
                          (0.62 * run + 8, top(0.62 * run, 2)[1])),
        "slope": TermSpot("line", (top(0.05 * run), top(0.2 * run)), top(0.12 * run)),
        "level": _between_points("line", (left.bearing, 0.0), (run, 0.0), 0.45, True),
        "roof plane": TermSpot("line", (top(-o), top(run), (2 * run + o, heel - m * o)), top(0.74 * run)),
        "peak": _point(*top(run)),
        "rafter": _member_parts(mid, under(mid)[1] + 4, "rafter"),
        "depth": _between_points("square", *square),
        "plumb depth": _between_points("plumb", under(0.47 * run), top(0.47 * run)),
        "building line": _point(*top(0.0)),
        "corner": _point(0.0, 0.0),
        "birdsmouth": _area((0.0, -m * seat), (0.0, 0.0), (seat, 0.0)),
        "seat": _between_points("level", (0.0, 0.0), (seat, 0.0)),
        "heel cut": _between_points("plumb", (0.0, -m * seat), (0.0, 0.0)),
        "notch": _between_points("square", (0.0, 0.0), (cut * m, -cut)),
        "heel": _between_points("plumb", (0.0, 0.0), (0.0, heel)),
        "ridge board": _member_parts(run, rafters.ridge_top - 8, "ridge board"),
        "line length": _between_points("along", top(0.0, 3), top(run, 3), 0.3),
        "cut length": _between_points("along", top(-o, 5.5), top(run - t / 2, 5.5), 0.5),
        "stock length": _between_points("along", top(-o - rafters.depth * m / k, 8), top(run - t / 2, 8), 0.38),
        "ridge shortening": _between_points("along", top(run - t / 2, 5.5), top(run, 5.5)),
        "tail": _area(under(-o), under(0.0), top(0.0), top(-o)),
        "overhang": _between_points("level", (-o, -LOW - 4), (0.0, -LOW - 4)),
        "level cut": _between_points("level", (-o, soffit), (-o + tail.level_cut, soffit)),
        "rafter tie": _between_points("line", (left.bearing - 2, 6.0), (run, 6.0), 0.4, True),
        "collar tie": _between_points("line", (0.79 * run, collar), (run, collar), 0.4, True),
        "thrust": TermSpot("arrow", ((-1.0, -3.0), (-9.0, -3.0)), (-7.0, -3.0), faint=True),
        "clear height": _between_points("plumb", (0.0, 0.0), (0.0, heel - AIR * k), 0.35),
        "tail cut": _between_points("line", under(-o), top(-o), 0.25),
        "air space": _between_points("square", top(11.0), top(11.0, -AIR)),
        "reach": _between_points("line", (seat / 2, -LOW - 8), (run, -LOW - 8), 0.35, True),
        "framing square": TermSpot("line",
                                   (top(0.13 * run), (0.13 * run + 12, top(0.13 * run)[1]), top(0.13 * run + 12)),
                                   (0.13 * run + 6, top(0.13 * run)[1])),
    }  # fmt: skip


def _truss(scissor: ScissorBay) -> dict[str, TermSpot]:
    end = scissor.right
    assert end.ceiling is not None
    far, run, heel, o = end.wall.x, end.run, end.heel, end.overhang
    m, c, b = -end.roof.slope, -end.ceiling.slope, end.bearing
    low = float(geo.plumb_depth(scissor.chord_depth, m))
    ceiling, peak = scissor.ceiling_rise, scissor.height

    def top(x: float, off: float = 0.0) -> Point:
        k = float(geo.stretch(m))
        return far - x + off * m / k, heel + m * x + off / k

    def under(x: float) -> Point:
        return far - x, heel + m * x - low

    def floor(x: float, off: float = 0.0) -> Point:
        return far - x, c * (x - end.start) + off

    mid = 0.6 * run
    return {
        "scissor truss": _member_parts(*top(0.9 * run, -1), "top chord", "bottom chord", "web"),
        "top chord": _member_parts(*top(0.36 * run, -1.5), "top chord"),
        "bottom chord": _member_parts(*floor(0.62 * run, 2), "bottom chord"),
        "chords": _member_parts(*top(0.6 * run, -1.5), "top chord", "bottom chord"),
        "web": _member_parts(far - 0.73 * run, floor(0.61 * run)[1] + 16, "web"),
        "king post": _between_points("line", (far - run + 2.5, ceiling + 3), (far - run + 2.5, peak - 5), 0.3),
        "raised heel": _between_points("plumb", (far, 0.0), (far, heel), 0.8),
        "raked plate": _between_points("line", floor(0.42 * run, -1.8), floor(end.apex, -1.8), 0.45, True),
        "window head": _between_points("line", (far - 0.9 * run, -6.0), (far - 0.62 * run, -6.0), 0.6, True),
        "butt cut": _between_points("line", (far, 0.0), (far, 0.5), 0.5),
        "end vertical": _between_points("line", (far - 0.6, floor(0.0, 3.7)[1] + 1.5), (far - 0.6, under(0.0)[1]), 0.5),
        "minimum heel": _between_points("plumb", (far + 2.0, 0.0), (far + 2.0, scissor.minimum_heel), 0.55),
        "space between chords": _between_points("plumb", under(b), (far - b, under(b)[1] - scissor.space_inside)),
        "standard heel": _point(*floor(b + 3, 1.0)),
        "overall height": _between_points("plumb", (far + o + 7, 0.0), (far + o + 7, peak)),
        "ceiling line": _between_points("line", floor(b), floor(end.apex), 0.45),
        "ceiling pitch": TermSpot("line", (floor(mid, -1.5), floor(mid - 12, -1.5)[:1] + floor(mid, -1.5)[1:],
                                       floor(mid - 12, -1.5)), (far - mid + 8, floor(mid, -1.5)[1])),
        "ceiling rise": _between_points("plumb", (far - run + 5, 0.0), (far - run + 5, ceiling), 0.4),
        "depth at the peak": _between_points("plumb", (far - run + 0.8, ceiling), (far - run + 0.8, peak), 0.6),
        "tail corner": _point(*top(-o)),
        "horizontal movement": TermSpot("arrow", ((far + 1.0, -3.0), (far + 9.0, -3.0)), (far + 7.0, -3.0), faint=True),
        "shim": _area((far - b, 0.0), (far, 0.0), (far, SHIM), (far - b, SHIM)),
        "step": _between_points("square", top(0.97 * run), top(0.97 * run, STEP)),
        "taper": _area(top(0.97 * run), top(0.97 * run, STEP), top(0.62 * run)),
        "aim": TermSpot("line", (top(-o, 1.2), top(run, 1.2)), top(0.22 * run, 1.2)),
        "dropped gable end": _between_points("line", top(-o, -2.5), top(run, -2.5), 0.47),
    }  # fmt: skip


def _wall_shapes(rafters: RafterBay, scissor: ScissorBay) -> dict[str, TermSpot]:
    left, end = rafters.left, scissor.right
    far, b, o, tail = end.wall.x, end.bearing, end.overhang, tail_and_soffit(rafters, scissor)
    assert tail is not None and end.ceiling is not None
    up, moved = jog_plate_rise(scissor), far - SET_IN
    edge, m = far + o + SUBFASCIA, -end.roof.slope
    ceiling = float(end.ceiling.at(moved))
    return {
        "span": _between_points("level", (0.0, -LOW - 12), (far, -LOW - 12)),
        "plate": _member_parts(far - b / 2, -0.75, "truss wall plate", "truss wall lower plate"),
        "stud": _member_parts(2.0, -LOW + 3, "rafter wall stud"),
        "bearing": _between_points("level", (far - b, 0.0), (far, 0.0), 0.25),
        "bearing line": _between_points("line", (far, -LOW), (far, 1.0), 0.3),
        "outside face": _between_points("line", (0.0, -LOW), (0.0, 1.0), 0.35),
        "inside face": _between_points("line", (far - b, -LOW), (far - b, 1.0), 0.5),
        "seam": _between_points("line", (far / 2, -LOW), (far / 2, scissor.height + 8), 0.2, True),
        "sheathing": _member_parts(-10.0, left.heel - 10 * left.roof.slope + 0.4, "rafter sheathing"),
        "subfascia": _member_parts(edge - 0.7, end.heel - m * (o + 1) - 3.5, "truss subfascia"),
        "soffit": _between_points("line", (far, tail.soffit), (far + o, tail.soffit), 0.4, True),
        "wall jog": _area((moved - b, up), (moved, up), (moved, -LOW), (moved - b, -LOW), faint=True),
        "set in": _between_points("level", (moved, -LOW - 4), (far, -LOW - 4)),
        "short truss": _point(moved, end.heel + m * SET_IN - 1.5),
        "stand-off": _between_points("plumb", (moved - b, 0.0), (moved - b, up), 0.6),
        "ceiling break": _point(moved, ceiling),
        "straight eave": _point(far + o, end.heel - m * o - 4.2),
        "stepped eave": _point(far + o - SET_IN, end.heel - m * (o - SET_IN)),
        "return wall": _between_points("line", (moved, -0.6 * LOW), (far - b, -0.6 * LOW), 0.6, True),
        "header": _point(moved - b / 2, up - 1.5),
    }


def _more(rafters: RafterBay, scissor: ScissorBay) -> dict[str, TermSpot]:
    left, end = rafters.left, scissor.right
    m, heel, run, far, b = left.roof.slope, left.heel, left.run, end.wall.x, end.bearing
    deep, ceiling, peak = rafters.plumb_depth, scissor.ceiling_rise, scissor.height
    k = float(geo.stretch(m))

    def down(x: float) -> TermSpot:
        y = heel + m * x + 3
        return TermSpot("arrow", ((x, y + 8), (x, y)), (x, y + 7), faint=True)

    block = heel - AIR * k
    return {
        "plumb": _between_points("line", (0.86 * run, 0.0), (0.86 * run, heel + 0.86 * m * run - deep), 0.3, True),
        "dead load": down(0.16 * run),
        "roof live load": down(0.3 * run),
        "snow": down(0.44 * run),
        "projection": _between_points("level", (0.0, peak + 5), (run, peak + 5), 0.12, True),
        "moment": _point(0.52 * run, heel + 0.52 * m * run - deep),
        "shear": _point(3.5, 0.4),
        "ridge beam": _point(run, rafters.ridge_top - 11),
        "post": _between_points(
            "line", (run - 2.5, -LOW), (run - 2.5, rafters.ridge_top - rafters.ridge_size[1]), 0.08, True
        ),
        "block": _area((far - 1.5, 0.0), (far, 0.0), (far, block), (far - 1.5, block + 1)),
        "attic wall": _area((b, 0.0), (run, ceiling), (far - b, 0.0)),
    }
