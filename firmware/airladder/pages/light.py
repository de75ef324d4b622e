"""How bright the screen is."""

from __future__ import annotations

from enum import Enum


class Light(Enum):
    """What is asked of the display besides the picture."""

    BRIGHT = "bright"
    """Somebody plays or presses, or did so a short while ago."""
    DIM = "dim"
    """Nobody has for a while; the picture still stands."""
    DARK = "dark"
    """Nobody has for long: all pixels are off, which spares them and the battery. A sound or a press wakes it."""
