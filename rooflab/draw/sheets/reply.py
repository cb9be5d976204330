"""The record that goes back to the manufacturer: verdicts, both profiles, what contradicts, questions and a note.

It states general conformance with the design intent and nothing else; it never approves the engineering.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from rooflab.base.files import new_file, write_new
from rooflab.base.findings import Finding
from rooflab.base.inputs import must_be, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.draw.layout import fit
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout
from rooflab.draw.views.review import review_overlay
from rooflab.shop.checklist import completeness
from rooflab.shop.items import label
from rooflab.shop.review import DEFER, NOT_SHOWN, RESOLVE, Review

from .exports import csv_text
from .page import LETTER, Page, one_line, write_pdf

LONGEST = 2000  # characters of a note or a question
HEAD = "Reply to a returned truss drawing"
SCOPE = (
    "Reviewed for general conformance with the design intent only: shape, heights, overhangs and bearings. This is no "
    "approval of the truss's engineering, loads, members, connectors or bracing, and it releases nobody from "
    "their own work. "
    "Nothing is made before the numbers marked RESOLVE are settled in writing."
)
(WIDE, TALL), MARGIN, SIZE = LETTER, 40.0, 8.5  # points
COLUMNS = (
    (0.0, "item"),
    (96.0, "asked for"),
    (158.0, "returned"),
    (220.0, "difference"),
    (274.0, "verdict"),
    (324.0, "what it would do"),
)


def questions_of(review: Review) -> tuple[str, ...]:
    """The questions of a reviewer, from what differs, contradicts or is not shown."""
    questions = [
        f"{line.texts[0]}: {line.texts[2]} returned, {line.texts[1]} asked for. Which is meant, and what "
        f"follows from it?"
        for line in review.of(RESOLVE)
    ]
    if review.contradictions:
        questions.append(f"The drawing contradicts itself. {review.repair_sentence} Which number is wrong?")
    missing = ", ".join(label(line.item).lower() for line in review.of(NOT_SHOWN))
    return (*questions, *((f"Not shown: {missing}. Please add.",) if missing else ()))


def movement_words(one: Finding) -> str:
    """The words on a stated movement: its limit, source and what to do."""
    return f"{one.sentence} {one.remedy + ' ' if one.verdict == 'misses' else ''}({one.source})"


def reply_csv(
    review: Review,
    note: str = "",
    questions: Sequence[str] | None = None,
    ticked: Sequence[int] = (),
    moved: Sequence[Finding] = (),
) -> str:
    """The record as CSV; no cell that a spreadsheet would take for a formula, negative lengths as they are."""
    rows: list[tuple[str, ...]] = []

    def row(*cells: str) -> None:
        rows.append(cells)

    row("item", "asked for", "returned", "difference", "verdict", "what it would do", "remark on the drawing")
    for line in review.lines:
        remark = next((text for key, text in review.remarks.items() if key.startswith(line.item)), "")
        row(*line.texts, line.verdict, line.consequence, remark)
    for clash in review.contradictions:
        row("contradiction", "", "", "", "", clash.sentence)
    if review.contradictions:
        row("repair", "", "", "", "", review.repair_sentence)
    for cause in review.causes:
        row("a slip that fits", "", "", "", cause.slip, cause.sentence)
    for point in completeness(ticked) if ticked else ():
        row(f"point {point.number}", "", "", "", "found" if point.ticked else "not found",
            f"{point.text} ({point.source})")  # fmt: skip
    for one in moved:
        value = "" if one.value is None else f"{one.value:.2f} in"
        limit = "" if one.limit is None else f"{one.limit:.2f} in"
        row("movement stated", limit, value, "", one.verdict, movement_words(one))
    for question in questions_of(review) if questions is None else questions:
        row("question", "", "", "", "", question)
    if note:
        row("note", "", "", "", "", note)
    row("scope", "", "", "", "", SCOPE)
    return csv_text(rows)


def write_reply(
    review: Review,
    path: str | os.PathLike[str],
    title: str = "",
    note: str = "",
    questions: Sequence[str] | None = None,
    times: int = 1,
    ticked: Sequence[int] = (),
    moved: Sequence[Finding] = (),
) -> Path:
    """Write the record as .pdf or .csv.  ``questions`` None: those that follow from the review; ``times`` draws the
    differences larger; ``ticked`` are the points of ``completeness`` that the drawing shows (none: left out), and
    ``moved`` what ``movement`` says of the deflections it states.

    Nothing is overwritten: an existing file raises InputError, as does another suffix.  Returns the file written.
    """  # fmt: skip
    must_be(review, Review, "Review")
    _check_words(title, note, questions)
    target = new_file(path, "Reply", (".pdf", ".csv"))
    if target.suffix.lower() == ".csv":
        return write_new(target, reply_csv(review, note, questions, ticked, moved).encode("utf-8-sig"))
    pages = reply_pages(review, title, note, questions, times, ticked, moved)
    return write_pdf(pages, target, f"{HEAD} {title}".strip())


def _check_words(title: str, note: str, questions: Sequence[str] | None) -> None:
    """InputError where words are too long, or of characters that no file can carry."""
    words = [("Title", title), ("Note", note), *(("Question", one) for one in questions or ())]
    plain = [(what, text.replace("\r", "") if isinstance(text, str) else text) for what, text in words]
    stop_on(f"{what}: {said}" for what, text in plain if (said := text_problem(text, LONGEST, what != "Title")))


def reply_pages(
    review: Review,
    title: str = "",
    note: str = "",
    questions: Sequence[str] | None = None,
    times: int = 1,
    ticked: Sequence[int] = (),
    moved: Sequence[Finding] = (),
) -> tuple[Layout, ...]:
    """The record's pages: profiles and table first, then what contradicts, slips, questions, note and scope."""
    record = _Record(title)
    record.text(review.sentence, SIZE + 1)
    record.picture(review, times)
    record.table(review)
    fits = [f"{one.slip[:1].upper()}{one.slip[1:]}. {one.sentence}" for one in review.causes]
    wording = questions_of(review) if questions is None else tuple(questions)
    missing = [f"{point.number}. {point.text} ({point.source})" for point in completeness(ticked) if not point.ticked]
    for heading, texts in (
        ("The drawing contradicts itself", [*(one.sentence for one in review.contradictions), review.repair_sentence]),
        ("Slips that would explain it: they fit, they need not be what happened", fits),
        ("Questions", [f"{n}. {text}" for n, text in enumerate(wording, 1)]),
        ("Note of the architect", [note]),
        (
            "Not found on the drawing (IRC R802.10.1, and what that list leaves out)",
            (missing or ["Every point was found."]) if ticked else [],
        ),
        (
            "Deflection and movement as the drawing states them",
            [f"{one.verdict.upper()}: {movement_words(one)}" for one in moved],
        ),
        ("What this record is", [SCOPE, DEFER]),
    ):
        record.part(heading, texts)
    return record.layouts()


