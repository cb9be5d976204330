"""Placed layouts on paper, by matplotlib: PDF, SVG and PNG at true scale.

One unit of a layout is one point, 1/72 in: a layout at 3 units an inch is drawn at 3/72 = 1/24 of full size (1/2 in to
the foot).  Figures are made with matplotlib's objects alone; nothing of its global state is read or changed for good.
The same page gives the same bytes: no dates are written.
"""

from __future__ import annotations

from os import PathLike
from pathlib import Path
from typing import Any

import matplotlib
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from rooflab.base.measure import InputError

from .scene import DOWN, INK, PAPER, STYLES, Label, Layout, Point, Style

POINTS = 72.0  # units of a layout in an inch of paper
FACE = "DejaVu Sans"  # comes with matplotlib, so that pages look the same everywhere
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


class Page:
    """A sheet of ``width`` x ``height`` points; y runs down from its upper edge.

    >>> page = Page(612, 792)
    >>> page.text(36, 36, "Profile of the long trusses", 12)
    >>> [float(side) for side in page.figure.get_size_inches()]
    [8.5, 11.0]
    """

    def __init__(self, width: float, height: float, title: str = "", description: str = "") -> None:
        self.width, self.height, self.title, self.description = width, height, title, description
        self.figure = Figure(figsize=(width / POINTS, height / POINTS), facecolor=PAPER)
        FigureCanvasAgg(self.figure)
        self.axes: Axes = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.axes.set(xlim=(0.0, width), ylim=(height, 0.0), autoscale_on=False)
        self.axes.axis("off")

    def add(self, placed: Layout, x: float = 0.0, y: float = 0.0) -> None:
        """Draw a layout with its upper left corner at x, y."""
        unit = placed.size / 11

        def shift(points: tuple[Point, ...]) -> list[Point]:
            return [(px + x, py + y) for px, py in points]

        for order, shape in enumerate(placed.shapes):
            patch = Polygon(shift(shape.points), closed=True, zorder=1 + order / 1e4, gid=shape.name)
            style = STYLES[shape.style]
            patch.set(facecolor=style.fill, edgecolor=style.line, **_line(style, unit))
            self.axes.add_patch(patch)
        for order, stroke in enumerate(placed.strokes):
            xs, ys = zip(*shift(stroke.points), strict=True)
            style = STYLES[stroke.style]
            line = Line2D(xs, ys, color=style.line, zorder=2 + order / 1e4, gid=stroke.name, **_line(style, unit))
            line.set(dash_capstyle="butt", solid_capstyle="butt")
            self.axes.add_line(line)
        for label in placed.labels:
            self._label(label, x, y)

    def _label(self, label: Label, x: float, y: float) -> None:
        where = label.baseline
        self._write(
            where[0] + x, where[1] + y, label.text, label.size, label.anchor, 90.0 if label.turned else 0.0, label.name
        )

    def text(self, x: float, y: float, words: str, size: float = 9.0, anchor: str = "start") -> None:
        """A line of text whose middle stands at y, running from x (start), to it (end) or around it (middle)."""
        self._write(x, y + DOWN * size, words, size, anchor, 0.0, "text")

    def _write(self, x: float, y: float, words: str, size: float, anchor: str, turn: float, name: str) -> None:
        side = {"start": "left", "middle": "center", "end": "right"}[anchor]
        self.axes.text(
            x, y, words, fontsize=size, family=FACE, color=INK, ha=side, va="baseline", rotation=turn,
            rotation_mode="anchor", zorder=3, parse_math=False, gid=name,
        )  # fmt: skip

    def save(self, path: str | PathLike[str]) -> None:
        """Write the page; the suffix (pdf, svg, png) says how.  InputError for another one."""
        suffix = Path(path).suffix.lower()
        if suffix not in KINDS:
            raise InputError([f"File {Path(path).name!r}: pages are written as {', '.join(KINDS)}."])
        title, description, metadata = KINDS[suffix]
        metadata = {**metadata, title: self.title, description: self.description}
        with matplotlib.rc_context(SETTINGS):
            self.figure.savefig(path, format=suffix[1:], dpi=3 * POINTS, metadata=metadata)


def _line(style: Style, unit: float) -> dict[str, Any]:
    """Line width and dashes in points; matplotlib counts dashes in line widths."""
    width = style.width * unit
    dashes = (0.0, tuple(d * unit / width for d in style.dash)) if style.dash else "solid"
    return {"linewidth": width, "linestyle": dashes}


def page_of(placed: Layout) -> Page:
    """A page that holds one layout and nothing else."""
    page = Page(placed.width, placed.height, placed.title, placed.description)
    page.add(placed)
    return page


def figure(placed: Layout) -> Figure:
    """One layout as a matplotlib figure, for a static picture."""
    return page_of(placed).figure


def save(placed: Layout, path: str | PathLike[str]) -> None:
    """One layout as a file of its own size; the suffix (pdf, svg, png) says how.  InputError for another one."""
    page_of(placed).save(path)
