"""Opening the file of the log: for writing, or for reading while another program writes.

Conventions
-----------
Nothing is changed in a file before it is known to be ours. WAL and ``synchronous=FULL`` are set at every
connection, never left to how SQLite was built: with them a commit survives a pulled plug where the disk honours a
flush (SQLite documentation, "Write-Ahead Logging" and "PRAGMA synchronous").
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from airladder.journal import troubles
from airladder.journal.flushing import flush
from airladder.journal.steps import APPLICATION_ID, migrate, version_of

_SHARED_BYTES = 32768
"""The least size of SQLite's shared memory (SQLite documentation, "WAL-mode File Format", 2.1)."""


def opened_to_write(path: Path, steps: Sequence[str], wait_s: float) -> sqlite3.Connection:
    """A connection to the log, created and brought up to the last of `steps` where needed.

    Raises
    ------
    LogFault : when it cannot be had, with the reason.
    """
    with troubles.told(path):
        if path.is_dir():
            raise troubles.folder(path)
        if not path.exists() and _waits_beside(path):
            raise troubles.torn(path)
        _make_folder(path.parent)
        connection = _connected(path, "rwc", wait_s)
        try:
            _check_ours(connection, path, steps)
            keep_safe(connection, path)
            _bring_up(connection, path, steps)
            _try_to_write(connection)
            _settle(connection)
        except BaseException:
            connection.close()
            raise
        return connection


def opened_to_read(path: Path, steps: Sequence[str], wait_s: float) -> sqlite3.Connection:
    """A connection that cannot write. A log of an older form is brought up to the last of `steps` first.

    Raises
    ------
    LogFault : when there is no log, or it cannot be read, with the reason.
    """
    with troubles.told(path):
        if path.is_dir():
            raise troubles.folder(path)
        if not path.exists():
            raise troubles.no_log(path)
        if _bytes_in(path, "-journal") > 0:  # a power cut while the log was made: only a writer may take that back
            opened_to_write(path, steps, wait_s).close()
        connection = _connected(path, _reading_mode(path), wait_s)
        try:
            if _check_ours(connection, path, steps) == len(steps):
                return connection
        except BaseException:
            connection.close()
            raise
        connection.close()
    opened_to_write(path, steps, wait_s).close()
    return opened_to_read(path, steps, wait_s)


def keep_safe(connection: sqlite3.Connection, path: Path) -> None:
    """Set what makes a commit last.

    Raises
    ------
    LogFault : when the file system under `path` cannot do it.
    """
    mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    if mode != "wal":
        raise troubles.unsafe(path, mode)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")


def _bring_up(connection: sqlite3.Connection, path: Path, steps: Sequence[str]) -> None:
    """A row that a further form refuses was well when it was kept, so the disk has changed it."""
    try:
        migrate(connection, steps)
    except sqlite3.IntegrityError as error:
        raise troubles.damaged(path, str(error)) from error


def _settle(connection: sqlite3.Connection) -> None:
    """Move what an earlier program left waiting beside the log into it, and flush that.

    Where a flush failed before that program ended, the system shows those commits and will never write them: tries
    that came after them would be lost behind the hole (Rebello et al., "Can Applications Recover from fsync
    Failures?", USENIX ATC 2020). Moved anew, they are written anew.
    """
    connection.execute("PRAGMA wal_checkpoint(PASSIVE)")


def _try_to_write(connection: sqlite3.Connection) -> None:
    """SQLite opens a file that may only be read without a word, so a write is tried and taken back."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        connection.execute(f"PRAGMA user_version = {version_of(connection)}")
    finally:
        connection.execute("ROLLBACK")


def _connected(path: Path, mode: str, wait_s: float) -> sqlite3.Connection:
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, timeout=wait_s, isolation_level=None)
    connection.row_factory = sqlite3.Row
    return connection


def _reading_mode(path: Path) -> str:
    """SQLite reads with a small file of shared memory beside the log; where it cannot make one, without.

    Without it nothing keeps a writer off. That is well only while there is none: a writer would have made the file.
    """
    cannot = not os.access(path.parent, os.W_OK, effective_ids=True) or troubles.no_room(path)
    shared = _bytes_in(path, "-shm") >= _SHARED_BYTES
    return "ro&immutable=1" if cannot and not shared and not _waits_beside(path) else "ro"


def _waits_beside(path: Path) -> bool:
    """Whether the file in which SQLite keeps the newest commits, until they are moved into the log, holds any."""
    return _bytes_in(path, "-wal") > 0


def _bytes_in(path: Path, ending: str) -> int:
    beside = path.with_name(path.name + ending)
    return beside.stat().st_size if beside.exists() else 0


def _check_ours(connection: sqlite3.Connection, path: Path, steps: Sequence[str]) -> int:
    """The version of the file, when it is one of ours or new."""
    connection.execute("BEGIN")  # one look at the file: another program may be making it just now
    tables = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    owner = connection.execute("PRAGMA application_id").fetchone()[0]
    version = version_of(connection)
    connection.execute("ROLLBACK")
    new = tables == 0 and owner == 0 and version == 0
    if owner != APPLICATION_ID and not new:
        raise troubles.foreign(path)
    if version > len(steps):
        raise troubles.newer(path, version, len(steps))
    return version


def _make_folder(folder: Path) -> None:
    """Create the folder and those above it, each entry flushed to the disk like the log itself."""
    if folder.is_dir():
        return
    _make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    flush(folder.parent)
