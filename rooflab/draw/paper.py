"""Placed layouts on paper, by matplotlib: PDF, SVG and PNG at true scale.

One unit of a layout is one point, 1/72 in: a layout at 3 units an inch is drawn at 3/72 = 1/24 of full size (1/2 in to
the foot).  Figures are made with matplotlib's objects alone; nothing of its global state is read or changed, but
the face is added to those that it knows.  The same page gives the same bytes: no dates are written.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from os import PathLike
from pathlib import Path
from typing import Any

import matplotlib
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.font_manager import fontManager
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from rooflab.base.measure import InputError

from .face import FAMILY, FILES, FONTS
from .scene import INK, PAPER, STYLES, Layout, Style

POINTS = 72.0  # units of a layout in an inch of paper
FACES = [FAMILY, "DejaVu Sans", "sans-serif"]  # the second comes with matplotlib and has letters that ours has not
KINDS: dict[str, tuple[str, str, dict[str, str | None]]] = {
    ".pdf": ("Title", "Subject", {"Creator": "rooflab", "Producer": "matplotlib", "CreationDate": None}),
    ".svg": ("Title", "Description", {"Creator": "rooflab", "Date": None}),
    ".png": ("Title", "Description", {"Software": "rooflab"}),
}
SETTINGS: Any = {
    "pdf.fonttype": 42,
    "svg.fonttype": "none",
    "svg.hashsalt": "rooflab",
    "path.simplify": False,
}


for _file in FILES.values():
    fontManager.addfont(FONTS / f"{_file}.ttf")


def figure(placed: Layout) -> Figure:
    """One layout as a matplotlib figure of its own size, in inches of 72 units."""
    drawn = Figure(figsize=(placed.width / POINTS, placed.height / POINTS), facecolor=PAPER)
    FigureCanvasAgg(drawn)
    axes: Axes = drawn.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(0.0, placed.width), ylim=(placed.height, 0.0), autoscale_on=False)
    axes.axis("off")
    unit = placed.size / 11
    for order, shape in enumerate(placed.shapes):
        patch = Polygon(shape.points, closed=True, zorder=1 + order / 1e4, gid=shape.name)
        style = STYLES[shape.style]
        patch.set(facecolor=style.fill, edgecolor=style.line, **_line(style, unit))
        axes.add_patch(patch)
    for order, stroke in enumerate(placed.strokes):
        xs, ys = zip(*stroke.points, strict=True)
        style = STYLES[stroke.style]
        line = Line2D(xs, ys, color=style.line, zorder=2 + order / 1e4, gid=stroke.name, **_line(style, unit))
        line.set(dash_capstyle="butt", solid_capstyle="butt")
        axes.add_line(line)
    for label in placed.labels:
        side = {"start": "left", "middle": "center", "end": "right"}[label.anchor]
        axes.text(
            *label.baseline, label.text, fontsize=label.size, family=FACES, color=INK, ha=side, va="baseline",
            rotation=90.0 if label.turned else 0.0, rotation_mode="anchor", zorder=3, parse_math=False, gid=label.name,
        )  # fmt: skip
    return drawn


def _line(style: Style, unit: float) -> dict[str, Any]:
    """Line width and dashes in points; matplotlib counts dashes in line widths."""
    width = style.width * unit
    dashes = (0.0, tuple(d * unit / width for d in style.dash)) if style.dash else "solid"
    return {"linewidth": width, "linestyle": dashes}


def file_bytes(pages: Sequence[Layout], suffix: str, **told: str) -> bytes:
    """The bytes of a file that shows layouts: ``.pdf`` one after the other, ``.svg`` and ``.png`` the only one.

    ``told`` are words about the file that its kind can hold, such as Title.
    """
    out, metadata = io.BytesIO(), {**KINDS[suffix][2], **told}
    with matplotlib.rc_context(SETTINGS):
        if suffix == ".pdf":
            with PdfPages(out, metadata=metadata) as pdf:
                for placed in pages:
                    pdf.savefig(figure(placed))
        else:
            (placed,) = pages
            figure(placed).savefig(out, format=suffix[1:], dpi=3 * POINTS, metadata=metadata)
    return out.getvalue()


def one_page(placed: Layout, suffix: str) -> bytes:
    """The bytes of a file that shows one layout at its own size, with its title and description."""
    title, description, _ = KINDS[suffix]
    return file_bytes((placed,), suffix, **{title: placed.title, description: placed.description})


def save(placed: Layout, path: str | PathLike[str]) -> None:
    """One layout as a file of its own size; the suffix (pdf, svg, png) says how.  InputError for another one."""
    suffix = Path(path).suffix.lower()
    if suffix not in KINDS:
        raise InputError(f"File {Path(path).name!r}: pages are written as {', '.join(KINDS)}.")
    Path(path).write_bytes(one_page(placed, suffix))
