"""Mistakes with the heights of a room under a sloped ceiling and of the window in its gable wall."""

from __future__ import annotations

from rooflab.base import geometry as geo
from rooflab.base.rows import Symbols

from .common import Mistake, each, fixed, inverse, nominal, scale

CORNERS = ("corner_l", "corner_r", "window_head")
HEIGHTS = (*CORNERS, "mid_height")


def _other_face(s: Symbols) -> Symbols:
    """The ceiling line begun at the other face of its wall."""
    return {f"start_{side}": 0.0 if s[f"start_{side}"] else s[f"bearing_{side}"] for side in "lr"}


def _square_for_plumb(name: str, s: Symbols) -> Symbols:
    """A thickness square to the ceiling taken for a plumb one."""
    return {name: s[name] / float(geo.stretch(s["c_l"]))}


ROOM_MISTAKES: tuple[Mistake, ...] = (
    Mistake(
        "half width forgotten",
        "That fits the ceiling over the window's middle: its corner stands half of the width to the side, and lower.",
        fixed(0.0, "window"),
        only=CORNERS,
    ),
    Mistake(
        "whole width for half",
        "That fits the whole width of the window taken off: half of it stands on either side of the middle.",
        scale(2.0, "window"),
        only=CORNERS,
    ),
    Mistake(
        "other face",
        "That fits a rise from the other face of the wall: its width comes off, or not, as the ceiling line begins.",
        _other_face,
        only=HEIGHTS,
    ),
    Mistake(
        "plate not stretched",
        "That fits the raked plate taken square to its slope: plumb it takes more, rake·k(c).",
        lambda s: _square_for_plumb("rake", s),
        only=CORNERS,
    ),
    Mistake(
        "raked plate forgotten",
        "That fits the ceiling line itself: the raked plate lies under it and comes off.",
        fixed(0.0, "rake"),
        only=CORNERS,
    ),
    Mistake(
        "header nominal",
        "That fits the header's nominal depth: planed, a 2x10 is 9 1/4 in deep, a 2x8 7 1/4.",
        nominal("header"),
        only=("window_head",),
    ),
    Mistake(
        "header forgotten",
        "That fits a window without its header: it stands between raked plate and casing.",
        fixed(0.0, "header"),
        only=("window_head",),
    ),
    Mistake(
        "casing forgotten",
        "That fits the underside of the header: the casing under it comes off too.",
        fixed(0.0, "casing"),
        only=("window_head",),
    ),
    Mistake(
        "finish forgotten",
        "That fits the ceiling line: the finish hangs below it, by its thickness times k(c).",
        fixed(0.0, "finish"),
        only=("mid_height",),
    ),
    Mistake(
        "whole width climbed",
        "That fits a ceiling that climbs over the whole room: from the middle on it comes down again.",
        result=lambda value, s: s["low_l"] + s["c_l"] * s["inside"],
        only=("mid_height",),
    ),
    Mistake(
        "plate for floor",
        "That fits a height above the plate: it is asked from the floor, so add the plate's own height.",
        result=lambda value, s: value - s["plate_l"],
        only=HEIGHTS,
    ),
    Mistake(
        "ceiling pitch upside down",
        "That fits the ceiling pitch upside down: it is rise over run, inches of rise over 12.",
        each(inverse, "c_l", "c_r"),
        only=HEIGHTS,
    ),
)
