"""A page of a job: its heading, and at its foot who verifies, the job, who it is for and the sheet's number.

Nothing of them is cut: long words take more lines, and the foot grows.
"""

from __future__ import annotations

from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, width
from rooflab.job.jobfile import SHEET, Job

from .page import LEAST, MARGIN, SIZES, Page, paper_size
from .wording import RESPONSIBLE, job_name, not_issued, verifier

GAP = 12.0  # between the columns of the title block, points
SCALE = 'sketch 3/32" = 1\'-0", written dimensions govern'  # the longest


class JobPage(Page):
    """A page of a job on letter or tabloid paper; ``inside`` is what heading and title block leave."""

    def __init__(self, job: Job, paper: str, heading: str, scale: str = "", responsible: str = RESPONSIBLE) -> None:
        super().__init__(*paper_size(paper), MARGIN, SIZES[paper])
        self.job, self.paper, self.heading, self.scale = job, paper, heading, scale
        size, across = self.size, self.wide - 2 * MARGIN
        self.responsible = responsible.format(who=verifier(job))
        self.least = max(LEAST, size - 1.0)
        self.note = wrap(self.responsible, across, self.least)
        self.head = wrap(heading, across - width(SCALE, size) - 2 * size, 1.3 * size)
        self.head += [line for line in [not_issued(job)] if line]
        self.columns = [[line for part in column for line in wrap(part, (across - 2 * GAP) / 3, size)]
                        for column in self._columns()]  # fmt: skip
        rows = max(len(self.columns[0]), len(self.columns[1]), len(self.columns[2]) + 1)
        self.foot = self.tall - MARGIN - (rows * 1.4 + 0.6) * size - 1.2 * self.least * len(self.note) - 6
        top = MARGIN + (2.6 + 1.7 * (len(self.head) - 1)) * size
        self.inside = (MARGIN, top, self.wide - MARGIN, self.foot - 0.8 * size)

    def _columns(self) -> tuple[tuple[str, ...], ...]:
        """The texts of the three columns of the title block, all but the sheet's number."""
        sheet, job = self.job.sheet, self.job
        words = {name: f"{label}: {sheet.get(name, '').strip() or 'not given'}" for name, label in SHEET.items()}
        columns = (
            (job_name(job), sheet.get("address", ""), words["architect"]),
            (words["issued_for"], words["contact"], words["dimensions_verified_by"]),
            (self.heading, f"{words['revision']} · {words['date']}"),
        )
        return tuple(tuple(filter(str.strip, column)) for column in columns)

    def as_sheet(self, number: int, total: int) -> Layout:
        """The page with its heading and title block, as sheet ``number`` of ``total``."""
        size, x1 = self.size, self.wide - MARGIN
        self.text(x1, MARGIN + 0.75 * size, self.scale, "end")
        for i, line in enumerate(self.head):
            self.text(MARGIN, MARGIN + (0.75 + 1.7 * i) * size, line, size=1.3 * size)
        self.rule(MARGIN, x1, self.inside[1] - 0.8 * size)
        y = self.lines(MARGIN, self.foot, self.note, self.least, 1.2)
        self.rule(MARGIN, x1, y + 4, "mark")
        third = (x1 - MARGIN - 2 * GAP) / 3
        for i, column in enumerate((*self.columns[:2], [*self.columns[2], f"Sheet {number} of {total}"])):
            x, anchor = (x1, "end") if i == 2 else (MARGIN + i * (third + GAP), "start")
            for row, line in enumerate(column):
                self.text(x, y + 6 + (0.8 + 1.4 * row) * size, line, anchor)
        return self.layout(f"{self.job.title}: {self.heading}", self.responsible)
