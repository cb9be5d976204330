"""The cut sheet: one page with the cut drawing, the steps, the birdsmouth, the framing square and a table of marks."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from pathlib import Path

from rooflab.base.files import new_file
from rooflab.base.lumber import stock_to_buy
from rooflab.base.measure import feet_inches, pitch_text
from rooflab.draw.layout import fit
from rooflab.draw.placing import Box
from rooflab.draw.scene import Layout
from rooflab.draw.views.cutting import birdsmouth, cut_drawing, framing_square, stepping
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import Cut, TapeMark

from .page import LETTER, Page, write_pdf
from .template import CAUTION, SAW, numbers_of

(TALL, WIDE), MARGIN = LETTER, 30.0  # on its side, points
SIZE, LINE = 7.5, 10.0  # of the texts, points
PLACES: tuple[tuple[str, Box], ...] = (
    ("cut", (MARGIN, 50.0, WIDE - MARGIN, 262.0)),
    ("steps", (MARGIN, 268.0, 520.0, 376.0)),
    ("birdsmouth", (MARGIN, 382.0, 276.0, 562.0)),
    ("square", (282.0, 382.0, 520.0, 562.0)),
)
TABLE = 532.0  # where the table begins, points from the left
COLUMNS = 3  # of step marks
MANY = 24  # step marks in the table; of more, every second or fifth is written


def _table(page: Page, cut: Cut, y: float) -> float:
    """Marks along both edges, the steps and the angles; the y below them."""
    x0, x1, v = TABLE, WIDE - MARGIN, cut.values

    def head(words: str) -> None:
        nonlocal y
        page.text(x0, y, words)
        page.rule(x0, x1, y + 0.6 * LINE)
        y += 1.4 * LINE

    def rows(marks: Sequence[TapeMark]) -> None:
        nonlocal y
        for mark in marks:
            page.text(x0, y, mark.label)
            page.text(x1, y, mark.text, anchor="end")
            y += LINE
        y += 0.4 * LINE

    head(f"TOP EDGE, FROM THE TOP OF THE {cut.hook.upper()} CUT")
    rows(cut.marks)
    if cut.bottom_marks:
        head("BOTTOM EDGE, FROM THE LOWER END OF THAT CUT")
        rows(cut.bottom_marks)
    head("STEPS, FROM THE RIDGE'S PLUMB LINE")
    if v["shortening"]:
        page.text(x0, y, f"cut {feet_inches(v['shortening'])} inside that line, measured level")
        y += LINE
    steps, every = cut.steps, next(n for n in (1, 2, 5) if len(cut.steps) <= n * MANY)
    numbers = [f"{i}: {feet_inches(step.mark)}" for i, step in enumerate(steps, 1) if i % every == 0 or i == len(steps)]
    for i, words in enumerate(numbers):
        page.text(x0 + (i % COLUMNS) * (x1 - x0) / COLUMNS, y + (i // COLUMNS) * LINE, words)
    y += (math.ceil(len(numbers) / COLUMNS) + 0.4) * LINE
    head("SQUARE AND SAW")
    for row in (
        f"{cut.square.words};",
        f"plumb along the {cut.square.rise_arm}, level along the {cut.square.run_arm}",
        f"plumb cuts {v['plumb_angle']:.1f} degrees off square, {feet_inches(v['plumb_cut'])} long",
        f"seat cut {v['seat_angle']:.1f} degrees off square, {feet_inches(v['seat_cut'])} long",
        f"stock needed {feet_inches(v['stock_length'])}: {buy(v['stock_length'])}",
    ):
        page.text(x0, y, row)
        y += LINE
    return y


def buy(length: float) -> str:
    """The length of stock to buy for a rafter, in words.

    >>> print(buy(212.0), "/", buy(400.0))
    buy 18'-0" / longer than common stock
    """
    stock = float(stock_to_buy(length))
    return f"buy {feet_inches(stock)}" if stock else "longer than common stock"


def sheet_page(cut: Cut) -> Layout:
    """The cut sheet as one page of letter paper.

    >>> from rooflab import Gable
    >>> page = sheet_page(Cut(RafterBay(Gable("24'", 9, "5 1/2", 16), "2x10", 4)))
    >>> (page.width, page.height), "14'-11 1/16\\"" in [label.text for label in page.labels]
    ((792.0, 612.0), True)
    """
    page = Page(WIDE, TALL, MARGIN, SIZE)
    scenes = {
        "cut": cut_drawing(cut), "steps": stepping(cut), "birdsmouth": birdsmouth(cut), "square": framing_square(cut),
    }  # fmt: skip
    for name, place in PLACES:
        page.centre(fit(scenes[name], place[2] - place[0], place[3] - place[1], SIZE), place)
    title = f"Common rafter, cut sheet: {numbers_of(cut)}"
    page.text(MARGIN, MARGIN + 6, title, size=10.0)
    page.rule(MARGIN, WIDE - MARGIN, MARGIN + 15)
    _table(page, cut, 272.0)
    page.rule(MARGIN, WIDE - MARGIN, TALL - MARGIN - 14)
    where = f"{cut.end} end, run {feet_inches(cut.values['run'])}, {pitch_text(round(12 * cut.slope, 4))}"
    caution = f"Look along each stick: crown up. {CAUTION} Work to figures, the drawings are not to scale."
    page.text(MARGIN, TALL - MARGIN - 7, caution, size=7.0)
    page.text(WIDE - MARGIN, TALL - MARGIN + 3, where, "end", 7.0)
    page.text(MARGIN, TALL - MARGIN + 3, SAW, size=7.0)
    return page.layout(title, f"{title}. {scenes['cut'].description}")


def cut_sheet(bay: RafterBay, path: str | os.PathLike[str], end: str = "left", hook: str = "ridge") -> Path:
    """Write a bay's rafter as a cut sheet, one page of letter paper as PDF: drawing, marks, steps, square and angles.

    ``hook`` says where the tape is hooked, "ridge" or "tail".  Nothing is overwritten.  InputError for another end or
    hook, and for a file that is there already or is not named .pdf.
    """
    target = new_file(path, "Cut sheet", (".pdf",))
    return write_pdf((sheet_page(Cut(bay, end, hook)),), target, "Cut sheet")
