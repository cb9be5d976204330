"""The profile sheets for the truss manufacturer: schedule, a page a type, and what the returned drawings must show.

Design intent only: no webs, no forces, no connector.  Drawn to scale and worked to figures.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from rooflab.base.files import check_new, path_for
from rooflab.base.inputs import must_be
from rooflab.base.measure import InputError, feet_inches
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, Scene
from rooflab.draw.views.plan import framing, notes
from rooflab.draw.views.profile import gable_end_truss, gable_scene, profile_scene
from rooflab.job.jobfile import Job
from rooflab.job.schedule import TrussType

from . import wording as say
from .page import (
    FILES,
    SIZES,
    Block,
    Row,
    column_boxes,
    columns,
    largest,
    paper_size,
    scale_text,
    text_block,
    write_each,
    write_pdf,
)  # fmt: skip
from .title_block import JobPage

GAP = 14.0  # between columns, points
MakeBlocks = Callable[[float], list[Block]]  # blocks for a column of that width


@dataclass(frozen=True)
class PageShare:
    """A way to share a page between drawing and text: the drawing and its scale, and the text's columns."""

    drawing: Layout
    scale: float
    beside: bool
    columns: list[list[Block]]
    extent: float  # height of the text below, or its width beside


def _shares(sheet: JobPage, scene: Scene, make: MakeBlocks) -> PageShare | None:
    """The text below the drawing or beside it, whichever gives the larger scale."""
    x0, y0, x1, y1 = sheet.inside
    size, best = sheet.size, None
    for beside, count in ((False, 4), (False, 3), (True, 1), (True, 2)):
        wide = 25.0 * size if beside else (x1 - x0 - (count - 1) * GAP) / count
        text_columns, tall = columns(make(wide), count, size)
        extent = count * (wide + GAP) if beside else tall
        if tall > y1 - y0:
            continue
        room = (x1 - x0 - extent, y1 - y0) if beside else (x1 - x0, y1 - y0 - extent)
        if min(room) > 0 and (trial := largest(scene, *room, size)) and (best is None or trial[1] > best.scale):
            best = PageShare(*trial, beside, text_columns, extent)
    return best


def _drawing_pages(job: Job, paper: str, heading: str, scene: Scene, make: MakeBlocks) -> list[JobPage]:
    """A page with a drawing and its text; the text goes on where the page cannot hold both."""
    sheet = JobPage(job, paper, heading)
    x0, y0, x1, y1 = sheet.inside
    share = _shares(sheet, scene, make)
    if share is None:
        alone = largest(scene, x1 - x0, y1 - y0, sheet.size)
        if alone is None:
            raise InputError(f"{heading}: too large for {paper} paper at any architectural scale.")
        sheet.centre(alone[0], sheet.inside)
        sheet.scale = f"{scale_text(alone[1])}, work to figures"
        return [sheet, *_texts(job, paper, heading, make)]
    sheet.scale = f"{scale_text(share.scale)}, work to figures"
    if share.beside:
        sheet.centre(share.drawing, (x0, y0, x1 - share.extent, y1))
        wide = share.extent / len(share.columns) - GAP
        starts = [x1 - share.extent + GAP + i * (wide + GAP) for i in range(len(share.columns))]
        top = y0
    else:
        sheet.centre(share.drawing, (x0, y0, x1, y1 - share.extent))
        wide = (x1 - x0 - (len(share.columns) - 1) * GAP) / len(share.columns)
        starts = [x0 + i * (wide + GAP) for i in range(len(share.columns))]
        top = y1 - share.extent
    for x, column in zip(starts, share.columns, strict=True):
        sheet.write(column, x, top, wide)
    return [sheet]


