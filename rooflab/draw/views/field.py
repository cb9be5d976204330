"""The seam seen along the wall, and the step that is left at it: heights are drawn larger, and the picture says so.

A string is stretched over the tops of the set trusses; a light that rakes over them falls by the tolerance from one to
the next, so that a shadow is what stands lower than that.  Light over a step falls as steeply as sheathing may bow: its
shadow is as long as the taper has to be.
"""

from __future__ import annotations

from collections.abc import Sequence

from rooflab.base.measure import feet_inches
from rooflab.draw.members import chord_outlines
from rooflab.draw.prisms import Prism, Stretch, View, convex_pieces, paint
from rooflab.draw.scene import Dim, Note, Point, Scene, Shape, Stroke, Title, clip
from rooflab.house.bays import ScissorBay
from rooflab.shop.field import BOW, STRAIGHT, Schedule, Taper, string_over

from .parts import rectangle, rectangle_shape

HALF = 0.75  # of a truss's thickness, in
LARGER, APART, LOW = 12.0, 24.0, 16.0  # how much larger heights are, trusses apart and what is shown of them, in
HATCH = 1.5  # between the lines of a shadow, in
HAIR = 1e-6


def along_the_seam(made: Schedule, names: Sequence[str], tolerance: float) -> Scene:
    """Stations from left to right under the plane; a shim stands under each low one, as thick as it will be.

    ``tolerance`` in inches is what the light falls from one truss to the next.
    """
    shapes: list[Shape] = []
    notes: list[Note] = []
    tops: list[Point] = []
    base = -max(LOW, *(LARGER * row.below + 6 for row in made.rows))
    strung = string_over([row.top for row in made.rows])
    for i, (row, name) in enumerate(zip(made.rows, names, strict=True)):
        x, top = APART * i, -LARGER * row.below
        tops.append((x, top))
        shapes.append(rectangle_shape(f"truss {name}", x - HALF, base, x + HALF, top, "truss"))
        if row.shim:
            shapes.append(rectangle_shape(f"shim {name}", x - HALF, base - LARGER * row.shim, x + HALF, base, "board"))
        said = f"shim {feet_inches(row.shim)}" if row.shim else "leave"
        notes.append(Note(f"heel {name}", feet_inches(row.heel), (x + 1.5, base + 5.0), "start"))
        notes.append(Note(f"shim {name}", said, (x + 1.5, base + 1.0), "start"))
        if (gap := strung.gaps[i]) > HAIR:
            notes.append(Note(f"gap {name}", f"{feet_inches(gap)} under the string", (x, 0.6), "middle"))
    last = APART * (len(names) - 1)
    string = [(APART * i, LARGER * (height - made.aim)) for i, height in enumerate(strung.heights)]
    dark = shadow(tops, LARGER * tolerance / APART)
    strokes = [
        *(stroke for patch in dark for stroke in _hatch(patch)),
        Stroke("plane to aim for", ((-8.0, 0.0), (last + 8.0, 0.0)), "plane"),
        Stroke("top edges as measured", tuple(tops), "truss line"),
        Stroke("string", tuple(string), "rafter line"),
    ]
    floor = base - LARGER * max(row.shim for row in made.rows) - 1
    dims = [
        Dim(f"apart {name}", feet_inches(APART), (APART * i, floor), (APART * (i + 1), floor), "bottom", 1)
        for i, name in enumerate(names[:-1])
    ]
    larger = f"heights {LARGER:g} times as large"
    lit = (
        f"SHADED: the shadow of a light that falls {feet_inches(tolerance)} from truss to truss"
        if dark
        else f"Light that falls {feet_inches(tolerance)} from truss to truss leaves no shadow"
    )
    under = [f"{feet_inches(gap)} at {name}" for gap, name in zip(strung.gaps, names, strict=True) if gap > HAIR]
    return Scene(
        "The seam along the wall: a string over the set trusses, and the plane to aim for",
        f"{made.sentence} Under the string: {', '.join(under) or 'no gap'}. {lit}. "
        f"Heights are drawn {LARGER:g} times as large as lengths.",
        tuple(shapes),
        tuple(strokes),
        tuple(dims),
        (),
        (
            Title("string", "SOLID: a string over the tops", "left"),
            Title("plane", f"DASH-DOT: the plane to aim for, {feet_inches(made.aim)}", "right"),
            Title("tops", f"DASHED: top edges as measured, {larger}", "left"),
            Title("light", lit, "left"),
        ),
        (),
        tuple(notes),
    )


