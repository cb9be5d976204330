"""What the room under the scissor trusses gains: heights to the finish, volume, the window in the gable wall, studs.

Heights count from the floor, widths lie between the inside faces of the walls.  The ceiling line is the underside of
the chords; the finished ceiling lies gypsum and furring below it, measured plumb.  Each end has its own line, ``_l``
the left one's and ``_r`` the right one's, so unequal plates and pitches are no special case.

Functions take numbers or arrays and use only + - x /, the square root and the lesser or greater of two.
Units: lengths in, areas sq ft, volumes cu ft; slopes are rise over run.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rooflab.base import geometry as geo
from rooflab.base.geometry import Number
from rooflab.base.inputs import Input, Length, must_be, pair, stop_on
from rooflab.base.lumber import stock_to_buy
from rooflab.base.measure import feet_inches
from rooflab.base.rows import Reading, Rows

from .bays import ScissorBay
from .jog import FINISH, PLATES

ROOM_INPUTS: dict[str, Input] = {
    row.name: row
    for row in (
        Input("room_length", "Room length", "length", 24, 1200, 6, 240.0),
        Input("window_width", "Gable window, width", "length", 12, 480, 1, 72.0),
        Input("header", "Window header, depth", "length", 0, 24, 0.25, 9.25),
        Input("casing", "Casing over the window", "length", 0, 12, 0.25, 3.5),
        Input("raked_plate", "Raked plate of the gable wall", "length", 0, 6, 0.25, 3.0),
    )
}
"""What the room asks beyond ``INPUTS``; the raked plate's thickness is square to its slope, two 2x are 3 in."""


# --- formulas --------------------------------------------------------------------------------------------------------


def line_above(plate: Number, slope: Number, inward: Number, start: Number) -> Number:
    """The ceiling line above the floor, ``inward`` in from the outside face, plate + c (inward - start), in.

    >>> line_above(97.0, 0.5, 105.5, 5.5)
    147.0
    """
    return plate + slope * (inward - start)


def under_finish(line: Number, finish: Number, slope: Number) -> Number:
    """The finished ceiling under a point of the ceiling line, line - finish k(c), in.

    >>> float(under_finish(100.0, 0.8, 0.75))
    99.0
    """
    return line - geo.plumb_depth(finish, slope)


def apex_in_room(inside: Number, left: Number, right: Number, low_left: Number, low_right: Number) -> Number:
    """Where the finished ceiling is highest, in from the left wall's inside face, in; never beyond the walls.

    Under a level ceiling it is the middle.

    >>> float(apex_in_room(288.0, 0.5, 0.25, 96.0, 96.0)), float(apex_in_room(288.0, 0.0, 0.0, 96.0, 96.0))
    (96.0, 144.0)
    """
    level = left + right == 0
    meet = geo.ridge_x(inside, np.where(level, 1.0, left), np.where(level, 1.0, right), low_right - low_left)
    return np.minimum(np.maximum(meet, 0.0), inside)


def ceiling_over(x: Number, inside: Number, left: Number, right: Number, low_left: Number, low_right: Number) -> Number:
    """Height of the finished ceiling ``x`` in from the left wall's inside face: the lower of its two lines, in.

    >>> float(ceiling_over(96.0, 288.0, 0.5, 0.25, 96.0, 96.0))
    144.0
    """
    return np.minimum(low_left + left * x, low_right + right * (inside - x))


def area_under(apex: Number, inside: Number, low_left: Number, low_right: Number, top: Number) -> Number:
    """Area of the room's section, two trapezoids that meet under the apex, in².

    >>> area_under(96.0, 288.0, 96.0, 96.0, 144.0)
    34560.0
    """
    return apex * (low_left + top) / 2 + (inside - apex) * (low_right + top) / 2


def cubic_feet(area: Number, length: Number) -> Number:
    """Volume of a section of ``area`` in² over a length in inches, cu ft."""
    return area * length / 1728


def flat_area(inside: Number, plate_left: Number, plate_right: Number, finish: Number) -> Number:
    """Section of the room under a flat ceiling on the lower of the two plates, its finish below it, in².

    >>> float(flat_area(288.0, 96.5, 108.5, 0.5))
    27648.0
    """
    return inside * (np.minimum(plate_left, plate_right) - finish)


