"""Scenes of both bays together: half sections, whole sections laid over each other, and the seam in plan."""

from __future__ import annotations

from rooflab.base import geometry as geo
from rooflab.base.inputs import pair
from rooflab.base.measure import LEVEL, feet_inches, on_center
from rooflab.draw.members import WALL, Part, chord_outlines, parts_drawing, rafter_parts, ridge_board, truss_parts, wall
from rooflab.draw.scene import Dim, Note, Point, Scene, Slope, Stroke, Title
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import End, Line
from rooflab.house.seam import SUBFASCIA, Comparison

from .key import HALVES, RAFTERS, both_halves, key_scene
from .parts import rectangle_shape, rise_text

CLEAR = 8.0  # how far the seam and a carried plane run on beyond the work, in


def _skin(bay: RafterBay | ScissorBay, slope: float) -> float:
    """Sheathing, measured plumb."""
    return float(geo.plumb_depth(bay.gable.sheathing, abs(slope)))


def _slope_over(name: str, line: Line, others: tuple[Line, ...], up: float, x0: float, x1: float) -> Slope:
    """A mark for a roof line, clear of its sheathing and of the other planes over the same stretch."""
    high = max([up, *(other.at(x) - line.at(x) for other in others for x in (x0, x1))])
    return Slope(name, rise_text(line.slope), (x0, line.at(x0) + high), line.slope, True, (x1, line.at(x1) + high))


def _under(name: str, line: Line, x0: float, x1: float) -> Slope:
    """A mark for a ceiling line, in the room below it."""
    return Slope(name, rise_text(line.slope), (x0, line.at(x0)), line.slope, False, (x1, line.at(x1)))


def _outer(end: End) -> float:
    """x of the outermost framing: the face of the subfascia, or the wall."""
    return end.wall.inside(-end.overhang - (SUBFASCIA if end.overhang else 0.0))


def _level_dims(name: str, x0: float, x1: float, level: int, word: str = "") -> Dim:
    """A level dimension below the walls; ``word`` says whose it is."""
    return Dim(name, f"{word} {feet_inches(abs(x1 - x0))}".strip(), (x0, -WALL), (x1, -WALL), "bottom", level)


def _plumb(name: str, end: End, x: float, top: Point, level: int, text: str) -> Dim:
    """A height above an end's plate, on that end's side."""
    return Dim(name, text, (x, end.plate), top, end.wall.side, level)


# --- half sections ---------------------------------------------------------------------------------------------------


def section(rafters: RafterBay, scissor: ScissorBay, seam: Comparison) -> Scene:
    """Two half sections meeting at the ridge: the rafter bay's left half and the scissor bay's right half.

    Where ends are unequal, halves would hide what differs: then both whole sections are laid over each other.
    """
    if not halves_show_all(rafters, scissor):
        return overlay(rafters, scissor, seam)
    left, right = rafters.left, scissor.right
    x, peak = rafters.peak
    top = max(peak, scissor.peak[1])
    carried, low = rafters.right.roof, min(left.plate, right.plate)
    reach = right.wall.x + right.overhang + CLEAR
    parts = [
        *rafter_parts(rafters, "left"),
        *ridge_board(rafters),
        *truss_parts(scissor, "right"),
        Stroke("seam", ((x, low - WALL), (x, top + CLEAR)), "seam"),
        Stroke("rafter plane carried across", ((x, carried.at(x)), (reach, carried.at(reach))), "plane"),
        *(
            Stroke("plate level", ((one, end.plate), (x, end.plate)), "guide")
            for end in (left, right)
            for one in (end.wall.inside(end.bearing),)
        ),
    ]
    shapes, strokes = parts_drawing(parts)
    return Scene(
        "One roof plane: rafter bay on the left, scissor bay on the right",
        _description("Half sections meeting at the ridge.", rafters, scissor, seam),
        shapes,
        strokes,
        _section_dims(rafters, scissor),
        _section_slopes(rafters, scissor),
        (
            Title(
                "rafter bay", f"RAFTER BAY  {_stock_words(rafters)}, seat {feet_inches(pair(rafters.seat)[0])}", "left"
            ),
            Title("scissor bay", f"SCISSOR BAY  {_chord_parts(scissor)}; dotted webs by the truss designer", "right"),
        ),
        ("span", "roof pitch", "ceiling pitch", "rafter heel", "truss heel", "rafter height", "overall height"),
    )


