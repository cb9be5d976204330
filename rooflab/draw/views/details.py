"""Scenes at a larger scale: the heel of each bay, one laid over the other, and the eave's tails."""

from __future__ import annotations

from dataclasses import replace

from rooflab.base import geometry as geo
from rooflab.base.inputs import pair
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import LEVEL, feet_inches
from rooflab.draw.close_up import lens
from rooflab.draw.members import Part, chord_outlines, parts_drawing, points_at, rafter_outline, roof_skin, wall
from rooflab.draw.scene import Dim, Halfplane, Note, Point, Scene, Shape, Stroke, Title, box, cut
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.seam import Tail

from .parts import mirror

REACH = 0.8  # half of what the magnifier shows, in


def heel_detail(rafters: RafterBay, scissor: ScissorBay) -> Scene:
    """One bay laid over the other at the left wall, with a magnifier over the two top edges at the outside face."""
    left, truss = rafters.left, scissor.left
    tall = max(left.plate + left.heel, truss.roof.at(0.0))
    x0, y0 = -5.0, min(left.plate, truss.plate) - 7
    x1, y1 = max(left.bearing, truss.bearing) + 5.0, tall + 6
    parts = _overlay(rafters, scissor, box(x0, y0, x1, y1))
    span = max(x1 - x0, y1 - y0)
    radius = 0.34 * span
    centre, focus = (x1 + radius + 0.06 * span, y1 - radius), (0.0, left.plate + left.heel)
    parts += lens(_edges_near(rafters, scissor, focus), focus, centre, radius / REACH, radius)
    parts.append(Stroke("sight", (focus, (centre[0] - radius, centre[1])), "guide"))
    bar, under = radius / REACH / 8, centre[1] - radius - 0.1 * span
    ends = tuple((centre[0] - bar / 2 + step, under) for step in (0.0, bar))
    parts.append(Stroke("an eighth", ends, "scale bar"))
    shapes, strokes = parts_drawing(parts)
    gap = truss.roof.at(0.0) - left.roof.at(0.0)
    said = "one plane" if abs(gap) < LEVEL else f"truss {feet_inches(abs(gap))} {'high' if gap > 0 else 'low'}"
    heels = feet_inches(left.heel), feet_inches(truss.heel)
    told = said if heels[0] == heels[1] else f"truss {heels[1]}, {said.removeprefix('truss ')}"
    return Scene(
        "Heel detail: rafter (solid) under truss (dashed)",
        f"At the outside face of the left wall the rafter heel is {heels[0]}, the truss heel {heels[1]}: {said}. "
        f"Span {feet_inches(rafters.gable.span)}.",
        shapes,
        strokes,
        (Dim("heel", heels[0], (0.0, left.plate), focus, "left"),),
        (),
        (Title("heel detail", "rafter solid, truss dashed", "left"), Title("gap", told, "right")),
        ("heel", "gap"),
        (Note("an eighth", '1/8" in the lens', (centre[0], under - 0.02 * span), "middle", -1),),
    )


def _overlay(rafters: RafterBay, scissor: ScissorBay, window: tuple[Halfplane, ...]) -> list[Part]:
    """Rafter and wall solid, the truss's chords dashed over them, cut to a window."""
    left, truss = rafters.left, scissor.left
    top, bottom, _ = chord_outlines(scissor, "left")
    parts: list[Part] = [*wall(left, "wall", 9.0), Shape("rafter", rafter_outline(rafters, "left"), "rafter")]
    for name, points in (("top chord", top), ("bottom chord", bottom)):
        parts.append(Stroke(name, (*points, points[0]), "truss line"))
    if truss.plate != left.plate:
        parts.append(Stroke("truss plate", points_at(truss, ((0, 0), (truss.bearing, 0))), "truss line"))
    return cut(parts, window)


def _edges_near(rafters: RafterBay, scissor: ScissorBay, focus: Point) -> list[Part]:
    """Both top edges about the outside face, further than the magnifier shows."""
    reach = 3 * REACH
    rafter, truss = rafters.left.roof, scissor.left.roof
    edge = ((-reach, rafter.at(-reach)), (reach, rafter.at(reach)))
    other = ((-reach, truss.at(-reach)), (reach, truss.at(reach)))
    wood = (*edge, (reach, rafter.at(reach) - 4), (-reach, rafter.at(-reach) - 4))
    return [
        Shape("rafter", wood, "rafter"),
        Stroke("rafter edge", edge, "rafter line"),
        Stroke("face", ((0.0, focus[1] - 4), (0.0, focus[1] + 4)), "guide"),
        Stroke("truss edge", other, "truss line"),
    ]


# --- tail and soffit -------------------------------------------------------------------------------------------------


