"""What the page shows besides its plots: the newest picture, its light, the newest level.

Conventions
-----------
Writers never wait for readers. A reader that was away gets the newest of each thing and nothing in between.
Levels in dBFS.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass, replace

from airladder.pages.light import Light

WIDTH, HEIGHT = 128, 64
"""Of the picture, pixels."""

DARK = bytes(WIDTH * HEIGHT // 8)


@dataclass(frozen=True)
class Sight:
    """All that is to be seen at one moment.

    Attributes
    ----------
    pixels : 1 bit each, rows from the top, the leftmost pixel in the highest bit of its byte
    light : of the picture
    level : of the microphone, dBFS in steps of half a decibel; None while there is none
    """

    pixels: bytes = DARK
    light: Light = Light.BRIGHT
    level: float | None = None


class News:
    """Keeps the newest sight and wakes whoever waits for another one; for any number of threads."""

    def __init__(self) -> None:
        self._sight = Sight()
        self._is_over = False
        self._changed = threading.Condition()

    @property
    def is_over(self) -> bool:
        """Whether nothing will be new any more."""
        return self._is_over

    def show(self, pixels: bytes, light: Light) -> None:
        """Take the newest picture."""
        with self._changed:
            self._take(replace(self._sight, pixels=pixels, light=light))

    def level(self, dbfs: float | None) -> None:
        """Take the newest level."""
        steps = None if dbfs is None else round(2 * dbfs) / 2
        with self._changed:
            self._take(replace(self._sight, level=steps))

    def end(self) -> None:
        """Nothing will be new any more: let go of all who wait."""
        with self._changed:
            self._is_over = True
            self._changed.notify_all()

    def after(self, seen: Sight | None, seconds: float) -> Sight | None:
        """The newest sight as soon as it differs from `seen`; None when it did not for `seconds`, or all is over."""
        with self._changed:
            self._changed.wait_for(lambda: self._is_over or self._sight != seen, seconds)
            return None if self._is_over or self._sight == seen else self._sight

    def _take(self, sight: Sight) -> None:
        if sight != self._sight:
            self._sight = sight
            self._changed.notify_all()
