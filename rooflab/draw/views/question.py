"""The case that a question is about: its heel or its half, what is asked for marked with "?", givens dimensioned.

The answer is never written, neither in the picture nor in its description; what is asked for is drawn heavier.  A heel
is a given only where the question names it: it may be what was asked for just before.
"""

from __future__ import annotations

import re
from collections.abc import Container
from dataclasses import replace
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.inputs import pair
from rooflab.base.measure import feet_inches
from rooflab.draw.members import Part, parts_drawing, points_at, rafter_parts, ridge_board, truss_parts
from rooflab.draw.scene import Dim, Note, Point, Scene, Slope, Stroke, Title, box, cut
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.jog import WallJog
from rooflab.lessons.questions import Choice, Question

from .jog import jog_sections
from .parts import rise_text

FRAME = (520, 260)  # of a picture beside a question, px
AT_HEEL = ("heel", "plumb_depth", "birdsmouth_plumb", "notch_depth", "notch_ratio", "minimum_heel", "space_outside",
           "space_inside")  # fmt: skip
UNDER, BEYOND, OVER = 7.0, 8.0, 3.0  # what is shown under a plate and beyond a bearing; a line over the roof, in
ALONG = 0.8  # where the "?" of a line along the slope stands
SLOPED = ("line_length", "cut_length", "stock_length", "ridge_shortening", "notch_depth", "notch_ratio", "angle")


JOG_NAMES = {"rise": "plate", "heel": "short heel", "run": "short run"}  # of readings, on the drawing of a wall jog
JOG_WAYS = {"ceiling_break": "same heel"}  # the way that is drawn, where it is another one than a moved plate
NUMBER = r"\d(?:[\d'./,]|(?<=\d) (?=\d+/)|-(?=\d))*\"?"  # a length as on a tape, or another number


class Measure(NamedTuple):
    """What is asked for: its two ends, in from the outside face and up from the plate, and the side of its "?"."""

    a: Point
    b: Point
    side: str  # of the chain, or "" where it lies along or square to the slope


def question_scene(question: Question | Choice) -> Scene | None:
    """The picture of what a question asks; None where there is no fitting one."""
    bay = question.bay if isinstance(question, Question) else None
    if isinstance(bay, WallJog):
        assert isinstance(question, Question)
        way = next(one for one in bay.ways if one.name == JOG_WAYS.get(question.reading, "move plate"))
        asked_of = {JOG_NAMES.get(question.reading, "")}
        return quiet_scene(jog_sections(bay, way), question.row.label, asked_of, question.prompt, question.text)
    if not isinstance(question, Question) or not isinstance(bay, (RafterBay, ScissorBay)):
        return None
    measure = _rafter_measures(bay) if isinstance(bay, RafterBay) else _truss_measures(bay)
    if question.reading not in measure:
        return None
    asked, end = measure[question.reading], bay.left
    near = question.reading in AT_HEEL
    label, m = question.row.label, end.roof.slope
    parts: list[Part] = [*rafter_parts(bay), *ridge_board(bay)] if isinstance(bay, RafterBay) else [
        *truss_parts(bay, "left")
    ]  # fmt: skip
    low = -UNDER - (m * pair(bay.seat)[0] if isinstance(bay, RafterBay) else 0.0)
    reach = end.bearing + BEYOND if near else end.run
    top = end.heel + m * reach + 2 * OVER
    out = 7.0 if near else end.overhang + 4
    window = (*points_at(end, ((-out, low), (reach, top))),)
    parts = cut(parts, box(*window[0], *window[1]))
    a, b = points_at(end, (asked.a, asked.b))
    parts += [Stroke("asked glow", (a, b), "aglow"), Stroke("asked", (a, b), "chosen")]
    dims = [dim for dim in _givens(bay, question, low, near) if question.text not in dim.text]
    notes: tuple[Note, ...] = ()
    if asked.side:
        dims.append(Dim("asked", "?", a, b, asked.side, 1))
    else:
        notes = (Note("asked", "?", (a[0] + ALONG * (b[0] - a[0]), a[1] + ALONG * (b[1] - a[1])), "end"),)
    shapes, strokes = parts_drawing(parts)
    scene = Scene(
        f"Asked for: {label}",
        f"{'The heel' if near else 'Half'} of the {'rafters' if isinstance(bay, RafterBay) else 'truss'} of the "
        f"question; {label.lower()} is marked with a question mark.",
        shapes,
        strokes,
        tuple(dims),
        tuple(_slopes(bay, question, near, reach)),
        (Title("label", f"? = {label}", "left"),),
        tuple(dim.name for dim in dims),
        notes,
    )
    texts = (*(dim.text for dim in scene.dims), *(slope.rise for slope in scene.slopes), scene.description)
    return None if any(question.text in text for text in texts) else scene


