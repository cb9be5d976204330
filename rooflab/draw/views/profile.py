"""The profile of a truss type: the outline and the dimensions that the manufacturer needs, no webs and no forces.

Heights say which plate they count from: L is the left plate, R the right one, M the main plate (y = 0).  Printed chains
add up to the sixteenth: one figure of a chain is the total less the printed others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import pair
from rooflab.base.measure import LEVEL, feet_inches, on_center, sixteenth
from rooflab.draw.members import Part, chord_outlines, parts_drawing, wall
from rooflab.draw.scene import Dim, Note, Point, Scene, Shape, Slope, Stroke, Title
from rooflab.house.bays import ScissorBay
from rooflab.house.jog import gable_end
from rooflab.house.planes import End
from rooflab.job.jobfile import Job
from rooflab.job.schedule import TrussType

from .parts import rise_text

DEEP = 14.0  # how far walls are shown below the lowest plate, in


def height_chain(positions: Sequence[float], rest: int = -1) -> tuple[float, ...]:
    """Printed lengths between rising positions, in sixteenths; the ``rest`` one is the printed total less the others.

    >>> height_chain((0.0, 1 / 3, 2 / 3, 1.0))
    (0.3125, 0.3125, 0.375)
    """
    parts = [sixteenth(b - a) for a, b in zip(positions, positions[1:], strict=False)]
    total = sixteenth(positions[-1] - positions[0])
    parts[rest] = sixteenth(total - sum(parts) + parts[rest])
    return tuple(parts)


# --- heights, each above a plate -------------------------------------------------------------------------------------


class Heights(NamedTuple):
    """The printed heights of a profile, in, in whole sixteenths that add up.

    ``overall`` counts from plate L and from plate R, ``main`` from the main plate; ``plates`` are L and R above it.
    ``rise`` is the ceiling's above the lower plate, ``depth`` what is left of the height under the ridge.
    """

    overall: tuple[float, float]
    main: float
    plates: tuple[float, float]
    rise: float
    depth: float


def lower_bay(bay: ScissorBay) -> End:
    """The end with the lower plate; the left one where both are level."""
    return bay.right if bay.right.plate < bay.left.plate - LEVEL else bay.left


def apex_off(bay: ScissorBay) -> float:
    """How far the ceiling's apex stands right of the ridge, in."""
    return float(bay.left.wall.inside(bay.left.apex) - bay.peak[0])


def heights(bay: ScissorBay) -> Heights:
    """The heights as they are printed: overall height and rise as they read, the others what is left."""
    left, right = (sixteenth(end.plate) for end in bay.ends)
    low = sixteenth(lower_bay(bay).plate)
    top, rise = sixteenth(bay.height), sixteenth(bay.ceiling_rise)
    under = abs(apex_off(bay)) < LEVEL
    depth = sixteenth(top - rise) if under else sixteenth(bay.depth_at_peak)
    return Heights(
        (sixteenth(top + low - left), sixteenth(top + low - right)), sixteenth(top + low), (left, right), rise, depth
    )


def plates_differ(bay: ScissorBay) -> bool:
    """Whether its two plates stand at different heights."""
    return abs(bay.left.plate - bay.right.plate) > LEVEL


def plate_is_off(bay: ScissorBay) -> bool:
    """Whether one of its plates stands off the main plate."""
    return max(abs(bay.left.plate), abs(bay.right.plate)) > LEVEL


def plate_names(bay: ScissorBay) -> str:
    """What the letters at the heights mean."""
    said = "heights above L left plate, R right plate"
    if not plate_is_off(bay):
        return f"{said}: both the main plate"
    main = [word for word, end in (("L", bay.left), ("R", bay.right)) if abs(end.plate) <= LEVEL]
    return f"{said} (the main plate, M)" if main == ["R"] else f"{said}, M main plate{' (here L)' if main else ''}"


# --- the scene -------------------------------------------------------------------------------------------------------


