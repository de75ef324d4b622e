"""The log of one practice after the other: each has a writer of its own, which nobody waits for until the end."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from pathlib import Path

from airladder.app.pulse import AT_EASE
from airladder.faults import Fault, LogFault
from airladder.journal.records import Head
from airladder.journal.writer import Writer
from airladder.pages.events import KeptIn
from airladder.practice.attempt import Attempt
from airladder.practice.session import Kept, Trouble


@dataclass
class Logbook:
    """Opens a writer for each practice.

    Attributes
    ----------
    path : the log
    tell : takes what became of tries and of the log, from the writers' threads
    at_work : entered by them for every piece of work
    """

    path: Path
    tell: Callable[[KeptIn | Trouble], None]
    at_work: AbstractContextManager[object] = AT_EASE
    _writer: Writer | None = None
    _shut: list[Writer] = field(default_factory=list)

    def open(self, practice: int, head: Head) -> None:
        """A practice begins: its tries are kept under `head`."""
        self.shut()
        self._shut = [writer for writer in self._shut if not writer.is_done]
        self._writer = Writer(
            self.path,
            head,
            on_kept=lambda number: self.tell(KeptIn(practice, Kept(number))),
            on_trouble=lambda sentence: self.tell(Trouble("log", sentence)),
            at_work=self.at_work,
        )

    def keep(self, attempt: Attempt) -> None:
        """Take a try of the practice that is open; never waits."""
        if self._writer is not None:
            self._writer.keep(attempt)

    def shut(self) -> None:
        """The practice is over; its writer ends by itself when all is written."""
        if self._writer is not None:
            self._writer.end()
            self._shut.append(self._writer)
            self._writer = None

    def close(self) -> list[Fault]:
        """End all writers; why tries could not be kept, where that was so."""
        self.shut()
        faults: list[Fault] = []
        for writer in self._shut:
            try:
                writer.close()
            except LogFault as fault:
                faults.append(fault)
        return faults
