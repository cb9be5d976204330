"""Scenes of loads and strength: what lies on a rafter, how much of it each check uses, and how far each size reaches.

Every picture carries the caution that it is an early check for discussion.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Symbols
from rooflab.checks.loads import CAUTION, EARLY_CHECK, Part
from rooflab.checks.strength import LongestSpan
from rooflab.draw.members import Part as Drawn
from rooflab.draw.members import parts_drawing, rafter_parts, ridge_board
from rooflab.draw.scene import Dim, Note, Point, Scene, Shape, Slope, Stroke, Title, cut
from rooflab.house.bays import RafterBay

from .parts import rise_text

CAUTIOUS = Title("caution", EARLY_CHECK, "left")


def arrow(name: str, tail: Point, tip: Point, style: str, head: float) -> list[Drawn]:
    """A straight arrow with a solid head ``head`` inches long."""
    (x0, y0), (x1, y1) = tail, tip
    long = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    ux, uy = (x1 - x0) / long, (y1 - y0) / long
    neck = x1 - head * ux, y1 - head * uy
    sides = [(neck[0] - sign * 0.35 * head * uy, neck[1] + sign * 0.35 * head * ux) for sign in (1, -1)]
    return [Stroke(name, (tail, neck), style), Shape(f"{name} head", (tip, *sides), style)]


# --- loads on a rafter -----------------------------------------------------------------------------------------------


LOAD_TEXT = 14.0  # how far the walls are shown below their plates, in
ARROWS = 12


def loads_on_rafter(bay: RafterBay, values: Symbols, words: str) -> Scene:
    """A rafter pair with its dead load along the slopes and live load or snow level above them.

    ``values`` holds dead (on the slope), live (on the projection) and total, psf; ``words`` says which load the
    level one is.
    """
    left, wide, low = bay.left, bay.gable.span, bay.left.plate - LOAD_TEXT
    m, x = left.roof.slope, bay.peak[0]
    long, high = wide / 60, wide / 26
    parts: list[Drawn] = [*rafter_parts(bay, "left"), *rafter_parts(bay, "right"), *ridge_board(bay, whole=True)]
    parts = cut(parts, ((0.0, -1.0, -low),))
    places = [wide * (i + 0.5) / ARROWS for i in range(ARROWS)]
    level = bay.peak[1] + 1.8 * high
    for at in places:
        over = bay.roof_at(at) + float(geo.plumb_depth(bay.gable.sheathing, m)) + 1
        parts += arrow("dead", (at, over + high), (at, over), "dead", long)
        if values["live"]:
            parts += arrow("level load", (at, level + high), (at, level), "snow", long)
    parts.append(Stroke("level", ((0.0, level), (wide, level)), "snow"))
    shapes, strokes = parts_drawing(parts)
    slope = feet_inches(float(geo.line_length(x, m)))
    return Scene(
        "Loads on a rafter pair: dead along the slopes, live load or snow on the level projection",
        f"Dead load {values['dead']:.1f} psf along each slope, {slope} long; {words} {values['live']:.1f} psf on "
        f"a level run of {feet_inches(x)}. Together {values['total']:.1f} psf on the projection. {CAUTION}",
        shapes,
        strokes,
        (
            Dim("run", f"{feet_inches(x)} level", (0.0, low), (x, low), "bottom", 1),
            Dim("span", f"{feet_inches(wide)} out to out", (0.0, low), (wide, low), "bottom", 2),
        ),
        (Slope("roof pitch", rise_text(m), (left.bearing, 0.0), m, False, (x, m * x)),),
        (
            Title("dead", f"Solid: dead {values['dead']:.1f} psf of slope", "left"),
            Title("live", f"Dashed: {words} {values['live']:.1f} psf of plan", "right"),
            CAUTIOUS,
        ),
        ("span", "dead", "live"),
    )


# --- bars ------------------------------------------------------------------------------------------------------------

UNIT, DEEP, STEP, MOST = 340.0, 9.0, 32.0, 1.45  # length of 1.00, depth of a bar, from bar to bar, longest drawn


class Bar(NamedTuple):
    """A bar: its name, its length as a part of the whole, and what is said over it."""

    name: str
    part: float
    text: str


def bars(title: str, described: str, rows: Sequence[Bar], heading: str, full: str = "") -> Scene:
    """Bars from one line, the text over each; ``full`` names the mark at 1.00, where there is one.

    A bar past the mark is dashed; one too long is cut and its text says so.
    """
    shapes, strokes, notes = [], [], []
    for i, row in enumerate(rows):
        y = -STEP * i
        over = bool(full) and row.part > 1 + 1e-9
        long = UNIT * min(max(row.part, 0.004), MOST)
        shapes.append(
            Shape(row.name, ((0, y), (long, y), (long, y - DEEP), (0, y - DEEP)), "bar over" if over else "bar")
        )
        text = row.text + (" (bar cut off)" if row.part > MOST else "")
        notes.append(Note(row.name, text, (-0.35 * 4, y + 0.5), "start"))
        if full:
            strokes.append(Stroke("full", ((UNIT, y), (UNIT, y - DEEP)), "full"))
    end = -STEP * (len(rows) - 1) - DEEP
    if full:
        notes.append(Note("full", full, (UNIT, end - 4), "middle", -1))
    strokes.append(Stroke("from", ((0, 2), (0, end - 2)), "guide"))
    strokes.append(Stroke("ground", ((0, end - 3), (UNIT * MOST, end - 3)), "guide"))
    return Scene(
        title,
        f"{described} {CAUTION}",
        tuple(shapes),
        tuple(strokes),
        titles=(Title("heading", heading, "left"), CAUTIOUS._replace(side="right")),
        must=tuple(note.name for note in notes),
        notes=tuple(notes),
    )


def demand_bars(title: str, rows: Sequence[Bar], heading: str) -> Scene:
    """Demand over capacity of each check, the mark at 1.00."""
    said = " ".join(f"{row.text.rstrip('.')}." for row in rows)
    return bars(title, said, rows, heading, "1.00: all that it can carry")


def part_bars(parts: Sequence[Part], total: float, heading: str) -> Scene:
    """The layers of a roof by weight, the heaviest first, and their sum at the end."""
    rows = [
        Bar(part.name, part.weight / total, f"{part.name} {part.weight:.1f} psf ({part.source})") for part in parts
    ]
    rows.sort(key=lambda row: -row.part)
    rows.append(Bar("sum", 1.0, f"together {total:.1f} psf on the slope"))
    return bars("Dead load by parts", f"{rows[-1].text}.", rows, heading)


def reach_bars(spans: Sequence[LongestSpan], wanted: float, heading: str) -> Scene:
    """How far each size reaches, the house's own span marked on each bar."""
    rows = [
        Bar(
            one.size,
            one.span / wanted,
            f"{one.size} reaches {feet_inches(one.span)}; {one.governs} stops it, under {one.case}",
        )
        for one in spans
    ]
    said = ". ".join(row.text for row in rows)
    made = bars("How far each size reaches", f"{said}.", rows, heading, f"this rafter: {feet_inches(wanted)} level")
    ample = {row.name: "bar" if row.part >= 1 else "bar over" for row in rows}
    return replace(made, shapes=tuple(shape._replace(style=ample[shape.name]) for shape in made.shapes))
