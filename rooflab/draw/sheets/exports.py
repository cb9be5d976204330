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
from rooflab.base.measure import InputError
from rooflab.draw.scene import Dim, Point, Scene
from rooflab.draw.views.profile import scenes
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.job.jobfile import Job

if TYPE_CHECKING:  # heavy, and only wanted for files
    from ezdxf.document import Drawing

# our own layer names, with the standard's colour numbers
LAYERS = {
    "rafter": ("RAFTER", 5),
    "truss": ("TRUSS-OUTLINE", 30),
    "wall": ("WALL", 8),
    "guide": ("REFERENCE", 9),
    "ceiling": ("CEILING-FINISH", 3),
}
OTHER, DIMENSIONS, WORDS = ("OUTLINE", 7), ("DIMENSIONS", 7), ("TEXT", 7)
TEXT = 3.0  # height of texts in the model, in
GAP = 9.0  # between dimension lines, in
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
    return dxf(scenes(job), target)


def dxf(views: Sequence[Scene], target: Path) -> Path:
    """Write scenes at full size: one drawing unit is one inch, dimension entities carry the scene's own texts."""
    import ezdxf  # heavy, and only wanted for files
    from ezdxf import units

    document = ezdxf.new("R2010", setup=True)
    document.units = units.IN
    document.header["$MEASUREMENT"] = 0
    for name, color in (*LAYERS.values(), OTHER, DIMENSIONS, WORDS):
        document.layers.add(name, color=color)
    style = document.dimstyles.duplicate_entry("EZDXF", "ROOFLAB")
    style.dxf.dimtxt, style.dxf.dimasz, style.dxf.dimexe, style.dxf.dimexo = TEXT, 2.0, 1.5, 1.0
    style.dxf.dimscale, style.dxf.dimlfac, style.dxf.dimdec = 1.0, 1.0, 4
    x = 0.0
    for scene in views:
        x0, _, x1, _ = scene.bounds()
        _scene(document, scene, x - x0)
        x += x1 - x0 + APART
    out = io.StringIO()
    document.write(out)
    return write_new(target, out.getvalue().encode("utf-8", "replace"))


def _scene(document: Drawing, scene: Scene, shift: float) -> None:
    """One scene, moved to the right."""

    def at(point: Point) -> Point:
        return point[0] + shift, point[1]

    space = document.modelspace()
    for part in scene.parts:
        layer = {"layer": LAYERS.get(part.style, OTHER)[0]}
        space.add_lwpolyline([at(p) for p in part.points], close=part in scene.shapes, dxfattribs=layer)
    x0, y0, x1, y1 = scene.bounds()
    for dim in scene.dims:
        _dimension(document, dim._replace(a=at(dim.a), b=at(dim.b)), (x0 + shift, y0, x1 + shift))
    words = [(title.text, TEXT, (x0, y1 + GAP + 2 * TEXT * i)) for i, title in enumerate(reversed(scene.titles))]
    for mark in scene.slopes:
        far = mark.to or mark.at
        middle = (mark.at[0] + far[0]) / 2, (mark.at[1] + far[1]) / 2
        words.append((f"{mark.rise} in 12", TEXT, (middle[0], middle[1] + (2.5 if mark.above else -4.0) * TEXT)))
    words += [(note.text, TEXT, (note.at[0], note.at[1] - 2 * TEXT)) for note in scene.notes]
    for text, tall, place in words:
        plain = " ".join(text.replace("%%", "% %").split())
        entity = space.add_text(plain, height=tall, dxfattribs={"layer": WORDS[0]})
        entity.set_placement(at(place))


def _dimension(document: Drawing, dim: Dim, work: tuple[float, float, float]) -> None:
    """A linear dimension outside the work, in its chain; its text is ours, not the program's."""
    x0, y0, x1 = work
    away = GAP * (dim.level + 0.5)
    base, turn = {
        "left": ((x0 - away, 0.0), 90.0),
        "right": ((x1 + away, 0.0), 90.0),
        "bottom": ((0.0, y0 - away), 0.0),
        "inside": ((dim.a[0], 0.0), 90.0),
    }[dim.side]
    entity = document.modelspace().add_linear_dim(
        base=base,
        p1=dim.a,
        p2=dim.b,
        angle=turn,
        text=dim.text,
        dimstyle="ROOFLAB",
        dxfattribs={"layer": DIMENSIONS[0]},
    )
    entity.render()


# --- CSV -------------------------------------------------------------------------------------------------------------


def safe(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula; lengths and numbers that begin with a minus stay as they are.

    >>> safe("=1+1"), safe('-3 1/4"'), safe("-1+1")
    ("'=1+1", '-3 1/4"', "'-1+1")
    """
    first = unicodedata.normalize("NFKC", cell.replace("\ufeff", "").lstrip()[:1])  # wide signs count too
    risky = (
        first in tuple("=+@") or cell[:1] in ("\t", "\n") or (first in tuple("-−") and not PLAIN.fullmatch(cell))
    )
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
    ['A', 'Overall height', 'left', '116.625', 'in']
    """
    rows = [["bay", "reading", "end", "value", "unit", "text", "formula"]]
    for name, bay in bays:
        for end in ("left",) if bay.equal_ends else ("left", "right"):
            for row in bay.rows():
                w = bay.reading(row.name, end)
                if row.name == "heel" and isinstance(bay, RafterBay) and bay.rounded:  # what the rows below stand on
                    handed = getattr(bay, end).heel
                    w = w._replace(value=handed, formula=f"{w.formula}, to the nearest 1/16 in as it is handed over")
                value = f"{w.value:.10g}" if isinstance(w.value, float) else str(w.value)
                rows.append([name, w.label, end, value, w.unit, w.text, w.formula])
    return csv_text(rows)


def readings_csv(job: Job, path: str | os.PathLike[str]) -> Path:
    """Write the readings of a job's rafters, as handed over, and of each truss type; UTF-8 that spreadsheets recognise.

    InputError for another suffix and a file that is there already.
    """
    must_be(job, Job, "Job")
    target = new_file(path, "Readings", (".csv",))
    rafters = job.rafters.handed_over() if job.follows else job.rafters
    bays: list[tuple[str, RafterBay | ScissorBay]] = [("rafters", rafters)]
    bays += [(f"type {kind.mark}", kind.bay(job.scissor)) for kind in job.types] or [("trusses", job.scissor)]
    return write_new(target, readings_text(bays).encode("utf-8-sig"))
