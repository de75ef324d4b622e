"""The journal thread: it owns the connection to the log, so that no one else ever waits for a disk."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.keeper import CLOSE_S, ROOM, Keeper
from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt

RETRY_S = 2.0
"""How often a log in trouble is tried again while no new try comes, s."""


class Writer(Keeper):
    """A `Keeper` that writes in a thread of its own.

    `keep` returns at once, always: what happens when the disk is slow, full or broken is told by `Keeper`. The
    callbacks are called from the journal thread. The log is opened at once, so that its trouble is known before
    the first try; it is tried again with every try and every `retry_s` seconds until it is well.

    Parameters
    ----------
    path, head, on_kept, on_trouble, open_log, room : as for `Keeper`
    retry_s : s
    at_work : entered for every piece of work
    """

    def __init__(
        self,
        path: Path,
        head: Head,
        on_kept: Callable[[int], None],
        on_trouble: Callable[[str], None],
        *,
        open_log: Callable[[Path], Log] = Log,
        room: int = ROOM,
        retry_s: float = RETRY_S,
        at_work: AbstractContextManager[object] | None = None,
    ) -> None:
        super().__init__(path, head, on_kept, on_trouble, open_log=open_log, room=room)
        self._retry_s = retry_s
        self._at_work = at_work or nullcontext()
        self._wake = threading.Event()
        self._ending = False
        # A daemon, so that a program that dies elsewhere is not kept alive; `close` joins it.
        self._thread = threading.Thread(target=self._run, name="journal", daemon=True)
        self._thread.start()

    def keep(self, attempt: Attempt) -> None:
        """Take a try; it is in the log when `on_kept` says so."""
        self._take(attempt)
        self._wake.set()

    @property
    def is_done(self) -> bool:
        """Whether the thread has ended with every try in the log: `close` has nothing more to say."""
        return not self._thread.is_alive() and not self.unkept

    def end(self) -> None:
        """No more tries come: let the thread end when it has written what it can. Returns at once."""
        self._ending = True
        self._wake.set()

    def close(self, timeout: float = CLOSE_S) -> None:
        """Try once more what is pending, let go of the log and end the thread.

        Raises
        ------
        LogFault : when tries could not be kept, or the disk has not answered after `timeout` seconds.
        """
        self.end()
        self._thread.join(timeout)
        if self._thread.is_alive():
            raise LogFault(
                f"The log {self._path} has not answered for {timeout:g} s at the end of the session; "
                f"{len(self.unkept)} of its tries may not be kept."
            )
        self._settle()

    def _run(self) -> None:
        while not self._ending:
            with self._at_work:
                self._work()
            self._wake.wait(self._retry_s if self._trouble else None)
            self._wake.clear()
        with self._at_work:
            self._finish()
