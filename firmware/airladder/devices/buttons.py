"""The four buttons and the foot switch, on the pins of the board.

Each contact goes to ground and is pulled up by the processor, so that pressed reads low. A callback only stamps the
edge and hands it on: bounce, short and long are arithmetic on edge times, done elsewhere (`panel.debounce`).

The stand-in is gpiozero's own `MockFactory`, given as `pin_factory`. Untested on hardware.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from airladder.devices.clock import Clock
from airladder.devices.gpio import board_pins, open_input
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
        contact = open_input(pin, f"The {button.value} button's", pull_up=True, pin_factory=pin_factory)
        contact.when_activated = lambda: self._post(Edge(button, True, self._clock.monotonic()))
        contact.when_deactivated = lambda: self._post(Edge(button, False, self._clock.monotonic()))
        return contact
