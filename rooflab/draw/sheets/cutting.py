"""The cut sheet, two pages to be read from a sawhorse: marks on the first; steps, birdsmouth, square and saw after."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from rooflab.base.files import new_file
from rooflab.base.measure import feet_inches
from rooflab.draw.layout import fit
from rooflab.draw.placing import Box, wrap
from rooflab.draw.scene import Layout, Scene, Title
from rooflab.draw.views.cutting import birdsmouth, cut_drawing, framing_square, stepping
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import STEP, Cut, SquareStep, TapeMark
from rooflab.job.jobfile import Job

from .cut_words import (
    CAUTIONS,
    CutOrder,
    buy,
    cut_for,
    cut_order,
    numbers_of,
    saw_words,
    size_words,
    stops,
    tail_words,
)
from .page import LETTER, Page, write_pdf

(TALL, WIDE), MARGIN = LETTER, 30.0  # on its side, points
SIZE, MARK, SMALL = 10.0, 13.0, 9.0  # of texts, marks and the foot, points
STOP_SIZE, LEAST_STOP, STOP_ROWS = 16.0, 12.0, 4  # of what stops the saw, and the rows that larger texts may take
GAP = 8.0
RIGHT = 514.0  # where the second page's texts begin, points from the left
COLUMNS = 2  # of step marks
ROW = 1.25  # height of a row of texts, text heights
FOOT = f"{' '.join(CAUTIONS)} Do not scale; written dimensions govern."


def _start(cut: Cut, order: CutOrder, number: int) -> tuple[Page, float]:
    """A page with its heading, the order's words and what stops the saw; the y below them."""
    page = Page(WIDE, TALL, MARGIN, SIZE)
    x1, wide = WIDE - MARGIN, WIDE - 2 * MARGIN
    page.text(MARGIN, MARGIN + 9, f"RAFTER CUT SHEET: {size_words(cut)}, {cut.end} end", size=STOP_SIZE)
    page.text(x1, MARGIN + 9, f"page {number} of 2", "end", 11.0)
    y = MARGIN + 22
    page.rule(MARGIN, x1, y, "mark")
    for words in (f"Job: {order.job}", order.words(cut.end)):
        y = page.lines(MARGIN, y + 4, wrap(words, wide, 11.0), 11.0)
    return page, stop_box(page, stops(cut, order), (MARGIN, y + 6, x1, y + 6), STOP_SIZE, LEAST_STOP)


def stop_box(page: Page, sentences: Sequence[str], place: Box, largest: float, least: float) -> float:
    """Sentences that stop the saw in a heavy frame as wide as a place; the y below it, the place's own where none.

    A few stand in larger texts than many.
    """
    x0, y, x1, _ = place
    if not sentences:
        return y
    wide = x1 - x0 - 2 * GAP
    for size in (largest, (largest + least) / 2, least):
        rows = [row for words in sentences for row in wrap(words, wide, size)]
        if len(rows) <= STOP_ROWS:
            break
    low = page.lines(x0 + GAP, y + 0.4 * size, rows, size) + 0.2 * size
    page.line("stop", ((x0, y), (x1, y), (x1, low), (x0, low), (x0, y)), "chosen")
    return low + GAP


def _foot(page: Page) -> float:
    """The cautions at the foot of a page; the y above them."""
    rows = wrap(FOOT, WIDE - 2 * MARGIN, SMALL)
    y = TALL - MARGIN - 1.3 * SMALL * len(rows)
    page.rule(MARGIN, WIDE - MARGIN, y - 3)
    page.lines(MARGIN, y, rows, SMALL)
    return y - 3 - GAP


def _marks(page: Page, heading: str, marks: Sequence[TapeMark], x0: float, x1: float, y: float) -> float:
    """A table of marks with its heading; the y below it."""
    page.text(x0, y + 0.6 * SIZE, heading)
    page.rule(x0, x1, y + 1.4 * SIZE)
    y += 1.5 * SIZE
    for mark in marks:
        page.text(x0, y + 0.7 * MARK, mark.label.partition(":")[0], size=MARK - 1)
        page.text(x1, y + 0.7 * MARK, mark.text, "end", MARK)
        y += 1.3 * MARK
    return y


def marks_page(cut: Cut, order: CutOrder) -> Layout:
    """The first page: the rafter lying level with its cuts, and the marks along both edges.

    >>> from rooflab import Gable
    >>> page = marks_page(Cut(RafterBay(Gable("24'", 9, "5 1/2", 16), "2x10", 4)), CutOrder())
    >>> (page.width, page.height), "14'-11 1/16\\"" in [label.text for label in page.labels]
    ((792.0, 612.0), True)
    """
    page, top = _start(cut, order, 1)
    low, v = _foot(page), cut.values
    middle, x1 = WIDE / 2, WIDE - MARGIN
    stock = f"Stock needed {feet_inches(v['stock_length'])}: {buy(v['stock_length'])}."
    tail = [row for words in (*tail_words(cut, order), stock) for row in wrap(words, WIDE / 2 - MARGIN - 12, MARK - 1)]
    many = max(len(cut.marks), len(cut.bottom_marks) + len(tail))
    head = low - 1.5 * SIZE * (1 + bool(cut.bottom_marks)) - 1.3 * MARK * many
    _marks(page, f"TOP EDGE, FROM THE TOP OF THE {cut.hook.upper()} CUT", cut.marks, MARGIN, middle - 12, head)
    y = head
    if cut.bottom_marks:
        heading = "BOTTOM EDGE, FROM THE LOWER END OF THAT CUT"
        y = _marks(page, heading, cut.bottom_marks, middle + 12, x1, head) + 4
    page.lines(middle + 12, y, tail, MARK - 1)
    drawing = cut_drawing(cut)
    must = {*drawing.must, "stock"} - {mark.name for mark in cut.marks if mark.how != "plumb"}  # those are in the table
    drawing = replace(drawing, must=tuple(sorted(must)))
    place = MARGIN, top, x1, head - GAP
    page.centre(fit(drawing, place[2] - place[0], place[3] - place[1], SIZE), place)
    title = f"Rafter cut sheet: {numbers_of(cut)}"
    return page.layout(title, f"{title}. {drawing.description} {' '.join(stops(cut, order))}")


