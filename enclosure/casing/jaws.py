"""The two jaws of the stand's clip and their pads: a saddle with the tongue, a lever under it.

Each is a profile in the z-y plane of the tongue's frame. Lips lie between two even faces, tubes in the notch of the
upper one. Each lug takes half of the breadth, so that both jaws print lying on their sides with nothing under them,
and their layers run along the forces.
"""

from __future__ import annotations

from math import cos, pi, tan

from build123d import Axis, Cylinder, Pos, Rot, Shape, fillet

from casing.figures import Figures
from casing.hull import Span, along_x, block
from casing.tongue import tongue

Point = tuple[float, float]
"""z, y in the tongue's frame, mm."""


def _face(clip: Figures, z: float) -> float:
    """Height of the upper jaw's face at z, mm: it falls towards the player by the tilt."""
    return -clip.mm("saddle.thick") - (z - clip.mm("saddle.back")) * tan(clip.mm("saddle.tilt") * pi / 180)


def _upper_line(clip: Figures) -> list[Point]:
    """The upper jaw's face from the back to the throat, with its notch."""
    vee, half, deep = clip.mm("vee.z"), clip.mm("vee.half"), clip.mm("vee.deep")
    places = [
        (clip.mm("saddle.back"), 0.0),
        (vee - half, 0.0),
        (vee, deep),
        (vee + half, 0.0),
        (clip.mm("throat.z"), 0.0),
    ]
    return [(z, _face(clip, z) + up) for z, up in places]


def _lower_line(clip: Figures, parts: Figures) -> list[Point]:
    """The lower jaw's face as far from the upper one as a lip and both pads; it ends before the throat's pad."""
    pad = parts.mm("pad.thick")
    gap = (clip.mm("lever.lip") + 2 * pad) / cos(clip.mm("saddle.tilt") * pi / 180)
    ends = clip.mm("saddle.back"), clip.mm("throat.z") - pad - clip.mm("lever.free")
    return [(z, _face(clip, z) - gap) for z in ends]


def _lifted(line: list[Point], up: float) -> list[Point]:
    return [(z, y + up) for z, y in line]


def bar(points: list[Point], x: Span) -> Shape:
    """A profile of corners z, y, drawn out along x."""
    return along_x([(y, z) for z, y in points], x)


def on_axle(clip: Figures, radius: float, x: Span) -> Shape:
    """A cylinder about the clip's axle."""
    z, y = clip.pair("axle.at")
    return Pos(x.middle, y, z) * Rot(0, 90, 0) * Cylinder(radius, x.size)


def whole(clip: Figures) -> Span:
    """The clip's breadth."""
    half = clip.mm("saddle.wide") / 2
    return Span(-half, half)


def _saddles_half(clip: Figures) -> Span:
    return Span(whole(clip).low, -clip.mm("axle.fit"))


def _levers_half(clip: Figures) -> Span:
    return Span(clip.mm("axle.fit"), whole(clip).high)


def _axle_hole(clip: Figures, parts: Figures) -> Shape:
    x = whole(clip)
    return on_axle(clip, (parts.mm("axle.across") + clip.mm("axle.fit")) / 2, Span(x.low - 1, x.high + 1))


def _pocket(clip: Figures, y: Span) -> Shape:
    """A seat of the spring, square, standing on its corner."""
    side = clip.pair("spring.pocket")[0]
    each = Span(-side / 2, side / 2)
    return Pos(0, 0, clip.mm("spring.z")) * Rot(0, 45, 0) * block(each, y, each)


def saddle(shell: Figures, clip: Figures, parts: Figures) -> Shape:
    """The upper jaw with tongue and lug, and the shelf for the spring with the handle's stop."""
    z, y = clip.pair("axle.at")
    throat, roof, lug, front = (clip.mm(path) for path in ("throat.z", "spring.roof", "axle.lug", "saddle.front"))
    stop, stop_y = clip.pair("saddle.stop")
    face = _upper_line(clip)
    (back, _), (_, end) = face[0], face[-1]
    shelf = [(z + lug, end), (z + lug, roof), (front - stop, roof), (front - stop, stop_y), (front, stop_y)]
    upper = bar([(back, 0.0), *face, *shelf, (front, 0.0)], whole(clip))
    ends = [e for e in upper.edges().filter_by(Axis.X) if not back + 0.01 < e.center().Z < front - 0.01]
    cheek = [(throat, end + 1.0), (throat, y), (z, y - lug), (z + lug, y), (z + lug, end + 1.0)]
    half = _saddles_half(clip)
    form = fillet(ends, clip.mm("saddle.round")) + bar(cheek, half) + on_axle(clip, lug, half) + tongue(shell)
    return form - _axle_hole(clip, parts) - _pocket(clip, Span(roof - 0.01, roof + clip.pair("spring.pocket")[1]))


def lever(clip: Figures, parts: Figures) -> Shape:
    """The lower jaw with lug and handle, as it stands when it holds a lip of clip.toml's thickness."""
    z, y = clip.pair("axle.at")
    thick, lug, front, handle = (clip.mm(path) for path in ("lever.thick", "axle.lug", "lever.front", "lever.handle"))
    (back, low), (end, high) = _lower_line(clip, parts)
    half, near = _levers_half(clip), z + lug + 0.6  # behind the saddle's lug
    jaw = [(back, low), (end, high), (end, high - thick), (back, low - thick + 2.0)]
    arm = [(end - 4, high), (end, high - thick), (z, y - lug), (z, y + lug), (end, high)]
    neck = [(z, y + lug), (z, y - lug), (near, handle - thick), (near + 2, handle - thick), (near + 2, handle)]
    grip = [(near, handle), (near, handle - thick), (front, handle - thick + 1.5), (front, handle)]
    form = bar(jaw, whole(clip)) + bar(arm, half) + bar([*neck, (near, handle)], half) + on_axle(clip, lug, half)
    form += bar(grip, whole(clip))
    form -= _axle_hole(clip, parts) + _pocket(clip, Span(handle - clip.pair("spring.pocket")[1], handle + 0.01))
    ends = [e for e in form.edges().filter_by(Axis.X) if not back + 0.1 < e.center().Z < front - 0.1]
    return fillet(ends, clip.mm("saddle.round"))


def pads(clip: Figures, parts: Figures) -> tuple[Shape, Shape]:
    """Soft sheet on the upper jaw and its throat, and on the lower one."""
    thick, throat = parts.mm("pad.thick"), clip.mm("throat.z")
    face, under = _upper_line(clip), _lower_line(clip, parts)
    top, low = face[-1][1], face[-1][1] - clip.mm("throat.deep")
    upper = bar([*face, *reversed(_lifted(face, -thick))], whole(clip))
    upper += bar([(throat, top), (throat, low), (throat - thick, low), (throat - thick, top)], _saddles_half(clip))
    return upper, bar([*under, *reversed(_lifted(under, thick))], whole(clip))
