"""A practice sheet on letter paper: mixed questions with small sketches, and the answers worked on the last page.

The same seed gives the same sheet everywhere, so that a class can be given one and its answers read out.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from rooflab.base.files import new_file
from rooflab.base.inputs import stop_on
from rooflab.base.measure import InputError
from rooflab.draw.layout import fit
from rooflab.draw.members import parts_drawing, rafter_parts, ridge_board
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Dim, Layout, Scene, Stroke, box, cut
from rooflab.draw.views.details import rafter_heel, truss_heel
from rooflab.draw.views.profile import profile
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.lessons.exercises import KINDS, mixed_questions
from rooflab.lessons.questions import Choice, Question
from rooflab.lessons.random_houses import seed_text

from .page import LETTER, Page, write_pdf

(WIDE, TALL), MARGIN = LETTER, 46.0  # points
SIZE, SMALL, LEAST = 10.0, 9.0, 8.0  # of questions, of answers and of the notes, points
LINE = 1.35  # in text heights
SKETCH = (168.0, 104.0)
ROOMS = (66.0, 54.0, 42.0, 32.0, 24.0, 16.0)  # to write in, points: the largest that keeps the questions on two pages
MOST = 10  # questions of a sheet
CAUTION = (
    "For learning, on paper. It says nothing about strength. Local code and licensed people decide: the engineer, the "
    "truss designer, the building official. Trusses are not cut, notched or drilled on site. IRC numbers and shop "
    "figures are reminders: verify them."
)
TOGETHER = re.compile(r"\d \d+/\d+|\d in 12|√\((?:[^()]|\([^()]*\))*\)")  # what no line is broken inside
WORDS = {"d_t": "top chord", "d_b": "bottom chord", "h_a": "rafter heel", "h_b": "truss heel"}  # for marked symbols
ANSWERS = (11.0, 10.0, SMALL)  # of answers, points: the largest that fits


def _lines(words: str, wide: float, size: float) -> list[str]:
    """Words in lines; fractions and pitches stay whole."""
    joined = TOGETHER.sub(lambda found: found[0].replace(" ", "~"), words)
    return [line.replace("~", " ") for line in wrap(joined, 0.96 * wide, size)]


CAUTION_LINES = _lines(CAUTION, WIDE - 2 * MARGIN, LEAST)
LOW = TALL - MARGIN - 1.3 * LEAST * len(CAUTION_LINES) - 12  # where the questions of a page end

# The dimension of a sketch that is asked for: shown as "?".
AT_THE_HEEL = {"heel": "heel", "plumb_depth": "plumb depth", "birdsmouth_plumb": "birdsmouth",
               "space_outside": "space outside", "space_inside": "space inside"}  # fmt: skip
OVERALL = {"height": "overall height", "ceiling_rise": "ceiling rise", "depth_at_peak": "depth at peak",
           "run": "left run"}  # fmt: skip


# --- sketches --------------------------------------------------------------------------------------------------------


def sketch(question: Question | Choice) -> Scene | None:
    """The section with what is asked for marked "?", and no other number; None where it would not help."""
    if not isinstance(question, Question):
        return None
    bay, reading = question.bay, question.reading
    if isinstance(bay, RafterBay):
        scene = rafter_heel(bay) if reading in AT_THE_HEEL else _half(bay, reading)
    elif isinstance(bay, ScissorBay):
        scene = truss_heel(bay) if reading in AT_THE_HEEL else profile(bay) if reading in OVERALL else None
    else:
        return None
    if scene is None:
        return None
    name = AT_THE_HEEL.get(reading) or (reading if isinstance(bay, RafterBay) else OVERALL[reading])
    dims = tuple(dim._replace(text="?", level=1) for dim in scene.dims if dim.name == name)
    if not dims:
        return None
    description = f"Sketch: {name} is asked."
    return replace(scene, dims=dims, titles=(), notes=(), slopes=(), must=(name,), description=description)


def _half(bay: RafterBay, reading: str) -> Scene | None:
    """Half a section of the rafter bay, with the level and plumb dimensions that can be asked for."""
    end, x = bay.left, bay.peak[0]
    out, far = -end.overhang, x if reading in ("run", "peak_height", "ridge_top") else 36.0  # tails: the eave alone
    parts = cut([*rafter_parts(bay), *ridge_board(bay)], box(out - 4, -40, far, 999))
    shapes, strokes = parts_drawing(parts)
    dims = {
        "run": Dim("run", "", (0.0, -30.0), (x, -30.0), "bottom"),
        "peak_height": Dim("peak_height", "", (x, 0.0), (x, bay.peak_height), "right"),
        "ridge_top": Dim("ridge_top", "", (x, 0.0), (x, bay.ridge_top), "right"),
        "tail_top": Dim("tail_top", "", (out, bay.tail_top), (out, 0.0), "left"),
        "tail_underside": Dim("tail_underside", "", (out, bay.tail_underside), (out, 0.0), "left"),
    }
    if reading not in dims:
        return None
    level = Stroke("plate level", ((out - 4, 0.0), (far + 4, 0.0)), "guide")
    return Scene("Half section", "", shapes, (*strokes, level), (dims[reading],))


# --- pages -----------------------------------------------------------------------------------------------------------


def _new_page(heading: str, more: str) -> Page:
    """A page with its heading; the caution and the number take its foot."""
    page = Page(WIDE, TALL, MARGIN, SIZE)
    page.text(MARGIN, page.y + 9.0, heading, size=15.0)
    page.text(WIDE - MARGIN, page.y + 0.6 * SMALL, more, "end", SMALL)
    page.y += LINE * 15.0
    page.rule(MARGIN, WIDE - MARGIN, page.y, "mark")
    page.y += 8
    return page


def _finish(page: Page, seed: str, number: int, total: int) -> Layout:
    """The page with its caution and number."""
    page.rule(MARGIN, WIDE - MARGIN, LOW + 2)
    y = page.lines(MARGIN, LOW + 6, CAUTION_LINES, LEAST, 1.3)
    page.text(WIDE - MARGIN, y + 0.6 * LEAST, f"Seed: {seed} · page {number} of {total}", "end", LEAST)
    what = "Questions" if number < total else "Answers"
    return page.layout(f"Roof practice, seed {seed}: {what}", CAUTION)


def _block(page: Page, number: int, question: Question | Choice, room: float) -> bool:
    """One question, where it fits; its sketch stands on the right."""
    scene = sketch(question)
    wide = WIDE - 2 * MARGIN - 20 - (SKETCH[0] + 12 if scene else 0)
    prompt = _lines(question.prompt, wide, SIZE)
    choices = [_lines(f"{letter}.  {text}", wide - 18, SIZE)
              for letter, text in zip("abcdefgh", question.choices, strict=False)]  # fmt: skip
    rows = len(prompt) + sum(map(len, choices)) + (not choices)
    tall = LINE * SIZE * rows + (room if not choices else 0.3 * room) + 12
    tall = max(tall, SKETCH[1] + 10 if scene else 0.0)
    top, below = page.y, page.y + tall
    if below > LOW:
        return False
    page.text(MARGIN, top + 0.6 * SIZE, f"{number}.")
    y = page.lines(MARGIN + 20, top, prompt, step=LINE)
    for choice in choices:
        page.strokes.append(_box(MARGIN + 22, y + 2))
        y = page.lines(MARGIN + 38, y, choice, step=LINE)
    if scene:
        x = WIDE - MARGIN - SKETCH[0]
        page.centre(fit(scene, *SKETCH, SMALL), (x, top, x + SKETCH[0], top + SKETCH[1]))
    if not choices:
        y = below - 12 - LINE * SIZE
        page.text(MARGIN + 20, y + 0.6 * SIZE, "Answer:")
        page.rule(MARGIN + 66, MARGIN + 190, y + SIZE)
        page.text(MARGIN + 198, y + 0.6 * SMALL, f"({question.unit})", size=SMALL)
    page.y = below
    return True


def _box(x: float, y: float) -> Stroke:
    side = 8.0
    return Stroke("box", ((x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y)), "mark")


def _answer(question: Question | Choice) -> str:
    if isinstance(question, Choice):
        letter = "abcdefgh"[question.right]
        return f"{letter}. {question.choices[question.right]}. {question.why}"
    formula = re.sub(r"\b[a-z]+_[a-z]+\b", lambda one: WORDS.get(one[0], one[0].replace("_", " ")), question.formula)
    return f"{question.text}  ({question.row.label} = {formula} = {question.numbers})"


def _question_pages(questions: Sequence[Question | Choice], seed: str, room: float) -> list[Page]:
    pages = [_new_page("Roof practice", "Name ____________________   Date ____________")]
    for number, question in enumerate(questions, 1):
        if not _block(pages[-1], number, question, room):
            pages.append(_new_page("Roof practice, continued", ""))
            if not _block(pages[-1], number, question, room):
                raise RuntimeError(f"question {number} of seed {seed} does not fit on a page")
    return pages


def practice_pages(seed: object = 1, count: int = 8, kinds: Sequence[str] = KINDS) -> tuple[Layout, ...]:
    """The pages of a practice sheet: one or two of questions, and the answers on the last.

    ``seed`` is a word or a whole number, ``count`` 1 to 10 questions, ``kinds`` those of ``exercises.KINDS`` to choose
    from.  InputError for anything else.
    """
    problems = []
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST:
        problems.append(f"Number of questions: {str(count)[:20]} is not a whole number from 1 to {MOST}.")
    if unknown := [kind for kind in kinds if kind not in KINDS]:
        problems.append(f"Kind of question: {unknown[0]} is not one; give names such as rafter.heel.")
    if not kinds:
        problems.append("Kinds of questions: none; give names such as rafter.heel.")
    stop_on(problems)
    seed_words, questions = seed_text(seed), mixed_questions(seed, count, tuple(kinds))
    pages = next((trial for room in ROOMS if len(trial := _question_pages(questions, seed_words, room)) <= 2), None)
    if pages is None:
        raise InputError(f"Number of questions: these {count} need more than two pages; give fewer.")
    last = _new_page("Answers", "Lengths count as right within 1/16 in.")
    wide = WIDE - 2 * MARGIN - 24
    for size in ANSWERS:
        answers = [_lines(_answer(question), wide, size) for question in questions]
        if last.y + sum(LINE * size * len(rows) + 6 for rows in answers) <= LOW:
            break
    for number, rows in enumerate(answers, 1):
        last.text(MARGIN, last.y + 0.6 * size, f"{number}.", size=size)
        last.y = last.lines(MARGIN + 20, last.y, rows, size, LINE) + 6
    pages.append(last)
    return tuple(_finish(page, seed_words, i, len(pages)) for i, page in enumerate(pages, 1))


def practice_sheet(
    path: str | os.PathLike[str], seed: object = 1, count: int = 8, kinds: Sequence[str] = KINDS
) -> Path:
    """Write a mixed practice sheet as a PDF on letter paper, its answers on the last page; the file written.

    The same seed gives the same sheet everywhere; it is printed on every page.  Nothing is overwritten.  InputError for
    another kind of file, a file that exists, or what ``practice_pages`` refuses.
    """
    target = new_file(path, "Practice sheet", (".pdf",))
    return write_pdf(practice_pages(seed, count, kinds), target, f"Roof practice, seed {seed_text(seed)}")
