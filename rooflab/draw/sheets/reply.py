"""The letter that goes back to the manufacturer: what to do, a question a cause, and each figure required and shown.

It states general conformance with the design intent and nothing else; it never approves the engineering.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from rooflab.base.files import new_file, write_new
from rooflab.base.findings import Finding
from rooflab.base.inputs import must_be, read_word, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.base.measure import LEVEL, feet_inches, pitch_text
from rooflab.draw.layout import fit
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, width
from rooflab.draw.views.review import any_difference, overlay_note, review_overlay
from rooflab.shop.causes import NEAR, items_of, truss_of_drawing
from rooflab.shop.checklist import CODE_ITEMS, SOURCE, Point, completeness
from rooflab.shop.items import ENDS, item_and_end, label
from rooflab.shop.review import AGREES, NOT_SHOWN, RESOLVE, ROUNDING, Review, ReviewLine

from .exports import csv_text
from .page import LETTER, Page, write_pdf

CHORD = "Its size is yours to choose: tell us the depth of the tail, for soffit and subfascia."
LONGEST, LONGEST_WORD = 2000, 120  # characters of a note or a question; of a line of the letter's head
HEAD = "Reply to a returned truss drawing"
LETTER_HEAD = {
    "to": "To", "sender": "From", "date": "Date", "drawing": "Drawing number", "drawing_date": "Drawing date",
    "mark": "Truss mark", "reviewed_by": "Reviewed by",
}  # fmt: skip
"""The lines of the letter's head beside the job, each typed by people or left blank for a pen."""

NOTHING, AS_NOTED, RESUBMIT = ACTIONS = ("no exceptions", "correct as noted", "correct and resubmit")
TO_DO = {
    NOTHING: "So far as this review goes there is nothing to correct.",
    AS_NOTED: "Correct what is noted and send us the corrected drawing. You need not wait for us; where you would "
    "rather not make a correction, ask first.",
    RESUBMIT: "Make nothing yet. Answer the questions, correct the drawing and send it again.",
}
SCOPE = (
    "Reviewed for general conformance with the design intent only: shape, heights, overhangs and bearings. This is no "
    "approval of the truss's engineering, loads, members, connectors or bracing, and it relieves nobody of their "
    "responsibility. Trusses are not cut, notched, drilled or repaired without the truss designer's written direction. "
    "The truss designer answers for each truss; local code, the engineer and the building official decide."
)
FOOT = "Design intent only; relieves nobody of their responsibility"
(WIDE, TALL), MARGIN, SIZE, SMALL = LETTER, 40.0, 9.0, 8.0  # points
Columns = tuple[tuple[float, str], ...]
HEAD_COLUMNS = ("To", "From", "Job", "Reviewed by"), ("Date", "Drawing number", "Drawing date", "Truss mark")
COLUMNS = ((0.0, "item"), (92.0, "required"), (166.0, "shown"), (240.0, "off by"), (320.0, "effect if built"))


# --- words -----------------------------------------------------------------------------------------------------------


def shop_texts(line: ReviewLine) -> tuple[str, str, str, str]:
    """Item, required, shown and how far off in words: no length on paper is led by a sign.

    >>> shop_texts(ReviewLine("tail_top", -1.875, 0.4375, 2.3125, RESOLVE, ""))
    ('Top of tail', '1 7/8" below plate', '7/16" above plate', '2 5/16" too high')
    """
    item, required, shown, off = line.texts
    more, less = "more", "less"
    if item_and_end(line.item)[0].name in ("tail_top", "plate"):
        more, less, what = "too high", "too low", "plate" if line.item.startswith("tail") else "main plate"
        required = _above(line.intended, what)
        shown = shown if line.returned is None else _above(line.returned, what)
    if line.returned is None or line.difference is None or line.verdict == AGREES:
        return item, required, shown, ""
    if item_and_end(line.item)[0].kind == "pitch":
        off = f"{pitch_text(round(abs(line.difference), 2))}"
    return item, required, shown, f"{off.removeprefix('-')} {more if line.difference > 0 else less}"


