"""The inbox: the one queue through which everything reaches the thread that owns the state.

Conventions
-----------
It is bounded (0.7 s of sound). When it is full, a recording waits; live sound and hands cannot wait: what they
bring is dropped and the log of the program says so (dropped sound is also marked `lost` on the next block).
"""

from __future__ import annotations

import logging
import queue
from collections.abc import Callable
from dataclasses import dataclass

from airladder.app.program import Item
from airladder.faults import SoundFault
from airladder.panel.debounce import Edge

logger = logging.getLogger(__name__)

ROOM = 128
"""Length of the inbox in blocks."""


@dataclass(frozen=True)
class Ended:
    """The sound has ended; with `fault` when it was not meant to."""

    fault: SoundFault | None = None


Letter = Item | Edge | Ended
"""Whatever may lie in the inbox."""


class Inbox:
    """A bounded queue with three ways to post, and one to take."""

    def __init__(self, room: int = ROOM) -> None:
        self._queue: queue.Queue[Letter] = queue.Queue(room)

    def take(self, timeout: float) -> Letter | None:
        """The oldest letter; None when there was none for `timeout` seconds."""
        try:
            return self._queue.get(timeout=timeout)
        except queue.Empty:
            return None

    @property
    def is_empty(self) -> bool:
        """Whether nothing lies in it at this moment."""
        return self._queue.empty()

    def post_if_room(self, letter: Letter) -> bool:
        """Post at once or not at all; whether it was posted."""
        try:
            self._queue.put_nowait(letter)
        except queue.Full:
            return False
        return True

    def post_by_hand(self, letter: Letter) -> None:
        """Post a press or an edge from a thread that must not wait."""
        if not self.post_if_room(letter):
            logger.warning("a press was dropped: the program could not keep up")

    def post_while(self, wanted: Callable[[], bool], letter: Letter) -> None:
        """Wait for room as long as `wanted()` holds."""
        while wanted():
            try:
                self._queue.put(letter, timeout=0.1)
            except queue.Full:
                continue
            return
