"""Scenes of a scissor truss's shape: half its outline with the heights that add up, and the three states of its heel.

No webs are drawn: they are the manufacturer's.
"""

from __future__ import annotations

from rooflab.base import geometry as geo
from rooflab.base.measure import LEVEL, InputError, feet_inches, sixteenth
from rooflab.draw.members import Part, chord_outlines, parts_drawing, wall
from rooflab.draw.scene import Dim, Note, Point, Scene, Shape, Slope, Stroke, Title, box, cut
from rooflab.house.bays import ScissorBay
from rooflab.house.planes import End

from .parts import move, rectangle, rise_text

WALL = 18.0  # how far the outline shows its wall below the plate, in
CLEAR = 8.0  # how far the ridge's line runs on beyond the work, in
OTHER = {"inside": "outside", "outside": "inside"}  # the two faces a ceiling line may start from


def chord_words(scissor: ScissorBay) -> str:
    """The assumed chord sizes: one for both, or top and bottom."""
    sizes = [" ".join(size.split()) for size in (scissor.chord, scissor.bottom_chord)]
    return f"{sizes[0]} chords" if sizes[0] == sizes[1] else f"{sizes[0]} top, {sizes[1]} bottom chord"


# --- the outline -----------------------------------------------------------------------------------------------------


def face_shift(scissor: ScissorBay) -> float:
    """How much higher the ceiling line lies when it starts at the outside face of the bearing, c × bearing, in."""
    assert scissor.left.ceiling is not None
    return float(geo.plate_rise(scissor.left.ceiling.slope, 0.0, scissor.left.bearing, 0.0))


def text_chain(height: float, rise: float) -> tuple[str, str, str]:
    """Overall height, ceiling rise and depth at the peak as printed: the last is what the printed others leave.

    >>> text_chain(116.625, 51.28125)
    ('9\\'-8 5/8"', '4\\'-3 5/16"', '5\\'-5 5/16"')
    """
    return feet_inches(height), feet_inches(rise), feet_inches(sixteenth(height) - sixteenth(rise))


def outline(scissor: ScissorBay, both_faces: bool = False) -> Scene:
    """The left half of the truss: two chords between roof and ceiling line, with rise + depth = overall height.

    With ``both_faces`` the ceiling line from the bearing's other face lies dashed beside it, with its own rise and
    depth, and an inset shows both where they leave the plate.
    """
    left = scissor.left
    assert left.ceiling is not None
    x, top = scissor.peak
    face, shift = scissor.ceiling_from, face_shift(scissor)
    both = both_faces and shift >= LEVEL
    other = left.ceiling.at(x) + (shift if face == "inside" else -shift)
    parts: list[Part] = [
        *wall(left, "wall", WALL),
        *_chord_outlines(scissor),
        Stroke("ridge line", ((x, left.plate - WALL), (x, top + CLEAR)), "seam"),
        Stroke("plate level", ((left.bearing, left.plate), (x, left.plate)), "guide"),
    ]
    notes: list[Note] = []
    if both:
        start = left.bearing - left.start
        parts.append(Stroke(f"from the {OTHER[face]} face", ((start, left.plate), (x, other)), "long line"))
        larger, corner = _inset(scissor)
        parts += larger
        notes.append(Note("inset", "the bearing, larger", corner, "end", 1))
    shapes, strokes = parts_drawing(parts)
    height, rise, depth = text_chain(scissor.height, scissor.ceiling_rise)
    titles = [
        Title("truss", f"HALF A TRUSS  {chord_words(scissor)}", "left"),
        Title("whose", "webs are the manufacturer's", "right"),
    ]
    if both:
        titles = [
            Title("drawn", f"DRAWN: ceiling from the {face} face", "left"),
            Title("other", f"DASHED: from the {OTHER[face]} face", "right"),
        ]
    dims = _shape_heights(scissor, (top, other), both)
    optional = {"top of tail"} | ({"heel", "depth at the peak", "other depth at the peak"} if both else set())
    must = [dim.name for dim in dims if dim.side != "bottom" and dim.name not in optional]
    return Scene(
        "The shape of a scissor truss, left half",
        f"Heel {feet_inches(left.heel)}. Ceiling from the {face} face: rise {rise}, depth at the peak {depth}, overall "
        f"height {height}. Span {feet_inches(scissor.gable.span)}.",
        shapes,
        strokes,
        dims,
        (
            Slope("roof pitch", rise_text(left.roof.slope), (0.0, left.roof.at(0.0)), left.roof.slope, True, (x, top)),
            Slope("ceiling pitch", rise_text(left.ceiling.slope), (left.start, left.plate), left.ceiling.slope, False,
                  (x, left.ceiling.at(x) - (shift if both and face == "outside" else 0.0))),
        ),
        tuple(titles),
        (*must, "roof pitch", "ceiling pitch"),
        tuple(notes),
    )  # fmt: skip


