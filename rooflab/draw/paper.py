"""Placed layouts on paper, by matplotlib: PDF, SVG and PNG at true scale.

One unit of a layout is one point, 1/72 in: a layout at 3 units an inch is drawn at 3/72 = 1/24 of full size (1/2 in to
the foot).  Figures are made with matplotlib's objects alone; nothing of its global state is read or changed, but
the face is added to those that it knows.  The same page gives the same bytes: no dates are written.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from functools import cache
from os import PathLike
from pathlib import Path
from typing import Any

import matplotlib
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.font_manager import findfont, fontManager, get_font
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from rooflab.base.files import new_file, write_new
from rooflab.base.measure import InputError

from .face import FAMILY, FILES, FONTS, advances
from .scene import INK, PAPER, STYLES, Layout, Style, pen

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
    unit = pen(placed.size)
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
            *label.baseline, label.text.replace(BOM, ""), fontsize=label.size, family=FACES, color=INK, ha=side,
            va="baseline", rotation=90.0 if label.turned else 0.0, rotation_mode="anchor", zorder=3, parse_math=False,
            gid=label.name,
        )  # fmt: skip
    return drawn


BOM = "\ufeff"  # the mark at the start of some files, which draws nothing and which matplotlib's PDF cannot hold


def _line(style: Style, unit: float) -> dict[str, Any]:
    """Line width and dashes in points; matplotlib counts dashes in line widths."""
    width = style.width * unit
    dashes = (0.0, tuple(d * unit / width for d in style.dash)) if style.dash else "solid"
    return {"linewidth": width, "linestyle": dashes}


def file_bytes(pages: Sequence[Layout], suffix: str, **told: str) -> bytes:
    """The bytes of a file that shows layouts: ``.pdf`` one after the other, ``.svg`` and ``.png`` the only one.

    ``told`` are words about the file that its kind can hold, such as Title.  InputError for a letter that would print
    as a box.
    """
    out, metadata = io.BytesIO(), {**KINDS[suffix][2], **told}
    _check_letters(pages)
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


def save(placed: Layout, path: str | PathLike[str]) -> Path:
    """Write one layout as a new file of its own size; the suffix (.pdf, .svg, .png) says how.  Returns the file."""
    target = new_file(path, "Pages", tuple(KINDS))
    return write_new(target, one_page(placed, target.suffix.lower()))


# --- letters ---------------------------------------------------------------------------------------------------------


def missing_letters(text: str) -> str:
    """The letters of a text that no face of the paper has, each once.

    >>> missing_letters("8\u00bd in 12, \u0391, \u0416"), missing_letters("House \u674e") == "\u674e"
    ('', True)
    """
    ours = advances(False)
    return "".join(dict.fromkeys(c for c in text if c not in ours and ord(c) not in _more_letters()))


@cache
def _more_letters() -> Mapping[int, int]:
    return get_font(findfont(FACES[1])).get_charmap()


def _check_letters(pages: Sequence[Layout]) -> None:
    """InputError where a text has letters that would print as boxes."""
    for label in (label for page in pages for label in page.labels):
        if missing := missing_letters(label.text):
            codes = ", ".join(f"{c} (U+{ord(c):04X})" for c in missing[:5])
            raise InputError(
                f"Text {label.text[:60]!r}: the paper's face has no {codes}; nothing is written. Use Latin, Greek or "
                f"Cyrillic letters."
            )
