"""The router's search: the cheapest way through the grid, by scikit-image's MCP (Dijkstra's shortest path).

scikit-image is wanted here and nowhere else; the tracks that were found lie in tracks.csv.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from skimage.graph import MCP_Geometric

from making.route_ways import Node

Window = tuple[slice, slice]
"""Rows and columns to look in."""
# To the eight neighbours on the same layer, and through the board.
_OFFSETS = [(0, y, x) for y in (-1, 0, 1) for x in (-1, 0, 1) if (x, y) != (0, 0)] + [(1, 0, 0), (-1, 0, 0)]
# What a node of a pad costs where another's copper closes it: it must be reached all the same.
_CLOSED_PAD = 50.0


def cheapest(
    costs: NDArray[np.float64], starts: list[Node], ends: list[Node], window: Window | None
) -> list[Node] | None:
    """The cheapest way from any start to any end; None when there is none.

    Parameters
    ----------
    costs : of each node, negative where nothing may be
    window : where to look; everywhere when it is None
    """
    rows, columns = window or (slice(0, costs.shape[1]), slice(0, costs.shape[2]))
    part = np.ascontiguousarray(costs[:, rows, columns])
    begin, finish = (_inside(nodes, part.shape, (rows.start, columns.start)) for nodes in (starts, ends))
    if not begin or not finish:
        return None
    for node in begin + finish:
        if part[node] < 0 and node[0] != 1:
            part[node] = _CLOSED_PAD
    search = MCP_Geometric(part, offsets=_OFFSETS)
    reached, _ = search.find_costs(begin, finish, find_all_ends=False)
    best = min(finish, key=lambda node: float(reached[node]))
    if not np.isfinite(reached[best]):
        return None
    return [(int(s), int(y) + rows.start, int(x) + columns.start) for s, y, x in search.traceback(best)]


def _inside(nodes: list[Node], shape: tuple[int, ...], corner: tuple[int, int]) -> list[Node]:
    moved = [(s, y - corner[0], x - corner[1]) for s, y, x in nodes]
    return [(s, y, x) for s, y, x in moved if 0 <= y < shape[1] and 0 <= x < shape[2]]
