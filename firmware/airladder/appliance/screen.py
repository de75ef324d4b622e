"""The screen, whether it can be had now or not: practice goes on without it, and it is tried again."""

from __future__ import annotations

import logging
from collections.abc import Callable

from PIL.Image import Image

from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.faults import Fault
from airladder.pages.light import Light

RETRY_S = 10.0
"""How often a screen that could not be opened is tried again."""

logger = logging.getLogger(__name__)


class LateScreen:
    """A `Display` that is opened as soon as it can be.

    Parameters
    ----------
    open_screen : opens the screen; may raise a Fault
    clock : the time

    Attributes
    ----------
    trouble : why there is none; empty when there is one
    """

    def __init__(self, open_screen: Callable[[], Display], clock: Clock) -> None:
        self._open_screen, self._clock = open_screen, clock
        self._screen: Display | None = None
        self._tried_at: float | None = None
        self.trouble = ""

    def show(self, picture: Image, light: Light = Light.BRIGHT) -> None:
        """Show the picture where there is a screen."""
        if self._screen is None:
            self._try()
        if self._screen is not None:
            self._screen.show(picture, light)

    def close(self) -> None:
        """Leave it dark."""
        if self._screen is not None:
            self._screen.close()

    def _try(self) -> None:
        now = self._clock.monotonic()
        if self._tried_at is not None and now - self._tried_at < RETRY_S:
            return
        self._tried_at = now
        try:
            self._screen = self._open_screen()
        except Fault as fault:
            if not self.trouble:
                logger.warning("%s", fault)
            self.trouble = str(fault)
        else:
            self.trouble = ""