def profile(
    bay: ScissorBay, title: str = "Truss profile", layers: tuple[float, float] | None = None, square: bool = False
) -> Scene:
    """A truss type with every dimension of its profile.

    ``layers`` (gypsum, furring) draws the finished ceiling below the chords; tails are cut plumb, or ``square``.
    """
    left, right = bay.left, bay.right
    peak, low = bay.peak, lower_bay(bay).plate
    tails = [end.roof.at(end.wall.inside(-end.overhang)) for end in bay.ends]
    floor = (
        min(low, 0.0, *(tail - float(geo.plumb_depth(bay.chord_depth, bay.left.roof.slope)) for tail in tails)) - DEEP
    )
    parts: list[Part] = []
    for end in bay.ends:
        side = end.wall.side
        top, bottom, _ = chord_outlines(bay, side)
        top = _square_tail(bay, end, top) if square else top
        parts += wall(end, f"{side} wall", end.plate - floor)
        parts += [Shape(f"{side} bottom chord", bottom, "truss"), Shape(f"{side} top chord", top, "truss")]
    inner = [end.wall.inside(end.bearing) for end in bay.ends]
    parts.append(Stroke("own plate line", ((inner[0], low), (inner[1], low)), "guide"))
    if plate_is_off(bay):
        parts.append(Stroke("main plate line", ((left.wall.x, 0.0), (right.wall.x, 0.0)), "guide"))
    parts += [Stroke("finish line", line, "ceiling") for line in finish_lines(bay, layers)]
    shapes, strokes = parts_drawing(parts)
    dims = (*_plate_levels(bay, floor), *_profile_heights(bay, floor), *_inside(bay))
    titles = [Title("title", title, "left"), Title("plates", plate_names(bay), "right")]
    if layers:
        titles.append(Title("finish", f"dashed: finished ceiling, {finish_words(layers)} below the chords", "left"))
    slopes = (*pitch_marks(left), *pitch_marks(right))
    must = [dim.name for dim in dims if dim.side != "inside"] + [slope.name for slope in slopes]
    return Scene(
        title,
        f"{title}. Span {feet_inches(right.wall.x - left.wall.x)} out to out of framing, heels "
        f"{feet_inches(left.heel)} left and {feet_inches(right.heel)} right, overall height "
        f"{feet_inches(bay.height)}, ceiling rise {feet_inches(bay.ceiling_rise)}.",
        shapes,
        strokes,
        dims,
        slopes,
        tuple(titles),
        tuple(must),
        tuple(_plate_note(end, peak[0]) for end in bay.ends),
    )


def _square_tail(bay: ScissorBay, end: End, top: tuple[Point, ...]) -> tuple[Point, ...]:
    """A top chord whose tail is cut square to its edges: its upper corner stays, the lower one moves inward."""
    m = abs(end.roof.slope)
    along = float(bay.chord_depth / geo.plumb_depth(1.0, m))  # the depth's level and plumb parts: m and 1 of it
    if end.overhang <= m * along:  # it would end over the wall
        return top
    x, y = top[0]
    return (*top[:-1], (x + end.wall.inward * m * along, y - along))


def _plate_levels(bay: ScissorBay, floor: float) -> list[Dim]:
    """The chains under the work: overhangs and runs, bearings, span; empty stretches are left away."""
    left, right, ridge = bay.left, bay.right, bay.peak[0]
    x0, x1 = left.wall.x, right.wall.x
    runs, bearings = (x0, ridge, x1), (x0, x0 + left.bearing, x1 - right.bearing, x1)
    rows = [
        (1, "left overhang", "overhang {}", sixteenth(left.overhang), x0 - left.overhang, x0),
        *(
            (1, f"{side} run", "run {}", *part)
            for side, part in zip(("left", "right"), _profile_parts(runs), strict=True)
        ),
        (1, "right overhang", "overhang {}", sixteenth(right.overhang), x1, x1 + right.overhang),
    ]
    names = (
        ("left bearing", "bearing {}"),
        ("between bearings", "between bearings {}"),
        ("right bearing", "bearing {}"),
    )
    rows += [(2, name, word, *part) for (name, word), part in zip(names, _profile_parts(bearings, 1), strict=True)]
    rows.append((3, "span", "{} span, out to out of framing", sixteenth(x1 - x0), x0, x1))
    return [
        Dim(name, word.format(feet_inches(length)), (a, floor), (b, floor), "bottom", level)
        for level, name, word, length, a, b in rows
        if length
    ]


def _profile_parts(positions: Sequence[float], rest: int = -1) -> list[tuple[float, float, float]]:
    """Printed length and both ends of each part of a chain."""
    return list(zip(height_chain(positions, rest), positions, positions[1:], strict=False))


def _profile_heights(bay: ScissorBay, floor: float) -> list[Dim]:
    """Heels and plates, and overall heights outside them, each side from its own plate."""
    dims, told, peak, low = list[Dim](), heights(bay), bay.peak, lower_bay(bay)
    for i, end in enumerate(bay.ends):
        side, mark, x, plate = end.wall.side, "LR"[i], end.wall.x, end.plate
        dims.append(
            Dim(f"{side} heel", f"heel {mark} {feet_inches(end.heel)}", (x, plate), (x, plate + end.heel), side, 1)
        )
        if abs(plate) > LEVEL:
            said = f"{mark} {'above' if plate > 0 else 'below'} M {feet_inches(abs(told.plates[i]))}"
            dims.append(Dim(f"{side} plate", said, (x, min(plate, 0.0)), (x, max(plate, 0.0)), side, 1))
        if end is low or plates_differ(bay):
            name = "overall height" if end is low else f"{side} height"
            at = end.wall.inside(-end.overhang), plate
            dims.append(Dim(name, f"overall {mark} {feet_inches(told.overall[i])}", at, peak, side, 2))
    if all(abs(end.plate) > LEVEL for end in bay.ends):
        at = bay.left.wall.inside(-bay.left.overhang), 0.0
        dims.append(Dim("main height", f"overall M {feet_inches(told.main)}", at, peak, "left", 3))
    return dims


