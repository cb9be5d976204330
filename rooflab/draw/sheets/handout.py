"""A workbook on one page of letter paper: goals, picture, formulas, questions with room to write, cautions.

What it holds is handed over: it is gathered from the workbook's own text and pictures.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import new_file
from rooflab.base.measure import InputError
from rooflab.draw.layout import fit_large
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, Scene, width

from .page import LETTER, Page, Row, write_pdf

(WIDE, TALL), MARGIN, GAP = LETTER, 32.0, 16.0  # points
SIZE, LARGE = 8.5, 13.0  # of the texts
LINE, PARA, WRITE = 1.24, 0.35, 2.0  # a line, the gap after a paragraph, a line to write on; in text heights
LEAST = 96.0  # the least height of a picture
HALF = (WIDE - 2 * MARGIN - GAP) / 2
SYMBOLS = {
    r"\bm\b": "m: rise of the roof in 12, ÷ 12",
    r"\bc\b": "c: rise of the ceiling in 12, ÷ 12",
    r"\bk\(": "k(s) = √(1 + s²): the stretch",
    r"\bD\b": "D: depth of the rafter",
    r"\bd_t\b": "d_t: depth of the top chord",
    r"\bd_b\b": "d_b: depth of the bottom chord",
    r"\bo\b": "o: overhang",
}
CAUTION = (
    "For learning; it approves nothing: local code, engineer, building official and truss designer decide. Trusses are "
    "never cut, notched or altered on site. Verify dimensions in the field before anything is cut or made."
)


class Handout(NamedTuple):
    """What goes on the page, as plain text; a formula is its reading, and what it equals, part by part."""

    title: str
    goals: Sequence[str]
    picture: Scene | None
    formulas: Sequence[Sequence[str]]
    questions: Sequence[tuple[str, Sequence[str]]]  # each with its choices
    left_out: Sequence[str]
    key: Scene | None = None  # of the picture


Part = list[Row]  # lines and how far in they begin


def _heading(page: Page, words: str, y: float) -> float:
    page.text(MARGIN, y + 0.6 * SIZE, words.upper())
    page.rule(MARGIN, WIDE - MARGIN, y + 1.3 * SIZE)
    return y + 1.7 * SIZE


def _down(page: Page, part: Part, x: float, y: float) -> float:
    """A paragraph; the y below it."""
    return page.lines(x, y, part, step=LINE) + PARA * SIZE


def _part(words: str, wide: float, mark: str = "") -> Part:
    hang = width(f"{mark} ", SIZE) if mark else 0.0
    lines = wrap(words, wide - hang, SIZE)
    first = f"{mark} {lines[0]}" if mark else lines[0]
    return [((0.0, first),), *(((hang, line),) for line in lines[1:])]


def _tall(part: Part) -> float:
    return (LINE * len(part) + PARA) * SIZE


def _question(number: int, prompt: str, choices: Sequence[str]) -> Part:
    """A question with boxes to tick, as many in a line as there is room for."""
    hang = width(f"{number}. ", SIZE)
    part, line = _part(prompt, HALF, f"{number}."), ""
    for choice in choices:
        longer = f"{line}    [  ] {choice}" if line else f"[  ] {choice}"
        if line and width(longer, SIZE) > HALF - hang:
            part, longer = [*part, ((hang, line),)], f"[  ] {choice}"
        line = longer
    wide = HALF - hang  # one line, or several where it is too long
    first, *others = wrap(line, wide, SIZE) if width(line, SIZE) > wide else [line]
    return [*part, ((hang, first),), *(((hang + width("[  ] ", SIZE), other),) for other in others)]


def _formula(parts: Sequence[str], wide: float) -> Part:
    """A reading and what it equals; it goes on below, further in, where it has no room."""
    lines = wrap(" = ".join(filter(None, parts)), wide - 2 * SIZE, SIZE)
    return [((0.0, lines[0]),), *(((2 * SIZE, line),) for line in lines[1:])]


def _halves(talls: Sequence[float]) -> int:
    """How many parts go into the left column, so that the taller column is least."""
    return min(range(len(talls), -1, -1), key=lambda cut: max(sum(talls[:cut]), sum(talls[cut:])))


def handout_page(content: Handout) -> Layout:
    """The handout as one page.  InputError where the text leaves no room for the picture."""
    page, full, right = Page(WIDE, TALL, MARGIN, SIZE), WIDE - 2 * MARGIN, MARGIN + HALF + GAP
    page.text(MARGIN, MARGIN + 0.6 * LARGE, content.title, size=LARGE)
    page.text(WIDE - MARGIN, MARGIN + 4 + 0.6 * SIZE, "name and date ______________________", "end")
    y = MARGIN + 1.5 * LARGE
    page.rule(MARGIN, WIDE - MARGIN, y, "mark")
    y = _heading(page, "Afterwards you can", y + 6)
    for number, goal in enumerate(content.goals, 1):
        y = _down(page, _part(goal, full, f"{number}."), MARGIN, y)

    formulas = [_formula(parts, full) for parts in content.formulas]
    formula_text = " ".join(parts[1] for parts in content.formulas if parts[1:])
    symbols = [words for mark, words in SYMBOLS.items() if re.search(mark, formula_text)]
    key = _part("; ".join(symbols) + ".", full) if symbols else []
    questions = [_question(n, *question) for n, question in enumerate(content.questions, 1)]
    question_talls = [_tall(part) + WRITE * SIZE for part in questions]
    left_out = [_part(words, HALF, "-") for words in content.left_out]
    caution = _part(CAUTION, full)

    cut, low = _halves(question_talls), _halves([_tall(part) for part in left_out])
    head = 2.1 * SIZE
    below = head + _tall(caution)
    if left_out:
        below += head + max(sum(map(_tall, left_out[:low])), sum(map(_tall, left_out[low:])))
    if questions:
        below += head + max(sum(question_talls[:cut]), sum(question_talls[cut:]))
    if formulas:
        below += head + sum(map(_tall, [*formulas, key] if key else formulas))
    room = TALL - MARGIN - below - y
    if content.picture is not None:
        picture = fit_large(content.picture, full, min(room, 300.0) - SIZE, SIZE)
        if room < LEAST or picture.height > room - SIZE:
            raise InputError(f"Handout {content.title}: the text leaves {room:.0f} points for its picture, too few.")
        top = y + 0.5 * SIZE
        page.centre(picture, (MARGIN, top, MARGIN + full, top + picture.height), content.key)
        y += picture.height + SIZE
    spare = max(TALL - MARGIN - below - y, 0.0)  # goes to the lines to write on
    more = min(spare / max(cut, len(questions) - cut, 1), 4 * SIZE) if questions else 0.0

    if formulas:
        y = _heading(page, "Formulas, each worked once; its numbers need not be those of the picture", y)
        for part in [*formulas, key] if key else formulas:
            y = _down(page, part, MARGIN, y)
        y += 0.4 * SIZE
    if questions:
        top = _heading(page, "The questions: choose first, then write what you saw and why", y)
        ends = []
        for x, parts in ((MARGIN, questions[:cut]), (right, questions[cut:])):
            y = top
            for part in parts:
                y = _down(page, part, x, y) + WRITE * SIZE + more
                for up in range(1 + int(more // (1.9 * SIZE))):
                    page.rule(x + width("1. ", SIZE), x + HALF, y - 0.8 * SIZE - 1.9 * SIZE * up)
            ends.append(y)
        y = max(ends) + 0.4 * SIZE
    if left_out:
        top = _heading(page, "What this leaves out", y)
        ends = []
        for x, parts in ((MARGIN, left_out[:low]), (right, left_out[low:])):
            y = top
            for part in parts:
                y = _down(page, part, x, y)
            ends.append(y)
        y = max(ends) + 0.4 * SIZE
    top = TALL - MARGIN - _tall(caution)
    page.rule(MARGIN, WIDE - MARGIN, top - 0.4 * SIZE, "mark")
    _down(page, caution, MARGIN, top)
    return page.layout(f"{content.title}: handout", CAUTION)


def write_handout(content: Handout, path: str | os.PathLike[str]) -> Path:
    """Write the page as a PDF; nothing is overwritten.  InputError for another suffix or a file that exists."""
    target = new_file(path, "Handout", (".pdf",))
    return write_pdf((handout_page(content),), target, f"{content.title}: handout")
