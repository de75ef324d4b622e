"""The bay of the cell in the base: a fence with room for swelling, and a shelf that slides in over it.

Nothing presses the cell: foam under it, air over it, and between it and the modules the shelf, which no screw holds.
"""

from __future__ import annotations

from functools import lru_cache

from build123d import Pos, Shape

from casing.bought import cell
from casing.figures import Figures
from casing.hull import Hull, Span, along_x, along_y, block
from casing.piece import Piece


def room(shell: Figures, parts: Figures) -> tuple[Span, Span]:
    """x and y between the fence's insides, mm."""
    w, h, _ = parts.numbers("cell.size")
    side = parts.mm("cell.side")
    x, y = shell.pair("bay.place")
    return Span(x - w / 2 - side, x + w / 2 + side), Span(y - h / 2 - side, y + h / 2 + side)


def _rail(shell: Figures, inner: float, sign: float, y: Span, floor: float) -> Shape:
    """One side of the fence: a ledge for the shelf, and over it a lip that leans in at 45 degrees."""
    thick, ledge, slide = shell.mm("bay.fence"), shell.mm("bay.ledge"), shell.mm("bay.slide")
    top, plate = shell.mm("bay.top"), shell.mm("bay.shelf")
    low = top - plate - slide  # z of the ledge
    corners = [  # (away from the cell, z)
        (0.0, floor - 0.5),
        (0.0, low),
        (ledge + slide, low),
        (ledge + slide, low + 2 * slide),
        (ledge + slide - (top - low - 2 * slide), top),
        (thick, top),
        (thick, floor - 0.5),
    ]
    return along_y([(inner + sign * away, z) for away, z in corners], y)


def fence(shell: Figures, parts: Figures, walls: Hull) -> list[Shape]:
    """What grows out of the base's floor round the cell; the upper end is low, for the shelf comes in over it."""
    x, y = room(shell, parts)
    end, plate, top = shell.mm("bay.end"), shell.mm("bay.shelf"), shell.mm("bay.top")
    outer = Span(x.low - shell.mm("bay.fence"), x.high + shell.mm("bay.fence"))
    long = Span(y.low - end, y.high + end)
    upper = Span(x.low, x.high - shell.mm("bay.lead"))
    low_end = block(outer, Span(y.low - end, y.low), Span(walls.back_in - 0.5, top))
    high_end = block(
        upper, Span(y.high, y.high + end), Span(walls.back_in - 0.5, top - plate - 2 * shell.mm("bay.slide"))
    )
    stops = [
        Pos(edge - sign * _ridge_half(shell), y.high + 0.9, top - plate - shell.mm("bay.slide")) * _ridge(shell)
        for edge, sign in ((x.low, 1.0), (x.high, -1.0))
    ]
    return [
        _rail(shell, x.low, -1.0, long, walls.back_in),
        _rail(shell, x.high, 1.0, long, walls.back_in),
        low_end,
        high_end,
        *stops,
    ]


def _ridge_half(shell: Figures) -> float:
    """Half the length of a ridge, mm: from the ledge's inner edge into the rail."""
    return shell.mm("bay.ledge") / 2 + 0.3


def _ridge(shell: Figures) -> Shape:
    """A small roof on a ledge, behind the shelf: it must be bent over it, and stays."""
    half, high = _ridge_half(shell), shell.mm("bay.stop")
    corners = [(-0.7, -0.3), (-0.7, 0.0), (-0.7 + high, high), (0.7, high), (0.7, -0.3)]
    return along_x(corners, Span(-half, half))


@lru_cache(maxsize=16)
def shelf_piece(shell: Figures, parts: Figures) -> Piece:
    """The shelf: a plate whose long edges are bevelled for the rails; printed with its narrow side up."""
    x, y = room(shell, parts)
    top, plate, ledge, slide = (shell.mm(f"bay.{what}") for what in ("top", "shelf", "ledge", "slide"))
    low = top - plate
    wide = Span(x.low - ledge, x.high + ledge)
    corners = [
        (wide.low, low),
        (wide.low, low + slide),
        (wide.low + plate - slide, top),
        (wide.high - plate + slide, top),
        (wide.high, low + slide),
        (wide.high, low),
    ]
    shape = along_y(corners, Span(y.low + 0.2, y.high + 0.1))
    grip = block(Span(x.middle - 8, x.middle + 8), Span(y.high - 6.0, y.high - 4.0), Span(low - 1, top + 1))
    return Piece("shelf", shape - grip, colour=(0.70, 0.72, 0.74), apart=(0.0, 0.0, -32.0))


def cell_piece(shell: Figures, parts: Figures, walls: Hull) -> Piece:
    """The cell on its foam in the bay."""
    middle = shell.pair("bay.place")
    return cell(parts, middle, walls.back_in + shell.mm("bay.foam"))
