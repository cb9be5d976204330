"""Scenes of insulation and air: both eaves, the height along the slope, and the attic wall at the seam.

What is seen is a section between two members: their outlines are lines, insulation and air space lie behind them.
"""

from __future__ import annotations

from dataclasses import replace

from rooflab.base import geometry as geo
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Symbols
from rooflab.checks.loads import CAUTION
from rooflab.checks.warmth import clear_height
from rooflab.draw.members import Part, chord_outlines, parts_drawing, rafter_outline, roof_skin, wall
from rooflab.draw.scene import Dim, Note, Point, Scene, Shape, Stroke, Title, box, clip, cut
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import Bay, End

from .loads import CAUTIOUS
from .parts import mirror

REACH = 20.0  # how far in past the wall an eave is shown, in
KEY = "a block on the plate, insulation behind it, air above between the dotted lines"
BLOCK = 1.0  # thickness of the baffle as drawn, in


def _layer_strokes(bay: Bay, end: End, air: float, reach: float) -> list[Part]:
    """Insulation over the plate, the block at its outer edge and the air space, from the outside face to ``reach``."""
    m = abs(end.roof.slope)
    c = end.ceiling.slope * end.wall.inward if end.ceiling else 0.0
    start = end.start if end.ceiling else reach
    gap = float(geo.plumb_depth(air, m))

    def roof(x: float) -> float:
        return end.heel + m * x

    far = [(reach, roof(reach) - gap), (reach, max(c * (reach - start), 0.0))]
    floor: list[Point] = [far[1], (start, 0.0), (BLOCK, 0.0)] if start < reach else [far[1], (BLOCK, 0.0)]
    fill = clip(((BLOCK, roof(BLOCK) - gap), *far[:1], *floor), m * -1.0, 1.0, end.heel - gap)
    top = roof(0.0) - gap
    parts: list[Part] = []
    if len(fill) > 2 and top > 0.25:
        parts.append(Shape("insulation", fill, "insulation"))
        parts.append(Shape("block", ((0, 0), (BLOCK, 0), (BLOCK, top + m * BLOCK), (0, top)), "block"))
    tail = -end.overhang
    space = ((tail, roof(tail) - gap), (tail, roof(tail)), (reach, roof(reach)), (reach, roof(reach) - gap))
    return [*parts, *([Shape("air space", space, "air")] if gap else [])]


def eaves(rafters: RafterBay, scissor: ScissorBay, values: dict[str, Symbols]) -> Scene:
    """Both eaves, the truss's mirrored: insulation over the plate, air space above, baffle at the edge.

    ``values`` are the readings of ``warmth.over_plate`` of "rafter" and "truss".
    """
    reach, shift = eaves_reach(rafters, scissor)
    tails = (bay.reading("tail_underside").value for bay in (rafters, scissor))
    low = max(min(-9.0, *tails) - 1, -26.0)
    parts: list[Part] = []
    for bay, other in ((rafters, False), (scissor, True)):
        end = bay.left
        flat = _at_plate_zero(end)
        own = values["truss" if other else "rafter"]
        made: list[Part] = [*wall(flat, "wall", 12.0), *_layer_strokes(bay, flat, own["air"], reach)]
        made += [part for part in roof_skin(bay, flat, "roof", end.run) if isinstance(part, Shape)]
        if isinstance(bay, RafterBay):
            outline = [(x, y - end.plate) for x, y in rafter_outline(bay)]
            made.append(Stroke("rafter", (*outline, outline[0]), "rafter line"))
            made.append(Stroke("ceiling", ((flat.bearing, 0.0), (reach, 0.0)), "ceiling"))
        else:
            for name, points in zip(("top chord", "bottom chord"), chord_outlines(bay), strict=False):
                outline = [(x, y - end.plate) for x, y in points]
                made.append(Stroke(name, (*outline, outline[0]), "truss line"))
        top = end.heel + end.roof.slope * reach + 3
        held = cut(made, box(-end.overhang - 4, low, reach, top))
        parts += mirror(held, shift) if other else held
    shapes, strokes = parts_drawing(parts)
    dims, titles, said = [], [], []
    for name, side, x in (("rafter", "left", 0.0), ("truss", "right", shift)):
        v = values[name]
        high = max(v["clear_outside"], 0.0)
        dims.append(Dim(f"{name} outside", f"{feet_inches(high)} clear", (x, 0.0), (x, high), side))
        text = f"{name.upper()} BAY  R-{v['r_outside']:.0f} outside, R-{v['r_inside']:.0f} inside"
        titles.append(Title(name, text, side))
        said.append(
            f"{name.capitalize()} bay: heel {feet_inches(v['heel'])}, for insulation "
            f"{feet_inches(v['clear_outside'])} at the outside face and "
            f"{feet_inches(v['clear_inside'])} at the inside face"
        )
    return Scene(
        "Insulation over the plate: rafter eave on the left, truss eave on the right (mirrored)",
        f"{'. '.join(said)}. Blocks at the plates' edges keep wind out; air passes above. {CAUTION}",
        shapes,
        strokes,
        tuple(dims),
        (),
        (*titles, Title("key", KEY, "left"), CAUTIOUS),
        ("rafter", "truss", "rafter outside", "truss outside", "key"),
    )


