"""The reply on the page: the letter's head, points ticked, movements beside their limits, and the letter written."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from functools import partial
from html import escape
from typing import Any

from rooflab.base.findings import Finding
from rooflab.base.measure import InputError
from rooflab.draw.sheets.reply import ACTIONS, LETTER_HEAD, TO_DO, Reply, movement_words, write_reply
from rooflab.draw.sheets.returns import SEND, SetReply, write_set_reply
from rooflab.job.jobfile import Job
from rooflab.live.widgets.files import write_and_link
from rooflab.live.widgets.form import Desk
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.sheet import FOLDER
from rooflab.shop.checklist import SOURCE, completeness, movement
from rooflab.shop.items import drawing_length
from rooflab.shop.review import Review

from .returns import Bench
from .review import Checking, ReviewState

Row = tuple[str, str, str | bool]
SET_HEAD = ("to", "sender", "date", "reviewed_by")  # lines of the head of a letter on several drawings
KINDS = {"pdf": ("Write the reply as PDF", ".pdf"), "csv": ("as CSV", ".csv")}
CHECK = "Preview"
MOVES = {"deflection_total": "total", "deflection_live": "live", "sideways_total": "sideways_total",
         "sideways_live": "sideways_live"}  # fmt: skip


def reply(panel: Panel, folder: str | os.PathLike[str] = FOLDER) -> Desk:
    """A form that holds the drawing in a panel against the list of what it must show and the limits of movement, and
    writes the reply as a new file in a folder beside the workbook.  On a bench: one letter for all that came back.
    """
    if isinstance(panel.responder.topic, Bench):
        return _set_desk(panel, folder)
    topic: Checking = panel.responder.topic

    def act(do: str, values: dict[str, str]) -> str:
        if panel.content["stale"]:
            raise InputError("The panel shows what cannot be read; put that right first.")
        state: ReviewState = panel.responder.state
        ticks = _ticks(values)
        movements = movements_of(state.review, values)
        questions = [text.strip() for text in re.split("[;\n]", values.get("questions", "")) if text.strip()] or None
        letter = {name: values.get(name, "") for name in LETTER_HEAD}
        letter["mark"] = letter["mark"] or state.mark
        words: dict[str, Any] = {
            "title": topic.job.title, "note": values.get("note", ""), "questions": questions, "ticked": ticks,
            "moved": movements, "letter": letter, "action": values.get("action", "").strip().lower(),
        }  # fmt: skip
        if do == "check":
            return letter_html(Reply(state.review, **words))
        write = partial(write_reply, state.review, times=state.times, **words)
        link = write_and_link(folder, f"reply {topic.job.title} {state.mark}", KINDS[do][1], write)
        return f"{link}. It states conformance with the design intent only and approves nothing."

    heads: list[Row] = [
        *_head_rows(topic.job, LETTER_HEAD),
        ("", f"What they must do: {', '.join(ACTIONS[:2])} or {ACTIONS[2]}", ""),
        ("action", "Your decision (empty: as the review has it)", ""),
    ]
    limits = [(one.name, one.sentence.partition(":")[0], "") for one in movement(span_of(panel.responder.state.review))]
    fields = [
        *heads, *_point_rows("the drawing shows"),
        ("", "Type what it states: inches, or a ratio such as L/360. L is the span", ""), *limits,
        ("", "Your words", ""), ("note", "Your note", ""),
        ("questions", "Questions, ; between them (empty: as the review has them)", ""),
    ]  # fmt: skip
    buttons = {"check": CHECK, **{do: row[0] for do, row in KINDS.items()}}
    return Desk("The reply to the drawing above; an older file is never written over.", buttons, act, fields)


def _head_rows(job: Job, names: Iterable[str]) -> list[Row]:
    """The boxes of a letter's head."""
    sender = {"sender": job.sheet.get("architect", "")}
    rows: list[Row] = [(name, LETTER_HEAD[name], sender.get(name, "")) for name in names]
    return [("", "The letter's head; what is left empty is a line for a pen", ""), *rows]


def _point_rows(what: str) -> list[Row]:
    """The list of what a drawing must show, to be ticked."""
    said = f"Tick what {what}: 1 to 12 are of {SOURCE}, in our words; 13 to 16 that list leaves out"
    rows: list[Row] = [(f"point_{one.number}", f"{one.number}. {one.text}", one.ticked) for one in completeness()]
    return [("", said, ""), *rows]