def _chord_outlines(scissor: ScissorBay) -> list[Part]:
    """Both chords of the left half, and the space between them where the heel is raised."""
    top, bottom, wedge = chord_outlines(scissor, "left")
    parts: list[Part] = []
    if len(wedge) > 2 and scissor.heel_state == "raised":
        parts.append(Shape("wedge", wedge, "wedge"))
    return [*parts, Shape("bottom chord", bottom, "truss"), Shape("top chord", top, "truss")]


def _shape_heights(scissor: ScissorBay, tops: tuple[float, float], both: bool) -> tuple[Dim, ...]:
    """Heel and tail at the left, the chain of rise and depth at the ridge, overall height outside it, run below."""
    left, x, (top, other) = scissor.left, scissor.peak[0], tops
    assert left.ceiling is not None
    level, ceiling, low = left.plate, left.ceiling.at(x), left.plate - WALL
    face = scissor.ceiling_from
    said = {"own": text_chain(scissor.height, ceiling - level), "other": text_chain(scissor.height, other - level)}
    rows = [("own", ceiling, face)] + ([("other", other, OTHER[face])] if both else [])
    dims = [Dim("heel", f"heel {feet_inches(left.heel)}", (0.0, level), (0.0, level + left.heel), "left")]
    for row, (which, at, from_face) in enumerate(rows, 1):
        word = from_face if both else "rise"
        prefix = "" if which == "own" else "other "
        if at - level >= LEVEL:
            dims.append(Dim(f"{prefix}ceiling rise", f"{word} {said[which][1]}", (x, level), (x, at), "right", row))
        dims.append(Dim(f"{prefix}depth at the peak", f"depth {said[which][2]}", (x, at), (x, top), "right", row))
    height = f"overall {feet_inches(scissor.height)}"
    dims.append(Dim("overall height", height, (x, level), (x, top), "right", len(rows) + 1))
    return tuple(dims) if both else (*dims, *_tail_parts(scissor, low))


def _tail_parts(scissor: ScissorBay, low: float) -> list[Dim]:
    """The tail's top corner from the plate, overhang and run; a tail below the plate goes on the heel's line."""
    left, level = scissor.left, scissor.left.plate
    dims = [Dim("run", f"run {feet_inches(left.run)}", (0.0, low), (left.run, low), "bottom")]
    if not left.overhang:
        return dims
    tail = left.roof.at(-left.overhang)
    if abs(tail - level) >= LEVEL:
        text = f"tail {feet_inches(abs(tail - level))} {'above' if tail >= level else 'below'}"
        ends = (-left.overhang, level), (-left.overhang, tail)
        dims.append(Dim("top of tail", text, *ends, "left", 2 if tail > level else 1))
    out = Dim("overhang", feet_inches(left.overhang), (-left.overhang, low), (0.0, low), "bottom")
    return [*dims, out]


