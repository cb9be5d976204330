"""The letter on all drawings that came back for a job: what to do for each mark, then mark by mark what and why.

Each mark's part is what ``draw/sheets/reply.py`` says of one drawing: the same questions, figures and overlay.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path

from rooflab.base.files import new_file, write_new
from rooflab.base.inputs import must_be, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.base.measure import InputError
from rooflab.draw.scene import Layout
from rooflab.shop.checklist import completeness
from rooflab.shop.returns import NEW, RESOLVED, SAMPLE, STILL, MarkReview, ReturnsReview, verdict_counts
from rooflab.shop.review import NOT_SHOWN, RESOLVE

from .exports import csv_text
from .page import write_pdf
from .reply import (
    ACTIONS,
    AS_NOTED,
    LONGEST,
    NOTHING,
    RESUBMIT,
    SCOPE,
    SIZE,
    TO_DO,
    LetterPages,
    Reply,
    figures_to_add,
    letter_head,
    points_to_add,
    shop_texts,
)

HEADING = "Reply to returned truss drawings"
MISSING = "not returned"
SEND = "We have no drawing of this type. Send it; make none of these trusses yet."
OTHERS = "Not of this job, and not reviewed"
NAMES = ("To", "From", "Job", "Reviewed by"), ("Date", "Submittal", "Types in it")
COLUMNS = ((0.0, "mark"), (60.0, "drawing"), (190.0, "what to do"), (330.0, "figures to correct or add"))


class SetReply:
    """The letter on a whole return with all that it says.  InputError with a sentence for what cannot stand in it.

    ``letter`` holds lines of the head by the names of ``LETTER_HEAD``; ``actions`` the architect's own decision by
    mark, one of ``ACTIONS``, where it is not what the review has; ``ticked`` the points of ``completeness`` that every
    drawing shows (none: left out).
    """

    def __init__(
        self,
        returns: ReturnsReview,
        note: str = "",
        letter: Mapping[str, str] | None = None,
        actions: Mapping[str, str] | None = None,
        ticked: Sequence[int] = (),
    ) -> None:
        must_be(returns, ReturnsReview, "Returns")
        self.returns, self.note, self.ticked, problems = returns, note, tuple(ticked), list[str]()
        came = {one.mark: one for one in returns.marks if one.review is not None}
        if not came and not returns.others:
            stop_on(["Reply: nothing came back yet, so there is nothing to answer."])
        title = f"{SAMPLE}: {returns.title}" if returns.sample else returns.title
        self.head = letter_head(letter or {}, title, problems)
        here = [one.mark for one in came.values() if one.number == returns.number]
        said = f"{len(here)} of {len(returns.marks)} types"
        self.head |= {"Submittal": str(returns.number), "Types in it": f"{said} ({', '.join(here)})" if here else said}
        if wrong := text_problem(note.replace("\r", "") if isinstance(note, str) else note, LONGEST, True):
            problems.append(f"Note: {wrong}")
        completeness(ticked)
        chosen = {mark: text for mark, text in (actions or {}).items() if text}
        problems += [f"Decision for {mark}: no drawing of it came back." for mark in chosen if mark not in came]
        self.replies: dict[str, Reply] = {}
        for mark, one in came.items():
            assert one.review is not None
            try:
                self.replies[mark] = Reply(one.review, note=note if not problems else "", action=chosen.get(mark, ""))
            except InputError as error:
                problems += [f"Type {mark}: {said}" for said in error.problems]
        stop_on(problems)

    def action(self, one: MarkReview) -> str:
        """What is to be done about a mark: one of ``ACTIONS``, or that it was not returned."""
        return self.replies[one.mark].action if one.review is not None else MISSING

    @property
    def counts(self) -> str:
        """How many marks there are to each action, in a sentence."""
        done = [self.action(one) for one in self.returns.marks]
        said = ", ".join(f"{done.count(one)} {one}" for one in (RESUBMIT, AS_NOTED, NOTHING, MISSING) if one in done)
        others = len(self.returns.others)
        drawings = f" {others} drawing{'s' * (others > 1)} not of this job." if others else ""
        return f"Of {len(done)} types: {said}.{drawings}"


def set_pages(reply: SetReply, times: int = 1) -> tuple[Layout, ...]:
    """The letter's pages: head, all marks in a table and what is to be done; then mark by mark; then what it is."""
    returns, paper = reply.returns, LetterPages(reply.head["Job"], HEADING)
    paper.head(reply.head, NAMES)
    paper.page.y += 0.4 * SIZE
    paper.text(reply.counts, SIZE + 2)
    paper.rows(COLUMNS, [_row(reply, one) for one in returns.marks])
    done = [reply.action(one) for one in returns.marks]
    for action in (*reversed(ACTIONS), MISSING):
        if action in done:
            paper.text(f"{action.upper()}: {SEND if action == MISSING else TO_DO[action]}")
    paper.text(returns.planes)
    if returns.others:
        ask = f"Tell us if one of them is a type of this job: {', '.join(one.mark for one in returns.marks)}."
        paper.part(OTHERS, [f"{', '.join(returns.others)}. {ask}"])
    paper.part("Note of the architect", [reply.note])
    paper.part("Add to every drawing that lacks it", points_to_add(reply.ticked))
    for one in returns.marks:
        if one.review is not None and _has_part(reply, one):
            _mark_part(paper, reply, one, times)
    agreeing = [one.mark for one in returns.marks if one.review is not None and not _has_part(reply, one)]
    if agreeing:
        paper.part(NOTHING, [f"Type {', '.join(agreeing)}: all figures are as required."])
    paper.part("What this letter is", [SCOPE])
    return paper.layouts()


