"""The four keys: caps on the buttons' stems, each of another form, so that a thumb knows them in the dark.

From the left: back, a drop that points left; down, round with a hollow; up, round and domed; ok, long with a ridge.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from build123d import (
    Axis,
    Circle,
    Cylinder,
    Location,
    Polygon,
    Pos,
    RectangleRounded,
    Rot,
    Shape,
    Sketch,
    Sphere,
    chamfer,
    extrude,
    fillet,
    offset,
)

from casing.bought import SWITCH
from casing.figures import Figures
from casing.hull import Span, block
from casing.piece import Piece

ORDER = ("back", "down", "up", "ok")
"""Names of the keys from the left."""

DOME = 1.2
"""By how much the domed key stands higher, mm."""

COLOURS = {"back": (0.80, 0.78, 0.74), "down": (0.80, 0.78, 0.74), "up": (0.80, 0.78, 0.74), "ok": (0.76, 0.56, 0.22)}


class Key(NamedTuple):
    """Where a key stands.

    Attributes
    ----------
    name : of ORDER
    x, y : of the stem's middle, mm
    """

    name: str
    x: float
    y: float


def places(board: Iterable[Piece]) -> list[Key]:
    """The keys, one on each button of the board."""
    stems = []
    for piece in board:
        if piece.name.startswith(SWITCH):
            stem = max(piece.shape.solids(), key=lambda s: float(s.bounding_box().max.Z)).bounding_box()
            stems.append((float(stem.center().X), float(stem.center().Y)))
    return [Key(name, x, y) for name, (x, y) in zip(ORDER, sorted(stems), strict=True)]


def outline(name: str, size: float) -> Sketch:
    """A key seen from the front, its stem at the origin, mm."""
    half = size / 2
    if name == "back":
        drop = Polygon(
            (-half - 2.5, 0),
            (half * 0.55, -half),
            (half, -half * 0.7),
            (half, half * 0.7),
            (half * 0.55, half),
            align=None,
        )
        return fillet(drop.vertices(), 1.8)
    if name == "ok":
        return RectangleRounded(size + 2.0, size - 1.0, 4.0)
    return Circle(half)


def hole(shell: Figures, key: Key, z: Span) -> Shape:
    """What is cut out of the lid for a key."""
    grown = offset(outline(key.name, shell.mm("keys.size")), shell.mm("keys.gap"))
    return Pos(key.x, key.y, z.low) * extrude(grown, z.size)


def _top(name: str, form: Shape, high: float) -> Shape:
    """The upper side of a key, at z = high, as the thumb feels it."""
    if name == "down":
        return form - Pos(0, 0, high + 11.0) * Sphere(12.2)
    if name == "up":
        return form & (Pos(0, 0, high + DOME - 10.0) * Sphere(10.0))
    if name == "ok":
        ridge = Pos(0, 0, high) * Rot(0, 90, 0) * Cylinder(1.0, 8.0)
        return form + ridge
    return form


@lru_cache(maxsize=64)
def key_piece(shell: Figures, parts: Figures, key: Key) -> Piece:
    """A key: its cap, a flange under the lid that holds it in, and the socket for the stem."""
    front = parts.numbers("board.size")[2]
    stem_top = front + parts.mm("button.stem_top")
    high = shell.mm("room.face") + shell.mm("walls.face") + shell.mm("keys.above")
    flange_top = shell.mm("room.face") - shell.mm("keys.under_lid")
    low = flange_top - shell.mm("keys.flange_thick")
    face = outline(key.name, shell.mm("keys.size"))
    cap = Pos(0, 0, low) * extrude(face, high - low + (DOME if key.name == "up" else 0.0))
    cap = _top(key.name, chamfer(cap.faces().sort_by(Axis.Z)[-1].edges(), 0.7), high)
    flange = Pos(0, 0, low) * extrude(offset(face, shell.mm("keys.flange")), flange_top - low)
    width = parts.pair("button.stem")[0] + shell.mm("keys.stem_fit")
    socket = block(Span(-width / 2, width / 2), Span(-width / 2, width / 2), Span(low - 1, stem_top))
    shape = Location((key.x, key.y, 0)) * (cap + flange - socket)
    return Piece(f"key-{key.name}", shape, colour=COLOURS[key.name], apart=(0.0, 0.0, 46.0))
