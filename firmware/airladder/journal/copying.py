"""A copy of the log as one file, whole, while the log goes on being written.

SQLite's online backup reads pages, not files, so that what is still in the ``-wal`` file is in the copy as well
(SQLite documentation, "SQLite Backup API"). The copy is made of one look at the log: what is kept meanwhile waits for
the next one.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal import steps
from airladder.journal.aside import disk_told
from airladder.journal.flushing import flush
from airladder.journal.opening import opened_to_read
from airladder.journal.troubles import told

SLICE_PAGES = 1024
"""Copied at a time, 4 MB, and flushed: a try that is kept meanwhile must not wait for the whole copy at the card."""

WAIT_S = 2.0
"""How long to wait for another program that holds the log, s."""


def copy(log: Path, target: Path) -> None:
    """Put a copy of the log at `log` in place at `target`; what lay there before is as it was when anything fails.

    The copy needs no other file beside it (journal mode DELETE), and is on the disk when this returns. A writer of
    the log is not held up.

    Raises
    ------
    LogFault : when the log cannot be read or the copy cannot be written.
    """
    if target.resolve() == log.resolve():
        raise LogFault(f"{target} is the log itself and is not written over; name another file.")
    with closing(opened_to_read(log, steps.shipped(), WAIT_S)) as source, disk_told(target):
        target = target.resolve()  # a link stays a link
        part = target.with_name(f".{target.name}.{os.getpid()}.part")
        try:
            _copy(source, log, part, target)
            flush(part)
            part.replace(target)
            flush(target.parent)
        finally:
            for left in (part, part.with_name(f"{part.name}-journal")):
                left.unlink(missing_ok=True)


def _copy(source: sqlite3.Connection, log: Path, part: Path, target: Path) -> None:
    part.unlink(missing_ok=True)  # of a program that had this number before and was killed
    with told(log):
        # One look: without it every try that is kept meanwhile would make SQLite begin anew.
        source.execute("BEGIN")
        source.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    try:
        with closing(sqlite3.connect(part, isolation_level=None)) as copied:
            copied.execute("PRAGMA synchronous = OFF")  # flushed slice by slice
            source.backup(copied, pages=SLICE_PAGES, progress=lambda status, left, total: flush(part))
            copied.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as error:
        raise _fault(log, target, error) from error


def _fault(log: Path, target: Path, error: sqlite3.Error) -> LogFault:
    """SQLite does not say which of the two files failed; what is full or shut can only be the one that is written."""
    match getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF:
        case sqlite3.SQLITE_FULL:
            return LogFault(
                f"There is no room to write {target}; the log itself is whole: make room or name another place."
            )
        case sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM:
            return LogFault(f"{target} cannot be written ({error}); name a file in a folder that you may write in.")
        case _:
            return LogFault(f"The log {log} cannot be copied to {target} ({error}); what it holds was not changed.")