def halves_show_all(rafters: RafterBay, scissor: ScissorBay) -> bool:
    """Whether the ends are equal, so that a half of each bay says all."""
    walls = [bay.right.wall.x for bay in (rafters, scissor)]
    return rafters.equal_ends and scissor.equal_ends and abs(walls[0] - walls[1]) < 1e-9


def section_key(rafters: RafterBay, scissor: ScissorBay) -> Scene:
    """The key beside the section: it shows a half of each bay, or both halves of both."""
    lit = HALVES if halves_show_all(rafters, scissor) else both_halves(RAFTERS, "A")
    return key_scene(lit, rafters, scissor)


def _section_dims(rafters: RafterBay, scissor: ScissorBay) -> tuple[Dim, ...]:
    left, right = rafters.left, scissor.right
    x, far = rafters.peak[0], right.wall.x
    level, low = right.plate, min(left.plate, right.plate)
    rafter_top, truss_top = left.plate + rafters.peak_height, level + scissor.height
    dims = [
        _plumb("rafter heel", left, 0.0, (0.0, left.plate + left.heel), 1, feet_inches(left.heel)),
        _plumb("rafter height", left, _outer(left), (x, rafter_top), 2, feet_inches(rafters.peak_height)),
        _plumb("truss heel", right, far, (far, level + right.heel), 1, feet_inches(right.heel)),
        _plumb("overall height", right, _outer(right), (x, truss_top), 2, feet_inches(scissor.height)),
        _level_dims("rafter run", 0.0, x, 1),
        _level_dims("truss run", x, far, 1),
        Dim("span", f"{feet_inches(far)} out to out of framing", (0.0, -WALL), (far, -WALL), "bottom", 2),
        _rise_dim(scissor, x, level),
    ]
    if left.overhang:
        dims.append(_level_dims("overhang", -left.overhang, 0.0, 1))
    if right.overhang:
        dims.append(_level_dims("truss overhang", far, far + right.overhang, 1))
    return tuple(_below(dims, low))


def _below(dims: list[Dim], low: float) -> list[Dim]:
    """The dimensions, the level ones below the walls of the lowest plate."""
    y = low - WALL
    return [dim._replace(a=(dim.a[0], y), b=(dim.b[0], y)) if dim.side == "bottom" else dim for dim in dims]


def _rise_dim(scissor: ScissorBay, x: float, low: float) -> Dim:
    text = f"rise {feet_inches(scissor.ceiling_rise)}"
    return Dim("ceiling rise", text, (x, low), (x, low + scissor.ceiling_rise), "inside")


def _section_slopes(rafters: RafterBay, scissor: ScissorBay) -> tuple[Slope, ...]:
    left, right = rafters.left, scissor.right
    assert right.ceiling is not None
    x, far, carried = rafters.peak[0], right.wall.x, rafters.right.roof
    inner = far - right.bearing
    skins = _skin(rafters, left.roof.slope), _skin(scissor, right.roof.slope)
    return (
        _slope_over("roof pitch", left.roof, (), skins[0], 0.0, x),
        _slope_over("truss roof pitch", right.roof, (carried,), skins[1], x, far),
        _under("ceiling pitch", right.ceiling, x, inner),
    )


def _stock_words(rafters: RafterBay) -> str:
    size = " ".join(rafters.lumber.split()) if rafters.lumber else f"{feet_inches(rafters.depth)} deep"
    return f"{size}, cut on site"


def _chord_parts(scissor: ScissorBay) -> str:
    sizes = dict.fromkeys(" ".join(size.split()) for size in (scissor.chord, scissor.bottom_chord))
    return f"{' and '.join(sizes)} chords"


def _description(how: str, rafters: RafterBay, scissor: ScissorBay, seam: Comparison) -> str:
    """The description: how it is drawn, whether the planes run through, and the main readings of both ends."""
    heels = [
        " and ".join(dict.fromkeys(feet_inches(end.heel) for end in bay.ends)) for bay in (rafters, scissor)
    ]  # one text where both ends are equal
    return (
        f"{how} {seam.sentence} Rafter heel {heels[0]}, truss heel {heels[1]}, span {feet_inches(rafters.gable.span)}, "
        f"overall height {feet_inches(scissor.height)}, ceiling rise {feet_inches(scissor.ceiling_rise)}."
    )


