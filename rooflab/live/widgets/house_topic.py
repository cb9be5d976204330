"""Topics of a house: what has a box is read from it, the rest is as its job has it, or as in the lessons."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from typing import Any, ClassVar, TypeVar

from rooflab.checks.assumptions import Assumptions
from rooflab.house.bays import RafterBay
from rooflab.house.planes import Gable
from rooflab.job.jobfile import FOLLOWS, Job
from rooflab.job.values import NAMES, House, first, gable_of, house_of, over, rafters_of, stock, texts_of

from .controls import Control
from .topic import Topic

Own = TypeVar("Own", bound="HouseTopic")


class HouseTopic(Topic):
    """A topic of one house.  ``job`` is the house of the panel, None in lessons; ``house`` are its values."""

    LESSON: ClassVar[dict[str, Any]] = {}
    """What the lessons' house of this topic has otherwise than the usual one."""

    def __init__(self, job: Job | None = None) -> None:
        self.job = job
        self.house = self.values(job)
        if job:
            own = self.own()
            self.controls = tuple(_offering(control, own.get(control.name, "")) for control in self.controls)

    def values(self, job: Job | None) -> House:
        """The values of the job's house, or of the lessons'."""
        return house_of(job or self.LESSON)

    def on(self: Own, job: Job) -> Own:
        """The same topic on a job's house."""
        return type(self)(job)

    def with_size(self: Own, **others: str) -> Own:
        """The same topic with other sizes that may be chosen beside the usual ones."""
        made = copy(self)
        made.controls = tuple(_offering(control, others.get(control.name, "")) for control in self.controls)
        return made

    def own(self) -> dict[str, str]:
        """The job's numbers as texts of this topic's boxes; where its ends differ, those of the left one."""
        if self.job is None:
            return {}
        texts = texts_of(self.house)
        words = {c.name: c.word for c in self.controls if c.word and texts.get(c.name) == FOLLOWS}
        return {c.name: texts[c.name] for c in self.controls if c.name in texts} | words

    def moved(self, boxes: Mapping[str, Any]) -> House:
        """The house with what the boxes read; lessons' walls widen under a longer seat."""
        mine = {name: value for name, value in boxes.items() if name in NAMES}
        if "lumber" in mine:
            mine |= stock(mine.pop("lumber"))
        if "heel" in mine and mine["heel"] is None:
            mine["heel"] = FOLLOWS
        if self.job is None and "seat" in mine and "bearing" not in mine:
            mine["bearing"] = max(first(self.house["bearing"]), mine["seat"])
        return over(self.house, mine)

    def rafter_bay(self, boxes: Mapping[str, Any]) -> tuple[Gable, RafterBay]:
        """Gable and rafters of the house with what the boxes read."""
        made = self.moved(boxes)
        gable = gable_of(made)
        return gable, rafters_of(made, gable=gable)

    @property
    def assumptions(self) -> Assumptions:
        """What the early checks assume, but for what has a box."""
        assumed: Assumptions = self.house["assumptions"]
        return assumed


def _offering(control: Control, text: str) -> Control:
    """A control of sizes that also offers one of the house."""
    tidy = " ".join(text.split())
    if control.read or not tidy or tidy in control.choices or control.name not in SIZED:
        return control
    return control._replace(choices=(*control.choices, tidy))


SIZED = ("lumber", "ridge", "chord", "bottom_chord")
