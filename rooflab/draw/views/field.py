"""The seam seen along the wall: the trusses' top edges below the plane to aim for, heights drawn larger."""

from __future__ import annotations

from collections.abc import Sequence

from rooflab.base.measure import feet_inches
from rooflab.draw.scene import Dim, Note, Point, Scene, Shape, Stroke, Title
from rooflab.shop.field import Schedule

from .parts import rectangle_shape

HALF = 0.75  # of a truss's thickness, in
LARGER, APART, LOW = 12.0, 24.0, 16.0  # how much larger heights are, trusses apart and what is shown of them, in


def along_the_seam(made: Schedule, names: Sequence[str]) -> Scene:
    """Stations from left to right under the plane; a shim stands under each low one, as thick as it will be."""
    shapes: list[Shape] = []
    notes: list[Note] = []
    tops: list[Point] = []
    base = -max(LOW, *(LARGER * row.below + 6 for row in made.rows))
    for i, (row, name) in enumerate(zip(made.rows, names, strict=True)):
        x, top = APART * i, -LARGER * row.below
        tops.append((x, top))
        shapes.append(rectangle_shape(f"truss {name}", x - HALF, base, x + HALF, top, "truss"))
        if row.shim:
            shapes.append(rectangle_shape(f"shim {name}", x - HALF, base - LARGER * row.shim, x + HALF, base, "board"))
        said = f"shim {feet_inches(row.shim)}" if row.shim else "leave"
        notes.append(Note(f"heel {name}", feet_inches(row.heel), (x + 1.5, base + 5.0), "start"))
        notes.append(Note(f"shim {name}", said, (x + 1.5, base + 1.0), "start"))
    last = APART * (len(names) - 1)
    strokes = (
        Stroke("plane to aim for", ((-8.0, 0.0), (last + 8.0, 0.0)), "rafter line"),
        Stroke("top edges as measured", tuple(tops), "truss line"),
    )
    floor = base - LARGER * max(row.shim for row in made.rows) - 1
    dims = [
        Dim(f"apart {name}", feet_inches(APART), (APART * i, floor), (APART * (i + 1), floor), "bottom", 1)
        for i, name in enumerate(names[:-1])
    ]
    return Scene(
        "The seam along the wall: top edges below the plane to aim for",
        f"{made.sentence} Heights are drawn {LARGER:g} times as large as lengths.",
        tuple(shapes),
        strokes,
        tuple(dims),
        (),
        (
            Title("plane", f"SOLID: the plane to aim for, {feet_inches(made.aim)}", "left"),
            Title("tops", f"DASHED: top edges as measured, heights {LARGER:g} times as large", "right"),
        ),
        (),
        tuple(notes),
    )
