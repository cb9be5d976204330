"""Lumber by name and by size.

A 2x10 is not 2 by 10: the name is the nominal size, the board is dressed (planed) to 1 1/2 by 9 1/4. Heels, seats and
cuts come from the dressed size, so the name is turned into inches here and nowhere else. A size says nothing about
strength; grades and spans are another matter, for the code, the tables and the engineer.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

import numpy as np

from .measure import InputValue, inches

__all__ = [
    "CHORDS", "RAFTERS", "RIDGES", "THICKNESSES", "WIDTHS", "stock_to_buy", "dressed_size", "stock_at_least",
    "board_length",
]  # fmt: skip

THICKNESSES: dict[int, float] = {1: 0.75, 2: 1.5}
"""Nominal thickness -> dressed thickness, in. Source: PS 20, American Softwood Lumber Standard (dry)."""

WIDTHS: dict[int, float] = {4: 3.5, 6: 5.5, 8: 7.25, 10: 9.25, 12: 11.25}
"""Nominal width -> dressed width, in. Source: PS 20, American Softwood Lumber Standard (dry)."""

RAFTERS: tuple[str, ...] = ("2x4", "2x6", "2x8", "2x10", "2x12")
"""Names offered for a rafter, shallowest first (common practice, no source)."""

CHORDS: tuple[str, ...] = ("2x4", "2x6", "2x8")
"""Names offered for a truss chord, shallowest first (common practice, no source)."""

RIDGES: tuple[str, ...] = ("1x6", "1x8", "1x10", "1x12", "2x6", "2x8", "2x10", "2x12")
"""Names offered for a ridge board, thin ones first (common practice, no source)."""

_ALLOWED = (
    "1x or 2x by 4, 6, 8, 10 or 12 (as in 2x10), or measured stock with its fractions, decimals or inch marks "
    "(as in 1 3/4 x 11 7/8)"
)
_SLACK = 1e-9  # in: float dust, so that a need computed as 9.2500000000001 is still a 2x10
_STEP, _SHORTEST, _LONGEST = 24.0, 96.0, 288.0  # in: two-foot steps from 8 ft to 24 ft


def dressed_size(text: object, what: str = "lumber") -> tuple[float, float]:
    """Thickness and depth of a piece of lumber, in inches, from its name or its measured size.

    Two bare whole numbers are a nominal size (`2x10`, `2 x 10`, any of x, X or the times sign) and become the dressed
    size of PS 20. A size with a fraction, a decimal point or an inch mark is measured or engineered stock and is taken
    at its word: `1 3/4 x 11 7/8`, `1.5 x 9.25`, `2" x 10"`. Where one number is measured and the other is a bare
    nominal one (`1 1/2 x 10`), nobody can tell which is meant: refused; `1 3/4 x 14` is clear, for 14 is no nominal
    width here.

    Result: (thickness, depth), both above 0. InputError for anything else, `what` naming the piece.

    >>> dressed_size("2x10"), dressed_size("1 3/4 x 11 7/8")
    ((1.5, 9.25), (1.75, 11.875))
    """
    if not isinstance(text, str):
        raise InputValue(text, what, "size known here", _ALLOWED).refusal()
    return _size_of_text(text, what)


@lru_cache(256)
def _size_of_text(text: str, what: str) -> tuple[float, float]:
    given = InputValue(text, what, "size known here", _ALLOWED)
    parts = [part.strip() for part in re.split("[x\u00d7]", given.plain())]
    if len(parts) != 2 or not all(parts):
        raise given.refusal()
    thick, wide = (int(part) if re.fullmatch("[0-9]+", part) else None for part in parts)  # None: measured
    if thick is not None and wide is not None:
        if thick not in THICKNESSES or wide not in WIDTHS:
            raise given.refusal()
        return THICKNESSES[thick], WIDTHS[wide]
    if thick in THICKNESSES or wide in WIDTHS:
        measured = 'both measured, whole inches with their mark (as in 1 1/2 x 10")'
        raise given.refusal(f"mixes a nominal and a measured size; give a name (as in 2x10) or {measured}")
    thickness, depth = inches(parts[0], f"{what} thickness"), inches(parts[1], f"{what} depth")
    if min(thickness, depth) <= 0:
        raise given.refusal("is no size; thickness and depth must be above 0")
    return thickness, depth


def stock_at_least(depth: object) -> str | None:
    """The shallowest 2x whose dressed depth is at least `depth`, or None when even a 2x12 is too shallow.

    `depth` is in inches, square to the edge (anything `inches` takes, and the same InputError).

    >>> stock_at_least(7.25), stock_at_least("7 5/16"), stock_at_least(12)
    ('2x8', '2x10', None)
    """
    least = inches(depth, "depth") - _SLACK
    return next((name for name in RAFTERS if dressed_size(name)[1] >= least), None)


def stock_to_buy(needed: Any) -> Any:
    """Length of board to buy for pieces of ``needed`` inches, one or an array; 0 is longer than common stock.

    >>> float(stock_to_buy(169.0)), float(stock_to_buy(289.0))
    (192.0, 0.0)
    """
    stock = np.maximum(np.ceil((needed - _SLACK) / _STEP) * _STEP, _SHORTEST)
    return np.where(stock <= _LONGEST, stock, 0.0)


def board_length(needed: object) -> float | None:
    """The length of board to buy, in inches: the next even foot, from 8 ft to 24 ft; None is longer than common stock.

    Lumber is sold in two-foot steps (common practice, no source); a yard may stop at 20 ft. `needed` is the whole
    length of the piece in inches, above 0 (anything `inches` takes, and the same InputError).

    >>> board_length("14'-1\\""), board_length("6'"), board_length("24'-1\\"")
    (192.0, 96.0, None)
    """
    length = inches(needed, "length needed")
    if length <= 0:
        raise InputValue(needed, "length needed", "length", "").refusal("is no length to buy; it must be above 0")
    return float(stock_to_buy(length)) or None