def eave(rafters: RafterBay, scissor: ScissorBay, tail: Tail | None) -> Scene:
    """Both eaves at a larger scale, the truss's mirrored, with the shared soffit line and the level cut."""
    left, truss = rafters.left, scissor.left
    reach, shift = eave_reach(rafters, scissor)
    low = min(tail.rafter_underside, tail.truss_underside, -12.0) - 4 if tail else -16.0
    board = dressed_size(tail.subfascia)[1] if tail and tail.subfascia else 11.25
    parts: list[Part] = []
    for other, part in _eave_parts(rafters, scissor, reach, low, board):
        parts += mirror([part], shift) if other else [part]
    dims: list[Dim] = []
    said = "No overhang: no tail to carry a soffit."
    if tail:
        said, far = tail.sentence, shift + truss.overhang
        parts.append(Stroke("soffit line", ((-left.overhang - 2, tail.soffit), (far + 2, tail.soffit)), "ceiling"))
        dims = _eave_dims(rafters, scissor, tail, shift, low)
        if tail.step > LEVEL and tail.level_cut < left.overhang + 0.5:
            corner = -left.overhang, tail.soffit
            off = corner, (corner[0], tail.rafter_underside), (corner[0] + tail.level_cut, tail.soffit)
            parts.append(Shape("cut off", off, "offcut"))
            name, text = "level cut", f"level cut {feet_inches(tail.level_cut)}"
            dims.append(Dim(name, text, (corner[0], low), (corner[0] + tail.level_cut, low), "bottom"))
    heels = f"Rafter heel {feet_inches(left.heel)}, truss heel {feet_inches(truss.heel)}, "
    shapes, strokes = parts_drawing(parts)
    return Scene(
        "Tail and soffit: rafter eave on the left, truss eave on the right",
        f"{said} {heels}span {feet_inches(rafters.gable.span)}.",
        shapes,
        strokes,
        tuple(dims),
        (),
        (Title("rafter eave", "RAFTER EAVE", "left"), Title("truss eave", "TRUSS EAVE (mirrored)", "right")),
        ("rafter tail", "truss tail", "soffit below plate") if tail else (),
    )


def eave_reach(rafters: RafterBay, scissor: ScissorBay) -> tuple[float, float]:
    """How far in both eaves are shown, and where the mirrored truss's outside face stands, in."""
    reach = max(rafters.left.bearing, scissor.left.bearing) + 12.0
    return reach, 2 * reach + 10


def _eave_parts(
    rafters: RafterBay, scissor: ScissorBay, reach: float, low: float, board: float
) -> list[tuple[bool, Part]]:
    """The members of both eaves cut to a window; True marks those of the truss's."""
    left, truss = rafters.left, scissor.left
    out = max(left.overhang, truss.overhang) + 4
    tops = [end.plate + end.heel + reach * end.roof.slope for end in (left, truss)]
    window = box(-out, low - 40, reach, max(tops) + 4)
    mine = [
        *wall(left, "rafter wall", -low),
        Shape("rafter", rafter_outline(rafters), "rafter"),
        *roof_skin(rafters, left, "rafter", left.run, board),
    ]
    top, bottom, wedge = chord_outlines(scissor, "left")
    theirs = [
        *wall(truss, "truss wall", -low),
        *([Shape("wedge", wedge, "wedge")] if len(wedge) > 2 else []),
        Shape("bottom chord", bottom, "truss"),
        Shape("top chord", top, "truss"),
        *roof_skin(scissor, truss, "truss", truss.run, board),
    ]
    return [(other, part) for other, parts in ((False, mine), (True, theirs)) for part in cut(parts, window)]


def _eave_dims(rafters: RafterBay, scissor: ScissorBay, tail: Tail, shift: float, low: float) -> list[Dim]:
    left, truss = rafters.left, scissor.left
    far, out = shift + truss.overhang, -left.overhang
    tops = tail_tops(rafters, scissor)
    dims = [
        Dim("rafter tail", "", (out, tail.rafter_underside), (out, tops[0]), "left"),
        Dim("truss tail", "", (far, tail.truss_underside), (far, tops[1]), "right"),
        Dim("overhang", "", (out, low), (0.0, low), "bottom", 2),
        Dim("truss overhang", "", (shift, low), (far, low), "bottom", 2),
    ]
    sized = [d._replace(text=feet_inches(abs(d.b[0] - d.a[0]) or abs(d.b[1] - d.a[1]))) for d in dims]
    below = "below" if tail.soffit < 0 else "above"
    text = f"soffit {feet_inches(abs(tail.soffit))} {below} plate"
    return [*sized, Dim("soffit below plate", text, (far, tail.soffit), (shift, 0.0), "right", 2)]


def tail_tops(rafters: RafterBay, scissor: ScissorBay) -> tuple[float, float]:
    """Top corners of both tails above the left plate of the rafter bay, in."""
    left, right = (bay.left.roof.at(-bay.left.overhang) - rafters.left.plate for bay in (rafters, scissor))
    return float(left), float(right)


# --- one heel alone --------------------------------------------------------------------------------------------------


