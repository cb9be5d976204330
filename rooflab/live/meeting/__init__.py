"""The pages of the view for the table, in their order."""

from __future__ import annotations

import os

from rooflab.base.measure import InputError
from rooflab.job.writing import job_in
from rooflab.live.widgets.form import Source, job_of
from rooflab.live.widgets.job_desk import FILE, start_of_change

from .fits import GridPage, MapPage, WishPage
from .options import FIRST, SECOND, BuilderNumbers, OneThing, SideBySide
from .record import AgreePage
from .view import Meeting, MeetingPage, Sitting


def pages() -> tuple[MeetingPage, ...]:
    """The pages of the view for the table, in their order."""
    first = BuilderNumbers("builder's numbers", FIRST), BuilderNumbers("more of the builder's numbers", SECOND)
    return *first, OneThing(), SideBySide(), GridPage(), MapPage(), WishPage(), AgreePage()


def together(source: Source, path: str | os.PathLike[str] = FILE, fill: bool = False) -> Meeting:
    """The view for the table on a job; what is agreed is kept in the job file, and printed into its folder.

    ``fill`` lays it over the whole window at once.

    >>> from rooflab.job.jobfile import example
    >>> together(example()).do("set", "span", "26 apples")[:45]
    'Span, out to out: 26 apples is not a length; '
    """
    house, _ = start_of_change(path, job_of(source))  # one of one's own begins without the words of our example
    sitting = Sitting(house, path, pages(), fill)
    try:
        job_in(path)
    except InputError as error:
        sitting.answer = f"{error.problems[0]} Nothing can be written down here until it is mended or has another name."
    return Meeting(sitting)
