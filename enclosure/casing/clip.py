"""The stand's clip: a saddle with the tongue, and a lever under it, joined by a screw as scissors are.

Under the box it grips the lip of a stand, the jaws open to the back; behind the box, lying across, an upright tube.
Its grip cannot be tried here.
"""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin

from build123d import Cylinder, Location, Pos, Rot, Shape

from casing.figures import Figures
from casing.hull import Span
from casing.jaws import Point, lever, on_axle, pads, saddle, whole
from casing.piece import HOLDER, METAL, RUBBER, Piece


def _turned(clip: Figures, shape: Shape, degrees: float) -> Shape:
    """The lever turned about the axle; plus opens it."""
    z, y = clip.pair("axle.at")
    return Pos(0, y, z) * Rot(-degrees, 0, 0) * Pos(0, -y, -z) * shape


def _spring_ends(clip: Figures, degrees: float) -> tuple[Point, Point]:
    """The middles of the spring's seats in saddle and lever, with the lever turned so."""
    deep, z = clip.pair("spring.pocket")[1], clip.mm("spring.z")
    axle_z, axle_y = clip.pair("axle.at")
    angle, dz, dy = degrees * pi / 180, z - axle_z, clip.mm("lever.handle") - deep - axle_y
    seat = (axle_z + dz * cos(angle) - dy * sin(angle), axle_y + dy * cos(angle) + dz * sin(angle))
    return (z, clip.mm("spring.roof") + deep), seat


def _spring(clip: Figures, parts: Figures, degrees: float) -> Shape:
    """The spring as the cylinder round it, from seat to seat; its own ends follow the seats, the drawing's do not."""
    (top_z, top_y), (z, y) = _spring_ends(clip, degrees)
    lean = atan2(z - top_z, top_y - y) * 180 / pi
    long = hypot(top_z - z, top_y - y)
    return (
        Pos(0, (top_y + y) / 2, (top_z + z) / 2)
        * Rot(90 - lean, 0, 0)
        * Cylinder(parts.mm("spring.across") / 2, long)
    )


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
            where * _turned(clip, lever(clip, parts), degrees),
            colour=HOLDER,
            apart=far,
            flat=Location(Rot(0, 90, 0)) * where.inverse(),
        ),
        Piece("pad-upper", where * upper, printed=False, colour=RUBBER, apart=near),
        Piece("pad-lower", where * _turned(clip, lower, degrees), printed=False, colour=RUBBER, apart=far),
        Piece("clip-axle", where * _axle(clip, parts), printed=False, colour=METAL, apart=near),
        Piece("clip-spring", where * _spring(clip, parts, degrees), printed=False, colour=METAL, apart=far),
    ]
