"""The stand's clip: a saddle with the tongue, and a lever under it, joined by a screw as scissors are.

Under the box it grips the lip of a stand, the jaws open to the back; behind the box, lying across, an upright tube.
Each half is a profile in the z-y plane of the tongue's frame; each lug takes half of the breadth, so that both print
lying on their sides with nothing under them, and their layers run along the forces. Its grip cannot be tried here.
"""

from __future__ import annotations

from math import cos, pi, sin, tan
from typing import NamedTuple

from build123d import (
    Axis,
    Cylinder,
    Location,
    Plane,
    Polyline,
    Pos,
    Rot,
    Shape,
    Sketch,
    extrude,
    fillet,
    make_face,
)

from casing.figures import Figures
from casing.hull import Span, block
from casing.piece import Piece
from casing.tongue import tongue

Point = tuple[float, float]
"""z, y in the tongue's frame, mm."""

PLASTIC, RUBBER, STEEL = (0.20, 0.25, 0.29), (0.10, 0.10, 0.10), (0.72, 0.70, 0.62)


class Jaw(NamedTuple):
    """The upper jaw's face: where it is at z, and which way it looks."""

    back: Point
    slope: float

    def y(self, z: float) -> float:
        """Height of the face, mm."""
        return self.back[1] - (z - self.back[0]) * self.slope


def jaw(clip: Figures) -> Jaw:
    """The saddle's underside: it falls towards the player by the tilt."""
    return Jaw((clip.mm("saddle.back"), -clip.mm("saddle.thick")), tan(clip.mm("saddle.tilt") * pi / 180))


def _face_line(clip: Figures, away: float) -> list[Point]:
    """The upper jaw's face from the back to the throat, with its notch, moved downwards by so much."""
    face, vee, half, deep = jaw(clip), clip.mm("vee.z"), clip.mm("vee.half"), clip.mm("vee.deep")
    places = [
        (clip.mm("saddle.back"), 0.0),
        (vee - half, 0.0),
        (vee, deep),
        (vee + half, 0.0),
        (clip.mm("throat.z"), 0.0),
    ]
    return [(z, face.y(z) + up - away) for z, up in places]


def _lower_line(clip: Figures, parts: Figures, lip: float, more: float) -> list[Point]:
    """The lower jaw's face when it holds a flat lip: as far from the upper one as the lip and both pads, and more."""
    face, vee, half, deep = jaw(clip), clip.mm("vee.z"), clip.mm("vee.half"), clip.mm("vee.deep")
    gap = (lip + 2 * parts.mm("pad.thick")) / cos(clip.mm("saddle.tilt") * pi / 180)
    places = [
        (clip.mm("saddle.back"), 0.0),
        (vee - half, 0.0),
        (vee, deep),
        (vee + half, 0.0),
        (clip.mm("throat.z") - 0.5, 0.0),
    ]
    return [(z, face.y(z) - gap - down + more) for z, down in places]


def _profile(points: list[Point]) -> Sketch:
    return make_face(Plane.YZ * Polyline(*[(y, z) for z, y in points], close=True))


def _bar(points: list[Point], x: Span) -> Shape:
    return Pos(x.low, 0, 0) * extrude(_profile(points), x.size, dir=(1, 0, 0))


def _halves(clip: Figures) -> tuple[Span, Span, Span]:
    """The whole breadth; the saddle's side of it, where its lug is; the lever's."""
    half, fit = clip.mm("saddle.wide") / 2, clip.mm("axle.fit")
    return Span(-half, half), Span(-half, -fit), Span(fit, half)


def _lug(clip: Figures, x: Span) -> Shape:
    z, y = clip.pair("axle.at")
    return Pos(x.middle, y, z) * Rot(0, 90, 0) * Cylinder(clip.mm("axle.lug"), x.size)


def _pocket(clip: Figures, y: Span) -> Shape:
    side, _ = clip.pair("spring.pocket")
    z = clip.mm("spring.z")
    return Pos(0, 0, z) * Rot(0, 45, 0) * block(Span(-side / 2, side / 2), y, Span(-side / 2, side / 2))


