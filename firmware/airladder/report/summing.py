"""Bringing the sums of sessions, days, months and quarters up to date, and reading no more for it than is new.

Conventions
-----------
A session is read again when it has more tries than when it was read: the newest ones, by number, are looked at. The
cells hold no dates, so a date that is corrected later moves sums and reads no try again.
"""

from __future__ import annotations

import json
import sqlite3
import zlib
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from airladder.journal.days import DAYS
from airladder.journal.log import Reader
from airladder.report.cells import FAMILIES, Cells
from airladder.report.listed import Listed
from airladder.report.sifting import sifted

IN_FULL = 60
"""So many of the newest days are told with all that was measured, those before with their counts."""

STILL_GROWING = 20
"""So many of the newest sessions may still be growing."""

NEW_DAY, PAST_DAY, MONTH, QUARTER = "new day", "past day", "month", "quarter"
SUMMED: Mapping[str, Sequence[str]] = {
    NEW_DAY: tuple(FAMILIES),
    PAST_DAY: ("practised", "rungs"),
    MONTH: ("practised", "rungs", "fundamentals"),
    QUARTER: ("starts", "compared"),
}
"""Which families of cells are summed up for which kind of period."""

TABLES = """
CREATE TABLE session (id INTEGER PRIMARY KEY, mark TEXT NOT NULL, tries INTEGER NOT NULL) STRICT;
CREATE TABLE cells (session INTEGER PRIMARY KEY, tallies BLOB NOT NULL, packed BLOB NOT NULL) STRICT;
CREATE TABLE period (
    invented INTEGER NOT NULL, kind TEXT NOT NULL, label TEXT NOT NULL, sessions TEXT NOT NULL, packed BLOB NOT NULL,
    PRIMARY KEY (invented, kind, label)
) STRICT, WITHOUT ROWID;
CREATE TABLE judged (
    horn TEXT NOT NULL PRIMARY KEY, made_of TEXT NOT NULL, packed BLOB NOT NULL
) STRICT, WITHOUT ROWID;
"""

_AT_ONCE = 200

Sums = Mapping[str, Any]
Period = tuple[bool, str, str]
"""Whether it is of what the demo invented, its kind, and its label."""


class Damaged(Exception):
    """The file holds something else than was written."""


def bring_up(connection: sqlite3.Connection, log: Reader, sessions: Mapping[int, Listed]) -> set[Period]:
    """Read what is new of `log`, and sum it up anew where it belongs; a transaction is open, before and after.

    Returns
    -------
    The periods of which there are sums now.

    Raises
    ------
    Damaged : when what was kept is of other sessions than those of the log.
    LogFault : when the log cannot be read.
    """
    kept = {row[0]: (row[1], row[2]) for row in connection.execute("SELECT id, mark, tries FROM session")}
    for number, (mark, tries) in kept.items():
        if number not in sessions or sessions[number].mark != mark or not isinstance(tries, int):
            raise Damaged  # some were removed or are others: whatever was summed up of them is to go too
    grown = _grown(log, kept)
    to_read = [session for number, session in sessions.items() if number not in kept or number in grown]
    for count, session in enumerate(to_read, 1):
        _keep_session(connection, log, session)
        if count % _AT_ONCE == 0:  # a first look at many years may be broken off, and then goes on from here
            connection.execute("COMMIT")
            connection.execute("BEGIN IMMEDIATE")
    return _sum_up(connection, sessions)


def _grown(log: Reader, kept: Mapping[int, tuple[str, int]]) -> set[int]:
    newest = sorted(kept)[-STILL_GROWING:]
    counts = "SELECT count(*) AS tries FROM attempt WHERE session = ?"
    return {number for number in newest for row in log.rows(counts, (number,)) if row["tries"] != kept[number][1]}


def _keep_session(connection: sqlite3.Connection, log: Reader, session: Listed) -> None:
    tries, cells = sifted(log, session.whose)
    number, rows = session.whose.id, cells.rows()
    tallies = [[*row[1:4], *row[5:8]] for row in rows["rungs"]]  # without the horn, and what was only reached
    connection.execute("INSERT OR REPLACE INTO session VALUES (?, ?, ?)", (number, session.mark, tries))
    connection.execute("INSERT OR REPLACE INTO cells VALUES (?, ?, ?)", (number, packed(tallies), packed(rows)))


