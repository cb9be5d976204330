"""Formulas of rafter and scissor geometry, for one value or for arrays.

Every function takes numbers or numpy arrays that broadcast, lengths in inches and slopes as rise over run (8 in 12
is 8/12), and uses only + - x / and the square root: one value and a million then agree bit for bit.
Nothing is checked here; ``house`` checks what people type.  Names: ``depth`` is the member's dressed depth, square to
its edge; ``seat`` the level cut on the plate; *plumb* is vertical, *square* is at right angles to the edge.
"""

from __future__ import annotations

from math import atan, degrees
from typing import overload

import numpy as np
from numpy.typing import NDArray

Number = float | NDArray[np.float64]
"""One value or an array of them: what a formula takes and gives; an array where one of its arguments is one."""

Truth = bool | np.bool_ | NDArray[np.bool_]
"""One answer to a question, or an array of them."""


@overload
def stretch(slope: float) -> float: ...
@overload
def stretch(slope: Number) -> Number: ...
def stretch(slope: Number) -> Number:
    """Length along the slope for one of level run, k(s) = sqrt(1 + s^2).

    The framing square's "length per foot of run", over 12 (NAVEDTRA 14044, ch. 2).

    >>> float(12 * stretch(5 / 12))
    13.0
    """
    return np.sqrt(1 + slope * slope)


def angle(slope: Number) -> Number:
    """Slope as an angle from level, degrees; for reading only, nothing is computed from it.

    >>> angle(1.0)
    45.0
    """
    if np.ndim(slope):
        return np.array([degrees(atan(s)) for s in np.ravel(slope)]).reshape(np.shape(slope))
    return degrees(atan(slope))


@overload
def plumb_depth(depth: float, slope: float) -> float: ...
@overload
def plumb_depth(depth: Number, slope: Number) -> Number: ...
def plumb_depth(depth: Number, slope: Number) -> Number:
    """Depth of a sloping member measured plumb, D k(m), in.

    >>> float(plumb_depth(11.25, 9 / 12))
    14.0625
    """
    return depth * stretch(slope)


def heel(depth: Number, slope: Number, seat: Number) -> Number:
    """Heel height D k(m) - m seat, in: top of plate to the rafter's top edge, plumb, at the outside face of framing.

    It exists only while the birdsmouth leaves wood: notch < depth.

    >>> float(heel(11.25, 9 / 12, 7.25))
    8.625
    """
    return plumb_depth(depth, slope) - slope * seat


def birdsmouth_plumb(slope: Number, seat: Number) -> Number:
    """Length of the birdsmouth's heel cut, plumb, m seat, in."""
    return slope * seat


def notch(slope: Number, seat: Number) -> Number:
    """Depth of the birdsmouth square to the edge, m seat / k(m), in.

    >>> float(notch(0.75, 5.0))
    3.0
    """
    return slope * seat / stretch(slope)


def ratio(part: Number, whole: Number) -> Number:
    """A part over its whole, without unit, such as the notch over the depth."""
    return part / whole


def line_length(run: Number, slope: Number) -> Number:
    """Length along the slope of a level run, run k(m), in; also the tail's length for its projection.

    >>> float(line_length(96, 9 / 12))
    120.0
    """
    return run * stretch(slope)


def ridge_shortening(ridge: Number, slope: Number) -> Number:
    """Length that half a ridge board takes off along the slope, (t/2) k(m), in; level it is t/2 (14044 fig. 2-19)."""
    return ridge / 2 * stretch(slope)


def cut_length(run: Number, ridge: Number, overhang: Number, slope: Number) -> Number:
    """Length of a rafter along its top edge, from the plumb cut at the ridge board to the one at the tail, in."""
    return (run - ridge / 2 + overhang) * stretch(slope)


def plumb_shift(depth: Number, slope: Number) -> Number:
    """How far a plumb line runs along a sloping member while it goes ``depth`` into it, square to the edge: D m, in.

    >>> plumb_shift(9.25, 9 / 12)
    6.9375
    """
    return depth * slope


def stock_length(cut: Number, depth: Number, slope: Number) -> Number:
    """Length of the stick needed for two parallel plumb cuts, cut length + D m, in."""
    return cut + plumb_shift(depth, slope)


def height(heel: Number, slope: Number, run: Number) -> Number:
    """Height of the top edge above the plate at a run from the outside face, heel + m run, in."""
    return heel + slope * run


def drop(height: Number, slope: Number, out: Number) -> Number:
    """Height of a falling line a level distance further out, height - m out, in."""
    return height - slope * out


def underside(top: Number, depth: Number, slope: Number) -> Number:
    """Height of a sloping member's underside, plumb below a point of its top edge, in."""
    return top - plumb_depth(depth, slope)


