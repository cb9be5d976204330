"""Files for other offices: DXF at full size with real dimensions, and CSV of the readings.

The DXF holds the same scenes as screen and sheets; nothing is ever written over.
"""

from __future__ import annotations

import csv
import io
import os
import re
import unicodedata
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rooflab.base.files import new_file, write_new
from rooflab.base.inputs import must_be
from rooflab.base.measure import InputError, feet_inches, sixteenth
from rooflab.draw.layout import layout
from rooflab.draw.placing import overlap, short, touches, wrap
from rooflab.draw.scene import Dim, Label, Layout, Point, Scene, Stroke, width
from rooflab.draw.views.profile import scene_words, scenes
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job

from .wording import RESPONSIBLE, job_name, not_issued, verifier

if TYPE_CHECKING:  # heavy, and only wanted for files
    from ezdxf.document import Drawing

# our own layer names, with the standard's colour numbers
LAYERS = {
    "rafter": ("RL-RAFTER", 5),
    "truss": ("RL-TRUSS", 30),
    "wall": ("RL-WALL", 8),
    "guide": ("RL-REFERENCE", 9),
    "ceiling": ("RL-CEILING-FINISH", 3),
}
LINETYPES = {
    "DASHED": ("Dashed __ __ __", [0.75, 0.5, -0.25]),
    "DOT": ("Dot . . . .", [0.25, 0.0, -0.25]),
}  # the standard's own, drawing units at a scale of 1
LINE_SCALE = 6.0
BROKEN = {"ceiling": "DASHED", "guide": "DOT"}  # lines of a style that are not drawn through
OTHER, DIMENSIONS, WORDS, NOTES = ("RL-OUTLINE", 7), ("RL-DIMENSIONS", 7), ("RL-TEXT", 7), ("RL-NOTES", 7)
TEXT_STYLE, DIMENSION_STYLE = "RL-TEXT", "RL-DIMENSIONS"
SCALE, HIGH = 1.8, 7.5  # at which texts are placed: points an inch, and how high they are there, points
TEXT = 3.0  # height of a capital letter in the model, in: 0.72 of what they take there
ARCHITECTURAL, SIXTEENTHS, SHOW_INCHES, ON_ONE_LINE = 4, 4, 3, 2  # feet and inches as our texts have them
ROOM = 24.0  # between what two profiles have about them, in
APART = 144.0  # between two profiles in one file, in
PLAIN = re.compile(r"-(?:\d+'-)?\d*(?: ?\d+/\d+)?\"|-\d+(?:\.\d+)?(?:e[+-]?\d+)?|-[\d ./]+ in 12", re.I)


# --- DXF -------------------------------------------------------------------------------------------------------------


def profile_dxf(job: Job, path: str | os.PathLike[str]) -> Path:
    """Write every profile of a job, side by side at full size, in one DXF file.

    InputError for another suffix, a file that is there already, and a job without types.
    """
    must_be(job, Job, "Job")
    if not job.types:
        raise InputError("Truss types: none; a job needs at least one type for a profile.")
    target = new_file(path, "Drawings", (".dxf",))
    date = " ".join(job.sheet.get("date", "").split()) or "not given"
    lines = (
        job_name(job), *filter(None, (not_issued(job), " ".join(job.sheet.get("address", "").split()))),
        f"Architect: {' '.join(job.sheet.get('architect', '').split()) or 'not given'}.",
        f"Revision: {job.sheet.get('revision', '').strip() or 'not given'}. Date: {date}.",
        "Unit: inch, drawn at full size.", RESPONSIBLE.format(who=verifier(job)),
    )  # fmt: skip
    return dxf(scenes(job), target, lines, tuple(scene_words(job)))


