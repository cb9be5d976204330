"""The profile sheets for the truss manufacturer: schedule, criteria, a page a type, what comes back.

Design intent only: no webs, no forces, no connector.  Drawn to scale and worked to figures.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rooflab.base.files import check_new, path_for
from rooflab.base.inputs import must_be
from rooflab.base.measure import InputError, feet_inches, on_center, pitch_text
from rooflab.draw.layout import fit
from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, Scene
from rooflab.draw.views.house import LETTER, house_in_round, house_scene
from rooflab.draw.views.key import NAMES, both_halves, key_scene
from rooflab.draw.views.plan import framing, notes
from rooflab.draw.views.profile import dropped_gable_end, gable_scene, profile_scene
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
        sheet.scale = f"{scale_text(alone[1])}, written dimensions govern"
        return [sheet, *_texts(job, paper, heading, make)]
    sheet.scale = f"{scale_text(share.scale)}, written dimensions govern"
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


CRITERIA_SHEET = "All design criteria: the sheet of that name."


def _loads(job: Job, wide: float, size: float) -> Block:
    return text_block("Loads", (*say.loads_in_words(job.loads), CRITERIA_SHEET), wide, size)


def _type_pages(job: Job, kind: TrussType, paper: str) -> list[JobPage]:
    bay, size = kind.bay(job.scissor), SIZES[paper]

    def blocks(wide: float) -> list[Block]:
        return [
            text_block("Hold", say.hold(job, bay), wide, size, "-"),
            *(text_block("Ask", lines, wide, size, "-") for lines in [say.low_heels(bay)] if lines),
            text_block("Free", say.FREE, wide, size, "-"),
            text_block("Tell us", say.tell(bay), wide, size, "-"),
            text_block("In figures", say.figures(bay, kind, job.finish), wide, size),
            text_block("Rounded", say.rounding(job, kind), wide, size),
            _loads(job, wide, size),
        ]

    heading = f"Truss profile, type {kind.mark}: {kind.quantity} at {on_center(kind.spacing)}"
    return _drawing_pages(job, paper, heading, profile_scene(job, kind), blocks)


def _gable_pages(job: Job, kind: TrussType, paper: str) -> list[JobPage]:
    """The gable end truss of a type: dropped, or the reason why it cannot be."""
    size, heading = SIZES[paper], f"Gable end truss, type {kind.mark}: {kind.gable_ends}"
    words = say.gable_words(job, kind)
    try:
        bay = dropped_gable_end(job, kind)
    except InputError as error:
        reasons = (*error.problems, *words)
        return _texts(job, paper, heading, lambda wide: [text_block("Cannot be dropped", reasons, wide, size)])

    def blocks(wide: float) -> list[Block]:
        return [
            text_block("Gable end", words, wide, size, "-"),
            text_block("Hold", say.hold_gable(bay), wide, size, "-"),
            text_block("Tell us", say.TELL, wide, size, "-"),
            text_block("In figures", say.figures(bay, kind, job.finish, dropped=True), wide, size),
        ]

    return _drawing_pages(job, paper, heading, gable_scene(job, kind), blocks)


COLUMNS = (
    ("Mark", 6.6),
    ("Qty", 4.0),
    ("Span", 7.4),
    ("Roof pitch", 9.2),
    ("Ceiling pitch", 9.2),
    ("Heels", 8.8),
    ("Overhangs", 8.8),
    ("Spacing", 8.2),
    ("Bay length along the wall", 8.2),
    ("Wall in / out", 9.6),
    ("Gable ends", 5.0),
    ("Extra trusses", 5.0),
)
"""The schedule's columns and how wide they are, text heights."""


def _recess(kind: TrussType) -> tuple[str, ...]:
    """Which wall of a type is recessed or stands out, and by how much."""
    found = zip(("left", "right"), kind.set_in(), strict=True)
    return tuple(f"{end} {feet_inches(abs(by))}{' out' * (by < 0)}" for end, by in found if by) or ("-",)


def _cells(job: Job, kind: TrussType) -> list[tuple[str, ...]]:
    """A type's cells, each of one line or of one an end."""
    bay = kind.bay(job.scissor)

    def ends(left: str, right: str) -> tuple[str, ...]:
        return (left,) if left == right else (f"L {left}", f"R {right}")

    def pitches(line: str) -> tuple[str, ...]:
        left, right = (pitch_text(round(12 * abs(getattr(end, line).slope), 4)) for end in bay.ends)
        return ends(left, right)

    span = feet_inches(bay.right.wall.x - bay.left.wall.x)
    quantity = tuple(wrap(kind.quantity, 3.2, 1.0))  # of the column, in text heights
    length = "to be given" if kind.stands_in else feet_inches(kind.length)
    return [
        (kind.mark,), quantity, (span,), pitches("roof"), pitches("ceiling"),
        ends(*(feet_inches(end.heel) for end in bay.ends)), ends(*(feet_inches(end.overhang) for end in bay.ends)),
        (on_center(kind.spacing),), (length,), _recess(kind), (str(kind.gable_ends or "-"),),
        (str(kind.doubled or "-"),),
    ]  # fmt: skip


