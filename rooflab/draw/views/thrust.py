"""Scenes of forces on a rafter pair: its push at the plates, the tie or the ridge beam that takes it, and the post.

Arrows are forces, each with its word and number; line styles double what colours say.  An early check for discussion.
"""

from __future__ import annotations

from typing import Any

from rooflab.base import geometry as geo
from rooflab.base.measure import feet_inches, on_center
from rooflab.checks.loads import CAUTION
from rooflab.checks.thrust import LOWEST_TIE
from rooflab.draw.members import Part, parts_drawing, rafter_parts, ridge_board
from rooflab.draw.scene import Dim, Note, Scene, Slope, Stroke, Title, cut
from rooflab.house.bays import RafterBay

from .loads import CAUTIOUS, LOAD_TEXT, arrow
from .parts import rectangle_shape, rise_text

HOLDS = ("tie", "ridge beam", "nothing")
UNDER = 26.0  # how far a picture with posts goes down below the plates, in


def lb(force: float, unit: str = "lb") -> str:
    """A force as it is printed.

    >>> lb(2236.07)
    '2,236 lb'
    """
    return f"{force:,.0f} {unit}"


def pair_forces(bay: RafterBay, values: dict[str, Any], hold: str) -> Scene:
    """A rafter pair with what it does to its walls, held by a tie, by a ridge beam or by nothing.

    ``values`` are the readings of ``thrust.pair_thrust``, in lb, with ``post`` and ``beam`` (in) for a ridge beam.
    """
    left, right, (x, peak), wide = bay.left, bay.right, bay.peak, bay.gable.span
    low = min(left.plate, right.plate) - (UNDER if hold == "ridge beam" else LOAD_TEXT)
    whole = [*rafter_parts(bay, "left"), *rafter_parts(bay, "right"), *ridge_board(bay)]
    parts: list[Part] = [part for part in cut(whole, ((0.0, -1.0, -low),))]
    notes: list[Note] = []
    titles = {
        "tie": (f"TIED: the tie pulls {lb(values['tie_force'])} (tension)", "the tie takes the push"),
        "ridge beam": (
            f"RIDGE BEAM: {lb(values['ridge_load'], 'plf')} over {feet_inches(values['beam'])}",
            "no push at the plates",
        ),
        "nothing": (f"NOTHING TIES IT: each plate is pushed out by {lb(values['thrust'])}", "the ridge sinks"),
    }[hold]
    long, head = wide / 11, wide / 45
    if hold == "ridge beam":
        parts += _ridge_beam(bay, low)
        notes.append(Note("post", f"post at the seam {lb(values['post'])}", (x + 3, low + 3), "start"))
    else:
        if hold == "tie":
            tie = _tie(bay, values)
            parts.append(tie)
            notes.append(Note("tie", f"tension {lb(values['tie_force'])}", (x, tie.points[0][1] + 2), "middle"))
        for end, sign in ((left, -1), (right, 1)):
            reach = end.wall.inside(-end.overhang - 6)
            parts += arrow("push", (reach, end.plate + 2), (reach + sign * long, end.plate + 2), "push", head)
        notes.append(
            Note("push", f"push {lb(values['thrust'])}", (left.wall.inside(-left.overhang - 6), left.plate + 4), "end")
        )
    load = f"{values['line_load']:.0f} plf on the pair, {on_center(values['s'])}"
    shapes, strokes = parts_drawing(parts)
    m = abs(left.roof.slope)
    up = float(geo.plumb_depth(bay.gable.sheathing, m))
    return Scene(
        "Forces of a rafter pair",
        f"{titles[0]}; {titles[1]}. {load}. Span {feet_inches(wide)}. {CAUTION}",
        shapes,
        strokes,
        (
            Dim("span", f"{feet_inches(wide)} out to out; {load}", (0.0, low), (wide, low), "bottom", 1),
            Dim("rise", f"rise {feet_inches(values['h'])}", (wide, left.plate + left.heel), (x, peak), "right", 1),
        ),
        (Slope("roof pitch", rise_text(m), (0.0, left.roof.at(0) + up), m, True, (x, peak + up)),),
        (Title("what", titles[0], "left"), Title("then", titles[1], "right"), CAUTIOUS),
        ("what", "span", *(note.name for note in notes)),
        notes=tuple(notes),
    )


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