def dxf(views: Sequence[Scene], target: Path, notes: Sequence[str] = (), under: Sequence[str] = ()) -> Path:
    """Write scenes at full size, one drawing unit an inch; dimensions print what they measure.

    ``under`` holds a line to write under each scene, ``notes`` those under all of them.
    """
    import ezdxf  # heavy, and only wanted for files
    from ezdxf import units

    placed = [layout(scene, SCALE, HIGH) for scene in views]
    document = ezdxf.new("R2010")
    document.units = units.IN
    document.header["$MEASUREMENT"] = 0
    document.header["$LTSCALE"] = LINE_SCALE
    for name, (description, pattern) in LINETYPES.items():
        document.linetypes.add(name, pattern, description=description)
    broken = {LAYERS[style][0]: linetype for style, linetype in BROKEN.items()}
    for name, color in (*LAYERS.values(), OTHER, DIMENSIONS, WORDS, NOTES):
        document.layers.add(name, color=color, linetype=broken.get(name, "Continuous"))
    document.styles.new(TEXT_STYLE, dxfattribs={"font": "arial.ttf"})
    style = document.dimstyles.new(DIMENSION_STYLE).dxf
    style.dimtxsty, style.dimtxt, style.dimtsz, style.dimexe, style.dimexo = TEXT_STYLE, TEXT, 0.3 * TEXT, 1.0, 1.0
    style.dimscale, style.dimlfac, style.dimtad, style.dimgap, style.dimtmove = 1.0, 1.0, 1, 0.25 * TEXT, 2
    style.dimlunit, style.dimdec, style.dimzin, style.dimfrac = ARCHITECTURAL, SIXTEENTHS, SHOW_INCHES, ON_ONE_LINE
    document.header["$DIMSTYLE"], document.header["$TEXTSTYLE"] = DIMENSION_STYLE, TEXT_STYLE
    x, low, before = 0.0, 0.0, 0.0
    for i, (scene, page) in enumerate(zip(views, placed, strict=True)):
        x0, _, x1, _ = scene.bounds()
        if i:
            x += max(APART, before + page.origin[0] / SCALE + x0 + ROOM)
        _scene(document, scene, page, x - x0)
        x, before = x + x1 - x0, (page.width - page.origin[0]) / SCALE - x1
        bottom = (page.origin[1] - page.height) / SCALE
        if i < len(under):
            _write(document, under[i], (x - x0 - page.origin[0] / SCALE, bottom - TEXT), NOTES[0])
            bottom -= 2 * TEXT
        low = min(low, bottom)
    first, y = placed[0], low - 3 * TEXT
    for line in (line for note in notes for line in wrap(note, max(first.width / SCALE, 80 * TEXT), HIGH / SCALE)):
        _write(document, line, (-first.origin[0] / SCALE - views[0].bounds()[0], y), NOTES[0])
        y -= 2 * TEXT
    out = io.StringIO()
    document.write(out)
    return write_new(target, out.getvalue().encode("utf-8", "replace"))


def _write(document: Drawing, words: str, at: Point, layer: str, anchor: str = "start") -> None:
    """A line of text whose middle stands at a height, running from a point, to it or around it."""
    from ezdxf.enums import TextEntityAlignment as Align  # heavy, and only wanted for files

    plain = " ".join(words.replace("%%", "% %").split())
    align = {"start": Align.MIDDLE_LEFT, "middle": Align.MIDDLE_CENTER, "end": Align.MIDDLE_RIGHT}[anchor]
    attributes = {"layer": layer, "style": TEXT_STYLE}
    document.modelspace().add_text(plain, height=TEXT, dxfattribs=attributes).set_placement(at, align=align)


