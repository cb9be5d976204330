"""Mistakes with the heights of a room under a sloped ceiling and of the window in its gable wall.

Which of them are usual is common practice of teaching, no source.
"""

from __future__ import annotations

from rooflab.base import geometry as geo
from rooflab.base.lumber import WIDTHS
from rooflab.base.rows import Symbols

from .loads import Wrong

CORNERS = ("corner_l", "corner_r", "window_head")
HEIGHTS = (*CORNERS, "mid_height")


def _other_face(s: Symbols) -> Symbols:
    """The ceiling line begun at the other face of its wall."""
    return {f"start_{side}": 0.0 if s[f"start_{side}"] else s[f"bearing_{side}"] for side in "lr"}


def _unstretched(name: str, s: Symbols) -> Symbols:
    """A thickness square to the ceiling taken for a plumb one."""
    return {name: s[name] / float(geo.stretch(s["c_l"]))}


def _nominal(s: Symbols) -> Symbols:
    sizes = {dressed: float(nominal) for nominal, dressed in WIDTHS.items()}
    return {"header": sizes[s["header"]]} if s["header"] in sizes else {}


ROOM_SLIPS: tuple[Wrong, ...] = (
    Wrong(
        "half width forgotten",
        "That fits the ceiling over the window's middle: its corner stands half of the width to the side, and lower.",
        lambda s: {"window": 0.0},
        None,
        CORNERS,
    ),
    Wrong(
        "whole width for half",
        "That fits the whole width of the window taken off: half of it stands on either side of the middle.",
        lambda s: {"window": 2 * s["window"]},
        None,
        CORNERS,
    ),
    Wrong(
        "other face",
        "That fits a rise from the other face of the wall: its width comes off, or not, as the ceiling line begins.",
        _other_face,
        None,
        HEIGHTS,
    ),
    Wrong(
        "plate not stretched",
        "That fits the raked plate taken square to its slope: plumb it takes more, rake·k(c).",
        lambda s: _unstretched("rake", s),
        None,
        CORNERS,
    ),
    Wrong(
        "raked plate forgotten",
        "That fits the ceiling line itself: the raked plate lies under it and comes off.",
        lambda s: {"rake": 0.0},
        None,
        CORNERS,
    ),
    Wrong(
        "header nominal",
        "That fits the header's nominal depth: planed, a 2x10 is 9 1/4 in deep, a 2x8 7 1/4.",
        _nominal,
        None,
        ("window_head",),
    ),
    Wrong(
        "header forgotten",
        "That fits a window without its header: it stands between raked plate and casing.",
        lambda s: {"header": 0.0},
        None,
        ("window_head",),
    ),
    Wrong(
        "casing forgotten",
        "That fits the underside of the header: the casing under it comes off too.",
        lambda s: {"casing": 0.0},
        None,
        ("window_head",),
    ),
    Wrong(
        "finish forgotten",
        "That fits the ceiling line: the finish hangs below it, by its thickness times k(c).",
        lambda s: {"finish": 0.0},
        None,
        ("mid_height",),
    ),
    Wrong(
        "whole width climbed",
        "That fits a ceiling that climbs over the whole room: from the middle on it comes down again.",
        None,
        lambda value, s: s["low_l"] + s["c_l"] * s["inside"],
        ("mid_height",),
    ),
    Wrong(
        "plate for floor",
        "That fits a height above the plate: it is asked from the floor, so add the plate's own height.",
        None,
        lambda value, s: value - s["plate_l"],
        HEIGHTS,
    ),
    Wrong(
        "ceiling pitch upside down",
        "That fits the ceiling pitch upside down: it is rise over run, inches of rise over 12.",
        lambda s: {name: 1 / s[name] for name in ("c_l", "c_r") if s[name]},
        None,
        HEIGHTS,
    ),
)
