"""The tray: two printed parts that take the carrier board's place, for modules that are joined by wires.

The back part has the board's outline, screw holes and front; lid and base stay the same. The front part lies on it.
"""

from __future__ import annotations

from casing.figures import Figures
from casing.piece import Piece
from casing.tray_front import front_piece
from casing.tray_held import held, screws
from casing.tray_plate import plate_piece
from casing.variants import Variant


def tray_pieces(tray: Figures, parts: Figures, variant: Variant) -> list[Piece]:
    """What is printed: "tray" and "tray-front"; only the latter depends on the display."""
    return [plate_piece(tray, parts), front_piece(tray, parts, variant)]


def modules(tray: Figures, parts: Figures, variant: Variant) -> list[Piece]:
    """What is bought, as it sits on the tray: with the display and the data plug, without the box's own screws."""
    head = parts.numbers("board.size")[2] + tray.mm("front.under")
    return [*held(tray, parts, variant), *screws(tray, parts, head)]