def _above(height: float, what: str) -> str:
    if abs(height) < LEVEL:
        return f"level with {what}"
    return f"{feet_inches(abs(height))} {'above' if height > 0 else 'below'} {what}"


def _figures_in_words(lines: Sequence[ReviewLine]) -> list[str]:
    """What each line's drawing shows and what is required; both ends in one where they read alike."""
    texts = [shop_texts(line) for line in lines]
    alike = {(item.partition(",")[0], required, shown): item for item, required, shown, _ in texts}
    both = [(item.partition(",")[0], required, shown) for item, required, shown, _ in texts]
    return [
        f"{name if both.count((name, required, shown)) > 1 else item}: drawing shows {shown}. Required {required}."
        for (name, required, shown), item in alike.items()
    ]


def _own_and_following(review: Review) -> tuple[list[ReviewLine], list[ReviewLine]]:
    """The lines to resolve that stand on their own, and those that follow from what the drawing shows beside them."""
    follows = items_of(truss_of_drawing(review.truss, review.shown))
    own: list[ReviewLine] = []
    rest: list[ReviewLine] = []
    for line in review.of(RESOLVE):
        item, end = item_and_end(line.item)
        keys = [line.item] if end or not item.ends else [f"{item.name}_{end}" for end in ENDS]
        loose = item.is_input or any(abs(follows[k] - review.shown[k]) > NEAR * review.half_steps[k] for k in keys)
        (own if loose else rest).append(line)
    return own, rest


def questions_of(review: Review) -> tuple[str, ...]:
    """The questions of a reviewer: one a cause, with what follows from it, and what does not agree with itself.

    Where one mistake gives all that differs, it is one question; else each number that follows from no other has one.
    """
    own, rest = _own_and_following(review)
    chord = [f"Top chord: drawing shows {one.texts[2]}, ours {one.texts[1]}. {CHORD}" for one in own
             if one.item == "chord"]  # fmt: skip
    own = [one for one in own if one.item != "chord"]
    first, others = (own, rest) if own else (rest, [])
    asked, beside = _figures_in_words(first), _figures_in_words(others)
    if any(cause.mistakes == 1 for cause in review.causes):
        asked, beside = asked[:1], asked[1:] + beside
    questions = [f"{words} Correct, or tell us why." for words in asked]
    causes = [cause.sentence for cause in review.causes]
    if causes and questions:
        shown = shop_texts(first[0])[2] if all(cause.mistakes == 1 for cause in review.causes) else "What is shown"
        questions[0] += " " + " ".join([f"{shown} {_lower(causes[0])}", *(f"Or {_lower(one)}" for one in causes[1:])])
    if beside:
        questions[-1] += f" These follow from {'it' if len(questions) == 1 else 'them'}: {' '.join(beside)}"
    if review.contradictions:
        clashes = "\n".join(contradictions_in_words(review))
        if len(questions) == 1:
            questions[0] += f"\nThe drawing does not agree with itself:\n{clashes}"
        else:
            questions.append(f"The drawing does not agree with itself. Which is meant?\n{clashes}")
    return (*questions, *chord)


def _value_in_words(key: str, value: float) -> str:
    """A number of a drawing: heights above or below the plate in words, none led by a sign."""
    kind = item_and_end(key)[0]
    if kind.name in ("tail_top", "plate"):
        return _above(value, "plate" if kind.name == "tail_top" else "main plate")
    return kind.text(value)


