"""The log that stays: every try of every session, in one SQLite file that only grows.

Conventions
-----------
A try is kept when `Log.keep` or `Log.begin` has returned: it is then on the disk. Sessions are ordered as `order`
says, tries by their number; the dates are labels. Nothing is deleted or overwritten, ever. A `Reader` works while
another program writes. Neither is for use from several threads.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import chain, groupby
from operator import itemgetter
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from airladder.faults import LogFault
from airladder.journal import steps as form
from airladder.journal.asked_rows import Row
from airladder.journal.opening import opened_to_read, opened_to_write
from airladder.journal.order import IN_ORDER, WITH_BOOT
from airladder.journal.records import Head, Moment, Planned, Session
from airladder.journal.rows import (
    Summary,
    attempt_of,
    attempt_row,
    head_of,
    head_row,
    summary_of,
)
from airladder.journal.troubles import Refused, making_sense, told
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

WAIT_S = 2.0
"""How long to wait for another program that writes at this moment, s."""

_COUNTS = ", ".join(f"count(*) FILTER (WHERE outcome = '{o.value}') AS \"{o.value}\"" for o in Outcome)
_SUMMARIES = f"""
SELECT s.*, boot.key AS boot_key, {_COUNTS}
FROM session s JOIN attempt ON session = s.id LEFT JOIN boot ON boot.number = s.boot GROUP BY s.id ORDER BY {IN_ORDER}
"""
_ALL = f"SELECT * FROM ({WITH_BOOT}) JOIN attempt ON session = id ORDER BY {IN_ORDER}, attempt.number"


class Reader:
    """The log, to be looked at.

    Parameters
    ----------
    path : the file
    steps : the SQL of the form's steps; those shipped with this program unless told otherwise
    wait_s : how long to wait for another program that holds the file, s

    Raises
    ------
    LogFault : when there is no log at `path`, or it cannot be read.
    """

    def __init__(self, path: Path, *, steps: Sequence[str] | None = None, wait_s: float = WAIT_S) -> None:
        self.path = path
        self._connection = self._opened(form.shipped() if steps is None else steps, wait_s)

    def _opened(self, steps: Sequence[str], wait_s: float) -> sqlite3.Connection:
        return opened_to_read(self.path, steps, wait_s)

    def sessions(self) -> Iterator[Summary]:
        """All sessions in order, without their tries."""
        with making_sense(self.path):
            for row in self.rows(_SUMMARIES):
                yield summary_of(row)

    def session(self, session_id: int) -> Session:
        """One session with its tries.

        Raises
        ------
        LogFault : when there is no such session.
        """
        heads = list(self.rows(f"{WITH_BOOT} WHERE s.id = ?", (session_id,)))
        if not heads:
            raise LogFault(
                f"There is no session {session_id} in the log {self.path}; `airladder sessions` lists them."
            )
        tries = self.rows("SELECT * FROM attempt WHERE session = ? ORDER BY number", (session_id,))
        with making_sense(self.path):
            attempts = tuple(attempt_of(row) for row in tries)
            return Session(session_id, self._with_plan(session_id, heads[0]), attempts)

    def _with_plan(self, session_id: int, row: sqlite3.Row) -> Head:
        planned = self.rows("SELECT * FROM planned WHERE session = ? ORDER BY number", (session_id,))
        remarks = self.rows("SELECT * FROM remark WHERE session = ? ORDER BY number", (session_id,))
        return replace(
            head_of(row),
            plan=tuple(Planned(item["exercise"], item["reason"]) for item in planned),
            remarks=tuple(item["remark"] for item in remarks),
        )

    def tries(self) -> Iterator[tuple[int, Head, Attempt]]:
        """All tries of all sessions in order, as (number of the session, its head, the try)."""
        with making_sense(self.path):
            for session_id, rows in groupby(self.rows(_ALL), key=itemgetter("id")):
                first = next(rows)
                head = head_of(first)
                for row in chain((first,), rows):
                    yield session_id, head, attempt_of(row)

    def close(self) -> None:
        """Let go of the file; harmless when done twice."""
        self._connection.close()

    def rows(self, query: str, values: Mapping[str, Any] | Sequence[Any] = ()) -> Iterator[sqlite3.Row]:
        """What a query of this room finds.

        Raises
        ------
        LogFault : when the log cannot be read.
        """
        with told(self.path):
            for row in self._connection.execute(query, values):  # noqa: UP028 - `yield from` would close what is closed
                yield row

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


class Log(Reader):
    """The log, to be written as well; folder and file are created where they are missing.

    Parameters are those of `Reader`.

    Raises
    ------
    LogFault : when the log cannot be had for writing. The file is then as it was.
    """

    def _opened(self, steps: Sequence[str], wait_s: float) -> sqlite3.Connection:
        return opened_to_write(self.path, steps, wait_s)

    def begin(self, head: Head, first: Attempt) -> int:
        """Begin a session with its first try and return the session's number: both are on the disk, or neither.

        Raises
        ------
        LogFault : when it could not be written; `Refused` when the values break a rule of the tables.
        """
        with told(self.path), form.transaction(self._connection):
            boot = None if head.moment is None else self._boot(head.moment)
            session_id = self._insert("session", {**head_row(head), "boot": boot}).lastrowid
            assert session_id is not None
            self._insert("attempt", self._row(session_id, first))
            for number, planned in enumerate(head.plan, 1):
                row: Row = {"session": session_id, "number": number}
                self._insert("planned", row | {"exercise": planned.exercise, "reason": planned.reason})
            for number, remark in enumerate(head.remarks, 1):
                self._insert("remark", {"session": session_id, "number": number, "remark": remark})
        return session_id

    def tell_date(self, moment: Moment, wall: datetime, told_by: str) -> None:
        """Write down that somebody who knows says it is `wall` at this moment; what was kept before stays as it is.

        Parameters
        ----------
        moment : of the switch-on that goes on
        wall : the date, with its offset
        told_by : ``buttons`` or ``computer``

        Raises
        ------
        LogFault : when it could not be written.
        """
        with told(self.path), form.transaction(self._connection):
            row: Row = {"boot": self._boot(moment), "boottime_s": moment.boottime_s}
            self._insert("date_told", row | {"wall": wall.isoformat(), "told_by": told_by})

    def _boot(self, moment: Moment) -> int:
        """The number of the switch-on, which is counted when it is met first."""
        found = self._connection.execute("SELECT number FROM boot WHERE key = ?", (moment.boot_key,)).fetchone()
        if found is not None:
            return int(found["number"])
        number = self._insert("boot", {"key": moment.boot_key}).lastrowid
        assert number is not None
        return number

    def keep(self, session_id: int, attempt: Attempt) -> None:
        """Write a further try. The same try again is harmless, another one under the same number is refused.

        Raises
        ------
        LogFault : when it could not be written; `Refused` when the values break a rule of the tables.
        """
        row = self._row(session_id, attempt)
        with told(self.path), form.transaction(self._connection):
            if not self._has(row):
                self._insert("attempt", row)

    def _has(self, row: Row) -> bool:
        found = self._connection.execute(
            "SELECT * FROM attempt WHERE session = :session AND number = :number", row
        ).fetchone()
        if found is not None and dict(found) != row:
            raise Refused(
                f"Try {row['number']} of session {row['session']} is in the log {self.path} already, "
                "with other values; it was left as it is."
            )
        return found is not None

    def _insert(self, table: str, row: Row) -> sqlite3.Cursor:
        places = ", ".join(f":{column}" for column in row)
        return self._connection.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({places})", row)

    def _row(self, session_id: int, attempt: Attempt) -> Row:
        try:
            return {"session": session_id, **attempt_row(attempt)}
        except ValueError as error:
            raise Refused(f"Try {attempt.number} does not fit the log {self.path} ({error}).") from error