def _texts(job: Job, paper: str, heading: str, make: MakeBlocks, count: int = 3) -> list[JobPage]:
    """Pages of text alone, as many as it takes; on one page the columns are balanced."""
    sheet = JobPage(job, paper, heading)
    places = column_boxes(sheet.inside, count, GAP)
    wide, pages = places[0][2] - places[0][0], [sheet]
    left = make(wide)
    parts, tall = columns(left, count, sheet.size)
    if tall <= sheet.inside[3] - sheet.inside[1]:
        for column, place in zip(parts, places, strict=False):
            sheet.write(column, place[0], place[1], wide)
        return pages
    while left := pages[-1].flow(left, places):
        pages.append(JobPage(job, paper, f"{heading}, continued"))
    return pages


# --- the pages -------------------------------------------------------------------------------------------------------


def _loads(job: Job, wide: float, size: float) -> Block:
    return text_block("Loads", (*say.loads_in_words(job.loads), *say.rafter_loads(job)), wide, size)


def _type_pages(job: Job, kind: TrussType, paper: str) -> list[JobPage]:
    bay, size = kind.bay(job.scissor), SIZES[paper]

    def blocks(wide: float) -> list[Block]:
        return [
            text_block("Hold", say.hold(bay), wide, size, "-"),
            text_block("Free", say.FREE, wide, size, "-"),
            text_block("Tell us", say.TELL, wide, size, "-"),
            text_block("In figures", say.figures(bay, kind, job.finish), wide, size),
            text_block("Rounded", say.rounding(job, kind), wide, size),
            _loads(job, wide, size),
        ]

    heading = f"Truss profile, type {kind.mark}: {kind.count} at {feet_inches(kind.spacing)}"
    return _drawing_pages(job, paper, heading, profile_scene(job, kind), blocks)


def _gable_pages(job: Job, kind: TrussType, paper: str) -> list[JobPage]:
    """The gable end truss of a type: dropped, or the reason why it cannot be."""
    size, heading = SIZES[paper], f"Gable end truss, type {kind.mark}: {kind.gable_ends}"
    words = say.gable_words(job, kind)
    try:
        bay = gable_end_truss(kind.bay(job.scissor), *job.outlooker)
    except InputError as error:
        reasons = (*error.problems, *words)
        return _texts(job, paper, heading, lambda wide: [text_block("Cannot be dropped", reasons, wide, size)])

    def blocks(wide: float) -> list[Block]:
        return [
            text_block("Gable end", words, wide, size, "-"),
            text_block("Hold", say.hold(bay), wide, size, "-"),
            text_block("Tell us", say.TELL, wide, size, "-"),
            text_block("In figures", say.figures(bay, kind, job.finish), wide, size),
        ]

    return _drawing_pages(job, paper, heading, gable_scene(job, kind), blocks)


COLUMNS = (
    ("type", 6.0),
    ("trusses", 5.2),
    ("spacing", 5.4),
    ("length", 6.0),
    ("set in", 6.4),
    ("gable ends", 5.8),
    ("doubled", 0.0),
)


def schedule_block(job: Job, wide: float, size: float) -> Block:
    """The truss schedule as rows of a table, each with its remark."""
    starts = [0.0]
    for _, step in COLUMNS:
        starts.append(starts[-1] + step * size)
    rows: list[Row] = [tuple(zip(starts, (label for label, _ in COLUMNS), strict=False))]
    for kind in job.types:
        set_in = sum(kind.set_in())
        jog = f"{feet_inches(abs(set_in))}{' out' * (set_in < 0)}" if set_in else "-"
        cells = (kind.mark, str(kind.count), feet_inches(kind.spacing), feet_inches(kind.length), jog,
                 str(kind.gable_ends or "-"), str(kind.doubled or "-"))  # fmt: skip
        rows.append(tuple(zip(starts, cells, strict=False)))
        remark = wrap(kind.remark, wide - starts[1], size) if kind.remark.strip() else []
        rows += [((starts[1], line),) for line in remark]
    return Block("Truss schedule", tuple(rows))


