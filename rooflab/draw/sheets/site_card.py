"""The site card: what is cut, what is shimmed and who decides, on one page for a pocket or a phone, in large type."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import new_file
from rooflab.base.inputs import Length, must_be, pair, read_word, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.base.measure import InputError, feet_inches
from rooflab.draw.placing import Box, wrap
from rooflab.draw.scene import Layout, width
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import Cut
from rooflab.job.jobfile import Job
from rooflab.job.option import options_in, solve_option
from rooflab.shop.field import STACK, Schedule, Seat, Shim, shim_schedule
from rooflab.shop.walls import MeasuredWalls, rafters_to_match, ridge_words

from .cut_words import (
    BASE,
    BLANK,
    CROWN,
    LONGEST,
    CutOrder,
    checked_order,
    cut_for,
    cut_order,
    size_words,
    stops,
    stops_in_brief,
)
from .cutting import stop_box
from .page import LETTER, Page, write_each

SIZES = {"letter": LETTER, "phone": (288.0, 576.0)}  # points; letter is folded across its middle
MARGINS = {"letter": 36.0, "phone": 14.0}
TYPE = {  # heights of figures and texts, the largest that fit; points
    "letter": ((28.0, 18.0), (26.0, 16.0), (24.0, 15.0), (22.0, 14.0), (20.0, 13.0), (17.0, 12.0), (15.0, 11.0)),
    "phone": ((20.0, 13.0), (20.0, 12.0), (17.0, 11.5), (15.0, 11.0), (13.0, 10.5), (12.0, 10.0), (11.0, 10.0)),
}
LINE = 1.3  # text heights
NOT_MEASURED = "Heels of the set trusses: not measured yet."


class SiteCard(NamedTuple):
    """What a card shows: the rafter and its order, the shims and the seat for the set trusses, what stops the work,
    how a new seat at one end moves the ridge, and whether there is a shim list to be named in their place."""

    cut: Cut
    order: CutOrder
    schedule: Schedule | None
    seat: Seat | None
    stops: tuple[str, ...]
    decides: tuple[str, ...]
    reset: str
    ridge: str = ""
    listed: bool = False

    def figures(self) -> tuple[tuple[str, str], ...]:
        """What is cut: names and lengths."""
        v, cut = self.cut.values, self.cut
        rows = [
            ("Heel height (HAP)", feet_inches(v["heel"])),
            ("Seat", feet_inches(v["seat_cut"])),
            ("Notch", f"{feet_inches(v['notch_depth'])} of {feet_inches(cut.depth)}"),
            ("Building line", feet_inches(v["building_line"])),
            ("Cut length", feet_inches(v["cut_length"])),
            ("Tail, along the edge", feet_inches(v["tail_length"]) if cut.has_tail else "none"),
        ]
        if cut.has_level_cut:
            rows.append(("Level tail cut", feet_inches(cut.level_cut)))
        return tuple(rows)

    def shims(self, brief: int = 0) -> tuple[str, ...]:
        """What is done at the stations, a text each; ``brief`` 1: those done alike are one text; 2: a list is named."""
        if self.schedule is None:
            return (NOT_MEASURED,)
        if not brief:
            return tuple(f"{row.where}: {_done(row)}" for row in self.schedule.rows)
        if brief > 1:
            many = sum(0 < row.shim <= STACK for row in self.schedule.rows)
            return (f"Shims of {many} trusses: see the shim list.",)
        same: dict[str, list[str]] = {}  # those to be done alike are one text
        for row in self.schedule.rows:
            if row.shim:
                same.setdefault(_done(row), []).append(row.where)
        others = (f"{'Others' if same else 'All'}: leave",) * any(not row.shim for row in self.schedule.rows)
        return (*(f"{', '.join(where)}: {done}" for done, where in same.items()), *others)

    def plane(self) -> tuple[str, ...]:
        """The plane to aim for, and the seat that meets it."""
        if self.schedule is None:
            return ()
        aim = f"Aim for {feet_inches(self.schedule.aim)}; shims under the full bearing."
        if self.seat is None:
            return (aim, "Plates differ: seat as drawn. Check the rafters' plate against the same level line first.")
        if self.seat.verdict == "misses":
            return (aim,)
        return (aim, "The seat above meets that plane.", *((self.ridge,) * bool(self.ridge)))

    def closing(self) -> tuple[str, ...]:
        """The cautions in short, and who writes when the bearings were reset."""
        before = (
            "Before a shim: bracing and fasteners are loosened and put back only as the truss designer directs, one "
            "truss at a time."
        )
        return (
            f"{CROWN} Cut one, try it, then the rest. No overcuts.",
            "Two people, firm footing, fall protection. Nobody on or under unbraced trusses.",
            *((before,) if self.schedule else ()),
            f"Bearings reset on: {self.reset or BLANK}  by: ________",
        )


def _done(row: Shim) -> str:
    """What is done at one station."""
    if row.shim > STACK:
        return f"{feet_inches(row.below)} low: engineer, no shim"
    return f"shim {feet_inches(row.shim)}" if row.shim else "leave"


def card_of(
    job: Job, end: str = "left", measured: object = None, tolerance: Length = "1/8", option: str = "", date: str = "",
    reset: str = "", rafters: RafterBay | None = None,
) -> SiteCard:  # fmt: skip
    """The card of a job's rafter, its seat for the heels measured on the set trusses; arguments as ``site_card``.

    >>> from rooflab.job.jobfile import example
    >>> card = card_of(example(), measured=[("0", "8 3/4"), ("2 ft", "9 1/16"), ("4 ft", "8 13/16")])
    >>> card.shims(), card.figures()[1]
    (('0: shim 5/16"', '2 ft: leave', '4 ft: shim 1/4"'), ('Seat', '3 1/16"'))
    """
    must_be(job, Job, "Job")
    problems: list[str] = []
    read_word("End", end, ("left", "right"), problems)
    if said := text_problem(reset, LONGEST):
        problems.append(f"Reset on: {said}")
    stop_on(problems)
    bay = job.rafters if rafters is None else rafters
    chosen = next((one for one in options_in(job) if one.name == " ".join(str(option).split())), None)
    if rafters is None and chosen:
        bay = solve_option(chosen, job).rafters.with_(rounded=False)
    order, ridge = cut_order(bay, end, job, option, date), ""
    aims, said_stops, schedule = dict[str, float](), list[str](), None
    if isinstance(measured, MeasuredWalls):
        schedule = measured.wall(end).schedule
        aims = {wall.end: wall.schedule.aim for wall in measured.walls if wall.schedule}
    elif measured is not None:
        schedule = shim_schedule(measured, tolerance)
        aims = {} if any(row.plate for row in schedule.rows) else {end: schedule.aim}
    made, own = rafters_to_match(bay, aims), pair(bay.seat)[end == "right"]
    seat = made.seats[end == "right"]
    high = [row.where for row in schedule.rows if row.shim > STACK] if schedule else []
    if high:
        said_stops.append(f"STOP: shims over {feet_inches(STACK)} at {', '.join(high)}. Engineer first.")
    if seat and seat.verdict == "misses":
        said_stops.append(f"STOP: {seat.sentence}")
    if made.bay is not bay:
        ridge = ridge_words(bay, made, end)
        bay = made.bay
        order = checked_order(order, job, bay, end, follow=True)
        order = order._replace(option=f"{order.option}; seat for the set trusses, drawn {feet_inches(own)}")
    cut = cut_for(bay, end, "ridge", order)
    decides = (
        f"Notch, tail, ties, shims over {feet_inches(STACK)}: engineer.",
        "Code: building official.",
        "Trusses: truss designer. Never cut, notch or drill.",
        f"Heel, plane, soffit: {order.decides or 'architect'}.",
        f"Field dimensions: {job.sheet.get('dimensions_verified_by', '').strip() or BLANK}.",
    )
    reasons = (*stops(cut, order), *said_stops)
    listed = isinstance(measured, MeasuredWalls)
    return SiteCard(cut, order, schedule, seat, reasons, decides, " ".join(reset.split()), ridge, listed)


# --- the page --------------------------------------------------------------------------------------------------------


def _text(page: Page, texts: Sequence[str], x0: float, x1: float, y: float, size: float) -> float:
    return page.lines(x0, y, [row for words in texts for row in wrap(words, x1 - x0, size)], size, LINE)


def _head(page: Page, words: str, x0: float, x1: float, y: float, size: float) -> float:
    page.text(x0, y + 0.7 * size, words, size=size)
    page.rule(x0, x1, y + 1.45 * size, "mark")
    return y + 1.6 * size


def _front(page: Page, card: SiteCard, place: Box, figure: float, size: float, brief: int = 0) -> float:
    """Job, what stops the work, and the figures; the y below them."""
    x0, y, x1, _ = place
    y = _text(page, (f"SITE CARD: {size_words(card.cut)}, {card.cut.end} end",), x0, x1, y, size + 2)
    option = (f"Option: {card.order.option}",) * (card.order.option != BASE)
    words: tuple[str, ...] = (card.order.job, f"Date: {card.order.date}", *option)
    y = _text(page, ("  ".join(words),) if brief else words, x0, x1, y, size)
    stop = stops_in_brief(card.stops) if brief else card.stops
    y = stop_box(page, stop, (x0, y + 4, x1, y + 4), size + 2 * (not brief), size + (not brief))
    page.rule(x0, x1, y, "mark")
    for name, length in card.figures():
        page.text(x0, y + 0.75 * figure, name, size=min(figure, size + 2))
        page.text(x1, y + 0.75 * figure, length, "end", figure)
        y += LINE * figure
    return y + 4


def _back(page: Page, card: SiteCard, place: Box, size: float, brief: int = 0) -> float:
    """Shims by station, who decides, cautions; the y below them."""
    x0, y, x1, _ = place
    y = _head(page, "SHIMS", x0, x1, y, size)
    y = _text(page, card.plane(), x0, x1, y, size)
    shims = card.shims(brief)
    wide = max(width(words, size) for words in shims) + size
    columns = max(1, int((x1 - x0 + size) / wide))
    if wide - size > x1 - x0:
        y = _text(page, shims, x0, x1, y, size)
    else:
        rows = -(-len(shims) // columns)
        for i, words in enumerate(shims):
            page.text(x0 + (i // rows) * wide, y + (i % rows) * LINE * size + 0.7 * size, words, size=size)
        y += rows * LINE * size
    y = _head(page, "WHO DECIDES", x0, x1, y + 0.3 * size, size)
    y = _text(page, card.decides, x0, x1, y, size)
    page.rule(x0, x1, y + 0.3 * size, "mark")
    *cautions, reset = card.closing()
    return _text(page, (*(("  ".join(cautions),) if brief else cautions), reset), x0, x1, y + 0.5 * size, size)


def _draw(page: Page, size: str, card: SiteCard, figure: float, text: float, brief: int) -> bool:
    """Draw the card; whether it fits."""
    wide, tall, margin = page.wide, page.tall, MARGINS[size]
    if size == "phone":
        low = _front(page, card, (margin, margin, wide - margin, tall), figure, text, brief)
        return _back(page, card, (margin, low, wide - margin, tall), text, brief) <= tall - margin
    half = tall / 2
    front = _front(page, card, (margin, margin, wide - margin, half - 10), figure, text, brief)
    back = _back(page, card, (margin, half + 18, wide - margin, tall - margin), text, brief)
    page.rule(margin, wide - margin, half, "panel")
    page.text(wide - margin, half + 8, "fold here", "end", 9.0)
    return front <= half - 6 and back <= tall - margin


def card_page(card: SiteCard, size: str = "letter") -> Layout:
    """The card as one page: letter paper to be folded across its middle, or 4 x 8 in for a phone.

    Where it would not fit, stations to be left are one line and what stops the work is one paragraph.  InputError where
    there are more stations than fit then.
    """
    problems: list[str] = []
    read_word("Card's size", size, tuple(SIZES), problems)
    stop_on(problems)
    for brief, (figure, text) in product((0, 1, 2) if card.listed else (0, 1), TYPE[size]):
        page = Page(*SIZES[size], MARGINS[size], text)
        if _draw(page, size, card, figure, text, brief):
            told = "; ".join(f"{name} {length}" for name, length in card.figures())
            made = page.layout(f"Site card: {card.order.job}", f"{told}. {'; '.join(card.shims())}. "
                               f"{' '.join(card.stops)} {' '.join(card.decides)}")  # fmt: skip
            return replace(made, size=text)
    many = len(card.schedule.rows) if card.schedule else 0
    other = "" if size == "letter" else ', or take size "letter"'
    raise InputError(f"Site card: {many} stations and the job's words do not fit on one page; give fewer{other}.")


def site_card(
    job: Job, path: str | os.PathLike[str], size: str = "letter", end: str = "left", *, measured: object = None,
    tolerance: Length = "1/8", option: str = "", date: str = "", reset: str = "", rafters: RafterBay | None = None,
) -> Path:  # fmt: skip
    """Write a job's site card, one page as PDF or PNG: heel, seat, notch, cut length, tail, shims, who decides.

    ``size`` is "letter" (folded across its middle) or "phone" (4 x 8 in).  ``measured`` are the heels of the set
    trusses as for ``shim_schedule``, or both walls as ``measured_walls`` returned them; the seat is then the one that
    meets their plane.  ``date`` and ``reset`` (when the
    bearings were reset) are printed as typed, ``option`` names one of the job's, ``rafters`` is another bay than the
    job's.  Nothing is overwritten.  InputError for another size or end, words or measurements that cannot be read, more
    stations than fit, and a file that is there already or is named otherwise.
    """
    target = new_file(path, "Site card", (".pdf", ".png"))
    card = card_of(job, end, measured, tolerance, option, date, reset, rafters)
    (made,) = write_each((card_page(card, size),), (target,))
    return made
