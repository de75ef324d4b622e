"""What a printer would have to print on air: faces that look down too much, and how they are held at their edges."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

from casing.mesh import Mesh
from enclosure.measure.joined import groups, neighbours, welded
from enclosure.measure.kinds import Flags, Floats, Indices, Triple, triple, words
from enclosure.measure.pieces import split

BED = 0.01
"""What is lower lies on the bed, mm."""
SLACK = 1.5
"""A face that leans out by so much more is right, degrees: triangles of a round face are chords."""
ROUND_ABOUT = 0.75
"""Of a patch that is held nearly all round it counts how far it reaches from what holds it."""
HELD = 0.9
"""A side of a patch is held if so much of its edge is."""


class Patch(NamedTuple):
    """Connected faces that look down.

    Attributes
    ----------
    area : mm2, of the faces themselves
    low, high : the least and the largest x, y, z
    narrow, long : sides of the least rectangle round it, seen from above, mm
    bridge : the least of these two along which both of its ends are held from below, mm; of a patch that is held
        nearly all round twice how far it reaches from there, if that is less; infinite where it is not held so
    """

    area: float
    low: Triple
    high: Triple
    narrow: float
    long: float
    bridge: float

    def __str__(self) -> str:
        """Its size and place in words."""
        at = words((a + b) / 2 for a, b in zip(self.low, self.high, strict=True))
        held = f"held over {self.bridge:.1f} mm" if np.isfinite(self.bridge) else "not held at two sides"
        return f"{self.area:.1f} mm2 look down at {at}, {self.long:.1f} x {self.narrow:.1f} mm, {held}"


def patches(mesh: Mesh, limit: float = 45.0) -> list[Patch]:
    """The patches that lean out by more than limit from upright, degrees, and are not on the bed; the largest first.

    Parameters
    ----------
    mesh : closed, as it is printed: the bed at z = 0
    """
    joined = welded(mesh)
    corners, normals, areas = joined.corners, joined.normals, joined.areas
    down = (normals[:, 2] < -np.sin(np.radians(limit + SLACK))) & (corners[:, :, 2].max(axis=1) >= BED)
    pairs = neighbours(joined)
    inner = down[pairs[:, 0]] & down[pairs[:, 1]]
    patch = groups(len(corners), pairs[inner, :2])
    rim = pairs[down[pairs[:, 0]] & ~down[pairs[:, 1]]]
    found: list[Patch] = []
    for k in np.unique(patch[down]):
        members = down & (patch == k)
        own = rim[patch[rim[:, 0]] == k]
        found.append(_patch(corners[members], float(areas[members].sum()), _Rim.of(joined, own)))
    return sorted(found, key=lambda p: -p.area)


def area(mesh: Mesh, limit: float = 45.0) -> float:
    """All that looks down too much, mm2."""
    return sum(p.area for p in patches(mesh, limit))


def unsupported(mesh: Mesh, limit: float = 45.0, bridge: float = 12.0, little: float = 0.5) -> list[str]:
    """A sentence for each patch that is neither a short bridge nor little.

    Parameters
    ----------
    bridge : a patch that is held at both ends over no more than this is right, mm
    little : so much may hang in the air anywhere, mm2
    """
    return [str(p) for p in patches(mesh, limit) if p.bridge > bridge and p.area > little]


class _Rim(NamedTuple):
    """The edge of a patch: its sides, which way each looks, seen from above, its length, and whether it is held."""

    ends: Floats
    outward: Floats
    length: Floats
    held: Flags

    @classmethod
    def of(cls, mesh: Mesh, sides: Indices) -> _Rim:
        ends = mesh.points[sides[:, 2:]]
        along = ends[:, 1, :2] - ends[:, 0, :2]
        length = np.linalg.norm(along, axis=1)
        # Seen from above a face that looks down turns clockwise: what is outside lies to the left.
        left = np.column_stack([-along[:, 1], along[:, 0]])
        outward = np.divide(left, length[:, None], out=np.zeros_like(left), where=length[:, None] > 0)
        beyond = mesh.corners[sides[:, 1]]
        lower = beyond[:, :, 2].min(axis=1) < ends[:, :, 2].min(axis=1) - 1e-6
        return cls(ends[:, :, :2], outward, length, lower)

    @property
    def held_share(self) -> float:
        """How much of its length is held, 0 to 1."""
        return float(self.length[self.held].sum() / self.length.sum()) if self.length.sum() > 0 else 0.0

    def furthest(self, corners: Floats) -> float:
        """How far the patch reaches from what is held, mm: half of what a strand must bridge in a winding channel."""
        steps = np.linspace(0, 1, 41)[:, None, None]
        held = (self.ends[self.held, 0] * (1 - steps) + self.ends[self.held, 1] * steps).reshape(-1, 2)
        inside = split(corners, 0.7)[0].reshape(-1, 3)[:, :2]
        return float(cKDTree(held).query(inside)[0].max())

    def holds(self, way: Floats) -> bool:
        """Whether what looks along a way or against it is held, at both ends."""
        facing = self.outward @ way
        for side in (facing, -facing):
            weight = np.where(side > 0.5, side, 0.0) * self.length
            if weight[self.held].sum() < HELD * weight.sum() or weight.sum() <= 0:
                return False
        return True


def _patch(corners: Floats, size: float, rim: _Rim) -> Patch:
    points = corners.reshape(-1, 3)
    low, high = points.min(axis=0), points.max(axis=0)
    turns = np.radians(np.arange(0, 180, 1.0))
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    widths = np.ptp(points[:, :2] @ ways.T, axis=0)
    other = np.roll(widths, -90)
    k = int((widths * other).argmin())
    spans = [(float(widths[k]), ways[k]), (float(other[k]), ways[(k + 90) % 180])]
    bridge = min([np.inf, *(width for width, way in spans if rim.holds(way))])
    if rim.held_share >= ROUND_ABOUT:
        bridge = min(bridge, 2 * rim.furthest(corners))
    narrow, long = sorted(width for width, _ in spans)
    return Patch(size, triple(low), triple(high), narrow, long, bridge)