# --- whole sections, one over the other ------------------------------------------------------------------------------


def overlay(rafters: RafterBay, scissor: ScissorBay, seam: Comparison) -> Scene:
    """Both whole sections, the truss dashed over the rafters, with the dimensions of both ends."""
    board = ridge_board(rafters, whole=True)
    parts: list[Part] = [*rafter_parts(rafters, "left"), *rafter_parts(rafters, "right"), *board]
    for own, end in zip(rafters.ends, scissor.ends, strict=True):
        side = end.wall.side
        if (own.wall.x, own.plate, own.bearing) != (end.wall.x, end.plate, end.bearing):
            parts += wall(end, f"{side} truss wall")
        for name, points in zip(("top chord", "bottom chord"), chord_outlines(scissor, side), strict=False):
            parts.append(Stroke(f"{side} {name}", (*points, points[0]), "truss line"))
    ends = (*rafters.ends, *scissor.ends)
    low, x = min(end.plate for end in ends), rafters.peak[0]
    inner = [one.wall.inside(one.bearing) for one in scissor.ends]
    parts.append(Stroke("plate level", ((inner[0], low), (inner[1], low)), "guide"))
    shapes, strokes = parts_drawing(parts)
    dims, slopes = _overlay_dims(rafters, scissor, low), _overlay_slopes(rafters, scissor)
    optional = {"ceiling rise", *(dim.name for dim in dims if dim.name.endswith((" run", " overhang")))}
    must = dict.fromkeys(name for name in [*(d.name for d in dims), *(s.name for s in slopes)] if name not in optional)
    return Scene(
        "One roof plane: the truss (dashed) laid over the rafters (solid)",
        _description("Whole sections laid over each other, for their ends differ.", rafters, scissor, seam),
        shapes,
        (*strokes, Stroke("ridge", ((x, low), (x, rafters.peak[1])), "guide")),
        dims,
        slopes,
        (
            Title("rafter bay", f"RAFTERS SOLID  {_stock_words(rafters)}", "left"),
            Title("scissor bay", f"TRUSS DASHED  {_chord_parts(scissor)}", "right"),
        ),
        tuple(must),
    )


def _overlay_dims(rafters: RafterBay, scissor: ScissorBay, low: float) -> tuple[Dim, ...]:
    dims: list[Dim] = []
    for ends in zip(rafters.ends, scissor.ends, strict=True):
        side = ends[0].wall.side
        words = ("heel",) if _section_key(ends[0]) == _section_key(ends[1]) else ("rafter heel", "truss heel")
        for level, (word, end) in enumerate(zip(words, ends, strict=False), 1):
            x, top = end.wall.x, end.plate + end.heel
            text = f"{word.removesuffix(' heel')} {feet_inches(end.heel)}"
            dims.append(_plumb(f"{side} {word}", end, x, (x, top), level, text))
    dims += _height_dims(rafters, scissor)
    dims += _plates(rafters, scissor)
    mine = _dim_chain(rafters)
    theirs = [
        one for one in _dim_chain(scissor) if all(max(abs(a - b) for a, b in _apart(one, two)) > LEVEL for two in mine)
    ]
    for level, (word, row) in enumerate((("rafter", mine), ("truss", theirs)), 1):
        for i, (name, x0, x1) in enumerate(row):
            said = word if theirs and (name == "left run" or (word == "truss" and i == 0)) else ""
            dims.append(_level_dims(f"{word} {name}", x0, x1, level, said))
    wide = rafters.gable.span
    dims.append(Dim("span", f"{feet_inches(wide)} out to out of framing", (0.0, 0.0), (wide, 0.0), "bottom", 3))
    x = scissor.left.wall.inside(scissor.left.apex)
    return (*_below(dims, low), _rise_dim(scissor, x, min(end.plate for end in scissor.ends)))


def _apart(one: tuple[str, float, float], two: tuple[str, float, float]) -> tuple[tuple[float, float], ...]:
    """Both ends of two stretches."""
    return (one[1], two[1]), (one[2], two[2])


def _section_key(end: End) -> tuple[str, str, str]:
    """What two ends have to share so that one heel dimension stands for both."""
    return feet_inches(end.wall.x), feet_inches(end.plate), feet_inches(end.heel)


