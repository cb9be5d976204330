"""A workbook on one page of letter paper: goals, picture, formulas, questions with room to write, cautions.

What it holds is handed over: it is gathered from the workbook's own text and pictures.
"""

from __future__ import annotations

import io
import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from rooflab.base.jsonfile import place_of
from rooflab.base.measure import InputError
from rooflab.draw.large import fit_large
from rooflab.draw.placing import wrapped
from rooflab.draw.scene import Label, Layout, Scene, Shape, Stroke, width

from .profile import taken, write_new

WIDE, TALL, MARGIN, GAP = 612.0, 792.0, 32.0, 16.0  # letter, upright; points
SIZE, LARGE = 8.5, 13.0  # of the texts
LINE, PARA, WRITE = 1.24, 0.35, 2.0  # a line, the gap after a paragraph, a line to write on; in text heights
LEAST = 96.0  # the least height of a picture
HELD = "\ue000"  # stands for a space that is no place to break a line
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


class _Sheet:
    """A page while it is written, from the top down."""

    def __init__(self) -> None:
        self.shapes: list[Shape] = []
        self.strokes: list[Stroke] = []
        self.labels: list[Label] = []

    def text(self, x: float, y: float, words: str, size: float = SIZE, anchor: str = "start") -> None:
        """A line whose upper edge is at ``y``."""
        self.labels.append(Label("text", words, x, y + 0.6 * size, anchor, size))

    def rule(self, x0: float, x1: float, y: float, style: str = "dim") -> None:
        self.strokes.append(Stroke("rule", ((x0, y), (x1, y)), style))

    def heading(self, words: str, x: float, y: float, wide: float) -> float:
        self.text(x, y, words.upper())
        self.rule(x, x + wide, y + 1.3 * SIZE)
        return y + 1.7 * SIZE

    def lines(self, lines: Sequence[tuple[float, str]], x: float, y: float) -> float:
        for shift, words in lines:
            self.text(x + shift, y, words)
            y += LINE * SIZE
        return y + PARA * SIZE

    def draw(self, placed: Layout, x: float, y: float) -> None:
        def moved(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
            return tuple((px + x, py + y) for px, py in points)

        self.shapes += [shape._replace(points=moved(shape.points)) for shape in placed.shapes]
        self.strokes += [stroke._replace(points=moved(stroke.points)) for stroke in placed.strokes]
        self.labels += [label._replace(x=label.x + x, y=label.y + y) for label in placed.labels]


Part = list[tuple[float, str]]  # lines and how far in they begin


def _wrapped(words: str, wide: float) -> list[str]:
    """Words in lines; a number and its fraction stay together."""
    held = re.sub(r"(\d) (?=\d+/\d+)", rf"\1{HELD}", words)
    return [line.replace(HELD, " ") for line in wrapped(held, wide, SIZE)]


def _part(words: str, wide: float, mark: str = "") -> Part:
    hang = width(f"{mark} ", SIZE) if mark else 0.0
    lines = _wrapped(words, wide - hang)
    first = f"{mark} {lines[0]}" if mark else lines[0]
    return [(0.0, first), *((hang, line) for line in lines[1:])]


def _tall(part: Part) -> float:
    return (LINE * len(part) + PARA) * SIZE


def _question(number: int, prompt: str, choices: Sequence[str]) -> Part:
    """A question with boxes to tick, as many in a line as there is room for."""
    hang = width(f"{number}. ", SIZE)
    part, line = _part(prompt, HALF, f"{number}."), ""
    for choice in choices:
        longer = f"{line}    [  ] {choice}" if line else f"[  ] {choice}"
        if line and width(longer, SIZE) > HALF - hang:
            part, longer = [*part, (hang, line)], f"[  ] {choice}"
        line = longer
    return [*part, *((hang + x, words) for x, words in _lines(line, HALF - hang))]


def _lines(line: str, wide: float) -> Part:
    """One line, or several where it is too long."""
    first, *others = _wrapped(line, wide) if width(line, SIZE) > wide else [line]
    return [(0.0, first), *((width("[  ] ", SIZE), other) for other in others)]


def _formula(parts: Sequence[str], wide: float) -> Part:
    """A reading and what it equals; it goes on below, further in, where it has no room."""
    lines = _wrapped(" = ".join(filter(None, parts)), wide - 2 * SIZE)
    return [(0.0, lines[0]), *((2 * SIZE, line) for line in lines[1:])]


def _halves(talls: Sequence[float]) -> int:
    """How many parts go into the left column, so that the taller column is least."""
    return min(range(len(talls), -1, -1), key=lambda cut: max(sum(talls[:cut]), sum(talls[cut:])))


def handout_page(given: Handout) -> Layout:
    """The page.  InputError where the text leaves no room for the picture."""
    sheet, full, right = _Sheet(), WIDE - 2 * MARGIN, MARGIN + HALF + GAP
    sheet.text(MARGIN, MARGIN, given.title, LARGE)
    sheet.text(WIDE - MARGIN, MARGIN + 4, "name and date ______________________", SIZE, "end")
    y = MARGIN + 1.5 * LARGE
    sheet.rule(MARGIN, WIDE - MARGIN, y, "mark")
    y = sheet.heading("Afterwards you can", MARGIN, y + 6, full)
    for number, goal in enumerate(given.goals, 1):
        y = sheet.lines(_part(goal, full, f"{number}."), MARGIN, y)

    formulas = [_formula(parts, full) for parts in given.formulas]
    written = " ".join(parts[1] for parts in given.formulas if parts[1:])
    used = [words for mark, words in SYMBOLS.items() if re.search(mark, written)]
    key = _part("; ".join(used) + ".", full) if used else []
    questions = [_question(n, *asked) for n, asked in enumerate(given.questions, 1)]
    asked_talls = [_tall(part) + WRITE * SIZE for part in questions]
    left_out = [_part(words, HALF, "-") for words in given.left_out]
    caution = _part(CAUTION, full)

    cut, low = _halves(asked_talls), _halves([_tall(part) for part in left_out])
    head = 2.1 * SIZE
    below = head + _tall(caution)
    if left_out:
        below += head + max(sum(map(_tall, left_out[:low])), sum(map(_tall, left_out[low:])))
    if questions:
        below += head + max(sum(asked_talls[:cut]), sum(asked_talls[cut:]))
    if formulas:
        below += head + sum(map(_tall, [*formulas, key] if key else formulas))
    room = TALL - MARGIN - below - y
    if given.picture is not None:
        placed = fit_large(given.picture, full, min(room, 300.0) - SIZE, SIZE)
        if room < LEAST or placed.height > room - SIZE:
            raise InputError(f"Handout {given.title}: the text leaves {room:.0f} points for its picture, too few.")
        sheet.draw(placed, (WIDE - placed.width) / 2, y + 0.5 * SIZE)
        y += placed.height + SIZE
    spare = max(TALL - MARGIN - below - y, 0.0)  # goes to the lines to write on
    more = min(spare / max(cut, len(questions) - cut, 1), 4 * SIZE) if questions else 0.0

    if formulas:
        y = sheet.heading("Formulas, each worked once; its numbers need not be those of the picture", MARGIN, y, full)
        for part in [*formulas, key] if key else formulas:
            y = sheet.lines(part, MARGIN, y)
        y += 0.4 * SIZE
    if questions:
        top = sheet.heading("The questions: choose first, then write what you saw and why", MARGIN, y, full)
        ends = []
        for x, parts in ((MARGIN, questions[:cut]), (right, questions[cut:])):
            y = top
            for part in parts:
                y = sheet.lines(part, x, y) + WRITE * SIZE + more
                for up in range(1 + int(more // (1.9 * SIZE))):
                    sheet.rule(x + width("1. ", SIZE), x + HALF, y - 0.8 * SIZE - 1.9 * SIZE * up)
            ends.append(y)
        y = max(ends) + 0.4 * SIZE
    if left_out:
        top = sheet.heading("What this leaves out", MARGIN, y, full)
        ends = []
        for x, parts in ((MARGIN, left_out[:low]), (right, left_out[low:])):
            y = top
            for part in parts:
                y = sheet.lines(part, x, y)
            ends.append(y)
        y = max(ends) + 0.4 * SIZE
    top = TALL - MARGIN - _tall(caution)
    sheet.rule(MARGIN, WIDE - MARGIN, top - 0.4 * SIZE, "mark")
    sheet.lines(caution, MARGIN, top)
    return Layout(
        f"{given.title}: handout", CAUTION, WIDE, TALL, 1.0, (0.0, 0.0),
        tuple(sheet.shapes), tuple(sheet.strokes), tuple(sheet.labels), SIZE,
    )  # fmt: skip


def write_handout(given: Handout, path: str | os.PathLike[str]) -> Path:
    """Write the page as a PDF; nothing is overwritten.  InputError for another suffix or a file that exists."""
    import matplotlib  # heavy, and only wanted for files

    from rooflab.draw.paper import KINDS, SETTINGS, page_of

    target = place_of(path, "Handout")
    if target.suffix.lower() != ".pdf":
        raise InputError(f"File {target.name!r}: a handout is written as .pdf.")
    if target.exists():
        raise InputError(taken(target))
    out, metadata = io.BytesIO(), {**KINDS[".pdf"][2], "Title": f"{given.title}: handout"}
    with matplotlib.rc_context(SETTINGS):
        page_of(handout_page(given)).figure.savefig(out, format="pdf", metadata=metadata)
    return write_new(target, out.getvalue())
