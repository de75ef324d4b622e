"""The small files beside the versions that say what each is there for; ``system/start`` reads and counts in them.

==============  ====================================================================================
``trial``       ``0.2.0 1``: to be tried, and how often it was started; the launcher counts
``current``     ``0.2.0``: it came up, and is run from now on; without it, the one on the read-only root
``before``      the one before, or ``base``: run when the current one does not start any more
``refused``     what was ``trial`` and did not come up; by the launcher, until the player was told
``failed``      the same, afterwards
``confirmed``   what was ``trial`` and came up, until the player was told
``taken``       the SHA-256 of the release taken last: a stick that comes back with it wishes nothing new
==============  ====================================================================================

Each has one line and is written whole.
"""

from __future__ import annotations

from pathlib import Path

from airladder.appliance.stated import is_version
from airladder.drive.putting import put
from airladder.journal.flushing import flush

BASE = "base"
"""In place of a number: the version on the read-only root."""


class Marks:
    """The marks in the folder `store`, which need not be there to be read."""

    def __init__(self, store: Path) -> None:
        self._store = store

    def version(self, mark: str) -> str:
        """The version that a mark names, or ``base``; empty where it names none."""
        name = self.text(mark).partition(" ")[0]
        return name if is_version(name) or name == BASE else ""

    def text(self, mark: str) -> str:
        """What stands there; empty where nothing can be read."""
        try:
            return (self._store / mark).read_bytes()[:200].decode("ascii", "replace").rstrip("\n")
        except OSError:
            return ""

    def put(self, mark: str, text: str) -> None:
        """Write one; it is on the disk then.

        Raises
        ------
        OSError : when it cannot be written; it is as it was.
        """
        put(self._store / mark, f"{text}\n".encode())

    def turn(self, mark: str, into: str) -> None:
        """Make one mark another, in one step.

        Raises
        ------
        OSError : when it cannot be done; it is as it was.
        """
        (self._store / mark).replace(self._store / into)
        flush(self._store)

    def drop(self, *marks: str) -> None:
        """Take some away, if they are there.

        Raises
        ------
        OSError : when they cannot be.
        """
        for mark in marks:
            (self._store / mark).unlink(missing_ok=True)
        flush(self._store)
