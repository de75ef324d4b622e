"""Whether the values of a log can be read as what they are: SQLite's own check does not ask that here.

Conventions
-----------
SQLite passes over the rules (CHECK) of the tables of a file that is opened to be read only (seen with 3.40), and
never asks whether a text is UTF-8. A number that a bad card changed into another number nobody can tell.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import datetime

from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Guess
from airladder.practice.judge import Outcome

_JSON = {"path", "partials"}
_NO_HEAD = "against NOT IN ('tempered', 'pure', 'measured') OR invented NOT IN (0, 1) OR NOT a4_hz > 0"
_WORDS = {"outcome": Outcome, "task": Task, "start_wanted": Start, "guess": Guess}


def senseless(connection: sqlite3.Connection, sessions: str) -> Iterator[str]:
    """What makes no sense in the log, in a few words each; `sessions` is an SQL condition on ``session``.

    Raises
    ------
    sqlite3.Error : when the rows cannot be read, and without an error code when a text of them is no text.
    """
    columns = _columns(connection, "attempt")
    strange = " OR ".join([*_no_json(columns), *_no_words(columns)])
    texts = " || ".join(f"coalesce({name}, '')" for name, kind in columns if kind == "TEXT")
    values = f"group_concat({texts}, ''), sum(coalesce({strange}, 0))"
    query = f"SELECT {values} FROM attempt WHERE {sessions} GROUP BY session"
    yield from ("tries that cannot be read" for _, count in connection.execute(query) if count)
    yield from (
        "a session that cannot be read" for _ in connection.execute(f"SELECT 1 FROM session WHERE {_NO_HEAD}")
    )
    for table in ("session", *(name for name in ("planned", "remark", "boot") if _columns(connection, name))):
        for row in connection.execute(f"SELECT * FROM {table}"):  # read as text: that is the check
            if table == "session" and not _is_date(row[1]):
                yield "a session whose date cannot be read"


def _columns(connection: sqlite3.Connection, table: str) -> list[tuple[str, str]]:
    return connection.execute("SELECT name, type FROM pragma_table_info(?)", (table,)).fetchall()


def _no_json(columns: list[tuple[str, str]]) -> Iterator[str]:
    return (f"NOT json_valid(coalesce({name}, '[]'))" for name, _ in columns if name in _JSON)


def _no_words(columns: list[tuple[str, str]]) -> Iterator[str]:
    for name, _ in columns:
        if name in _WORDS:
            known = ", ".join(f"'{word.value}'" for word in _WORDS[name])
            yield f"{name} NOT IN ({known})"


def _is_date(text: str) -> bool:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
