"""The router's grid: where the middle of a track of some width, or of a via, may lie.

Each thing of copper closes the cells round it, once for every width. Counts and not marks are kept, so that a thing
can be taken out again.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label

from making.copper import Board, Box, Pad
from making.layout import Layout, Point
from making.project import CLEARANCE, EDGE, VIA

STEP = 0.254
# A hole without copper keeps this from copper; and what a diagonal step may come nearer than its two ends.
_HOLE, SLACK = 0.25, 0.02
FRONT, BACK = 0, 1
# More than all pads of a net together take back.
_SHUT = 1000
Cells = NDArray[np.int64]
Key = tuple[float, int]
"""A width and a side; a via is VIA_KEY."""
VIA_KEY: Key = (-1.0, 0)


@dataclass
class Grid:
    """Counts of what closes each cell, by width and side."""

    columns: int
    rows: int
    widths: tuple[float, ...]
    closed: dict[Key, NDArray[np.int32]] = field(default_factory=dict)

    def kinds(self) -> list[Key]:
        """All kinds of counts."""
        return [*((width, side) for width in self.widths for side in (FRONT, BACK)), VIA_KEY]

    def reach(self, key: Key) -> float:
        """Half of what has its middle in the cell, millimetres."""
        return (VIA if key == VIA_KEY else key[0]) / 2

    def empty(self) -> dict[Key, NDArray[np.int32]]:
        """Counts of nothing."""
        return {key: np.zeros(self.columns * self.rows, np.int32) for key in self.kinds()}

    def cell(self, at: Point) -> tuple[int, int]:
        """The column and row next to a place."""
        return round(at[0] / STEP), round(at[1] / STEP)

    def near_box(self, box: Box, within: float, round_: bool = False) -> Cells:
        """Cells whose middle lies nearer to a box, or to the circle in it, than a distance."""
        left, right = math.floor((box[0] - within) / STEP), math.ceil((box[2] + within) / STEP)
        top, bottom = math.floor((box[1] - within) / STEP), math.ceil((box[3] + within) / STEP)
        xs = np.arange(max(left, 0), min(right, self.columns - 1) + 1)
        ys = np.arange(max(top, 0), min(bottom, self.rows - 1) + 1)
        if round_:
            radius = (box[2] - box[0]) / 2
            dx, dy = xs * STEP - (box[0] + box[2]) / 2, ys * STEP - (box[1] + box[3]) / 2
            far = np.hypot(dx[None, :], dy[:, None]) - radius
        else:
            dx = np.maximum(np.maximum(box[0] - xs * STEP, xs * STEP - box[2]), 0)
            dy = np.maximum(np.maximum(box[1] - ys * STEP, ys * STEP - box[3]), 0)
            far = np.hypot(dx[None, :], dy[:, None])
        y, x = np.nonzero(far < within)
        return np.asarray(ys[y] * self.columns + xs[x], np.int64)

    def round_cells(self, cells: Cells, within: float) -> Cells:
        """All cells nearer than a distance to any of these."""
        dx, dy = _disc(within)
        x = (cells % self.columns)[:, None] + dx[None, :]
        y = (cells // self.columns)[:, None] + dy[None, :]
        inside = (x >= 0) & (x < self.columns) & (y >= 0) & (y < self.rows)
        return np.unique((y * self.columns + x)[inside])


@cache
def _disc(within: float) -> tuple[Cells, Cells]:
    reach = math.ceil(within / STEP)
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    inside = np.hypot(x, y) * STEP < within
    return x[inside].astype(np.int64), y[inside].astype(np.int64)


def of_pad(grid: Grid, pad: Pad) -> dict[Key, Cells]:
    """The cells that a pad or a hole closes to all other nets."""
    found: dict[Key, Cells] = {}
    for key in grid.kinds():
        gap = SLACK + (CLEARANCE if pad.plated else max(_HOLE, pad.bare))
        sides = (pad.front or not pad.plated, pad.back or not pad.plated)
        if any(sides) if key == VIA_KEY else sides[key[1]]:
            found[key] = grid.near_box(pad.box, grid.reach(key) + gap, pad.round)
    return found


def begin(board: Board, layout: Layout, widths: tuple[float, ...]) -> tuple[Grid, dict[str, dict[Key, Cells]]]:
    """The grid with all pads, holes and edges in it, and what each net's own pads close."""
    grid = Grid(round(layout.size[0] / STEP) + 1, round(layout.size[1] / STEP) + 1, tuple(sorted(set(widths))))
    grid.closed = grid.empty()
    own: dict[str, list[dict[Key, Cells]]] = {}
    for part in board.parts.values():
        for pad in part.pads:
            cells = of_pad(grid, pad)
            own.setdefault(pad.net, []).append(cells)
            for key, these in cells.items():
                grid.closed[key][these] += 1
            if pad.front != pad.back or pad.hole:
                # No via in any pad, its own net's either: solder runs away through it.
                grid.closed[VIA_KEY][grid.near_box(pad.box, VIA / 2 + 0.05, pad.round)] += _SHUT
    for key in grid.kinds():
        hard = grid.reach(key) + EDGE + SLACK
        for a, b in board.edges:
            for at in _along(a, b):
                grid.closed[key][grid.near_box((*at, *at), hard)] += _SHUT
        inside = largest((grid.closed[key] < _SHUT).reshape(grid.rows, grid.columns)).ravel()
        grid.closed[key][~inside] += _SHUT
        for x, y in layout.holes:
            keep = layout.hole_keepout
            box = (x - keep, y - keep, x + keep, y + keep)
            grid.closed[key][grid.near_box(box, grid.reach(key) + SLACK, True)] += _SHUT
    return grid, {net: _joined(parts) for net, parts in own.items() if net}


def largest(field_: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The largest region of a field that hangs together."""
    names, _ = label(field_)
    return np.asarray(names == np.argmax(np.bincount(names[field_])))


def _joined(parts: list[dict[Key, Cells]]) -> dict[Key, Cells]:
    """Cells with repeats, as each pad counts for itself."""
    keys = Counter(key for part in parts for key in part)
    return {key: np.concatenate([part[key] for part in parts if key in part]) for key in keys}


def _along(a: Point, b: Point) -> list[Point]:
    steps = max(1, math.ceil(math.dist(a, b) / (STEP / 2)))
    return [(a[0] + (b[0] - a[0]) * i / steps, a[1] + (b[1] - a[1]) * i / steps) for i in range(steps + 1)]
