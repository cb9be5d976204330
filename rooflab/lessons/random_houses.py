"""Houses for practice from a seed: ordinary sizes, the same for everyone who types the same seed.

A seed is a word or a number.  It is hashed, and only ``random()`` of the standard generator is used, which gives the
same numbers on every system and in every version of Python.
"""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Sequence
from random import Random
from typing import Any, TypeVar

from rooflab.base import geometry as geo
from rooflab.base.lumber import dressed_size
from rooflab.base.measure import InputValue, sixteenth
from rooflab.checks.limits import end_notch_limit
from rooflab.house.bays import RafterBay, ScissorBay
from rooflab.house.jog import WallJog, jog
from rooflab.house.planes import Gable

Value = TypeVar("Value")
LONGEST = 40  # letters of a seed

# What practice houses are made of; sizes that are usual in the trade (common practice, no source).
RANGES: dict[str, tuple[Any, ...]] = {
    "span": tuple(float(n) for n in range(18 * 12, 38 * 12 + 1, 6)),
    "pitch": tuple(n / 2 for n in range(6, 25)),
    "bearing": (3.5, 5.5),
    "overhang": (8.0, 10.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 22.0, 24.0),
    "plate_height": (97.125, 109.125, 121.125),  # walls of 8, 9 and 10 ft
    "rafter": ("2x8", "2x10", "2x12", "1 1/2 x 9 1/2", "1 3/4 x 11 7/8"),  # dressed, or engineered at its word
    "seat": tuple(n / 4 for n in range(6, 23)),
    "ridge": ("1x12", "2x12", "1 3/4 x 11 7/8", "3 1/2 x 11 7/8"),
    "ceiling": (0.4, 0.45, 0.5, 0.55, 0.6),  # of the roof's pitch, to half an inch
    "chord": ("2x4", "2x4", "2x6"),
    "plate": (-12.0, -9.0, -6.0, 5.0, 6.0, 8.0, 9.0, 12.0, 14.0, 16.0, 18.0, 24.0),
    "jog": (12.0, 14.0, 16.0, 18.0, 20.0, 24.0, 28.0, 30.0, 32.0, 36.0, 42.0, 48.0),
    "moved_bearing": (3.5, 5.5, 7.25),
}


def seed_text(seed: object) -> str:
    """A seed as it is hashed: a word or a whole number, without regard to case and spaces around it.

    InputError for anything else.

    >>> seed_text(7), seed_text(" Monday  class ")
    ('7', 'monday class')
    """
    given = InputValue(seed, "Seed", "word or whole number", f"up to {LONGEST} letters or digits")
    if isinstance(seed, bool) or not isinstance(seed, (str, int)):
        raise given.refusal()
    text = " ".join(unicodedata.normalize("NFC", str(seed)).lower().split())
    if not 0 < len(text) <= LONGEST or not text.isprintable():
        raise given.refusal()
    return text


class Chance:
    """Random choices that are the same everywhere for a seed and the words that tell one question from another.

    >>> Chance("monday", "heel", 1).pick("spam") == Chance(" Monday", "heel", 1).pick("spam")
    True
    """

    def __init__(self, seed: object, *more: object) -> None:
        text = "|".join([seed_text(seed), *map(str, more)])
        self._next = Random(int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")).random

    def pick(self, row: Sequence[Value]) -> Value:
        """One item of a row, by the next random number."""
        return row[int(self._next() * len(row))]

    def of(self, name: str) -> Any:
        """One of a row of ``RANGES``, in that input's unit."""
        return self.pick(RANGES[name])

    def shuffle(self, row: Sequence[Value]) -> list[Value]:
        """The row in a random order."""
        keyed = sorted((self._next(), i) for i in range(len(row)))
        return [row[i] for _, i in keyed]


def gable(chance: Chance) -> Gable:
    """Random gable: span, pitch, walls and overhang."""
    span, pitch, bearing, overhang, plate = (
        chance.of(name) for name in ("span", "pitch", "bearing", "overhang", "plate_height")
    )
    return Gable(span, pitch, bearing, overhang, plate, window_head=82.0)


def seat_for(chance: Chance, house: Gable, size: str) -> float:
    """Random seat on the plate, in, whose notch stays within a quarter of the depth."""
    bearing, m = house.walls(0.0)[0].bearing, house.slopes[0]
    longest = min(bearing, float(geo.seat_at_notch(end_notch_limit(dressed_size(size)[1]), m)))
    return chance.pick([seat for seat in RANGES["seat"] if seat <= longest])


def rafters(chance: Chance) -> RafterBay:
    """Random rafter bay, its planes hung from the heel as it is handed over."""
    house, size = gable(chance), chance.of("rafter")
    return RafterBay(house, size, seat_for(chance, house, size), chance.of("ridge"), rounded=True)


def truss(chance: Chance, state: str = "", plate: float = 0.0) -> ScissorBay:
    """Random scissor bay that takes a rafter's heel, or one in a given state of the heel.

    InputError where the chords do not part.
    """
    house, chord, bottom = gable(chance), chance.of("chord"), chance.of("chord")
    pitch, m = 12 * house.slopes[0], house.slopes[0]
    ceiling = round(2 * pitch * chance.of("ceiling")) / 2
    if state:
        heel = heel_in(chance, state, float(geo.minimum_heel(dressed_size(chord)[1], m)), float(
            geo.plumb_depth(dressed_size(chord)[1], m) + geo.plumb_depth(dressed_size(bottom)[1], ceiling / 12)
            - ceiling / 12 * house.walls(0.0)[0].bearing))  # fmt: skip
    else:
        size = chance.of("rafter")
        heel = sixteenth(float(geo.heel(dressed_size(size)[1], m, seat_for(chance, house, size))))
    return ScissorBay(house, ceiling, heel, chord, bottom, plate)


def heel_in(chance: Chance, state: str, least: float, raised: float) -> float:
    """Random heel, in, well inside a state: some sixteenths below the least, between both, or above the second."""
    step = chance.pick(range(3, 33)) / 16
    if state == "standard":
        return sixteenth(least + (raised - least) * chance.pick((0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)))
    return sixteenth(least - step if state == "below minimum" else max(least, raised) + step)


def jog_of_chance(chance: Chance, eave: str = "straight", by: float | None = None) -> WallJog:
    """A truss with one wall set in under its planes (``by`` below 0: out).  InputError where that cannot be."""
    bay = truss(chance)
    return jog(bay, chance.of("jog") if by is None else by, chance.of("moved_bearing"), eave=eave)
