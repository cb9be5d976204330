"""Solids and a depth buffer: what is seen of prisms along the ridge, found pixel by pixel without any order.

Nothing here uses how the package turns, orders or picks faces: every face of every solid is drawn, the nearest one wins
at the middle of each pixel, and the picture that was painted is drawn into the same pixels to compare.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, cos, floor, radians, sin
from typing import Any

import numpy as np

from rooflab.draw.prisms import Stretch
from rooflab.draw.scene import Point, Shape

Array = Any  # of numpy
Member = tuple[str, float, float]
"""A name, and where it begins and ends along the ridge, in."""
WIDE = 400  # of the longer side of a picture, px
CELLS = 1e4  # of the table in which faces are looked up, an inch
HAIR = 1e-6  # in: less than that is no distance


def camera(turn: float, up: float) -> Array:
    """The matrix from across, up and along the ridge to right, up and near in the picture.

    Who looks stands before the left gable end, walks ``turn`` degrees around the house toward the right wall, and then
    rises ``up`` degrees over the level, or sinks; worked as one rotation after the other.
    """
    a, e = radians(turn), radians(up)
    before = np.array([[1.0, 0, 0], [0, 1, 0], [0, 0, -1]])
    walk = np.array([[cos(a), 0, sin(a)], [0, 1, 0], [-sin(a), 0, cos(a)]])
    rise = np.array([[1, 0, 0], [0, cos(e), -sin(e)], [0, sin(e), cos(e)]])
    return rise @ before @ walk


def padded(faces: Sequence[Sequence[Sequence[float]]]) -> Array:
    """Faces in one array: those with fewer corners have their last one again."""
    most = max(len(face) for face in faces)
    return np.array([[*face, *[face[-1]] * (most - len(face))] for face in faces])


class Solids:
    """The members of stretches as closed solids: their faces with corners, normals and whose they are."""

    def __init__(self, stretches: Iterable[Stretch]) -> None:
        faces: list[list[tuple[float, float, float]]] = []
        normals: list[tuple[float, float, float]] = []
        owners: list[int] = []
        numbers: dict[Member, int] = {}
        for prism in (one for stretch in stretches for one in stretch.prisms if len(one.piece.points) > 2):
            outline = prism.piece.points
            edges = [*zip(outline, (*outline[1:], *outline[:1]), strict=True)]
            for z0, z1 in prism.spans:
                faces += [[(*p, z0), (*q, z0), (*q, z1), (*p, z1)] for p, q in edges]
                normals += [(q[1] - p[1], p[0] - q[0], 0.0) for p, q in edges]
                faces += [[(*p, z) for p in outline] for z in (z0, z1)]
                normals += [(0.0, 0.0, -1.0), (0.0, 0.0, 1.0)]
                owners += [numbers.setdefault((prism.name, z0, z1), len(numbers))] * (len(edges) + 2)
        self.members: list[Member] = [*numbers]
        self.sizes = np.array([len(face) for face in faces])
        self.corners, self.normals, self.owners = padded(faces), np.array(normals), np.array(owners)


def counted(low: Array, high: Array) -> tuple[Array, Array]:
    """For ranges of whole numbers, ``high`` left out: of which range each number is, and the number."""
    counts = np.maximum(high - low, 0)
    which = np.repeat(np.arange(len(counts)), counts)
    return which, np.arange(len(which)) + np.repeat(low - (np.cumsum(counts) - counts), counts)


def whole(x: Array) -> Array:
    """The first column or row whose middle does not lie before ``x``, in px."""
    return np.ceil(x - 0.5).astype(int)


def filled(polygons: Array) -> tuple[Array, Array, Array]:
    """The pixels whose middles lie in each convex polygon, in px: which polygon, column and row."""
    low, high = (whole(found) for found in (polygons[:, :, 1].min(1), polygons[:, :, 1].max(1)))
    which, row = counted(low, high)
    first = np.cumsum(high - low) - high  # of the rows of all polygons, that of row 0 of each
    ends = np.stack([polygons, np.roll(polygons, -1, 1)], 2).reshape(-1, 2, 2)
    edge, at = counted(whole(ends[:, :, 1].min(1)), whole(ends[:, :, 1].max(1)))
    (x0, y0), (x1, y1) = ends[edge, 0].T, ends[edge, 1].T
    x = x0 + (at + 0.5 - y0) * (x1 - x0) / (y1 - y0)
    place = first[edge // polygons.shape[1]] + at
    left, right = np.full(len(row), np.inf), np.full(len(row), -np.inf)
    np.minimum.at(left, place, x)
    np.maximum.at(right, place, x)
    line, column = counted(whole(left), whole(right))
    return which[line], column, row[line]


class Seen:
    """Solids seen from a direction, in pixels."""

    def __init__(self, solids: Solids, turn: float, up: float) -> None:
        self.solids, matrix = solids, camera(turn, up)
        self.corners, self.normals = solids.corners @ matrix.T, solids.normals @ matrix.T  # right, up and near, in
        low, high = self.corners[:, :, :2].min((0, 1)), self.corners[:, :, :2].max((0, 1))
        self.scale = WIDE / max(high - low)
        self.low = low - np.array([0.7321, 0.6180]) / self.scale  # no corner in the middle of a pixel
        self.columns, self.rows = (floor(size * self.scale) + 2 for size in high - low)
        more = self.corners.shape[1] - solids.sizes[:, None]
        centers = (self.corners.sum(1) - more * self.corners[:, -1]) / solids.sizes[:, None] * CELLS
        self.table: dict[tuple[str, int, int], list[int]] = {}
        for face in np.flatnonzero(self.normals[:, 2] > 0).tolist():
            u, v, _ = centers[face].tolist()
            for cell in {(i, j) for i in (floor(u), ceil(u)) for j in (floor(v), ceil(v))}:
                self.table.setdefault((solids.members[solids.owners[face]][0], *cell), []).append(face)

    def nearest(self) -> Array:
        """Whose face is the nearest in each pixel: the number of the member, -1 where there is none."""
        shown = np.abs(self.normals[:, 2]) > 1e-9  # edge on a face has no area
        corners, (a, b, c) = self.corners[shown], self.normals[shown].T
        which, column, row = filled((corners[:, :, :2] - self.low) * self.scale)
        level = (self.normals[shown] * corners[:, 0]).sum(1)  # a u + b v + c near on the whole face
        u, v = ((one + 0.5) / self.scale + low for one, low in zip((column, row), self.low, strict=True))
        near = (level / c)[which] - (a / c)[which] * u - (b / c)[which] * v
        at = row * self.columns + column
        best = np.full(self.rows * self.columns, -np.inf)
        np.maximum.at(best, at, near)
        front = near == best[at]
        found = np.full(len(best), -1)
        found[at[front]] = self.solids.owners[shown][which[front]]
        return found

    def painted(self, shapes: Sequence[Shape]) -> Array:
        """Whose face was painted last over each pixel."""
        faces = [shape for shape in shapes if len(shape.points) > 2]
        owners = self.solids.owners[[self.face(shape) for shape in faces]]
        which, column, row = filled((padded([face.points for face in faces]) - self.low) * self.scale)
        found = np.full(self.rows * self.columns, -1)
        found[row * self.columns + column] = owners[which]  # what comes later stays
        return found

    def face(self, shape: Shape) -> int:
        """The face of a solid that a painted outline is, to 1e-6 in: it has the same name and corners, and looks here.

        Where several have the same corners (along the ridge they stand behind each other) it is the nearest.
        """
        us, vs = zip(*shape.points, strict=True)
        cell = round(sum(us) / len(us) * CELLS), round(sum(vs) / len(vs) * CELLS)
        found = [one for one in self.table.get((shape.name, *cell), ()) if self.has_corners(one, shape.points)]
        assert found, f"{shape.name} is no face of a solid that looks here: {shape.points}"
        return max(found, key=lambda one: float(self.corners[one, 0, 2]))

    def has_corners(self, face: int, points: Sequence[Point]) -> bool:
        """Whether a face's corners in the picture are these points, in any order, to 1e-6 in."""
        corners = self.corners[face, : self.solids.sizes[face], :2].tolist()
        return len(corners) == len(points) and all(
            any(abs(x - u) < HAIR and abs(y - v) < HAIR for u, v in corners) for x, y in points
        )
