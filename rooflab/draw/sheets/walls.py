"""The shim list of both walls, large enough to be read from a ladder; what is not measured yet has a box to write into.

With nothing measured it is the card that is taken up to measure: where, what was asked for, boxes, cautions.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from rooflab.base.files import new_file
from rooflab.base.inputs import must_be, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.base.measure import feet_inches, sixteenth
from rooflab.draw.layout import fit
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, width
from rooflab.draw.views.walls import shim_word, where_to_measure
from rooflab.job.jobfile import Job
from rooflab.shop.field import STACK, Shim
from rooflab.shop.walls import MeasuredWall, MeasuredWalls, TrussPlace, measured_walls, ridge_words, signed

from .cut_words import BLANK, LONGEST
from .cutting import stop_box
from .page import LETTER, Page, one_line, write_pdf
from .wording import job_name

MARGIN, SIZE, TITLE = 30.0, 11.0, 18.0  # of the page and its texts, points
ROW, LEAST_ROW = 21.0, 17.0  # heights of a truss's row: the largest, and the least that all are put on one page for
FIGURE, WORDS, PLACE, SMALL = 0.78, 0.6, 0.55, 0.5  # of a row's shims, heels, places and least texts, in row heights
HEADS = 2  # rows of the table's heading
FOOT = 34.0
SKETCH = (300.0, 84.0)  # of where to measure
PLACE_AT, TYPE_AT, LEFT_AT, RIGHT_AT = 30.0, 96.0, 132.0, 346.0  # where columns begin, from the margin
HEEL, MOVED, SHIM, OTHER, TICK = 58.0, 63.0, 172.0, 174.0, 190.0  # where a wall's columns end, begin or have a middle
BLOCK, BOX = 206.0, 5.5  # width of a wall's columns; half a box to tick
CAUTIONS = (
    "Bracing first, as the drawings say. Nobody stands on or works under unbraced trusses. Two people, firm ground, "
    "fall protection.",
    "Trusses are never cut, notched or drilled. Shims: hard, flat, under the full bearing. Before one goes in, bracing "
    "and fasteners are loosened and put back only as the truss designer directs, one truss at a time.",
)
DECIDES = "Ties, notches: engineer. Trusses: truss designer. Code: building official. This list approves nothing."
CARD = "HEELS TO MEASURE"
HOW = (
    'HEEL: plumb at the outside face of framing, from the top of plate to the top edge of the truss, to 1/16". Write '
    "it into its box, both walls; leave empty what cannot be reached."
)
CHANGED = "* another shim than the last time; + came up, - went down since then."


def shim_list(job: Job, path: str | os.PathLike[str], walls: MeasuredWalls | None = None, date: str = "") -> Path:
    """Write the shim list of a job's set trusses as a PDF on letter paper; without ``walls`` the card to measure them.

    ``walls`` is what ``measured_walls`` returned; ``date`` is printed as typed.  Nothing is overwritten.  InputError
    for a date that cannot be printed, and a file that is there already or is named otherwise.
    """
    must_be(job, Job, "Job")
    target = new_file(path, "Shim list", (".pdf",))
    if said := text_problem(date, LONGEST):
        stop_on([f"Date: {said}"])
    made = measured_walls(job) if walls is None else walls
    must_be(made, MeasuredWalls, "Measured walls")
    pages = list_pages(job, made, date)
    return write_pdf(pages, target, pages[0].title)


def list_pages(job: Job, made: MeasuredWalls, date: str = "") -> list[Layout]:
    """The pages of the list: all trusses on one where they fit in letters that can be read, else on more."""
    page, y = _start(job, made, date)
    room = page.inside[3] - FOOT - y
    tall = min(ROW, room / (len(made.places) + HEADS))
    tall = ROW if tall < LEAST_ROW else tall
    places, pages = made.places, list[Page]()
    while not pages or places:
        if pages:
            page, y = _again(job, made, date)
        take = int((page.inside[3] - FOOT - y) / tall + 1e-9) - HEADS
        _rows(page, made, places[:take], y, tall)
        places = places[take:]
        pages.append(page)
    return [_finish(one, number, len(pages), job, made) for number, one in enumerate(pages, 1)]


def _title(made: MeasuredWalls) -> str:
    return CARD if made.empty else "SHIM LIST"


def _heading(job: Job, made: MeasuredWalls, date: str, more: str = "") -> tuple[Page, float]:
    page = Page(*LETTER, MARGIN, SIZE)
    x0, y, x1, _ = page.inside
    page.text(x0, y + 8, f"{_title(made)}: both walls{more}", size=TITLE)
    y = page.lines(x0, y + 22, wrap(f"{job_name(job)}    Date: {date or BLANK}", x1 - x0, SIZE))
    page.rule(x0, x1, y, "mark")
    return page, y + 4


def _again(job: Job, made: MeasuredWalls, date: str) -> tuple[Page, float]:
    page, y = _heading(job, made, date, ", continued")
    x0, _, x1, _ = page.inside
    return page, page.lines(x0, y, wrap(CAUTIONS[0], x1 - x0, SIZE)) + 4


def _start(job: Job, made: MeasuredWalls, date: str) -> tuple[Page, float]:
    """The first page with its heading, cautions, what stops the work, and both walls' own numbers; the y below."""
    page, y = _heading(job, made, date)
    x0, _, x1, _ = page.inside
    y = page.lines(x0, y, [row for words in CAUTIONS for row in wrap(words, x1 - x0, SIZE)], step=1.2)
    y = stop_box(page, _stops(made), (x0, y + 4, x1, y + 4), SIZE + 3, SIZE)
    if made.empty:
        wide, tall = SKETCH
        drawing = fit(replace(where_to_measure(job.scissor), titles=()), wide, tall, SIZE)
        page.draw(drawing, x1 - drawing.width, y + 2)
        low = page.lines(x0, y + 10, wrap(HOW, x1 - x0 - drawing.width - 12, SIZE), step=1.25)
        y = max(y + drawing.height, low) + 8
    else:
        page.rule(x0, x1, y + 1)
        y += 5
    low = y
    for wall, at in zip(made.walls, (0.0, (x1 - x0) / 2), strict=True):
        rows = [row for one in _wall_words(wall, made) for row in wrap(one, (x1 - x0) / 2 - 8, SIZE)]
        low = max(low, page.lines(x0 + at, y, rows, step=1.2))
    said = [] if made.empty else [_ridge(made)]
    for words in (*said, *([CHANGED] if made.moves else []), *made.remarks):
        low = page.lines(x0, low, wrap(words, x1 - x0, SIZE), step=1.2)
    return page, low + 2


