"""Scenes of forces on a rafter pair: its push at the plates, the tie or the ridge beam that takes it, and the post.

Arrows are forces, each with its word and number; line styles double what colours say.  Walls lean and the ridge sinks
as far as what holds the pair lets them, drawn larger by a round number that the picture says; dotted is as built.  An
early check for discussion.
"""

from __future__ import annotations

from typing import Any

from rooflab.base import geometry as geo
from rooflab.base.measure import feet_inches, on_center
from rooflab.checks.loads import CAUTION
from rooflab.checks.spread import PairMoves, pair_moves, plates_give
from rooflab.checks.thrust import LOWEST_TIE
from rooflab.draw.members import Part, parts_drawing, rafter_parts, ridge_board
from rooflab.draw.scene import Dim, Note, Point, Scene, Shape, Slope, Stroke, Title, cut
from rooflab.house.bays import RafterBay

from .loads import CAUTIOUS, arrow
from .parts import rectangle_shape, rise_text, times_larger

HOLDS = ("tie", "ridge beam", "nothing")
UNDER = 26.0  # how far the picture goes down below the plates, in
LEAN, SINK = 16, 10  # parts of the span: how far at most plates and ridge are drawn from where they were built
PIECES = 16  # of an edge that is drawn bent
SEEN = 0.5  # in of the drawing that can be seen
FIRST = "That is the first movement: without creep, and without what nailed joints give. "
SMALL = 0.01  # in of movement that is not told apart


def lb(force: float, unit: str = "lb") -> str:
    """A force as it is printed.

    >>> lb(2236.07)
    '2,236 lb'
    """
    return f"{force:,.0f} {unit}"


def pair_forces(bay: RafterBay, values: dict[str, Any], hold: str, modulus: float) -> Scene:
    """A rafter pair with what it does to its walls, held by a tie, by a ridge beam or by nothing.

    ``values`` are the readings of ``thrust.pair_thrust``, in lb, with ``post`` and ``beam`` (in) for a ridge beam;
    ``modulus`` is E of the rafters' grade, psi.
    """
    left, right, (x, peak), wide = bay.left, bay.right, bay.peak, bay.gable.span
    low = min(left.plate, right.plate) - UNDER
    whole = [*rafter_parts(bay, "left"), *rafter_parts(bay, "right"), *ridge_board(bay, whole=True)]
    parts: list[Part] = [part for part in cut(whole, ((0.0, -1.0, -low),))]
    notes: list[Note] = []
    moves = _moves(bay, values, hold, modulus)
    times = min(times_larger(moves.spread, wide / LEAN), times_larger(moves.drop, wide / SINK)) if moves else 0
    if moves and times:
        parts = [_move_part(bay, part, moves, times, low) for part in parts]
        if times * moves.drop > SEEN:
            parts += _as_built(bay, low)
    title = {
        "tie": f"TIED: the tie pulls {lb(values['tie_force'])} (tension)",
        "ridge beam": f"RIDGE BEAM: {lb(values['ridge_load'], 'plf')} over {feet_inches(values['beam'])}",
        "nothing": f"NOTHING TIES IT: each plate is pushed out by {lb(values['thrust'])}",
    }[hold]
    larger = f"LARGER: movement drawn {times} times as large" if times > 1 else ""
    said = _movement_words(moves, times, hold)
    long, head = wide / 11, wide / 45
    if hold == "ridge beam":
        parts += _ridge_beam(bay, low)
        notes.append(Note("post", f"post at the seam {lb(values['post'])}", (x + 3, low + 3), "start"))
    else:
        if hold == "tie":
            tie = _tie(bay, values)
            if moves and times:
                tie = _move_part(bay, tie, moves, times, low)
            parts.append(tie)
            notes.append(Note("tie", f"tension {lb(values['tie_force'])}", (x, tie.points[0][1] + 2), "middle"))
        for end, sign in ((left, -1), (right, 1)):
            out = times * moves.at(-end.overhang)[0] if moves else 0.0
            reach = end.wall.inside(-end.overhang - 6 - out)
            parts += arrow("push", (reach, end.plate + 2), (reach + sign * long, end.plate + 2), "push", head)
            if end is left:
                notes.append(Note("push", f"push {lb(values['thrust'])}", (reach, end.plate + 4), "end"))
    load = f"{values['line_load']:.0f} plf on the pair, {on_center(values['s'])}"
    shapes, strokes = parts_drawing(parts)
    m = abs(left.roof.slope)
    up = float(geo.plumb_depth(bay.gable.sheathing, m))
    return Scene(
        "Forces of a rafter pair",
        f"{title}. {load}. Span {feet_inches(wide)}. {said}. {larger and f'{larger}. '}"
        f"{FIRST if moves else ''}{CAUTION}",
        shapes,
        strokes,
        (
            Dim("span", f"{feet_inches(wide)} out to out; {load}", (0.0, low), (wide, low), "bottom", 1),
            Dim("rise", f"rise {feet_inches(values['h'])}", (wide, left.plate + left.heel), (x, peak), "right", 1),
        ),
        (Slope("roof pitch", rise_text(m), (0.0, left.roof.at(0) + up), m, True, (x, peak + up)),),
        (
            Title("what", title, "left"),
            *([Title("larger", larger, "right")] if larger else []),
            Title("moves", said, "left"),
            CAUTIOUS,
        ),
        ("what", "span", *(note.name for note in notes)),
        notes=tuple(notes),
    )