def contradictions_in_words(review: Review) -> tuple[str, ...]:
    """A line for each number that the others contradict, as shown and as they give it, and what would repair all."""
    lines = []
    for clash in review.contradictions:
        *others, last = clash.items
        item, end = item_and_end(last)
        value = review.shown[last if end or not item.ends else f"{item.name}_left"]
        names = [item_and_end(key)[0] for key in others]
        many = {one.name for one in names if names.count(one) > 1}
        words = [one.label.lower() + ("s" if one.name in many else "") for one in dict.fromkeys(names)]
        source = f"{', '.join(words[:-1])} and {words[-1]} give" if len(words) > 1 else f"{words[0]} gives"
        given = _value_in_words(last, value + clash.off)
        lines.append(f"{label(last)}: shown {_value_in_words(last, value)}; your {source} {given}.")
    ways = [label(one.item).lower() + f" {_value_in_words(one.item, one.value)}" + " (as required)" * one.by_design
            for one in review.repairs]  # fmt: skip
    if ways:
        lines.append(f"Any one of these, changed alone, would repair all: {'; '.join(ways)}." if len(ways) > 1
                     else f"One number, changed alone, would repair all: {ways[0]}.")  # fmt: skip
    else:
        lines.append(review.repair_sentence)
    return tuple(lines)


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def action_of(review: Review, ticked: Sequence[int] = (), moved: Sequence[Finding] = ()) -> str:
    """What the manufacturer must do, one of ``ACTIONS``, as the review's verdicts alone would have it.

    To send again: a number to resolve, a contradiction, an input or a point of the code's list that is not shown, a
    movement beyond its usual limit.  To correct as noted: whatever else is missing.
    """
    missing = [point.number for point in completeness(ticked) if not point.ticked] if ticked else []
    unseen = review.of(NOT_SHOWN)
    if (
        any(line.item != "chord" for line in review.of(RESOLVE))
        or review.contradictions
        or any(item_and_end(line.item)[0].is_input for line in unseen)
        or any(number <= len(CODE_ITEMS) for number in missing)
        or any(one.verdict == "misses" for one in moved)
    ):
        return RESUBMIT
    return (
        AS_NOTED if review.of(RESOLVE) or unseen or missing or any(one.verdict == "ask" for one in moved) else NOTHING
    )


def movement_words(one: Finding) -> str:
    """The words on a stated movement beside its usual limit, with no verdict on an engineering figure.

    A limit that was not verified is not printed: the truss designer is asked for theirs.
    """
    if "verify" in one.source:
        stated = "not stated" if one.value is None else f"stated {one.value:.2f} in"
        return f"{one.sentence.partition(':')[0]}: {stated}. State the limit that it is held to."
    ask = {"misses": " More than is usual: tell us why it may be.", "ask": " State it."}.get(one.verdict, "")
    return f"{one.sentence.rstrip('.')} ({one.source}).{ask}"


def figures_to_add(review: Review) -> list[str]:
    """The figures that are not on the drawing, in a sentence; none where all are."""
    texts = [shop_texts(line)[:2] for line in review.of(NOT_SHOWN)]
    figures = ", ".join(f"{_lower(item)} (required {text})" for item, text in texts)
    return [f"Not shown: {figures}."] if figures else []


def points_to_add(ticked: Sequence[int]) -> list[str]:
    """The points of the list that were not ticked, in words; none where nothing was."""

    def words(point: Point) -> str:
        return f"{point.number}. {point.text}{f' ({SOURCE})' if point.source == SOURCE else ''}"

    return [words(point) for point in completeness(ticked) if not point.ticked] if ticked else []


def agreeing_words(review: Review) -> str:
    lines = [shop_texts(line)[:2] for line in review.of(AGREES)]
    return f"Agrees with design intent: {', '.join(f'{_lower(item)} {text}' for item, text in lines)}." if lines else ""


def _effect(line: ReviewLine, action: str) -> str:
    if line.verdict == ROUNDING:
        return "Rounding only: stands."
    effect = _too(line.consequence)
    return f"Stands, see the architect's note. {effect}" if action == NOTHING else effect


def _too(effect: str) -> str:
    """An effect with "too high" and "too low" for a step, which "2 in high" would leave open."""
    return re.sub(r'" (high|low)\b', r'" too \1', effect)


