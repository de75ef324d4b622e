"""The router's ways: what is to be joined, and what was found as straight tracks and vias."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from making.copper import Board, Pad
from making.layout import Point
from making.project import VIA, neck_of
from making.route_grid import STEP, Cells, Key
from making.tracks import VIA as VIA_LAYER
from making.tracks import Track

GROUND = "GND"
Node = tuple[int, int, int]
"""Layer (0 front, 1 a via's middle, 2 back), row, column."""


@dataclass
class Way:
    """The tracks of a net, or of one ground pad."""

    name: str
    net: str
    pads: list[Pad]
    pieces: list[list[Node]] = field(default_factory=list)
    thin: set[Node] = field(default_factory=set)
    closes: dict[Key, Cells] = field(default_factory=dict)


def wanted(board: Board) -> Iterator[Way]:
    """Each net with two pads or more, the short ones first; and each ground pad that lies on the back alone."""
    nets: dict[str, list[Pad]] = {}
    for part in board.parts.values():
        for pad in part.pads:
            if pad.net:
                nets.setdefault(pad.net, []).append(pad)
    ways = [Way(net, net, pads) for net, pads in nets.items() if len(pads) > 1 and net != GROUND]
    ways.sort(key=lambda way: (_extent(way.pads), way.name))
    for pad in nets.get(GROUND, []):
        if not pad.hole:
            yield Way(f"{GROUND} of {pad.ref}", GROUND, [pad])
    yield from ways


def _extent(pads: list[Pad]) -> float:
    xs, ys = [pad.at[0] for pad in pads], [pad.at[1] for pad in pads]
    return max(xs) - min(xs) + max(ys) - min(ys)


def straight(piece: list[Node], net: str, thin: set[Node], wide: float, joints: set[Node]) -> Iterator[Track]:
    """A piece's steps joined to straight tracks of one width, ended where another piece joins; and its vias."""
    start: Node | None = None
    way: tuple[object, ...] = ()
    for a, b in [*pairwise(piece), (piece[-1], piece[-1])]:
        step = (b[0] - a[0], b[1] - a[1], b[2] - a[2], a in thin or b in thin)
        ends = step != way or a in joints
        if start is not None and ends and start[:1] == a[:1] and start != a:
            width = neck_of(net) if way[3] else wide
            yield Track(net, "F.Cu" if a[0] == 0 else "B.Cu", width, place(start), place(a))
        if a == piece[0] or ends:
            start = a
        if b[0] != a[0]:
            if b[0] == 1 or piece[0][0] == 1:
                yield Track(net, VIA_LAYER, VIA, place(a), place(a))
            start = None
        way = step


def place(node: Node) -> Point:
    """The middle of a node's cell, millimetres on the board."""
    return round(node[2] * STEP, 3), round(node[1] * STEP, 3)