def _sum_up(connection: sqlite3.Connection, sessions: Mapping[int, Listed]) -> set[Period]:
    """Bring the sums of days and months up to date: those alone whose sessions are others or have grown."""
    tries = dict(connection.execute("SELECT id, tries FROM session"))
    wanted = {period: _told(numbers, sessions, tries) for period, numbers in _periods(sessions, tries).items()}
    rows = connection.execute("SELECT invented, kind, label, sessions FROM period")
    have = {(bool(row[0]), row[1], row[2]): row[3] for row in rows}
    for period in have.keys() - wanted.keys():
        connection.execute("DELETE FROM period WHERE invented = ? AND kind = ? AND label = ?", period)
    for period, told in wanted.items():
        if have.get(period) != told:
            numbers = [int(part.split(":")[0]) for part in told.split()]
            sums = packed(_summed(connection, period[1], [sessions[number] for number in numbers]))
            connection.execute("INSERT OR REPLACE INTO period VALUES (?, ?, ?, ?, ?)", (*period, told, sums))
    return set(wanted)


def _periods(sessions: Mapping[int, Listed], tries: Mapping[int, int]) -> dict[Period, list[int]]:
    """The sessions with tries of each period that is to be summed up."""
    days: dict[bool, dict[str, list[int]]] = {False: defaultdict(list), True: defaultdict(list)}
    periods: dict[Period, list[int]] = defaultdict(list)
    for number, session in sessions.items():
        if tries[number] > 0:
            days[session.invented][session.day].append(number)
            periods[session.invented, MONTH, session.day[:7]].append(number)
            periods[session.invented, QUARTER, quarter(session.day)].append(number)
    for invented, found in days.items():
        newest = sorted(found, reverse=True)[:DAYS]
        periods |= {(invented, NEW_DAY, label): found[label] for label in newest[:IN_FULL]}
        periods |= {(invented, PAST_DAY, label): found[label] for label in newest[IN_FULL:]}
    return periods


def kept_of(connection: sqlite3.Connection, what: str, number: int) -> Any:
    """The ``tallies`` of a session by its number, or all its cells ``packed``.

    Raises
    ------
    Damaged : when they are not there, or not as they were.
    """
    found = connection.execute(f"SELECT {what} FROM cells WHERE session = ?", (number,)).fetchone()
    if found is None:
        raise Damaged
    return unpacked(found[0])


def quarter(day: str) -> str:
    """Such as ``2026-Q2`` of a day in May."""
    return f"{day[:4]}-Q{(int(day[5:7]) + 2) // 3}"


def _told(numbers: Iterable[int], sessions: Mapping[int, Listed], tries: Mapping[int, int]) -> str:
    """What a sum is made of: other sessions, tries or days make another text."""
    return " ".join(f"{number}:{tries[number]}:{sessions[number].day}" for number in numbers)


def _summed(connection: sqlite3.Connection, kind: str, sessions: Iterable[Listed]) -> Sums:
    cells = Cells()
    calendar: dict[tuple[str, str], list[float]] = defaultdict(lambda: [0, 0, 0])
    for session in sessions:
        rows = kept_of(connection, "packed", session.whose.id)
        cells.merge({family: rows[family] for family in SUMMED[kind]})
        for horn, _, *counts in rows["practised"]:
            before = calendar[session.day, horn]
            calendar[session.day, horn] = [a + b for a, b in zip(before, counts, strict=True)]
    sums = cells.summed_up(SUMMED[kind], values=kind != PAST_DAY)
    if kind == MONTH:
        sums["calendar"] = [[*key, *counts] for key, counts in sorted(calendar.items())]
    return sums


def packed(sums: Sums | list[Any]) -> bytes:
    """Sums as they are kept: JSON, compressed, with a check sum."""
    return zlib.compress(json.dumps(sums, separators=(",", ":"), allow_nan=False).encode())


def unpacked(kept: bytes) -> Any:
    """The sums that were packed.

    Raises
    ------
    Damaged : when they are not as they were.
    """
    try:
        return json.loads(zlib.decompress(kept))  # checks the sum that it was written with
    except (zlib.error, TypeError) as error:  # in a torn page of SQLite's, a value may have become empty
        raise Damaged from error
