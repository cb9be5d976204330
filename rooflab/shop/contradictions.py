"""Contradictions in a returned drawing itself: numbers that cannot all be true, and the single one that would repair
all.

Heel and the rise of the slope against the overall height, ceiling pitch against its rise, depth at the peak against
both, heel against the top of the tail.  Relations are those of the truss that the numbers returned describe, and each
number is allowed its rounding, half the step it is written in; numbers that are all within rounding of those asked for,
which agree, do not contradict each other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import NamedTuple

from rooflab.base.inputs import INPUTS
from rooflab.base.measure import sixteenth

from .causes import EQUAL, Numbers, Truss, items_of, rounding_of, truss_of_drawing
from .items import ENDS, ITEMS, PITCH_ROUNDING, item_and_end, label

ALIKE = 1 / 16  # a number that would repair all and is nearer to the one asked for than this, is that one, in


class Contradiction(NamedTuple):
    """Items that cannot all be true, by how much the last is off (in), and a sentence."""

    items: tuple[str, ...]
    off: float
    sentence: str


class Repair(NamedTuple):
    """One item that, changed alone to this value, repairs every contradiction.

    ``by_design`` is True where the value is the one asked for.
    """

    item: str
    value: float
    by_design: bool

    @property
    def text(self) -> str:
        """The item and the value that repairs the drawing, as printed."""
        return f"{label(self.item).lower()} {item_and_end(self.item)[0].text(self.value)}"


class _Relation(NamedTuple):
    """One printed item that follows from others: the keys, what the others give less what is printed, and the keys of
    numbers that count by their rounding alone."""

    item: str
    keys: tuple[str, ...]
    off: Callable[[Numbers], float]
    beside: tuple[str, ...] = ()


def _both(*names: str) -> tuple[str, ...]:
    return tuple(f"{name}_{end}" for name in names for end in ENDS)


class _Drawing:
    """The numbers of a drawing, each printed item with the keys that it stands for and the rounding of each number."""

    def __init__(
        self, truss: Truss, shown: Numbers, printed: Mapping[str, tuple[str, ...]], half: Mapping[str, float]
    ) -> None:
        self.truss, self.values, self.keys_of, self.half = truss, shown, printed, half
        self.design = items_of(truss)
        self.relations: dict[tuple[str, ...], _Relation] = {}
        for relation in self._relations():
            self.relations.setdefault(self.items(relation), relation)

    def _follows(self, values: Numbers) -> Numbers:
        return items_of(truss_of_drawing(self.truss, values))

    def _relations(self) -> Iterator[_Relation]:
        """What can be checked with the numbers that are shown."""

        def off(item: str) -> Callable[[Numbers], float]:
            return lambda values: self._follows(values)[item] - values[item]

        plates = tuple(key for keys in self.keys_of.values() for key in keys if key in _both("plate"))
        high = ("span", *_both("pitch", "heel"), *plates)
        under = ("span", *_both("ceiling_pitch"), *(_both("bearing") if self.truss[0]["start"] else ()), *plates)
        for item, keys in (("height", high), ("ceiling_rise", under)):
            if {item, *keys} <= self.values.keys():
                yield _Relation(item, (*keys, item), off(item))
        if {"depth_at_peak", *high, *under} <= self.values.keys():
            yield self._depth(high, under)
        for end in ENDS:
            keys = (f"heel_{end}", f"pitch_{end}", f"overhang_{end}", f"tail_top_{end}")
            if set(keys) <= self.values.keys():
                yield _Relation(keys[-1], keys, off(keys[-1]))

    def _depth(self, high: tuple[str, ...], under: tuple[str, ...]) -> _Relation:
        """The depth at the peak against height and ceiling rise, less the ceiling's fall from its apex to the ridge.

        Where the numbers put the apex under the ridge, the two alone make the depth.
        """

        def fall(values: Numbers) -> float:
            made = self._follows(values)
            return made["ceiling_rise"] + made["depth_at_peak"] - made["height"]

        def off(values: Numbers) -> float:
            made = {**self._follows(values), **values}
            return made["height"] - made["ceiling_rise"] + fall(values) - made["depth_at_peak"]

        every = tuple(dict.fromkeys((*high, *under)))
        level = abs(fall(self.values)) <= self.rounding(fall, every, self.values) + EQUAL
        top = ("height",) if "height" in self.values else high
        low = ("ceiling_rise",) if "ceiling_rise" in self.values else under
        tall = tuple(key for key in ("height", "ceiling_rise") if key in self.values)
        keys = tuple(dict.fromkeys((*top, *low) if level else (*every, *tall)))
        return _Relation("depth_at_peak", (*keys, "depth_at_peak"), off, every)

    def items(self, relation: _Relation) -> tuple[str, ...]:
        """The printed items of a relation, the one that follows last."""
        return self._printed(relation.keys)

    def _printed(self, keys: Iterable[str]) -> tuple[str, ...]:
        return tuple(item for item, mine in self.keys_of.items() if set(mine) & set(keys))

    def shift(self, item: str, by: float) -> Numbers:
        return {**self.values, **{key: self.values[key] + by for key in self.keys_of[item]}}

    def rounding(self, of: Callable[[Numbers], float], keys: Iterable[str], values: Numbers) -> float:
        """How far a function of printed numbers may be off by the rounding of each."""
        exact, slack = of(values), 0.0
        for item in self._printed(keys):
            by = self._slack(self.keys_of[item][0])
            slack += abs(of({**values, **{key: values[key] + by for key in self.keys_of[item]}}) - exact) if by else 0.0
        return slack

    def _slack(self, key: str) -> float:
        """How far a printed number may stand off the true one; whole and quarter pitches are taken at their word."""
        if item_and_end(key)[0].kind != "pitch":
            return self.half[key]
        odd = EQUAL < abs(self.values[key] - self.design[key]) <= PITCH_ROUNDING
        return self.half[key] if odd or (4 * self.values[key]) % 1 else 0.0

    def holds(self, relation: _Relation, values: Numbers) -> bool:
        """Whether a relation holds within what each printed number may be off."""
        keys = [key for item in self.items(relation) for key in self.keys_of[item]]
        if all(abs(values[key] - self.design[key]) <= rounding_of(self.half[key], key) + EQUAL for key in keys):
            return True
        slack = self.rounding(relation.off, (*relation.keys, *relation.beside), values)
        return abs(relation.off(values)) <= slack + EQUAL

    def contradictions(self) -> list[_Relation]:
        return [relation for relation in self.relations.values() if not self.holds(relation, self.values)]

    def solve(self, item: str, relation: _Relation) -> float | None:
        """What an item would have to read for a relation to hold exactly."""
        start = self.values[self.keys_of[item][0]]
        a, b = 0.0, 1.0
        fa, fb = relation.off(self.shift(item, a)), relation.off(self.shift(item, b))
        for _ in range(30):
            if abs(fb) < EQUAL:
                return start + b
            if fa == fb:
                return None
            a, b, fa = b, b - fb * (b - a) / (fb - fa), fb
            if not abs(b) < 1e4:
                return None
            fb = relation.off(self.shift(item, b))
        return None

    def repairs(self, broken: list[_Relation]) -> Iterator[Repair]:
        for item in dict.fromkeys(item for relation in broken for item in self.items(relation)):
            value = self.solve(item, broken[0])
            if value is None or not _in_range(item, value):
                continue
            made = {**self.values, **dict.fromkeys(self.keys_of[item], value)}
            if all(self.holds(relation, made) for relation in self.relations.values()):
                asked = self.design[self.keys_of[item][0]]
                near = PITCH_ROUNDING if item_and_end(item)[0].kind == "pitch" else ALIKE
                yield Repair(item, value, abs(value - asked) <= near + EQUAL)


def _in_range(item: str, value: float) -> bool:
    name = item_and_end(item)[0].name
    if name in INPUTS:
        return INPUTS[name].low <= value <= INPUTS[name].high
    return value > 0 or ITEMS[name].low < 0


def conflicts(
    truss: Truss, shown: Mapping[str, float], printed: Mapping[str, tuple[str, ...]], half: Mapping[str, float]
) -> tuple[tuple[Contradiction, ...], tuple[Repair, ...]]:
    """Contradictions in a drawing, and the single numbers that would each repair all of them.

    ``printed`` names the printed items and the keys that each stands for (``heel`` for both ends), ``half`` the
    rounding of each key.  A drawing whose numbers agree once the ceiling begins at the other face of the bearing does
    not contradict itself.
    """
    full = {**{f"plate_{end}": s["plate"] for end, s in zip(ENDS, truss, strict=True)}, **shown}
    drawing = _Drawing(truss, full, printed, half)
    broken = drawing.contradictions()
    if not broken:
        return (), ()
    left, right = ({**s, "start": 0.0 if s["start"] else s["bearing"]} for s in truss)
    if not _Drawing((left, right), full, printed, half).contradictions():
        return (), ()
    repairs = sorted(drawing.repairs(broken), key=lambda one: not one.by_design)
    return tuple(_contradiction(drawing, relation) for relation in broken), tuple(repairs)


def _contradiction(drawing: _Drawing, relation: _Relation) -> Contradiction:
    names = drawing.items(relation)
    last = next(item for item in names if relation.item in drawing.keys_of[item])
    others = [item for item in names if item != last]
    off = relation.off(drawing.values)
    kind, value = item_and_end(last)[0], drawing.values[relation.item]
    parts = [
        f"{label(item).lower()} {item_and_end(item)[0].text(drawing.values[drawing.keys_of[item][0]])}"
        for item in others
    ]
    said = (
        f"{', '.join(parts)} and {label(last).lower()} {kind.text(value)} cannot all be true: the others make it "
        f"{kind.text(value + off)}, {kind.text(abs(sixteenth(value + off) - sixteenth(value)))} "
        f"{'more' if off > 0 else 'less'}."
    )
    return Contradiction((*others, last), off, said[0].upper() + said[1:])


def repair_sentence(repairs: tuple[Repair, ...]) -> str:
    """Which single number, changed, would repair all; the ones that were asked for come first."""
    if not repairs:
        return "No single number, changed, would repair all: at least two are wrong."
    texts = [f"{one.text}{' (as asked for)' if one.by_design else ''}" for one in repairs]
    if len(texts) == 1:
        return f"One number, changed alone, would repair all: {texts[0]}."
    return f"Any one of these, changed alone, would repair all: {'; '.join(texts)}."
