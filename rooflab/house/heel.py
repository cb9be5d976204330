"""Worked backward: the seat, depth or pitch that gives a heel."""

from __future__ import annotations

from typing import Any

from rooflab.base import geometry as geo
from rooflab.base.inputs import INPUTS, Length, stop_on
from rooflab.base.measure import feet_inches


def _read_inputs(**values: Any) -> tuple[float, ...]:
    problems: list[str] = []
    read = tuple(INPUTS[name].read(value, problems) for name, value in values.items())
    stop_on(problems)
    return read


def seat_for_heel(heel: Length, depth: Length, pitch: Any) -> float:
    """Seat, in, that gives a heel on a rafter of this depth and pitch.  InputError where no seat of 0 or more can.

    >>> seat_for_heel("8 5/8", 11.25, 9)
    7.25
    """
    tall, deep, m = _read_inputs(heel=heel, depth=depth, pitch=pitch)
    seat = float(geo.seat_from(tall, deep, m / 12))
    if seat < 0:
        most = feet_inches(float(geo.plumb_depth(deep, m / 12)))
        stop_on([f"Heel {feet_inches(tall)}: no seat gives it; at most the plumb depth, {most} (a seat of 0)."])
    return seat


def depth_for_heel(heel: Length, seat: Length, pitch: Any) -> float:
    """Rafter depth, in, that gives a heel on this seat and pitch.

    >>> depth_for_heel("8 5/8", 7.25, 9)
    11.25
    """
    tall, level, m = _read_inputs(heel=heel, seat=seat, pitch=pitch)
    return float(geo.depth_from(tall, level, m / 12))


def pitch_for_heel(heel: Length, depth: Length, seat: Length) -> tuple[float, ...]:
    """Pitches, inches in 12, at which this depth and seat give the heel: none, one or two.

    >>> [round(p, 6) for p in pitch_for_heel("8 5/8", 11.25, 7.25)]
    [9.0, 11.280405]
    """
    tall, deep, level = _read_inputs(heel=heel, depth=depth, seat=seat)
    return tuple(12 * m for m in geo.slopes_from(tall, deep, level))
