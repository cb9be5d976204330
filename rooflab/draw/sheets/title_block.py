"""A page of a job: its heading, and at its foot who verifies, the job, who it is for and the sheet's number."""

from __future__ import annotations

from rooflab.draw.placing import wrap
from rooflab.draw.scene import Layout, width
from rooflab.job.jobfile import SHEET, Job

from .page import LEAST, MARGIN, SIZES, Page, one_line, paper_size
from .wording import RESPONSIBLE, verifier


class JobPage(Page):
    """A page of a job on letter or tabloid paper; ``inside`` is what heading and title block leave."""

    def __init__(self, job: Job, paper: str, heading: str, scale: str = "") -> None:
        super().__init__(*paper_size(paper), MARGIN, SIZES[paper])
        self.job, self.paper, self.heading, self.scale = job, paper, heading, scale
        self.responsible = RESPONSIBLE.format(who=verifier(job))
        self.least = max(LEAST, self.size - 1.0)
        self.note = wrap(self.responsible, self.wide - 2 * MARGIN, self.least)
        self.foot = self.tall - MARGIN - (3 * 1.4 + 0.6) * self.size - 1.2 * self.least * len(self.note) - 6
        self.inside = (MARGIN, MARGIN + 2.6 * self.size, self.wide - MARGIN, self.foot - 0.8 * self.size)

    def as_sheet(self, number: int, total: int) -> Layout:
        """The page with its heading and title block, as sheet ``number`` of ``total``."""
        size, sheet, job, x1 = self.size, self.job.sheet, self.job, self.wide - MARGIN
        self.text(x1, MARGIN + 0.75 * size, self.scale, "end")
        room = x1 - MARGIN - width(self.scale, size) - 2 * size
        self.text(MARGIN, MARGIN + 0.75 * size, one_line(self.heading, room, 1.3 * size), size=1.3 * size)
        self.rule(MARGIN, x1, MARGIN + 1.8 * size)
        y = self.lines(MARGIN, self.foot, self.note, self.least, 1.2)
        self.rule(MARGIN, x1, y + 4, "mark")
        third = (x1 - MARGIN - 24) / 3
        words = {name: f"{label}: {sheet.get(name, '').strip() or 'not given'}" for name, label in SHEET.items()}
        title = sheet.get("project", "").strip() or job.title
        parts = (
            (title, sheet.get("address", ""), words["architect"]),
            (words["issued_for"], words["contact"], words["dimensions_verified_by"]),
            (
                one_line(self.heading, third, size),
                f"{words['revision']} · {words['date']}",
                f"Sheet {number} of {total}",
            ),
        )
        for i, column in enumerate(parts):
            x, anchor = (x1, "end") if i == 2 else (MARGIN + i * (third + 12), "start")
            for row, line in enumerate(filter(str.strip, column)):
                self.text(x, y + 6 + (0.8 + 1.4 * row) * size, one_line(line, third, size), anchor)
        return self.layout(f"{job.title}: {self.heading}", self.responsible)
