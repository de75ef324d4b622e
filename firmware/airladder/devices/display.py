"""What every screen has in common: the OLED, the terminal, and the last picture kept for a test."""

from __future__ import annotations

from typing import Protocol

from PIL.Image import Image


class Display(Protocol):
    """A place where a 128 x 64 picture (mode "1") is shown."""

    def show(self, picture: Image) -> None:
        """Show the picture; a picture equal to the one shown is not sent again. Never raises for a bus error."""

    def close(self) -> None:
        """Leave the screen dark (OLED) or as it is (terminal). Harmless when already closed."""
