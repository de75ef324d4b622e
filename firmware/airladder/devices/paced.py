"""Keeps a source to real time, so that a recording can be watched as if it were played now."""

from __future__ import annotations

from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone
from airladder.hearing.block import Block


class Paced(Microphone):
    """Hands on the blocks of another source, none before its time has come.

    Time runs from the first read. Who reads late is not made to wait until caught up, and loses nothing:
    `live` is False.

    Parameters
    ----------
    source : what is kept to real time; opened and closed through this
    clock : tells the time and waits
    """

    live = False

    def __init__(self, source: Microphone, clock: Clock) -> None:
        self.name = source.name
        self._source, self._clock = source, clock
        self._start: float | None = None

    def open(self) -> None:
        """Open the source; time does not run yet."""
        self._start = None
        self._source.open()

    def read(self) -> Block | None:
        """The source's next block, at the moment at which its last sample would have sounded."""
        if self._start is None:
            self._start = self._clock.monotonic()
        block = self._source.read()
        if block is not None:
            self._clock.sleep(self._start + block.time - self._clock.monotonic())
        return block

    def close(self) -> None:
        """Close the source."""
        self._source.close()