def _stops(made: MeasuredWalls) -> list[str]:
    """What stops the work, both walls in as few words as possible."""
    high = [f"{wall.end} {', '.join(row.where for row in wall.stopped)}" for wall in made.walls if wall.stopped]
    stack = [f"STOP: over {feet_inches(STACK)} of shims: {'; '.join(high)}. Engineer first."] if high else []
    seats = [seat for seat in made.match.seats if seat and seat.verdict == "misses"]
    return [*stack, *(f"STOP: {seat.sentence}" for seat in seats)]


def _ridge(made: MeasuredWalls) -> str:
    measured = next((wall.end for wall in made.walls if wall.schedule), "left")
    return f"Ridge: {ridge_words(made.rafters, made.match, measured)}"


def _wall_words(wall: MeasuredWall, made: MeasuredWalls) -> Iterator[str]:
    """What a wall is measured against, and what is cut for it."""
    yield f"{wall.label.upper()}: heel asked for {feet_inches(wall.asked)}"
    seat = made.match.seats[wall.end == "right"]
    if wall.schedule:
        yield f"AIM FOR {feet_inches(wall.schedule.aim)}; no truss above it"
    drawn = f"drawn {feet_inches(wall.drawn_seat)}"
    if seat is None:
        yield f"Rafters' seat {drawn}, measure first"
    elif seat.verdict == "misses":
        yield f"Rafters of this wall: no seat can do it ({drawn})"
    else:
        yield f"Rafters of this wall: seat {feet_inches(seat.seat)} ({drawn})"
    for mark, asked in dict.fromkeys((place.mark, place.asked[wall.end == "right"]) for place in made.places):
        off = asked - wall.asked
        if sixteenth(off):
            aim = f", aim for {feet_inches(wall.schedule.aim + off)}" if wall.schedule else ""
            yield f"Type {mark}: asked for {feet_inches(asked)}{aim}"