def saddle(shell: Figures, clip: Figures, parts: Figures) -> Shape:
    """The upper jaw with tongue, lug and the shelf for the spring."""
    whole, left, _ = _halves(clip)
    z, y = clip.pair("axle.at")
    throat, roof, lug = clip.mm("throat.z"), clip.mm("spring.roof"), clip.mm("axle.lug")
    deep = clip.pair("spring.pocket")[1]
    face = _face_line(clip, 0.0)
    front = clip.mm("saddle.front")
    bar = _bar(
        [(face[0][0], 0.0), *face, (z + lug, face[-1][1]), (z + lug, roof), (front, roof), (front, 0.0)], whole
    )
    bar = fillet(_long_edges(bar, front), clip.mm("saddle.round"))
    cheek = _bar(
        [(throat, face[-1][1] + 1.0), (throat, y), (z, y - lug), (z + lug, y), (z + lug, face[-1][1] + 1.0)], left
    )
    form = bar + cheek + _lug(clip, left) + tongue(shell)
    hole = Pos(0, y, z) * Rot(0, 90, 0) * Cylinder(parts.mm("axle.across") / 2 + clip.mm("axle.fit") / 2, 60)
    return form - hole - _pocket(clip, Span(roof - 0.01, roof + deep))


def lever(clip: Figures, parts: Figures) -> Shape:
    """The lower jaw with lug and handle, as it stands when it holds a lip of clip.toml's thickness."""
    whole, _, right = _halves(clip)
    z, y = clip.pair("axle.at")
    thick, lug, deep = clip.mm("lever.thick"), clip.mm("axle.lug"), clip.pair("spring.pocket")[1]
    face = _lower_line(clip, parts, clip.mm("lever.lip"), 0.0)
    under = [
        (face[-1][0], face[-1][1] - thick),
        (clip.mm("vee.z"), face[2][1] - thick + 1.0),
        (face[0][0], face[0][1] - thick + 2.0),
    ]
    form = _bar([*face, *under], whole)
    handle, front = clip.mm("lever.handle"), clip.mm("lever.front")
    near = z + lug + 0.6
    form += _bar(
        [
            (face[-1][0] - 4, face[-1][1]),
            (face[-1][0] - 4, face[-1][1] - thick),
            (z, y - lug),
            (z, y + lug),
            (face[-1][0], face[-1][1]),
        ],
        right,
    )
    form += _bar(
        [
            (z, y + lug),
            (z, y - lug),
            (near, handle - thick),
            (near + 2, handle - thick),
            (near + 2, handle),
            (near, handle),
        ],
        right,
    )
    form += _lug(clip, right)
    form += _bar([(near, handle), (near, handle - thick), (front, handle - thick + 1.5), (front, handle)], whole)
    hole = Pos(0, y, z) * Rot(0, 90, 0) * Cylinder(parts.mm("axle.across") / 2 + clip.mm("axle.fit") / 2, 60)
    form = form - hole - _pocket(clip, Span(handle - deep, handle + 0.01))
    ends = [
        e for e in form.edges().filter_by(Axis.X) if front - 0.1 < e.center().Z or face[0][0] + 0.1 > e.center().Z
    ]
    return fillet(ends, clip.mm("saddle.round"))


def _long_edges(bar: Shape, front: float) -> list[Shape]:
    """The edges along x at the ends of the saddle's bar."""
    low = bar.bounding_box().min.Z
    return [e for e in bar.edges().filter_by(Axis.X) if low + 0.01 > e.center().Z or front - 0.01 < e.center().Z]


def turned(clip: Figures, shape: Shape, degrees: float) -> Shape:
    """The lever turned about the axle; plus opens it."""
    z, y = clip.pair("axle.at")
    return Pos(0, y, z) * Rot(-degrees, 0, 0) * Pos(0, -y, -z) * shape


