"""The router: `python -m making.route` finds the tracks of the board and writes tracks.csv.

A grid of two layers, and a search for the cheapest way from a net's first pad to the next. Nets may cross at first;
each round makes crossings dearer, and places where they happened stay dear, until none is left: negotiated congestion
(L. McMurchie and C. Ebeling, PathFinder, FPGA 1995). The same board gives the same tracks.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Callable, Iterator
from fnmatch import fnmatch
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from making.copper import Board, Pad, load_board
from making.into import MADE
from making.layout import Layout, load_layout
from making.project import CLASSES, CLEARANCE, NARROWEST, VIA, WIDTH, neck_of, width_of
from making.route_grid import BACK, FRONT, SLACK, STEP, VIA_KEY, Cells, Key, begin, largest
from making.route_search import Window, cheapest
from making.route_ways import GROUND, Node, Way, place, straight, wanted
from making.tracks import TABLE, Track, save_tracks
from making.tracks import VIA as VIA_LAYER

# What a step costs, in steps on the back: the front's ground stays whole where that is cheap; narrow pieces of wide
# nets are for the last bit before a pad.
_FRONT_COST, _VIA_COST, _NARROW_COST = 1.5, 12.0, 3.0
# And again under the microphone's parts.
_QUIET_FRONT_COST = 4.0
_ROUNDS = 60
_MARGIN = 60
# How far from its pad a ground pad's via may lie, cells.
_FAN = 14
# How often the ground of both sides is joined, cells.
_STITCH = 24
# How far inside a pad's edge a track must end, so that it meets the pad with its full width; pads have round corners.
_INSIDE = 0.14


class Router:
    """Negotiates the ways of all nets."""

    def __init__(self, board: Board, layout: Layout) -> None:
        widths = (NARROWEST, WIDTH, *(width for wide, neck, _ in CLASSES.values() for width in (wide, neck)))
        self.layout = layout
        self.grid, self.own = begin(board, layout, widths)
        self.ways = list(wanted(board))
        self.soft = self.grid.empty()
        self.past = {side: np.zeros(self.grid.columns * self.grid.rows) for side in (FRONT, BACK)}
        self.by_net: dict[str, dict[Key, NDArray[np.int32]]] = {GROUND: self.grid.empty()}

    def run(self, say: Callable[[str], None]) -> int:
        """Route all; how many ways still cross another at the end."""
        again = list(self.ways)
        dear = 0.6
        for number in range(1, _ROUNDS + 1):
            for way in again:
                self._take(way, -1)
                self._route(way, dear)
                self._take(way, 1)
            again = [way for way in self.ways if self._crosses(way)]
            say(f"round {number}: {len(again)} of {len(self.ways)} ways cross another")
            if not again:
                return 0
            dear = min(dear * 1.5, 400.0)
            # A net that is in the way of another is moved too, in an order that changes from round to round.
            again = again[number % len(again) :] + again[: number % len(again)]
        return len(again)

    def tracks(self) -> set[Track]:
        """What was found, as straight pieces and vias."""
        found = set(self._stitches())
        for way in self.ways:
            wide = width_of(way.net)
            joints = {node for piece in way.pieces for node in (piece[0], piece[-1])}
            for piece in way.pieces:
                found.update(straight(piece, way.net, way.thin, wide, joints))
        return found

    def _stitches(self) -> Iterator[Track]:
        """Vias that join the ground of both sides, every so often, where both have room for them."""
        ground = self._closed(Way(GROUND, GROUND, []))
        shape = (self.grid.rows, self.grid.columns)
        field_ = ((ground[VIA_KEY] <= 0) & (self.soft[VIA_KEY] == 0)).reshape(shape)
        wide, none = width_of(GROUND), Way(GROUND, GROUND, [])
        for side in (FRONT, BACK):
            field_ &= ((ground[wide, side] <= 0) & (self.soft[wide, side] == 0)).reshape(shape)
        poured = (ground[WIDTH, FRONT] <= 0) & (self._others(none, (WIDTH, FRONT)) == 0)
        field_ &= largest(poured.reshape(shape))
        for top in range(0, self.grid.rows, _STITCH):
            for left in range(0, self.grid.columns, _STITCH):
                ys, xs = np.nonzero(field_[top : top + _STITCH // 2, left : left + _STITCH // 2])
                if len(ys):
                    at = place((1, top + int(ys[len(ys) // 2]), left + int(xs[len(xs) // 2])))
                    yield Track(GROUND, VIA_LAYER, VIA, at, at)

    def _closed(self, way: Way) -> dict[Key, NDArray[np.int32]]:
        """What closes cells to this net for good."""
        found = {}
        for key, counts in self.grid.closed.items():
            mine = counts.copy()
            if key in self.own.get(way.net, {}):
                np.subtract.at(mine, self.own[way.net][key], 1)
            found[key] = mine
        return found

    def _others(self, way: Way, key: Key) -> NDArray[np.int32]:
        mine = self.by_net.get(way.net)
        return self.soft[key] if mine is None else self.soft[key] - mine[key]

    def _costs(self, way: Way, dear: float) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
        """Cost of each node, -1 where nothing may be, and where only a narrow track may lie."""
        rows, columns = self.grid.rows, self.grid.columns
        closed = self._closed(way)
        wide, neck = width_of(way.net), neck_of(way.net)
        costs = np.full((3, rows, columns), -1.0)
        thin = np.zeros((3, rows, columns), bool)
        for side, base in ((FRONT, _FRONT_COST), (BACK, 1.0)):
            narrow_open, wide_open = closed[neck, side] <= 0, closed[wide, side] <= 0
            crossing = np.where(wide_open, self._others(way, (wide, side)), self._others(way, (neck, side)))
            cost = base * (1 + self.past[side]) * (1 + dear * crossing)
            cost = np.where(wide_open, cost, cost * _NARROW_COST)
            costs[2 * side] = np.where(narrow_open, cost, -1.0).reshape(rows, columns)
            thin[2 * side] = (~wide_open).reshape(rows, columns)
        past = np.maximum(self.past[FRONT], self.past[BACK])
        cost = _VIA_COST * (1 + past) * (1 + dear * self._others(way, VIA_KEY))
        costs[1] = np.where(closed[VIA_KEY] <= 0, cost, -1.0).reshape(rows, columns)
        quiet = self.layout.quiet
        left, top, right, bottom = (round(x / STEP) for x in quiet.box)
        region = costs[:, top : bottom + 1, left : right + 1]
        if any(fnmatch(way.net, pattern) for pattern in quiet.nets):
            region[FRONT] *= _QUIET_FRONT_COST
        else:
            region[:] = -1.0
        return costs, thin

    def _route(self, way: Way, dear: float) -> None:
        costs, thin = self._costs(way, dear)
        pads = [self._nodes(pad) for pad in way.pads]
        window = self._window(pads)
        way.pieces, way.thin = [], set()
        reached = [pads[0]]
        tree = set(pads[0])
        missing = pads[1:]
        fan = way.net == GROUND
        while missing or fan:
            ends = self._fan_ends(costs, pads[0]) if fan else sorted({node for pad in missing for node in pad})
            found = cheapest(costs, sorted(tree), ends, window) or cheapest(costs, sorted(tree), ends, None)
            if found is None:
                raise RuntimeError(f"{way.name}: there is no way at all; move a part in layout.toml")
            way.pieces.append(found)
            way.thin |= {node for node in found if thin[node]}
            tree |= set(found)
            for pad in [pad for pad in missing if found[-1] in pad]:
                missing.remove(pad)
                reached.append(pad)
                tree |= set(pad)
            fan = False

    def _nodes(self, pad: Pad) -> list[Node]:
        """The nodes inside a pad, on each side that it has copper on."""
        left, top, right, bottom = pad.box
        cells = self.grid.near_box((left + _INSIDE, top + _INSIDE, right - _INSIDE, bottom - _INSIDE), 1e-6)
        if pad.hole or not len(cells):
            x, y = self.grid.cell(pad.at)
            cells = np.array([y * self.grid.columns + x])
        sides = [2 * side for side, there in ((FRONT, pad.front), (BACK, pad.back)) if there]
        return [(side, int(c) // self.grid.columns, int(c) % self.grid.columns) for side in sides for c in cells]

    def _fan_ends(self, costs: NDArray[np.float64], pad: list[Node]) -> list[Node]:
        rows, columns = [node[1] for node in pad], [node[2] for node in pad]
        top, left = max(min(rows) - _FAN, 0), max(min(columns) - _FAN, 0)
        part = costs[1, top : max(rows) + _FAN + 1, left : max(columns) + _FAN + 1]
        return [(1, top + int(y), left + int(x)) for y, x in zip(*np.nonzero(part > 0), strict=True)]

    def _window(self, pads: list[list[Node]]) -> Window:
        rows = [node[1] for pad in pads for node in pad]
        columns = [node[2] for pad in pads for node in pad]
        return (
            slice(max(min(rows) - _MARGIN, 0), max(rows) + _MARGIN),
            slice(max(min(columns) - _MARGIN, 0), max(columns) + _MARGIN),
        )

    def _take(self, way: Way, sign: int) -> None:
        """Put a way's copper into the grid, or take it out."""
        if sign > 0:
            way.closes = self._closing(way)
        counts = [self.soft] + ([self.by_net[way.net]] if way.net in self.by_net else [])
        for key, cells in way.closes.items():
            for one in counts:
                one[key][cells] += sign

    def _closing(self, way: Way) -> dict[Key, Cells]:
        wide, columns = width_of(way.net), self.grid.columns
        nodes = {node for piece in way.pieces for node in piece}
        layers = {
            (side, width): np.array(
                sorted(y * columns + x for s, y, x in nodes if s == 2 * side and ((s, y, x) in way.thin) == thin),
                np.int64,
            )
            for side in (FRONT, BACK)
            for width, thin in ((neck_of(way.net), True), (wide, False))
        }
        vias = np.array(sorted(y * columns + x for s, y, x in nodes if s == 1), np.int64)
        found: dict[Key, Cells] = {}
        for key in self.grid.kinds():
            near = [
                self.grid.round_cells(cells, width / 2 + CLEARANCE + SLACK + self.grid.reach(key))
                for (side, width), cells in layers.items()
                if len(cells) and (key == VIA_KEY or key[1] == side)
            ]
            if len(vias):
                near.append(self.grid.round_cells(vias, VIA / 2 + CLEARANCE + SLACK + self.grid.reach(key)))
            if near:
                found[key] = np.unique(np.concatenate(near))
        return found

    def _crosses(self, way: Way) -> bool:
        """Whether a way lies where another closes; such places stay dear."""
        wide, neck = width_of(way.net), neck_of(way.net)
        crossing = False
        for piece in way.pieces:
            for s, y, x in piece:
                key = VIA_KEY if s == 1 else (neck if (s, y, x) in way.thin else wide, s // 2)
                cell = y * self.grid.columns + x
                if self._others_at(way, key, cell) > 0:
                    crossing = True
                    for side in (FRONT, BACK) if s == 1 else (s // 2,):
                        self.past[side][cell] += 0.35
        return crossing

    def _others_at(self, way: Way, key: Key, cell: int) -> int:
        mine = self.by_net.get(way.net)
        own = int(mine[key][cell]) if mine is not None else int(cell in way.closes[key])
        return int(self.soft[key][cell]) - own


def main() -> int:
    """Route the board that is made, and write its tracks."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("--board", type=Path, default=MADE / "airladder.kicad_pcb", metavar="FILE")
    parser.add_argument("--into", type=Path, default=TABLE, metavar="FILE")
    told = parser.parse_args()
    started = time.monotonic()

    def say(words: str) -> None:
        sys.stderr.write(f"{time.monotonic() - started:6.1f} s  {words}\n")

    board, layout = load_board(told.board), load_layout()
    moved = [ref for ref, where in layout.places.items() if math.dist(where.at, board.parts[ref].at) > STEP / 100]
    if moved:
        sys.stderr.write(f"route: {moved[0]} is not where layout.toml has it; make the board first: making.board\n")
        return 1
    router = Router(board, layout)
    left = router.run(say)
    save_tracks(router.tracks(), told.into)
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
