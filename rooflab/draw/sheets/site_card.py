"""The site card: what is cut, what is shimmed and who decides, on one page for a pocket or a phone, in large type."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from rooflab.base.files import new_file
from rooflab.base.inputs import Length, must_be, pair, read_word, stop_on
from rooflab.base.jsonfile import text_problem
from rooflab.base.measure import LEVEL, InputError, feet_inches
from rooflab.draw.placing import Box, wrap
from rooflab.draw.scene import Layout, width
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import Cut
from rooflab.job.jobfile import Job
from rooflab.job.option import options_in, solve_option
from rooflab.shop.field import STACK, Schedule, Seat, measured_seat, shim_schedule

from .cut_words import BLANK, CROWN, LONGEST, CutOrder, cut_for, cut_order, size_words, stops
from .cutting import stop_box
from .page import LETTER, Page, write_each
from .wording import verifier

SIZES = {"letter": LETTER, "phone": (288.0, 576.0)}  # points; letter is folded across its middle
MARGINS = {"letter": 36.0, "phone": 14.0}
TYPE = {  # heights of figures and texts, the largest that fit; points
    "letter": ((24.0, 14.0), (20.0, 13.0), (17.0, 12.0), (15.0, 11.0)),
    "phone": ((20.0, 12.0), (17.0, 11.5), (15.0, 11.0), (14.0, 10.5), (13.0, 10.0)),
}
LINE, DENSE = 1.35, 10.0  # text heights; the size in which texts run on, points
NOT_MEASURED = "Heels of the set trusses: not measured yet."


class SiteCard(NamedTuple):
    """What a card shows: the rafter and its order, the shims and the seat for the set trusses, what stops the work."""

    cut: Cut
    order: CutOrder
    schedule: Schedule | None
    seat: Seat | None
    stops: tuple[str, ...]
    decides: tuple[str, ...]
    reset: str

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

    def shims(self) -> tuple[str, ...]:
        """What is done at the stations, a text each."""
        if self.schedule is None:
            return (NOT_MEASURED,)
        return tuple(
            f"{row.where}: {f'shim {feet_inches(row.shim)}' if row.shim else 'leave'}" for row in self.schedule.rows
        )

    def plane(self) -> tuple[str, ...]:
        """The plane to aim for, and the seat that meets it."""
        if self.schedule is None:
            return ()
        aim = f"Aim for {feet_inches(self.schedule.aim)}; shims under the full bearing."
        if self.seat is None:
            return (aim, "Plates differ: seat as drawn. Check the rafters' plate against the same level line first.")
        if self.seat.verdict == "misses":
            return (aim,)
        return (aim, "The seat above meets that plane.")

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
    order = cut_order(bay, end, job, option, date)
    schedule, seat, said_stops = None, None, list[str]()
    if measured is not None:
        schedule = shim_schedule(measured, tolerance)
        if not any(row.plate for row in schedule.rows):
            seat = measured_seat(schedule.aim, bay, end)
        high = [row.where for row in schedule.rows if row.shim > STACK]
        if high:
            said_stops.append(f"STOP: shims over {feet_inches(STACK)} at {', '.join(high)}. Engineer first.")
    own, right = pair(bay.seat)[end == "right"], end == "right"
    if seat and seat.verdict == "misses":
        said_stops.append(f"STOP: {seat.sentence}")
    elif seat and schedule and abs(bay.ends[right].heel - schedule.aim) > LEVEL:  # else the seat as drawn does
        both = (pair(bay.seat)[0], seat.seat) if right else (seat.seat, pair(bay.seat)[1])
        bay = bay.with_(seat=both)
        order = order._replace(option=f"{order.option}; seat for the set trusses, drawn {feet_inches(own)}")
    cut = cut_for(bay, end, "ridge", order)
    decides = (
        f"Notch, tail, ties, shims over {feet_inches(STACK)}: engineer.",
        "Code: building official.",
        "Trusses: truss designer. Never cut, notch or drill one.",
        f"Heel, plane, soffit: {order.decides or 'architect'}.",
        f"Field dimensions: {verifier(job)}.",
    )
    return SiteCard(cut, order, schedule, seat, (*stops(cut), *said_stops), decides, " ".join(reset.split()))


# --- the page --------------------------------------------------------------------------------------------------------


def _text(page: Page, texts: Sequence[str], x0: float, x1: float, y: float, size: float) -> float:
    return page.lines(x0, y, [row for words in texts for row in wrap(words, x1 - x0, size)], size, LINE)


def _dense(texts: Sequence[str], size: float) -> Sequence[str]:
    """The texts, in the smallest size run together."""
    return texts if size > DENSE else ("  ".join(texts),)


def _head(page: Page, words: str, x0: float, x1: float, y: float, size: float) -> float:
    page.text(x0, y + 0.7 * size, words, size=size)
    page.rule(x0, x1, y + 1.45 * size, "mark")
    return y + 1.6 * size


def _front(page: Page, card: SiteCard, place: Box, figure: float, size: float) -> float:
    """Job, what stops the work, and the figures; the y below them."""
    x0, y, x1, _ = place
    y = _text(page, (f"SITE CARD: {size_words(card.cut)}, {card.cut.end} end",), x0, x1, y, size + 2)
    words = (card.order.job, f"Date: {card.order.date}", f"Option: {card.order.option}")
    y = _text(page, _dense(words, size), x0, x1, y, size)
    y = stop_box(page, card.stops, (x0, y + 4, x1, y + 4), size + 2, size + (size > DENSE))
    page.rule(x0, x1, y, "mark")
    for name, length in card.figures():
        page.text(x0, y + 0.75 * figure, name, size=min(figure, size + 2))
        page.text(x1, y + 0.75 * figure, length, "end", figure)
        y += LINE * figure
    return y + 4


def _back(page: Page, card: SiteCard, place: Box, size: float) -> float:
    """Shims by station, who decides, cautions; the y below them."""
    x0, y, x1, _ = place
    y = _head(page, "SHIMS", x0, x1, y, size)
    y = _text(page, card.plane(), x0, x1, y, size)
    shims = card.shims()
    wide = max(width(words, size) for words in shims) + size
    columns = max(1, int((x1 - x0 + size) / wide))
    if wide - size > x1 - x0:
        y = _text(page, shims, x0, x1, y, size)
    else:
        rows = -(-len(shims) // columns)
        for i, words in enumerate(shims):
            page.text(x0 + (i // rows) * wide, y + (i % rows) * LINE * size + 0.7 * size, words, size=size)
        y += rows * LINE * size
    y = _head(page, "WHO DECIDES", x0, x1, y + 0.4 * size, size)
    y = _text(page, _dense(card.decides, size), x0, x1, y, size)
    page.rule(x0, x1, y + 0.3 * size, "mark")
    return _text(page, _dense(card.closing(), size), x0, x1, y + 0.5 * size, size)


def card_page(card: SiteCard, size: str = "letter") -> Layout:
    """The card as one page: letter paper to be folded across its middle, or 4 x 8 in for a phone.

    InputError where there are more stations than fit.
    """
    problems: list[str] = []
    read_word("Card's size", size, tuple(SIZES), problems)
    stop_on(problems)
    (wide, tall), margin = SIZES[size], MARGINS[size]
    half = tall / 2
    for figure, text in TYPE[size]:
        page = Page(wide, tall, margin, text)
        if size == "letter":
            front = _front(page, card, (margin, margin, wide - margin, half - 10), figure, text)
            back = _back(page, card, (margin, half + 18, wide - margin, tall - margin), text)
            page.rule(0.0 + margin, wide - margin, half, "panel")
            page.text(wide - margin, half + 8, "fold here", "end", 9.0)
            fits = front <= half - 6 and back <= tall - margin
        else:
            low = _front(page, card, (margin, margin, wide - margin, tall), figure, text)
            fits = _back(page, card, (margin, low, wide - margin, tall), text) <= tall - margin
        if fits:
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
    trusses as for ``shim_schedule``; the seat is then the one that meets their plane.  ``date`` and ``reset`` (when the
    bearings were reset) are printed as typed, ``option`` names one of the job's, ``rafters`` is another bay than the
    job's.  Nothing is overwritten.  InputError for another size or end, words or measurements that cannot be read, more
    stations than fit, and a file that is there already or is named otherwise.
    """
    target = new_file(path, "Site card", (".pdf", ".png"))
    card = card_of(job, end, measured, tolerance, option, date, reset, rafters)
    (made,) = write_each((card_page(card, size),), (target,))
    return made
