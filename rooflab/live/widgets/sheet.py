"""A job's sheets: on the page as they are printed, and as new files with its drawing and readings."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from html import escape
from pathlib import Path
from typing import NamedTuple

from rooflab.base.measure import InputError
from rooflab.draw.layout import fit
from rooflab.draw.scene import Scene, Title, svg
from rooflab.draw.sheets.exports import profile_dxf, readings_csv
from rooflab.draw.sheets.profile import profile_sheet, sheets
from rooflab.draw.sheets.wording import still_open
from rooflab.draw.views.profile import profile_scene
from rooflab.job.jobfile import Job, example

from .base import Follower
from .files import folder_words, write_and_link
from .form import Desk, Source, job_of

FOLDER = "to the manufacturer"
FILES = {  # what can be written: its button and its ending
    "letter": ("PDF, letter", "-letter.pdf"),
    "tabloid": ("PDF, tabloid", "-tabloid.pdf"),
    "dxf": ("DXF", ".dxf"),
    "csv": ("CSV of the readings", ".csv"),
}


def export(source: Source, folder: str | os.PathLike[str] = FOLDER) -> Desk:
    """Buttons that write a job's sheets, drawing and readings as new files in a folder beside the workbook."""

    def act(do: str, values: dict[str, str]) -> str:
        house = job_of(source)
        if isinstance(source, Desk):
            source.tell({})  # what is written is what the page shows
        write: Callable[[Path], object]
        if do in ("letter", "tabloid"):
            write = partial(profile_sheet, house, paper=do)
        else:
            write = partial(profile_dxf if do == "dxf" else readings_csv, house)
        links = write_and_link(folder, house.title, FILES[do][1], write) + folder_words(folder)
        return f"{links} {_printed_open(house)}" if do in ("letter", "tabloid") else links

    return Desk("Write new files; an older file is never written over.", {do: row[0] for do, row in FILES.items()}, act)


def _printed_open(house: Job) -> str:
    """What a job's sheets print as not given, as HTML."""
    left = still_open(house)
    return f"<br>Printed as not given: {escape(left)}." if left else "<br>Nothing is left open."


class Picture(NamedTuple):
    """A drawing on the page, and what it says in plain text."""

    html: str
    text: str

    def __repr__(self) -> str:
        return self.text

    def _repr_html_(self) -> str:
        return f'<div style="background: #fff; overflow-x: auto">{self.html}</div>'


def sheet(source: Source, mark: str = "", paper: str = "letter") -> Follower:
    """The page of a truss type as it is printed; the first type without a mark.  InputError for an unknown mark.

    It follows a form.
    """
    first = _page(job_of(source), mark, paper)
    shown = Follower(_as_sheet(first), first.text)

    def follow(_: object) -> None:
        try:
            page = _page(job_of(source), mark, paper)
            shown.put(_as_sheet(page), page.text)
        except InputError as error:  # a type that is gone, a file that cannot be used now
            sentence = " ".join(error.problems)
            shown.put(f"<p>{escape(sentence)}</p>", sentence)

    if isinstance(source, Desk):
        source.watch(follow)
    return shown


def _as_sheet(page: Picture) -> str:
    """A sheet of paper, shown whole: its letters are as large as the page is wide."""
    return f'<div class="rl-sheet">{page._repr_html_()}</div>'


def _page(house: Job, mark: str, paper: str) -> Picture:
    marks = [kind.mark for kind in house.types]
    if mark and mark not in marks:
        raise InputError(f"Type {mark!r}: this job has {', '.join(marks) or 'none'}.")
    pages = sheets(house, paper)
    start = f"{house.title}: Truss profile, type {mark or marks[0]}: "
    page = next(page for page in pages if page.title.startswith(start))
    lines = [label.text for label in page.labels]
    frame = r'(<svg[^>]*?) width="[^"]*" height="[^"]*"'
    picture = re.sub(frame, r'\1 style="width: 100%; max-width: 1056px"', svg(page, page.width, page.height), count=1)
    return Picture(picture, "\n".join([page.title, *lines]))


def poor_sheet() -> Picture:
    """A made profile with faults, to be found: no type, no plate, no face, no bearing, no tail, a figure rounded."""
    house = example()
    scene = profile_scene(house, house.types[0])
    figures = {"span": "26'-0\"", "overall height": "9'-5\"", "left heel": '8 13/16"', "left run": "", "right run": ""}
    dims = tuple(d._replace(text=figures[d.name]) for d in scene.dims if figures.get(d.name))
    bare: Scene = replace(
        scene, title="TRUSSES, 16 pcs", dims=dims, notes=(), must=(),
        titles=(Title("title", "TRUSSES, 16 pcs", "left"),),
        slopes=scene.slopes[:2], description="A profile with much left out.",
    )  # fmt: skip
    layout = fit(bare, 640, 300)
    texts = [label.text for label in layout.labels]
    return Picture(svg(layout, 640, 300), "A poor profile. All that it says: " + ", ".join(texts))
