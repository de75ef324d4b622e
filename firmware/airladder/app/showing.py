"""The display thread: draws the newest state and shows it; states it had no time for are passed over."""

from __future__ import annotations

import threading
from collections.abc import Callable

from PIL.Image import Image

from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.practice.state import State

FRAME_SECONDS = 1 / 15
"""Least time between two pictures."""


class Showing:
    """Shows states on a display, at most 15 a second.

    Parameters
    ----------
    display : where; this thread alone touches it
    draw : how (panel.screens.draw)
    """

    def __init__(self, display: Display, draw: Callable[[State], Image], clock: Clock) -> None:
        self._display = display
        self._draw = draw
        self._clock = clock
        self._newest: State | None = None
        self._closing = False
        self._changed = threading.Condition()
        self._thread = threading.Thread(target=self._run, name="display", daemon=True)

    def start(self) -> None:
        """Begin showing."""
        self._thread.start()

    def show(self, state: State) -> None:
        """Take the newest state; never waits for the display."""
        with self._changed:
            self._newest = state
            self._changed.notify()

    def close(self, timeout: float = 3.0) -> None:
        """Show the last state and end.

        Raises
        ------
        RuntimeError : when the thread does not end in time.
        """
        with self._changed:
            self._closing = True
            self._changed.notify()
        self._thread.join(timeout)
        if self._thread.is_alive():
            raise RuntimeError("the display thread does not end")

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._newest is not None or self._closing)
                state, self._newest = self._newest, None
                closing = self._closing
            if state is not None:
                self._display.show(self._draw(state))
            if closing:
                return
            self._clock.sleep(FRAME_SECONDS)
