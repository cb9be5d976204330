"""What the numbers on a section mean, and its grips: shared by the panels that show the same drawing."""

from __future__ import annotations

from typing import Any

from rooflab.draw.members import WALL
from rooflab.draw.scene import Point
from rooflab.draw.views.details import eave_reach
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import End
from rooflab.job.wishes import PLATES

from .touch import Grip, Meaning, at_both, edits, follows, says

SIXTEENTH = 1 / 16
HALF_SPAN = says("Half of the span where both sides are alike: change the span, a pitch or a plate.")
OWN_PLATE = says("How much higher this plate stands is the job file's: change it there.")
SECTION_DIMS: dict[str, Meaning] = {
    "span": edits("span"),
    "overhang": edits("overhang"),
    "truss overhang": edits("overhang"),
    "roof pitch": edits("pitch"),
    "truss roof pitch": edits("pitch"),
    "ceiling pitch": edits("ceiling_pitch"),
    "rafter heel": follows("rafter.heel"),
    "truss heel": edits("heel"),
    "rafter height": follows("rafter.peak_height"),
    "overall height": follows("scissor.height"),
    "ceiling rise": follows("scissor.ceiling_rise"),
    "rafter run": HALF_SPAN,
    "truss run": HALF_SPAN,
    **at_both({
        "heel": follows("rafter.heel"), "rafter heel": follows("rafter.heel"), "truss heel": edits("heel"),
        "roof pitch": edits("pitch"), "truss roof pitch": edits("pitch"), "ceiling pitch": edits("ceiling_pitch"),
        "plate": OWN_PLATE,
    }),
    **{f"{bay} {name}": one for bay in ("rafter", "truss") for name, one in at_both({
        "run": HALF_SPAN, "overhang": edits("overhang"),
    }).items()},
}  # fmt: skip
"""What the numbers on the section of both bays mean."""
RAFTER_HEEL_DIMS = {
    "heel": follows("rafter.heel"),
    "plumb depth": follows("rafter.plumb_depth"),
    "birdsmouth": follows("rafter.birdsmouth_plumb"),
    "seat": edits("seat"),
}
"""Of the rafter's heel."""
TRUSS_HEEL_DIMS = {
    "heel": edits("heel"),
    "bearing": edits("bearing"),
    "space outside": follows("scissor.space_outside"),
    "space inside": follows("scissor.space_inside"),
}
"""Of the truss's heel."""

Bays = tuple[RafterBay, ScissorBay]


def ridge(bays: Bays) -> Point:
    """Where both roof lines of the rafters meet."""
    return bays[0].peak


def apex(end: End) -> Point | None:
    """Where an end's ceiling line has its apex."""
    if end.ceiling is None:
        return None
    x = end.wall.inside(end.apex)
    return x, end.ceiling.at(x)


def tail_end(end: End) -> Point:
    """The top of a tail's end."""
    x = end.wall.inside(-end.overhang)
    return x, end.roof.at(x)


def heel_top(end: End) -> Point:
    """The top of the framing over a wall's outside face."""
    return end.wall.x, end.plate + end.heel


def face(end: End, down: float = WALL / 2) -> Point:
    """A wall's outside face, some way below its plate."""
    return end.wall.x, end.plate - down


def seat_end(bays: Bays) -> Point:
    """The inside end of the left seat."""
    left, seat = bays[0].left, bays[0].symbols()["seat"]
    return left.wall.inside(float(seat)), left.plate


def inside_face(end: End, down: float) -> Point:
    """The inside face of a wall, some way below its plate."""
    return end.wall.inside(end.bearing), end.plate - down


