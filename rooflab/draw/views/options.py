"""Small sections of options at one scale, in one picture: each with its name, heel, overall height and ceiling rise.

The plates of a row of sections stand on one line, so that heights can be compared by eye.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from rooflab.base.inputs import must_be
from rooflab.base.measure import LEVEL, InputError, feet_inches
from rooflab.draw.layout import MARGIN, STEPS, layout
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Dim, Label, Layout, Point, Scene, Stroke, width
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.planes import End
from rooflab.house.seam import Comparison
from rooflab.job.option import MOST, OptionResult

from .section import section

GAP = 1.0  # between sections, text heights
LINE = 1.3  # of text over a section, text heights
WORTH = 0.7  # how much smaller sections may be for the sake of their dimension lines
CLEAR = 8.0  # how far the seam runs on over the peak, in


# --- one option ------------------------------------------------------------------------------------------------------


def truss_words(made: OptionResult) -> tuple[str, str, str]:
    """Heel, overall height and ceiling rise of an option's truss, in words."""
    return _truss_words(made.scissor)


@lru_cache(64)
def _truss_words(scissor: ScissorBay) -> tuple[str, str, str]:
    heels = " and ".join(dict.fromkeys(feet_inches(end.heel) for end in scissor.ends))
    height, rise = feet_inches(scissor.height), feet_inches(scissor.ceiling_rise)
    return f"heel {heels}", f"height {height}", f"rise {rise}"


def option_scene(made: OptionResult, dimensioned: bool = True) -> Scene:
    """An option's section: half rafter bay, half scissor bay, or both laid over each other where the ends differ.

    ``dimensioned`` puts heel, overall height and ceiling rise on it; its name stands over it (``sections``).
    """
    must_be(made, OptionResult, "Option", "an option worked out")
    bare = _without_texts(made.rafters, made.scissor, made.seam)
    dims = _option_dims(made.scissor) if dimensioned else ()
    text = f"{made.option.name}: {', '.join(truss_words(made))}. {made.seam.sentence}"
    return replace(
        bare, title=made.option.name, description=text,
        dims=dims, must=tuple(dim.name for dim in dims),
    )  # fmt: skip


@lru_cache(64)  # while one option's slider moves, the others stay
def _without_texts(rafters: RafterBay, scissor: ScissorBay, seam: Comparison) -> Scene:
    """The section without texts, the seam running on from the ceiling over the peak."""
    whole = section(rafters, scissor, seam)
    x, peak = scissor.peak
    line = Stroke("seam", ((x, scissor.ceiling_at(x)), (x, peak + CLEAR)), "seam")
    strokes = [line if one.name == "seam" else one for one in whole.strokes if one.name not in ("web", "ridge")]
    return replace(whole, strokes=tuple(strokes), dims=(), slopes=(), notes=(), titles=(), must=())


@lru_cache(64)
def _option_dims(scissor: ScissorBay) -> tuple[Dim, ...]:
    """Heel at the left, overall height at the right, the right heel where it differs, and the rise in the room."""
    left, right = scissor.ends
    low = left if left.plate < right.plate - LEVEL else right
    peak, apex = scissor.peak[0], left.wall.inside(left.apex)
    unequal = feet_inches(left.heel) != feet_inches(right.heel) or abs(left.plate - right.plate) > LEVEL
    tall, rise = scissor.height, scissor.ceiling_rise
    out = low.wall.inside(-low.overhang), low.plate
    height = f"height {feet_inches(tall)}"
    dims = [_heel_dim(end) for end in (left, right)[: 1 + unequal]]
    dims.append(Dim("height", height, out, (peak, low.plate + tall), low.wall.side, 1 + (unequal or low is left)))
    if rise > LEVEL:
        top = apex, low.plate + rise
        dims.append(Dim("ceiling", f"rise {feet_inches(rise)}", (apex, low.plate), top, "inside"))
    return tuple(dims)


def _heel_dim(end: End) -> Dim:
    x, side = end.wall.x, end.wall.side
    return Dim(f"{side} heel", f"heel {feet_inches(end.heel)}", (x, end.plate), (x, end.plate + end.heel), side, 1)


def _title_lines(made: OptionResult, dimensioned: bool, wide: float, size: float) -> list[str]:
    """The lines over a section: its name, and what no dimension line says."""
    parts = truss_words(made)
    rest = parts[2:] * (made.scissor.ceiling_rise <= LEVEL) if dimensioned else parts
    lines = [*wrap(made.option.name, wide, size)]
    under: list[str] = []
    for words in rest:
        if under and width(f"{under[-1]}, {words}", size) <= wide:
            under[-1] += f", {words}"
        else:
            under += wrap(words, wide, size)
    return lines + under


def first_lines(result: OptionResult) -> tuple[Stroke, ...]:
    """Roof and ceiling lines of an option's truss, tail to tail and wall to wall, to lie under another one."""
    bay = result.scissor
    ends = [end.wall.inside(-end.overhang) for end in bay.ends]
    walls = [end.wall.inside(end.bearing) for end in bay.ends]
    apex = bay.left.wall.inside(bay.left.apex)
    roof = ((ends[0], bay.roof_at(ends[0])), bay.peak, (ends[1], bay.roof_at(ends[1])))
    ceiling = tuple((x, bay.ceiling_at(x)) for x in (walls[0], apex, walls[1]))
    return Stroke("first roof", roof, "guide"), Stroke("first ceiling", ceiling, "guide")