def letter_head(letter: Mapping[str, str], title: str, problems: list[str]) -> dict[str, str]:
    """The lines of a letter's head by their labels, the job first; what cannot stand there is added to the problems."""
    known = ", ".join(LETTER_HEAD)
    problems += [f"Letter: {name!r} is not one of {known}." for name in letter if name not in LETTER_HEAD]
    texts = {name: letter.get(name, "") for name in LETTER_HEAD}
    problems += [f"{LETTER_HEAD[name]}: {said}" for name, text in texts.items()
                 if (said := text_problem(text, LONGEST_WORD))]  # fmt: skip
    plain = {name: text if isinstance(text, str) else "" for name, text in {"title": title, **texts}.items()}
    return {"Job": plain["title"].strip(), **{LETTER_HEAD[name]: " ".join(plain[name].split()) for name in texts}}


# --- files -----------------------------------------------------------------------------------------------------------


class Reply:
    """A reply with all that its letter says.  InputError with a sentence for what cannot stand in it.

    ``title`` names the job, ``letter`` holds lines of its head by the names of ``LETTER_HEAD``; ``action`` is the
    architect's own of ``ACTIONS`` ("": as the review has it).  ``questions`` None: those that follow from the review;
    ``ticked`` are the points of ``completeness`` that the drawing shows (none: left out), and ``moved`` what
    ``movement`` says of the deflections it states.
    """

    def __init__(
        self,
        review: Review,
        title: str = "",
        note: str = "",
        questions: Sequence[str] | None = None,
        ticked: Sequence[int] = (),
        moved: Sequence[Finding] = (),
        letter: Mapping[str, str] | None = None,
        action: str = "",
    ) -> None:
        must_be(review, Review, "Review")
        self.review, self.note, self.ticked, self.moved = review, note, tuple(ticked), tuple(moved)
        problems: list[str] = []
        self.head = letter_head(letter or {}, title, problems)
        words = [("Title", title), ("Note", note), *(("Question", one) for one in questions or ())]
        plain = [(what, text.replace("\r", "") if isinstance(text, str) else text) for what, text in words]
        problems += [
            f"{what}: {said}" for what, text in plain if (said := text_problem(text, LONGEST, what != "Title"))
        ]
        if action:
            read_word("What to do", action, ACTIONS, problems)
        stop_on(problems)
        own = action_of(review, self.ticked, self.moved)
        self.action = action or own
        if self.action == NOTHING and own == RESUBMIT and not note.strip():
            stop_on(["What to do: no exceptions, while numbers differ or are missing; say in the note why they may."])
        asked = () if self.action == NOTHING else questions_of(review)
        self.questions = asked if questions is None else tuple(questions)


def reply_csv(reply: Reply) -> str:
    """The letter as CSV; no cell that a spreadsheet would take for a formula, negative lengths as they are."""
    review, rows = reply.review, list[tuple[str, ...]]()

    def row(*cells: str) -> None:
        rows.append(cells)

    row("item", "required", "shown", "difference", "verdict", "effect if built", "remark on the drawing")
    for name, words in reply.head.items():
        row(name.lower(), "", "", "", "", words or "not given")
    row("what to do", "", "", "", reply.action, TO_DO[reply.action])
    for line in review.lines:
        remark = next((text for key, text in review.remarks.items() if key.startswith(line.item)), "")
        row(*line.texts, line.verdict, line.consequence, remark)
    if review.together:
        row("together", "", "", "", "", review.together)
    *clashes, repair = contradictions_in_words(review) if review.contradictions else ("",)
    for clash in clashes:
        row("contradiction", "", "", "", "", clash)
    if repair:
        row("repair", "", "", "", "", repair)
    for cause in review.causes:
        row("what would explain it", "", "", "", "", cause.sentence)
    for point in completeness(reply.ticked) if reply.ticked else ():
        row(f"point {point.number}", "", "", "", "found" if point.ticked else "not found",
            f"{point.text} ({point.source})")  # fmt: skip
    for one in reply.moved:
        value = "" if one.value is None else f"{one.value:.2f} in"
        limit = "" if one.limit is None or "verify" in one.source else f"{one.limit:.2f} in"
        row("movement stated", limit, value, "", "", movement_words(one))
    for question in reply.questions:
        row("question", "", "", "", "", question)
    if reply.note:
        row("note", "", "", "", "", reply.note)
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
    letter: Mapping[str, str] | None = None,
    action: str = "",
) -> Path:
    """Write the letter to the manufacturer as .pdf or .csv.  ``times`` draws the differences larger; see ``Reply`` for
    the others.

    Nothing is overwritten: an existing file raises InputError, as does another suffix.  Returns the file written.
    """
    reply = Reply(review, title, note, questions, ticked, moved, letter, action)
    target = new_file(path, "Reply", (".pdf", ".csv"))
    if target.suffix.lower() == ".csv":
        return write_new(target, reply_csv(reply).encode("utf-8-sig"))
    return write_pdf(reply_pages(reply, times), target, f"{HEAD} {title}".strip())


