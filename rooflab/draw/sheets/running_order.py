"""The running order of a talk on one page of letter paper: what comes when, what is asked, said and moved.

What it holds is handed over, as for a handout: it is gathered from the workbook's own stops.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import new_file
from rooflab.base.measure import InputError
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout

from .page import LETTER, Page, one_line, write_pdf

(WIDE, TALL), MARGIN = LETTER, 32.0  # points
SIZES, LARGE = (10.5, 10.0, 9.5, 9.0, 8.5), 13.0  # of the texts, the first that fits; of the title
LINE, GAP = 1.26, 0.7  # a line, and what stands between two rows, in text heights
TIME, HEAD = 4.2, 4.8  # columns: minutes, and what a line is for, in text heights


class Slide(NamedTuple):
    """A slide of a talk: its name, the minutes it takes, and lines, each with what it is for ("Ask", "Move")."""

    name: str
    minutes: int
    lines: Sequence[tuple[str, str]]


def _rows(slide: Slide, size: float) -> list[tuple[str, str]]:
    """The lines of a slide as they stand below each other: what each is for stands before its first."""
    wide = WIDE - 2 * MARGIN - (TIME + HEAD) * size
    rows: list[tuple[str, str]] = []
    for head, words in slide.lines:
        first, *others = wrap(words, wide, size) or [""]
        rows += [(head, first), *(("", other) for other in others)]
    return rows


def running_order_page(title: str, slides: Sequence[Slide], foot: str) -> Layout:
    """The running order as one page, in the largest letters that fit: minutes of each slide, and up to when.

    ``foot`` says at the bottom which keys there are.  InputError where the text has no room on a page.
    """
    top, total = MARGIN + 2.2 * LARGE, sum(one.minutes for one in slides)
    for size in SIZES:
        tables = [_rows(one, size) for one in slides]
        below = [LINE * size * len(wrap(foot, WIDE - 2 * MARGIN, size)) + 6]
        if top + sum((LINE * max(len(rows), 3) + GAP) * size for rows in tables) + sum(below) <= TALL - MARGIN:
            break
    else:
        raise InputError(f"Running order {title}: its text has no room on one page.")
    page, until = Page(WIDE, TALL, MARGIN, size), 0
    page.text(
        MARGIN, MARGIN + 0.6 * LARGE, one_line(f"{title}: running order", WIDE - 2 * MARGIN - 90, LARGE), size=LARGE
    )
    page.text(WIDE - MARGIN, MARGIN + 0.6 * LARGE, f"{total} minutes in all", "end")
    y = top
    for slide, rows in zip(slides, tables, strict=True):
        until += slide.minutes
        page.rule(MARGIN, WIDE - MARGIN, y - GAP / 2 * size)
        page.lines(MARGIN, y, [slide.name, f"{slide.minutes} min", f"to {until}"], step=LINE)
        x = MARGIN + TIME * size
        shifts = [((0.0, head), (HEAD * size, words)) for head, words in rows]
        page.lines(x, y, shifts, step=LINE)
        y += (LINE * max(len(rows), 3) + GAP) * size
    end = TALL - MARGIN - below[0]
    page.rule(MARGIN, WIDE - MARGIN, end, "mark")
    page.lines(MARGIN, end + 4, wrap(foot, WIDE - 2 * MARGIN, size), step=LINE)
    return page.layout(f"{title}: running order", foot)


def write_running_order(title: str, slides: Sequence[Slide], foot: str, path: str | os.PathLike[str]) -> Path:
    """Write the page as a PDF; nothing is overwritten.  InputError for another suffix or a file that exists."""
    target = new_file(path, "Running order", (".pdf",))
    return write_pdf((running_order_page(title, slides, foot),), target, f"{title}: running order")
