"""Both walls of set trusses, any number of them: how far each stands under the plane, its shim; where it is measured.

Trusses stand in rows in their order along the wall, not to scale: a row of numbers over them, what is done under them.
"""

from __future__ import annotations

from rooflab.base.measure import feet_inches, sixteenth
from rooflab.draw.members import Part, chord_outlines
from rooflab.draw.scene import Dim, Note, Scene, Shape, Stroke, Title, clip
from rooflab.house.bays import ScissorBay
from rooflab.shop.field import STACK, Shim
from rooflab.shop.walls import MeasuredWall, MeasuredWalls

from .parts import move, rectangle_shape

COLUMNS, CELL = 12, 68.0  # trusses in a row, and one's width: units of a picture that has no scale of its own
BAR, TEXT, HEADING = 34.0, 27.0, 32.0  # heights of what is drawn of a truss, of a line of text and of a wall's heading
WIDE, OVERHEAD = 30.0, 0.85  # of a truss, and the share of its height that the lowest one falls short by
NUMBERED, LEAST_SCALE = 48, 0.5  # trusses of a wall that have room for numbers; inches that the height stands for
ENGINEER, NONE_YET = "ENG", "-"


def along_the_walls(made: MeasuredWalls) -> Scene:
    """Both walls with every truss from the first to the last: how far each stands under the plane, and its shim.

    A dashed line is where it stood the last time; what is not measured yet has no height.
    """
    rows = [row for wall in made.walls for row in wall.rows if row]
    larger = OVERHEAD * BAR / max([LEAST_SCALE, *(row.below for row in rows)])
    shapes: list[Shape] = []
    strokes: list[Stroke] = []
    notes: list[Note] = []
    y = 0.0
    for wall, before in zip(made.walls, made.earlier, strict=True):
        notes.append(Note(f"{wall.end} wall", _heading(wall), (-CELL / 2, y - HEADING / 2), "start", 0))
        y -= HEADING
        for start in range(0, max(len(made.places), 1), COLUMNS):
            part = made.places[start : start + COLUMNS]
            y -= TEXT
            for column, place in enumerate(part):
                x, name = CELL * column, f"{wall.end} {place.number}"
                row, old = (one.rows[place.number - 1] for one in (wall, before))
                if len(made.places) <= NUMBERED:
                    notes.append(Note(f"number {name}", f"{place.number}", (x, y), "middle"))
                    notes.append(Note(f"shim {name}", shim_word(row), (x, y - BAR), "middle", -1))
                box = (x - WIDE / 2, y - BAR, x + WIDE / 2)
                if row is None:
                    shapes.append(rectangle_shape(f"truss {name}", *box, y, "offcut"))
                    continue
                top = y - larger * row.below
                shapes.append(rectangle_shape(f"truss {name}", *box, top, "truss"))
                if row.shim:
                    style = "bar over" if row.shim > STACK else "board"
                    shapes.append(rectangle_shape(f"lacks {name}", x - WIDE / 2, top, x + WIDE / 2, y, style))
                if old and sixteenth(old.heel - row.heel):
                    was = min(y, max(y - BAR, top + larger * (old.heel - row.heel)))
                    strokes.append(Stroke(f"was {name}", ((x - WIDE * 0.7, was), (x + WIDE * 0.7, was)), "moved"))
            ends = (-CELL / 2, y), (CELL * (min(COLUMNS, len(made.places) or COLUMNS) - 0.5), y)
            strokes.append(Stroke(f"plane {wall.end} {start}", ends, "plane"))
            y -= BAR + TEXT
    words = "DASH-DOT: plane to aim for; GRAY: what is lacking" if rows else "Nothing is measured yet"
    more = [f"{ENGINEER}: engineer first"] * any(wall.stopped for wall in made.walls)
    more += ["DASHED: last time"] * any(one.name.startswith("was") for one in strokes)
    titles = [Title("plane", words, "left"), *([Title("more", "; ".join(more), "right")] if more else [])]
    if len(made.places) > NUMBERED:
        titles.append(Title("many", "Too many trusses for numbers here: they stand in the shim list", "left"))
    return Scene(
        "The set trusses along both walls, and the plane to aim for",
        f"{made.sentence} {_shim_words(made)}",
        tuple(shapes),
        tuple(strokes),
        titles=tuple(titles),
        notes=tuple(notes),
    )


def shim_word(row: Shim | None) -> str:
    """What is done at one truss, in a word for a small place."""
    if row is None:
        return NONE_YET
    if row.shim > STACK:
        return ENGINEER
    return feet_inches(row.shim) if row.shim else "leave"


def _heading(wall: MeasuredWall) -> str:
    aim = "not measured yet" if wall.schedule is None else f"aim for {feet_inches(wall.schedule.aim)}"
    return f"{wall.label.upper()}: {aim}; asked for {feet_inches(wall.asked)}"


def _shim_words(made: MeasuredWalls) -> str:
    """The shims in words."""
    return " ".join(
        f"{wall.label}: {', '.join(f'{row.where} {shim_word(row)}' for row in wall.rows if row) or 'none measured'}."
        for wall in made.walls
    )


SHOWN, ROOM, BELOW = 30.0, 34.0, 10.0  # of each end of a truss, between both, and of the walls, in


def where_to_measure(scissor: ScissorBay) -> Scene:
    """Both ends of a truss on their walls, with the heel that is measured and what was asked for."""
    parts: list[Part] = []
    dims: list[Dim] = []
    for end in ("left", "right"):
        own = scissor.left if end == "left" else scissor.right
        side, face = (1.0, 0.0) if end == "left" else (-1.0, 2 * SHOWN + ROOM)
        near = side * own.wall.inside(SHOWN)
        chords = [
            Shape(f"{end} chord", clip(one, side, 0.0, near), "truss") for one in chord_outlines(scissor, end)[:2]
        ]
        inner = face + side * own.bearing
        parts += move(chords, face - own.wall.x, -own.plate)
        parts.append(rectangle_shape(f"{end} plate", face, -1.5, inner, 0.0, "board"))
        parts.append(rectangle_shape(f"{end} wall", face, -BELOW, inner, -1.5, "wall"))
        words = feet_inches(own.heel)
        dims.append(Dim(f"{end} heel", words, (face, 0.0), (face, own.heel), end, 1))
    return Scene(
        "Where the heels of set trusses are measured",
        "Both ends of a truss: the heel is measured plumb at the outside face of framing, from the top of plate to the "
        f"top edge. Asked for: left {feet_inches(scissor.left.heel)}, right {feet_inches(scissor.right.heel)}.",
        tuple(part for part in parts if isinstance(part, Shape)),
        dims=tuple(dims),
        titles=(
            Title("where", "HEEL: plumb at the outside face of framing, top of plate to top edge of the truss", "left"),
            Title("asked", "NUMBERS: the heels asked for, left and right", "left"),
        ),
        must=("left heel", "right heel"),
    )
