"""Keeping the tries of one session in order, whatever the disk does meanwhile."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.journal.troubles import Refused
from airladder.practice.attempt import Attempt

ROOM = 1000
"""How many tries wait for a disk that takes none: hours of practice."""

CLOSE_S = 5.0
"""How long the end of a session waits for the disk, s: longer than `log.WAIT_S`."""


class Keeper:
    """Writes tries in the thread that hands them over: for replays. `writer.Writer` does it in its own thread.

    A try that cannot be written stays pending, with all after it, and is tried again with the next one and at the
    end. The queue of pending tries is bounded: when it is full a new try is set aside until the end, so that the
    caller never waits. A try that breaks the log's rules is set aside for good, so that it stops no other. Nothing is
    in the log before the first try, so a session without tries leaves no trace.

    Parameters
    ----------
    path : the log
    head : what is true of the session
    on_kept : called with the number of a try after its commit, never before
    on_trouble : called with a sentence when trouble comes or becomes another, and with "" when it is over
    open_log : how the log is opened
    room : how many tries may be pending
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
    ) -> None:
        self._path, self._head, self._room = path, head, room
        self._on_kept, self._on_trouble, self._open_log = on_kept, on_trouble, open_log
        self._log: Log | None = None
        self._session_id: int | None = None
        self._pending: deque[Attempt] = deque()
        self._aside: list[Attempt] = []
        self._refused: list[Attempt] = []
        self._trouble = ""

    @property
    def unkept(self) -> tuple[Attempt, ...]:
        """The tries that are not in the log (yet), by number."""
        return tuple(sorted((*self._refused, *self._pending, *self._aside), key=lambda attempt: attempt.number))

    def keep(self, attempt: Attempt) -> None:
        """Take a try, and write it and all that are pending if it can be done."""
        self._take(attempt)
        self._work()

    def close(self, timeout: float = CLOSE_S) -> None:
        """Try once more what is pending, and let go of the log.

        Raises
        ------
        LogFault : when tries could not be kept, with their count and the reason; `unkept` gives them.
        """
        self._finish()
        self._settle()

    def _take(self, attempt: Attempt) -> None:
        (self._pending if len(self._pending) < self._room else self._aside).append(attempt)

    def _work(self) -> None:
        """Write what is pending, up to the first that cannot be written."""
        try:
            self._log = self._log or self._open_log(self._path)
            while self._pending:
                self._write(self._log, self._pending[0])
                self._pending.popleft()
            self._tell("")
        except LogFault as fault:
            self._tell(str(fault))

    def _write(self, log: Log, attempt: Attempt) -> None:
        try:
            if self._session_id is None:
                self._session_id = log.begin(self._head, attempt)
            else:
                log.keep(self._session_id, attempt)
        except Refused as fault:
            self._refused.append(attempt)
            self._tell(str(fault))
        else:
            self._on_kept(attempt.number)

    def _tell(self, trouble: str) -> None:
        if trouble != self._trouble:
            self._trouble = trouble
            self._on_trouble(trouble)

    def _finish(self) -> None:
        self._pending.extend(self._aside)
        self._aside.clear()
        if self._pending:
            self._work()
        if self._log is not None:
            self._log.close()
            self._log = None

    def _settle(self) -> None:
        count = len(self.unkept)
        if count:
            why = self._trouble or "They do not fit the log."
            raise LogFault(f"{count} {'try' if count == 1 else 'tries'} of this session could not be kept. {why}")