# --- pages -----------------------------------------------------------------------------------------------------------


def reply_pages(reply: Reply, times: int = 1) -> tuple[Layout, ...]:
    """The letter's pages: head, what to do, questions and note; then the figures, both profiles and what to add."""
    paper = LetterPages(reply.head["Job"])
    paper.head(reply.head)
    paper.action(reply.action)
    paper.part("Questions", [f"{n}. {text}" for n, text in enumerate(reply.questions, 1)])
    paper.part("Note of the architect", [reply.note])
    paper.table(reply.review, reply.action)
    paper.picture(reply.review, times)
    paper.part("Add to the drawing", [*figures_to_add(reply.review), *points_to_add(reply.ticked)])
    paper.part("Movement that the drawing states", [movement_words(one) for one in reply.moved])
    paper.part("What this letter is", [SCOPE])
    return paper.layouts()


class LetterPages:
    """A letter's head, text, a picture and a table down as many pages as they take."""

    def __init__(self, title: str, heading: str = HEAD) -> None:
        self.title, self.heading = title, heading
        self.pages = [Page(WIDE, TALL, MARGIN, SIZE)]
        self.put(0.0, heading, SIZE + 6)
        self.page.y += 22

    @property
    def page(self) -> Page:
        return self.pages[-1]

    def put(self, x: float, words: str, size: float = SIZE) -> None:
        self.page.text(MARGIN + x, self.page.y, words, size=size)

    def room(self, tall: float) -> None:
        if self.page.y + tall > TALL - MARGIN - 2 * SIZE:
            self.pages.append(Page(WIDE, TALL, MARGIN, SIZE))
            self.page.y += SIZE

    def text(self, words: str, size: float = SIZE, x: float = 0.0) -> None:
        """Words down the page, wrapped; none, and nothing is left free for them."""
        if not words.strip():
            return
        for line in wrap(words, WIDE - 2 * MARGIN - x, size):
            self.room(1.35 * size)
            self.put(x, line, size)
            self.page.y += 1.35 * size
        self.page.y += 0.3 * size

    def head(self, words: Mapping[str, str], names: Sequence[Sequence[str]] = HEAD_COLUMNS) -> None:
        """Lines of the head in two columns; one that is not given is a line for a pen."""
        top, low, column = self.page.y, 0.0, (WIDE - 2 * MARGIN - 24) / 2
        for i, one in enumerate(names):
            y, left = top, MARGIN + i * (column + 24)
            for name in one:
                self.page.text(left, y, f"{name}:")
                x = left + 82.0
                if not words[name]:
                    self.page.rule(x, left + column, y + 0.6 * SIZE)
                lines = wrap(words[name], left + column - x, SIZE) or [""]
                for n, line in enumerate(lines):
                    self.page.text(x, y + 1.35 * n * SIZE, line)
                y += 1.35 * SIZE * len(lines) + 0.45 * SIZE
            low = max(low, y)
        self.page.y = low + 0.4 * SIZE

    def action(self, chosen: str) -> None:
        """What the manufacturer must do, marked among the three, and in a sentence."""
        self.line()
        self.page.y += SIZE
        x = 0.0
        for one in ACTIONS:
            words = f"[{'X' if one == chosen else '  '}] {one.upper()}"
            self.put(x, words, SIZE + 2)
            x += width(words, SIZE + 2) + 2 * SIZE
        self.page.y += 2 * SIZE
        self.text(TO_DO[chosen], SIZE + 1)
        self.page.rule(MARGIN, WIDE - MARGIN, self.page.y - 0.4 * SIZE, "mark")
        self.page.y += 0.6 * SIZE

    def line(self) -> None:
        """A heavy line across the page."""
        self.page.rule(MARGIN, WIDE - MARGIN, self.page.y - 0.5 * SIZE, "mark")

    def part(self, heading: str, texts: Sequence[str]) -> None:
        texts = [text for text in texts if text.strip()]
        if not texts:
            return
        self.room(5 * SIZE)
        self.page.y += 0.7 * SIZE
        self.put(0.0, heading.upper())
        self.page.y += 1.5 * SIZE
        for text in texts:
            for line in text.splitlines():
                self.text(line)

    def picture(self, review: Review, times: int, whose: str = "") -> None:
        """Both profiles, the legend with ``whose`` they are where several stand in one letter."""
        if any_difference(review) or review.contradictions:
            names = "required", "shown"
        else:
            names, times = ("required, and shown", ""), 1
        names = f"{whose}{names[0]}", names[1]
        drawing = fit(review_overlay(review, times, names), WIDE - 2 * MARGIN, 210.0, SIZE)
        self.room(drawing.height + 10)
        self.page.draw(drawing, MARGIN + (WIDE - 2 * MARGIN - drawing.width) / 2, self.page.y)
        self.page.y += drawing.height + 10
        self.text(overlay_note(review))

    def table(self, review: Review, action: str) -> None:
        """Every item that is shown otherwise than required; then, in a sentence, those that are as required."""
        lines = review.of(RESOLVE) + review.of(ROUNDING)
        self.rows(COLUMNS, [(*shop_texts(line), _effect(line, action)) for line in review.lines if line in lines])
        self.text(_too(review.together))
        self.text(agreeing_words(review))

    def rows(self, columns: Columns, rows: Sequence[Sequence[str]]) -> None:
        """A table with rules between its rows; nothing where it has none."""
        if not rows:
            return
        wrapped = [list(_cells(cells, columns)) for cells in rows]
        heights = [max(map(len, lines)) * 1.3 * SIZE + 4 for lines in wrapped]
        self.room(max(7 * SIZE, 2.3 * SIZE + heights[0]))  # its heads never stand alone
        self.page.y += 0.7 * SIZE
        for x, name in columns:
            self.put(x, name.upper(), SMALL)
        self.page.y += 1.6 * SIZE
        for lines, tall in zip(wrapped, heights, strict=True):
            self.room(tall)
            self.page.rule(MARGIN, WIDE - MARGIN, self.page.y - 0.8 * SIZE)
            for (x, _), column in zip(columns, lines, strict=True):
                for i, words in enumerate(column):
                    self.page.text(MARGIN + x, self.page.y + 1.3 * SIZE * i, words)
            self.page.y += tall
        self.page.rule(MARGIN, WIDE - MARGIN, self.page.y - 0.8 * SIZE)
        self.page.y += 0.4 * SIZE

    def layouts(self) -> tuple[Layout, ...]:
        """The pages with their numbers."""
        for number, page in enumerate(self.pages, 1):
            page.text(MARGIN, TALL - MARGIN, FOOT, size=SMALL)
            page.text(WIDE - MARGIN, TALL - MARGIN, f"page {number} of {len(self.pages)}", "end", SMALL)
        return tuple(page.layout(f"{self.heading} {self.title}".strip(), SCOPE) for page in self.pages)


def _cells(cells: Sequence[str], columns: Columns) -> Iterator[list[str]]:
    """The lines of each cell of a row, wrapped in its column."""
    edges = [*(x for x, _ in columns), WIDE - 2 * MARGIN + 6]
    for i, words in enumerate(cells):
        yield wrap(words, edges[i + 1] - edges[i] - 6, SIZE) or [""]
