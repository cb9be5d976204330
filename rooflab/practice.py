"""Questions: an answer is judged, and a wrong one is answered with the slip that fits it."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any, NamedTuple

from . import geometry as geo
from .house import RafterBay, ScissorBay
from .inputs import pair
from .jogs import Jogged, jog
from .limits import end_notch_limit
from .lumber import dressed
from .measure import InputError, feet_inches, inches, pitch_text
from .planes import Bay, Gable
from .readings import Worked
from .slips import SAME, slips_of

TIE = 1 / 64  # two slips whose numbers are nearer than this fit alike, in


class Feedback(NamedTuple):
    """The verdict on an answer: right or not, the slip that fits (or "") and what to say."""

    right: bool
    slip: str
    sentence: str


class Question(NamedTuple):
    """A question for a reading of a bay; answers in trade text or decimal inches, right to a sixteenth.

    >>> heel = Question("How high is the heel?", RafterBay(Gable("24'", 9, "7 1/4"), "2x12"), "heel")
    >>> heel.judge("8-5/8").right, heel.judge("14 1/16").slip
    (True, 'seat forgotten')
    """

    prompt: str
    bay: Bay
    reading: str

    @property
    def worked(self) -> Worked:
        return self.bay.reading(self.reading)

    def judge(self, text: str) -> Feedback:
        """Right, a slip that fits, or neither: then which way to look.  Unreadable text gets its own sentence.

        Where slips give the same number, all are said: nobody can tell which it was.
        """
        try:
            given = inches(text, "Answer")
        except InputError as error:
            return Feedback(False, "", " ".join(error.problems))
        right = self.worked
        if abs(given - right.value) <= SAME + 1e-9:
            said = f"{right.label} {right.text}, from {right.formula} = {right.worked}."
            return Feedback(True, "", said)
        off_by = [(abs(given - wrong), slip) for slip, wrong in slips_of(self.bay, self.reading)]
        fits = sorted(off_by, key=lambda fit: fit[0])
        near = [slip for off, slip in fits if off <= SAME + 1e-9 and off <= fits[0][0] + TIE]
        if near:
            also = [slip.sentence.replace("That fits", "Or it is", 1) for slip in near[1:3]]
            return Feedback(False, near[0].name, " ".join([near[0].sentence, *also]))
        way = "smaller" if given > right.value else "larger"
        said = f"{feet_inches(given)} is not it, and no usual slip gives it: the answer is {way}. Use {right.formula}."
        return Feedback(False, "", said)

    def show(self) -> str:
        """The whole working, for those who ask."""
        w = self.worked
        return f"{w.label}: {w.formula} = {w.worked} = {w.text}."


# --- new numbers -----------------------------------------------------------------------------------------------------

SPANS = tuple(f"{feet}'" for feet in range(20, 38, 2))
PITCHES = (5, 6, 7, 8, 9, 10, 12)
SEATS = (2.5, 3.0, 3.5, 4.0, 4.5, 5.5)


def roof(number: int) -> tuple[RafterBay, ScissorBay]:
    """Roof no. 1, 2, 3 ... for practice, both bays: ordinary sizes, a birdsmouth within a quarter of the depth.

    The same number gives the same roof everywhere.  The trusses take the rafters' heel, as it is handed over.

    >>> rafters, scissor = roof(1)
    >>> rafters.left.heel == scissor.heel, roof(1) == (rafters, scissor)
    (True, True)
    """
    chance = Random(number)

    def pick(row: Sequence[Any]) -> Any:
        return row[int(chance.random() * len(row))]

    pitch, bearing, lumber = pick(PITCHES), pick((3.5, 5.5)), pick(("2x8", "2x10", "2x12"))
    gable = Gable(pick(SPANS), pitch, bearing, pick((12, 16, 18, 20, 24)))
    most = float(end_notch_limit(dressed(lumber)[1]))
    seat = pick([s for s in SEATS if s <= bearing and geo.notch(pitch / 12, s) <= most])
    rafters = RafterBay(gable, lumber, seat, "2x12").handed_over()
    return rafters, ScissorBay(gable, pitch // 2, rafters.left.heel)


def jogged(number: int) -> Jogged:
    """Roof no. 1, 2, 3 ... with a wall of its trusses set in, by a foot or more and of another thickness.

    >>> jogged(1) == jogged(1) != jogged(2)
    True
    """
    chance = Random(-number)
    by, wide = (row[int(chance.random() * len(row))] for row in ((12.0, 18.0, 30.0, 36.0), (3.5, 5.5, 7.25)))
    return jog(roof(number)[1], by, wide)


def givens(bay: Bay, reading: str) -> str:
    """What has to be known for a reading, in words.

    >>> givens(roof(1)[0], "plumb_depth")
    '2x12 rafters, roof 5 in 12'
    """
    row, s = next(row for row in bay.rows() if row.name == reading), bay.symbols()
    args = row.args.split()
    width = feet_inches(pair(bay.gable.span)[0])
    stock = bay.lumber or f"{feet_inches(bay.depth)} deep" if isinstance(bay, RafterBay) else ""
    phrases = (
        ({"run", "apex"}, f"{width} wide, out to out"),
        ({"D"}, f"{stock} rafters"),
        ({"d_t"}, f"a {getattr(bay, 'chord', '')} top chord"),
        ({"d_b"}, f"a {getattr(bay, 'bottom_chord', '')} bottom chord"),
        ({"m"}, f"roof {pitch_text(12 * s['m'])}"),
        ({"c"}, f"ceiling {pitch_text(12 * s.get('c', 0.0))}"),
        ({"start", "bearing"}, f"{feet_inches(s['bearing'])} walls"),
        ({"seat"}, f"a seat of {feet_inches(s.get('seat', 0.0))}"),
        ({"t"}, f"a ridge board {feet_inches(s.get('t', 0.0))} thick"),
        ({"heel"}, f"a heel of {feet_inches(s['heel'])}"),
        ({"o"}, f"an overhang of {feet_inches(s['o'])}"),
        ({"j"}, f"one wall {getattr(bay, 'moved', '')}"),
        ({"start_new"}, f"{feet_inches(s.get('bearing_new', 0.0))} thick there"),
    )
    return ", ".join(phrase for names, phrase in phrases if names & set(args))
