"""The tray's back part: a plate like the carrier board, with slots for legs and wires, and fences on its back.

It is printed with its front on the bed; all that stands on it goes straight up.
"""

from __future__ import annotations

from itertools import pairwise

from build123d import Cylinder, Location, Polyline, Pos, Rot, Shape, extrude, make_face

from casing.bought import JACK, row_place
from casing.figures import Figures
from casing.hull import Span, block, rounded
from casing.piece import Piece
from casing.side import edge_places
from casing.tray_held import body, computer_board, computer_holes, lies, module, on_the_plate, seats, slot_rooms

COLOUR = (0.58, 0.62, 0.60)
SIDES = ("low", "high", "left", "right")
BEYOND = 1.0
"""How far a cutter stands out of what it cuts, mm."""
INTO = 0.5
"""How far what stands on the plate goes into it, mm."""


def standing(x: Span, y: Span, deep: float) -> Shape:
    """A block on the plate's back."""
    return block(x, y, Span(-deep, INTO))


def spans(tray: Figures, path: str) -> list[Span]:
    """From, to, from, to... ; none where there is no such list."""
    table, _, side = path.rpartition(".")
    if side not in tray.names(table):
        return []
    ends = tray.numbers(path)
    return [Span(*pair) for pair in zip(ends[::2], ends[1::2], strict=True)]


def beside(x: Span, y: Span, side: str, along: Span, gap: float, thick: float) -> tuple[Span, Span]:
    """x and y of what stands along a side of a rectangle: outside if thick is positive, under it if negative."""
    edge, sign = {"low": (y.low, -1.0), "high": (y.high, 1.0), "left": (x.low, -1.0), "right": (x.high, 1.0)}[side]
    a, b = edge + sign * gap, edge + sign * (gap + thick)
    across = Span(min(a, b), max(a, b))
    return (along, across) if side in {"low", "high"} else (across, along)


def _fences(tray: Figures, path: str, x: Span, y: Span, deep: float) -> list[Shape]:
    """The fences of a module or of a piece of perfboard."""
    fit, thick = tray.mm("fence.fit"), tray.mm("fence.thick")
    return [
        standing(*beside(x, y, side, along, fit, thick), deep)
        for side in SIDES
        for along in spans(tray, f"{path}.fences.{side}")
    ]


def _seat(tray: Figures, parts: Figures, name: str) -> list[Shape]:
    """Fences and ledges of a module."""
    plate = body(module(tray, parts, name)[0])
    x, y = Span(plate.min.X, plate.max.X), Span(plate.min.Y, plate.max.Y)
    found = _fences(tray, f"seat.{name}", x, y, tray.mm("fence.over") - lies(tray, name))
    fit, reach, high = tray.mm("fence.fit"), tray.mm("fence.ledge"), tray.mm(f"seat.{name}.ledge")
    found += [
        standing(*beside(x, y, side, along, fit, -reach - fit), high)
        for side in SIDES
        for along in spans(tray, f"seat.{name}.ledges.{side}")
    ]
    return found


def _strip_fences(tray: Figures) -> list[Shape]:
    found: list[Shape] = []
    for name in tray.names("strip"):
        left, low, right, high = tray.numbers(f"strip.{name}.at")
        deep = tray.mm("foam.thick") + tray.mm("fence.over")
        found += _fences(tray, f"strip.{name}", Span(left, right), Span(low, high), deep)
    return found


def _walls(tray: Figures) -> list[Shape]:
    """Walls that stand between two parts."""
    found: list[Shape] = []
    for name in tray.names("wall"):
        left, low, right, high = tray.numbers(f"wall.{name}.at")
        found.append(standing(Span(left, right), Span(low, high), tray.mm(f"wall.{name}.deep")))
    return found