def small_sections(results: Sequence[OptionResult], wide: float, tall: float, size: float) -> list[Layout]:
    """Every option's section in a frame, all at one scale, without texts; the first option's lines over the others."""
    scenes = [option_scene(one, False) for one in results]
    scenes = [scene if i == 0 else replace(scene, strokes=(*scene.strokes, *first_lines(results[0])))
              for i, scene in enumerate(scenes)]  # fmt: skip
    boxes = [scene.bounds() for scene in scenes]
    across, up = max(b[2] - b[0] for b in boxes), max(b[3] for b in boxes) - min(b[1] for b in boxes)
    scale = min((wide - 2 * MARGIN) / across, (tall - 2 * MARGIN - 4) / up)
    placed = [layout(scene, scale, size) for scene in scenes]
    return [replace(one, shapes=tuple(shape._replace(name=f"{shape.name}, small") for shape in one.shapes))
            for one in placed]  # fmt: skip


# --- side by side ----------------------------------------------------------------------------------------------------

Corners = list[tuple[Layout, list[str], float, float]]  # sections, the lines over each, and its upper left corner


def option_sections(
    made: Sequence[OptionResult], wide: float, tall: float, size: float = 11.0, scales: Sequence[float] = STEPS
) -> Layout:
    """Sections of one to six options in a frame, all at the largest of ``scales`` (units an inch) at which they fit.

    Heel, height and rise stand on dimension lines where that leaves the sections large enough, else in words over them.
    InputError where they fit at none of the scales.
    """
    if not 1 <= len(made) <= MOST:
        raise InputError(f"Options: {len(made)}; 1 to {MOST} can be drawn side by side.")
    frame = wide, tall
    best = _largest_scale([(one, option_scene(one, False)) for one in made], frame, size, scales, False)
    if best is not None:
        near = [scale for scale in scales if WORTH * best[1] <= scale]
        best = _largest_scale([(one, option_scene(one)) for one in made], frame, size, near, True) or best
    if best is None:
        raise InputError(f"Sections of {len(made)} options: no room for them at any scale; show fewer options at once.")
    return _one_picture(*best, wide, tall, size)


Pictures = Sequence[tuple[OptionResult, Scene]]


def _largest_scale(
    drawn: Pictures, frame: Point, size: float, scales: Sequence[float], dimensioned: bool
) -> tuple[Corners, float] | None:
    """The sections at the largest scale that has room for all, in as many columns as that takes."""
    bounds = [scene.bounds() for _, scene in drawn]
    across, up = max(b[2] - b[0] for b in bounds), max(b[3] - b[1] for b in bounds)
    texts = [width(d.text, size) for _, scene in drawn for d in scene.dims if d.name == "left heel"]
    beside, count = max(texts, default=0.0), len(drawn)
    for scale in scales:
        for cols in range(count, 0, -1):
            rows = -(-count // cols)
            cell = (frame[0] - GAP * size * (cols - 1)) / cols
            least = rows * (up * scale + LINE * size) + GAP * size * (rows - 1)
            if across * scale + beside > cell or least > frame[1]:
                continue  # no need to place it
            if found := _grid(drawn, cell, cols, frame[1], size, scale, dimensioned):
                return found, scale
    return None


_layout = lru_cache(512)(layout)


def _grid(
    drawn: Pictures, cell: float, cols: int, tall: float, size: float, scale: float, dimensioned: bool
) -> Corners | None:
    """The sections in rows of ``cols``, the plates of a row on one line; None where one finds no room."""
    placed: list[tuple[Layout, list[str]]] = []
    for option, scene in drawn:
        found = _layout(scene, scale, size)
        if found.width > cell:
            return None
        placed.append((found, _title_lines(option, dimensioned, cell - 2 * MARGIN, size)))
    rows = [placed[i : i + cols] for i in range(0, len(placed), cols)]
    above = [max(one.origin[1] + LINE * size * len(lines) for one, lines in row) for row in rows]
    below = [max(one.height - one.origin[1] for one, _ in row) for row in rows]
    gap = GAP * size
    spare = tall - sum(above) - sum(below) - gap * (len(rows) - 1)
    if spare < 0:
        return None
    corners: Corners = []
    y, spare = spare / (len(rows) + 1), spare / (len(rows) + 1)
    for row, high, low in zip(rows, above, below, strict=True):
        for i, (one, lines) in enumerate(row):
            x = i * (cell + gap) + (cell - _wide(one, lines, size)) / 2
            corners.append((one, lines, x, y + high - one.origin[1]))
        y += high + low + gap + spare
    return corners


def _wide(one: Layout, lines: Sequence[str], size: float) -> float:
    return max(one.width, *(width(words, size) + 2 * MARGIN for words in lines))


def _one_picture(corners: Corners, scale: float, wide: float, tall: float, size: float) -> Layout:
    """Layouts side by side as one, each under its lines."""
    there = [one.shift(x, y) for one, _, x, y in corners]
    labels: list[Label] = []
    for one, (_, lines, x, y) in zip(there, corners, strict=True):
        labels += one.labels
        for i, words in enumerate(lines):
            at = y - LINE * size * (len(lines) - i - 0.5)
            labels.append(Label(f"line {i}", words, x + MARGIN, at, "start", size))
    return Layout(
        "Options side by side, at one scale", " ".join(one.description for one in there), wide, tall, scale,
        (0.0, 0.0),
        tuple(shape for one in there for shape in one.shapes), tuple(stroke for one in there for stroke in one.strokes),
        tuple(labels), size, tuple(name for one in there for name in one.dropped),
    )  # fmt: skip
