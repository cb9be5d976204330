"""Readings of the two bays and the jog: every dimension on every drawing, one row each.

A row names the formula's function and shows its text.  Whoever adds a reading adds one row.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rooflab.base import geometry as geo
from rooflab.base.geometry import Number
from rooflab.base.rows import Reading, find_row


def _height_above_low(heel: Number, slope: Number, run: Number, up: Number) -> Number:
    return geo.height(heel, slope, run) + up


def _apex_rise(slope: Number, apex: Number, start: Number, up: Number) -> Number:
    return geo.ceiling_rise(slope, apex, start) + up


def _depth_at_peak(heel: Number, slope: Number, run: Number, up: Number, ceiling: Number) -> Number:
    return _height_above_low(heel, slope, run, up) - ceiling


def _tail_underside(heel: Number, slope: Number, out: Number, depth: Number) -> Number:
    return geo.underside(geo.drop(heel, slope, out), depth, slope)


def _space_inside(
    heel: Number, top: Number, m: Number, bottom: Number, c: Number, start: Number, bearing: Number
) -> Number:
    return geo.space_further_in(geo.space_outside(heel, top, m, bottom, c, start), m, c, bearing)


def _short_heel(heel: Number, m: Number, j: Number, c: Number, start_new: Number, start: Number) -> Number:
    return geo.height(heel, m, j) - geo.plate_rise(c, j, start_new, start)


def heel_state(
    heel: Number, top: Number, m: Number, bottom: Number, c: Number, start: Number
) -> str | NDArray[np.str_]:
    """What stands at the heel: "below minimum" (no chord can bear), "standard" or "raised"; numbers or arrays."""
    bears = np.where(geo.space_outside(heel, top, m, bottom, c, start) < 0, "standard", "raised")
    state = np.where(heel < geo.minimum_heel(top, m) - 1e-9, "below minimum", bears)
    return state if state.ndim else str(state)


def _top(name: str, bay: str, depth: str) -> tuple[Reading, ...]:
    """Rows that both bays read alike, each from its own member."""
    return (
        Reading("tail_top", "Top of tail", "in", bay, "heel − m·o", geo.drop, "heel m o"),
        Reading(
            "tail_underside", "Underside of tail", "in", bay, f"heel − m·o − {depth}·k(m)", _tail_underside,
            f"heel m o {depth}",
        ),
        Reading("run", "Run to the ridge line", "in", bay, "run", lambda run: run, "run"),
        Reading("angle", "Angle of the roof", "degrees", bay, "arctan(m)", geo.angle, "m"),
    )  # fmt: skip


READINGS: tuple[Reading, ...] = (
    Reading("heel", "Heel height", "in", "rafter", "D·k(m) − m·seat", geo.heel, "D m seat"),
    Reading("plumb_depth", "Plumb depth", "in", "rafter", "D·k(m)", geo.plumb_depth, "D m"),
    Reading("birdsmouth_plumb", "Heel cut", "in", "rafter", "m·seat", geo.birdsmouth_plumb, "m seat"),
    Reading("notch_depth", "Notch, square to the edge", "in", "rafter", "m·seat ÷ k(m)", geo.notch, "m seat"),
    Reading(
        "notch_ratio", "Notch of the depth", "", "rafter", "m·seat ÷ k(m) ÷ D",
        lambda m, seat, depth: geo.ratio(geo.notch(m, seat), depth), "m seat D",
    ),
    Reading("line_length", "Line length", "in", "rafter", "run·k(m)", geo.line_length, "run m"),
    Reading("ridge_shortening", "Ridge shortening", "in", "rafter", "t ÷ 2·k(m)", geo.ridge_shortening, "t m"),
    Reading("cut_length", "Cut length", "in", "rafter", "(run − t ÷ 2 + o)·k(m)", geo.cut_length, "run t o m"),
    Reading(
        "stock_length", "Stock needed", "in", "rafter", "(run − t ÷ 2 + o)·k(m) + D·m",
        lambda run, t, o, m, depth: geo.stock_length(geo.cut_length(run, t, o, m), depth, m), "run t o m D",
    ),
    Reading("peak_height", "Peak of the roof lines", "in", "rafter", "heel + m·run", geo.height, "heel m run"),
    Reading(
        "ridge_top", "Top of the ridge board", "in", "rafter", "heel + m·(run − t ÷ 2)",
        lambda heel, m, run, t: geo.height(heel, m, run - t / 2), "heel m run t",
    ),
    *_top("rafter", "rafter", "D"),
    Reading("heel", "Heel height", "in", "scissor", "roof − plate", lambda roof, plate: roof - plate, "roof plate"),
    Reading("height", "Overall height", "in", "scissor", "heel + m·run[ + up]", _height_above_low, "heel m run up"),
    Reading("ceiling_rise", "Ceiling rise", "in", "scissor", "c·(apex − start)[ + up]", _apex_rise, "c apex start up"),
    Reading(
        "depth_at_peak", "Depth at the peak", "in", "scissor", "heel + m·run[ + up] − ceiling", _depth_at_peak,
        "heel m run up ceiling",
    ),
    *_top("scissor", "scissor", "d_t"),
    Reading("minimum_heel", "Minimum heel", "in", "scissor", "d_t·k(m) + 1 ÷ 4", geo.minimum_heel, "d_t m"),
    Reading(
        "space_outside", "Space between chords, outside face", "in", "scissor",
        "heel − d_t·k(m) − d_b·k(c) + c·start", geo.space_outside, "heel d_t m d_b c start",
    ),
    Reading(
        "space_inside", "Space between chords, inside face", "in", "scissor",
        "heel − d_t·k(m) − d_b·k(c) + c·start + (m − c)·bearing", _space_inside, "heel d_t m d_b c start bearing",
    ),
    Reading(
        "heel_state", "State of the heel", "", "scissor",
        "signs of heel − (d_t·k(m) + 1 ÷ 4) and of heel − d_t·k(m) − d_b·k(c) + c·start",
        heel_state, "heel d_t m d_b c start",
    ),
    Reading(
        "rise", "Plate of the moved wall", "in", "jog", "c·(j + start_new − start)", geo.plate_rise,
        "c j start_new start",
    ),
    Reading(
        "heel", "Heel of the short truss", "in", "jog", "heel + m·j − c·(j + start_new − start)", _short_heel,
        "heel m j c start_new start",
    ),
    Reading(
        "stud", "Stud of the moved wall", "in", "jog", "stud + c·(j + start_new − start)",
        lambda stud, c, j, start_new, start: stud + geo.plate_rise(c, j, start_new, start), "stud c j start_new start",
    ),
    Reading("run", "Run of the short truss", "in", "jog", "run − j", lambda run, j: run - j, "run j"),
    Reading(
        "ceiling_break", "Break with the long heel", "in", "jog", "m·j − c·(j + start_new − start)",
        lambda m, j, c, start_new, start: m * j - geo.plate_rise(c, j, start_new, start), "m j c start_new start",
    ),
    Reading(
        "fascia_step", "Fascia of the moved wall", "in", "jog", "m·(j + o − o_new)",
        lambda m, j, o, o_new: m * (j + o - o_new), "m j o o_new",
    ),
)  # fmt: skip


def rows_of(bay: str) -> tuple[Reading, ...]:
    """The readings of a "rafter" bay, a "scissor" bay or a "jog"."""
    return tuple(row for row in READINGS if row.bay == bay)


def reading_of(bay: str, name: str) -> Reading:
    """The row of a reading of one bay.  InputError for a name that the bay does not have."""
    return find_row(rows_of(bay), name, f"Reading of a {bay} bay")


class RafterReadings:
    """Readings of a rafter bay's left end as its attributes, in; the angle in degrees."""

    heel: float
    plumb_depth: float
    birdsmouth_plumb: float
    notch_depth: float
    notch_ratio: float  # notch over depth
    line_length: float
    ridge_shortening: float
    cut_length: float
    stock_length: float
    peak_height: float
    ridge_top: float
    tail_top: float
    tail_underside: float
    run: float
    angle: float


class ScissorReadings:
    """Readings of a scissor bay's left end as its attributes, in; the angle in degrees."""

    heel: float
    height: float
    ceiling_rise: float
    depth_at_peak: float
    tail_top: float
    tail_underside: float
    run: float
    angle: float
    minimum_heel: float
    space_outside: float
    space_inside: float
    heel_state: str  # "below minimum", "standard" or "raised"


class JogReadings:
    """Readings of a moved wall and its short truss as attributes, in."""

    rise: float
    heel: float
    stud: float
    run: float
    ceiling_break: float
    fascia_step: float
