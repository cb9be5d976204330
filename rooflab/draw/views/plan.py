"""The framing sketch: a plan of the last rafters, the seam and every truss position, type by type."""

from __future__ import annotations

from rooflab.base.measure import feet_inches, on_center
from rooflab.draw.scene import Dim, Note, Scene, Shape, Stroke, Title
from rooflab.job.jobfile import Job
from rooflab.job.schedule import THICK, TO_GIVE, TrussType

from .parts import rectangle_shape

MEMBERS_A_SIDE = 3  # how many of the last rafters are shown
EDGE = 20.0  # how far lines run on beyond the walls, in


def _bar(name: str, x: float, y0: float, y1: float, style: str) -> Shape:
    return rectangle_shape(name, x, y0, x + THICK, y1, style)


def framing(job: Job) -> Scene:
    """Plan of the roof framing: left wall below, right wall above, the ridge across, types in the job's order.

    x runs from the near face of the first truss; the last rafter stands one truss spacing before it.
    """
    span, ridge = job.gable.span, job.rafters.peak[0]
    first = -job.types[0].spacing if job.types else -24.0
    back = first - (MEMBERS_A_SIDE - 1) * job.rafter_spacing
    shapes = [
        _bar(f"rafter {i}", first - i * job.rafter_spacing, 0.0, span, "rafter in plan") for i in range(MEMBERS_A_SIDE)
    ]
    strokes = [Stroke("seam", ((first / 2, -EDGE), (first / 2, span + EDGE)), "seam")]
    for name, y in (("left", 0.0), ("right", span)):
        strokes.append(Stroke(f"{name} wall", ((back - EDGE, y), (0.0, y)), "mark"))
    if job.rafters.ridge:
        strokes.append(Stroke("ridge board", ((back - EDGE, ridge), (first + THICK, ridge)), "mark"))
    across = on_center(-first)
    dims = [Dim("across the seam", across, (first, -EDGE), (0.0, -EDGE), "bottom", 1)]
    dims.append(Dim("span", feet_inches(span), (back - EDGE, 0.0), (back - EDGE, span), "left", 1))
    marks: list[Note] = []
    x = 0.0
    for kind in job.types:
        inner, outer = kind.set_in()
        places = kind.places()
        ends = {places[0]} if kind.gable_ends == 2 else set()
        ends |= {places[-1]} if kind.gable_ends else set()
        for near in places:
            name, style = f"{kind.mark} at {near:g}", "truss" if near in ends else "truss in plan"
            shapes.append(_bar(name, x + near, inner, span - outer, style))
        for name, y in (("left", inner), ("right", span - outer)):
            strokes.append(Stroke(f"{kind.mark} {name} wall", ((x, y), (x + kind.length, y)), "mark"))
        for level, name, text in (
            (1, "type", kind.mark),
            (2, "length", TO_GIVE if kind.stands_in else feet_inches(kind.length)),
        ):
            dims.append(Dim(f"{name} {kind.mark}", text, (x, -EDGE), (x + kind.length, -EDGE), "bottom", level))
        if inner or outer:
            dims.append(_set_in(kind, x, span))
        x += kind.length
    marks.append(Note("seam", "seam", (first / 2, span + EDGE), "middle"))
    if job.rafters.ridge:
        marks.append(Note("ridge", "ridge board", (back - EDGE, ridge), "end", 0))
    listed = ", ".join(f"{k.positions} positions of type {k.mark}" for k in job.types)
    return Scene(
        "Framing sketch",
        f"Plan: the last rafters on the left, then {listed}.",
        tuple(shapes),
        tuple(strokes),
        tuple(dims),
        titles=(Title("sketch", "FRAMING SKETCH, seen from above; left wall below", "left"),),
        must=("span", "seam", *(f"type {kind.mark}" for kind in job.types)),
        notes=tuple(marks),
    )


def _set_in(kind: TrussType, x: float, span: float) -> Dim:
    """How far a type's wall is set in, beside the plan of its stretch."""
    inner, outer = kind.set_in()
    low, high = (0.0, inner) if inner else (span - outer, span)
    return Dim(
        f"set in {kind.mark}", feet_inches(abs(high - low)), (x + kind.length, low), (x + kind.length, high), "right", 1
    )


def mid_roof_gables(job: Job, kind: TrussType) -> tuple[str, ...]:
    """A question for each gable end truss of a type that does not stand at an end of the roof."""
    i, found = job.types.index(kind), []
    if kind.gable_ends == 2:
        found.append("the seam" if i == 0 else f"the end of type {job.types[i - 1].mark}")
    if kind.gable_ends and i + 1 < len(job.types):
        found.append(f"the start of type {job.types[i + 1].mark}")
    return tuple(
        f"The gable end of type {kind.mark} at {at} is not at an end of the roof: ladder here? Confirm." for at in found
    )


def _positions(count: int) -> str:
    return f"{count} position{'s' * (count != 1)}"


def notes(job: Job) -> tuple[str, ...]:
    """Where things start and stop, and who carries what, in words."""
    spacing = on_center(job.types[0].spacing) if job.types else "one truss spacing"
    board = (
        f"The {job.rafters.ridge} ridge board ends at"
        if job.rafters.ridge
        else "There is no ridge board: rafters meet up to"
    )
    found = [
        f"{board} the last rafter and carries no truss. A ridge beam in its place ends there on a post of its own (the "
        "engineer's), not on a truss.",
        f"Seam: last rafter to first truss {spacing}; roof sheathing runs across it, the same on both sides.",
    ]
    for i, kind in enumerate(job.types):
        inner, outer = kind.set_in()
        start = "on the seam's side" if i == 0 else f"where type {job.types[i - 1].mark} ends"
        moved = inner or outer
        where = ""
        if moved:
            side = "left" if inner else "right"
            way = "in" if moved > 0 else "out"
            where = f" Its {side} wall is set {way} {feet_inches(abs(moved))} on a plate of its own."
        ends = {
            0: "",
            1: " The last position is a gable end truss.",
            2: " The first and the last position are gable end trusses.",
        }
        over = f"{_positions(kind.positions)} over {feet_inches(kind.length)} out to out"
        over = f"positions and {TO_GIVE}" if kind.stands_in else over
        extra = f" An extra truss stands beside {_positions(kind.doubled)} of them." if kind.doubled else ""
        found.append(
            f"Type {kind.mark}: {over}; the first "
            f"truss has its near face flush with the start, {start}, the last its far face with the end."
            f"{where}{ends[kind.gable_ends]}{extra}"
        )
        found += mid_roof_gables(job, kind)
    found.append("Every truss bears on both of its walls. What carries a wall over an opening is the engineer's.")
    return tuple(found)