def _cover(job: Job, paper: str) -> list[JobPage]:
    """Schedule and loads on the left; the sketch, and under it where things start, on the right."""
    sheet = JobPage(job, paper, f"{job.title}: truss schedule and framing sketch")
    size = sheet.size
    x0, y0, x1, y1 = sheet.inside
    wide = 38.0 * size
    right = x0 + wide + GAP
    origins = text_block("Where things start, who carries what", notes(job), x1 - right, size, "-")
    open_yet = say.missing(job)
    left = [schedule_block(job, wide, size), _loads(job, wide, size)]
    if job.notes:
        left.append(text_block("Notes", job.notes, wide, size, "-"))
    if open_yet:
        left.append(text_block("Still open on these sheets", (", ".join(open_yet),), wide, size))
    low = max(y0 + 0.5 * (y1 - y0), y1 - origins.height(size))
    sketch = largest(framing(job), x1 - right, low - y0, size)
    if sketch:
        sheet.centre(sketch[0], (right, y0, x1, low))
        sheet.scale = f"sketch {scale_text(sketch[1])}, work to figures"
    else:
        no_sketch = text_block(
            "Framing sketch",
            ("Too long for this paper at any architectural scale: see the schedule.",),
            x1 - right,
            size,
        )
        sheet.write([no_sketch], right, y0, x1 - right)
    near, far = (x0, y0, x0 + wide, y1), (right, y0, x1, y1)
    left, origins_rest, pages = sheet.flow(left, [near]), sheet.flow([origins], [(right, low, x1, y1)]), [sheet]
    while left or origins_rest:
        pages.append(JobPage(job, paper, f"{job.title}: truss schedule, continued"))
        left = pages[-1].flow(left, [near] if origins_rest else [near, far])
        origins_rest = pages[-1].flow(origins_rest, [far])
    return pages


def _back(job: Job, paper: str) -> list[JobPage]:
    size = SIZES[paper]
    items = [f"{i}. {line}" for i, line in enumerate(say.DRAWING_ITEMS, 1)]
    who = say.verifier(job)

    def blocks(wide: float) -> list[Block]:
        return [
            text_block("Each truss drawing (IRC R802.10.1, our words)", items, wide, size),
            text_block("Not in that list, so we ask apart", say.ALSO, wide, size, "-"),
            text_block("Before fabrication", [line.format(who=who) for line in say.CHECK], wide, size, "-"),
            text_block("On site", say.SITE, wide, size, "-"),
        ]

    return _texts(job, paper, "What the returned drawings must show", blocks, 2)


def sheets(job: Job, paper: str = "letter") -> tuple[Layout, ...]:
    """All pages of a job: schedule, a page a type, gable ends, what comes back.

    InputError for another paper or a job without types.
    """
    must_be(job, Job, "Job")
    paper_size(paper)
    if not job.types:
        raise InputError("Truss types: none; a job needs at least one type for a profile sheet.")
    pages = _cover(job, paper)
    for kind in job.types:
        pages += _type_pages(job, kind, paper)
        if kind.gable_ends:
            pages += _gable_pages(job, kind, paper)
    pages += _back(job, paper)
    return tuple(page.as_sheet(i, len(pages)) for i, page in enumerate(pages, 1))


# --- files -----------------------------------------------------------------------------------------------------------


def profile_sheet(job: Job, path: str | os.PathLike[str], paper: str = "letter") -> tuple[Path, ...]:
    """Write a job's sheets; the suffix (.pdf, .svg, .png) says how.  A PDF holds all pages, else one file a page.

    Nothing is overwritten: an existing file raises InputError.  Returns the files written.
    """
    target = path_for(path, "Sheets", FILES)
    one_file = target.suffix.lower() == ".pdf"
    check_new(target if one_file else _page_file(target, 1))
    pages = sheets(job, paper)
    if one_file:
        return (write_pdf(pages, target, job.title),)
    return write_each(pages, [_page_file(target, i) for i in range(1, len(pages) + 1)])


def _page_file(target: Path, number: int) -> Path:
    return target.with_name(f"{target.stem}-{number}{target.suffix}")
