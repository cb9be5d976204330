"""The key beside a section: the roof from above in small, and which halves of which bays the section shows.

Two half sections that meet at the ridge are halves of two bays, one behind the other, and no house with rafters on one
slope: the key says so.  How long the bays are is not what it says, so all are of one length here.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from string import ascii_uppercase

from rooflab.draw.prisms import View
from rooflab.draw.scene import Point, Scene, Shape, Stroke
from rooflab.house.bays import RafterBay, ScissorBay

FROM = View(-16.0, 42.0)  # from so high that both slopes show, the left one at the left
DEEP, ALL_DEEP = 0.5, 1.5  # a bay along the ridge, and all together at the most, by the width of the house
LOW = 54.0  # of the walls, in
RAFTERS = "rafters"
NAMES = (RAFTERS, *ascii_uppercase)  # of bays: the rafters, then the types of trusses
Half = tuple[str, str]
"""A bay's name, and "left" or "right" of its ridge."""
HALVES: tuple[Half, ...] = ((RAFTERS, "left"), ("A", "right"))
"""What two half sections that meet at the ridge show."""
EAVES: tuple[Half, ...] = ((RAFTERS, "left"), ("A", "left"))
"""What both bays' left eaves are parts of."""


def both_halves(*names: str) -> tuple[Half, ...]:
    """Both halves of bays: what whole sections show.

    >>> both_halves("A")
    (('A', 'left'), ('A', 'right'))
    """
    return tuple((name, side) for name in names for side in ("left", "right"))


@lru_cache(64)
def key_scene(lit: tuple[Half, ...], *bays: RafterBay | ScissorBay) -> Scene:
    """The roof of bays behind each other, the rafters first: ``lit`` halves have their colors, and a line where they
    are cut; from a half to another bay's other half that steps along the ridge.

    A picture that knows one bay alone gives it for its neighbor too, whose roof is the same plane.
    """
    walls = [end.wall for bay in bays for end in bay.ends]
    low, deep = min(wall.plate for wall in walls) - LOW, (walls[1].x - walls[0].x) * min(DEEP, ALL_DEEP / len(bays))
    shapes: list[Shape] = []
    cuts: dict[Half, tuple[Point, Point]] = {}
    for i, (name, bay) in reversed([*enumerate(zip(NAMES, bays, strict=False))]):
        near, far = i * deep, (i + 1) * deep
        feet = [(end.wall.x, low) for end in bay.ends]
        tops = [(x, end.roof.at(x)) for (x, _), end in zip(feet, bay.ends, strict=True)]
        gable = feet[0], tops[0], bay.peak, tops[1], feet[1]
        shapes.append(Shape("gable", tuple([_seen(p, near) for p in gable]), "pale"))
        shapes.append(Shape("left wall", _plane(feet[0], tops[0], near, far), "pale"))
        for end in (bay.right, bay.left):
            x, half = end.wall.inside(-end.overhang), (name, end.wall.side)
            eave = x, end.roof.at(x)
            style = "pale" if half not in lit else "slim rafter" if name == RAFTERS else "slim truss"
            shapes.append(Shape(f"{name} {end.wall.side}", _plane(eave, bay.peak, near, far), style))
            middle = (near + far) / 2
            cuts[half] = _seen(eave, middle), _seen(bay.peak, middle)
    strokes = [Stroke("cut", cuts[half], "full") for half in lit]
    if len(lit) == 2 and all(a != b for a, b in zip(*lit, strict=True)):
        strokes.append(Stroke("cut along the ridge", (cuts[lit[0]][1], cuts[lit[1]][1]), "full"))
    told = f"Key: the roof from above; the section shows {_words(lit, len(bays) > 2)}."
    return Scene("Key", told, tuple(shapes), tuple(strokes))


def _seen(p: Point, z: float) -> Point:
    return FROM.at(p[0], p[1], z)


def _plane(p: Point, q: Point, near: float, far: float) -> tuple[Point, ...]:
    """What runs along the ridge between two points of a section, as it is seen."""
    return _seen(p, near), _seen(q, near), _seen(q, far), _seen(p, far)


def _words(lit: Sequence[Half], several: bool) -> str:
    said = []
    for name in dict.fromkeys(name for name, _ in lit):
        sides = [side for one, side in lit if one == name]
        kind = RAFTERS if name == RAFTERS else f"trusses {name}" if several else "trusses"
        said.append(f"{'both halves' if len(sides) > 1 else f'the {sides[0]} half'} of the {kind}")
    return " and ".join(said)