def _inset(scissor: ScissorBay) -> tuple[list[Part], Point]:
    """The bearing larger, in the room under the ceiling: chord and plate, and both ceiling lines leaving the plate.

    And the frame's lower left corner.
    """
    left = scissor.left
    assert left.ceiling is not None
    c, wide, run = left.ceiling.slope, left.bearing, left.run
    x0, x1, y0 = -0.35 * wide, 2.4 * wide, -0.5 * wide
    y1 = max(c * x1 + 0.3 * wide, 0.6 * wide)
    scale = min(0.5 * run / (x1 - x0), 0.5 * run / (y1 - y0))
    at_x = run - 0.05 * run - scale * (x1 - x0)
    ceiling = left.ceiling.at(at_x) - (face_shift(scissor) if scissor.ceiling_from == "outside" else 0.0)
    at_y = min(ceiling - left.plate, 0.0) - 0.08 * run - scale * y1
    plate = ((0.0, -wide), (wide, -wide), (wide, 0.0), (0.0, 0.0))
    _, bottom, _ = chord_outlines(scissor, "left")
    chord = tuple((x, y - left.plate) for x, y in bottom)
    start = wide - left.start
    line = (start, 0.0), (x1 + wide, c * (x1 + wide - start))
    parts: list[Part] = [
        Shape("plate, larger", plate, "wall"),
        Shape("bottom chord, larger", chord, "truss"),
        Stroke("other face, larger", line, "long line"),
    ]

    def magnify(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((at_x + (x - x0) * scale, left.plate + at_y + (y - y0) * scale) for x, y in points)

    frame = Shape("inset", magnify(rectangle(x0, y0, x1, y1)), "lens")
    inside = [part._replace(points=magnify(part.points)) for part in cut(parts, box(x0, y0, x1, y1))]
    return [frame, *inside], magnify(((x0, y0),))[0]


# --- the states of the heel ------------------------------------------------------------------------------------------

STATES = ("below minimum", "standard", "raised")


def bounds_of(scissor: ScissorBay) -> tuple[float, float]:
    """The minimum heel, and the heel from which it is raised, in; where the second is no higher, none is standard."""
    return scissor.minimum_heel, scissor.left.heel - scissor.space_outside


def heels_of(scissor: ScissorBay) -> dict[str, float]:
    """One heel for each state these chords and pitches can have: the truss's own, and examples beside it."""
    least, raised = bounds_of(scissor)
    shown = {"below minimum": sixteenth(0.6 * least)}
    if raised - least > 1 / 8:
        shown["standard"] = sixteenth((least + raised) / 2)
    shown["raised"] = sixteenth(max(least, raised) + 2.0)
    return shown | {scissor.heel_state: scissor.left.heel}


def states(scissor: ScissorBay) -> Scene:
    """The heel in its three states side by side, the truss's own among them on a heavy line."""
    least, raised = bounds_of(scissor)
    ranges = {
        "below minimum": f"under {feet_inches(least)}",
        "standard": f"{feet_inches(least)} to {feet_inches(raised)}",
        "raised": f"from {feet_inches(max(least, raised))}",
    }
    made = [(state, heel, _with_words(scissor, heel)) for state, heel in heels_of(scissor).items()]
    columns = [(state, heel, bay) for state, heel, bay in made if bay is not None]
    columns.sort(key=lambda column: STATES.index(column[0]))
    left = scissor.left
    m, out, reach = left.roof.slope, 8.0, left.bearing + 14.0
    low, high = -10.0, max(heel for _, heel, _ in columns) + m * reach + 1.0
    step = max(reach + out + 6.0, 0.7 * (high - low))
    parts: list[Part] = []
    notes: list[Note] = []
    for number, (state, heel, bay) in enumerate(columns):
        shift = number * step
        parts += _shape_column(bay, (-out, low, reach, high), shift, state == scissor.heel_state)
        under = low - max(0.06 * step * len(columns), 0.13 * (high - low))
        at = shift + (reach - out) / 2, under
        text = f"NOW {state}: {feet_inches(heel)}" if state == scissor.heel_state else state
        notes.append(Note(state, text, at, "middle", 1))
        notes.append(Note(f"{state} range", ranges[state], at, "middle", -1))
    shapes, strokes = parts_drawing(parts)
    return Scene(
        "The three states of a heel",
        f"Heel {feet_inches(left.heel)}: {scissor.heel_state}. Minimum heel {feet_inches(least)}, raised from "
        f"{feet_inches(max(least, raised))}. Span {feet_inches(scissor.gable.span)}.",
        shapes,
        strokes,
        (),
        (),
        (
            Title("chords", f"{chord_words(scissor)}, {rise_text(m)} over {_ceiling(left)} in 12", "left"),
            Title("whose", "fill and cuts are the manufacturer's", "right"),
        ),
        tuple(note.name for note in notes),
        tuple(notes),
    )


def _ceiling(end: End) -> str:
    assert end.ceiling is not None
    return rise_text(end.ceiling.slope)


def _with_words(scissor: ScissorBay, heel: float) -> ScissorBay | None:
    """The truss with another heel; None where its chords would not part."""
    try:
        return scissor if heel == scissor.left.heel else scissor.with_(heel=heel)
    except InputError:
        return None


def _shape_column(bay: ScissorBay, window: tuple[float, float, float, float], shift: float, now: bool) -> list[Part]:
    """One heel cut to a window, moved to its column; a plumb line with ticks is the heel."""
    left = bay.left
    x0, y0, x1, y1 = window
    level = left.plate
    parts = cut([*wall(left, "wall", -y0), *_chord_outlines(bay)], box(x0, y0 + level, x1, y1 + level))
    assert left.ceiling is not None
    ceiling = (left.start, level), (x1 + 2.0, left.ceiling.at(x1 + 2.0))
    parts.append(Stroke("ceiling line", ceiling, "ceiling"))
    parts.append(Stroke("heel", ((0.0, level), (0.0, level + left.heel)), "full"))
    parts += [Stroke("heel end", ((-1.2, y), (1.2, y)), "mark") for y in (level, level + left.heel)]
    if now:
        parts.append(Stroke("the truss's own", ((x0, level + y0 - 0.8), (x1, level + y0 - 0.8)), "scale bar"))
    return move(parts, shift, -level)