@overload
def sixteenths(x: NDArray[np.float64]) -> NDArray[np.float64]: ...
@overload
def sixteenths(x: Number) -> Number: ...
def sixteenths(x: Number) -> Number:
    """Lengths to the nearest 1/16 in as ``measure.sixteenth`` rounds one: ties away from zero, never -0.0.

    >>> float(sixteenths(51.28125)), sixteenths(np.array([-51.28125, -0.01])).tolist()
    (51.3125, [-51.3125, 0.0])
    """
    count = np.floor(16 * np.abs(x) + 0.5 + 1e-6)
    return np.where(np.less(x, 0), -count, count) / 16 + 0.0


def ridge_x(span: Number, slope_left: Number, slope_right: Number, right_higher: Number) -> Number:
    """Distance of the ridge, where two roof lines meet, in from the left outside face, in.

    ``right_higher`` is the right line's height at its wall less the left one's at its own (0 for equal ends).

    >>> float(ridge_x(336, 7 / 12, 7 / 12, 18)) - 168   # d / (2m)
    15.428571428571416
    """
    total = slope_left + slope_right
    return span * (slope_right / total) + right_higher / total


def ceiling_rise(slope: Number, apex: Number, start: Number) -> Number:
    """Rise of the ceiling line from where it leaves the plate to its apex, c (apex - start), in.

    >>> float(ceiling_rise(4.5 / 12, 144, 7.25))
    51.28125
    """
    return slope * (apex - start)


def space_outside(heel: Number, top: Number, slope: Number, bottom: Number, ceiling: Number, start: Number) -> Number:
    """Plumb space between the chords at the outside face, heel - dt k(m) - db k(c) + c start, in; below 0 they overlap.

    ``start`` is where the ceiling line leaves the plate, in from the outside face.
    """
    return heel - plumb_depth(top, slope) - plumb_depth(bottom, ceiling) + ceiling * start


def space_further_in(space: Number, slope: Number, ceiling: Number, distance: Number) -> Number:
    """Plumb space between the chords a level distance further in, space + (m - c) distance, in."""
    return space + (slope - ceiling) * distance


def plate_rise(ceiling: Number, jog: Number, start_new: Number, start: Number) -> Number:
    """How much higher a wall's plate stands when the wall is set in by ``jog`` under one ceiling line, in.

    c (j + start' - start): ``start`` and ``start_new`` are where the line leaves the old and the new plate, in from
    each wall's own outside face (their bearings, or 0 and 0).

    >>> plate_rise(0.25, 24.0, 3.5, 5.5)
    5.5
    """
    return ceiling * (jog + start_new - start)


BUTT_CUT = 0.25


def minimum_heel(depth: Number, slope: Number) -> Number:
    """Lowest heel at which a top chord bears, dt k(m) + 1/4 in butt cut, in (common shop practice, from memory).

    >>> float(minimum_heel(3.5, 9 / 12))
    4.625
    """
    return plumb_depth(depth, slope) + BUTT_CUT


def square_to(plumb: Number, slope: Number) -> Number:
    """A plumb distance between parallel lines, measured square to them, plumb / k(m), in."""
    return plumb / stretch(slope)


def level_cut(step: Number, slope: Number) -> Number:
    """Length of the level cut that takes a plumb ``step`` off a tail's underside, step / m, in."""
    return step / slope


def seat_from(heel: Number, depth: Number, slope: Number) -> Number:
    """Seat that gives a heel, (D k(m) - heel) / m, in.

    >>> float(seat_from(8.625, 11.25, 9 / 12))
    7.25
    """
    return (plumb_depth(depth, slope) - heel) / slope


def depth_from(heel: Number, seat: Number, slope: Number) -> Number:
    """Depth that gives a heel, (heel + m seat) / k(m), in."""
    return (heel + slope * seat) / stretch(slope)


def seat_at_notch(notch: Number, slope: Number) -> Number:
    """Longest seat whose birdsmouth is no deeper than ``notch`` square to the edge, notch k(m) / m, in."""
    return notch * stretch(slope) / slope


def slopes_from(heel: float, depth: float, seat: float) -> tuple[float, ...]:
    """Slopes (rise over run) that give a heel: none, one or two (one value only).

    From D^2 (1 + m^2) = (heel + m seat)^2, keeping m > 0; the roots are written so that they keep their digits where
    depth and seat are nearly equal, and the lowest heel of all, where both fall together, is not lost to rounding.
    """
    rest, across = (depth - heel) * (depth + heel), (depth - seat) * (depth + seat)
    under = seat * seat - rest
    if under < -1e-12 * depth * depth:
        return ()
    both = heel * seat + depth * float(np.sqrt(max(under, 0.0)))
    found = ([rest / both] if both else []) + ([both / across] if across else [])
    return tuple(sorted({m for m in found if m > 0}))