REACH, LOOK = 48.0, View(-62.0, 16.0)  # of the trusses that are shown, in from the wall, in; and from where


def seam_in_the_round(made: Schedule, names: Sequence[str], scissor: ScissorBay, tolerance: float) -> Scene:
    """The eaves of the set trusses from beside the wall, with string, light and shims as in ``along_the_seam``."""
    end, view = scissor.left, LOOK
    chords = [clip(one, 1.0, 0.0, REACH) for one in chord_outlines(scissor, "left")[:2]]
    stretches, notes, tops = [], [], []
    for i, (row, name) in enumerate(zip(made.rows, names, strict=True)):
        z, lift, thick = APART * i, -LARGER * row.below, LARGER * row.shim
        outlines = [("slim truss", tuple((x, y + lift) for x, y in one)) for one in chords]
        outlines.append(("board", rectangle(0.0, lift - thick, end.bearing, lift)))
        prisms = tuple(
            Prism(f"truss {name}", style, piece, ((z - HALF, z + HALF),))
            for style, outline in outlines
            for piece in convex_pieces(outline)
        )
        stretches.append(Stretch(z - HALF, z + HALF, prisms))
        tail = end.wall.inside(-end.overhang)
        at = view.at(tail, end.roof.at(tail) + lift, z)
        notes.append(Note(f"heel {name}", f"{name}: {feet_inches(row.heel)}", (at[0] - 3.0, at[1] - 4.0), "middle", -1))
        tops.append((z, lift))
    strung = string_over([row.top for row in made.rows])
    string = [(APART * i, LARGER * (height - made.aim)) for i, height in enumerate(strung.heights)]
    dark = shadow(tops, LARGER * tolerance / APART)
    lines = [
        *(stroke for patch in dark for stroke in _hatch(patch)),
        Stroke("top edges as measured", tuple(tops), "truss line"),
        Stroke("string", tuple(string), "rafter line"),
    ]
    over = [  # they lie in the plumb plane over the wall's outside face
        line._replace(points=tuple(view.at(0.0, end.heel + y, z) for z, y in line.points)) for line in lines
    ]
    return Scene(
        "The set trusses beside the seam, in the round",
        f"{made.sentence} A string over the tops at the wall, and light that falls {feet_inches(tolerance)} from one "
        f"to the next. Heights above and below the plane are drawn {LARGER:g} times as large.",
        tuple(paint(stretches, view)),
        tuple(over),
        titles=(
            Title("string", "SOLID: a string over the tops; SHADED: in the shadow of a raking light", "left"),
            Title("tops", f"DASHED: top edges as measured, {LARGER:g} times as far below the plane", "left"),
        ),
        notes=tuple(notes),
    )


