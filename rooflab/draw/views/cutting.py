"""Scenes of a rafter as it is cut, lying level: the whole with its tape marks, the birdsmouth, the square, the steps.

x runs along the top edge from the ridge cut toward the tail, y up from the top edge: the wood lies below 0.  A long
rafter is drawn broken, its middle left out; texts give the true lengths.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.measure import feet_inches, pitch_text, sixteenth
from rooflab.draw.members import Part, parts_drawing
from rooflab.draw.scene import Dim, Note, Scene, Shape, Stroke, Title, box, cut
from rooflab.house.cutting import BLADE, STEP, TONGUE, Cut, Point, TapeMark, whole_steps

GAP, ZIG = 1.5, 0.5  # of a break, and of its zigzag, in
BLADE_WIDE, TONGUE_WIDE = 2.0, 1.5  # arms of a framing square (common size, no source)
HATCH = 0.7  # between the lines of a hatch, as a part of the depth's tenth
TRY = "Cut one, try it in place, then cut the rest; local code and the engineer decide on the notch."


class BreakLine(NamedTuple):
    """Where a long rafter is broken in its picture: what lies between ``low`` and ``high`` is left out."""

    low: float
    high: float

    def x(self, u: float) -> float:
        """Where a place along the edge is drawn, in."""
        return u if u <= self.low else u - (self.high - self.low) + GAP

    @property
    def real(self) -> bool:
        """Whether anything is left out."""
        return self.high > self.low


WHOLE = BreakLine(0.0, 0.0)


def break_line(low: float, high: float) -> BreakLine:
    """A break, where it leaves out more than it costs."""
    return BreakLine(low, high) if high - low > 4 * GAP else WHOLE._replace(low=1e9, high=1e9)


def level_view(points: Sequence[Point], at: BreakLine) -> tuple[Point, ...]:
    """Points along and into the wood as they are drawn."""
    return tuple((at.x(u), -v) for u, v in points)


def hatch(name: str, points: Sequence[Point], step: float) -> list[Part]:
    """Lines at 45 degrees over an outline, ``step`` apart along the level."""
    sums, made = [x + y for x, y in points], list[Part]()
    count = int((max(sums) - min(sums)) / step)
    for i in range(1, count + 1):
        c, hits = min(sums) + (i - 0.5) * (max(sums) - min(sums)) / (count or 1), list[Point]()
        for (xa, ya), (xb, yb) in zip(points, (*points[1:], *points[:1]), strict=True):
            da, db = xa + ya - c, xb + yb - c
            if (da < 0) != (db < 0):
                hits.append((xa + (xb - xa) * da / (da - db), ya + (yb - ya) * da / (da - db)))
        hits.sort()
        made += [Stroke(name, pair, "dim") for pair in zip(hits[::2], hits[1::2], strict=True)]
    return made


def waste(cut: Cut, at: BreakLine, only: Sequence[str] = ("ridge", "birdsmouth", "tail")) -> list[Part]:
    """What is sawn off: dashed outlines with a hatch."""
    made: list[Part] = []
    for name, points in cut.waste.items():
        if name in only:
            shown = level_view(points, at)
            made += [Shape(f"{name} waste", shown, "offcut"), *hatch(f"{name} hatch", shown, HATCH * cut.depth / 10)]
    return made


def wood(cut: Cut, at: BreakLine, outline: Sequence[Point] = ()) -> list[Part]:
    """The finished rafter, in two pieces where it is broken."""
    outline, deep = outline or cut.outline, cut.depth
    if not at.real:
        return [Shape("rafter", level_view(outline, at), "rafter")]
    left = [p for p in outline if p[0] <= at.low]
    right = [p for p in outline if p[0] > at.low]
    x0, x1 = at.low, at.low + GAP
    tear = [(ZIG, deep / 3), (-ZIG, 2 * deep / 3)]
    near = [*((u, -v) for u, v in left), (x0, -deep), *((x0 + z, -v) for z, v in reversed(tear)), (x0, 0.0)]
    far = [(x1, 0.0), *((x1 + z, -v) for z, v in tear), (x1, -deep), *level_view(right, at)]
    return [Shape("rafter", tuple(near), "rafter"), Shape("rafter", tuple(far), "rafter")]


def stock_words(cut: Cut) -> str:
    """The rafter's size and pitch, and how the square is held."""
    return f"{_stick_size(cut)}, {pitch_text(12 * cut.slope)}: square {cut.square.words}"


