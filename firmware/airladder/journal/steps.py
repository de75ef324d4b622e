"""The form of the log in numbered steps of SQL, and bringing a file up to the newest one.

Conventions
-----------
Step n is the file ``schema/000n_*.sql``; SQLite's ``user_version`` is the number of the last step done. A step that
has been released is never changed: a new one is added.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from importlib.resources import files

APPLICATION_ID = 0x416C6164
"""What SQLite's ``application_id`` says in our files ("Alad" in ASCII); other programs have other numbers."""


@cache
def shipped() -> tuple[str, ...]:
    """The SQL of all steps that come with this program, step 1 first."""
    folder = files("airladder.journal") / "schema"
    scripts = sorted((item for item in folder.iterdir() if item.name.endswith(".sql")), key=lambda item: item.name)
    return tuple(script.read_text(encoding="utf-8") for script in scripts)


def version_of(connection: sqlite3.Connection) -> int:
    """The number of the last step done in this file; 0 in a new one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(connection: sqlite3.Connection, steps: Sequence[str]) -> None:
    """Do all steps that the file lacks, each wholly or not at all.

    Raises
    ------
    sqlite3.Error : from the step that failed; those before it stay done.
    """
    while version_of(connection) < len(steps):
        with transaction(connection):
            _next_step(connection, steps)


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """All of the block is on the disk at its end, or, when anything fails, nothing of it."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:  # on some failures SQLite has rolled back by itself
            connection.execute("ROLLBACK")
        raise


def _next_step(connection: sqlite3.Connection, steps: Sequence[str]) -> None:
    version = version_of(connection)  # asked again: another program may have done the step while we waited
    if version >= len(steps):
        return
    for statement in _statements(steps[version]):
        connection.execute(statement)
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {version + 1}")


def _statements(script: str) -> Iterator[str]:
    """The statements of a script one by one: `executescript` would commit behind our back."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""
    if statement.strip():
        yield statement
