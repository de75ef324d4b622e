"""What is seen of solids from somewhere: for every place of a picture how near the nearest face is, and which.

Parallel light rays, no perspective: as an instrument maker draws. The view's own axes are right, up, towards the eye.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from casing.mesh import Mesh, mesh_of
from casing.piece import Piece

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.int64]
Triple = tuple[float, float, float]

SMALL = (2, 4, 8, 16)
"""Sides of the squares of places that small triangles are sorted by."""
TOGETHER = 400_000
"""So many places are reckoned at once."""


class View(NamedTuple):
    """Where one looks from.

    Attributes
    ----------
    axes : (3, 3), rows: right, up, towards the eye; of length 1
    """

    axes: Floats

    @classmethod
    def from_eye(cls, eye: Triple, up: Triple = (0.0, 1.0, 0.0)) -> View:
        """Looking against the vector `eye`, with `up` upwards in the picture."""
        near = np.array(eye) / np.linalg.norm(eye)
        right = np.cross(np.array(up), near)
        right /= np.linalg.norm(right)
        return cls(np.stack([right, np.cross(near, right), near]))

    def of(self, points: Floats) -> Floats:
        """(n, 3): places in the view's axes, mm."""
        return np.asarray(points @ self.axes.T)


class Scene(NamedTuple):
    """Triangles in the view's axes.

    Attributes
    ----------
    corners : (m, 3, 3) mm
    normals : (m, 3)
    owner : (m,) which piece
    """

    corners: Floats
    normals: Floats
    owner: NDArray[np.int64]


def meshes(pieces: Sequence[Piece], tolerance: float = 0.05, turn: float = 0.15) -> list[Mesh]:
    """The triangles of each piece."""
    return [mesh_of(p.shape, tolerance, turn) for p in pieces]


def scene(found: Sequence[Mesh], view: View) -> Scene:
    """All triangles as the view has them."""
    return Scene(
        np.concatenate([view.of(m.points)[m.triangles] for m in found]),
        np.concatenate([view.of(m.normals) for m in found]),
        np.concatenate([np.full(len(m.triangles), k) for k, m in enumerate(found)]),
    )


class Seen(NamedTuple):
    """A raster; row 0 is the lowest.

    Attributes
    ----------
    depth : (rows, columns) towards the eye, mm; minus infinite where nothing is
    triangle : (rows, columns), -1 where nothing is
    low : right, up of its lower left corner, mm
    per_mm : places for each mm
    """

    depth: Floats
    triangle: NDArray[np.int64]
    low: Floats
    per_mm: float

    def at(self, places: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Row and column of places (n, 2 or 3) in the view's axes."""
        step = np.floor((places[:, :2] - self.low) * self.per_mm).astype(np.int64)
        rows, columns = self.depth.shape
        return np.clip(step[:, 1], 0, rows - 1), np.clip(step[:, 0], 0, columns - 1)


def raster(what: Scene, low: Floats, high: Floats, per_mm: float) -> Seen:
    """The nearest triangle at the middle of each place; of two that are as near, the first.

    Small triangles, which are most, are reckoned together, by the size of the square that each is in; large ones
    one by one.

    Parameters
    ----------
    low, high : right, up of the corners, mm
    """
    columns, rows = (int(n) for n in np.ceil((high - low) * per_mm))
    depth, number = np.full((rows, columns), -np.inf), np.full((rows, columns), -1, dtype=np.int64)
    flat = (what.corners - [*low, 0.0]) * [per_mm, per_mm, 1.0]
    least = np.clip(np.ceil(flat[:, :, :2].min(axis=1) - 0.5), 0, [columns, rows]).astype(np.int64)
    most = np.clip(np.floor(flat[:, :, :2].max(axis=1) - 0.5) + 1, 0, [columns, rows]).astype(np.int64)
    side = (most - least).max(axis=1)
    facing = (what.normals[:, 2] > 1e-6) & ((most - least).min(axis=1) > 0) & (_twice(flat) > 1e-9)
    for small in SMALL:
        some = np.flatnonzero(facing & (side <= small))
        facing[some] = False
        for k in range(0, len(some), TOGETHER // small**2):
            _draw_small(flat, some[k : k + TOGETHER // small**2], least, most, small, depth, number)
    for k in np.flatnonzero(facing).tolist():
        (x0, y0), (x1, y1) = least[k].tolist(), most[k].tolist()
        inside, near = _inside(flat[k], np.arange(x0, x1) + 0.5, (np.arange(y0, y1) + 0.5)[:, None])
        _put(inside, near, np.full(near.shape, k), depth[y0:y1, x0:x1], number[y0:y1, x0:x1])
    return Seen(depth, number, low, per_mm)


def _twice(flat: Floats) -> Floats:
    """Twice the area of triangles (..., 3 corners, 3), positive if they run anticlockwise."""
    ab, ac = flat[..., 1, :2] - flat[..., 0, :2], flat[..., 2, :2] - flat[..., 0, :2]
    return np.asarray(ab[..., 0] * ac[..., 1] - ac[..., 0] * ab[..., 1])


def shares(flat: Floats, x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """How far a place is on the way to the second and the third corner of its triangle."""
    ab, ac, area = flat[..., 1, :] - flat[..., 0, :], flat[..., 2, :] - flat[..., 0, :], _twice(flat)
    dx, dy = x - flat[..., 0, 0], y - flat[..., 0, 1]
    return (dx * ac[..., 1] - ac[..., 0] * dy) / area, (ab[..., 0] * dy - dx * ab[..., 1]) / area


def _inside(flat: Floats, x: Floats, y: Floats) -> tuple[Flags, Floats]:
    """Whether places are in a triangle, and how near it is there."""
    v, w = shares(flat, x, y)
    near = flat[..., 0, 2] + v * (flat[..., 1, 2] - flat[..., 0, 2]) + w * (flat[..., 2, 2] - flat[..., 0, 2])
    return (v >= -1e-9) & (w >= -1e-9) & (v + w <= 1 + 1e-9), near


def _put(inside: Flags, near: Floats, which: Numbers, depth: Floats, number: Numbers) -> None:
    """Writes what is nearer than what is there, or as near and earlier in the scene."""
    better = inside & ((near > depth) | ((near == depth) & (which < number)))
    depth[better], number[better] = near[better], which[better]


def _draw_small(
    flat: Floats, some: Numbers, least: Numbers, most: Numbers, small: int, depth: Floats, number: Numbers
) -> None:
    """Triangles within a square of so many places: all places of all squares at once."""
    step = np.arange(small)
    column = np.broadcast_to(least[some, 0, None, None] + step, (len(some), small, small))
    row = np.broadcast_to(least[some, 1, None, None] + step[:, None], (len(some), small, small))
    within = (column < most[some, 0, None, None]) & (row < most[some, 1, None, None])
    inside, near = _inside(flat[some][:, None, None], column + 0.5, row + 0.5)
    took = inside & within
    which = np.broadcast_to(some[:, None, None], took.shape)[took]
    place, near = (row * depth.shape[1] + column)[took], near[took]
    # Of all that fall on one place the last in this order is the nearest, or the first of those as near.
    order = np.lexsort((-which, near, place))
    last = order[np.append(place[order][1:] != place[order][:-1], True)] if len(order) else order
    places, flat_depth, flat_number = place[last], depth.reshape(-1), number.reshape(-1)
    there, who = flat_depth[places], flat_number[places]
    _put(np.ones(len(last), dtype=np.bool_), near[last], which[last], there, who)
    flat_depth[places], flat_number[places] = there, who