def _stick_size(cut: Cut) -> str:
    return " ".join(cut.bay.lumber.split()) if cut.bay.lumber else f"{feet_inches(cut.depth)} deep"


def _size_words(cut: Cut) -> str:
    """Size and depth."""
    size = _stick_size(cut)
    return f"{size}, {feet_inches(cut.depth)} deep" if cut.bay.lumber else size


# --- the whole rafter ------------------------------------------------------------------------------------------------


def _break_of(cut: Cut) -> BreakLine:
    v = cut.values
    first = min(v["building_line"], v["seat_end"])
    return break_line(cut.shift + max(0.6 * cut.depth, 8.0), first - max(0.5 * cut.depth, 6.0))


def _anchor(cut: Cut, mark: TapeMark, at: BreakLine) -> Point:
    """Where a mark's point stands in the picture: plumb marks on the top edge, the others at their own depth."""
    v = cut.values
    if mark.name == "corner":
        return level_view([cut.corner], at)[0]
    if mark.name == "seat end":
        return at.x(v["seat_end"]), -cut.depth
    along = {"ridge": 0.0, "building line": v["building_line"], "tail": v["cut_length"]}[mark.name]
    return at.x(along), 0.0


def cut_drawing(cut: Cut) -> Scene:
    """The rafter lying level with every cut, its waste hatched, and one running chain of tape marks from the hook."""
    v, at, deep = cut.values, _break_of(cut), cut.depth
    line = level_view([(v["building_line"], 0.0), cut.corner], at)
    stock, total = at.x(v["stock_length"]), at.x(v["cut_length"])
    parts = [*waste(cut, at), *wood(cut, at), Stroke("building line", line, "seam")]
    hooked, *others = cut.marks
    zero = _anchor(cut, hooked, at)
    dims = [
        Dim(mark.name, f"{mark.label[0].lower()}{mark.label[1:].partition(':')[0]} {mark.text}", zero,
            _anchor(cut, mark, at), "bottom", level)
        for level, mark in enumerate(others, 1)
    ]  # fmt: skip
    text = f"stock needed {feet_inches(v['stock_length'])}"
    dims.append(Dim("stock", text, (0.0, -deep), (stock, -deep), "bottom", len(dims) + 1))
    level = f"level cut {feet_inches(cut.level_cut)}" if cut.has_level_cut else ""
    level_end = level_view(cut.level_line if level else [cut.corner], at)[0]
    shapes, strokes = parts_drawing(parts)
    marks = ", ".join(f"{mark.label[0].lower()}{mark.label[1:]} {mark.text}" for mark in cut.marks)
    return Scene(
        "The rafter as a cut drawing, lying level",
        f"Tape hooked at the top of the {cut.hook} plumb cut. Marks along the top edge: {marks}. Plumb cuts "
        f"{v['plumb_angle']:.1f} degrees and seat cut {v['seat_angle']:.1f} degrees off square. Seat "
        f"{feet_inches(v['seat_cut'])}, heel {feet_inches(v['heel'])}. {TRY}",
        shapes,
        strokes,
        tuple(dims),
        (),
        (
            Title("square", stock_words(cut), "left"),
            Title("hook", f"tape hooked at the {cut.hook}{'; drawn broken' if at.real else ''}; hatched: waste",
                  "right"),
        ),
        ("square", "hook", *(["level cut"] if level else []), *(mark.name for mark in others)),
        (
            Note("ridge end", "ridge", (0.0, 0.0), "start"),
            Note("over the line", "building line", (line[0][0], 0.0), "end"),
            *((Note("tail end", "tail", (total, 0.0), "start"),) if cut.has_tail else ()),
            *((Note("level cut", level, level_end, "start", -1),) if level else ()),
            Note("ridge waste", "waste", (0.0, -deep / 2), "end", -1),
            Note("tail waste", "waste", (stock, -deep / 2), "start", -1),
        ),
    )  # fmt: skip


# --- the birdsmouth --------------------------------------------------------------------------------------------------