def shadow(tops: Sequence[Point], fall: float) -> list[tuple[Point, ...]]:
    """What a light from the left, falling ``fall`` an inch, leaves dark over a line of tops: outlines.

    >>> shadow([(0.0, 0.0), (24.0, -3.0), (48.0, 0.0)], 1 / 24)
    [((0.0, 0.0), (24.0, -3.0), (36.0, -1.5), (0.0, 0.0))]
    """
    found: list[tuple[Point, ...]] = []
    patch: list[Point] = []
    for (xa, ya), (xb, yb) in zip(tops, tops[1:], strict=False):
        if not patch:
            if (yb - ya) / (xb - xa) < -fall - HAIR:
                patch = [(xa, ya), (xb, yb)]
            continue
        x0, y0 = patch[0]
        da, db = (y0 - fall * (x - x0) - y for x, y in ((xa, ya), (xb, yb)))  # the ray over the line
        if db > HAIR:
            patch.append((xb, yb))
            continue
        part = da / (da - db)
        x = xa + part * (xb - xa)
        found.append((*patch, (x, y0 - fall * (x - x0)), patch[0]))
        patch = []
    if patch:
        (x0, y0), (x1, _) = patch[0], patch[-1]
        found.append((*patch, (x1, y0 - fall * (x1 - x0)), patch[0]))
    return found


def _hatch(outline: Sequence[Point]) -> list[Stroke]:
    """A patch of shadow: its ray, and plumb lines under it down to the tops."""
    (x0, y0), (x1, y1) = outline[0], outline[-2]
    lines = [Stroke("ray", ((x0, y0), (x1, y1)), "dim")]
    below = outline[:-1] if outline[-2][0] > outline[-3][0] + HAIR else outline[:-2]
    x = x0 + HATCH
    while x < x1:
        pieces = zip(below, below[1:], strict=False)
        (xa, ya), (xb, yb) = next((a, b) for a, b in pieces if x <= b[0])
        ray, floor = y0 + (y1 - y0) * (x - x0) / (x1 - x0), ya + (yb - ya) * (x - xa) / (xb - xa)
        lines.append(Stroke("shadow", ((x, ray), (x, floor)), "mark"))
        x += HATCH
    return lines


# --- the step --------------------------------------------------------------------------------------------------------

BESIDE, THICK = 12.0, 6.0  # level beside the step and plumb under its low side, in
LEAST = 36.0  # length beside the step that is shown at least, so that the scale holds, in
UP = 8.0  # how much larger heights are


def step_in_light(made: Taper) -> Scene:
    """A step between top edges under raking light: what is dark is as long as the taper that draws it out."""
    high, long = UP * made.step, max(made.length, LEAST)
    right = long + BESIDE
    shapes = [
        Shape("high side", ((-BESIDE, -THICK), (0.0, -THICK), (0.0, high), (-BESIDE, high)), "board"),
        Shape("low side", ((0.0, -THICK), (right, -THICK), (right, 0.0), (0.0, 0.0)), "board"),
    ]
    strokes: list[Stroke] = []
    dims: list[Dim] = []
    if made.step:
        shapes.append(Shape("taper", ((0.0, 0.0), (made.length, 0.0), (0.0, high)), "offcut"))
        fall = high / made.length
        strokes.append(Stroke("light", ((-BESIDE, high + fall * BESIDE), (made.length, 0.0)), "plane"))
        strokes += [
            Stroke("shadow", ((x, 0.0), (x, high - fall * x)), "mark")
            for x in (HATCH * i for i in range(1, int(made.length / HATCH) + 1))
            if high - fall * x > HAIR
        ]
        dims = [
            Dim("step", f"step {feet_inches(made.step)}", (-BESIDE, 0.0), (-BESIDE, high), "left", 1),
            Dim("taper", f"taper {feet_inches(made.length)}", (0.0, -THICK), (made.length, -THICK), "bottom", 1),
        ]
    light = f"light falls {feet_inches(BOW)} in {feet_inches(STRAIGHT)}, as far as sheathing may bow"
    return Scene(
        "The step that is left at the seam, in raking light",
        f"{made.sentence} {light.capitalize()}: the shadow is as long as the taper. Heights are drawn {UP:g} times as "
        "large as lengths.",
        tuple(shapes),
        tuple(strokes),
        tuple(dims),
        (),
        (
            Title("larger", f"LARGER: heights drawn {UP:g} times as large", "left"),
            Title("light", f"SHADED: in shadow; {light}" if made.step else "No step, no shadow", "left"),
        ),
        ("step", "taper"),
    )
