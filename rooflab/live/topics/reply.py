"""The reply on the page: points ticked, movements entered and held against their limits, and the record written."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from functools import partial
from html import escape

from rooflab.base.findings import Finding
from rooflab.base.measure import InputError
from rooflab.draw.sheets.reply import write_reply
from rooflab.live.widgets.files import write_and_link
from rooflab.live.widgets.form import Desk
from rooflab.live.widgets.panel import Panel
from rooflab.live.widgets.rows import findings_html
from rooflab.live.widgets.sheet import FOLDER
from rooflab.shop.checklist import SOURCE, completeness, movement
from rooflab.shop.items import drawing_length
from rooflab.shop.review import Review

from .review import Checking, ReviewState

KINDS = {"pdf": ("Write the reply as PDF", ".pdf"), "csv": ("as CSV", ".csv")}
CHECK = "Hold it against list and limits"
MOVES = {"deflection_total": "total", "deflection_live": "live", "sideways_total": "sideways_total",
         "sideways_live": "sideways_live"}  # fmt: skip


def reply(panel: Panel, folder: str | os.PathLike[str] = FOLDER) -> Desk:
    """A form that holds the drawing in a panel against the list of what it must show and the limits of movement, and
    writes the reply as a new file in a folder beside the workbook.
    """
    topic: Checking = panel.responder.topic

    def act(do: str, values: dict[str, str]) -> str:
        if panel.content["stale"]:
            raise InputError("The panel shows what cannot be read; put that right first.")
        state: ReviewState = panel.responder.state
        ticks = [point.number for point in completeness() if values.get(f"point_{point.number}", "")]
        movements = movements_of(state.review, values)
        if do == "check":
            return entries_html(ticks, movements)
        questions = [text.strip() for text in values.get("questions", "").split("/") if text.strip()] or None
        title = f"{topic.job.title}, type {state.mark}" if state.mark else topic.job.title
        write = partial(
            write_reply, state.review, title=title, note=values.get("note", ""), questions=questions,
            times=state.times, ticked=ticks, moved=movements,
        )  # fmt: skip
        link = write_and_link(folder, f"reply {topic.job.title} {state.mark}", KINDS[do][1], write)
        return f"{link}. It states conformance with the design intent only and approves nothing."

    heads: list[tuple[str, str, str | bool]] = [
        ("", f"Tick what the drawing shows: 1 to 12 are of {SOURCE}, in our words; 13 to 16 that list leaves out", "")
    ]
    points = [(f"point_{point.number}", f"{point.number}. {point.text}", point.ticked) for point in completeness()]
    limits = [(one.name, one.sentence.partition(":")[0], "") for one in movement(span_of(panel.responder.state.review))]
    fields = [
        *heads, *points, ("", "Type what it states: inches, or a ratio such as L/360. L is the span", ""), *limits,
        ("", "Your words", ""), ("note", "Your note", ""), ("questions", "Questions, / between them (empty: ours)", ""),
    ]  # fmt: skip
    buttons = {"check": CHECK, **{do: row[0] for do, row in KINDS.items()}}
    return Desk("The reply to the drawing above; an older file is never written over.", buttons, act, fields)


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


def entries_html(ticks: Sequence[int], movements: Sequence[Finding]) -> str:
    """An HTML list of the points not found on the drawing, and of the movements with their verdicts."""
    open_points = [point for point in completeness(ticks) if not point.ticked]
    if not ticks:
        heading = "Nothing is ticked, so the reply leaves the list out."
    elif open_points:
        heading = f"{len(ticks)} found, {len(open_points)} not found, to be asked for:"
    else:
        heading = "Every point is found."
    rows = "".join(f"<li>{point.number}. {escape(point.text)}</li>" for point in open_points) if ticks else ""
    table = findings_html(movements) if movements else "<div>No movement is typed, so the reply leaves it out.</div>"
    return f"<b>{heading}</b><ul>{rows}</ul>{table}" if rows else f"<b>{heading}</b>{table}"
