"""Whether a USB cable brings 5 V: the socket's own line, through a divider, to a pin of the board.

The controller cannot tell, for its own line hangs on the box's 5 V (`devices.gadget`). A box that was wired without
this line reads "no cable" for ever; so that word counts only after the pin has once said "cable".

The stand-in is gpiozero's `MockFactory`, given as `pin_factory`. Untested on hardware.
"""

from __future__ import annotations

import logging
from typing import Any

from airladder.devices.gpio import board_pins, open_input
from airladder.faults import Fault

logger = logging.getLogger(__name__)


class CableSense:
    """Reads the pin when asked; a pin that cannot be had is a line that was not wired.

    Parameters
    ----------
    pin : BCM number (`usb.cable` of the pin map)
    pin_factory : a gpiozero pin factory; when None, the board's own
    """

    def __init__(self, pin: int, pin_factory: Any = None) -> None:
        self._input: Any = None
        self._own: Any = None
        self._wired = False
        try:
            if pin_factory is None:
                self._own = board_pins()
            # The processor's own pull-down makes a line that is not there read low; the divider is made for it.
            self._input = open_input(pin, "The cable's", pull_up=False, pin_factory=pin_factory or self._own)
        except Fault as fault:
            logger.warning("Whether a USB cable is in cannot be told by its pin. %s", fault)

    @property
    def pulled(self) -> bool:
        """Whether the cable is certainly out."""
        if self._input is None:
            return False
        there = bool(self._input.value)
        self._wired = self._wired or there
        return self._wired and not there

    def close(self) -> None:
        """Give the pin back. Harmless when already closed."""
        if self._input is not None:
            self._input.close()
            self._input = None
        if self._own is not None:
            self._own.close()
            self._own = None
