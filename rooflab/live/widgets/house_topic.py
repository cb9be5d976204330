"""Topics of a house: what has a box is read from it, the rest is as its job has it, or as in the lessons."""

from __future__ import annotations

from copy import copy
from typing import ClassVar, Self

from rooflab.checks.assumptions import Assumptions
from rooflab.house.bays import RafterBay
from rooflab.house.planes import Gable
from rooflab.job.jobfile import FOLLOWS, Job
from rooflab.job.values import NAMES, House, bays_of, first, gable_of, house_of, over, rafters_of, stock, texts_of

from .controls import Boxes, Control
from .topic import State, Topic


class HouseTopic(Topic[State]):
    """A topic of one house.  ``job`` is the house of the panel, None in lessons; ``house`` are its values."""

    LESSON: ClassVar[House] = {}
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

    def on(self, job: Job) -> Self:
        """The same topic on a job's house."""
        return type(self)(job)

    def with_size(self, **others: str) -> Self:
        """The same topic with other sizes that may be chosen beside the usual ones."""
        topic = copy(self)
        topic.controls = tuple(_offering(control, others.get(control.name, "")) for control in self.controls)
        return topic

    def own(self) -> dict[str, str]:
        """The job's numbers as texts of this topic's boxes; where its ends differ, those of the left one."""
        if self.job is None:
            return {}
        texts = texts_of(self.house)
        words = {c.name: c.word for c in self.controls if c.word and texts.get(c.name) == FOLLOWS}
        return {c.name: texts[c.name] for c in self.controls if c.name in texts} | words

    def house_with(self, boxes: Boxes) -> House:
        """The values of the house with what the boxes read; lessons' walls widen under a longer seat."""
        values = {name: value for name, value in boxes.items() if name in NAMES}
        if "lumber" in values:
            values |= stock(values.pop("lumber"))
        if "heel" in values and values["heel"] is None:
            values["heel"] = FOLLOWS
        if self.job is None and "seat" in values and "bearing" not in values:
            values["bearing"] = max(first(self.house["bearing"]), values["seat"])
        return over(self.house, values)

    def rafter_bay(self, boxes: Boxes) -> tuple[Gable, RafterBay]:
        """Gable and rafters of the house with what the boxes read."""
        house = self.house_with(boxes)
        gable = gable_of(house)
        return gable, rafters_of(house, gable=gable)

    def wish_house(self, boxes: Boxes) -> House:
        return self.house_with(boxes)

    def hangs(self, boxes: Boxes) -> object:
        """Both bays."""
        return bays_of(self.wish_house(boxes))

    @property
    def assumptions(self) -> Assumptions:
        """The loads, insulation and grade that the early checks take, but for what has a box."""
        value: Assumptions = self.house["assumptions"]
        return value


def _offering(control: Control, text: str) -> Control:
    """A control of sizes that also offers one of the house."""
    tidy = " ".join(text.split())
    if control.read or not tidy or tidy in control.choices or control.name not in SIZES:
        return control
    return control._replace(choices=(*control.choices, tidy))


SIZES = ("lumber", "ridge", "chord", "bottom_chord")
