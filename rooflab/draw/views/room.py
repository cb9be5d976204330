"""The gable wall of the room seen from inside: the window as high as raked plate, header and casing let it be."""

from __future__ import annotations

from rooflab.base import geometry as geo
from rooflab.base.inputs import must_be, pair
from rooflab.base.measure import feet_inches
from rooflab.draw.scene import Dim, Scene, Shape, Slope, Stroke, Title
from rooflab.job.option import OptionResult

from .parts import rectangle_shape, rise_text

TALLEST, LOWEST = 60.0, 6.0  # of the window as it is drawn, and its sill above the floor, in


def gable_wall(made: OptionResult) -> Scene:
    """The wall between the inside faces of both walls, up to the ceiling line, with the highest window in it.

    The window's height is only drawn: what is worked out is its head.  InputError for anything but a solved option.

    >>> from rooflab.job.jobfile import example
    >>> from rooflab.job.option import Option, solve_option
    >>> gable_wall(solve_option(Option("one"), example())).titles[0].text
    'GABLE WALL  window 6\\'-0" wide'
    """
    must_be(made, OptionResult, "Option", "an option worked out")
    bay, v = made.scissor, made.room.all
    floor = pair(bay.gable.plate_height)[0]
    first, last = (end.wall.inside(end.bearing) for end in bay.ends)
    apex = bay.left.wall.inside(bay.left.apex)

    def ceiling(x: float) -> float:
        return bay.ceiling_at(x) + floor

    def rake(x: float) -> float:
        slope = v["c_l"] if x <= apex else v["c_r"]
        return ceiling(x) - float(geo.plumb_depth(v["rake"], slope))

    upper = [(x, ceiling(x)) for x in (first, apex, last)]
    lower = [(first, rake(first)), (apex, min(rake(apex), rake(apex + 1e-9))), (last, rake(last))]
    shapes = [
        Shape("gable wall", ((first, 0.0), *lower, (last, 0.0)), "wall"),
        Shape("raked plate", (*upper, *reversed(lower)), "board"),
    ]
    dims = [
        Dim("width", f"{feet_inches(v['inside'])} inside", (first, 0.0), (last, 0.0), "bottom", 2),
        Dim("mid-room", f"mid-room {feet_inches(v['mid_height'])}", ((first + last) / 2, 0.0),
            ((first + last) / 2, v["mid_height"]), "right", 2),
        Dim("wall", feet_inches(v["low_r"]), (last, 0.0), (last, v["low_r"]), "right", 1),
    ]  # fmt: skip
    head, wide = v["window_head"], v["window"]
    x0, x1 = apex - wide / 2, apex + wide / 2
    if head > LOWEST:
        corner = head + v["header"] + v["casing"]
        sill = max(head - TALLEST, LOWEST)
        shapes += [rectangle_shape("header", x0, head + v["casing"], x1, corner, "rafter"),
                   rectangle_shape("window", x0, sill, x1, head, "lens")]  # fmt: skip
        if v["casing"]:
            shapes.append(rectangle_shape("casing", x0, head, x1, head + v["casing"], "wedge"))
        dims += [
            Dim("window width", feet_inches(wide), (x0, 0.0), (x1, 0.0), "bottom", 1),
            Dim("window head", f"head {feet_inches(head)}", (first, 0.0), (x0, head), "left", 1),
        ]
    finish = (first, v["low_l"]), (first + v["top_x"], v["top"]), (last, v["low_r"])
    floor_line = (first - 12.0, 0.0), (last + 12.0, 0.0)
    strokes = Stroke("floor", floor_line, "mark"), Stroke("finished ceiling", finish, "ceiling")
    pitch = Slope("ceiling pitch", rise_text(v['c_r']), upper[1], -v["c_r"], True, upper[2])
    told = feet_inches(head) if head > 0 else "no room for one"
    return Scene(
        "Gable wall of the room, seen from inside",
        f"Window {feet_inches(wide)} wide, its head at most {told}: under the raked plate at its top corners, less "
        f"header and casing. Ceiling at mid-room {feet_inches(v['mid_height'])} to the finish.",
        tuple(shapes), strokes, tuple(dims), (pitch,),
        (Title("what", f"GABLE WALL  window {feet_inches(wide)} wide", "left"),),
        tuple(dim.name for dim in dims),
    )  # fmt: skip
