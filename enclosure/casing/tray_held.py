"""What the tray carries, as solids: parts of hardware's STEP file without their sockets, and what is bought instead.

What a hand or a plug reaches stands exactly where the carrier board has it: buttons, display, jacks, socket, switch.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from build123d import BoundBox, Compound, Cylinder, Location, Pos, Shape

from casing.bought import JACK, KNOB_SWITCH, SWITCH, USB, board, display, lead_plug
from casing.figures import Figures
from casing.hull import Span, box
from casing.piece import METAL, Piece
from casing.variants import Variant

COMPUTER = "Raspberry"
LEGS = {SWITCH: "button", JACK: "jack", KNOB_SWITCH: "switch"}
"""Beginnings of the names of parts with legs, and what their slots are called in tray.toml."""

PERFBOARD = (0.62, 0.50, 0.24)
ON_THE_BOARD = 0.2
"""A body that comes nearer to the carrier board than this is a socket strip, mm."""


def seats(tray: Figures) -> list[str]:
    """Names of the modules that lie on foam."""
    return tray.names("seat")


def body(piece: Piece) -> BoundBox:
    """The broadest body of a part, its board if it has one: what a fence stands round."""
    boxes = (s.bounding_box() for s in piece.shape.solids())
    return max(boxes, key=lambda b: float(b.size.X * b.size.Y))


def on_the_plate(parts: Figures) -> list[Piece]:
    """What lies straight on the plate, as on the carrier board: buttons, jacks, slide switch, USB socket."""
    return [p for p in board(parts) if p.name.startswith((SWITCH, JACK, KNOB_SWITCH, USB))]


def _lifted(parts: Figures, piece: Piece) -> Piece:
    """A button on the plate's front: hardware's bodies stand a hundredth of a millimetre in the board's."""
    if not piece.name.startswith(SWITCH):
        return piece
    up = Location((0.0, 0.0, parts.numbers("board.size")[2] - body(piece).min.Z))
    return replace(piece, shape=up * Compound(piece.shape.solids()))


def _split(piece: Piece) -> tuple[list[Shape], list[BoundBox]]:
    """Bodies of a module, and the boxes of its socket strips."""
    strips = [s for s in piece.shape.solids() if s.bounding_box().max.Z > -ON_THE_BOARD]
    rest = [s for s in piece.shape.solids() if s.bounding_box().max.Z <= -ON_THE_BOARD]
    return rest, [s.bounding_box() for s in strips]


def module(tray: Figures, parts: Figures, name: str) -> tuple[Piece, list[BoundBox]]:
    """A module as it lies on the tray, and where its rows of pins are."""
    piece = next(p for p in board(parts) if p.name == name)
    bodies, strips = _split(piece)
    near = max(float(s.bounding_box().max.Z) for s in bodies)
    dx, dy = tray.pair(f"seat.{name}.move")
    to = Location((dx, dy, lies(tray, name) - near))
    moved = Piece(name, to * Compound(bodies), printed=False, colour=piece.colour, apart=(0.0, 0.0, -16.0))
    return moved, [(to * box(tuple(s.min), tuple(s.max))).bounding_box() for s in strips]


def lies(tray: Figures, name: str) -> float:
    """z of the face of a module's board that looks at the plate, mm."""
    return -tray.mm(f"seat.{name}.ledge") - tray.mm("foam.thick")


def computer(tray: Figures, parts: Figures) -> Piece:
    """The computer without its socket strip, where the carrier board has it; its board has its four holes."""
    piece = next(p for p in board(parts) if p.name.startswith(COMPUTER))
    bodies, _ = _split(piece)
    across = tray.mm("bought.computer.across")
    holes = [Pos(x, y, -9.0) * Cylinder(across / 2, 10.0) for x, y in computer_holes(tray, parts)]
    solids = [s for b in bodies for s in (b - holes).solids()]
    return Piece(piece.name, Compound(solids), printed=False, colour=piece.colour, apart=(0.0, 0.0, -22.0))


def computer_board(parts: Figures) -> BoundBox:
    """The board of the computer itself."""
    return body(next(p for p in board(parts) if p.name.startswith(COMPUTER)))


