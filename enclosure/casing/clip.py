"""The stand's clip: a saddle with the tongue, and a lever under it, joined by a screw as scissors are.

Under the box it grips the lip of a stand, the jaws open to the back; behind the box, lying across, an upright tube.
Its grip cannot be tried here.
"""

from __future__ import annotations

from build123d import Cylinder, Location, Plane, Pos, Rot, Shape, Vector

from casing.figures import Figures
from casing.hull import Span
from casing.jaws import lever, on_axle, pads, saddle, whole
from casing.piece import HOLDER, METAL, RUBBER, Piece


def _turn(clip: Figures, degrees: float) -> Location:
    """The turn of the lever about the axle; plus opens it."""
    z, y = clip.pair("axle.at")
    return Pos(0, y, z) * Rot(-degrees, 0, 0) * Pos(0, -y, -z)


def _spring(clip: Figures, parts: Figures, turn: Location) -> Shape:
    """The spring as a straight cylinder from seat to seat: with the lever turned its ends are not drawn bent."""
    deep, z = clip.pair("spring.pocket")[1], clip.mm("spring.z")
    top = Vector(0, clip.mm("spring.roof") + deep, z)
    seat = (turn * Pos(0, clip.mm("lever.handle") - deep, z)).position
    along = Plane(origin=(top + seat) / 2, x_dir=(1, 0, 0), z_dir=seat - top)
    return along * Cylinder(parts.mm("spring.across") / 2, (seat - top).length)


def _axle(clip: Figures, parts: Figures) -> Shape:
    """A screw, its head to the right, with a nut that locks."""
    (head, high), (nut, thick), across = parts.pair("axle.head"), parts.pair("axle.nut"), parts.mm("axle.across")
    x = whole(clip)
    return (
        on_axle(clip, across / 2, Span(x.low - thick - 1.0, x.high))
        + on_axle(clip, head / 2, Span(x.high, x.high + high))
        + on_axle(clip, nut / 2, Span(x.low - thick, x.low))
    )


def clip_pieces(shell: Figures, clip: Figures, parts: Figures, where: Location, degrees: float = 0.0) -> list[Piece]:
    """The clip in the place of a tongue: printed saddle and lever, bought pads, axle and spring.

    Parameters
    ----------
    where : from the tongue's frame to the box, as casing.grooves has it
    degrees : by how much the lever is turned from where it holds a lip of clip.toml's thickness; plus is open
    """
    turn = _turn(clip, degrees)
    upper, lower = pads(clip, parts)
    down = (where * Pos(0, -1, 0)).position - where.position
    near, far = tuple(24.0 * v for v in down), tuple(44.0 * v for v in down)
    return [
        Piece(
            "clip-saddle",
            where * saddle(shell, clip, parts),
            colour=HOLDER,
            apart=near,
            flat=Location(Rot(0, -90, 0)) * where.inverse(),
        ),
        Piece(
            "clip-lever",
            where * turn * lever(clip, parts),
            colour=HOLDER,
            apart=far,
            flat=Location(Rot(0, 90, 0)) * where.inverse(),
        ),
        Piece("pad-upper", where * upper, printed=False, colour=RUBBER, apart=near),
        Piece("pad-lower", where * turn * lower, printed=False, colour=RUBBER, apart=far),
        Piece("clip-axle", where * _axle(clip, parts), printed=False, colour=METAL, apart=near),
        Piece("clip-spring", where * _spring(clip, parts, turn), printed=False, colour=METAL, apart=far),
    ]
