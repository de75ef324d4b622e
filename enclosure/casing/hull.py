"""The outline that lid and base share: a block with round corners and soft edges, and its hollow."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from build123d import (
    Align,
    Axis,
    Box,
    Plane,
    Polyline,
    Pos,
    RectangleRounded,
    Rot,
    Shape,
    chamfer,
    extrude,
    fillet,
    make_face,
)

from casing.figures import Figures


class Span(NamedTuple):
    """From, to; mm."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """Half way, mm."""
        return (self.low + self.high) / 2

    @property
    def size(self) -> float:
        """mm."""
        return self.high - self.low


class Hull(NamedTuple):
    """Where the walls stand, mm: x and y of their insides and outsides, z of face and back.

    Attributes
    ----------
    inside_x, inside_y : between the walls' insides
    x, y : between their outsides
    face, back : z of the outer sides towards the player and away
    face_in, back_in : of the inner sides
    part : where lid and base meet
    """

    inside_x: Span
    inside_y: Span
    x: Span
    y: Span
    face: float
    face_in: float
    part: float
    back_in: float
    back: float


def hull(shell: Figures, parts: Figures, cell: bool) -> Hull:
    """The walls of the box, with a cell or flat."""
    width, height, _ = parts.numbers("board.size")
    inside_x = Span(-shell.mm("room.left"), width + shell.mm("room.right"))
    inside_y = Span(-shell.mm("room.bottom"), height + shell.mm("room.top"))
    face_in = shell.mm("room.face")
    back_in = shell.mm("room.back" if cell else "room.back_plain")
    return Hull(
        inside_x,
        inside_y,
        Span(inside_x.low - shell.mm("walls.left"), inside_x.high + shell.mm("walls.right")),
        Span(inside_y.low - shell.mm("walls.bottom"), inside_y.high + shell.mm("walls.top")),
        face_in + shell.mm("walls.face"),
        face_in,
        shell.mm("room.part"),
        back_in,
        back_in - shell.mm("walls.back"),
    )


def rounded(x: Span, y: Span, z: Span, radius: float) -> Shape:
    """A block with round upright edges."""
    outline = RectangleRounded(x.size, y.size, radius)
    return Pos(x.middle, y.middle, z.low) * extrude(outline, z.size)


def block(x: Span, y: Span, z: Span) -> Shape:
    """A block with sharp edges."""
    return Pos(x.low, y.low, z.low) * Box(x.size, y.size, z.size, align=(Align.MIN, Align.MIN, Align.MIN))


def box(low: Iterable[float], high: Iterable[float]) -> Shape:
    """A block between two corners x, y, z, mm."""
    return block(*map(Span, low, high))


def along_x(corners: Iterable[tuple[float, float]], x: Span) -> Shape:
    """A profile of corners y, z, drawn out along x."""
    face = make_face(Plane.YZ * Polyline(*corners, close=True))
    return Pos(x.low, 0, 0) * extrude(face, x.size, dir=(1, 0, 0))


def along_y(corners: Iterable[tuple[float, float]], y: Span) -> Shape:
    """A profile of corners x, z, drawn out along y."""
    face = make_face(Plane.XZ * Polyline(*corners, close=True))
    return Pos(0, y.low, 0) * extrude(face, y.size, dir=(0, 1, 0))


def slit(x: Span, y: Span, z: Span) -> Shape:
    """An upright slit through a wall that stands on the bed at low z: its head is a roof of 45 degrees."""
    side = x.size / 2**0.5
    head = Pos(x.middle, y.middle, z.high - x.size / 2) * Rot(0, 45, 0) * Box(side, y.size, side)
    return block(x, y, Span(z.low, z.high - x.size / 2)) + head


def soft_block(walls: Hull, shell: Figures, z: Span, outer: float) -> Shape:
    """The outer form: round upright edges; at z = outer a bevel of 45 degrees that rolls softly into the sides."""
    form = rounded(walls.x, walls.y, z, shell.mm("walls.round"))
    soft = shell.mm("walls.soft")
    end = form.faces().sort_by(Axis.Z)[-1 if outer == z.high else 0]
    form = chamfer(end.edges(), soft)
    shoulder = outer - soft if outer == z.high else outer + soft
    rim = [e for e in form.edges() if abs(e.center().Z - shoulder) < 1e-6 and abs(e.bounding_box().size.Z) < 1e-6]
    return fillet(rim, soft)


def hollow(walls: Hull, shell: Figures, z: Span, closed: float) -> Shape:
    """What is cut out of the form: it ends at z = closed with round edges, and goes on beyond the other end."""
    radius = max(shell.mm("walls.round") - shell.mm("walls.right"), 1.0)
    form = rounded(walls.inside_x, walls.inside_y, z, radius)
    end = form.faces().sort_by(Axis.Z)[-1 if closed == z.high else 0]
    return fillet(end.edges(), shell.mm("walls.inner"))