def _between_jacks(tray: Figures, parts: Figures) -> list[Shape]:
    """Wedges at the plate's edge and teeth at the walls behind: between two jacks there is no room for a wall."""
    front, half, deep = tray.numbers("jacks.wedge")
    root, long = tray.pair("jacks.tooth")
    jacks = sorted((body(p) for p in on_the_plate(parts) if p.name.startswith(JACK)), key=lambda b: float(b.min.Y))
    found: list[Shape] = []
    for one, other in pairwise(jacks):
        y = (one.max.Y + other.min.Y) / 2
        back = one.max.X + tray.mm("fence.fit")
        for corners in (
            [(front, y - half), (front + half, y), (front, y + half)],
            [(back + INTO, y - root), (back, y - root), (back - long, y), (back, y + root), (back + INTO, y + root)],
        ):
            found.append(Pos(0, 0, -deep) * extrude(make_face(Polyline(*corners, close=True)), deep + INTO))
    return found


def _posts(tray: Figures, parts: Figures) -> tuple[list[Shape], list[Shape]]:
    """Posts of the computer, bosses of the front part's screws; their holes."""
    pilot = parts.mm("screw.pilot") / 2
    across, deep = tray.mm("posts.across"), tray.mm("posts.pilot")
    end = float(computer_board(parts).max.Z)
    solid = [Pos(x, y, (end + INTO) / 2) * Cylinder(across / 2, INTO - end) for x, y in computer_holes(tray, parts)]
    cut = [
        Pos(x, y, end + (deep - BEYOND) / 2) * Cylinder(pilot, deep + BEYOND) for x, y in computer_holes(tray, parts)
    ]
    places, boss, low = tray.numbers("front.screws"), tray.mm("front.boss"), tray.mm("front.boss_deep")
    for x, y in zip(places[::2], places[1::2], strict=True):
        solid.append(Pos(x, y, (INTO - low) / 2) * Cylinder(boss / 2, INTO + low))
        cut.append(Pos(x, y, 0) * Cylinder(pilot, 4 * low))
    return solid, cut


def _openings(tray: Figures, parts: Figures) -> list[Shape]:
    """All that goes through the plate itself: screw holes, slots for legs, wires and ties."""
    thick = parts.numbers("board.size")[2]
    z = Span(-BEYOND, thick + BEYOND)
    found: list[Shape] = [
        Pos(x, y, thick / 2) * Cylinder(parts.mm("board.hole") / 2, z.size) for x, y in edge_places(parts)
    ]
    for name in tray.names("wires"):
        x, y, across = tray.numbers(f"wires.{name}")
        found.append(Pos(x, y, thick / 2) * Cylinder(across / 2, z.size))
    for piece in on_the_plate(parts):
        found += [block(along, up, z) for along, up in slot_rooms(tray, piece)]
    for name in tray.names("ties"):
        left, low, right, high = tray.numbers(f"ties.{name}")
        found.append(block(Span(left, right), Span(low, high), z))
    room = tray.mm("slot.pins.room")
    for name in seats(tray):
        if -lies(tray, name) < parts.mm("board.solder"):
            for row in module(tray, parts, name)[1]:
                along, up = Span(row.min.X - room, row.max.X + room), Span(row.min.Y - room, row.max.Y + room)
                found.append(block(along, up, z))
    return [*found, display_slot(tray, parts, z)]


def display_slot(tray: Figures, parts: Figures, z: Span) -> Shape:
    """What is cut out for the display's four wires."""
    x, y = row_place(parts)
    left, low, right, high = tray.numbers("slot.display.wires")
    return block(Span(x + left, x + right), Span(y + low, y + high), z)


def plate_piece(tray: Figures, parts: Figures) -> Piece:
    """The back part, the same for every display."""
    width, height, thick = parts.numbers("board.size")
    sheet = rounded(Span(0.0, width), Span(0.0, height), Span(0.0, thick), tray.mm("plate.round"))
    sheet -= _openings(tray, parts)
    posts, pilots = _posts(tray, parts)
    fences = [s for name in seats(tray) for s in _seat(tray, parts, name)]
    form = sheet.fuse(*fences, *_strip_fences(tray), *_walls(tray), *_between_jacks(tray, parts), *posts)
    form -= pilots
    return Piece("tray", form, colour=COLOUR, apart=(0.0, 0.0, -4.0), flat=Location(Rot(180, 0, 0)))
