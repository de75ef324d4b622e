"""The display thread: draws the newest box and shows it; what it had no time for is passed over.

At most 15 pictures a second, so that numbers can be read; but what a hand has changed, or a new page or result, is
shown at once.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from contextlib import AbstractContextManager

from PIL.Image import Image

from airladder.app.pulse import AT_EASE
from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.pages.box import Box
from airladder.panel.shift import place_at, shifted

logger = logging.getLogger(__name__)

FRAME_SECONDS = 1 / 15
"""Least time between two pictures of the same situation."""


def situation(box: Box) -> tuple[object, ...]:
    """What changes by a press or a result, and not merely by the sound going on."""
    state = box.session
    practice = None if state is None else (state.phase, state.place, len(state.attempts), state.sounds_until)
    return box.page, box.item, box.read, box.row, box.back, box.choices, box.light, practice


class Showing:
    """Shows boxes on a display.

    Parameters
    ----------
    display : where; this thread alone touches it
    draw : how (panel.views.picture)
    at_work : entered for every picture
    """

    def __init__(
        self,
        display: Display,
        draw: Callable[[Box], Image],
        clock: Clock,
        at_work: AbstractContextManager[object] = AT_EASE,
    ) -> None:
        self._at_work = at_work
        self._display = display
        self._draw = draw
        self._clock = clock
        self._newest: Box | None = None
        self._situation: tuple[object, ...] | None = None
        self._shown_at = -FRAME_SECONDS
        self._urgent = False
        self._closing = False
        self._changed = threading.Condition()
        self._thread = threading.Thread(target=self._run, name="display", daemon=True)

    def start(self) -> None:
        """Begin showing."""
        self._thread.start()

    def show(self, box: Box) -> None:
        """Take the newest box; never waits for the display."""
        now = situation(box)
        with self._changed:
            is_news = self._newest is None or now != self._situation
            self._urgent = self._urgent or now != self._situation
            self._newest, self._situation = box, now
            if is_news:  # else the thread waits for its next frame, and need not be woken for this
                self._changed.notify()

    def close(self, timeout: float = 3.0) -> None:
        """Show the last box and end; a display that hangs is left alone, for no one else hangs with it."""
        with self._changed:
            self._closing = True
            self._changed.notify()
        self._thread.join(timeout)
        if self._thread.is_alive():
            logger.warning("the display does not answer; it is left alone")

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._newest is not None or self._closing)
                self._changed.wait_for(lambda: self._urgent or self._closing, self._until_the_next_frame())
                box, self._newest, self._urgent = self._newest, None, False
                closing = self._closing
            if box is not None:
                self._shown_at = self._clock.monotonic()
                with self._at_work:
                    self._display.show(shifted(self._draw(box), place_at(box.now)), box.light)
            if closing:
                return

    def _until_the_next_frame(self) -> float:
        return max(0.0, self._shown_at + FRAME_SECONDS - self._clock.monotonic())