def _inside(bay: ScissorBay) -> list[Dim]:
    """Ceiling rise and depth at the peak, in the open room where there is some."""
    told, peak, low = heights(bay), bay.peak, lower_bay(bay)
    apex, mark = bay.left.wall.inside(bay.left.apex), "R" if low is bay.right else "L"
    dims = [
        Dim("depth at peak", f"depth {feet_inches(told.depth)}", (peak[0], bay.ceiling_at(peak[0])), peak, "inside")
    ]
    if told.rise > 0:
        top = apex, low.plate + bay.ceiling_rise
        dims.insert(0, Dim("ceiling rise", f"rise {mark} {feet_inches(told.rise)}", (apex, low.plate), top, "inside"))
    return dims


def _plate_note(end: End, ridge: float) -> Note:
    """The letter of a plate, under it and inside its wall."""
    left = end.wall.side == "left"
    return Note(f"{end.wall.side} plate mark", "plate L" if left else "plate R",
                (end.wall.inside(end.bearing + 1.0), end.plate), "start" if left else "end", -1)  # fmt: skip


def pitch_marks(end: End) -> list[Slope]:
    """The pitch marks of one end; below the ceiling they keep clear of the plate's letter."""
    side, roof, ceiling = end.wall.side, end.roof, end.ceiling
    assert ceiling is not None
    eave, ridge = end.wall.x, end.wall.inside(end.run)
    apex, near = end.wall.inside(end.apex), end.wall.inside(end.start + 0.25 * (end.apex - end.start))
    under = ceiling.slope or -1e-9 * end.wall.inward
    pitches = rise_text(roof.slope), rise_text(ceiling.slope)
    return [
        Slope(f"{side} roof pitch", pitches[0], (eave, roof.at(eave)), roof.slope, True, (ridge, roof.at(ridge))),
        Slope(f"{side} ceiling pitch", pitches[1], (apex, ceiling.at(apex)), under, False, (near, ceiling.at(near))),
    ]


# --- finish and gable end --------------------------------------------------------------------------------------------


def finish_words(layers: tuple[float, float]) -> str:
    """Gypsum and furring in words."""
    gypsum, furring = layers
    return f"{feet_inches(gypsum)} gypsum" + (f" on {feet_inches(furring)} furring" if furring else "")


def finish_lines(bay: ScissorBay, layers: tuple[float, float] | None) -> list[tuple[tuple[float, float], ...]]:
    """The finished ceiling from the walls to its apex: the chord line less the layers, plumb."""
    if not layers or not sum(layers):
        return []
    lines = []
    for end in bay.ends:
        assert end.ceiling is not None
        below = float(geo.plumb_depth(sum(layers), abs(end.ceiling.slope)))
        spots = end.wall.inside(end.bearing), end.wall.inside(end.apex)
        lines.append(tuple((x, end.ceiling.at(x) - below) for x in spots))
    return lines


def gable_end_truss(bay: ScissorBay, outlooker: str, laid: str) -> ScissorBay:
    """The gable end truss: roof lines lowered for outlookers, plates and ceiling kept.  InputError where none is left.

    >>> from rooflab import Gable
    >>> gable_end_truss(ScissorBay(Gable("26'", 9, "5 1/2", 16), 4, "8 5/8"), "2x4", "flat").left.heel
    6.75
    """
    drops = [gable_end(bay, outlooker, laid, side).drop for side in ("left", "right")]
    left, right = (heel - drop for heel, drop in zip(pair(bay.heel_input), drops, strict=True))
    return bay.with_(heel=(left, right))


def dropped_gable_end(job: Job, kind: TrussType) -> ScissorBay:
    """The gable end truss of a type as it is ordered: dropped, and without tails.  InputError where none is left."""
    bay = gable_end_truss(kind.bay(job.scissor), *job.outlooker)
    jogs = tuple(replace(jog, eave="stepped") for jog in bay.jogs)
    return bay.with_(gable=replace(bay.gable, overhang=0.0), jogs=jogs)


def profile_scene(job: Job, kind: TrussType) -> Scene:
    """The profile of one type of a job, as sheet, DXF and screen draw it."""
    square = job.loads.get("tail_cut") == "square"
    return profile(kind.bay(job.scissor), f"TYPE {kind.mark}", job.finish, square)


def gable_scene(job: Job, kind: TrussType) -> Scene:
    """The dropped gable end truss of a type.  InputError where it cannot be dropped."""
    return profile(dropped_gable_end(job, kind), f"TYPE {kind.mark}, GABLE END", job.finish)


def scenes(job: Job) -> list[Scene]:
    """Every profile of a job in the order of its sheets; a gable end that cannot be dropped is left away."""
    return [scene for scene, _ in _worded_scenes(job)]


def scene_words(job: Job) -> list[str]:
    """Mark, quantity and spacing of each of a job's profiles, in the order of ``scenes``."""
    return [line for _, line in _worded_scenes(job)]


def _worded_scenes(job: Job) -> list[tuple[Scene, str]]:
    found = []
    for kind in job.types:
        line = f"Type {kind.mark}: {kind.quantity} at {on_center(kind.spacing)}"
        found.append((profile_scene(job, kind), line))
        if kind.gable_ends:
            try:
                found.append((gable_scene(job, kind), f"Gable end truss, type {kind.mark}: {kind.gable_ends}"))
            except ValueError:
                continue
    return found