def under_rake(plate: Number, slope: Number, apex: Number, start: Number, width: Number, rake: Number) -> Number:
    """Underside of the raked plate over one top corner of a window centered under the apex, above the floor, in.

    The ceiling line over the corner less the raked plate, measured plumb:
    plate + c (apex - width / 2 - start) - rake k(c).

    >>> float(under_rake(97.0, 0.75, 147.5, 5.5, 72.0, 3.2))
    172.5
    """
    return line_above(plate, slope, apex - width / 2, start) - geo.plumb_depth(rake, slope)


def _room_row(name: str, label: str, unit: str, formula: str, function: Callable[..., Number], args: str) -> Reading:
    return Reading(name, label, unit, "room", formula, function, args)


SIDES = (("l", "left"), ("r", "right"))

ROOM: tuple[Reading, ...] = (
    _room_row(
        "inside", "Room width, inside", "in", "wide − bearing_l − bearing_r",
        lambda wide, left, right: wide - left - right, "wide bearing_l bearing_r",
    ),
    *(
        _room_row(
            f"low_{s}", f"Finished ceiling at the {side} wall", "in",
            f"plate_{s} + c_{s}·(bearing_{s} − start_{s}) − finish·k(c_{s})",
            lambda plate, c, bearing, start, t: under_finish(line_above(plate, c, bearing, start), t, c),
            f"plate_{s} c_{s} bearing_{s} start_{s} finish",
        )
        for s, side in SIDES
    ),
    _room_row(
        "top_x", "Highest point, from the left wall", "in",
        "min(max((inside·c_r + low_r − low_l) ÷ (c_l + c_r), 0), inside)", apex_in_room, "inside c_l c_r low_l low_r",
    ),
    _room_row(
        "top", "Highest point of the finished ceiling", "in",
        "min(low_l + c_l·top_x, low_r + c_r·(inside − top_x))", ceiling_over, "top_x inside c_l c_r low_l low_r",
    ),
    _room_row(
        "mid_height", "Ceiling at mid-room, to the finish", "in",
        "min(low_l + c_l·inside ÷ 2, low_r + c_r·inside ÷ 2)",
        lambda inside, left, right, low_l, low_r: ceiling_over(inside / 2, inside, left, right, low_l, low_r),
        "inside c_l c_r low_l low_r",
    ),
    _room_row(
        "volume", "Room volume", "cu ft",
        "(top_x·(low_l + top) ÷ 2 + (inside − top_x)·(low_r + top) ÷ 2)·length ÷ 1728",
        lambda x, inside, low_l, low_r, top, length: cubic_feet(area_under(x, inside, low_l, low_r, top), length),
        "top_x inside low_l low_r top length",
    ),
    _room_row(
        "flat_volume", "Room volume under a flat ceiling", "cu ft",
        "inside·(min(plate_l, plate_r) − finish)·length ÷ 1728",
        lambda inside, left, right, t, length: cubic_feet(flat_area(inside, left, right, t), length),
        "inside plate_l plate_r finish length",
    ),
    _room_row(
        "gain", "Gain over a flat ceiling", "cu ft", "volume − flat_volume", lambda volume, flat: volume - flat,
        "volume flat_volume",
    ),
    *(
        _room_row(
            f"corner_{s}", f"Under the raked plate, {side} corner", "in",
            f"plate_{s} + c_{s}·(apex_{s} − window ÷ 2 − start_{s}) − rake·k(c_{s})", under_rake,
            f"plate_{s} c_{s} apex_{s} start_{s} window rake",
        )
        for s, side in SIDES
    ),
    _room_row(
        "window_head", "Window head, at most", "in", "min(corner_l, corner_r) − header − casing",
        lambda left, right, header, casing: np.minimum(left, right) - header - casing,
        "corner_l corner_r header casing",
    ),
    _room_row(
        "widest_window", "Widest window", "in", "2·min(apex_l − bearing_l, apex_r − bearing_r)",
        lambda apex_l, bearing_l, apex_r, bearing_r: 2 * np.minimum(apex_l - bearing_l, apex_r - bearing_r),
        "apex_l bearing_l apex_r bearing_r",
    ),
    *(
        _room_row(f"stud_{s}", f"Stud of the {side} wall", "in", f"plate_{s} − plates",
             lambda plate, plates: plate - plates, f"plate_{s} plates")
        for s, side in SIDES
    ),
)  # fmt: skip
"""Readings of the room, each from those above it.

Wanted, for one house or arrays of houses: wide (out to out), finish (gypsum and furring together, square to the
ceiling), length, window (its width), rake, header, casing, plates (one bottom and two top plates, 4 1/2), and for each
end plate (top of plate above the floor), c (slope of the ceiling line), bearing, start (where the ceiling line leaves
the plate) and apex (its highest point), the last three in from the outside face.

``window_head``: the window stands under the apex, its top corners as far under the ceiling line as raked plate
(plumb), header and casing take.  Left out: how far the header runs past the corners on its studs.
"""

