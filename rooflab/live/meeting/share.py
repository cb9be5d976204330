"""What a page of the table is sent on as: its picture, the page on paper, the job file.  Nothing leaves by itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

from rooflab.base.jsonfile import json_bytes
from rooflab.base.measure import InputError
from rooflab.draw.layout import fit
from rooflab.draw.scene import Layout, Scene
from rooflab.draw.sheets.agreement import ON_PAPER
from rooflab.draw.sheets.page import largest, scale_text
from rooflab.draw.sheets.title_block import JobPage
from rooflab.draw.views.options import first_lines
from rooflab.draw.views.section import section, section_key
from rooflab.job.jobfile import Job
from rooflab.job.option import OptionResult
from rooflab.live.widgets.files import file_stem

from .drawing import PageDrawing, Part, part_blocks

FILES = {"png": "Picture", "svg": "Drawing", "pdf": "Page", "job": "Job file"}
"""What can be shared, by the way it is written."""
TYPES = {"png": "image/png", "svg": "image/svg+xml", "pdf": "application/pdf", "job": "application/json"}
TALK = f"A page of a talk about options: it agrees on nothing, and is no drawing to build from. {ON_PAPER}"
GUTTER = 14.0  # between drawing and words on paper, points

Fitting = Callable[[float, float, float], tuple[Layout, str, Scene | None]]
"""What lays out a drawing in so many points with letters of a size, says at which scale, and has its key."""


class Shared(NamedTuple):
    """A file for the page to copy or to save: how it is shared, its name, its MIME type and what is in it."""

    kind: str
    name: str
    type: str
    content: bytes


def file_to_share(
    kind: str, house: Job, name: str, drawing: PageDrawing, paper: Callable[[], Sequence[Layout]]
) -> Shared:  # fmt: skip
    """A page of the table as a file: its drawing, the page on ``paper``, or the house with all its options.

    InputError for another kind, and where it cannot be made.
    """
    from rooflab.draw.paper import file_bytes, one_page  # heavy, and only wanted for files

    if kind not in FILES:
        raise InputError(f"Share: {kind[:20]!r} is nothing that can be sent; {', '.join(FILES)} is.")
    if kind == "job":
        content = json_bytes(house.document())
    elif kind == "svg":
        content = drawing.svg.encode()
    elif kind == "png":
        content = one_page(drawing.whole, ".png")
    else:
        content = file_bytes(pages := paper(), ".pdf", Title=pages[0].title)
    stem = file_stem(house.title if kind == "job" else f"{house.title} {name}")
    return Shared(kind, f"{stem}.{'json' if kind == 'job' else kind}", TYPES[kind], content)


def on_paper(now: OptionResult, before: OptionResult | None) -> Fitting:
    """The section of an option at a scale of paper, the lines of another one dotted under it."""
    scene = section(now.rafters, now.scissor, now.seam)
    if before is not None:
        scene = replace(scene, strokes=(*scene.strokes, *first_lines(before)))

    def lay_out(wide: float, tall: float, size: float) -> tuple[Layout, str, Scene | None]:
        key = section_key(now.rafters, now.scissor)
        if best := largest(scene, wide, tall, size):
            return best[0], scale_text(best[1]), key
        return fit(scene, wide, tall, size), "not to scale", key

    return lay_out


def page_layout(
    job: Job, heading: str, parts: Sequence[Part], drawing: Fitting, under: bool = False
) -> tuple[Layout, ...]:  # fmt: skip
    """A page of the table on letter paper: the drawing, and beside it or ``under`` it all numbers and words.

    What has no room on the first sheet goes on on another one.
    """
    sheet = JobPage(job, "letter", heading, responsible=TALK)
    x0, y0, x1, y1 = sheet.inside
    column = x1 - x0 if under else 0.36 * (x1 - x0)
    room = (x0, y0, x1, y0 + 0.38 * (y1 - y0)) if under else (x0, y0, x1 - column - GUTTER, y1)
    placed, scale, key = drawing(room[2] - room[0], room[3] - room[1], sheet.size)
    sheet.centre(placed, room, key)
    sheet.scale = f"{scale}, written dimensions govern"
    left = sheet.flow(part_blocks(parts, column, sheet.size), [(x1 - column, room[3] if under else y0, x1, y1)])
    sheets = [sheet]
    while left:
        sheets.append(JobPage(job, "letter", heading, responsible=TALK))
        left = sheets[-1].flow(left, [sheets[-1].inside])
    return tuple(one.as_sheet(i, len(sheets)) for i, one in enumerate(sheets, 1))
