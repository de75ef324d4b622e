"""KiCad's own Python module: reached here and nowhere else, and only by /usr/bin/python3."""

from __future__ import annotations

from typing import Any

import pcbnew as kicad

from making.copper import CORNER
from making.layout import Point

__all__ = ["back", "kicad", "nm", "spot"]


def nm(length: float) -> int:
    """Millimetres as KiCad's nanometres."""
    return round(length * 1e6)


def spot(at: Point) -> Any:
    """A place on the board as KiCad's vector."""
    return kicad.VECTOR2I(nm(at[0] + CORNER[0]), nm(at[1] + CORNER[1]))


def back(vector: Any) -> Point:
    """KiCad's vector as a place on the board."""
    return vector.x / 1e6 - CORNER[0], vector.y / 1e6 - CORNER[1]