def quiet_scene(scene: Scene, label: str, asked: Container[str], given: str, answer: str) -> Scene:
    """A drawing as a question shows it: "?" for the ``asked`` names, and of all other numbers those ``given`` alone.

    What has no number stays; what says the ``answer`` does not.
    """

    told = set(re.findall(NUMBER, given))

    def known(text: str) -> bool:
        return answer not in text and told.issuperset(re.findall(NUMBER, text))

    dims = [one._replace(text="?" if one.name in asked else one.text) for one in scene.dims]
    notes = [one._replace(text="?" if one.name in asked else one.text) for one in scene.notes]
    dims, notes = [one for one in dims if known(one.text)], [one for one in notes if known(one.text)]
    slopes = [one for one in scene.slopes if f"{one.rise} in 12" in given and one.rise != answer]
    titles = [one for one in scene.titles if known(one.text)]
    marked = any(one.name in asked for one in dims) or any(one.name in asked for one in notes)
    head = Title("label", f"? = {label}", "left") if marked else Title("label", f"Asked for: {label}", "left")
    said = f"{label} is marked with a question mark." if marked else "Only what is given is written."
    kept = {one.name for one in dims} | {one.name for one in notes} | {one.name for one in titles}
    return replace(
        scene, title=f"Asked for: {label}", description=said, dims=tuple(dims), notes=tuple(notes),
        slopes=tuple(slopes), titles=(head, *titles), must=tuple(name for name in scene.must if name in kept),
    )  # fmt: skip


def _rafter_measures(bay: RafterBay) -> dict[str, Measure]:
    """What each reading of a rafter bay measures."""
    end, seat, t = bay.left, pair(bay.seat)[0], bay.ridge_size[0]
    m, heel, run, o = end.roof.slope, end.heel, end.run, end.overhang
    k, deep, short = float(geo.stretch(m)), bay.plumb_depth, run - t / 2

    def top(x: float, over: float = 0.0) -> Point:
        return x - over * m / k, heel + m * x + over / k

    x, foot = end.bearing + BEYOND - 3, m * seat / (1 + m * m)
    square = Measure((0.0, 0.0), (foot * m, -foot), "")
    found = {
        "heel": Measure((0.0, 0.0), (0.0, heel), "left"),
        "plumb_depth": Measure((x, heel + m * x - deep), (x, heel + m * x), "right"),
        "birdsmouth_plumb": Measure((0.0, -m * seat), (0.0, 0.0), "left"),
        "notch_depth": square,
        "notch_ratio": square,
        "run": Measure((0.0, -UNDER), (run, -UNDER), "bottom"),
        "peak_height": Measure((run, 0.0), (run, heel + m * run), "right"),
        "ridge_top": Measure((run, 0.0), (run, heel + m * short), "right"),
        "line_length": Measure(top(0.0, OVER), top(run, OVER), ""),
        "cut_length": Measure(top(-o, OVER), top(short, OVER), ""),
        "stock_length": Measure(top(-o - bay.depth * m / k, OVER), top(short, OVER), ""),
        "angle": Measure((0.0, heel), (run, heel + m * run), ""),
    }
    if not seat:
        found = {name: one for name, one in found.items() if name not in ("birdsmouth_plumb", *SLOPED[-3:-1])}
    return found | _tail(o, heel - m * o, deep)