def birdsmouth(cut: Cut, brief: bool = False) -> Scene:
    """The rafter around its birdsmouth, lying level: seat, heel cut, heel down the building line, notch and depth.

    ``brief`` is for a small frame: the cuts alone.
    """
    v, deep, shift = cut.values, cut.depth, cut.shift
    line, room = v["building_line"], max(0.3 * deep, 2.0)
    x0 = min(line, v["seat_end"]) - room
    x1 = min(max(line + shift if cut.has_tail else cut.corner[0], v["seat_end"]) + room, v["stock_length"])
    whole = BreakLine(1e9, 1e9)
    parts = [*waste(cut, whole, ("birdsmouth", "tail")), *wood(cut, whole)]
    corner = cut.corner[0], -cut.corner[1]
    parts = cut_to(parts, x0, x1, deep)
    parts.append(Stroke("building line", ((line, 0.0), corner), "seam"))
    notch = sixteenth(v["notch_depth"])
    dims = list[Dim]()
    down = "" if brief else " down the line"
    notes = [Note("heel", f"heel {feet_inches(v['heel'])}{down}", (line, 0.0), "start")]
    if cut.has_mouth:
        rest = feet_inches(sixteenth(deep) - notch)
        dims += [
            Dim("over the corner", rest, (x1, corner[1]), (x1, 0.0), "right", 1),
            Dim("notch", f"notch {feet_inches(notch)}", (x1, -deep), (x1, corner[1]), "right", 1),
        ] * (not brief)
        ends = (v["seat_end"], -deep), (line + shift, -deep)
        seat = f"seat {feet_inches(v['seat_cut'])}"
        if cut.has_tail and not brief:
            dims.append(Dim("mouth", f"on the edge {feet_inches(v['mouth'])}", *ends, "bottom"))
        if cut.has_tail:
            plumb = f"heel cut {feet_inches(v['birdsmouth_plumb'])}"
            notes.append(Note("heel cut", plumb, ends[1], "start", -1))
        notes.append(Note("seat", seat, ends[0], "end", -1))
    shapes, strokes = parts_drawing(parts)
    titles = (
        Title(
            "size", "birdsmouth, lying level" if brief else f"{_size_words(cut)}, {pitch_text(12 * cut.slope)}", "left"
        ),
        *((Title("sides", "ridge to the left; hatched: waste", "right"),) * (not brief)),
    )
    return Scene(
        "The birdsmouth, the rafter lying level",
        f"Heel {feet_inches(v['heel'])} down the building line, then a level seat of {feet_inches(v['seat_cut'])} "
        f"toward the ridge and a heel cut of {feet_inches(v['birdsmouth_plumb'])}; the notch is "
        f"{feet_inches(notch)} deep square to the edge. {TRY}",
        shapes,
        strokes,
        tuple(dims),
        (),
        titles,
        (*(title.name for title in titles), *(dim.name for dim in dims), *(note.name for note in notes)),
        tuple(notes),
    )  # fmt: skip


def cut_to(parts: Sequence[Part], x0: float, x1: float, deep: float) -> list[Part]:
    """Parts between two places along the rafter."""
    return cut(parts, box(x0, -deep - 1, x1, 1.0))


# --- the framing square ----------------------------------------------------------------------------------------------


def framing_square(cut: Cut) -> Scene:
    """The framing square on the rafter at the building line's mark: rise and 12 at the top edge, pencil along one arm.

    Its corner lies in the wood; one arm gives the plumb line, the other the level line and the next step's mark.
    """
    m, deep, k = cut.slope, cut.depth, float(geo.stretch(cut.slope))
    shift, step, rise = cut.shift, cut.values["step"], cut.square.rise
    plumb, level = (-m / k, 1 / k), (1 / k, m / k)  # from the corner: up the plumb arm, up the level arm
    corner = -rise * plumb[0], -rise * plumb[1]
    sizes = (TONGUE, TONGUE_WIDE), (BLADE, BLADE_WIDE)
    (tall, thick), (long, wide) = sizes if cut.square.rise_arm == "tongue" else sizes[::-1]

    def arm(up: float, along: float) -> Point:
        return corner[0] + up * plumb[0] + along * level[0], corner[1] + up * plumb[1] + along * level[1]

    body = arm(0, 0), arm(0, long), arm(wide, long), arm(wide, thick), arm(tall, thick), arm(tall, 0)
    x0, x1 = min(-3.0, -0.3 * deep), max(step, shift) + 4.0
    strip = ((x0, 0.0), (x0, -deep), (x1, -deep), (x1, 0.0))
    tops, ends = (arm(tall, 0), arm(tall, thick)), (arm(0, long), arm(wide, long))
    arms = cut.square.rise_arm, cut.square.run_arm
    said = f"{arms[0]} {cut.square.rise_text}", f'{arms[1]} 12"'
    top = (tops[0][0] + tops[1][0]) / 2, max(y for _, y in tops)
    end = max(x for x, _ in ends), ends[0][1]
    return Scene(
        "The framing square at the building line",
        f"The rafter lies level, ridge to the left. Held with {cut.square.words}, both at the top edge, the square "
        f"gives the plumb line along its {arms[0]} and a level line along its {arms[1]}; the next mark is "
        f'{feet_inches(step)} along the edge, for 12" of run.',
        (Shape("rafter", strip, "rafter"), Shape("framing square", body, "board")),
        (
            Stroke("plumb line", ((0.0, 0.0), (shift, -deep)), "full"),
            Stroke("next mark", ((step, 0.0), (step + min(1.0, shift), -min(1.0, shift) / m)), "full"),
            *(Stroke("setting", ((x - 0.4, 0.9), (x, 0.0), (x + 0.4, 0.9)), "mark") for x in (0.0, step)),
        ),
        (Dim("step", f"step {feet_inches(step)}", (0.0, -deep), (step, -deep), "bottom"),),
        (),
        (
            Title("square", f"{cut.square.words}, at the top edge", "left"),
            Title("lines", f"plumb along the {arms[0]}, level along the {arms[1]}", "right"),
        ),
        ("square", "lines", "step", *arms),
        (
            Note(arms[0], said[0], top, "middle"),
            Note(arms[1], said[1], end, "start", -1 if end[1] > 0 else 1),
        ),
    )


