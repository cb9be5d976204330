"""What views put together their scenes from: rectangles, parts moved or mirrored, a rise in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rooflab.draw.members import Part
from rooflab.draw.scene import Point, Shape


def rectangle(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    """The four corners of an upright rectangle, from x0, y0 on."""
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def rectangle_shape(name: str, x0: float, y0: float, x1: float, y1: float, style: str) -> Shape:
    """An upright rectangle as a shape."""
    return Shape(name, rectangle(x0, y0, x1, y1), style)


def move(parts: Iterable[Part], x: float, y: float = 0.0) -> list[Part]:
    """The parts ``x`` to the right and ``y`` up, in."""
    return [part._replace(points=tuple([(px + x, py + y) for px, py in part.points])) for part in parts]


def mirror(parts: Iterable[Part], x: float) -> list[Part]:
    """The parts seen from the other side: what stood at 0 stands at ``x``, what stood to its right to its left."""
    return [part._replace(points=tuple([(x - px, py) for px, py in part.points])) for part in parts]


def rise_text(slope: float) -> str:
    """The rise of a slope mark: inches in 12.

    >>> rise_text(-2 / 3), rise_text(4.5 / 12)
    ('8', '4.5')
    """
    return f"{round(12 * abs(slope), 4):g}"


TIMES = (1, 2, 4, 10, 20, 40)


def times_larger(most: float, room: float, allowed: Sequence[int] = TIMES) -> int:
    """How many times as large a movement is drawn: the largest round number at which ``most`` still fits ``room``.

    0 where it does not fit as it is.  The steps are wide, so that the number changes rarely.

    >>> times_larger(0.7, 19.5), times_larger(0.9, 19.5), times_larger(20.0, 19.5)
    (20, 20, 0)
    """
    return max((times for times in allowed if times * most <= room), default=0)
