"""What the report needs of a log of any length, kept beside it, so that a day more costs a day and not ten years.

Of every session its cells (`cells`), of every month, and of each of the newest days, their sum. All of it is made of
the log and may be deleted at any time. Where another log lies in the place of the one it was made of, where it is of
another form, or where it is damaged, it is made anew without a word; where it cannot be written, it is made in
memory.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator, Mapping, Sequence, Set
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from airladder.journal.log import Reader
from airladder.report.coaching import Judged, code, judged
from airladder.report.histories import Tallies, history, newest_days
from airladder.report.listed import Listed
from airladder.report.summing import (
    MONTH,
    NEW_DAY,
    PAST_DAY,
    QUARTER,
    SUMMED,
    TABLES,
    Damaged,
    Period,
    Sums,
    bring_up,
    kept_of,
    packed,
    unpacked,
)

FORM = 1
"""The form of the file; another number when cells mean something else."""

_WAIT_S = 10.0
_NOT_TO_BE_HAD = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN}
_TROUBLES = (Damaged, sqlite3.Error, UnicodeDecodeError)  # the last: of names in a damaged schema


@dataclass(frozen=True)
class Digest:
    """The sums of what was practised, or of what the demo invented.

    Attributes
    ----------
    days, months, quarters : by label, rising: the newest days of practice, and all months and quarters. Families of
        `cells` summed up, and of a month ``calendar``: (date, horn, seconds, tries, reached) of its days
    sessions : the numbers of the sessions with tries, in their order
    judged : what the coach makes of every horn
    """

    days: Mapping[str, Sums]
    months: Mapping[str, Sums]
    quarters: Mapping[str, Sums]
    sessions: Sequence[int]
    judged: Mapping[str, Judged]


def digested(log: Reader, sessions: Mapping[int, Listed], cache: Path | None) -> tuple[Digest, Digest]:
    """What was practised, and what the demo invented.

    Parameters
    ----------
    log : the log
    sessions : all of its sessions (`listed`)
    cache : the file that keeps the sums; None: they are made anew, in memory

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    if cache is None:
        return _made(None, log, sessions)
    if cache.resolve() == log.path.resolve():
        raise ValueError(f"{cache} is the log itself.")
    try:
        return _made(cache, log, sessions)
    except _TROUBLES as error:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF in _NOT_TO_BE_HAD:
            return _made(None, log, sessions)
        _throw_away(cache)
    try:
        return _made(cache, log, sessions)
    except _TROUBLES:
        return _made(None, log, sessions)


def _made(path: Path | None, log: Reader, sessions: Mapping[int, Listed]) -> tuple[Digest, Digest]:
    with _opened(path, log) as connection:
        periods = bring_up(connection, log, sessions)
        sums = _sums(connection, periods)
        return _read(connection, sessions, sums, invented=False), _read(connection, sessions, sums, invented=True)


def _throw_away(path: Path) -> None:
    for each in (path, path.with_name(f"{path.name}-journal")):
        with suppress(OSError):
            each.unlink(missing_ok=True)


@contextmanager
def _opened(path: Path | None, log: Reader) -> Iterator[sqlite3.Connection]:
    connection = sqlite3.connect(":memory:" if path is None else path, timeout=_WAIT_S, isolation_level=None)
    try:
        connection.execute("BEGIN IMMEDIATE")  # held to the end: one report at a time
        form = connection.execute("PRAGMA user_version").fetchone()[0]
        origin = str(log.path.stat().st_ino)
        if form == 0:
            connection.execute("CREATE TABLE origin (log TEXT NOT NULL) STRICT")
            for statement in TABLES.split(";"):
                connection.execute(statement)
            connection.execute("INSERT INTO origin VALUES (?)", (origin,))
            connection.execute(f"PRAGMA user_version = {FORM}")
        elif form != FORM or connection.execute("SELECT log FROM origin").fetchall() != [(origin,)]:
            raise Damaged
        yield connection
        connection.execute("COMMIT")
    finally:
        connection.close()


def _sums(connection: sqlite3.Connection, periods: Set[Period]) -> dict[Period, Sums]:
    """What was kept of `periods`, in the order of their labels."""
    query = "SELECT invented, kind, label, packed FROM period ORDER BY label"
    rows = connection.execute(query)
    found = {(bool(invented), kind, label): unpacked(kept) for invented, kind, label, kept in rows}
    if found.keys() != periods:
        raise Damaged
    return found


def _read(
    connection: sqlite3.Connection, sessions: Mapping[int, Listed], sums: Mapping[Period, Sums], *, invented: bool
) -> Digest:
    tries = dict(connection.execute("SELECT id, tries FROM session"))
    own = [number for number, session in sessions.items() if session.invented is invented and tries[number] > 0]

    found: dict[str, dict[str, Sums]] = {kind: {} for kind in SUMMED}
    for (whether, kind, label), summed in sums.items():
        if whether is invented:
            found[kind][label] = summed
    coached = {} if invented else _judged(connection, [sessions[number] for number in own], tries)
    return Digest(found[PAST_DAY] | found[NEW_DAY], found[MONTH], found[QUARTER], own, coached)


def _judged(connection: sqlite3.Connection, own: Sequence[Listed], tries: Mapping[int, int]) -> dict[str, Judged]:
    """What the coach makes of every horn: of those alone anew that were practised, or when its code is another."""

    def tallies(number: int) -> Tallies:
        made: Tallies = kept_of(connection, "tallies", number)
        return made

    found: dict[str, Judged] = {}
    for horn, days in newest_days(own).items():
        told = repr([(session.whose.id, session.day, tries[session.whose.id]) for day in days for session in day])
        made_of = hashlib.sha256(f"{code()} {told}".encode()).hexdigest()
        query = "SELECT packed FROM judged WHERE horn = ? AND made_of = ?"
        kept = connection.execute(query, (horn, made_of)).fetchone()
        if kept is None:
            kept = (packed({**judged(history(days, tallies))}),)
            connection.execute("INSERT OR REPLACE INTO judged VALUES (?, ?, ?)", (horn, made_of, *kept))
        found[horn] = unpacked(kept[0])
    return found