def pads(clip: Figures, parts: Figures) -> tuple[Shape, Shape]:
    """Soft sheet on the upper jaw and its throat, and on the lower one."""
    thick = parts.mm("pad.thick")
    whole, left, _ = _halves(clip)
    upper = _bar([*_face_line(clip, 0.0), *reversed(_face_line(clip, thick))], whole)
    face, throat = _face_line(clip, 0.0)[-1][1], clip.mm("throat.z")
    upper += _bar(
        [(throat, face - 0.0), (throat, face - 9.0), (throat - thick, face - 9.0), (throat - thick, face)], left
    )
    lip = clip.mm("lever.lip")
    lower = _bar([*_lower_line(clip, parts, lip, 0.0), *reversed(_lower_line(clip, parts, lip, thick))], whole)
    return upper, lower


def spring_span(clip: Figures, degrees: float) -> float:
    """How long the spring is between its seats with the lever turned so, mm: along the line between their middles."""
    deep, z = clip.pair("spring.pocket")[1], clip.mm("spring.z")
    az, ay = clip.pair("axle.at")
    angle = degrees * pi / 180
    dz, dy = z - az, clip.mm("lever.handle") - deep - ay
    seat = (az + dz * cos(angle) - dy * sin(angle), ay + dy * cos(angle) + dz * sin(angle))
    top = (z, clip.mm("spring.roof") + deep)
    return float(((top[0] - seat[0]) ** 2 + (top[1] - seat[1]) ** 2) ** 0.5)


def _axle(parts: Figures, between: float) -> Shape:
    """A screw with a nut that locks, along x."""
    (head, high), (nut, thick), across = parts.pair("axle.head"), parts.pair("axle.nut"), parts.mm("axle.across")
    shank = Rot(0, 90, 0) * Cylinder(across / 2, between + 2 * thick)
    shank += Pos(between / 2 + high / 2, 0, 0) * Rot(0, 90, 0) * Cylinder(head / 2, high)
    return shank + Pos(-between / 2 - thick / 2, 0, 0) * Rot(0, 90, 0) * Cylinder(nut / 2, thick)


def clip_pieces(shell: Figures, clip: Figures, parts: Figures, where: Location, degrees: float = 0.0) -> list[Piece]:
    """The clip in the place of a tongue: printed saddle and lever, bought pads, axle and spring.

    Parameters
    ----------
    where : from the tongue's frame to the box, as casing.grooves has it
    degrees : by how much the lever is turned from where it holds a lip of clip.toml's thickness; plus is open
    """
    upper, lower = pads(clip, parts)
    z, y = clip.pair("axle.at")
    whole, _, _ = _halves(clip)
    axle = _axle(parts, whole.size).moved(Location((0, y, z)))
    span = spring_span(clip, degrees)
    top = clip.mm("spring.roof") + clip.pair("spring.pocket")[1]
    spring = (
        Pos(0, top - span / 2, clip.mm("spring.z")) * Rot(90, 0, 0) * Cylinder(parts.mm("spring.across") / 2, span)
    )
    down = (where * Pos(0, -1, 0)).position - where.position
    apart = tuple(24.0 * v for v in down)
    far = tuple(44.0 * v for v in down)
    return [
        Piece(
            "clip-saddle",
            where * saddle(shell, clip, parts),
            colour=PLASTIC,
            apart=apart,
            flat=Location(Rot(0, -90, 0)) * where.inverse(),
        ),
        Piece(
            "clip-lever",
            where * turned(clip, lever(clip, parts), degrees),
            colour=PLASTIC,
            apart=far,
            flat=Location(Rot(0, 90, 0)) * where.inverse(),
        ),
        Piece("pad-upper", where * upper, printed=False, colour=RUBBER, apart=apart),
        Piece("pad-lower", where * turned(clip, lower, degrees), printed=False, colour=RUBBER, apart=far),
        Piece("clip-axle", where * axle, printed=False, colour=STEEL, apart=apart),
        Piece("clip-spring", where * spring, printed=False, colour=STEEL, apart=far),
    ]
