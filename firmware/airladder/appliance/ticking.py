"""A thread that does one thing again and again."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from contextlib import AbstractContextManager

from airladder.app.pulse import AT_EASE

logger = logging.getLogger(__name__)


class Ticking:
    """Begins at once, until it is closed.

    Parameters
    ----------
    name : of the thread
    every_s : the pause between two times, s
    do : what is done
    at_work : entered every time
    """

    def __init__(
        self, name: str, every_s: float, do: Callable[[], None], at_work: AbstractContextManager[object] = AT_EASE
    ) -> None:
        self._name, self._every_s, self._do, self._at_work = name, every_s, do, at_work
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)
        self._thread.start()

    def close(self, timeout: float = 3.0) -> None:
        """End; one that hangs is left alone, for no one else hangs with it."""
        self._closing.set()
        self._thread.join(timeout)
        if self._thread.is_alive():
            logger.warning("the thread %s does not end; it is left alone", self._name)

    def _run(self) -> None:
        while not self._closing.is_set():
            with self._at_work:
                self._do()
            self._closing.wait(self._every_s)
