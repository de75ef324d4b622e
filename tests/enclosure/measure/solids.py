"""Whether a solid is one closed thing that a printer's software takes without mending."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from build123d import Shape
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy

from casing.mesh import Mesh, mesh_of
from enclosure.measure.joined import bodies, edges, welded
from enclosure.measure.kinds import words

FINE = (0.01, 0.06)
"""Tolerance (mm) and turn (rad) of the triangles whose volume is compared: a circle loses 0.06 per cent."""


def whole(shape: Shape, close: float = 1e-3) -> list[str]:
    """What is wrong with the solid, a sentence for each.

    Parameters
    ----------
    close : by how much of it the volume of the triangles may differ from the solid's
    """
    # A solid keeps the triangles that were made of it: a copy gets the fine ones, so that nobody else meets them.
    copy = Shape.cast(BRepBuilderAPI_Copy(shape.wrapped, True, False).Shape())
    return list(_solid(shape)) or list(shut(mesh_of(copy, *FINE), float(shape.volume), close))


def _solid(shape: Shape) -> Iterator[str]:
    if not shape.is_valid:
        yield "the solid is not valid"
    solids = list(shape.solids())
    if len(solids) != 1:
        yield f"{len(solids)} solids stand apart; one is wanted" + "".join(
            f", {words(s.center())}" for s in solids[:8]
        )
    for solid in solids:
        if (shells := len(solid.shells())) != 1:
            yield f"the solid has {shells} shells: a hollow without a way in"
        if solid.volume <= 0:
            yield f"the solid is inside out: {solid.volume:.1f} mm3"


def shut(mesh: Mesh, volume: float, close: float = 1e-3) -> Iterator[str]:
    """What is wrong with triangles that should close round so many mm3, without gaps, in one body."""
    joined = welded(mesh)
    if not len(joined.triangles):
        yield "there are no triangles"
        return
    ends, _ = edges(joined)
    count = len(joined.points)
    there, times = np.unique(ends[:, 0] * count + ends[:, 1], return_counts=True)
    back = there % count * count + there // count
    at = np.minimum(np.searchsorted(there, back), len(there) - 1)
    bad = (times != 1) | (there[at] != back)
    if bad.any():
        first = joined.points[there[bad][0] // count]
        yield f"{bad.sum()} edges are not shared by two triangles, the first at {words(first)}"
    if (parts := len(np.unique(bodies(joined)))) != 1:
        yield f"the triangles form {parts} bodies; one is wanted"
    if abs(joined.volume - volume) > close * abs(volume):
        yield f"the triangles hold {joined.volume:.1f} mm3; the solid {volume:.1f} mm3"
