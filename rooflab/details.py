"""Scenes at a larger scale: the heel of each bay, one laid over the other, and the eave's tails."""

from __future__ import annotations

import math

from . import geometry as geo
from .checks import Tail
from .house import RafterBay, ScissorBay, pair
from .lumber import dressed
from .measure import feet_inches
from .members import Part, chord_outlines, mirrored, rafter_outline, roof_skin, wall
from .scene import Dim, Point, Scene, Shape, Stroke, Title, box, cut

LENS = 32  # corners of the magnifier's outline
REACH = 0.8  # half of what the magnifier shows, in


def heel_detail(rafters: RafterBay, scissor: ScissorBay) -> Scene:
    """One bay laid over the other at the left wall, with a magnifier over the two top edges at the outside face."""
    left, truss = rafters.left, scissor.left
    top, bottom, _ = chord_outlines(scissor, "left")
    tall = max(left.plate + left.heel, truss.plate + truss.heel)
    window = box(-5.0, min(left.plate, truss.plate) - 7, max(left.bearing, truss.bearing) + 5.0, tall + 6)
    parts: list[Part] = [*wall(left, "wall", 9.0), Shape("rafter", rafter_outline(rafters, "left"), "rafter")]
    parts += [
        Stroke("top chord", (*top, top[0]), "truss line"),
        Stroke("bottom chord", (*bottom, bottom[0]), "truss line"),
    ]
    if truss.plate != left.plate:
        parts.append(Stroke("truss plate", mirrored(truss, ((0, 0), (truss.bearing, 0))), "truss line"))
    parts = cut(parts, window)
    x0, y0, x1, y1 = window[0][2] * -1, window[2][2] * -1, window[1][2], window[3][2]
    span = max(x1 - x0, y1 - y0)
    radius = 0.34 * span
    scale = radius / REACH
    centre = (x1 + radius + 0.06 * span, y1 - radius)
    focus = (0.0, left.plate + left.heel)
    parts += magnified(rafters, scissor, focus, centre, scale, radius)
    parts.append(Stroke("sight", (focus, (centre[0] - radius, centre[1])), "guide"))
    gap = truss.roof.at(0.0) - left.roof.at(0.0)
    said = "one plane" if abs(gap) < 1 / 32 else f"truss {feet_inches(abs(gap))} {'high' if gap > 0 else 'low'}"
    dims = [Dim("heel", feet_inches(rafters.heel), (0.0, left.plate), focus, "left", 1)]
    return Scene(
        "Heel detail: rafter (solid) under truss (dashed)",
        f"At the outside face of the left wall the rafter heel is {feet_inches(rafters.heel)}, the truss heel {feet_inches(truss.heel)}: {said}.",
        tuple(p for p in parts if isinstance(p, Shape)),
        tuple(p for p in parts if isinstance(p, Stroke)),
        tuple(dims),
        (),
        (Title("heel detail", "rafter solid, truss dashed", "left"), Title("gap", said, "right")),
        ("heel",),
    )


