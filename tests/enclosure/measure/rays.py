"""Rays against triangles, many at a time: what a ray meets first, and whether a point is within a solid.

The triangles are sorted into the cells of an even grid; all rays go from cell to cell at the same time and try what
lies in theirs (Amanatides and Woo, A Fast Voxel Traversal Algorithm for Ray Tracing, 1987).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from casing.mesh import Mesh
from enclosure.measure.kinds import Flags, Floats, Indices
from enclosure.measure.pieces import split, spread

AT_ONCE = 16384
"""Rays in one go: what they try must fit into the processor's cache, or nearly."""
MOST_CELLS, MOST_ALONG, LEAST_CELL = 2_000_000, 300, 0.05
MOST_TRIES = 1_000_000
"""Rays times triangles in one go, likewise."""
NOT_ALONG = np.array([0.8128, 0.4711, 0.3424])
"""A way that no edge of a made thing is likely to lie along."""


class Hits(NamedTuple):
    """What the rays meet.

    Attributes
    ----------
    distance : (n,), in lengths of the ray's direction; infinite where there is nothing
    triangle : (n,), its number; -1 where there is nothing
    """

    distance: Floats
    triangle: Indices


class Caster:
    """Triangles, ready for rays.

    Parameters
    ----------
    cell : side of the grid's cells, mm; smaller for small triangles, and larger where there would be too many cells
    """

    def __init__(self, mesh: Mesh, cell: float = 2.0) -> None:
        corners = mesh.corners
        self._a = corners[:, 0]
        self._u, self._v = corners[:, 1] - self._a, corners[:, 2] - self._a
        self._normal = np.cross(self._u, self._v)
        self._lift = np.einsum("ij,ij->i", self._normal, self._a)
        rim = 1e-4
        self._low, self._high = corners.min(axis=(0, 1)) - rim, corners.max(axis=(0, 1)) + rim
        size = self._high - self._low
        usual = max(4 * float(np.sqrt(mesh.areas.mean())), LEAST_CELL)
        fewest = max(float(np.cbrt(size.prod() / MOST_CELLS)), float(size.max()) / MOST_ALONG)
        self._cell = max(min(cell, usual), fewest)
        self._shape = np.maximum(np.ceil(size / self._cell), 1).astype(np.int64)
        self._sort_in(corners, rim / 2)

    def _sort_in(self, corners: Floats, rim: float) -> None:
        pieces, owner = split(corners, 2 * self._cell)
        low = self._index(pieces.min(axis=1) - rim)
        many = self._index(pieces.max(axis=1) + rim) - low + 1
        whose, which = spread(many.prod(axis=1))
        x, rest = np.divmod(which, (many[:, 1] * many[:, 2])[whose])
        y, z = np.divmod(rest, many[whose, 2])
        cells = self._flat(low[whose] + np.column_stack([x, y, z]))
        count = len(self._a)
        both = np.unique(cells * count + owner[whose])
        self._inside = both % count
        self._many = np.bincount(both // count, minlength=int(self._shape.prod()))
        self._start = np.cumsum(self._many) - self._many

    def _index(self, points: Floats) -> Indices:
        found = np.floor((points - self._low) / self._cell).astype(np.int64)
        return np.asarray(np.clip(found, 0, self._shape - 1))

    def _flat(self, index: Indices) -> Indices:
        return np.asarray((index[..., 0] * self._shape[1] + index[..., 1]) * self._shape[2] + index[..., 2])

    def first(self, origins: Floats, ways: Floats, far: float = np.inf, leaving: bool = False) -> Hits:
        """What each ray meets first.

        Parameters
        ----------
        origins, ways : (n, 3) each, or one way for all; a way need not be of length 1
        far : how far they go, in lengths of their ways
        leaving : only triangles that are seen from behind count, where a ray leaves the solid
        """
        ways = np.broadcast_to(np.asarray(ways, dtype=np.float64), origins.shape)
        distance, triangle = np.full(len(origins), np.inf), np.full(len(origins), -1)
        for k in range(0, len(origins), AT_ONCE):
            some = slice(k, k + AT_ONCE)
            distance[some], triangle[some] = self._go(origins[some], ways[some], far, leaving)
        return Hits(distance, triangle)

    def _go(self, origins: Floats, ways: Floats, far: float, leaving: bool) -> Hits:
        best, found = np.full(len(origins), np.inf), np.full(len(origins), -1)
        with np.errstate(divide="ignore", invalid="ignore"):
            per = 1 / ways
            one, other = (self._low - origins) * per, (self._high - origins) * per
        # A ray along a side of the grid: 0/0 there, and it is inside of it for ever or never.
        still = ways == 0
        outside = (still & ((origins < self._low) | (origins > self._high))).any(axis=1)
        into = np.maximum(np.where(still, -np.inf, np.minimum(one, other)).max(axis=1), 0.0)
        end = np.minimum(np.where(still, np.inf, np.maximum(one, other)).min(axis=1), far)
        ray = np.flatnonzero((into <= end) & ~outside)
        index = self._index(origins[ray] + ways[ray] * into[ray, None])
        step = np.sign(ways[ray]).astype(np.int64)
        with np.errstate(divide="ignore", invalid="ignore"):
            border = self._low + (index + (step > 0)) * self._cell
            following = np.where(still[ray], np.inf, (border - origins[ray]) * per[ray])
            pace = np.where(still[ray], np.inf, self._cell * np.abs(per[ray]))
        while len(ray):
            self._try(ray, index, (origins, ways), far, leaving, (best, found))
            axis = following.argmin(axis=1)
            rows = np.arange(len(ray))
            leave = following[rows, axis]
            index[rows, axis] += step[rows, axis]
            following[rows, axis] += pace[rows, axis]
            on = (leave < end[ray]) & (leave < best[ray]) & ((index >= 0) & (index < self._shape)).all(axis=1)
            ray, index, step, following, pace = ray[on], index[on], step[on], following[on], pace[on]
        return Hits(best, found)

    def _try(
        self,
        ray: Indices,
        index: Indices,
        rays: tuple[Floats, Floats],
        far: float,
        leaving: bool,
        hits: tuple[Floats, Indices],
    ) -> None:
        """Let each ray try what is in its cell, and write what is nearer than before into the hits."""
        origins, ways = rays
        best, found = hits
        cells = self._flat(index)
        many = self._many[cells]
        if many.sum() > MOST_TRIES and len(ray) > 1:
            half = len(ray) // 2
            self._try(ray[:half], index[:half], rays, far, leaving, hits)
            self._try(ray[half:], index[half:], rays, far, leaving, hits)
            return
        whose, which = spread(many)
        triangle, whose = self._inside[self._start[cells[whose]] + which], ray[whose]
        normal = self._normal[triangle]
        slope = np.einsum("ij,ij->i", normal, ways[whose])
        over = self._lift[triangle] - np.einsum("ij,ij->i", normal, origins[whose])
        with np.errstate(divide="ignore", invalid="ignore"):
            distance = over / slope
        keep = np.flatnonzero(
            (distance >= 0) & (distance <= far) & (distance < best[whose]) & ((slope > 0) | (not leaving))
        )
        triangle, whose, distance, slope = triangle[keep], whose[keep], distance[keep], slope[keep]
        met = origins[whose] + ways[whose] * distance[:, None] - self._a[triangle]
        normal = self._normal[triangle]
        square = np.einsum("ij,ij->i", normal, normal)
        u = np.einsum("ij,ij->i", np.cross(met, self._v[triangle]), normal) / square
        v = np.einsum("ij,ij->i", np.cross(self._u[triangle], met), normal) / square
        # A little over the edge counts, so that no ray slips through between two triangles.
        keep = np.flatnonzero((u >= -1e-9) & (v >= -1e-9) & (u + v <= 1 + 1e-9))
        whose, triangle, distance = whose[keep], triangle[keep], distance[keep]
        order = np.argsort(-distance, kind="stable")
        best[whose[order]] = distance[order]
        found[whose[order]] = triangle[order]

    def holds(self, points: Floats) -> Flags:
        """(n,): which points are within a closed solid: what a ray from there meets first, it leaves."""
        inside: Flags = np.all((points > self._low) & (points < self._high), axis=1)
        some = np.flatnonzero(inside)
        votes = np.zeros(len(some), dtype=np.int64)
        for turn in range(3):
            way = np.roll(NOT_ALONG, turn) * (1, -1)[turn % 2]
            hit = self.first(points[some], way)
            votes += (hit.triangle >= 0) & (self._normal[hit.triangle] @ way > 0)
        inside[some] = votes >= 2
        return inside
