"""The processor's own pins, as inputs: the one user of gpiozero.

The stand-in is gpiozero's own `MockFactory`, given as `pin_factory`. Untested on hardware.
"""

from __future__ import annotations

import sys
from typing import Any

from airladder.faults import Fault


def open_input(pin: int, whose: str, *, pull_up: bool, pin_factory: Any) -> Any:
    """A pin as gpiozero's `DigitalInputDevice`, with its own bounce time off, for it can swallow an edge.

    Parameters
    ----------
    pin : BCM number
    whose : what it is for, at the beginning of a sentence
    pull_up : pulled up, and active when low; else pulled down, and active when high
    pin_factory : gpiozero's

    Raises
    ------
    Fault : when it cannot be had.
    """
    from gpiozero import DigitalInputDevice

    try:
        return DigitalInputDevice(pin, pull_up=pull_up, bounce_time=None, pin_factory=pin_factory)
    except _refusals() as refused:
        raise Fault(
            f"{whose} pin GPIO{pin} cannot be had ({refused}); end what else uses it, or correct hardware/pins.toml."
        ) from refused


def board_pins() -> Any:
    """The board's pins through lgpio. gpiozero left to itself would quietly fall back to slower ways.

    Raises
    ------
    Fault : lgpio is not installed, or this is not the board, or its pins may not be used.
    """
    try:
        from gpiozero.pins.lgpio import LGPIOFactory
    except (ImportError, OSError) as missing:  # lgpio wants to write a file where it is first imported
        raise Fault(
            f"The buttons need the Python packages gpiozero and lgpio, which cannot be used here ({missing});"
            " on the board install them with: pip install gpiozero lgpio"
        ) from missing
    try:
        return LGPIOFactory()
    except _refusals() as refused:
        raise Fault(
            f"The board's pins cannot be had ({refused}); run this on the board as a user in the group gpio,"
            " or press keys in the terminal instead."
        ) from refused


def _refusals() -> tuple[type[Exception], ...]:
    """What gpiozero and lgpio raise when they cannot have a pin."""
    from gpiozero.exc import GPIOZeroError

    lgpio = sys.modules.get("lgpio")  # there once gpiozero's factory has loaded it; its error has no other base
    return (GPIOZeroError, OSError) if lgpio is None else (GPIOZeroError, OSError, lgpio.error)