class _Record:
    """Text, a picture and a table down as many pages as they take."""

    def __init__(self, title: str) -> None:
        self.title = title
        self.pages = [Page(WIDE, TALL, MARGIN, SIZE)]
        self.put(0.0, HEAD, SIZE + 5)
        self.page.y += 18
        if title:
            self.text(title, SIZE + 1)

    @property
    def page(self) -> Page:
        return self.pages[-1]

    def put(self, x: float, words: str, size: float = SIZE) -> None:
        self.page.text(MARGIN + x, self.page.y, words, size=size)

    def room(self, tall: float) -> None:
        if self.page.y + tall > TALL - MARGIN - 2 * SIZE:
            self.pages.append(Page(WIDE, TALL, MARGIN, SIZE))

    def text(self, words: str, size: float = SIZE) -> None:
        for line in wrap(words, WIDE - 2 * MARGIN, size):
            self.room(1.35 * size)
            self.put(0.0, line, size)
            self.page.y += 1.35 * size
        self.page.y += 0.3 * size

    def part(self, heading: str, texts: Sequence[str]) -> None:
        texts = [text for text in texts if text.strip()]
        if not texts:
            return
        self.room(4 * SIZE)
        self.page.y += 0.7 * SIZE
        self.put(0.0, heading.upper())
        self.page.y += 1.5 * SIZE
        for text in texts:
            self.text(text)

    def picture(self, review: Review, times: int) -> None:
        drawing = fit(review_overlay(review, times), WIDE - 2 * MARGIN, 210.0, SIZE)
        self.page.draw(drawing, MARGIN + (WIDE - 2 * MARGIN - drawing.width) / 2, self.page.y)
        self.page.y += drawing.height + 10

    def table(self, review: Review) -> None:
        self.room(6 * SIZE)
        for x, name in COLUMNS:
            self.put(x, name.upper(), SIZE - 1)
        self.page.y += 1.6 * SIZE
        last = WIDE - 2 * MARGIN - COLUMNS[-1][0]
        for line in review.lines:
            follows = wrap(line.consequence, last, SIZE - 1)
            tall = max(len(follows) * 1.25 * (SIZE - 1), 1.35 * SIZE) + 4
            self.room(tall)
            self.page.rule(MARGIN, WIDE - MARGIN, self.page.y - 0.85 * SIZE)
            verdict = line.verdict.upper() if line.verdict == RESOLVE else line.verdict
            for (x, _), cell in zip(COLUMNS, (*line.texts, verdict), strict=False):
                self.put(x, one_line(cell, 94 if not x else 60, SIZE))
            for i, words in enumerate(follows):
                y = self.page.y + 1.25 * (SIZE - 1) * i
                self.page.text(MARGIN + COLUMNS[-1][0], y, words, size=SIZE - 1)
            self.page.y += tall

    def layouts(self) -> tuple[Layout, ...]:
        """The pages with their numbers."""
        foot, footer = TALL - MARGIN, one_line(f"{self.title or HEAD}: design intent only", 400, SIZE - 1)
        for number, page in enumerate(self.pages, 1):
            page.text(MARGIN, foot, footer, size=SIZE - 1)
            page.text(WIDE - MARGIN, foot, f"page {number} of {len(self.pages)}", "end", SIZE - 1)
        return tuple(page.layout(f"{HEAD} {self.title}".strip(), SCOPE) for page in self.pages)
