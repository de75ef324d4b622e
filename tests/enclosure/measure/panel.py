"""How far a flat panel spans without a rib, a wall or a boss on its inner side."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy import ndimage

from casing.mesh import Mesh
from enclosure.measure.kinds import Flags
from enclosure.measure.pieces import spread


class Span(NamedTuple):
    """The largest circle on a panel that meets nothing which stiffens it.

    Attributes
    ----------
    radius : mm
    at : x, y of its middle, mm
    """

    radius: float
    at: tuple[float, float]


def section(mesh: Mesh, z: float, low: tuple[float, float], shape: tuple[int, int], step: float) -> Flags:
    """(rows, columns): where the solid is plastic at a height; row k is at y = low y + k step.

    Parameters
    ----------
    mesh : closed
    low : x, y of the first place, mm
    shape : rows (y) and columns (x)
    step : mm
    """
    z += 1e-7  # no corner of a made thing lies there, so that each triangle is cut or not
    corners = mesh.corners
    above = corners[:, :, 2] > z
    corners, above = corners[above.any(axis=1) != above.all(axis=1)], above[above.any(axis=1) != above.all(axis=1)]
    # Turn each triangle so that its first corner is alone on its side of the plane.
    alone = np.where(above.sum(axis=1) == 1, above.argmax(axis=1), above.argmin(axis=1))
    a, b, c = np.moveaxis(
        np.take_along_axis(corners, ((alone[:, None] + np.arange(3)) % 3)[:, :, None], axis=1), 1, 0
    )
    p, q = (a + ((z - a[:, 2]) / (e[:, 2] - a[:, 2]))[:, None] * (e - a) for e in (b, c))
    # A line along x through each row changes between in and out where it meets a side of the outline.
    rows = np.sort(np.stack([p[:, 1], q[:, 1]]), axis=0)
    first = np.clip(np.ceil((rows[0] - low[1]) / step), 0, shape[0]).astype(np.int64)
    behind = np.clip(np.ceil((rows[1] - low[1]) / step), 0, shape[0]).astype(np.int64)
    side, which = spread(behind - first)
    row = first[side] + which
    y = low[1] + row * step
    x = p[side, 0] + (y - p[side, 1]) / (q[side, 1] - p[side, 1]) * (q[side, 0] - p[side, 0])
    column = np.clip(np.ceil((x - low[0]) / step), 0, shape[1]).astype(np.int64)
    changes = np.zeros((shape[0], shape[1] + 1), dtype=np.int64)
    np.add.at(changes, (row, column), 1)
    return np.asarray(np.cumsum(changes, axis=1)[:, :-1] % 2 == 1)


def unstiffened(mesh: Mesh, panel: float, ribs: float, step: float = 0.25) -> Span:
    """The largest free circle on a panel that lies across z; radius 0 where there is no panel.

    Its middle is on the panel's plastic. It may reach over holes of the panel, for they stiffen nothing, but not over
    the panel's outer edge.

    Parameters
    ----------
    mesh : closed
    panel : z within the panel's thickness, mm
    ribs : z at which what stiffens it is looked at: as far from its inner side as a rib must be high, mm
    step : of the raster, mm: the radius is right to about as much
    """
    low = mesh.points[:, :2].min(axis=0) - 1.5 * step
    columns, rows = (int(v) for v in np.ceil((mesh.points[:, :2].max(axis=0) - low) / step) + 2)
    corner = float(low[0]), float(low[1])
    plate = section(mesh, panel, corner, (rows, columns), step)
    free = ndimage.binary_fill_holes(plate) & ~section(mesh, ribs, corner, (rows, columns), step)
    far = np.where(plate, ndimage.distance_transform_edt(free), 0.0) * step
    row, column = np.unravel_index(int(far.argmax()), far.shape)
    return Span(float(far[row, column]), (corner[0] + float(column) * step, corner[1] + float(row) * step))