def _has_part(reply: SetReply, one: MarkReview) -> bool:
    """Whether a mark has more to be said of than that it agrees."""
    assert one.review is not None
    return bool(one.verdict == RESOLVE or one.review.of(NOT_SHOWN) or reply.replies[one.mark].action != NOTHING)


def _row(reply: SetReply, one: MarkReview) -> tuple[str, str, str, str]:
    """A mark in the table: its drawing, what to do, and which figures, with what became of them."""
    head, late = one.drawing.head, one.number < reply.returns.number and one.review is not None
    paper = " of ".join(head[name] for name in ("drawing", "drawing_date") if name in head)
    paper += f"{' ' * bool(paper)}(submittal {one.number})" if late else ""
    figures = ""
    if one.review is not None:
        lines = one.review.of(RESOLVE) + one.review.of(NOT_SHOWN)
        figures = "; ".join(shop_texts(line)[0].lower() for line in one.review.lines if line in lines)
    if since := verdict_counts(one.since):
        figures += f"{'. ' * bool(figures)}Since the last drawing: {since}."
    return one.mark, paper, reply.action(one), figures


def _mark_part(paper: LetterPages, reply: SetReply, one: MarkReview, times: int) -> None:
    """What one drawing's letter says, under its mark."""
    assert one.review is not None
    own = reply.replies[one.mark]
    head = ", ".join(one.drawing.head[name] for name in ("drawing", "drawing_date") if name in one.drawing.head)
    paper.room(18 * SIZE)
    paper.page.y += SIZE
    paper.line()
    paper.page.y += 0.6 * SIZE
    paper.text(f"Type {one.mark}{f', drawing {head}' if head else ''}: {own.action}", SIZE + 2)
    if one.number < reply.returns.number:
        paper.text(f"Not in submittal {reply.returns.number}: what was said of it in submittal {one.number} stands.")
    paper.text(_since_words(one))
    paper.part("Questions", [f"{n}. {text}" for n, text in enumerate(own.questions, 1)])
    paper.table(one.review, own.action)
    if own.review.of(RESOLVE) or own.review.contradictions:
        paper.picture(one.review, times, f"type {one.mark}, ")
    paper.part("Add to the drawing", figures_to_add(one.review))


def _since_words(one: MarkReview) -> str:
    """What became of each figure since the drawing before, in a sentence or a few; "" where there was none."""
    if one.review is None or not one.since:
        return ""
    texts = {line.item: shop_texts(line)[0].lower() for line in one.review.lines}
    words = {RESOLVED: "Resolved since the last drawing", STILL: "Still to resolve", NEW: "New on this drawing"}
    parts = []
    for word, said in words.items():
        if names := [texts[item] for item, became in one.since.items() if became == word]:
            parts.append(f"{said}: {'; '.join(names)}.")
    return " ".join(parts)


def letter_csv(reply: SetReply) -> str:
    """The letter as CSV, a row a figure of each mark."""
    heads = ("mark", "item", "required", "shown", "difference", "verdict", "since the last drawing", "effect if built")
    rows: list[tuple[str, ...]] = [heads]
    rows += [("", name.lower(), "", "", "", "", "", words or "not given") for name, words in reply.head.items()]
    for one in reply.returns.marks:
        rows.append((one.mark, "what to do", "", "", "", reply.action(one), "", TO_DO.get(reply.action(one), SEND)))
        if one.review is None:
            continue
        rows += [(one.mark, *line.texts, line.verdict, one.since.get(line.item, ""), line.consequence)
                 for line in one.review.lines]  # fmt: skip
        rows += [(one.mark, "question", "", "", "", "", "", text) for text in reply.replies[one.mark].questions]
    rows += [(mark, "not of this job", "", "", "", "", "", "not reviewed") for mark in reply.returns.others]
    rows += [("", "point to add", "", "", "", "", "", text) for text in points_to_add(reply.ticked)]
    rows += [("", "note", "", "", "", "", "", reply.note)] if reply.note else []
    return csv_text([*rows, ("", "scope", "", "", "", "", "", SCOPE)])


def write_set_reply(
    returns: ReturnsReview,
    path: str | os.PathLike[str],
    note: str = "",
    letter: Mapping[str, str] | None = None,
    actions: Mapping[str, str] | None = None,
    ticked: Sequence[int] = (),
    times: int = 1,
) -> Path:
    """Write the letter on a whole return as .pdf or .csv; see ``SetReply``.  ``times`` draws the differences larger.

    Nothing is overwritten: an existing file raises InputError, as does another suffix.  Returns the file written.
    """
    reply = SetReply(returns, note, letter, actions, ticked)
    target = new_file(path, "Reply", (".pdf", ".csv"))
    if target.suffix.lower() == ".csv":
        return write_new(target, letter_csv(reply).encode("utf-8-sig"))
    return write_pdf(set_pages(reply, times), target, f"{HEADING} {reply.head['Job']}")
