"""Small pictures of what can be chosen: how the ceiling starts, what holds the rafters, a truss with or without webs.

Each is a handful of outlines and lines in a box 28 wide and 16 high, in the styles of the large pictures.  They stand
beside their word and say nothing of their own.
"""

from __future__ import annotations

from collections.abc import Sequence

from rooflab.draw.scene import STYLES

WIDE, TALL = 28, 16
Points = Sequence[tuple[float, float]]

ROOF: Points = ((1, 3), (14, 14), (27, 3))
WALLS: tuple[tuple[str, Points], ...] = (("wall", ((3, 0), (3, 4))), ("wall", ((25, 0), (25, 4))))
HALF: Points = ((1, 3), (27, 14))
JOG: tuple[str, Points] = ("wall", ((1, 6), (14, 6), (14, 2), (27, 2)))
POST: tuple[str, Points] = ("wall", ((6, 0), (10, 0), (10, 6), (6, 6), (6, 0)))
TRUSS: tuple[tuple[str, Points], ...] = (("truss line", ROOF), ("truss line", ((3, 4), (14, 8), (25, 4))))

STEEP: tuple[str, Points] = ("plane", ((1, 5), (27, 15.5)))  # the roof over a wall that is set in


def _set_in(top: float, ceiling: Points, *more: tuple[str, Points]) -> tuple[tuple[str, Points], ...]:
    """The roof, the set-in wall as high as its plate, the ceiling, and what else is there."""
    return (STEEP, ("wall", ((9, 0), (9, top))), ("full", ceiling), *more)


PICTURES: dict[tuple[str, str], tuple[tuple[str, Points], ...]] = {
    ("ridge", "none"): (("rafter line", ROOF),),
    ("hook", "ridge"): (("rafter line", HALF), ("push", ((27, 16), (27, 10)))),
    ("hook", "tail"): (("rafter line", HALF), ("push", ((1, 7), (1, 0)))),
    ("ceiling_from", "inside"): (POST, ("full", ((10, 6), (27, 12)))),
    ("ceiling_from", "outside"): (POST, ("full", ((6, 6), (27, 13)))),
    ("apex", "equal pitches"): (("plane", ROOF), ("full", ((3, 3), (17, 9), (26, 5)))),
    ("apex", "under ridge"): (("plane", ROOF), ("full", ((3, 3), (14, 9), (26, 5)))),
    ("eave", "straight"): (JOG, ("board", ((1, 12), (27, 12)))),
    ("eave", "stepped"): (JOG, ("board", ((1, 14), (14, 14), (14, 9), (27, 9)))),
    ("way", "move plate"): _set_in(4.5, ((9, 4.5), (27, 9.5))),
    ("way", "block up"): _set_in(1.5, ((9, 4.5), (27, 9.5)), ("push", ((9, 2.5), (9, 4.5)))),
    ("way", "new ceiling"): _set_in(1.5, ((9, 1.5), (27, 6.5)), ("guide", ((4, 3), (27, 9.5)))),
    ("way", "same heel"): _set_in(6.5, ((9, 6.5), (27, 11.5)), ("guide", ((4, 3), (27, 9.5)))),
    ("way", "beam"): _set_in(2.0, ((3, 2.8), (27, 9.5)), ("push", ((3, 0.5), (3, 2.8)))),
    ("bearing", "slides"): (*TRUSS, ("push", ((19, 1), (27, 1)))),
    ("bearing", "fixed"): (*TRUSS, ("push", ((22, 1), (28, 1))), ("push", ((25, 4), (25, 1)))),
    ("form", "king post"): (*TRUSS, ("truss line", ((14, 8), (14, 14)))),
    ("form", "webbed"): (*TRUSS, ("truss line", ((7, 8), (9, 6), (14, 14), (19, 6), (21, 8)))),
    ("place", "ridge"): (("rafter line", ROOF), ("push", ((14, 9), (14, 16)))),
    ("place", "mid-slope"): (("rafter line", ROOF), ("push", ((7.5, 4), (7.5, 12)))),
    ("hold", "tie"): (("rafter line", ROOF), *WALLS, ("full", ((3, 5), (25, 5)))),
    ("hold", "ridge beam"): (("rafter line", ROOF), *WALLS, ("full", ((14, 13), (14, 0)))),
    ("hold", "nothing"): (("rafter line", ROOF), *WALLS),
    ("rafter_ceiling", "attached"): (("rafter line", ((1, 5), (27, 15))), ("full", ((1, 1), (27, 11)))),
    ("rafter_ceiling", "none"): (("rafter line", ((1, 5), (27, 15))),),
}  # fmt: skip


def choice_svg(control: str, choice: str) -> str:
    """The picture of a choice as SVG text, hidden from who listens; "" where its word says all.

    >>> choice_svg("chord", "2x4"), choice_svg("hold", "nothing").count("<path")
    ('', 3)
    """
    parts = PICTURES.get((control, choice), ())
    lines = [
        f'<path fill="none" stroke="{STYLES[style].line}" stroke-width="{min(STYLES[style].width, 2):g}" '
        f'd="M{" ".join(f"{x:g},{TALL - y:g}" for x, y in points)}"/>'
        for style, points in parts
    ]
    frame = f'viewBox="-1 -1 {WIDE + 2} {TALL + 2}" width="{WIDE + 2}" height="{TALL + 2}" aria-hidden="true"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {frame}>{"".join(lines)}</svg>' if lines else ""
