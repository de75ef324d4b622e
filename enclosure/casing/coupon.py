"""A test print before the long ones: samples of every critical fit, cut out of the real parts and set side by side.

Three pieces. The first two snap into each other as lid and base do. The third has a key's stub for the hole of the
first, an edge of the shelf for the rail of the second, and an end of a tongue for the groove of the second.
"""

from __future__ import annotations

from typing import NamedTuple

from build123d import Cylinder, Location, Pos, Rot, Shape, offset

from casing import bay, grooves
from casing.base import base
from casing.bought import board
from casing.channel import corners
from casing.figures import Figures
from casing.hull import Hull, Span, block, hull
from casing.keys import Key, key_piece, outline, places
from casing.lid import lid
from casing.piece import Piece
from casing.side import edge_places
from casing.tongue import tongue
from casing.variants import Variant

COLOUR = (0.80, 0.62, 0.30)
WEB = 1.8
"""Plastic that is left round a sample, mm."""
JOIN = 0.5
"""How far two samples go into each other, mm."""
LONG = 6.0
"""Length of the samples of rail, shelf and tongue, mm."""
STUB = 0.3
"""By how much the key's stub ends below the face, mm."""
HANDLE = 1.8
"""Thickness of what the tongue's sample stands on, mm."""


class Room(NamedTuple):
    """A box, mm."""

    x: Span
    y: Span
    z: Span


def _round(at: float, half: float) -> Span:
    return Span(at - half, at + half)


def _sample(part: Shape, room: Room, x: float | None = None, y: float | None = None, z: float | None = None) -> Shape:
    """What of a part is in a room, moved so that the room's least x, y or z comes to where it is wanted."""
    wanted = (room.x.low if x is None else x, room.y.low if y is None else y, room.z.low if z is None else z)
    to = Location((wanted[0] - room.x.low, wanted[1] - room.y.low, wanted[2] - room.z.low))
    return to * (part & block(*room))


def _first_key(parts: Figures) -> Key:
    return places(board(parts))[0]


def _lid(shell: Figures, parts: Figures, walls: Hull) -> Shape:
    """A window for a hook, the hole of a key beside it, a post of the board with its pilot hole."""
    part = lid(shell, parts, Variant().display).shape
    key, arm = _first_key(parts), shell.numbers("snap.places")[0]
    hole = offset(outline(key.name, shell.mm("keys.size")), shell.mm("keys.gap")).bounding_box()
    half = shell.mm("snap.wide") / 2 + shell.mm("snap.window_fit") + WEB
    x = Span(min(key.x + hole.min.X - WEB, arm - half), max(key.x + hole.max.X + WEB, arm + half))
    face = Room(x, Span(walls.y.low, key.y + hole.max.Y + WEB), Span(walls.face_in, walls.face))
    edge = shell.mm("snap.hook") - shell.mm("snap.catch") - shell.mm("snap.window_fit") - WEB
    wall = Room(_round(arm, half), Span(walls.y.low, walls.inside_y.low), Span(edge, walls.face_in + JOIN))
    across = shell.mm("posts.across") / 2
    px, py = edge_places(parts)[0]
    post = Room(_round(px, across), _round(py, across), Span(parts.numbers("board.size")[2], walls.face))
    form = _sample(part, face) + _sample(part, wall)
    return form + _sample(part, post, x=x.high - JOIN, y=key.y - across)


def _arm(shell: Figures, walls: Hull) -> Room:
    """A whole arm with the wall that it grows out of."""
    gap, thick, root = shell.mm("snap.wall_gap"), shell.mm("snap.thick"), shell.mm("snap.root")
    x = _round(shell.numbers("snap.places")[0], shell.mm("snap.wide") / 2 + 1.0)
    deep = walls.inside_y.low + gap + thick
    return Room(x, Span(walls.y.low, deep), Span(root - 2.5 - gap - thick - 0.1, walls.face_in))


