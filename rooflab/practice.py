"""Questions: an answer is judged, and a wrong one is answered with the slip that fits it."""

from __future__ import annotations

from typing import NamedTuple

from .house import Bay
from .measure import InputError, feet_inches, inches
from .readings import Worked
from .slips import SAME, slips_of


class Feedback(NamedTuple):
    """The verdict on an answer: right or not, the slip that fits (or "") and what to say."""

    right: bool
    slip: str
    sentence: str


class Question(NamedTuple):
    """A question for a reading of a bay; answers in trade text or decimal inches, right to a sixteenth."""

    prompt: str
    bay: Bay
    reading: str

    @property
    def worked(self) -> Worked:
        return self.bay.reading(self.reading)

    def judge(self, text: str) -> Feedback:
        """Right, a slip that fits, or neither: then which way to look.  Unreadable text gets its own sentence."""
        try:
            given = inches(text, "Answer")
        except InputError as error:
            return Feedback(False, "", " ".join(error.problems))
        right = self.worked
        if abs(given - right.value) <= SAME + 1e-9:
            return Feedback(
                True, "", f"Right: {right.label.lower()} {right.text}, from {right.formula} = {right.worked}."
            )
        fits = [(abs(given - wrong), slip) for slip, wrong in slips_of(self.bay, self.reading)]
        near = min(fits, key=lambda fit: fit[0], default=None)
        if near and near[0] <= SAME + 1e-9:
            return Feedback(False, near[1].name, f"Not yet. {near[1].sentence}")
        way = "smaller" if given > right.value else "larger"
        return Feedback(
            False,
            "",
            f"{feet_inches(given)} is not it, and none of the usual slips gives it: the answer is {way}. Use {right.formula}.",
        )

    def show(self) -> str:
        """The whole working, for those who ask."""
        w = self.worked
        return f"{w.label}: {w.formula} = {w.worked} = {w.text}."
