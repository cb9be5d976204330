"""The type ``Mistake``, how a mistake changes symbols, and the mistakes that are made with more than one subject.

A mistake is said to *fit*, never to *be* what happened, and its sentence never gives the answer.  Which are usual is
common practice of teaching, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from rooflab.base import geometry as geo
from rooflab.base.lumber import WIDTHS
from rooflab.base.rows import Symbols

Change = Callable[[Symbols], Symbols]


class Mistake(NamedTuple):
    """A mistake: its name, what to say, and what it does to a reading, in one of three ways.

    ``change`` gives the symbols it changes; ``how`` is another formula in the place of the right one, a text with
    ``{f}`` for the right one, or what turns the right text into the wrong one ("": it cannot happen there); ``result``
    makes the wrong number of the right one and all symbols.  ``only`` names the readings it can happen to ("heel", or
    "jog.heel" for one bay's alone), empty: any that it changes; ``but`` not those.  ``when`` says for which symbols and
    right value it applies; a change that changes nothing does not.  ``acts`` is how it may show on a returned drawing:
    on the "inputs", so that all is drawn with it; on one "item" alone; "either"; or "" never.
    """

    name: str
    sentence: str
    change: Change | None = None
    result: Callable[[float, Symbols], float] | None = None
    only: tuple[str, ...] = ()
    acts: str = ""
    how: str | Callable[[str], str] = ""
    when: Callable[[Symbols, float], bool] | None = None
    but: tuple[str, ...] = ()


def each(to: Callable[[float], float], *names: str) -> Change:
    """The change that puts ``to`` of its value in place of each of these symbols that is there and not 0."""
    return lambda s: {name: to(s[name]) for name in names if s.get(name)}


def scale(by: float, *names: str) -> Change:
    """The change that multiplies each of these symbols that is there."""
    return lambda s: {name: by * s[name] for name in names if name in s}


def fixed(value: float, *names: str) -> Change:
    """The change that puts a value in the place of each of these symbols that is there."""
    return lambda s: {name: value for name in names if name in s}


def nominal(*names: str) -> Change:
    """The change that takes a size by its name, 2x10 for 10 in, in the place of the dressed depth."""
    sizes = {dressed: float(size) for size, dressed in WIDTHS.items()}
    return lambda s: {name: sizes[s[name]] for name in names if s.get(name) in sizes}


def inverse(value: float) -> float:
    """One over a number."""
    return 1 / value


SLOPES = ("m", "c")  # of the roof, of the ceiling

UPSIDE_DOWN = Mistake(
    "pitch upside down",
    "That fits the slope upside down: it is rise over run, inches of rise over 12.",
    each(inverse, *SLOPES),
)
NOT_DIVIDED = Mistake(
    "pitch not divided by 12",
    "That fits the pitch used as it stands: divide inches of rise by 12 of run first.",
    each(lambda slope: 12 * slope, *SLOPES),
)
CEILING_LEFT_OUT = Mistake(
    "ceiling left out",
    "That fits a level ceiling: this one climbs too, and takes away from the difference of the slopes.",
    fixed(0.0, "c"), only=("top_chord", "bottom_chord", "clear_inside", "r_inside", "growth"),
)  # fmt: skip
SPAN_FOR_RUN = Mistake(
    "span for run",
    "That fits the whole span where the run to the ridge is wanted: half of it.",
    scale(2.0, "l", "r", "L"),
)
NO_RIDGE_BOARD = Mistake(
    "ridge board left out",
    "That fits no ridge board: half of it comes off the run, measured level.",
    fixed(0.0, "t"),
)
WHOLE_RIDGE_BOARD = Mistake(
    "whole ridge board",
    "That fits the whole ridge board taken off: each rafter gives way to half of it.",
    scale(2.0, "t"),
)

GENERAL: tuple[Mistake, ...] = (
    # --- slopes
    Mistake(
        "slope not stretched",
        "That fits a dead load used as it lies: on the horizontal projection it is k(m) times as much.",
        lambda s: {"dead": s["dead"] / geo.stretch(s["m"])} if "dead" in s else {},
    ),
    Mistake(
        "divided by the stretch",
        "That fits dividing by the stretch: a foot of plan carries more than a foot of slope, so multiply by k(m).",
        lambda s: {"dead": s["dead"] / geo.stretch(s["m"]) ** 2} if "dead" in s else {},
    ),
    Mistake(
        "everything stretched",
        "That fits live load or snow stretched as well: it is already given on the horizontal projection.",
        lambda s: {"live": s["live"] * geo.stretch(s["m"])} if "dead" in s and s.get("live") else {},
    ),
    UPSIDE_DOWN,
    NOT_DIVIDED,
    CEILING_LEFT_OUT,
    # --- spans, spacings, depths
    SPAN_FOR_RUN,
    Mistake(
        "run for span",
        "That fits half of the length: here both runs together count, the whole of what spans.",
        scale(0.5, "l", "r", "L"),
    ),
    Mistake(
        "spacing in inches",
        "That fits a spacing left in inches: loads are for each foot, so divide it by 12.",
        scale(12.0, "s"),
    ),
    Mistake(
        "spacing left out",
        "That fits a strip one foot wide: each rafter carries a strip as wide as the spacing, in feet.",
        fixed(12.0, "s"),
    ),
    Mistake(
        "nominal size",
        "That fits the nominal size: planed, a 2x is 1 1/2 in thick, and a 2x10 9 1/4 in deep.",
        lambda s: nominal("D")(s) | ({"b": 2.0} if s.get("b") == 1.5 else {}),
    ),
    # --- loads
    Mistake("dead left out", "That fits the dead load left out: it is always there.", fixed(0.0, "dead")),
    Mistake("live left out", "That fits live load or snow left out.", fixed(0.0, "live")),
    Mistake(
        "inches for feet",
        "That fits a length in inches where feet were meant, or the other way round.",
        result=lambda value, s: 12 * value,
        only=("thrust", "ridge_load", "moment", "post"),
    ),
)
"""The mistakes of every subject whose numbers are judged to one part in a hundred."""
