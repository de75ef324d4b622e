"""A microphone that is waited for: what the service listens to, whatever happens to the sound card.

Conventions
-----------
Time counts from `open`, by the clock while there is no sound, so that it goes on growing over every outage.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace

from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import Block

SHORTEST_SECONDS = 1.0
LONGEST_SECONDS = 5.0
"""The pause between two tries grows from the one to the other."""


class Patient(Microphone):
    """Another microphone, opened again and again until it is well.

    `open` and `read` never raise SoundFault; the trouble is told instead. `close` may be called from another
    thread; a waiting `read` then returns None at once.

    Parameters
    ----------
    inner : the real source, which is live
    on_trouble : called by the reading thread with the sentence when it changes, and with "" when sound has come again
    clock : measures the outages
    shortest, longest : seconds between two tries, doubled from the one to the other
    at_work : entered whenever the source is opened or read
    """

    def __init__(
        self,
        inner: Microphone,
        on_trouble: Callable[[str], None],
        *,
        clock: Clock | None = None,
        shortest: float = SHORTEST_SECONDS,
        longest: float = LONGEST_SECONDS,
        at_work: AbstractContextManager[object] | None = None,
    ) -> None:
        self._at_work = at_work or nullcontext()
        self.name = inner.name
        self.live = inner.live
        self._inner = inner
        self._on_trouble = on_trouble
        self._clock = clock or Clock()
        self._pauses = (shortest, longest)
        self._closing = threading.Event()
        self._closing.set()
        self._opening = threading.Lock()  # so that nothing is opened behind the back of `close`

    def open(self) -> None:
        """Begin; the source itself is opened by the first `read`."""
        self.close()
        self._closing.clear()
        self._trouble = ""
        self._pause = self._pauses[0]
        self._is_open = False
        self._sequence = 0
        self._newest = 0.0  # time of the newest block, and when that was on the clock
        self._newest_at = self._clock.monotonic()
        self._offset = 0.0

    def read(self) -> Block | None:
        """The next block, however long it takes; None after the end of a recording, and once closed."""
        while not self._closing.is_set():
            try:
                with self._at_work:
                    block = self._inner.read() if self._is_open or self._reopened() else None
                if self._is_open:
                    return self._joined(block) if block else None
            except SoundFault as fault:
                self._is_open = False
                self._inner.close()  # a card that is still held comes back under another number
                self._tell(str(fault))
                self._closing.wait(self._pause)
                self._pause = min(2.0 * self._pause, self._pauses[1])
        return None

    def close(self) -> None:
        """End; a waiting read returns None."""
        self._closing.set()
        self._inner.close()  # ends its read
        with self._opening:
            self._inner.close()  # should it have been opened just now

    def _reopened(self) -> bool:
        with self._opening:
            if self._closing.is_set():
                return False
            self._inner.open()
        self._is_open = True
        self._offset = self._newest + self._clock.monotonic() - self._newest_at
        self._first = True
        return True

    def _joined(self, block: Block) -> Block:
        """The block as part of one long stream."""
        self._tell("")
        self._pause = self._pauses[0]
        lost = block.lost or (self._first and self._sequence > 0)
        joined = replace(block, sequence=self._sequence, time=self._offset + block.time, lost=lost)
        self._first = False
        self._sequence += 1
        self._newest, self._newest_at = joined.time, self._clock.monotonic()
        return joined

    def _tell(self, trouble: str) -> None:
        if trouble != self._trouble:
            self._trouble = trouble
            self._on_trouble(trouble)
