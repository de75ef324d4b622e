"""What a board's file says, read without KiCad: pads, tracks, outlines of parts. For the router and the tests."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from making.layout import Point
from making.sexpr import Node, lists, numbers, read
from making.tracks import VIA, Track

# The sheet's spot on which the left upper corner of the board lies, millimetres.
CORNER: Point = (50.0, 50.0)
_SHAPES = ("fp_line", "fp_rect", "fp_poly", "fp_arc", "fp_circle")
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Pad:
    """A pad or a hole; its box is that of its copper on the board, millimetres.

    Parameters
    ----------
    round : a circle, or an oval that is one
    front, back : has copper there
    hole : diameter of its hole, the longer one of a slot; 0 for none
    plated : a hole without copper is not
    bare : how far round it the solder mask is open
    """

    ref: str
    number: str
    net: str
    at: Point
    box: Box
    round: bool
    front: bool
    back: bool
    hole: float
    plated: bool
    bare: float


@dataclass(frozen=True)
class Footprint:
    """A part on the board.

    Parameters
    ----------
    name : of its footprint, with the library
    angle : degrees, as KiCad has it
    front : on the player's side
    body : the box of its outline on the fabrication layer
    courtyard : the box that no other part may enter
    """

    ref: str
    name: str
    at: Point
    angle: float
    front: bool
    fields: Mapping[str, str]
    pads: tuple[Pad, ...]
    body: Box
    courtyard: Box


@dataclass(frozen=True)
class Board:
    """A board's file.

    Parameters
    ----------
    edges : points along the outline, those of the footprints among them
    """

    parts: Mapping[str, Footprint]
    tracks: tuple[Track, ...]
    edges: tuple[tuple[Point, Point], ...]


def load_board(path: Path) -> Board:
    """Read a board's file."""
    return board_of(read(path.read_text(encoding="utf-8")))


def board_of(tree: list[Node]) -> Board:
    """What the list says that a board's file is."""
    nets = {str(one[1]): str(one[2]) for one in lists(tree, "net")}
    parts = {part.ref: part for part in map(_footprint, lists(tree, "footprint"))}
    edges = list(_edges(tree, "gr_", _where(["at", "0", "0"], True)))
    for one in lists(tree, "footprint"):
        edges += _edges(one, "fp_", _where(next(lists(one, "at")), True))
    return Board(parts, tuple(_tracks(tree, nets)), tuple(edges))


@dataclass(frozen=True)
class _Where:
    at: Point
    angle: float

    def on_board(self, point: Point) -> Point:
        """A footprint's own point on the board; KiCad's angle is anticlockwise with y down."""
        cos, sin = _turn(self.angle)
        x, y = point
        return self.at[0] + x * cos + y * sin, self.at[1] - x * sin + y * cos


def _turn(angle: float) -> Point:
    return round(math.cos(math.radians(angle)), 12), round(math.sin(math.radians(angle)), 12)


def _where(at: list[Node], corner: bool) -> _Where:
    told = [*numbers(at), 0.0][:3]
    x, y, angle = told if len(told) == 3 else (*told, 0.0)
    return _Where((x - CORNER[0] * corner, y - CORNER[1] * corner), angle)


def _footprint(tree: list[Node]) -> Footprint:
    where = _where(next(lists(tree, "at")), True)
    fields = {str(one[1]): str(one[2]) for one in lists(tree, "property")}
    front = next(lists(tree, "layer"))[1] == "F.Cu"
    side = "F" if front else "B"
    ref = fields["Reference"]
    pads = tuple(_pad(ref, one, where) for one in lists(tree, "pad"))
    body = _hull([where.on_board(p) for p in _points(tree, f"{side}.Fab")], [pad.box for pad in pads])
    courtyard = _hull([where.on_board(p) for p in _points(tree, f"{side}.CrtYd")], [body])
    return Footprint(ref, str(tree[1]), where.at, where.angle, front, fields, pads, body, courtyard)