STOCK = Reading(
    "stock_to_buy", "Stock to buy", "in", "room", "stock_length, then the next even foot", stock_to_buy, "stock_length"
)  # fmt: skip
"""Length of board to buy for a rafter of ``stock_length``; 0 where it is longer than common stock (24 ft)."""


# --- one house -------------------------------------------------------------------------------------------------------


def room_symbols(
    bay: ScissorBay,
    finish: tuple[float, float] | None = None,
    room_length: Length = 240.0,
    window_width: Length = 72.0,
    header: Length = 9.25,
    casing: Length = 3.5,
    raked_plate: Length = 3.0,
) -> dict[str, float]:
    """The symbols of ``ROOM`` for one bay.  InputError with every problem."""
    must_be(bay, ScissorBay, "Scissor bay")
    given = {"room_length": room_length, "window_width": window_width, "header": header, "casing": casing,
             "raked_plate": raked_plate}  # fmt: skip
    problems: list[str] = []
    read = {name: ROOM_INPUTS[name].read(value, problems) for name, value in given.items()}
    stop_on(problems)
    floor = pair(bay.gable.plate_height)[0]
    made = {
        "wide": bay.right.wall.x - bay.left.wall.x, "finish": float(sum(finish or FINISH)), "plates": PLATES,
        "length": read["room_length"], "window": read["window_width"], "rake": read["raked_plate"],
        "header": read["header"], "casing": read["casing"],
    }  # fmt: skip
    for s, end in zip("lr", bay.ends, strict=True):
        assert end.ceiling is not None
        made |= {f"plate_{s}": floor + end.plate, f"c_{s}": abs(end.ceiling.slope), f"bearing_{s}": end.bearing,
                 f"start_{s}": end.start, f"apex_{s}": end.apex}  # fmt: skip
    return made


def room_of(bay: ScissorBay, finish: tuple[float, float] | None = None, **given: Length) -> Rows:
    """The room's readings, values by ``all`` and each with its reasoning by ``worked(name)``.

    ``finish`` is (gypsum, furring), in; ``given`` takes the names of ``ROOM_INPUTS``.  InputError with every problem,
    also for a window wider than the room and a ceiling that would begin below the floor.

    >>> from rooflab import Gable
    >>> made = room_of(ScissorBay(Gable("25'", 9, 6, 0, 96.5), 6, 16), (0, 0), room_length=120)  # 24 ft wide inside
    >>> made.all["mid_height"], made.all["gain"], made.all["stud_l"]  # 96.5 + 72; 24 x 6 / 2 x 10
    (168.5, 720.0, 92.0)
    """
    made = Rows(ROOM, room_symbols(bay, finish, **given), "room", 1 / 16)
    v, problems = made.all, list[str]()
    for s, side in SIDES:
        low = min(v[f"low_{s}"], v[f"plate_{s}"] - v["finish"])
        if low <= 0:
            said = f"at the {side} wall the finished ceiling would lie {feet_inches(-low)} below the floor"
            problems.append(f"{_plate_words(bay)}: {said}; it must stand above it.")
    if v["window"] > v["widest_window"]:
        label, most = ROOM_INPUTS["window_width"].label, feet_inches(v["widest_window"])
        problems.append(
            f"{label} {feet_inches(v['window'])}: at most {most}, twice from under the apex to the nearer wall."
        )
    stop_on(problems)
    return made


def _plate_words(bay: ScissorBay) -> str:
    heights = dict.fromkeys(feet_inches(pair(bay.gable.plate_height)[0] + end.plate) for end in bay.ends)
    return f"Plate above floor {' and '.join(heights)}"
