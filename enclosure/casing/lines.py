"""Line drawings: the edges of solids that are seen from one direction, as thin lines, hidden ones left out.

An edge is drawn where faces meet at an angle, and where a round form turns away from the eye. What hides what is
looked up in a raster (casing/seen.py), a little way along each edge at a time.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from casing.exports import welded
from casing.mesh import Mesh
from casing.piece import Piece
from casing.seen import Floats, Seen, View, raster, scene

SHARP = np.cos(np.radians(24.0))
"""Faces that turn by more make an edge."""
STEP = 0.5
"""So often it is asked whether an edge is seen, mm."""
PER_MM = 6.0
NEAR = 0.35
"""What lies behind by less is not hidden, mm: the raster is coarse."""
LEAST = 0.02
"""Shorter lines are left out, mm."""


class Drawn(NamedTuple):
    """Lines of a drawing.

    Attributes
    ----------
    lines : (n, 2, 2): ends as right, up, mm
    low, high : corners of what is drawn, mm
    seen : the raster that told what hides what
    whose : (rows, columns) of the raster: which piece, -1 where nothing is
    """

    lines: Floats
    low: Floats
    high: Floats
    seen: Seen
    whose: NDArray[np.int64]


def edges(mesh: Mesh, view: View) -> Floats:
    """(n, 2, 3): the ends of sharp edges and of outlines, in the view's axes."""
    a, b, c = mesh.triangles.T
    ends = np.sort(np.stack([np.column_stack(s) for s in ((a, b), (b, c), (c, a))], axis=1).reshape(-1, 2), axis=1)
    owner = np.repeat(np.arange(len(mesh.triangles)), 3)
    order = np.lexsort((ends[:, 1], ends[:, 0]))
    ends, owner = ends[order], owner[order]
    twin = np.flatnonzero((ends[1:] == ends[:-1]).all(axis=1))
    normals = mesh.normals
    one, other = normals[owner[twin]], normals[owner[twin + 1]]
    near = view.axes[2]
    turns = (one * other).sum(axis=1) < SHARP
    outline = (one @ near > 0) != (other @ near > 0)
    wanted = (turns | outline) & ((one @ near > 0) | (other @ near > 0))
    return np.asarray(view.of(mesh.points)[ends[twin[wanted]]])


def draw(pieces: Sequence[Piece], view: View, apart: bool = False) -> Drawn:
    """What is seen of the pieces, as lines.

    Parameters
    ----------
    apart : whether each is moved by its `apart`: its triangles are, which is quicker than a copy of the solid
    """
    found = [welded(p.shape) for p in pieces]
    if apart:
        found = [Mesh(m.points + p.apart, m.triangles) for m, p in zip(found, pieces, strict=True)]
    what = scene(found, view)
    flat = what.corners.reshape(-1, 3)[:, :2]
    low, high = flat.min(axis=0) - 1.0, flat.max(axis=0) + 1.0
    seen = raster(what, low, high, PER_MM)
    every = np.concatenate([edges(m, view) for m in found])
    long = np.linalg.norm(every[:, 1] - every[:, 0], axis=1)
    parts = np.maximum(np.ceil(long / STEP), 1).astype(np.int64)
    whose = np.repeat(np.arange(len(every)), parts)
    which = np.arange(len(whose)) - (np.cumsum(parts) - parts)[whose]
    start, end = which / parts[whose], (which + 1) / parts[whose]
    middle = every[whose, 0] + ((start + end) / 2)[:, None] * (every[whose, 1] - every[whose, 0])
    free = np.zeros(len(whose), dtype=np.bool_)
    for dx, dy in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)):
        row, column = seen.at(middle[:, :2] + np.array([dx, dy]) / PER_MM)
        free |= middle[:, 2] > seen.depth[row, column] - NEAR
    # Neighbouring bits of one edge become one line.
    begins = free & ~(np.roll(free, 1) & (np.roll(whose, 1) == whose))
    stops = free & ~(np.roll(free, -1) & (np.roll(whose, -1) == whose))
    a, b = np.flatnonzero(begins), np.flatnonzero(stops)
    along = every[whose[a], 1] - every[whose[a], 0]
    lines = np.stack([every[whose[a], 0] + start[a, None] * along, every[whose[a], 0] + end[b, None] * along], axis=1)
    keep = np.linalg.norm(lines[:, 1, :2] - lines[:, 0, :2], axis=1) > LEAST
    owner = np.where(seen.triangle >= 0, what.owner[seen.triangle], -1)
    return Drawn(lines[keep][:, :, :2], low, high, seen, owner)


def path(drawn: Drawn, height: float, left: float = 0.0) -> str:
    """The lines as the `d` of an SVG path: y downwards from the drawing's upper edge, mm.

    Parameters
    ----------
    height : up of what is y = 0
    left : right of what is x = 0
    """
    flat = drawn.lines * [1, -1] + [-left, height]
    order = np.lexsort(np.round(flat, 2).reshape(-1, 4).T[::-1])
    return "".join(f"M{a:.2f} {b:.2f}L{c:.2f} {d:.2f}" for (a, b), (c, d) in flat[order])
