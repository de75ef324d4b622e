"""Ctrl-C, and a service that is told to end: both leave like a player, at the next good moment."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

_BOTH = (signal.SIGINT, signal.SIGTERM)


@contextmanager
def interrupts(leave: Callable[[], None]) -> Iterator[None]:
    """Within, SIGINT and SIGTERM call `leave` instead of breaking in at any line.

    `leave` is called in the main thread between two steps of it: it must only set a mark. In another thread nothing
    is changed, since Python gives signals to the main one alone.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def on_signal(number: int, frame: FrameType | None) -> None:
        leave()

    before = [signal.signal(which, on_signal) for which in _BOTH]
    try:
        yield
    finally:
        for which, handler in zip(_BOTH, before, strict=True):
            signal.signal(which, handler)