def _truss_measures(bay: ScissorBay) -> dict[str, Measure]:
    """What each reading of a scissor bay measures."""
    end = bay.left
    assert end.ceiling is not None
    m, c, heel, run, apex = end.roof.slope, end.ceiling.slope, end.heel, end.run, end.apex
    low = min(one.plate for one in bay.ends) - end.plate
    under = heel - float(geo.plumb_depth(bay.chord_depth, m))
    ceiling = c * (apex - end.start)
    found = {
        "heel": Measure((0.0, 0.0), (0.0, heel), "left"),
        "minimum_heel": Measure((0.0, 0.0), (0.0, bay.minimum_heel), "left"),
        "height": Measure((run, low), (run, heel + m * run), "right"),
        "ceiling_rise": Measure((apex, low), (apex, ceiling), "right"),
        "depth_at_peak": Measure((run, ceiling), (run, heel + m * run), "right"),
        "run": Measure((0.0, -UNDER), (run, -UNDER), "bottom"),
        "angle": Measure((0.0, heel), (run, heel + m * run), ""),
    }
    if bay.space_outside > 0:
        found["space_outside"] = Measure((0.0, under - bay.space_outside), (0.0, under), "left")
    if bay.space_inside > 0:
        x = end.bearing
        found["space_inside"] = Measure((x, under + m * x - bay.space_inside), (x, under + m * x), "right")
    return found | _tail(end.overhang, heel - m * end.overhang, heel - under)


def _tail(out: float, top: float, deep: float) -> dict[str, Measure]:
    """Heights of the tail over the plate, where there is one."""
    heights = {"tail_top": top, "tail_underside": top - deep}
    return {name: Measure((-out, 0.0), (-out, y), "left") for name, y in heights.items() if out and abs(y) > 1}


def _givens(bay: RafterBay | ScissorBay, question: Question, low: float, near: bool) -> list[Dim]:
    """What the formula takes, as dimensions where it is seen."""
    end, names = bay.left, question.row.args.split()
    a, b, c, d = points_at(end, ((0.0, low), (end.run, low), (0.0, 0.0), (0.0, end.heel)))
    found = []
    if "seat" in names and near and isinstance(bay, RafterBay):
        (seat,) = points_at(end, ((pair(bay.seat)[0], low),))
        found.append(Dim("seat", f"seat {feet_inches(pair(bay.seat)[0])}", a, seat, "bottom"))
    if "bearing" in names and near:
        (inner,) = points_at(end, ((end.bearing, low),))
        found.append(Dim("bearing", f"bearing {feet_inches(end.bearing)}", a, inner, "bottom"))
    if "heel" in names and feet_inches(end.heel) in question.prompt:
        found.append(Dim("heel", f"heel {feet_inches(end.heel)}", c, d, "left", 2))
    if "o" in names and end.overhang and not near:
        (tail,) = points_at(end, ((-end.overhang, low),))
        found.append(Dim("overhang", feet_inches(end.overhang), tail, a, "bottom", 1 + (question.reading == "run")))
    if "run" in names and question.reading != "run" and not near and bay.equal_ends:
        found.append(Dim("run", f"half of {feet_inches(bay.gable.span)}", a, b, "bottom", 1))
    return found


def _slopes(bay: RafterBay | ScissorBay, question: Question, near: bool, reach: float) -> list[Slope]:
    """The pitches that the formula takes."""
    end, names = bay.left, question.row.args.split()
    m, found = end.roof.slope, []
    up = float(geo.plumb_depth(bay.gable.sheathing, m)) + (2 * OVER if question.reading in SLOPED[:4] else 0.0)
    first, last = points_at(end, ((0.0, end.heel + up), (reach, end.heel + m * reach + up)))
    if "m" in names:
        found.append(Slope("roof pitch", rise_text(m), first, m, True, last))
    if "c" in names and end.ceiling is not None and not near and end.ceiling.slope:
        c = end.ceiling.slope
        inner, apex = points_at(end, ((end.start, 0.0), (end.apex, c * (end.apex - end.start))))
        found.append(Slope("ceiling pitch", rise_text(c), inner, c, False, apex))
    return found