def schedule_block(job: Job, wide: float, size: float) -> Block:
    """The truss schedule as rows of a table, each with its remark; ends that differ stand one under the other."""
    starts = [0.0]
    for _, step in COLUMNS:
        starts.append(starts[-1] + step * size)
    heads = [tuple(wrap(label, (step - 0.8) * size, size)) for label, step in COLUMNS]
    rows = _lines(starts, heads)
    for kind in job.types:
        rows += _lines(starts, _cells(job, kind))
        said = " ".join(filter(str.strip, (kind.end_words, kind.remark)))
        remark = wrap(said, wide - starts[1], size) if said else []
        rows += [((starts[1], line),) for line in remark]
    rows += [(), *(((0.0, line),) for line in wrap(say.EXTRA, wide, size))]
    return Block("TRUSS SCHEDULE", tuple(rows))


def _lines(starts: Sequence[float], cells: Sequence[tuple[str, ...]]) -> list[Row]:
    """Cells side by side as rows of text."""
    return [
        tuple((x, cell[i]) for x, cell in zip(starts, cells, strict=False) if i < len(cell))
        for i in range(max(map(len, cells)))
    ]


def _cover(job: Job, paper: str) -> list[JobPage]:
    """The schedule across the page; under it the sketch, and beside that where things start."""
    heading = f"{say.job_name(job)}: truss schedule and framing sketch"
    pages = [JobPage(job, paper, heading)]
    size = pages[0].size
    x0, y0, x1, y1 = pages[0].inside
    schedule = schedule_block(job, x1 - x0, size)
    wide = 42.0 * size
    words = [text_block("Where things start, who carries what", notes(job), wide, size, "-")]
    if job.notes:
        words.append(text_block("Notes", job.notes, wide, size, "-"))
    while schedule.height(size) > y1 - y0:  # a schedule of many types takes pages of its own
        rest = pages[-1].flow([schedule], [pages[-1].inside])
        pages.append(JobPage(job, paper, f"{say.job_name(job)}: truss schedule, continued"))
        schedule = rest[0]
    sheet = pages[-1]
    top = sheet.write([schedule], x0, sheet.inside[1], x1 - x0)
    sketch = largest(framing(job), x1 - x0 - wide - GAP, y1 - top, size)
    if sketch is None and top > sheet.inside[1] + 0.4 * (y1 - sheet.inside[1]):
        sheet = JobPage(job, paper, f"{say.job_name(job)}: framing sketch")
        pages.append(sheet)
        top = sheet.inside[1]
        sketch = largest(framing(job), x1 - x0 - wide - GAP, y1 - top, size)
    if sketch:
        sheet.centre(sketch[0], (x0 + wide + GAP, top, x1, y1), _key(job))
        sheet.scale = f"sketch {scale_text(sketch[1])}, written dimensions govern"
    else:
        too_long = ("Too long for this paper at any architectural scale: see the schedule.",)
        no_sketch = text_block("Framing sketch", too_long, x1 - x0 - wide - GAP, size)
        sheet.write([no_sketch], x0 + wide + GAP, top, x1 - x0 - wide - GAP)
    left = sheet.flow(words, [(x0, top, x0 + wide, y1)])
    low = top + sum(one.height(size) for one in words)
    if y1 - low > ROUND * size:
        sheet.centre(_in_the_round(job, wide, y1 - low, size), (x0, low, x0 + wide, y1))
    while left:
        pages.append(JobPage(job, paper, f"{say.job_name(job)}: truss schedule, continued"))
        _, y, _, low = pages[-1].inside
        left = pages[-1].flow(left, [(x0, y, x0 + wide, low), (x1 - wide, y, x1, low)])
    return pages


ROUND = 16.0  # the least height of the house in the round, in heights of its texts


def _in_the_round(job: Job, wide: float, tall: float, size: float) -> Layout:
    """The house in the round, with its names, for a part of a page."""
    frame = wide * LETTER / size, tall * LETTER / size
    return fit(house_scene(house_in_round(job), frame=frame), wide, tall, size)


TOLD_APART = 4  # types of trusses in a key; of more the first stands for all


def _key(job: Job) -> Scene:
    """The key beside the sketch: the sheets are of the trusses."""
    types = job.types if len(job.types) <= TOLD_APART else job.types[:1]
    lit = both_halves(*NAMES[1 : 1 + len(types)])
    return key_scene(lit, job.rafters, *(kind.bay(job.scissor) for kind in types))


def _criteria(job: Job, paper: str) -> list[JobPage]:
    """The design criteria, what the rafters' early check takes, and what is open yet."""
    size = SIZES[paper]

    def blocks(wide: float) -> list[Block]:
        found = [text_block(name, lines, wide, size, "-") for name, lines in say.criteria(job).items()]
        if lines := say.rafter_loads(job):
            found.append(text_block("Rafters beside the trusses", lines, wide, size))
        if open_yet := say.open_groups(job):
            still = [f"{heading}: {', '.join(labels)}." for heading, labels in open_yet.items()]
            found.append(text_block("Still open on these sheets", still, wide, size))
        return found

    return _texts(job, paper, "Design criteria", blocks)


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
    """All pages of a job: schedule, design criteria, a page a type, gable ends, what comes back.

    InputError for another paper or a job without types.
    """
    must_be(job, Job, "Job")
    paper_size(paper)
    if not job.types:
        raise InputError("Truss types: none; a job needs at least one type for a profile sheet.")
    pages = [*_cover(job, paper), *_criteria(job, paper)]
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
        return (write_pdf(pages, target, say.job_name(job)),)
    return write_each(pages, [_page_file(target, i) for i in range(1, len(pages) + 1)])


def _page_file(target: Path, number: int) -> Path:
    return target.with_name(f"{target.stem}-{number}{target.suffix}")