def magnified(
    rafters: RafterBay, scissor: ScissorBay, focus: Point, centre: Point, scale: float, radius: float
) -> list[Part]:
    """A round lens over ``focus``, drawn at ``centre``: both top edges at ``scale`` times their size."""

    def seen(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((centre[0] + (x - focus[0]) * scale, centre[1] + (y - focus[1]) * scale) for x, y in points)

    turns = [2 * math.pi * i / LENS for i in range(LENS)]
    planes = [(math.cos(a), math.sin(a), radius + centre[0] * math.cos(a) + centre[1] * math.sin(a)) for a in turns]
    rim = radius / math.cos(math.pi / LENS)
    lens = Shape(
        "lens",
        tuple(
            (centre[0] + rim * math.cos(a + math.pi / LENS), centre[1] + rim * math.sin(a + math.pi / LENS))
            for a in turns
        ),
        "lens",
    )
    reach = 3 * REACH
    rafter, truss = rafters.left.roof, scissor.left.roof
    edge = ((-reach, rafter.at(-reach)), (reach, rafter.at(reach)))
    other = ((-reach, truss.at(-reach)), (reach, truss.at(reach)))
    wood = (*edge, (reach, rafter.at(reach) - 4), (-reach, rafter.at(-reach) - 4))
    inside = cut(
        [
            Shape("rafter magnified", seen(wood), "rafter"),
            Stroke("rafter edge magnified", seen(edge), "rafter line"),
            Stroke("face magnified", seen(((0.0, focus[1] - 4), (0.0, focus[1] + 4))), "guide"),
            Stroke("truss edge magnified", seen(other), "truss line"),
        ],
        planes,
    )
    return [lens, *inside]


# --- tail and soffit -------------------------------------------------------------------------------------------------


def eave(rafters: RafterBay, scissor: ScissorBay, tail: Tail | None) -> Scene:
    """Both eaves at a larger scale, the truss's mirrored, with the shared soffit line and the level cut."""
    left, truss = rafters.left, scissor.left
    reach = max(left.bearing, truss.bearing) + 12.0
    out = max(left.overhang, truss.overhang) + 4
    shift = 2 * reach + 10
    low = min(rafters.tail_underside if left.overhang else 0.0, -12.0) - 4
    tall = left.heel + reach * left.roof.slope + 4
    window = box(-out, low - 40, reach, tall)
    board = dressed(tail.subfascia)[1] if tail and tail.subfascia else 11.25
    mine = cut(
        [
            *wall(left, "rafter wall", -low),
            Shape("rafter", rafter_outline(rafters), "rafter"),
            *roof_skin(rafters, left, "rafter", left.run, board),
        ],
        window,
    )
    chords = chord_outlines(scissor, "left")
    theirs = cut(
        [
            *wall(truss, "truss wall", -low),
            Shape("wedge", chords[2], "wedge"),
            Shape("bottom chord", chords[1], "truss"),
            Shape("top chord", chords[0], "truss"),
            *roof_skin(scissor, truss, "truss", truss.run, board),
        ],
        window,
    )
    flipped = [p._replace(points=tuple((shift - x, y) for x, y in p.points)) for p in theirs if len(p.points) > 1]
    parts: list[Part] = [*mine, *flipped]
    dims: list[Dim] = []
    said = "No overhang: no tail to carry a soffit."
    if tail:
        said = tail.sentence
        far = shift + truss.overhang
        parts.append(Stroke("soffit line", ((-left.overhang - 2, tail.soffit), (far + 2, tail.soffit)), "ceiling"))
        dims = [
            Dim(
                "rafter tail",
                feet_inches(tail.top - tail.rafter_underside),
                (-left.overhang, tail.rafter_underside),
                (-left.overhang, tail.top),
                "left",
                1,
            ),
            Dim(
                "truss tail",
                feet_inches(tail.top - tail.truss_underside),
                (far, tail.truss_underside),
                (far, tail.top),
                "right",
                1,
            ),
            Dim(
                "soffit below plate",
                f"soffit {feet_inches(-tail.soffit)} below plate",
                (far, tail.soffit),
                (shift, 0.0),
                "right",
                2,
            ),
            Dim("overhang", feet_inches(left.overhang), (-left.overhang, low), (0.0, low), "bottom", 1),
            Dim("truss overhang", feet_inches(truss.overhang), (shift, low), (far, low), "bottom", 1),
        ]
        if tail.step > 1 / 32 and tail.level_cut < left.overhang + 0.5:
            corner = -left.overhang, tail.soffit
            parts.append(
                Shape(
                    "cut off",
                    (corner, (corner[0], tail.rafter_underside), (corner[0] + tail.level_cut, tail.soffit)),
                    "offcut",
                )
            )
            dims.append(
                Dim(
                    "level cut",
                    f"level cut {feet_inches(tail.level_cut)}",
                    (-left.overhang, low),
                    (-left.overhang + tail.level_cut, low),
                    "bottom",
                    2,
                )
            )
    return Scene(
        "Tail and soffit: rafter eave on the left, truss eave on the right",
        said,
        tuple(p for p in parts if isinstance(p, Shape)),
        tuple(p for p in parts if isinstance(p, Stroke)),
        tuple(dims),
        (),
        (Title("rafter eave", "RAFTER EAVE", "left"), Title("truss eave", "TRUSS EAVE (mirrored)", "right")),
        ("rafter tail", "truss tail") if tail else (),
    )


# --- one heel alone --------------------------------------------------------------------------------------------------


def rafter_heel(rafters: RafterBay) -> Scene:
    """The rafter on its plate with a tape: plumb depth, birdsmouth, seat and heel."""
    left = rafters.left
    m, seat, deep = left.roof.slope, pair(rafters.seat)[0], rafters.plumb_depth
    out, reach = 7.0, left.bearing + 9.0
    window = box(-out, -m * seat - 9, reach, left.heel + m * reach + 1)
    parts = cut(
        [
            *wall(left, "wall", m * seat + 9),
            Shape("rafter", rafter_outline(rafters.with_(gable=_longer(rafters)), "left"), "rafter"),
        ],
        window,
    )
    parts.append(Stroke("plate line", ((-out, 0.0), (reach + 2, 0.0)), "guide"))
    parts.append(Stroke("outside face", ((0.0, -m * seat - 9), (0.0, left.heel + 4)), "guide"))
    dims = [
        Dim("heel", f"heel {feet_inches(rafters.heel)}", (0.0, 0.0), (0.0, left.heel), "left", 1),
        Dim(
            "plumb depth",
            f"plumb depth {feet_inches(deep)}",
            (reach, left.heel + m * reach - deep),
            (reach, left.heel + m * reach),
            "right",
            1,
        ),
    ]
    if seat:
        dims += [
            Dim(
                "birdsmouth",
                f"plumb cut {feet_inches(rafters.birdsmouth_plumb)}",
                (0.0, -m * seat),
                (0.0, 0.0),
                "left",
                1,
            ),
            Dim("seat", f"seat {feet_inches(seat)}", (0.0, -m * seat - 9), (seat, -m * seat - 9), "bottom", 1),
        ]
    return Scene(
        "The rafter's heel",
        f"Heel {feet_inches(rafters.heel)}: plumb depth {feet_inches(deep)} less the birdsmouth's plumb cut "
        f"{feet_inches(rafters.birdsmouth_plumb)}.",
        tuple(p for p in parts if isinstance(p, Shape)),
        tuple(p for p in parts if isinstance(p, Stroke)),
        tuple(dims),
        (),
        (Title("rafter", f"{rafters.lumber or 'rafter'}: {feet_inches(rafters.depth)} square to its edge", "left"),),
        ("heel", "plumb depth"),
    )


def _longer(rafters: RafterBay):  # type: ignore[no-untyped-def]
    """The same gable with tails long enough to run out of the picture."""
    from dataclasses import replace

    return replace(rafters.gable, overhang=max(16.0, *pair(rafters.gable.overhang)))


def truss_heel(scissor: ScissorBay) -> Scene:
    """The raised heel of the truss: chords, the wedge between them and the least heel."""
    left = scissor.left
    m, c = left.roof.slope, left.ceiling.slope if left.ceiling else 0.0
    out, reach = 7.0, left.bearing + 16.0
    window = box(-out, -12.0, reach, left.heel + m * reach + 1)
    top, bottom, wedge = chord_outlines(scissor, "left")
    shapes: list[Part] = [*wall(left, "wall", 12.0)]
    if len(wedge) > 2 and scissor.heel_state == "raised":
        shapes.append(Shape("wedge", wedge, "wedge"))
    parts = cut([*shapes, Shape("bottom chord", bottom, "truss"), Shape("top chord", top, "truss")], window)
    parts.append(Stroke("ceiling line", ((left.start, 0.0), (reach + 2, c * (reach + 2 - left.start))), "ceiling"))
    parts.append(Stroke("outside face", ((0.0, -12.0), (0.0, left.heel + 4)), "guide"))
    inner = left.bearing
    over = left.heel - float(geo.plumb_depth(scissor.chord_depth, m))
    dims = [
        Dim("heel", f"heel {feet_inches(scissor.heel)}", (0.0, 0.0), (0.0, left.heel), "left", 1),
        Dim("bearing", f"bearing {feet_inches(inner)}", (0.0, -12.0), (inner, -12.0), "bottom", 1),
    ]
    if scissor.space_outside > 0:
        dims.append(
            Dim(
                "space outside",
                f"between the chords {feet_inches(scissor.space_outside)}",
                (0.0, over - scissor.space_outside),
                (0.0, over),
                "left",
                2,
            )
        )
        top_in = over + m * inner
        dims.append(
            Dim(
                "space inside",
                f"at the inside face {feet_inches(scissor.space_inside)}",
                (inner, top_in - scissor.space_inside),
                (inner, top_in),
                "right",
                1,
            )
        )
    return Scene(
        "The truss's heel",
        f"Heel {feet_inches(scissor.heel)}, {scissor.heel_state}; the least heel for its top chord is {feet_inches(scissor.least_heel)}.",
        tuple(p for p in parts if isinstance(p, Shape)),
        tuple(p for p in parts if isinstance(p, Stroke)),
        tuple(dims),
        (),
        (
            Title(
                "truss",
                f"{scissor.chord} chords, heel {scissor.heel_state}; what fills the wedge is the manufacturer's choice",
                "left",
            ),
        ),
        ("heel",),
    )
