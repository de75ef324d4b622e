"""Removing sessions from the log for good, when somebody asks for it; nothing else ever does.

Conventions
-----------
What is forgotten is forgotten whole: after a pulled plug either all of it is in the log or nothing. The freed bytes
are written over with zeros (SQLite's ``secure_delete``), the file is written anew without gaps (``VACUUM``), and what
waited beside it is moved in and cut off. What a flash card keeps in cells that it
no longer shows, no program reaches.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.dating import dates
from airladder.journal.log import WAIT_S, Reader
from airladder.journal.opening import opened_to_write
from airladder.journal.steps import shipped, transaction
from airladder.journal.troubles import told


@dataclass(frozen=True)
class Forgotten:
    """How many sessions and tries were removed."""

    sessions: int
    tries: int


def numbers_before(log: Reader, day: date) -> tuple[int, ...]:
    """The sessions whose date, as far as it can be told, is before `day`.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    return tuple(number for number, dated in dates(log).items() if dated.when.date() < day)


def forget(path: Path, numbers: Collection[int] | None, *, wait_s: float = WAIT_S) -> Forgotten:
    """Remove sessions with their tries, plans and remarks, and the switch-ons that only they were in.

    Numbers that no session has are passed over. No number is given again. `traces` lists what else lies about.

    Parameters
    ----------
    path : the log
    numbers : of the sessions; None for all, and all that was said of the date
    wait_s : how long to wait for another program that holds the file, s

    Raises
    ------
    LogFault : when there is no log, or it cannot be written; it is then as it was. When only the bytes could not be
        written over, since another program reads the log, the sentence says so, and the same again does the rest.
    """
    with Reader(path, wait_s=wait_s):  # says so when there is none
        pass
    connection = opened_to_write(path, shipped(), wait_s)
    try:
        with told(path):
            connection.execute("PRAGMA secure_delete = ON")
            with transaction(connection):
                gone = _remove(connection, numbers)
            _wipe(connection, path)
    finally:
        connection.close()
    return gone


def _remove(connection: sqlite3.Connection, numbers: Collection[int] | None) -> Forgotten:
    guards = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    for guard in guards:
        connection.execute(f"DROP TRIGGER {guard['name']}")
    connection.execute("CREATE TEMP TABLE gone (id INTEGER PRIMARY KEY, boot INTEGER)")
    for (number,) in connection.execute("SELECT id FROM session").fetchall():
        if numbers is None or number in numbers:
            connection.execute("INSERT INTO gone SELECT id, boot FROM session WHERE id = ?", (number,))
    tries = connection.execute("DELETE FROM attempt WHERE session IN (SELECT id FROM gone)").rowcount
    for table in ("planned", "remark"):
        connection.execute(f"DELETE FROM {table} WHERE session IN (SELECT id FROM gone)")
    sessions = connection.execute("DELETE FROM session WHERE id IN (SELECT id FROM gone)").rowcount
    empty = "NOT IN (SELECT boot FROM session WHERE boot NOT NULL)"
    if numbers is not None:
        empty += " AND {0} IN (SELECT boot FROM gone)"
    connection.execute(f"DELETE FROM date_told WHERE boot {empty.format('boot')}")
    connection.execute(f"DELETE FROM boot WHERE number {empty.format('number')}")
    connection.execute("DROP TABLE gone")
    for guard in guards:
        connection.execute(guard["sql"])
    return Forgotten(sessions, tries)


def _wipe(connection: sqlite3.Connection, path: Path) -> None:
    connection.execute("VACUUM")
    busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    if busy:
        raise LogFault(
            f"What was to be forgotten is out of the log {path}, but its bytes are still on the disk, since another "
            "program reads the log; close that program and forget the same again."
        )


def traces(log: Path) -> list[Path]:
    """All that lies beside the log and may tell of sessions that it has forgotten, in the order of their names.

    Damaged logs that were set aside (`mending`), what was being made of one, the page, sound that was kept, images
    of the drive, the digest of the page. A folder stands for all that is in it.
    """
    names = (
        f"{log.stem}.damaged-*{log.suffix}*",
        f".{log.name}.*",
        f"{log.stem}.html",
        f".{log.stem}.*.part",
        f"{log.stem}-clips",
        f"{log.stem}-drive",
        f"digest.{log.name}*",
    )
    return sorted(found for name in names for found in log.parent.glob(name))
