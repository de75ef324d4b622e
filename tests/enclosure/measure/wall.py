"""How thick the walls of a solid are, measured from many places of its skin."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

from casing.mesh import Mesh
from enclosure.measure.joined import groups, neighbours, welded
from enclosure.measure.kinds import Floats, Indices, words
from enclosure.measure.pieces import spread
from enclosure.measure.rays import Caster

SLACK = 0.02
"""By so much a wall may seem thinner than it is, mm: triangles of a round wall are chords."""
OPPOSED = float(np.cos(np.radians(30)))
"""Two faces are the sides of a wall if they are within 30 degrees of parallel: bevels and rounds are no walls."""
INTO = 1e-5
"""So deep under the skin a ray begins, mm: not on the triangle that it comes from."""
BREADTH = 0.02
"""Faces that are narrower are none, mm: cuts that do not quite meet leave such ledges, and no printer sees them."""
SMOOTH = float(np.cos(np.radians(25)))
"""Triangles that meet at less than 25 degrees are one face."""
TOGETHER = 3.0
"""Side of the cells that thin places are gathered in to one fault, mm."""
_STEP = np.array([0.7548776662466927, 0.5698402909980532])


class Thin(NamedTuple):
    """Places where a wall is thin.

    Attributes
    ----------
    at : (n, 3) on the skin
    thick : (n,) mm
    """

    at: Floats
    thick: Floats


def samples(mesh: Mesh, density: float) -> tuple[Floats, Indices]:
    """Points of the skin, evenly by area, at least one of each triangle (its middle), and the triangle of each.

    The pattern is always the same: multiples of the inverse of the plastic number (Roberts' R2 sequence), which fill
    a square evenly however many they are.

    Parameters
    ----------
    density : points for each mm2
    """
    areas = mesh.areas
    counts = np.where(areas > 1e-9, np.maximum(np.ceil(areas * density), 1), 0).astype(np.int64)
    whose, which = spread(counts)
    share = np.modf((which[:, None] + 1) * _STEP)[0]
    root = np.sqrt(share[:, 0])
    weights = np.column_stack([1 - root, root * (1 - share[:, 1]), root * share[:, 1]])
    weights[which == 0] = 1 / 3
    return np.einsum("ij,ijk->ik", weights, mesh.corners[whose]), whose


def thin_places(mesh: Mesh, least: float, density: float = 1.0) -> Thin:
    """Where the walls are thinner than least, mm.

    From each place a ray goes straight in; the wall ends where it leaves, if the face there is opposed. A second ray
    goes straight back in from there, against that face's normal, and must find an opposed face too. The less of the
    two is the wall's thickness.
    """
    mesh = welded(mesh)
    caster = Caster(mesh, cell=1.0)
    at, whose = samples(mesh, density)
    some, far, forth = _across(caster, mesh, at, whose, least)
    at, whose = at[some], whose[some]
    again, _, back = _across(caster, mesh, at - forth[:, None] * mesh.normals[whose], far, least / OPPOSED)
    thick = np.minimum(forth[again], back)
    at, whose, far = at[again], whose[again], far[again]
    if len(at):
        wide = _breadths(mesh)
        real = (wide[whose] >= BREADTH) & (wide[far] >= BREADTH)
        at, thick = at[real], thick[real]
    return Thin(at, thick)


def _across(caster: Caster, mesh: Mesh, at: Floats, whose: Indices, reach: float) -> tuple[Indices, Indices, Floats]:
    """Which places have an opposed face within reach: their numbers, that face's triangle, how far it is."""
    inwards = -mesh.normals[whose]
    hit = caster.first(at + INTO * inwards, inwards, reach - INTO, leaving=True)
    some = np.flatnonzero(hit.triangle >= 0)
    some = some[np.einsum("ij,ij->i", mesh.normals[hit.triangle[some]], inwards[some]) >= OPPOSED]
    return some, hit.triangle[some], hit.distance[some] + INTO


def _breadths(mesh: Mesh) -> Floats:
    """(m,): about how broad the face round each triangle is, mm: twice its area by the length of its edge."""
    pairs = neighbours(mesh)
    smooth = np.einsum("ij,ij->i", mesh.normals[pairs[:, 0]], mesh.normals[pairs[:, 1]]) > SMOOTH
    face = groups(len(mesh.triangles), pairs[smooth, :2])
    sides = np.linalg.norm(np.roll(mesh.corners, -1, axis=1) - mesh.corners, axis=2).sum(axis=1)
    shared = np.linalg.norm(mesh.points[pairs[smooth, 2]] - mesh.points[pairs[smooth, 3]], axis=1)
    edge = np.bincount(face, sides) - np.bincount(face[pairs[smooth, 0]], shared, minlength=int(face.max()) + 1)
    size = np.bincount(face, mesh.areas)
    # A ball has no edge: it is broad.
    return np.asarray(np.divide(2 * size, edge, out=np.full_like(size, np.inf), where=edge > 1e-9)[face])


def _spots(at: Floats) -> Indices:
    """(n,): the number of the spot that each place belongs to: places in cells of the same or of touching corners."""
    cells, cell = np.unique(np.floor(at / TOGETHER), axis=0, return_inverse=True)
    near = cKDTree(cells).query_pairs(1.0, p=np.inf, output_type="ndarray")
    return groups(len(cells), np.asarray(near, dtype=np.int64).reshape(-1, 2))[cell.reshape(-1)]


def thin(mesh: Mesh, least: float = 1.6, density: float = 1.0) -> list[str]:
    """A sentence for each spot where a wall is thinner than it may be, the thinnest first.

    Parameters
    ----------
    mesh : closed; round walls want triangles whose chords stand off by less than SLACK
    least : mm
    density : places that are tried, for each mm2 of skin
    """
    found = thin_places(mesh, least - SLACK, density)
    if not len(found.at):
        return []
    spot = _spots(found.at)
    told: list[tuple[float, str]] = []
    for k in range(int(spot.max()) + 1):
        members = np.flatnonzero(spot == k)
        worst = members[found.thick[members].argmin()]
        place = f"{found.thick[worst]:.2f} mm thick at {words(found.at[worst])}, {len(members)} places there"
        told.append((float(found.thick[worst]), f"{place}; {least:g} mm is wanted"))
    return [text for _, text in sorted(told)]