def _height_dims(rafters: RafterBay, scissor: ScissorBay) -> list[Dim]:
    """Both bays' heights, each on the side of its lower plate, from which it counts; one where they agree."""
    dims: list[Dim] = []
    bays: tuple[tuple[str, RafterBay | ScissorBay, float], ...]
    bays = ("rafter", rafters, rafters.peak_height), ("truss", scissor, scissor.height)
    for word, bay, height in bays:
        end = min(bay.ends, key=lambda one: one.plate)
        top = bay.peak[0], end.plate + height
        name = "rafter height" if bay is rafters else "overall height"
        dims.append(_plumb(name, end, _outer(end), top, 3 + len(dims), f"{word} {feet_inches(height)}"))
    mine, theirs = dims
    same = mine.side == theirs.side and abs(mine.a[1] - theirs.a[1]) + abs(mine.b[1] - theirs.b[1]) < LEVEL
    return [theirs._replace(text=feet_inches(scissor.height))] if same else dims


def _plates(rafters: RafterBay, scissor: ScissorBay) -> list[Dim]:
    """How far each plate stands above the lowest one, where it does."""
    low = min(end.plate for end in (*rafters.ends, *scissor.ends))
    found: dict[tuple[str, float], End] = {}
    for end in (*rafters.ends, *scissor.ends):
        if end.plate - low > LEVEL:
            name = f"{end.wall.side} plate"
            found.setdefault((name, round(end.plate, 6)), end)
    return [
        Dim(
            name, f"plate +{feet_inches(end.plate - low)}", (end.wall.x, low), (end.wall.x, end.plate), end.wall.side, 1
        )
        for (name, _), end in found.items()
    ]


def _dim_chain(bay: RafterBay | ScissorBay) -> list[tuple[str, float, float]]:
    """A bay's overhangs and runs, from left to right."""
    left, right, x = bay.left.wall, bay.right.wall, bay.peak[0]
    spots = [left.x - left.overhang, left.x, x, right.x, right.x + right.overhang]
    names = ("left overhang", "left run", "right run", "right overhang")
    return [
        (name, round(x0, 9), round(x1, 9))
        for name, x0, x1 in zip(names, spots, spots[1:], strict=False)
        if x1 - x0 > 1e-9
    ]


def _overlay_slopes(rafters: RafterBay, scissor: ScissorBay) -> tuple[Slope, ...]:
    marks = []
    for mine, theirs in zip(rafters.ends, scissor.ends, strict=True):
        side, ceiling = mine.wall.side, theirs.ceiling
        assert ceiling is not None
        up, x = _skin(rafters, mine.roof.slope), rafters.peak[0]
        marks.append(_slope_over(f"{side} roof pitch", mine.roof, (theirs.roof,), up, mine.wall.x, x))
        if abs(mine.roof.slope - theirs.roof.slope) > 1e-9:
            lines = mine.roof, theirs.roof
            marks.append(
                _slope_over(f"{side} truss roof pitch", theirs.roof, lines, up, theirs.wall.x, scissor.peak[0])
            )
        inner, apex = theirs.wall.inside(theirs.bearing), theirs.wall.inside(theirs.apex)
        marks.append(_under(f"{side} ceiling pitch", ceiling, apex, inner))
    return tuple(marks)


# --- the seam in plan ------------------------------------------------------------------------------------------------

PANEL_LONG, PANEL_WIDE, EDGE = 96.0, 48.0, 0.6  # a sheathing panel, and by how much its outline is drawn inside it, in
LEFT, RIGHT, DEEP = -112.0, 136.0, 72.0  # what the plan shows, in


def meets_every(rafter_spacing: float, truss_spacing: float) -> float | None:
    """Distance after which a rafter and a truss would stand in one line again, in; None beyond 48 trusses.

    >>> meets_every(16, 24), meets_every(19.2, 24)
    (48.0, 96.0)
    """
    for count in range(1, 49):
        ratio = count * truss_spacing / rafter_spacing
        if abs(ratio - round(ratio)) < 1e-9:
            return float(count * truss_spacing)
    return None


def _joints(rafter_spacing: float, truss_spacing: float, first: float) -> list[float]:
    """Where the panels of one row end, each on framing; ``first`` is the joint left of the seam."""
    joints = [first]
    while joints[0] > LEFT:
        joints.insert(0, joints[0] - rafter_spacing * int(PANEL_LONG / rafter_spacing + 1e-9))
    while joints[-1] < RIGHT:
        joints.append(truss_spacing * int((joints[-1] + PANEL_LONG) / truss_spacing + 1e-9))
    return joints