def _scene(document: Drawing, scene: Scene, page: Layout, shift: float) -> None:
    """One scene, moved to the right; its texts stand where they stand on paper."""

    def moved(point: Point) -> Point:
        return point[0] + shift, point[1]

    def at(point: Point) -> Point:
        return (point[0] - page.origin[0]) / SCALE + shift, (page.origin[1] - point[1]) / SCALE

    space = document.modelspace()
    labels = [*page.labels, *_late_labels(scene, page)]
    boxes = [label.box for label in labels]
    for part in scene.parts:
        layer = {"layer": LAYERS.get(part.style, OTHER)[0]}
        if part.style == "guide" and len(part.points) == 2:  # cut short at texts, as on paper
            ends = tuple((page.origin[0] + x * SCALE, page.origin[1] - y * SCALE) for x, y in part.points)
            for piece in short(Stroke(part.name, ends, part.style), boxes):
                space.add_lwpolyline([at(p) for p in piece.points], dxfattribs=layer)
            continue
        space.add_lwpolyline([moved(p) for p in part.points], close=part in scene.shapes, dxfattribs=layer)
    own = {label.name: label for label in labels}
    ticks = {line.name: line.points for line in page.strokes if line.style == "mark"}
    for dim in scene.dims:
        x0, y0, x1, y1 = own[dim.name].box
        (xa, ya), (xb, yb) = ticks.get(dim.name, [(p[0] * SCALE + page.origin[0], 0.0) for p in (dim.a, dim.b)])
        line, middle = at(((xa + xb) / 2, (ya + yb) / 2)), at(((x0 + x1) / 2, (y0 + y1) / 2))
        turn = 90.0 if own[dim.name].turned else 0.0
        crossed = [_crossed(dim, end, (xa + xb) / 2, page, labels) for end in (dim.a, dim.b)]
        _dimension(document, dim._replace(a=moved(dim.a), b=moved(dim.b)), line, middle, turn, crossed)
    marks = {slope.name for slope in scene.slopes}
    for stroke in (stroke for stroke in page.strokes if stroke.name in marks):
        space.add_lwpolyline([at(p) for p in stroke.points], dxfattribs={"layer": WORDS[0]})
    dims = {dim.name for dim in scene.dims}
    for label in (label for label in labels if label.name not in dims):
        _write(document, label.text, at((label.x, label.y)), WORDS[0], label.anchor)


def _crossed(dim: Dim, end: Point, line: float, page: Layout, labels: Sequence[Label]) -> bool:
    """Whether the extension line from an end of a plumb dimension to its line would run through another's text."""
    if dim.side == "bottom":
        return False
    x, y = page.origin[0] + end[0] * SCALE, page.origin[1] - end[1] * SCALE
    return any(touches(label.box, (x, y), (line, y)) for label in labels if label.name != dim.name)


def _late_labels(scene: Scene, page: Layout) -> list[Label]:
    """The texts for which paper has no room beside the members: there is only the place to find where no text is."""
    found: list[Label] = []

    def spot(x: float, y: float) -> Point:
        return page.origin[0] + x * SCALE, page.origin[1] - y * SCALE

    def place(tried: Iterable[Label]) -> None:
        every = list(tried)
        free = (one for one in every if not any(overlap(one.box, o.box) for o in (*page.labels, *found)))
        found.append(next(free, every[0]))

    steps = [HIGH * 0.5 * step for step in range(200)]
    for dim in (dim for dim in scene.dims if dim.name in page.dropped):
        x, y = spot(dim.a[0], (dim.a[1] + dim.b[1]) / 2)
        along = width(dim.text, HIGH) < abs(dim.b[1] - dim.a[1]) * SCALE
        turned = [Label(dim.name, dim.text, x - HIGH, y, "middle", HIGH, True)] * along
        level = [Label(dim.name, dim.text, x + HIGH * 0.6, y + down, "start", HIGH) for down in steps]
        place([*turned, *level])
    for note in (note for note in scene.notes if note.name in page.dropped):
        (x, y), aside = spot(*note.at), {"start": 0.35, "end": -0.35}.get(note.anchor, 0.0) * HIGH
        sign = 1 if note.up <= 0 else -1
        downs = [y + sign * (0.8 * HIGH + step) for step in steps]
        place(Label(note.name, note.text, x + aside, down, note.anchor, HIGH) for down in downs)
    return found


def measuring_text(dim: Dim) -> tuple[str, float] | None:
    """A dimension's text with ``<>`` for its figure, and that figure, in; None where it prints none near its length.

    >>> measuring_text(Dim("left heel", 'heel L 8 13/16"', (0.0, 0.0), (0.0, 8.8), "left"))
    ('heel L <>', 8.8125)
    """
    length = abs(dim.b[0] - dim.a[0]) if dim.side == "bottom" else abs(dim.b[1] - dim.a[1])
    for off in (0, 1, -1, 2, -2):
        figure = sixteenth(length) + off / 16
        if (printed := feet_inches(figure)) in dim.text:
            return dim.text.replace(printed, "<>"), figure
    return None


