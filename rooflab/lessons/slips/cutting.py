"""Questions on cutting the rafter, with the slips people make at the tape and at the square.

A question is one on a reading of ``CUTTING``; else it is a question like any other.  Which slips are usual is common
practice of teaching, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from rooflab.base.formulas import parsed
from rooflab.base.inputs import pair, read_word, stop_on
from rooflab.base.measure import feet_inches, pitch_text
from rooflab.base.rows import Reading
from rooflab.house.bays import RafterBay
from rooflab.house.cutting import CUTTING, Cut
from rooflab.lessons import random_houses as chances
from rooflab.lessons.questions import Question
from rooflab.lessons.random_houses import Chance
from rooflab.lessons.slips import CLEAR, SAME, Made, Symbols, rewritten

from .rafter import RAFTER_SLIPS, Slip

ON_TAPE = ("building_line", "corner", "seat_end")  # marks on a tape hooked at the ridge cut
NOT_ASKED = ("steps", "seat_cut", "mouth")  # a word, a given number, and one whose slips lie too near to each other
DRAWS, EQUAL = 400, 1e-6


def _boarded(symbols: Symbols, value: float) -> bool:
    return bool(symbols["t"] > 0)


CUT_SLIPS: tuple[Slip, ...] = (
    *RAFTER_SLIPS,
    Slip(
        "ridge board left out",
        "That fits a tape from the ridge line: half the board comes off first, measured level.",
        lambda s: {"t": 0.0}, only=ON_TAPE,
    ),
    Slip(
        "whole ridge board",
        "That fits the whole ridge board: each rafter gives way to half of it.",
        lambda s: {"t": 2 * s["t"]}, only=(*ON_TAPE, "shortening"),
    ),
    Slip(
        "board along the edge",
        "That fits half the board taken off along the edge: it is measured level, so take it off the run.",
        only=("building_line",), how="run·k(m) − t ÷ 2", when=_boarded,
    ),
    Slip(
        "tail counted in",
        "That fits the whole rafter, to its tail: the building line is over the wall's outside face.",
        only=("building_line",), how="(run − t ÷ 2 + o)·k(m)",
    ),
    Slip(
        "shortening along the edge",
        "That fits the shortening along the edge: measured level it is just half the board.",
        only=("shortening",), how="t ÷ 2·k(m)", when=_boarded,
    ),
    Slip(
        "plumb for square",
        "That fits the building line's own mark: its plumb line runs toward the tail, and the corner is further on.",
        only=("corner",), how="(run − t ÷ 2)·k(m)",
    ),
    Slip(
        "whole plumb line",
        "That fits the foot of the plumb line on the bottom edge: the corner is only a heel down that line.",
        only=("corner",), how="(run − t ÷ 2)·k(m) + D·m",
    ),
    Slip(
        "bottom edge for top edge",
        "That fits the tape on the bottom edge: squared up to the top edge it stands D·m further on.",
        only=("seat_end",), how="(run − t ÷ 2 − seat)·k(m)",
    ),
    Slip(
        "seat along the edge",
        "That fits the seat taken off along the edge: it is level, so take it off the run.",
        only=("seat_end",), how="(run − t ÷ 2)·k(m) − seat + D·m",
    ),
    Slip(
        "rise and run added", "That fits rise and run added: the step is the third side of their triangle.",
        only=("step",), how="12 + 12·m",
    ),
    Slip("rise for step", "That fits the rise of one step: along the edge it is longer.", only=("step",), how="12·m"),
    Slip(
        "other cut's angle", "That fits the other cut: plumb cuts stand so far off square, the seat the rest of 90.",
        only=("plumb_angle", "seat_angle"), how="90 − {f}",
    ),
)  # fmt: skip


@dataclass(frozen=True)
class CutQuestion(Question):
    """A question for a reading of ``CUTTING``, such as "building_line"; lengths are right to a sixteenth.

    >>> from rooflab import Gable
    >>> bay = RafterBay(Gable("24'", 9, "5 1/2", 16), "2x10", 4)
    >>> line = CutQuestion("Where is the building line?", bay, "building_line")
    >>> line.judge("14'-11 1/16").right, line.judge("15'").slip
    (True, 'ridge board left out')
    """

    end: str = "left"

    @cached_property
    def row(self) -> Reading:
        return row_of(self.reading)

    @cached_property
    def symbols(self) -> Symbols:
        return {**self.bay.symbols(self.end), **Cut(self.bay, self.end).values, "span": self.bay.gable.span}  # type: ignore[arg-type]

    @cached_property
    def slips(self) -> tuple[Made, ...]:
        return tuple(one for one in self.possible if abs(one.value - self.value) > SAME[self.row.unit])

    @cached_property
    def possible(self) -> tuple[Made, ...]:
        """Every slip that changes the answer, be it ever so little."""
        feet = self.row.unit != "in"  # only lengths are given in feet
        here = {self.reading, f"rafter.{self.reading}"}
        slips = (slip for slip in CUT_SLIPS if (not slip.only or here & set(slip.only)) and not here & set(slip.but))
        found = (self._made(slip) for slip in slips if not (feet and slip.name == "feet read as inches"))
        return tuple(one for one in found if one and one.value > 0 and abs(one.value - self.value) > EQUAL)

    @property
    def clear(self) -> bool:
        """True where the answer and all slips can be told apart on a tape; those equal by algebra count as one."""
        line = sorted([self.value, *(one.value for one in self.possible)])
        return all(b - a < EQUAL or b - a > CLEAR * SAME[self.row.unit] for a, b in pairwise(line))

    def _made(self, slip: Slip) -> Made | None:
        """The slip with its number, where it can happen."""
        try:
            if slip.when and not slip.when(self.symbols, self.value):
                return None
            if slip.change:
                return Made(slip, float(self.row.of(self.symbols | slip.change(self.symbols))), "")
            text = rewritten(slip.how, self.row.settled(self.symbols))
            return Made(slip, parsed(text).value(self.symbols), text) if text else None
        except KeyError:  # a slip with something that this rafter does not have
            return None

    @property
    def hints(self) -> tuple[str, ...]:
        first = f"Look at the {self.row.label[0].lower()}{self.row.label[1:]} on the cut drawing."
        return (first, *super().hints[1:])


def row_of(name: str) -> Reading:
    """The row of a reading that can be asked for.  InputError for another name."""
    problems: list[str] = []
    names = tuple(row.name for row in CUTTING if row.name not in NOT_ASKED)
    read_word("Reading of a cut rafter", name, names, problems)
    stop_on(problems)
    return next(row for row in CUTTING if row.name == name)


def told(bay: RafterBay, reading: str) -> str:
    """What has to be known for a reading, in words."""
    s, args = bay.symbols(), set(row_of(reading).args.split())
    args |= {"D", "seat"} if "heel" in args else set()
    phrases = (
        ("run", f"{feet_inches(bay.gable.span)} wide, out to out"),
        ("D", f"{bay.lumber or feet_inches(bay.depth) + ' deep'} rafters"),
        ("m", f"roof {pitch_text(round(12 * s['m'], 4))}"),
        ("seat", f"a seat of {feet_inches(pair(bay.seat)[0])}"),
        ("t", f"a ridge board {feet_inches(s['t'])} thick"),
        ("o", f"an overhang of {feet_inches(s['o'])}"),
    )
    return ", ".join(words for name, words in phrases if name in args)


def drawn(prompt: str, reading: str, number: int) -> CutQuestion:
    """Practice rafter ``number``, drawn again until its answer and every slip stand clear; the same everywhere.

    >>> drawn("Where is it?", "building_line", 3) == drawn("Where is it?", "building_line", 3)
    True
    """
    chance = Chance("cutting", reading, number)
    for _ in range(DRAWS):
        bay = chances.rafters(chance)
        made = CutQuestion(f"{prompt} Rafter {number}: {told(bay, reading)}.", bay, reading)
        if made.clear:
            return made
    raise RuntimeError(f"{reading}: no question in {DRAWS} draws")