def _panels(rafter_spacing: float, truss_spacing: float) -> list[Part]:
    """Rows of sheathing panels, their ends staggered; a diagonal marks each panel that runs across the seam."""
    parts: list[Part] = []
    half = -rafter_spacing * int(PANEL_WIDE / rafter_spacing + 1e-9)
    for y0, y1, first in ((0.0, 12.0, 0.0), (12.0, 60.0, half), (60.0, DEEP, 0.0)):
        joints = _joints(rafter_spacing, truss_spacing, first)
        for a, b in zip(joints, joints[1:], strict=False):
            x0, x1 = max(a + EDGE, LEFT), min(b - EDGE, RIGHT)
            low, high = (y0 + EDGE * (y0 > 0), y1 - EDGE * (y1 < DEEP))
            if x0 < x1:
                corners = [(x0, low), (x1, low), (x1, high), (x0, high)]
                if x1 == RIGHT:  # a panel that runs out of the picture stays open there
                    corners = [(x1, low), (x0, low), (x0, high), (x1, high)]
                elif x0 > LEFT:
                    corners.append(corners[0])
                parts.append(Stroke("panel", tuple(corners), "panel"))
            if a <= 0 < b:
                parts.append(Stroke("panel across the seam", ((x0, low), (x1, high)), "diagonal"))
    return parts


def seam_plan(rafter_spacing: float = 16.0, truss_spacing: float = 24.0) -> Scene:
    """The seam seen from above: the last rafters, the first trusses, the roof sheathing across both, at true scale."""
    rafter_at = [-i * rafter_spacing for i in range(int(-LEFT / rafter_spacing + 1e-9) + 1)]
    truss_at = [i * truss_spacing for i in range(1, int(RIGHT / truss_spacing + 1e-9) + 1)]
    shapes = tuple(
        rectangle_shape(name, x - 0.75, -4, x + 0.75, DEEP + 4, f"{name} in plan")
        for name, places in (("rafter", rafter_at), ("truss", truss_at))
        for x in places
    )
    middle = truss_spacing / 2
    panels = parts_drawing(_panels(rafter_spacing, truss_spacing))[1]
    seam = Stroke("seam", ((middle, -8), (middle, DEEP + 8)), "seam")
    said, meet = feet_inches(truss_spacing), meets_every(rafter_spacing, truss_spacing)
    joint = -rafter_spacing * int(PANEL_WIDE / rafter_spacing + 1e-9)
    end = truss_spacing * int((joint + PANEL_LONG) / truss_spacing + 1e-9)
    spots = [
        ("rafter spacing", "", -3 * rafter_spacing, -2 * rafter_spacing, 1),
        ("across the seam", "", 0.0, truss_spacing, 1),
        ("truss spacing", "", 3 * truss_spacing, 4 * truss_spacing, 1),
        ("panel", "panel across the seam", joint, end, 2),
    ]
    if meet and meet <= RIGHT:
        beside = end % meet == 0 and end + meet <= RIGHT
        at, level = (end, 2) if beside else (0.0, 3)
        spots.append(("meeting", "both meet every", at, at + meet, level))
    return Scene(
        "The seam in plan: rafters on the left, trusses on the right",
        f"Rafters {on_center(rafter_spacing)}, trusses {on_center(truss_spacing)}; the last rafter and the first truss "
        f"are {said} on center. Roof sheathing runs across the seam, its panel ends staggered on framing; the same "
        "sheathing on both sides.",
        shapes,
        (*panels, seam),
        tuple(
            Dim(name, f"{text} {feet_inches(b - a)}".strip(), (a, -8), (b, -8), "bottom", level)
            for name, text, a, b, level in spots
        ),
        (),
        (
            Title("rafters", "RAFTERS solid, panel ends staggered", "left"),
            Title("trusses", "TRUSSES hollow, same sheathing", "right"),
        ),
        ("rafter spacing", "truss spacing", "across the seam"),
        (
            Note("last rafter", "last rafter", (0.75, DEEP + 8), "end"),
            Note("first truss", "first truss", (truss_spacing - 0.75, DEEP + 8), "start"),
        ),
    )