def computer_holes(tray: Figures, parts: Figures) -> list[tuple[float, float]]:
    """x, y of the holes of the computer's board, mm."""
    plate, (dx, dy) = computer_board(parts), tray.pair("bought.computer.hole")
    return [(x, y) for x in (plate.min.X + dx, plate.max.X - dx) for y in (plate.min.Y + dy, plate.max.Y - dy)]


def usb_board(tray: Figures, parts: Figures) -> Piece:
    """The board under the USB socket, on the side away from the plate."""
    socket = next(p for p in on_the_plate(parts) if p.name.startswith(USB)).shape.bounding_box()
    deep, wide, thick = tray.numbers("bought.usb.size")
    front, middle, top = socket.max.X - tray.mm("bought.usb.mouth"), socket.center().Y, socket.min.Z
    shape = box((front - deep, middle - wide / 2, top - thick), (front, middle + wide / 2, top))
    return Piece("usb board", shape, printed=False, colour=(0.45, 0.12, 0.20), apart=(0.0, 0.0, -16.0))


def strip_room(tray: Figures, name: str) -> tuple[Span, Span, Span]:
    """x, y, z of a piece of perfboard with its parts, mm."""
    left, low, right, high = tray.numbers(f"strip.{name}.at")
    foam, thick = tray.mm("foam.thick"), tray.mm("bought.strip.thick") + tray.mm("bought.strip.parts")
    top = -foam - tray.mm(f"strip.{name}.on") * (thick + foam)
    return Span(left, right), Span(low, high), Span(top - thick, top)


def strips(tray: Figures) -> list[Piece]:
    """The pieces of perfboard."""
    found: list[Piece] = []
    for name in tray.names("strip"):
        x, y, z = strip_room(tray, name)
        shape = box((x.low, y.low, z.low), (x.high, y.high, z.high))
        found.append(Piece(f"strip {name}", shape, printed=False, colour=PERFBOARD, apart=(0.0, 0.0, -10.0)))
    return found


def slot_rooms(tray: Figures, piece: Piece) -> Iterator[tuple[Span, Span]]:
    """x and y of the slots for the legs of a part, mm; none where it has no legs."""
    kind = next((k for start, k in LEGS.items() if piece.name.startswith(start)), None)
    if kind is None:
        return
    middle = body(piece).center()
    for name in tray.names(f"slot.{kind}"):
        left, low, right, high = tray.numbers(f"slot.{kind}.{name}")
        yield Span(middle.X + left, middle.X + right), Span(middle.Y + low, middle.Y + high)


def _screw(parts: Figures, name: str, at: tuple[float, float, float], way: float) -> Piece:
    """A screw with its head's lower face at a place; its shank goes up (1) or down (-1) and is drawn by its core.

    The thread cuts itself into the plastic; in the plate above it the core is free anyway.
    """
    (head, high), long, core = parts.pair("screw.head"), parts.mm("screw.long"), parts.mm("screw.core")
    x, y, z = at
    shape = Pos(x, y, z - way * high / 2) * Cylinder(head / 2, high)
    shape += Pos(x, y, z + way * long / 2) * Cylinder(core / 2, long)
    return Piece(name, shape, printed=False, colour=METAL, apart=(0.0, 0.0, -way * 30.0))


def screws(tray: Figures, parts: Figures, front_under: float) -> list[Piece]:
    """Four that hold the computer on its posts from behind, and four that hold the front part on the plate.

    Parameters
    ----------
    front_under : z that the heads of the latter lie on, mm
    """
    low = float(computer_board(parts).min.Z)
    places = tray.numbers("front.screws")
    found = [
        _screw(parts, f"tray-screw-{k}", (x, y, low), 1.0) for k, (x, y) in enumerate(computer_holes(tray, parts))
    ]
    for k, (x, y) in enumerate(zip(places[::2], places[1::2], strict=True), len(found)):
        found.append(_screw(parts, f"tray-screw-{k}", (x, y, front_under), -1.0))
    return found


def held(tray: Figures, parts: Figures, variant: Variant) -> list[Piece]:
    """All that is bought and lies on the tray, but its screws."""
    return [
        *(_lifted(parts, p) for p in on_the_plate(parts)),
        *(module(tray, parts, name)[0] for name in seats(tray)),
        computer(tray, parts),
        usb_board(tray, parts),
        *strips(tray),
        *display(parts, variant),
        lead_plug(parts),
    ]