def rafter_heel(rafters: RafterBay) -> Scene:
    """The rafter on its plate with a tape: plumb depth, birdsmouth, seat and heel."""
    left = rafters.left
    m, seat, deep = left.roof.slope, pair(rafters.seat)[0], rafters.plumb_depth
    out, reach, low = 7.0, left.bearing + 9.0, -m * seat - 9
    long = replace(rafters.gable, overhang=16.0)  # a tail that runs out of the picture
    outline = rafter_outline(rafters.with_(gable=long, plate=0.0), "left")
    flat = replace(left, wall=replace(left.wall, plate=0.0))
    top = left.heel + m * reach
    parts = [
        *cut([*wall(flat, "wall", -low), Shape("rafter", outline, "rafter")], box(-out, low, reach, top + 1)),
        Stroke("plate line", ((-out, 0.0), (reach + 2, 0.0)), "guide"),
        Stroke("outside face", ((0.0, low), (0.0, left.heel + 4)), "guide"),
    ]
    dims = [
        Dim("heel", f"heel {feet_inches(left.heel)}", (0.0, 0.0), (0.0, left.heel), "left"),
        Dim("plumb depth", f"plumb depth {feet_inches(deep)}", (reach, top - deep), (reach, top), "right"),
    ]
    if seat:
        plumb = f"heel cut {feet_inches(rafters.birdsmouth_plumb)}"
        dims.append(Dim("birdsmouth", plumb, (0.0, -m * seat), (0.0, 0.0), "left"))
        dims.append(Dim("seat", f"seat {feet_inches(seat)}", (0.0, low), (seat, low), "bottom"))
    size = " ".join((rafters.lumber or "rafter").split())
    shapes, strokes = parts_drawing(parts)
    return Scene(
        "The rafter's heel",
        f"Heel {feet_inches(left.heel)}: plumb depth {feet_inches(deep)} less the heel cut, about "
        f"{feet_inches(rafters.birdsmouth_plumb)}. Span {feet_inches(rafters.gable.span)}.",
        shapes,
        strokes,
        tuple(dims),
        (),
        (Title("rafter", f"{size}: {feet_inches(rafters.depth)} square to its edge", "left"),),
        ("heel", "plumb depth"),
    )


def truss_heel(scissor: ScissorBay) -> Scene:
    """The raised heel of the truss: chords, the space between them and the minimum heel."""
    left = scissor.left
    assert left.ceiling is not None
    m, c, level = left.roof.slope, left.ceiling.slope, left.plate
    out, reach, low = 7.0, left.bearing + 16.0, level - 12.0
    top, bottom, wedge = chord_outlines(scissor, "left")
    parts: list[Part] = [*wall(left, "wall", 12.0)]
    if len(wedge) > 2 and scissor.heel_state == "raised":
        parts.append(Shape("wedge", wedge, "wedge"))
    parts += [Shape("bottom chord", bottom, "truss"), Shape("top chord", top, "truss")]
    parts = cut(parts, box(-out, low, reach, level + left.heel + m * reach + 1))
    ceiling = (left.start, level), (reach + 2, level + c * (reach + 2 - left.start))
    parts.append(Stroke("ceiling line", ceiling, "ceiling"))
    parts.append(Stroke("outside face", ((0.0, low), (0.0, level + left.heel + 4)), "guide"))
    shapes, strokes = parts_drawing(parts)
    return Scene(
        "The truss's heel",
        f"Heel {feet_inches(left.heel)}, {scissor.heel_state}; the minimum heel for its top chord is "
        f"{feet_inches(scissor.minimum_heel)}. Span {feet_inches(scissor.gable.span)}.",
        shapes,
        strokes,
        _truss_heel_dims(scissor, low),
        (),
        (
            Title("truss", f"{scissor.chord} chords, heel {scissor.heel_state}", "left"),
            Title("wedge", "what fills the space between chords is the manufacturer's choice", "right"),
        ),
        ("heel",),
    )


def _truss_heel_dims(scissor: ScissorBay, low: float) -> tuple[Dim, ...]:
    left = scissor.left
    m, inner, level = left.roof.slope, left.bearing, left.plate
    over = level + left.heel - float(geo.plumb_depth(scissor.chord_depth, m))
    dims = [
        Dim("heel", f"heel {feet_inches(left.heel)}", (0.0, level), (0.0, level + left.heel), "left"),
        Dim("bearing", f"bearing {feet_inches(inner)}", (0.0, low), (inner, low), "bottom"),
    ]
    if scissor.space_outside > 0:
        text = f"space between chords {feet_inches(scissor.space_outside)}"
        dims.append(Dim("space outside", text, (0.0, over - scissor.space_outside), (0.0, over), "left", 2))
        text, inside = f"at the inside face {feet_inches(scissor.space_inside)}", over + m * inner
        ends = (inner, inside - scissor.space_inside), (inner, inside)
        dims.append(Dim("space inside", text, *ends, "right"))
    return tuple(dims)
