"""What goes through the side walls, cut out of lid and base alike: plugs, the slide switch. All open at the seam."""

from __future__ import annotations

from collections.abc import Iterable

from build123d import Cylinder, Pos, Rot, Shape

from casing.bought import JACK, KNOB_SWITCH, USB, barrel
from casing.figures import Figures
from casing.hull import Hull, Span, block
from casing.piece import Piece

BEYOND = 3.0
"""How far a cutter stands out of what it cuts, mm."""


def jack_holes(shell: Figures, parts: Figures, walls: Hull, board: Iterable[Piece]) -> list[Shape]:
    """For each jack a bore for its barrel and a sink for the plug's grip, so that the plug goes in whole."""
    found: list[Shape] = []
    floor = walls.inside_x.low - shell.mm("jacks.floor")
    sink = parts.mm("plug.jack.across") / 2 + shell.mm("jacks.sink")
    for piece in board:
        if not piece.name.startswith(JACK):
            continue
        hole = barrel(piece.shape)
        y, z = float(hole.center().Y), float(hole.center().Z)
        bore = float(hole.size.Y) / 2 + shell.mm("jacks.bore")
        long = walls.inside_x.low - walls.x.low + 2 * BEYOND
        found.append(Pos(walls.x.low - BEYOND + long / 2, y, z) * Rot(0, 90, 0) * Cylinder(bore, long))
        deep = floor - walls.x.low + BEYOND
        found.append(Pos(floor - deep / 2, y, z) * Rot(0, 90, 0) * Cylinder(sink, deep))
    return found


def right_holes(shell: Figures, parts: Figures, walls: Hull, board: Iterable[Piece]) -> list[Shape]:
    """A hole for the overmould of the USB plug, and a slot in which the slide switch's knob moves."""
    x = Span(walls.inside_x.high - BEYOND, walls.x.high + BEYOND)
    found: list[Shape] = []
    for piece in board:
        if piece.name.startswith(USB):
            lies, fit = piece.shape.bounding_box(), shell.mm("usb.fit")
            w, d = (v + 2 * fit for v in parts.pair("plug.usb.across"))
            y, z = float(lies.center().Y), float(lies.center().Z)
            found.append(block(x, Span(y - w / 2, y + w / 2), Span(z - d / 2, z + d / 2)))
        if piece.name.startswith(KNOB_SWITCH):
            knob = max((s.bounding_box() for s in piece.shape.solids()), key=lambda b: float(b.max.X))
            middle = float(piece.shape.bounding_box().center().Y)
            fit = shell.mm("slide.fit")
            reach = (float(knob.size.Y) + parts.mm("switch.travel")) / 2 + fit
            z_span = Span(float(knob.min.Z) - fit, float(knob.max.Z) + fit)
            found.append(block(x, Span(middle - reach, middle + reach), z_span))
    return found


def edge_places(parts: Figures) -> list[tuple[float, float]]:
    """x, y of the board's four holes, mm: lower left, lower right, upper left, upper right."""
    x, y = parts.pair("board.hole_at")
    width, height, _ = parts.numbers("board.size")
    return [(x, y), (width - x, y), (x, height - y), (width - x, height - y)]
