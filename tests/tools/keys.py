"""What a key touches in a placed picture, measured with shapely."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from shapely import STRtree
from shapely.geometry import LineString, Polygon, box

from rooflab.draw.placing import Box
from rooflab.draw.scene import Layout, Shape, Stroke

KEY = "key "  # the names of its parts begin so


def key_parts(placed: Layout) -> list[Shape | Stroke]:
    return [part for part in placed.parts if part.name.startswith(KEY)]


def key_box(placed: Layout) -> Box:
    """The box around the parts of a key."""
    xs, ys = zip(*(point for part in key_parts(placed) for point in part.points), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@lru_cache(8)
def _standing(placed: Layout) -> tuple[STRtree, list[str]]:
    """What stands in a layout but its key, and the names of it all."""
    forms, names = [], []
    for part in placed.parts:
        closed = isinstance(part, Shape) and len(part.points) > 2  # else a line, also one between two points of a shape
        form: Any = Polygon(part.points) if closed else LineString(part.points)
        if not part.name.startswith(KEY):
            forms.append(form if form.is_valid else form.boundary)
            names.append(part.name)
    forms += [box(*label.box) for label in placed.labels]
    return STRtree(forms), names + [label.text for label in placed.labels]


def met_by(placed: Layout, around: Box) -> list[str]:
    """What of a layout but its key lies in a box or around it: texts, members and lines."""
    tree, names = _standing(placed)
    return [names[i] for i in tree.query(box(*around), predicate="intersects")]


def lit_halves(placed: Layout) -> dict[str, str]:
    """The halves of bays that are not pale in a key, each with its style."""
    shapes = [part for part in key_parts(placed) if isinstance(part, Shape)]
    return {one.name.removeprefix(KEY): one.style for one in shapes if not one.style.startswith("pale")}