def _ticks(values: dict[str, str]) -> list[int]:
    return [point.number for point in completeness() if values.get(f"point_{point.number}", "")]


def _set_desk(panel: Panel, folder: str | os.PathLike[str]) -> Desk:
    """The form for one letter on all that stands on a bench."""
    topic: Bench = panel.responder.topic

    def act(do: str, values: dict[str, str]) -> str:
        if panel.content["stale"]:
            raise InputError("The bench shows what cannot be read; put that right first.")
        whole = panel.responder.state.whole
        words: dict[str, Any] = {
            "note": values.get("note", ""), "letter": {name: values.get(name, "") for name in SET_HEAD},
            "actions": {mark: values.get(f"action_{mark}", "").strip().lower() for mark in topic.bays},
            "ticked": _ticks(values),
        }  # fmt: skip
        if do == "check":
            return set_html(SetReply(whole, **words))
        write = partial(write_set_reply, whole, times=panel.responder.state.times, **words)
        link = write_and_link(folder, f"reply {topic.job.title} {whole.number}", KINDS[do][1], write)
        return f"{link}. It states conformance with the design intent only and approves nothing."

    decisions: list[Row] = [(f"action_{mark}", f"Type {mark}", "") for mark in topic.bays]
    fields: list[Row] = [
        *_head_rows(topic.job, SET_HEAD), ("", "Your note", ""), ("note", "Note", ""),
        ("", f"Your decision, where it is not the review's: {', '.join(ACTIONS[:2])} or {ACTIONS[2]}", ""),
        *decisions, *_point_rows("every drawing shows"),
    ]  # fmt: skip
    buttons = {"check": CHECK, **{do: row[0] for do, row in KINDS.items()}}
    return Desk("One reply to all that came back; an older file is never written over.", buttons, act, fields)


def set_html(reply: SetReply) -> str:
    """An HTML list of what the letter on a whole return says: what to do for each mark, and its questions."""
    parts = []
    for one in reply.returns.marks:
        asked = reply.replies[one.mark].questions if one.review is not None else (SEND,)
        parts.append(f"<b>Type {escape(one.mark)}: {reply.action(one)}.</b>{_list(asked)}")
    return f"<b>{escape(reply.counts)}</b><div>{'</div><div>'.join(parts)}</div>"


def span_of(review: Review) -> float:
    """The span that was asked for, in."""
    return next(line.intended for line in review.lines if line.item == "span")


def movements_of(review: Review, values: dict[str, str]) -> tuple[Finding, ...]:
    """Findings on the movements typed, each held against its limit; empty where nothing is typed."""
    span = span_of(review)
    lengths = {MOVES[name]: _movement(values[name], span) for name in MOVES if values.get(name, "").strip()}
    return movement(span, **lengths) if lengths else ()


def _movement(text: str, span: float) -> float:
    """Inches, or a ratio of the span such as L/360."""
    ratio = re.fullmatch(r"\s*[Ll]\s*/\s*([0-9]{1,5})\s*", text)
    if ratio and int(ratio[1]):
        return span / int(ratio[1])
    return drawing_length(text, "Movement stated")


def letter_html(reply: Reply) -> str:
    """An HTML list of what a reply's letter says: what they must do, questions, points not found, and movements."""
    ticks = reply.ticked
    open_points = [point for point in completeness(ticks) if not point.ticked]
    if not ticks:
        heading = "Nothing is ticked, so the reply leaves the list out."
    elif open_points:
        heading = f"{len(ticks)} found, {len(open_points)} not found, to be asked for:"
    else:
        heading = "Every point is found."
    asked = _list(reply.questions) or "<div>No question follows from the review.</div>"
    points = _list([f"{point.number}. {point.text}" for point in open_points]) if ticks else ""
    moved = _list([movement_words(one) for one in reply.moved])
    return (
        f"<b>{reply.action.capitalize()}.</b> {escape(TO_DO[reply.action])}{asked}<b>{heading}</b>{points}"
        f"{moved or '<div>No movement is typed, so the reply leaves it out.</div>'}"
    )


def _list(texts: Sequence[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(one)}</li>' for one in texts)}</ul>" if texts else ""
