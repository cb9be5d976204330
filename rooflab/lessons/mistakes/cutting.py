"""Mistakes in cutting the rafter, at the tape and at the square; those with a rafter's numbers are made here too."""

from __future__ import annotations

from rooflab.base.rows import Symbols

from .common import NO_RIDGE_BOARD, WHOLE_RIDGE_BOARD, Mistake

ON_TAPE = ("building_line", "corner", "seat_end")  # marks on a tape hooked at the ridge cut


def _has_ridge_board(symbols: Symbols, value: float) -> bool:
    return bool(symbols["t"] > 0)


CUT_MISTAKES: tuple[Mistake, ...] = (
    NO_RIDGE_BOARD._replace(
        sentence="That fits a tape from the ridge line: half the board comes off first, measured level.", only=ON_TAPE,
    ),
    WHOLE_RIDGE_BOARD._replace(
        sentence="That fits the whole ridge board: each rafter gives way to half of it.", only=(*ON_TAPE, "shortening"),
    ),
    Mistake(
        "board along the edge",
        "That fits half the board taken off along the edge: it is measured level, so take it off the run.",
        only=("building_line",), how="run·k(m) − t ÷ 2", when=_has_ridge_board,
    ),
    Mistake(
        "tail counted in",
        "That fits the whole rafter, to its tail: the building line is over the wall's outside face.",
        only=("building_line",), how="(run − t ÷ 2 + o)·k(m)",
    ),
    Mistake(
        "shortening along the edge",
        "That fits the shortening along the edge: measured level it is just half the board.",
        only=("shortening",), how="t ÷ 2·k(m)", when=_has_ridge_board,
    ),
    Mistake(
        "plumb for square",
        "That fits the building line's own mark: its plumb line runs toward the tail, and the corner is further on.",
        only=("corner",), how="(run − t ÷ 2)·k(m)",
    ),
    Mistake(
        "whole plumb line",
        "That fits the foot of the plumb line on the bottom edge: the corner is only a heel down that line.",
        only=("corner",), how="(run − t ÷ 2)·k(m) + D·m",
    ),
    Mistake(
        "bottom edge for top edge",
        "That fits the tape on the bottom edge: squared up to the top edge it stands D·m further on.",
        only=("seat_end",), how="(run − t ÷ 2 − seat)·k(m)",
    ),
    Mistake(
        "seat along the edge",
        "That fits the seat taken off along the edge: it is level, so take it off the run.",
        only=("seat_end",), how="(run − t ÷ 2)·k(m) − seat + D·m",
    ),
    Mistake(
        "rise and run added", "That fits rise and run added: the step is the third side of their triangle.",
        only=("step",), how="12 + 12·m",
    ),
    Mistake(
        "rise for step", "That fits the rise of one step: along the edge it is longer.", only=("step",), how="12·m"
    ),
    Mistake(
        "other cut's angle", "That fits the other cut: plumb cuts stand so far off square, the seat the rest of 90.",
        only=("plumb_angle", "seat_angle"), how="90 − {f}",
    ),
)  # fmt: skip
