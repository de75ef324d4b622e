"""Triangles of a solid, as numpy arrays: for rays, pictures and files."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from build123d import Shape
from numpy.typing import NDArray


class Mesh(NamedTuple):
    """Triangles, all of them anticlockwise seen from outside.

    Attributes
    ----------
    points : (n, 3), mm
    triangles : (m, 3), three indices of points each
    """

    points: NDArray[np.float64]
    triangles: NDArray[np.int64]

    @property
    def corners(self) -> NDArray[np.float64]:
        """(m, 3 corners, 3), mm."""
        return np.asarray(self.points[self.triangles])

    @property
    def normals(self) -> NDArray[np.float64]:
        """(m, 3), outwards, of length 1; a triangle without an area has 0."""
        a, b, c = np.moveaxis(self.corners, 1, 0)
        normal = np.cross(b - a, c - a)
        length = np.linalg.norm(normal, axis=1, keepdims=True)
        unit: NDArray[np.float64] = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
        return unit

    @property
    def areas(self) -> NDArray[np.float64]:
        """(m,), mm2."""
        a, b, c = np.moveaxis(self.corners, 1, 0)
        return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2)

    @property
    def volume(self) -> float:
        """mm3, by the theorem of Gauss: right for a closed mesh only."""
        a, b, c = np.moveaxis(self.corners, 1, 0)
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def mesh_of(shape: Shape, tolerance: float = 0.05, turn: float = 0.2) -> Mesh:
    """The triangles of a shape.

    Parameters
    ----------
    tolerance : how far a triangle may stand off the true face, mm
    turn : how far neighbours on a curved face may turn, rad
    """
    points, triangles = shape.tessellate(tolerance, turn)
    return Mesh(
        np.array([tuple(p) for p in points], dtype=np.float64).reshape(-1, 3),
        np.array(triangles, dtype=np.int64).reshape(-1, 3),
    )