def _step_rows(steps: Sequence[SquareStep], most: int) -> tuple[list[str], list[str]]:
    """Whole steps, of more than ``most`` only every second, fifth or tenth, and the odd ones, with their marks."""
    whole = [step for step in steps if step.run == STEP]
    last = {max((i for i, step in enumerate(whole) if step.part == part), default=-1) for part in ("run", "tail")}
    for every in (1, 2, 5, 10):
        shown = [step for i, step in enumerate(whole) if step.number % every == 0 or i in last]
        if len(shown) <= most:
            break
    odd = [step for step in steps if step.run != STEP]
    first, second = ([f"{step.label}: {feet_inches(step.mark)}" for step in some] for some in (shown, odd))
    return first, second


def saw_page(cut: Cut, order: CutOrder) -> Layout:
    """The second page: the birdsmouth, the square, stepping off, how the saw is set.

    >>> from rooflab import Gable
    >>> page = saw_page(Cut(RafterBay(Gable("24'", 9, "5 1/2", 16), "2x10", 4)), CutOrder())
    >>> "tail +4\\" of run: 16'-8\\"" in [label.text for label in page.labels]
    True
    """
    page, top = _start(cut, order, 2)
    low, v, x1 = _foot(page), cut.values, WIDE - MARGIN
    y = top

    def head(words: str) -> None:
        nonlocal y
        page.text(RIGHT, y + 0.6 * SIZE, words)
        page.rule(RIGHT, x1, y + 1.4 * SIZE)
        y += 1.6 * SIZE

    heel = f"Heel height (HAP): {feet_inches(v['heel'])}, down the building line."
    notch = f"Notch: {feet_inches(v['notch_depth'])} of {feet_inches(cut.depth)}, square to the edge."
    square = f"Square: {cut.square.words}. Plumb along the {cut.square.rise_arm}, level along the {cut.square.run_arm}."
    texts = [row for words in (heel, notch, square, *saw_words(cut)) for row in wrap(words, x1 - RIGHT, SIZE)]
    ridge = f"Ridge cut: {feet_inches(v['shortening'])} inside that line, measured level."
    inside = wrap(ridge, x1 - RIGHT, SIZE) if v["shortening"] else []
    room = int((low - top - 3.8 * SIZE) / (ROW * SIZE)) - len(texts) - len(inside) - 2  # rows; two of odd steps
    whole, odd = _step_rows(cut.steps, COLUMNS * room)
    head("STEPS, FROM THE RIDGE'S PLUMB LINE")
    column = math.ceil(len(whole) / COLUMNS)
    for i, words in enumerate(whole):
        page.text(RIGHT + (i // column) * (x1 - RIGHT) / COLUMNS, y + (i % column + 0.6) * ROW * SIZE, words)
    y = page.lines(RIGHT, y + ROW * SIZE * column, [*odd, *inside], SIZE, ROW) + 0.6 * SIZE
    head("SQUARE AND SAW")
    page.lines(RIGHT, y, texts, SIZE, ROW)
    split = top + 0.4 * (low - top)
    middle = MARGIN + 306.0
    mouth, square_view = birdsmouth(cut), framing_square(cut)
    titles = (Title("sides", "ridge to the left; hatched: waste", "left"),)
    mouth = replace(mouth, titles=titles, must=tuple(set(mouth.must) - {"over the corner", "mouth"}))
    scenes: tuple[tuple[Scene, Box], ...] = (
        (stepping(cut), (MARGIN, top, RIGHT - 14, split - GAP)),
        (mouth, (MARGIN, split, middle - 6, low)),
        (replace(square_view, titles=()), (middle + 6, split, RIGHT - 14, low)),
    )
    for scene, place in scenes:
        page.centre(fit(scene, place[2] - place[0], place[3] - place[1], SIZE), place)
    title = f"Rafter cut sheet, steps and saw: {numbers_of(cut)}"
    return page.layout(title, f"{title}. {' '.join(stops(cut, order))}")


def sheet_pages(cut: Cut, order: CutOrder | None = None) -> tuple[Layout, Layout]:
    """Both pages of the cut sheet on letter paper."""
    order = order or CutOrder()
    return marks_page(cut, order), saw_page(cut, order)


def cut_sheet(
    bay: RafterBay, path: str | os.PathLike[str], end: str = "left", hook: str = "ridge", *,
    job: Job | None = None, option: str = "", date: str = "", quantity: int | str = "",
) -> Path:  # fmt: skip
    """Write a bay's rafter as a cut sheet, two pages of letter paper as PDF: marks, then steps, square and saw.

    ``hook`` says where the tape is hooked, "ridge" or "tail".  ``job`` gives its title, grade, spacing and the soffit
    that the tail is cut level for; ``option``, ``date`` and ``quantity`` are printed as they are typed.  Nothing is
    overwritten.  InputError for another end or hook, words that cannot be printed, an option with another rafter, and
    a file that is there already or is not named .pdf.
    """
    target = new_file(path, "Cut sheet", (".pdf",))
    Cut(bay, end, hook)
    order = cut_order(bay, end, job, option, date, quantity)
    return write_pdf(sheet_pages(cut_for(bay, end, hook, order), order), target, "Cut sheet")
