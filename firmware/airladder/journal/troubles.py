"""What SQLite and the system say about a log that cannot be used, as one sentence for a person."""

from __future__ import annotations

import errno
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from airladder.faults import Fault, LogFault

_ROOM_BYTES = 65536
"""A disk with less than this free is called full when a write fails without a reason given."""


class Refused(LogFault):
    """One row does not fit the form of the log; the rest of the log is well."""


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn any failure of the block into a sentence about the log at `path`.

    Raises
    ------
    LogFault : in place of the error of SQLite or of the system, which stays its cause.
    Refused : when a row breaks a rule of its table.
    """
    try:
        yield
    except LogFault:
        raise
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", None)
        if code is not None:
            raise _fault(path, code & 0xFF, str(error)) from error
        if str(error).startswith("Could not decode"):  # text that is none: the library itself cannot read it
            raise damaged(path, str(error)) from error
        raise  # a wrong use of the library, not a trouble of the log
    except UnicodeDecodeError as error:  # the same, in a name of the form, while it made its own sentence
        raise damaged(path, "names that are no text") from error
    except OSError as error:
        raise _system_fault(path, error) from error


@contextmanager
def making_sense(path: Path) -> Iterator[None]:
    """Turn what no row of ours can hold into a sentence: the disk has changed it.

    Raises
    ------
    LogFault : in place of the error of whoever tried to read it.
    """
    try:
        yield
    except (ValueError, TypeError) as error:
        if isinstance(error, Fault):
            raise
        raise damaged(path, str(error)) from error


def no_log(path: Path) -> LogFault:
    """There is no file at `path`, and one was to be read."""
    return LogFault(f"There is no log at {path} yet; it begins with the first try of a practice.")


def folder(path: Path) -> LogFault:
    """A folder lies where the log should be."""
    return LogFault(f"{path} is a folder and the log is one file; name a file in it, such as {path / 'log.sqlite'}.")


def torn(path: Path) -> LogFault:
    """The log is gone, but not the file beside it that may hold its newest tries."""
    return LogFault(
        f"The log {path} is missing, yet {path.name}-wal beside it may hold tries of it; put the log back, or move "
        "that file to a safe place."
    )


def foreign(path: Path) -> LogFault:
    """The file is a database, but not one of ours."""
    return LogFault(f"{path} is another program's database, no log of Airladder; name another file for the log.")


def newer(path: Path, found: int, known: int) -> LogFault:
    """The file has steps that we do not know."""
    return LogFault(
        f"The log {path} was written by a newer version of Airladder (form {found}; this one knows up to {known}); "
        "install the newer version to use it."
    )


def unsafe(path: Path, mode: str) -> LogFault:
    """The file system cannot do what a log that survives a pulled plug needs."""
    return LogFault(
        f"The log {path} would not be safe on this file system (journal mode {mode}, wanted wal); "
        "put it on a disk of this computer."
    )


def damaged(path: Path, said: str) -> LogFault:
    """The file is none that SQLite reads, or holds what we never wrote."""
    return LogFault(
        f"{path} is no log that can be read ({said}); it was left as it is: name another file, or move it "
        "with its -wal file to a safe place, and a new log will be begun."
    )


def full(path: Path) -> LogFault:
    """No room is left."""
    return LogFault(f"The disk is full, so the log {path} takes nothing new; what it holds is safe: make some room.")


def closed_to_us(path: Path, why: str) -> LogFault:
    """The file or its folder does not let this user in."""
    return LogFault(f"The log {path} cannot be opened ({why}); it wants a folder that this user may write in.")


def _fault(path: Path, code: int, said: str) -> LogFault:
    match code:
        case sqlite3.SQLITE_FULL:
            return full(path)
        case sqlite3.SQLITE_IOERR if no_room(path):
            return full(path)
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return LogFault(f"Another program holds the log {path}; close that program.")
        case sqlite3.SQLITE_NOTADB | sqlite3.SQLITE_CORRUPT:
            return damaged(path, said)
        case sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM:
            return closed_to_us(path, said)
        case sqlite3.SQLITE_CONSTRAINT:
            return Refused(f"A row does not fit the log {path} ({said}); it was left out and the rest is safe.")
        case _:
            return LogFault(f"The log {path} cannot be used ({said}); what it holds was not changed.")


def _system_fault(path: Path, error: OSError) -> LogFault:
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return full(path)
    return closed_to_us(path, error.strerror or str(error))


def no_room(path: Path) -> bool:
    """Whether the disk is full: SQLite gives a plain input/output error when its shared memory finds no room."""
    try:
        return shutil.disk_usage(path.parent).free < _ROOM_BYTES
    except OSError:
        return False
