"""Worked backward: the nearest houses, in stock lumber and sixteenth-inch seats, in which every wish holds.

*Nearest*: first the fewest inputs changed; then the fewest steps in all, a step being 1/16 in of seat, one size of
lumber, 1/2 in 12 of pitch, 1 in of overhang, one plate width of bearing; then the inputs named first in ``MOVES``, and
the smaller values.  Nothing moves without need: where some inputs do it, no answer moves these and others.  Found in
one sweep a set of inputs; each answer is worked out afresh as a single house.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

import numpy as np

from rooflab.base.findings import VERDICTS, Finding
from rooflab.base.inputs import stop_on
from rooflab.base.measure import InputError
from rooflab.checks.assumptions import house_findings

from .jobfile import Job
from .sweep import Sweep, sweep
from .values import ROWS, House, assumptions_of, at_ends, bays_of, house_of, size_of, with_values
from .wishes import (
    FINDINGS,
    MEET,
    Move,
    Wish,
    moves_of,
    reading_label,
    shortfall,
    shortfall_of_values,
    wish_value_text,
)

CHANGES = 3  # inputs that change at once, at most
ENDS = ("left", "right")

# --- answers ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class WishAnswer:
    """One house that meets every wish: what changes, how far that is, and why, in words.

    ``changes`` are new values by input; ``steps`` by input say how far each is; ``why`` names changes and wishes;
    ``also`` what findings say that they did not say before, and what they no longer say.
    """

    changes: dict[str, Any]
    steps: dict[str, float]
    why: str
    also: tuple[str, ...]
    house: House = field(repr=False)

    @property
    def distance(self) -> tuple[int, float]:
        """Inputs changed, and steps in all."""
        return len(self.changes), round(sum(self.steps.values()), 6)


@dataclass(frozen=True)
class WishAnswers:
    """What was asked and what was found, the nearest first; ``sentence`` says which wish cannot be met, if one cannot.

    ``unmet`` is that wish and ``nearest`` the reading that comes nearest to it while the others hold (None where they
    do not hold together either); ``house`` is where.
    """

    wishes: tuple[Wish, ...]
    options: tuple[WishAnswer, ...]
    sentence: str
    unmet: Wish | None = None
    nearest: float | None = None
    house: House | None = field(default=None, repr=False)


Place = tuple[int, float, tuple[int, ...], tuple[int, ...]]  # the measure of nearness, smallest first


def ask_backwards(
    house: Job | Mapping[str, Any],
    wishes: Iterable[Wish],
    may_move: Iterable[str] = ("lumber", "seat"),
    most: int = 5,
    each: int = 2,
    changes: int = CHANGES,
) -> WishAnswers:
    """The nearest houses that meet every wish by moving some of ``MOVES``: at most ``most``, and ``each`` of a kind.

    ``house`` is a job or numbers by name; wishes hold at both ends; houses that change the same inputs are of a kind;
    ``changes`` inputs at most change at once.  A heel is the one handed over, rounded to 1/16 in.  Where nothing meets
    them all, the answer says which wish is in the way and how near the best comes.  InputError for a wish or an input
    that is not known.

    Worked by hand: 2x10 at 8 in 12, heel 9.25 x 1.201850 - 2/3 seat = 11.1171 - 2/3 seat.  A seat of 2 13/16 gives
    9.2421, which reads 9 1/4; its neighbors 2 3/4 and 2 7/8 give 9.2838 and 9.2005, 9 5/16 and 9 3/16.

    >>> from rooflab.job.jobfile import example
    >>> from rooflab.job.wishes import wish
    >>> ask_backwards(example(), [wish("scissor.heel", "is", "9 1/4")]).options[0].why
    'Seat 3 1/2" becomes 2 13/16": truss heel 9 1/4".'
    """
    base, asked = house_of(house), tuple(wishes)
    stop_on(f"Wish {one!r}: made by wish() is needed." for one in asked if not isinstance(one, Wish))
    if not asked:
        raise InputError("Wishes: at least one is needed.")
    moves = moves_of(base, may_move)
    found: list[tuple[Place, dict[str, Any]]] = []
    near, enough = _Near(base, asked), list[tuple[int, ...]]()
    for count in range(min(changes, len(moves)) + 1):
        if len(found) >= most:
            break
        for subset in combinations(range(len(moves)), count):
            chosen = [moves[i] for i in subset]
            if not all(move.values for move in chosen) or any(set(done) <= set(subset) for done in enough):
                continue
            made = sweep(base, True, **{move.name: move.values for move in chosen})
            short = [shortfall(one, made) for one in asked]
            hits = list(_hits(chosen, subset, short, each))
            enough += [subset] * bool(hits)
            found += hits
            if not found:
                near.look(made, short)
    found = sorted(found, key=lambda one: one[0])[:most]
    options = tuple(_answer(base, asked, moves, place, values) for place, values in found)
    if options:
        said = f"{len(options)} found" + ("; nothing has to change." if not options[0].changes else ".")
        return WishAnswers(asked, options, said)
    return near.answers(moves)


def _hits(
    chosen: Sequence[Move], subset: tuple[int, ...], short: Sequence[Any], most: int
) -> Iterator[tuple[Place, dict[str, Any]]]:
    """The nearest cells of one sweep in which every wish holds."""
    holds = np.logical_and.reduce([one == 0 for one in short])
    steps: Any = np.zeros(holds.shape)
    for i, move in enumerate(chosen):
        steps = steps + np.array(move.steps).reshape([-1 if i == j else 1 for j in range(len(chosen))])
    flat = np.flatnonzero(holds)
    if not flat.size and holds.shape:
        return
    order = flat[np.argsort(np.round(steps.ravel()[flat], 6), kind="stable")][:most]
    for one in order:
        index = tuple(int(i) for i in np.unravel_index(one, holds.shape)) if holds.shape else ()
        values = {move.name: move.values[i] for move, i in zip(chosen, index, strict=True)}
        yield (len(chosen), float(np.round(steps[index], 6)), subset, index), values


def _answer(
    base: House, asked: Sequence[Wish], moves: Sequence[Move], place: Place, values: dict[str, Any]
) -> WishAnswer:
    _, _, subset, index = place
    steps = {moves[i].name: moves[i].steps[j] for i, j in zip(subset, index, strict=True)}
    new = with_values(base, values)
    bays_of(new)  # afresh: a refusal here would be a mistake of ours
    one = sweep(new)
    said = [w.text if w.key == FINDINGS else f"{reading_label(w.key)} {_reading_texts(one, w.key)}" for w in asked]
    parts = [f"{ROWS[name].label} {_input_text(base, name)} becomes {_input_text(new, name)}" for name in values]
    why = f"{'; '.join(parts) if parts else 'As it stands'}: {', '.join(said)}."
    return WishAnswer(dict(values), steps, why, tuple(_also(base, new)), new)


def _reading_texts(one: Sweep, key: str) -> str:
    """A reading of a single house as it is printed, at both ends where they read differently."""
    return " and ".join(dict.fromkeys(wish_value_text(key, float(one.reading(key, end))) for end in ENDS))


def _input_text(house: House, name: str) -> str:
    if name == "lumber":
        return size_of(house)
    return " and ".join(dict.fromkeys(ROWS[name].show(end) for end in at_ends(house, name)))


def findings_of_house(house: House) -> dict[str, Finding]:
    """Every finding of a house by bay and name, the early checks among them."""
    return house_findings(*bays_of(house), assumptions_of(house))


def _also(base: House, new: House) -> Iterator[str]:
    """What the findings say of the new house and did not say before, worst first; then what they no longer say."""
    now = findings_of_house(new)
    try:
        before = findings_of_house(base)
    except InputError:
        before = {}
    order = VERDICTS
    old = {key: f.verdict for key, f in before.items()}
    worse = [f for key, f in now.items() if order.index(f.verdict) > max(order.index(old.get(key, "meets")), 1)]
    said = [f"{f.verdict.capitalize()} now: {f.sentence}" for f in sorted(worse, key=lambda f: -order.index(f.verdict))]
    better = [f for key, f in now.items() if f.verdict == "meets" and old.get(key) in ("ask", "misses")]
    yield from dict.fromkeys([*said, *(f"Meets now: {f.sentence}" for f in better)])


# --- where nothing does it -------------------------------------------------------------------------------------------

STEP = {"in": 1 / 16, "": 0.01, "R": 1.0, "degrees": 1.0, "cu ft": 10.0}
"""By which shortfalls of different kinds are held against each other."""


class _Near:
    """How near each wish comes, alone and with the others holding."""

    def __init__(self, base: House, wishes: tuple[Wish, ...]) -> None:
        self.base, self.wishes, self.buildable = base, wishes, False
        self.alone: list[tuple[float, House] | None] = [None] * len(wishes)
        self.others: list[tuple[float, House] | None] = [None] * len(wishes)

    def look(self, made: Sweep, short: Sequence[Any]) -> None:
        self.buildable = self.buildable or bool(np.any(~made.unbuildable))
        for i, mine in enumerate(short):
            rest = np.logical_and.reduce([one == 0 for j, one in enumerate(short) if j != i] or [~np.isnan(mine)])
            for kept, counted in ((self.alone, mine), (self.others, np.where(rest, mine, np.nan))):
                if np.all(np.isnan(counted)):
                    continue
                index = np.unravel_index(int(np.nanargmin(counted)), counted.shape) if counted.shape else ()
                least = float(counted[index])
                before = kept[i]
                if before is None or least < before[0]:
                    kept[i] = least, made.at(*(int(k) for k in index))

    def answers(self, moves: Sequence[Move]) -> WishAnswers:
        names = [ROWS[move.name].label.lower() for move in moves]
        by = " and ".join(filter(None, (", ".join(names[:-1]), names[-1]))) if names else "nothing"
        if not self.buildable:
            return WishAnswers(self.wishes, (), f"Moving {by}, none of these houses can be built as drawn.")
        never = [i for i, best in enumerate(self.alone) if best and best[0] > 0]
        way = [i for i, best in enumerate(self.others) if best]
        kept, rows = (self.alone, never) if never else (self.others, way)
        if not rows:
            every = "; ".join(one.text for one in self.wishes)
            said = f"Moving {by}, each can be met alone, but not all together, nor all but one: {every}."
            return WishAnswers(self.wishes, (), said)
        i = min(rows, key=lambda i: (kept[i][0] / STEP.get(self._unit(i), 1.0), i))  # type: ignore[index]
        best = kept[i]
        assert best is not None
        one, nearest, said = self.wishes[i], None, ""
        if one.key == FINDINGS:
            names_left = ", ".join(_finding_names(best[1], one.how))
            said = f"at best {best[0]:.0f} {'is' if best[0] == 1 else 'are'} left: {names_left}"
        else:
            made = sweep(best[1])
            ends = [float(made.reading(one.key, end)) for end in ENDS]
            nearest = max(ends, key=lambda v: float(shortfall_of_values(one, np.array([v]))[0]))
            said = f"the nearest is {wish_value_text(one.key, nearest)}"
        with_ = "" if never or len(self.wishes) == 1 else " while the other wishes hold"
        where = _where(self.base, best[1], moves)
        text = f"Moving {by}, this cannot be met{with_}: {one.text}; {said}{where}."
        return WishAnswers(self.wishes, (), text, one, nearest, best[1])

    def _unit(self, i: int) -> str:
        return "" if self.wishes[i].key == FINDINGS else self.wishes[i].row.unit


def _where(base: House, best: House, moves: Sequence[Move]) -> str:
    parts = [
        f"{ROWS[move.name].label.lower()} {_input_text(best, move.name)}"
        for move in moves
        if _input_text(best, move.name) != _input_text(base, move.name)
    ]
    return f" ({', '.join(parts)})" if parts else " (as it stands)"


def _finding_names(house: House, how: str) -> list[str]:
    """Names of the findings that keep a wish for them from holding."""
    made = sweep(house)
    worst = 1 if how == MEET else 2
    return [key.partition(".")[2].replace("_", " ") for key in made.findings if np.any(made.verdict(key) > worst)]