def eaves_reach(rafters: RafterBay, scissor: ScissorBay) -> tuple[float, float]:
    """How far in both eaves are shown, and where the mirrored truss's outside face stands, in."""
    reach = max(rafters.left.bearing, scissor.left.bearing) + REACH
    return reach, 2 * reach + 16


def _at_plate_zero(end: End) -> End:
    """The end with its plate at 0."""
    return replace(end, wall=replace(end.wall, plate=0.0, x=0.0, side="left"))


# --- along the slope -------------------------------------------------------------------------------------------------

MOST = 3.0  # how many times the wanted height is shown


def along(rafters: RafterBay, scissor: ScissorBay, air: float, wanted: float, reach: dict[str, float | None]) -> Scene:
    """Height for insulation from the outside face inwards, both bays, against the ``wanted`` one (in).

    ``reach`` is where each bay first has that height, in from the outside face, or None.
    """
    top, far = MOST * wanted, min(rafters.left.run, scissor.left.apex)
    parts: list[Part] = [
        Stroke("plate", ((0.0, 0.0), (far, 0.0)), "mark"),
        Stroke("outside face", ((0.0, 0.0), (0.0, top)), "guide"),
        Stroke("inside face", ((scissor.left.bearing, 0.0), (scissor.left.bearing, top)), "guide"),
        Stroke("wanted", ((0.0, wanted), (far, wanted)), "full"),
    ]
    ends: list[Note] = []
    for bay, name, style in ((rafters, "rafter", "rafter line"), (scissor, "truss", "truss line")):
        v = bay.symbols()
        m, c, start = v["m"], v.get("c", 0.0), v.get("start", far)
        spots = [(x, float(clear_height(v["heel"], m, x, air, c, start))) for x in (0.0, min(start, far), far)]
        line = [part for part in cut([Stroke(name, tuple(dict.fromkeys(spots)), style)], box(0.0, 0.0, far, top))]
        parts += line
        x, y = line[-1].points[-1] if line else (far, 0.0)
        here = feet_inches(spots[-1][1])
        text = f"{name}: {here} in the middle" if y < top - 1 else f"{name}: goes on to {here}"
        ends.append(
            Note(f"{name} end", text, (x, y + (1 if name == "rafter" else -1)), "start", 1 if name == "rafter" else -1)
        )
    shapes, strokes = parts_drawing(parts)
    dims = [Dim("wanted height", f"wanted {feet_inches(wanted)}", (0.0, 0.0), (0.0, wanted), "left")]
    said = []
    for level, name in enumerate(("rafter", "truss"), 1):
        far_in = reach[name]
        said.append(f"{name} bay: {'nowhere' if far_in is None else f'from {feet_inches(far_in)} in'}")
        if far_in and not (level == 2 and far_in == reach["rafter"]):
            word = "both" if reach["rafter"] == reach["truss"] else name
            dims.append(
                Dim(f"{name} from", f"{word} from {feet_inches(far_in)}", (0.0, 0.0), (far_in, 0.0), "bottom", level)
            )
    return Scene(
        "Height for insulation along the slope",
        f"The wanted {feet_inches(wanted)} is there in the {', in the '.join(said)}. {CAUTION}",
        shapes,
        strokes,
        tuple(dims),
        (),
        (
            Title("what", "Height for insulation, in from the outside face; solid: rafter bay, dashed: truss", "left"),
            CAUTIOUS._replace(side="right"),
        ),
        ("what", "wanted height"),
        notes=tuple(ends),
    )


# --- the attic wall --------------------------------------------------------------------------------------------------


def attic_wall(scissor: ScissorBay, area: float) -> Scene:
    """The wall at the seam between the sloped ceiling and the flat one beside it, seen from the living room."""
    left, right = scissor.left, scissor.right
    assert left.ceiling is not None
    x0, x1 = left.wall.inside(left.start), right.wall.inside(right.start)
    x = left.wall.inside(left.apex)
    peak = (x, left.ceiling.at(x))
    parts: list[Part] = [
        *cut([*wall(left, "left wall"), *wall(right, "right wall")], ((0.0, -1.0, 14.0),)),
        Shape("attic wall", ((x0, left.plate), peak, (x1, right.plate)), "insulation"),
        Stroke(
            "roof", ((0.0, left.roof.at(0.0)), scissor.peak, (right.wall.x, right.roof.at(right.wall.x))), "truss line"
        ),
        Stroke("flat ceiling", ((x0, left.plate), (x1, left.plate)), "ceiling"),
    ]
    shapes, strokes = parts_drawing(parts)
    low = min(left.plate, right.plate) - 14
    return Scene(
        "The attic wall at the seam, from the room with the sloped ceiling",
        f"{area:.1f} sq ft of wall stand between the sloped ceiling and the attic over the flat one: an outside wall, "
        f"insulated, with an air barrier on both faces. {CAUTION}",
        shapes,
        strokes,
        (
            Dim("base", f"{feet_inches(x1 - x0)} at the flat ceiling", (x0, low), (x1, low), "bottom"),
            Dim("rise", f"{feet_inches(peak[1] - left.plate)}", (right.wall.x, left.plate), peak, "right"),
        ),
        (),
        (
            Title("area", f"ATTIC WALL {area:.1f} sq ft: insulated, air barrier on both faces", "left"),
            Title("line", "dashed: roof line", "right"),
            CAUTIOUS,
        ),
        ("area", "base", "rise"),
    )
