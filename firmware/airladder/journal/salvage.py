"""What a damaged log still holds, written into a new one.

Conventions
-----------
A row is known by its shape: the number and kinds of its values, as any form of the log had them. The tables' own
rules and the reader then have the last word. Rows never change once kept, so copies of one are equal and the first
that is found will do. Numbers, and with them the order, stay.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO, NamedTuple

from airladder.journal import headless
from airladder.journal.leaves import Leaf, Value, rows_in
from airladder.journal.rows import attempt_of
from airladder.journal.steps import migrate, shipped, transaction
from airladder.journal.waiting import NOTHING, beside, waiting_at

PAGE_BYTES = 4096
"""Of every log of ours: what SQLite takes unless told otherwise."""

_KINDS: dict[str, tuple[type, ...]] = {"INTEGER": (int,), "REAL": (int, float), "TEXT": (str,)}
_COUNTED = ("session", "boot", "date_told")
_FAR = 1_000_000
"""A count of numbers given that is so far beyond the numbers found was damaged itself."""


@dataclass(frozen=True)
class Saved:
    """What was saved.

    Attributes
    ----------
    sessions, tries : how many of each are in the new log
    headless : in how many of the sessions only tries were found (`headless.given`)
    refused : how many rows were found and broke a rule of the tables
    """

    sessions: int
    tries: int
    headless: int
    refused: int


class _Column(NamedTuple):
    name: str
    kinds: tuple[type, ...]
    needed: bool
    is_rowid: bool


class _Shape(NamedTuple):
    table: str
    has_rowids: bool
    columns: tuple[_Column, ...]
    insert: str


def salvaged(damaged: Path, new: Path) -> Saved:
    """Write all that can be read of the log at `damaged`, and waits beside it, to `new`, where nothing may be.

    The damaged log is only read. `new` is of the newest form, and on the disk whole or in part when this returns: the
    caller flushes it.

    Raises
    ------
    sqlite3.Error, OSError : when `new` cannot be written or `damaged` not be read.
    """
    connection = sqlite3.connect(new, isolation_level=None)
    connection.row_factory = sqlite3.Row
    try:
        connection.execute("PRAGMA journal_mode = OFF")  # what is half made is thrown away
        connection.execute("PRAGMA synchronous = OFF")
        migrate(connection, shipped())
        with transaction(connection):
            refused, given = _fill(connection, damaged)
            lost_heads = headless.given(connection)
            _go_on_counting(connection, given)
        tries = connection.execute("SELECT count(*) FROM attempt").fetchone()[0]
        sessions = connection.execute("SELECT count(*) FROM session").fetchone()[0]
    finally:
        connection.close()
    return Saved(sessions, tries, lost_heads, refused)


def _fill(connection: sqlite3.Connection, damaged: Path) -> tuple[int, dict[str, int]]:
    """Insert what fits; how many rows did not, and the numbers given so far by table."""
    shapes, refused, given = _shapes(), 0, dict[str, int]()
    for leaf in leaves_of(damaged):
        match leaf:
            case Leaf(int(), (str(table), int(number))) if table in _COUNTED:
                given[table] = max(number, given.get(table, 0))
        for shape in shapes.get((leaf.rowid is not None, len(leaf.values)), ()):
            if _fits(leaf, shape):
                refused += not _inserted(connection, shape, leaf)
                break
    return refused, given


def leaves_of(damaged: Path) -> Iterator[Leaf]:
    """Every row of every page, the newest version of a page first, those of doubtful worth last.

    Raises
    ------
    OSError : when the file cannot be read.
    """
    waits = waiting_at(damaged)
    with ExitStack() as stack:
        file = stack.enter_context(damaged.open("rb"))
        newest = stack.enter_context(beside(damaged).open("rb")) if waits is not NOTHING else file
        size = waits.page_bytes or _page_bytes(file.read(100))

        def page_of(number: int) -> bytes:
            place = waits.pages.get(number)
            return _read_at(file, size * (number - 1), size) if place is None else _read_at(newest, place, size)

        held = -(-damaged.stat().st_size // size)
        last = min(held, waits.count) if waits.count else held
        for number in sorted({*range(1, last + 1), *waits.pages}):
            # A page that was cut off in the middle is filled up: the rows in its other half may be whole.
            yield from rows_in(page_of(number).ljust(size, b"\0"), page_of)
        for number, place in reversed(waits.doubtful):
            for page in (_read_at(file, size * (number - 1), size), _read_at(newest, place, size)):
                yield from rows_in(page, page_of)


def _page_bytes(head: bytes) -> int:
    told = int.from_bytes(head[16:18], "big")
    return told if head[:6] == b"SQLite" and told in {2**power for power in range(9, 16)} else PAGE_BYTES


def _read_at(file: BinaryIO, place: int, count: int) -> bytes:
    file.seek(max(place, 0))
    return file.read(count)


def _shapes() -> dict[tuple[bool, int], list[_Shape]]:
    """The shapes of rows that any form of the log had, by whether they have row ids and how many values."""
    found: dict[tuple[bool, int], list[_Shape]] = {}
    connection = sqlite3.connect(":memory:", isolation_level=None)
    for form in range(1, len(shipped()) + 1):
        migrate(connection, shipped()[:form])
        tables = connection.execute(
            "SELECT name, wr FROM pragma_table_list"
            " WHERE schema = 'main' AND type = 'table' AND name NOT GLOB 'sqlite_*'"
        )
        for table, without in tables.fetchall():
            shape = _shape(connection, table, has_rowids=not without)
            same = found.setdefault((shape.has_rowids, len(shape.columns)), [])
            if shape not in same:
                same.append(shape)
    connection.close()
    return found


def _shape(connection: sqlite3.Connection, table: str, *, has_rowids: bool) -> _Shape:
    rows = connection.execute(f'SELECT name, type, "notnull", pk FROM pragma_table_info({table!r})').fetchall()
    columns = tuple(
        _Column(name, _KINDS[kind], bool(needed), bool(key) and has_rowids) for name, kind, needed, key in rows
    )
    places = ", ".join("?" * len(columns))
    insert = f"INSERT INTO {table} ({', '.join(column.name for column in columns)}) VALUES ({places})"
    return _Shape(table, has_rowids, columns, insert)


def _fits(leaf: Leaf, shape: _Shape) -> bool:
    return all(_is_one(value, column) for value, column in zip(leaf.values, shape.columns, strict=True))


def _is_one(value: Value, column: _Column) -> bool:
    if value is None:
        return column.is_rowid or not column.needed
    return not column.is_rowid and isinstance(value, column.kinds)


def _inserted(connection: sqlite3.Connection, shape: _Shape, leaf: Leaf) -> bool:
    """Whether the row is in the table now; one that was there already is."""
    row = dict(zip((column.name for column in shape.columns), leaf.values, strict=True))
    if shape.has_rowids:
        row[shape.columns[0].name] = leaf.rowid
    try:
        _read(shape.table, row)
        connection.execute(shape.insert, tuple(row.values()))
    except sqlite3.IntegrityError as error:
        return error.sqlite_errorname in ("SQLITE_CONSTRAINT_PRIMARYKEY", "SQLITE_CONSTRAINT_ROWID")
    except (ValueError, TypeError, KeyError, OverflowError):
        return False
    return True


def _read(table: str, row: dict[str, Any]) -> None:
    """Read the row as the program will: a rule of the tables knows JSON, say, but not what ours is made of."""
    if table == "session":
        datetime.fromisoformat(row["started"])
    if table == "attempt":
        attempt_of(_Whole(row))  # type: ignore[arg-type]  # it asks for columns by name, as of a row of SQLite


class _Whole(dict[str, Any]):
    """A row of any form; what an older one did not have is empty."""

    def __missing__(self, name: str) -> None:
        return None


def _go_on_counting(connection: sqlite3.Connection, given: dict[str, int]) -> None:
    """No number is given twice, also where the rows that had the last ones are gone."""
    for table, last in given.items():
        missing = "INSERT INTO sqlite_sequence SELECT :t, 0 WHERE :t NOT IN (SELECT name FROM sqlite_sequence)"
        connection.execute(missing, {"t": table})
        number = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = ?", (table,)).fetchone()[0]
        if number < last <= number + _FAR:
            connection.execute("UPDATE sqlite_sequence SET seq = ? WHERE name = ?", (last, table))
