"""What every screen has in common: the OLED, the terminal, and the last picture kept for a test."""

from __future__ import annotations

from typing import Protocol

from PIL.Image import Image

from airladder.pages.light import Light


class Display(Protocol):
    """A place where a 128 x 64 picture (mode "1") is shown."""

    def show(self, picture: Image, light: Light = Light.BRIGHT) -> None:
        """Show the picture in that light, where the display has any; what is shown already is not sent again. Never
        raises for a bus error. To be called every few seconds even when nothing changes: a display may use it to
        make sure that it still shows the picture."""

    def close(self) -> None:
        """Leave the screen dark (OLED) or as it is (terminal). Harmless when already closed."""