# --- movement --------------------------------------------------------------------------------------------------------


def _moves(bay: RafterBay, values: dict[str, Any], hold: str, modulus: float) -> PairMoves | None:
    """How far what holds the pair lets it move; None where that is not known, and where nothing pushes."""
    if hold == "nothing":
        return plates_give(bay) if bay.equal_ends else None
    return pair_moves(bay, values["line_load"], values["tie"], modulus) if hold == "tie" else None


def _movement_words(moves: PairMoves | None, times: int, hold: str) -> str:
    """What the picture says about the movement that it shows, or why it shows none."""
    if hold == "ridge beam":
        return "No push at the plates; how far the beam bends is not drawn"
    if moves is None:
        return "Movement is not drawn: the two ends differ"
    if not times:
        return "Movement is not drawn: it is more than can be shown"
    if hold == "nothing":
        return f"If each plate gives 1 in, the ridge sinks {moves.drop:.2f} in; how far they go is not computed"
    if moves.drop < SMALL:
        return f"Plates and ridge move less than {SMALL:g} in"
    return f"The plates go {moves.spread:.2f} in out, the ridge {moves.drop:.2f} in down; dotted: as built"


def _move_part(bay: RafterBay, part: Any, moves: PairMoves, times: int, low: float) -> Any:
    """A part where it goes, movement drawn ``times`` as large: walls lean from below, rafters turn and bend."""
    points = part.points
    if part.name.startswith("rafter wall"):
        end = bay.left if min(x for x, _ in points) < bay.peak[0] else bay.right
        lean = -end.wall.inward * times * moves.spread / (end.plate - low)
        return part._replace(points=tuple((x + lean * (y - low), y) for x, y in points))
    if part.name == "ridge board":
        return part._replace(points=tuple((x, y - times * moves.drop) for x, y in points))
    fine = _in_pieces(points, isinstance(part, Shape)) if moves.bent and part.name != "tie" else points
    return part._replace(points=tuple(_there(bay, point, moves, times) for point in fine))


def _there(bay: RafterBay, point: Point, moves: PairMoves, times: int) -> Point:
    (x, y), end = point, bay.left if point[0] <= bay.peak[0] else bay.right
    out, down = moves.at((x - end.wall.x) * end.wall.inward)
    return x - end.wall.inward * times * out, y - times * down


def _in_pieces(points: tuple[Point, ...], closed: bool) -> tuple[Point, ...]:
    """An outline with each of its edges in short pieces, so that it can bend."""
    ends = (*points[1:], points[0]) if closed else points[1:]
    pieces = [
        (xa + part * (xb - xa) / PIECES, ya + part * (yb - ya) / PIECES)
        for (xa, ya), (xb, yb) in zip(points, ends, strict=False)
        for part in range(PIECES)
    ]
    return tuple(pieces if closed else [*pieces, points[-1]])


def _as_built(bay: RafterBay, low: float) -> list[Part]:
    """Roof line and walls as they were built."""
    roof = [(end.wall.inside(-end.overhang), end.plate + end.heel - abs(end.roof.slope) * end.overhang)
            for end in bay.ends]  # fmt: skip
    lines: list[Part] = [Stroke("as built", (roof[0], bay.peak, roof[1]), "guide")]
    for end in bay.ends:
        for x in (end.wall.x, end.wall.inside(end.bearing)):
            lines.append(Stroke("as built", ((x, low), (x, end.plate)), "guide"))
    return lines


def _tie(bay: RafterBay, values: dict[str, Any]) -> Stroke:
    """The tie across the bay from rafter to rafter, the thicker one where it stands above the lower third."""
    up = values["tie"]
    y = bay.left.plate + (up or 3.0)  # a tie on the plates lies on them
    reach = [end.wall.inside(max((y - end.plate - end.heel) / abs(end.roof.slope), 0.0) + 5) for end in bay.ends]
    low = up / values["h"] <= LOWEST_TIE + 1e-9
    return Stroke("tie", ((reach[0], y), (reach[1], y)), "tension 3" if low else "tension 4")


def _ridge_beam(bay: RafterBay, low: float) -> list[Part]:
    """A ridge beam under the peak and its post at the seam."""
    x, top = bay.peak[0], bay.peak[1] - float(geo.plumb_depth(bay.depth, bay.left.roof.slope))
    beam = rectangle_shape("ridge beam", x - 2.6, top - 14, x + 2.6, top, "board")
    post = rectangle_shape("post", x - 2, low, x + 2, top - 14, "wall")
    return [post, beam]
