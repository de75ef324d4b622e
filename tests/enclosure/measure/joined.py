"""Triangles that know their neighbours: corners in the same place made one, and the bodies that they form."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from casing.mesh import Mesh
from enclosure.measure.kinds import Indices

SAME = 1e-5
"""Corners nearer than this are one, mm: faces of a solid share their edges' points up to rounding."""


def groups(count: int, pairs: Indices) -> Indices:
    """(count,): the number of the group of each thing, where pairs (n, 2) hang together."""
    ones = np.ones(len(pairs), dtype=np.int8)
    graph = coo_matrix((ones, (pairs[:, 0], pairs[:, 1])), shape=(count, count))
    return np.asarray(connected_components(graph, directed=False)[1], dtype=np.int64)


def welded(mesh: Mesh) -> Mesh:
    """The same triangles on shared corners; those that thereby lose a side are left out."""
    near = cKDTree(mesh.points).query_pairs(SAME, output_type="ndarray")
    one = groups(len(mesh.points), np.asarray(near, dtype=np.int64).reshape(-1, 2))
    _, first = np.unique(one, return_index=True)
    triangles = one[mesh.triangles]
    a, b, c = triangles.T
    return Mesh(mesh.points[first], triangles[(a != b) & (b != c) & (c != a)])


def edges(mesh: Mesh) -> tuple[Indices, Indices]:
    """(3 m, 2) the ends of each side of each triangle, in its sense of turning, and (3 m,) the triangle."""
    a, b, c = mesh.triangles.T
    ends = np.stack([np.column_stack(side) for side in ((a, b), (b, c), (c, a))], axis=1).reshape(-1, 2)
    return ends, np.repeat(np.arange(len(mesh.triangles)), 3)


def neighbours(mesh: Mesh) -> Indices:
    """(k, 4): two triangles with a side in common, and its ends as the first one turns. For a welded mesh.

    Each pair stands here twice, once from either side. Sides without a partner, or with several, are left out.
    """
    ends, owner = edges(mesh)
    count = len(mesh.points)
    there, back = ends[:, 0] * count + ends[:, 1], ends[:, 1] * count + ends[:, 0]
    order = np.argsort(there, kind="stable")
    ordered = there[order]
    first = np.searchsorted(ordered, back)
    alone = np.searchsorted(ordered, back, side="right") - first == 1
    partner = owner[order[first[alone]]]
    return np.column_stack([owner[alone], partner, ends[alone]])


def bodies(mesh: Mesh) -> Indices:
    """(m,): the number of the connected body that each triangle belongs to. For a welded mesh."""
    count = len(mesh.points)
    a, b, c = mesh.triangles.T
    pairs = np.concatenate([np.column_stack([a, b]), np.column_stack([b, c])])
    return np.asarray(groups(count, pairs)[a])