def _rows(page: Page, made: MeasuredWalls, places: Sequence[TrussPlace], y: float, tall: float) -> None:
    """The table: a heading of two lines, then a row a truss."""
    x0, _, x1, _ = page.inside
    moved = bool(made.moves)
    types = len({place.mark for place in made.places}) > 1
    size, least = WORDS * tall, SMALL * tall
    for wall, at in zip(made.walls, (LEFT_AT, RIGHT_AT), strict=True):
        x, y1 = x0 + at, y + 1.5 * tall
        page.text(x + BLOCK / 2, y + 0.55 * tall, wall.label.upper(), "middle", size)
        page.text(x + HEEL, y1, "heel", "end", size)
        page.text(x + SHIM, y1, "SHIM", "end", size)
        page.text(x + TICK, y1, "set", "middle", least)
        if moved:
            page.text(x + MOVED, y1, "moved", size=least)
    for shift, words in ((0.0, "No."), (PLACE_AT, "place"), *(((TYPE_AT, "type"),) if types else ())):
        page.text(x0 + shift, y + 1.5 * tall, words, size=least)
    y += HEADS * tall
    top = y
    page.rule(x0, x1, y, "mark")
    for place in places:
        middle = y + tall / 2
        page.text(x0, middle, f"{place.number}", size=FIGURE * tall)
        where = feet_inches(place.at)
        page.text(x0 + PLACE_AT, middle, where, size=_size(where, PLACE * tall, TYPE_AT - PLACE_AT - 4))
        if types:
            page.text(x0 + TYPE_AT, middle, one_line(place.mark, LEFT_AT - TYPE_AT - 8, least), size=least)
        for wall, before, at in zip(made.walls, made.earlier, (LEFT_AT, RIGHT_AT), strict=True):
            _cell(page, wall.rows[place.number - 1], before.rows[place.number - 1], x0 + at, y, tall)
        y += tall
        page.rule(x0, x1, y)
    for at in (LEFT_AT, RIGHT_AT):
        page.line("column", ((x0 + at - 6, top - HEADS * tall), (x0 + at - 6, y)), "mark")


def _cell(page: Page, row: Shim | None, before: Shim | None, x: float, y: float, tall: float) -> None:
    """One truss at one wall: its heel and shim, or boxes to write them into."""
    middle = y + tall / 2
    if row is None:
        _box(page, x + 2, y + 2, x + MOVED + 14, y + tall - 2)
        _box(page, x + SHIM - 62, y + 2, x + SHIM + 2, y + tall - 2)
    else:
        heel = feet_inches(row.heel)
        page.text(x + HEEL, middle, heel, "end", _size(heel, WORDS * tall, HEEL - 2))
        if before and sixteenth(row.heel - before.heel):
            page.text(x + MOVED, middle, signed(row.heel - before.heel), size=SMALL * tall)
        if before and before.shim != row.shim:
            page.text(x + OTHER, middle, "*", size=WORDS * tall)
        stop = row.shim > STACK
        words, size = ("ENGINEER", WORDS) if stop else (shim_word(row), FIGURE)
        page.text(x + SHIM, middle, words, "end", size * tall)
    if row is None or 0 < row.shim <= STACK:
        _box(page, x + TICK - BOX, middle - BOX, x + TICK + BOX, middle + BOX)


def _size(words: str, size: float, room: float) -> float:
    """A height of letters with which words fit into so many points."""
    return min(size, room / width(words, 1.0))


def _box(page: Page, x0: float, y0: float, x1: float, y1: float) -> None:
    page.line("box", ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)), "mark")


def _finish(page: Page, number: int, total: int, job: Job, made: MeasuredWalls) -> Layout:
    x0, _, x1, low = page.inside
    page.text(x0, low - 21, DECIDES, size=10.0)
    page.text(x0, low - 8, f"Measured by: {BLANK}   Set by: {BLANK}", size=10.0)
    page.text(x1, low - 8, f"page {number} of {total}", "end", 10.0)
    return page.layout(f"{_title(made).capitalize()}: {job_name(job)}", made.sentence)
