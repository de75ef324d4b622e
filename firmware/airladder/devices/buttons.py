"""The four buttons and the foot switch, on the pins of the board.

The one user of gpiozero. Each contact goes to ground and is pulled up by the processor, so that pressed reads
low. A callback only stamps the edge and hands it on: bounce, short and long are arithmetic on edge times, done
elsewhere (`panel.debounce`). gpiozero's own bounce time stays off, for it can swallow a release.

The stand-in is gpiozero's own `MockFactory`, given as `pin_factory`. Untested on hardware.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from typing import Any

from airladder.devices.clock import Clock
from airladder.faults import Fault
from airladder.panel.debounce import Edge
from airladder.practice.presses import Button

Post = Callable[[Edge], None]
"""Takes an edge in gpiozero's thread; must neither wait nor raise."""


class Buttons:
    """Listens from the moment it is made until it is closed.

    Parameters
    ----------
    pins : BCM number of each
    post : called with every edge, from another thread
    clock : stamps the edges
    pin_factory : a gpiozero pin factory; when None, the board's own through lgpio, and nothing else

    Raises
    ------
    Fault : when the pins cannot be had.
    """

    def __init__(self, pins: Mapping[Button, int], post: Post, clock: Clock, pin_factory: Any = None) -> None:
        self._post, self._clock = post, clock
        factory = board_pins() if pin_factory is None else pin_factory
        self._own = factory if pin_factory is None else None
        self._inputs: list[Any] = []
        try:
            for button, pin in pins.items():
                self._inputs.append(self._listen(button, pin, factory))
        except Fault:
            self.close()
            raise

    def close(self) -> None:
        """Give the pins back. Harmless when already closed."""
        for contact in self._inputs:
            contact.close()
        self._inputs.clear()
        if self._own is not None:
            self._own.close()
            self._own = None

    def _listen(self, button: Button, pin: int, pin_factory: Any) -> Any:
        from gpiozero import DigitalInputDevice

        try:
            contact = DigitalInputDevice(pin, pull_up=True, bounce_time=None, pin_factory=pin_factory)
        except _refusals() as refused:
            raise Fault(
                f"The {button.value} button's pin GPIO{pin} cannot be had ({refused}); end what else uses it,"
                " or correct hardware/pins.toml."
            ) from refused
        contact.when_activated = lambda: self._post(Edge(button, True, self._clock.monotonic()))
        contact.when_deactivated = lambda: self._post(Edge(button, False, self._clock.monotonic()))
        return contact


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