def _section_grips() -> tuple[Grip, ...]:
    def of(take: Any, index: int, side: str) -> Any:
        return lambda bays: take(getattr(bays[index], side))

    return (
        Grip("ridge", "pitch", "y", ridge),
        Grip("ceiling at its apex", "ceiling_pitch", "y", of(apex, 1, "right")),
        Grip("right wall", "span", "x", of(face, 1, "right")),
        Grip("top of the truss's heel", "heel", "y", of(heel_top, 1, "right"), SIXTEENTH),
        Grip("end of the tail", "overhang", "x", of(tail_end, 0, "left")),
        Grip("inside end of the seat", "seat", "x", seat_end, SIXTEENTH),
        Grip("inside face of the wall", "bearing", "x", lambda bays: inside_face(bays[0].left, WALL - 4), 0.0, PLATES),
    )


SECTION_GRIPS = _section_grips()
"""On the section of both bays."""
RAFTER_HEEL_GRIPS = (
    Grip("inside end of the seat", "seat", "x", lambda bays: (float(bays[0].symbols()["seat"]), 0.0), SIXTEENTH),
)
"""On the rafter's heel, whose plate is drawn at 0."""


def on_plate(down: float) -> tuple[Grip, ...]:
    """On a heel where both bays lie over each other: seat, bearing and truss heel."""
    return (
        Grip("inside end of the seat", "seat", "x", seat_end, SIXTEENTH),
        Grip("inside face of the wall", "bearing", "x", lambda bays: inside_face(bays[0].left, down), 0.0, PLATES),
        Grip("top of the truss's heel", "heel", "y", lambda bays: heel_top(bays[1].left), SIXTEENTH),
    )


def truss_grips(down: float) -> tuple[Grip, ...]:
    """On one truss that hangs by itself, its walls drawn ``down`` below the plates."""

    def ridge_line(truss: ScissorBay) -> Point:
        return truss.peak[0], truss.left.plate - 0.7 * down

    return (
        Grip("ridge", "pitch", "y", lambda truss: truss.peak),
        Grip("ceiling at its apex", "ceiling_pitch", "y", lambda truss: apex(truss.left)),
        Grip("top of the heel", "heel", "y", lambda truss: heel_top(truss.left), SIXTEENTH),
        Grip("foot of the ridge line", "span", "x", ridge_line),
        Grip("end of the tail", "overhang", "x", lambda truss: tail_end(truss.left)),
        Grip("inside face of the wall", "bearing", "x", lambda truss: inside_face(truss.left, 0.7 * down), 0.0, PLATES),
    )


EAVE_GRIPS = (
    Grip("end of the rafter's tail", "overhang", "x", lambda bays: tail_end(bays[0].left)),
    Grip("end of the truss's tail", "overhang", "x", lambda bays: (
        eave_reach(*bays)[1] + bays[1].left.overhang, tail_end(bays[1].left)[1])),
    Grip("inside end of the seat", "seat", "x", seat_end, SIXTEENTH),
    Grip("top of the truss's heel", "heel", "y", lambda bays: (
        eave_reach(*bays)[1], heel_top(bays[1].left)[1]), SIXTEENTH),
    Grip("inside face of the wall", "bearing", "x", lambda bays: inside_face(bays[0].left, 8.0), 0.0, PLATES),
)  # fmt: skip
"""On both eaves, the truss's mirrored."""
TRUSS_HEEL_GRIPS = tuple(one for one in truss_grips(8.0) if one.control in ("heel", "bearing"))
"""On the truss's heel."""
TRUSS_HEEL_OF_BAYS = (
    Grip("top of the heel", "heel", "y", lambda bays: heel_top(bays[1].left), SIXTEENTH),
    Grip("inside face of the wall", "bearing", "x", lambda bays: inside_face(bays[1].left, 5.0), 0.0, PLATES),
)
"""The same where it hangs beside the rafters."""


def rafter_grips(down: float) -> tuple[Grip, ...]:
    """On a whole rafter pair that hangs by itself, its walls drawn ``down`` below the plates."""
    return (
        Grip("ridge", "pitch", "y", lambda bay: bay.peak),
        Grip("right wall", "span", "x", lambda bay: face(bay.right, down)),
    )
