"""The pages of the view for the table, in their order."""

from __future__ import annotations

import os
from pathlib import Path

from rooflab.job.jobfile import blank_job, example
from rooflab.live.widgets.form import Source, job_of
from rooflab.live.widgets.job_desk import FILE

from .fits import AnswerPage, GridPage, MapPage, WishPage
from .options import FIRST, SECOND, Numbers, OneThing, SideBySide
from .record import Open, Who, Why
from .view import Meeting, MeetingPage, Sitting


def pages() -> tuple[MeetingPage, ...]:
    """The pages of the view for the table, in their order."""
    first = Numbers("his numbers", FIRST), Numbers("more of his numbers", SECOND)
    return *first, OneThing(), SideBySide(), GridPage(), MapPage(), WishPage(), AnswerPage(), Who(), Why(), Open()


def together(source: Source, path: str | os.PathLike[str] = FILE, fill: bool = False) -> Meeting:
    """The view for the table on a job; what is agreed is kept in the job file, and printed into its folder.

    ``fill`` lays it over the whole window at once.

    >>> together(example()).do("set", "span", "26 apples")[:45]
    'Span, out to out: 26 apples is not a length; '
    """
    house = job_of(source)
    if house == example() and not Path(path).exists():
        house = blank_job()  # a house of one's own begins without the words and loads of our example
    return Meeting(Sitting(house, path, pages(), fill))
