"""The truss schedule: types, positions and counts over the lengths of wall they serve."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rooflab.base.inputs import Input, attempt, must_be, stop_on
from rooflab.base.jsonfile import json_text, text_problem
from rooflab.base.measure import InputError, feet_inches, on_center
from rooflab.house.bays import Jog, ScissorBay
from rooflab.house.planes import set_fields

THICK = 1.5  # a truss, in
TO_GIVE = "length to be given"  # the remark of a type whose length only stands in for one
LENGTH = Input("length", "Length", "length", 1.5, 2400, 1, 240.0)
SPACING = Input("spacing", "Spacing", "length", 6, 96, 0.25, 24.0)


@dataclass(frozen=True)
class TrussType:
    """One type of truss: its mark, how long a stretch of wall it serves and at what spacing, in inches.

    ``length`` is out to out along the wall; ``doubled`` positions carry two trusses; ``gable_ends`` (0, 1 or 2) of the
    positions are gable end trusses; ``jog`` is how its wall is set in, None for the main walls.  InputError with every
    problem.
    """

    mark: str
    length: float
    spacing: float = 24.0
    doubled: int = 0
    gable_ends: int = 0
    jog: Jog | None = None
    remark: str = ""

    def __post_init__(self) -> None:
        problems = [f"Mark: {said}" for said in [text_problem(self.mark, 6)] if said]
        if not problems and not self.mark.strip():
            problems.append("Mark: one letter or more is needed.")
        length = LENGTH.read(self.length, problems)
        spacing = SPACING.read(self.spacing, problems)
        for what, count, most in (("Doubled", self.doubled, 50), ("Gable ends", self.gable_ends, 2)):
            if not isinstance(count, int) or isinstance(count, bool) or not 0 <= count <= most:
                problems.append(f"{what} {json_text(count)}: a whole number from 0 to {most} is allowed.")
        if self.jog is not None:
            attempt(problems, must_be, self.jog, Jog, "Set-in wall")
        problems += [f"Remark: {said}" for said in [text_problem(self.remark, 300)] if said]
        stop_on(problems)
        set_fields(self, length=length, spacing=spacing)
        if self.doubled + self.gable_ends > self.positions:
            said = f"{self.doubled} doubled and {self.gable_ends} gable ends: there are {self.positions} positions."
            raise InputError(said)

    @property
    def positions(self) -> int:
        """Positions over the length, ceil((L - 1 1/2) / spacing) + 1 (the first and the last flush with its ends).

        >>> TrussType("A", 240.0).positions
        11
        """
        if self.length < 2 * THICK:
            return 1
        return math.ceil((self.length - THICK) / self.spacing - 1e-9) + 1

    @property
    def count(self) -> int:
        """Trusses of this type to order, gable end trusses apart."""
        return self.positions - self.gable_ends + self.doubled

    @property
    def stands_in(self) -> bool:
        """Whether its length, and so its quantity, only stands in until one is given."""
        return self.remark == TO_GIVE

    @property
    def quantity(self) -> str:
        """The trusses to order in words.

        >>> TrussType("A", 240.0).quantity, TrussType("A", 240.0, remark=TO_GIVE).quantity
        ('11', 'to be given')
        """
        return "to be given" if self.stands_in else str(self.count)

    def bay(self, scissor: ScissorBay) -> ScissorBay:
        """This type as a bay: the long truss's, or its short form where the wall is set in."""
        if self.jog is None:
            return scissor
        return scissor.jogged(self.jog.by, self.jog.bearing, self.jog.end, self.jog.eave)

    def places(self) -> tuple[float, ...]:
        """Near faces of the trusses from the start of the stretch, in: on the spacing, the last one at the far end.

        Where the next to last would overlap the last, it stands midway between its neighbors.

        >>> TrussType("A", 100.0, 48.0).places()
        (0.0, 48.0, 96.0, 98.5)
        """
        count, last = self.positions, self.length - THICK
        found = [i * self.spacing for i in range(count - 1)]
        if count > 2 and last - found[-1] < THICK - 1e-9:
            found[-1] = (found[-2] + last) / 2
        return (*found, last)

    @property
    def end_words(self) -> str:
        """What to mind at the far end, where the last space is too small for two trusses or nearly so; "" elsewhere.

        >>> print(TrussType("A", 60.0, 19.2).end_words)
        Next to last position shifted, near face at 4'-0 7/16": at 19.2" o.c. it would overlap the last truss.
        >>> TrussType("A", 144.0, 48.0).end_words, TrussType("A", 240.0).end_words
        ('', '')
        """
        places = self.places()
        if len(places) < 2 or self.stands_in:
            return ""
        space = places[-1] - (len(places) - 2) * self.spacing  # as the spacing leaves it
        if space < THICK - 1e-9:
            return (
                f"Next to last position shifted, near face at {feet_inches(places[-2])}: at {on_center(self.spacing)} "
                "it would overlap the last truss."
            )
        if space < 2 * THICK - 1e-9:
            return f"The last two trusses stand {on_center(space)}: confirm, or ask for one fewer."
        return ""

    def set_in(self) -> tuple[float, float]:
        """How far the left and the right wall are set in, in."""
        if self.jog is None:
            return 0.0, 0.0
        return (self.jog.by, 0.0) if self.jog.end == "left" else (0.0, self.jog.by)