# --- stepping off ----------------------------------------------------------------------------------------------------

MOST_STEPS = 2  # whole steps that are drawn at each end of a long rafter


def stepping(cut: Cut) -> Scene:
    """The rafter stepped off with the square from the plumb line of the ridge to the building line, and on to the tail.

    Each triangle is one setting of the square: plumb, then level.  Marks count from the ridge's plumb line, before the
    shortening, which is measured level from it.
    """
    v, deep, m, shift = cut.values, cut.depth, cut.slope, cut.shift
    short, k = v["line_length"] - v["building_line"], float(geo.stretch(m))
    whole, odd = whole_steps(v["run"])
    at = BreakLine(1e9, 1e9)
    if whole > 2 * MOST_STEPS:
        low = (MOST_STEPS * STEP) * k - short + max(0.0, shift - STEP * k)
        at = break_line(low + 1.5, (whole - MOST_STEPS) * STEP * k - short - 1.5)
    parts = wood(cut, at)
    ridge = level_view([(-short, 0.0), (shift - short, deep)], at)
    line = level_view([(v["building_line"], 0.0), cut.corner], at)
    parts += [Stroke("ridge line", ridge, "seam"), Stroke("building line", line, "seam")]
    notes, start = list[Note](), -short
    for number, step in enumerate(cut.steps, 1):
        end = step.mark - short
        if end - step.length >= at.high - 1e-9 or end <= at.low + 1e-9:
            inner = start + step.run * m * m / k, step.run * m / k
            parts.append(Stroke("step", level_view([(start, 0.0), inner, (end, 0.0)], at), "mark"))
            notes.append(Note(f"step {number}", f"{step.label}: {feet_inches(step.mark)}", (at.x(end), 0.0), "middle"))
        start = end
    shapes, strokes = parts_drawing(parts)
    first, low = cut.steps[0], -max(deep, STEP * m / k)
    text = (
        f"a step {feet_inches(v['step'])}" if whole else f"odd {feet_inches(odd)} of run: {feet_inches(first.length)}"
    )
    far = at.x(v["building_line"])
    dims = [Dim("step", text, (-short, low), (at.x(first.mark - short), low), "bottom", 1)]
    if whole and odd:
        last = at.x(v["building_line"] - float(geo.line_length(odd, m)))
        dims.append(Dim("odd step", f"odd {feet_inches(odd)} of run", (last, low), (far, low), "bottom", 1))
    many = f"{whole} steps" + (f" and {feet_inches(odd)} of run" if odd else "")
    text = f"line length {feet_inches(v['line_length'])}"
    dims.append(Dim("line length", text, (-short, low), (far, low), "bottom", 2))
    half = f"; ridge cut {feet_inches(v['shortening'])} inside its line, level" if short else ""
    return Scene(
        "Stepping off the rafter with the framing square",
        f"{many} of the square, {cut.square.words}, from the ridge's plumb line to the building line: "
        f"{feet_inches(v['line_length'])}; a step is {feet_inches(v['step'])} along the edge"
        f"{half.replace(';', ', the')}. {TRY}",
        shapes,
        strokes,
        tuple(dims),
        (),
        (
            Title("square", stock_words(cut), "left"),
            Title("ridge", f"marks from the ridge's plumb line{half}", "right"),
        ),
        ("square", "ridge", "line length", "step"),
        tuple(notes),
    )
