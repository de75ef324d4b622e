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
Triple = tuple[float, float, float]


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
    """The nearest triangle at the middle of each place.

    Parameters
    ----------
    low, high : right, up of the corners, mm
    """
    columns, rows = (int(n) for n in np.ceil((high - low) * per_mm))
    depth, number = np.full((rows, columns), -np.inf), np.full((rows, columns), -1, dtype=np.int64)
    flat = (what.corners - [*low, 0.0]) * [per_mm, per_mm, 1.0]
    facing = np.flatnonzero(what.normals[:, 2] > 1e-6)
    least = np.clip(np.ceil(flat[:, :, :2].min(axis=1) - 0.5), 0, [columns, rows]).astype(np.int64)
    most = np.clip(np.floor(flat[:, :, :2].max(axis=1) - 0.5) + 1, 0, [columns, rows]).astype(np.int64)
    for k in facing:
        (x0, y0), (x1, y1) = least[k].tolist(), most[k].tolist()
        if x1 <= x0 or y1 <= y0:
            continue
        a, b, c = flat[k]
        area = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])
        if area < 1e-9:
            continue
        x, y = np.arange(x0, x1) + 0.5, (np.arange(y0, y1) + 0.5)[:, None]
        v = ((x - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (y - a[1])) / area
        w = ((b[0] - a[0]) * (y - a[1]) - (x - a[0]) * (b[1] - a[1])) / area
        near = a[2] + v * (b[2] - a[2]) + w * (c[2] - a[2])
        here = depth[y0:y1, x0:x1]
        better = (v >= -1e-9) & (w >= -1e-9) & (v + w <= 1 + 1e-9) & (near > here)
        here[better] = near[better]
        number[y0:y1, x0:x1][better] = k
    return Seen(depth, number, low, per_mm)
