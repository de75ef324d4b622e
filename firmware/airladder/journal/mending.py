"""A damaged log is set aside, never deleted, and what can be saved of it goes on in a new one.

Conventions
-----------
The new log is made in a folder of its own beside the log. When it is whole and on the disk a note is written there;
from then on the mending goes forward, before that back to the start, wherever a plug is pulled. Each file is moved
by its name within one file system, to a name that nothing has.
"""

from __future__ import annotations

import errno
import fcntl
import json
import os
import shutil
import sqlite3
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from itertools import count
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.flushing import flush
from airladder.journal.health import checked
from airladder.journal.opening import opened_to_write
from airladder.journal.salvage import Saved, salvaged
from airladder.journal.steps import shipped

ENDINGS = ("", "-wal", "-shm")
"""Of the files that are one log: itself, what waits beside it, and SQLite's shared memory."""

_SQLITE_LOCKS = 0x40000002, 510
"""The bytes on which every connection to a log of ours holds a lock (SQLite's os.h: SHARED_FIRST, SHARED_SIZE)."""


@dataclass(frozen=True)
class Mended:
    """A damaged log was set aside.

    Attributes
    ----------
    aside : where the damaged one lies now, with its -wal and -shm beside it
    why : what was damaged, in a few words
    saved : what of it is in the new log at the old place
    """

    aside: Path
    why: str
    saved: Saved

    def __str__(self) -> str:
        """One sentence for the player."""
        tries = f"{self.saved.tries} of its tries were" if self.saved.tries != 1 else "1 of its tries was"
        ended = (
            f"{tries} saved into a new one"
            if self.saved.tries
            else "none of its tries could be read: a new one is begun"
        )
        return f"The log was damaged; it lies aside as {self.aside.name}; {ended}."


def mended(path: Path, *, whole: bool = False, own: bool = False) -> Mended | None:
    """Set the log aside if it is damaged, and put a new one with all that could be saved in its place.

    To be called before the log is opened in this process. None when it was well, or is not there, or its trouble is
    no damage (`health.checked`, whose `whole` and `own` are taken). Whatever was begun before a pulled plug is ended.
    A second program that starts at the same time waits.

    Raises
    ------
    LogFault : when the log is damaged and cannot be mended now; it is then where it was or set aside, and nothing of
        it is lost.
    """
    path = path.resolve()
    work = _work(path)
    if not path.parent.is_dir() or not (work.exists() or checked(path, whole=whole, own=own)):
        return None
    with _explained(path), _alone(path.parent):
        if (work / "ready").exists():
            return _put_in_place(path, work)
        shutil.rmtree(work, ignore_errors=True)  # copies only: the log was not touched yet
        why = checked(path, whole=whole, own=own)
        if why is None:
            return None
        with _held(path, why):
            _make(path, work, why)
            return _put_in_place(path, work)


def _work(path: Path) -> Path:
    return path.with_name(f".{path.name}.mending")


def _make(path: Path, work: Path, why: str) -> None:
    """The new log and the note, whole and on the disk."""
    work.mkdir()
    new = work / "new.sqlite"
    try:
        saved = salvaged(path, new)
        opened_to_write(new, shipped(), 0).close()  # sets what makes its commits last
        flush(new)
        note = {"aside": _free_name(path).name, "why": why, "saved": asdict(saved)}
        part = work / "ready.part"
        part.write_text(json.dumps(note), encoding="utf-8")
        flush(part)
        flush(work)
        part.rename(work / "ready")
        flush(work)
    except BaseException:
        shutil.rmtree(work, ignore_errors=True)
        raise


def _put_in_place(path: Path, work: Path) -> Mended:
    """Go on from the note; done again after a pulled plug it ends the same."""
    note = json.loads((work / "ready").read_text(encoding="utf-8"))
    aside, new = path.with_name(note["aside"]), work / "new.sqlite"
    if new.exists():
        for ending in ENDINGS:
            old, kept = path.with_name(path.name + ending), aside.with_name(aside.name + ending)
            if old.exists() and not kept.exists():
                old.rename(kept)
        flush(path.parent)
        if path.exists():
            raise LogFault(
                f"A new log was begun at {path} while the damaged one was mended; move it to another place, "
                "and start again."
            )
        new.rename(path)
        flush(path.parent)
    shutil.rmtree(work)
    return Mended(aside, note["why"], Saved(**note["saved"]))


def _free_name(path: Path) -> Path:
    for number in count(1):
        name = path.with_name(f"{path.stem}.damaged-{number}{path.suffix}")
        if not any(name.with_name(name.name + ending).exists() for ending in ENDINGS):
            return name
    raise AssertionError


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Wait until no other program mends in this folder. The lock is on the folder itself: no file is left behind."""
    file = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
    finally:
        os.close(file)


@contextmanager
def _held(path: Path, why: str) -> Iterator[None]:
    """Keep every program off a log that is about to be moved.

    Raises
    ------
    LogFault : when one has it open: what it writes would go into the file that is set aside.
    """
    start, length = _SQLITE_LOCKS
    with path.open("r+b") as file:
        try:
            # Of the open file, not of the process: closing the same file elsewhere, as SQLite does, must not end it.
            fcntl.fcntl(file, fcntl.F_OFD_SETLK, struct.pack("hhqqi", fcntl.F_WRLCK, os.SEEK_SET, start, length, 0))
        except BlockingIOError as error:
            raise LogFault(
                f"The log {path} is damaged ({why}) and another program holds it; close that program and start again."
            ) from error
        yield


@contextmanager
def _explained(path: Path) -> Iterator[None]:
    """Turn what the disk says into a sentence."""
    try:
        yield
    except LogFault:
        raise
    except (OSError, sqlite3.Error) as error:
        full = getattr(error, "errno", None) in (errno.ENOSPC, errno.EDQUOT)
        if full or getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_FULL:
            raise LogFault(
                f"The log {path} is damaged and the disk has no room to save its tries into a new one; it was left "
                "as it is: make some room and start again."
            ) from error
        raise LogFault(
            f"The log {path} is damaged and cannot be mended ({error}); nothing of it was deleted: it wants a folder "
            "that this user may write in."
        ) from error
