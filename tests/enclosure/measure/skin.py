"""A solid's triangles with all that is sorted out once and asked for often: pieces, bounds, rays, bodies."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from build123d import Shape

from casing.mesh import Mesh, mesh_of
from enclosure.measure.joined import bodies, welded
from enclosure.measure.kinds import Floats, Indices
from enclosure.measure.pieces import split
from enclosure.measure.rays import Caster

PIECE = 3.0
"""Longest side of the pieces that distances are looked for between, mm."""


class Skin:
    """What bounds a solid. Build it once for a part and hand it to each measure.

    Parameters
    ----------
    mesh : closed; several bodies may be in it, which do not overlap
    """

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh

    @classmethod
    def of(cls, shape: Shape) -> Skin:
        """The skin of a solid or of several, by casing's triangles."""
        return cls(mesh_of(shape))

    @cached_property
    def caster(self) -> Caster:
        """Its triangles, ready for rays."""
        return Caster(self.mesh)

    @cached_property
    def pieces(self) -> Floats:
        """(n, 3, 3): its triangles in small pieces."""
        return split(self.mesh.corners, PIECE)[0]

    @cached_property
    def bounds(self) -> tuple[Floats, Floats]:
        """(3, n) each: the least and the largest x, y, z of the pieces."""
        a, b, c = (np.ascontiguousarray(self.pieces[:, k].T) for k in range(3))
        return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)

    def near(self, low: Floats, high: Floats) -> Indices:
        """The numbers of the pieces that may reach into an upright box, of corners (3,) each, mm."""
        lows, highs = self.bounds
        some = np.ones(len(self.pieces), dtype=np.bool_)
        for k in range(3):
            some &= (lows[k] <= high[k]) & (highs[k] >= low[k])
        return np.flatnonzero(some)

    @cached_property
    def low(self) -> Floats:
        """(3,): the least x, y, z of all."""
        return np.asarray(self.mesh.points.min(axis=0))

    @cached_property
    def high(self) -> Floats:
        """(3,): the largest x, y, z of all."""
        return np.asarray(self.mesh.points.max(axis=0))

    @cached_property
    def marks(self) -> Floats:
        """(n, 3): one point of each connected body."""
        joined = welded(self.mesh)
        _, first = np.unique(bodies(joined), return_index=True)
        return np.asarray(joined.corners[first].mean(axis=1))

    def meets(self, other: Skin, room: float = 0.0) -> bool:
        """Whether the upright boxes round the two are not further apart than room, mm, along any axis."""
        return bool((self.low <= other.high + room).all() and (other.low <= self.high + room).all())

    def within(self, other: Skin) -> Floats:
        """(n, 3): the points that show that a body of this one is within the other."""
        if not self.meets(other):
            return np.zeros((0, 3))
        marks = self.marks[((self.marks > other.low) & (self.marks < other.high)).all(axis=1)]
        return marks[other.caster.holds(marks)] if len(marks) else marks