def _dimension(
    document: Drawing, dim: Dim, line: Point, middle: Point, turn: float, crossed: Sequence[bool] = (False, False)
) -> None:
    """A linear dimension whose line goes through a point and whose text stands around one.

    An extension line that would run through another text (``crossed``) is left out.
    Where a chain's figure is what the others leave, an end moves by that sixteenth: it measures what it prints.
    """
    level = dim.side == "bottom"
    found, (x, y) = measuring_text(dim), dim.b
    if found:
        x = dim.a[0] + (found[1] if x > dim.a[0] else -found[1]) if level else x
        y = y if level else dim.a[1] + (found[1] if y > dim.a[1] else -found[1])
    made = document.modelspace().add_linear_dim(
        base=line, p1=dim.a, p2=(x, y), angle=0.0 if level else 90.0, text=dim.text, dimstyle=DIMENSION_STYLE,
        location=middle, text_rotation=turn,
        override={f"dimse{i}": 1 for i, cross in enumerate(crossed, 1) if cross}, dxfattribs={"layer": DIMENSIONS[0]},
    )  # fmt: skip
    made.render()
    if found:
        made.dimension.dxf.text = found[0]


# --- CSV -------------------------------------------------------------------------------------------------------------


def safe(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula; lengths and numbers that begin with a minus stay as they are.

    >>> safe("=1+1"), safe('-3 1/4"'), safe("-1+1")
    ("'=1+1", '-3 1/4"', "'-1+1")
    """
    first = unicodedata.normalize("NFKC", cell.replace("\ufeff", "").lstrip()[:1])  # wide signs count too
    risky = first in tuple("=+@") or cell[:1] in ("\t", "\n") or (first in tuple("-−") and not PLAIN.fullmatch(cell))
    return f"'{cell}" if risky and cell else cell


def csv_text(rows: Iterable[Iterable[str]]) -> str:
    """Rows as the text of a CSV, no cell of which a spreadsheet takes for a formula, or a part of it for a row."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:  # a bare carriage return stands outside quotes and begins a row
        writer.writerow([safe(cell.replace("\r\n", "\n").replace("\r", "\n")) for cell in row])
    return out.getvalue()


def readings_text(bays: Iterable[tuple[str, RafterBay | ScissorBay]]) -> str:
    """Readings of named bays as CSV: bay, reading, end, value in its unit, the same as text, and the formula.

    >>> from rooflab import Gable
    >>> readings_text([("A", ScissorBay(Gable("24'", 9, "7 1/4"), 4.5, "8 5/8"))]).splitlines()[2].split(",")[:5]
    ['A', 'Overall height', 'both', '116.625', 'in']
    """
    rows = [["bay", "reading", "end", "value", "unit", "text", "formula"]]
    for name, bay in bays:
        for end in ("left",) if bay.equal_ends else ("left", "right"):
            word = "both" if bay.equal_ends else end
            for row in bay.rows():
                w = bay.reading(row.name, end)
                if row.name == "heel" and isinstance(bay, RafterBay) and bay.rounded:  # what the rows below stand on
                    handed = getattr(bay, end).heel
                    w = w._replace(value=handed, formula=f"{w.formula}, to the nearest 1/16 in as it is handed over")
                value = f"{w.value:.10g}" if isinstance(w.value, float) else str(w.value)
                rows.append([name, w.label, word, value, w.unit, w.text, w.formula])
    return csv_text(rows)


def readings_csv(job: Job, path: str | os.PathLike[str]) -> Path:
    """Write the readings of a job's rafters, as handed over, and of each truss type; UTF-8 that spreadsheets recognise.

    The last row is the caution of the sheets.

    InputError for another suffix and a file that is there already.
    """
    must_be(job, Job, "Job")
    target = new_file(path, "Readings", (".csv",))
    rafters = job.rafters.handed_over() if job.follows else job.rafters
    bays: list[tuple[str, RafterBay | ScissorBay]] = [("rafters", rafters)]
    bays += [(f"type {kind.mark}", kind.bay(job.scissor)) for kind in job.types] or [("trusses", job.scissor)]
    caution = csv_text([["caution", RESPONSIBLE.format(who=verifier(job)), "", "", "", "", ""]])
    return write_new(target, (readings_text(bays) + caution).encode("utf-8-sig"))