def _pad(ref: str, tree: list[Node], where: _Where) -> Pad:
    kind, shape = str(tree[2]), str(tree[3])
    own = _where(next(lists(tree, "at")), False)
    width, height = numbers(next(lists(tree, "size")))
    corners = [(-width / 2, -height / 2), (width / 2, height / 2), (-width / 2, height / 2), (width / 2, -height / 2)]
    for primitives in lists(tree, "primitives"):
        corners += _shape_points(primitives)
    middle = where.on_board(own.at)
    placed = _Where(middle, own.angle)
    layers = [str(one) for one in next(lists(tree, "layers"))[1:]]
    copper = kind != "np_thru_hole"
    drill = [x for one in lists(tree, "drill") for x in _floats(one)]
    net = next((str(one[-1]) for one in lists(tree, "net")), "")
    return Pad(
        ref,
        str(tree[1]),
        net,
        middle,
        _hull([placed.on_board(point) for point in corners], []),
        shape == "circle" or (shape == "oval" and width == height),
        copper and ("*.Cu" in layers or "F.Cu" in layers),
        copper and ("*.Cu" in layers or "B.Cu" in layers),
        max(drill, default=0.0),
        copper,
        max((numbers(one)[0] for one in lists(tree, "solder_mask_margin")), default=0.0),
    )


def _floats(node: list[Node]) -> Iterator[float]:
    for one in node[1:]:
        if isinstance(one, str) and one not in ("oval",):
            yield float(one)


def _shape_points(tree: list[Node]) -> list[Point]:
    """The points of all lists of points, and the boxes of circles, inside a list."""
    found: list[Point] = []
    for one in tree:
        if not isinstance(one, list):
            continue
        if one[0] == "gr_circle":
            (x, y), (to_x, to_y) = numbers(next(lists(one, "center"))), numbers(next(lists(one, "end")))
            r = math.hypot(to_x - x, to_y - y)
            found += [(x - r, y - r), (x + r, y + r)]
        elif one[0] in ("xy", "start", "end"):
            x, y = numbers(one)
            found.append((x, y))
        else:
            found += _shape_points(one)
    return found


def _points(tree: list[Node], layer: str) -> list[Point]:
    found: list[Point] = []
    for one in tree:
        if isinstance(one, list) and one[0] in _SHAPES and next(lists(one, "layer"))[1] == layer:
            found += _shape_points([["gr_circle", *one[1:]]] if one[0] == "fp_circle" else one)
    return found


def _edges(tree: list[Node], prefix: str, where: _Where) -> Iterator[tuple[Point, Point]]:
    for kind in ("line", "arc"):
        for one in lists(tree, prefix + kind):
            if next(lists(one, "layer"))[1] == "Edge.Cuts":
                names = ("start", "mid", "end") if kind == "arc" else ("start", "end")
                points = [where.on_board((x, y)) for x, y in (numbers(next(lists(one, name))) for name in names)]
                yield from pairwise(points)


def _tracks(tree: list[Node], nets: Mapping[str, str]) -> Iterator[Track]:
    for kind in ("segment", "via"):
        for one in lists(tree, kind):
            net = nets[str(next(lists(one, "net"))[1])]
            names = ("at", "at") if kind == "via" else ("start", "end")
            (x1, y1), (x2, y2) = (numbers(next(lists(one, name))) for name in names)
            width = numbers(next(lists(one, "size" if kind == "via" else "width")))[0]
            layer = VIA if kind == "via" else str(next(lists(one, "layer"))[1])
            a, b = (x1 - CORNER[0], y1 - CORNER[1]), (x2 - CORNER[0], y2 - CORNER[1])
            yield Track(net, layer, width, a, b)


def _hull(points: list[Point], otherwise: list[Box]) -> Box:
    if points:
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return min(xs), min(ys), max(xs), max(ys)
    if not otherwise:
        return 0.0, 0.0, 0.0, 0.0
    return (
        min(b[0] for b in otherwise),
        min(b[1] for b in otherwise),
        max(b[2] for b in otherwise),
        max(b[3] for b in otherwise),
    )