def _base(shell: Figures, parts: Figures, walls: Hull) -> Shape:
    """An arm with its hook; beside it slits and webs, a groove with its ridge; behind that cable channel and rail."""
    part = base(shell, parts, True).shape
    arm = _arm(shell, walls)
    bed = arm.z.low

    fit, floor = shell.mm("tongue.fit"), shell.mm("tongue.floor")
    origin = grooves.bottom_place(shell, walls).position
    ridge = origin.Z - shell.mm("tongue.long") + shell.mm("tongue.catch")
    groove = Room(
        _round(origin.X, shell.mm("tongue.wide") / 2 + fit + floor),
        Span(walls.y.low, walls.y.low + shell.mm("tongue.deep") + fit + floor),
        _round(ridge, LONG / 2),
    )
    behind = groove.y.high - JOIN
    right = arm.x.high - JOIN

    mx, mz = shell.pair("microphone.place")
    wide, high = shell.pair("microphone.slit")
    pitch = shell.mm("microphone.pitch")
    web = pitch - wide
    slits = Room(
        Span(mx - wide / 2 - web, mx + pitch + wide / 2 + web),
        Span(walls.inside_y.high, walls.y.high),
        Span(mz - high / 2 - web, mz),  # their lower halves
    )

    (x, top), (_, low) = corners(shell)[1:3]
    channel = Room(
        _round(x, shell.mm("cable.wide") / 2 + shell.mm("cable.floor")),
        Span(low + shell.mm("cable.bend"), top - shell.mm("cable.bend")),
        Span(walls.back, walls.back + shell.mm("cable.deep") + shell.mm("cable.floor")),
    )

    inner, along = bay.room(shell, parts)
    plate = shell.mm("bay.shelf")
    rail = Room(
        Span(inner.low - shell.mm("bay.fence"), inner.low),
        _round(along.middle, LONG / 2),
        Span(shell.mm("bay.top") - 2 * plate - 2.0, shell.mm("bay.top")),
    )
    samples = [
        _sample(part, slits, x=arm.x.low + JOIN - slits.x.size, y=arm.y.low, z=bed),
        _sample(part, groove, x=right, z=bed),
        _sample(part, channel, x=right, y=behind, z=bed),
        _sample(part, rail, x=right + groove.x.size - rail.x.size, y=behind, z=bed),
    ]
    form = _sample(part, arm)
    for sample in samples:
        form += sample
    return form


def _loose(shell: Figures, parts: Figures, walls: Hull) -> Shape:
    """A key's stub on its flange; beside it an edge of the shelf with a screw's hole, above it a tongue."""
    key = _first_key(parts)
    cap = key_piece(shell, parts, key).shape
    low = cap.bounding_box()
    everywhere = _round(0.0, 500.0)
    form = _sample(cap, Room(everywhere, everywhere, Span(low.min.Z, walls.face - STUB)))
    bed = float(low.min.Z)

    plate = bay.shelf_piece(shell, parts).shape
    lies = plate.bounding_box()
    edge = Room(Span(lies.min.X, lies.min.X + LONG), _round(lies.center().Y, LONG / 2), Span(lies.min.Z, lies.max.Z))
    start = low.min.X + 2.0 - LONG  # a drop is narrow at its end
    form += _sample(plate, edge, x=start, y=key.y - LONG / 2, z=bed)
    form -= Pos(start + LONG / 2, key.y, bed) * Cylinder(parts.mm("board.hole") / 2, 4 * lies.size.Z)

    half = (shell.mm("tongue.wide") / 2 - shell.mm("tongue.lean")) / 2
    end = -shell.mm("tongue.long")
    grown = tongue(shell) & block(everywhere, Span(0.0, 50.0), Span(end, end + LONG))
    grown += block(_round(0.0, half), Span(-HANDLE, 0.0), Span(end, end + LONG))
    neck = low.max.Y + WEB + HANDLE
    form += block(
        _round(key.x, half), Span(key.y, neck - HANDLE + JOIN), Span(bed, bed + shell.mm("keys.flange_thick"))
    )
    return form + Location((key.x, neck, bed - end)) * grown


def coupon_pieces(shell: Figures, parts: Figures) -> list[Piece]:
    """The three pieces, by the same functions and figures as the box."""
    walls = hull(shell, parts, True)
    return [
        Piece("coupon-lid", _lid(shell, parts, walls), colour=COLOUR, flat=Location(Rot(180, 0, 0))),
        Piece("coupon-base", _base(shell, parts, walls), colour=COLOUR),
        Piece("coupon-loose", _loose(shell, parts, walls), colour=COLOUR),
    ]
