"""Whether a log is whole.

Conventions
-----------
Only damage is told here. Another program's file, a newer form, a place that cannot be read: `opening` has its
sentence for each. The file is only read.
"""

from __future__ import annotations

import mmap
import sqlite3
from collections.abc import Iterator
from functools import cache
from operator import itemgetter
from pathlib import Path
from typing import BinaryIO

from airladder.journal.sense import senseless
from airladder.journal.steps import APPLICATION_ID, migrate, shipped, version_of
from airladder.journal.waiting import Waiting, beside, waiting_at

_MAGIC = b"SQLite format 3\0"
_MARK = b"attempt_stays_on_delete"
"""The name of a trigger: it stands in every log, near its beginning and where those pages wait."""

_NEWEST = 20
_SMALL = ("session", "boot", "date_told", "planned", "remark")


def checked(path: Path, *, whole: bool = True, own: bool = False) -> str | None:
    """What is damaged in the log at `path`, in a few words; None when nothing is, or there is no log of ours.

    Parameters
    ----------
    path : the log
    whole : read every page. Otherwise the small tables, the newest sessions and what waits beside the log: what is
        written to, and what a pulled plug can hurt, at a cost that does not grow with the years.
    own : nothing but the log can lie at this place, so that a file without any trace of ours is one that was damaged
    """
    try:
        if not path.is_file():
            return None
        if path.stat().st_size == 0:
            return "it is empty, yet tries wait beside it" if waiting_at(path).pages else None
        if not (_is_ours(path) or own):
            return None
        return _lost_commits(path) or _asked(path, whole)
    except OSError:  # no damage: a file or a folder that does not let us in
        return None


def _is_ours(path: Path) -> bool:
    with path.open("rb") as file:
        head = file.read(100)
    if head[:16] == _MAGIC and head[68:72] == APPLICATION_ID.to_bytes(4, "big"):
        return True
    return any(_holds_mark(place) for place in (path, path.with_name(path.name + "-wal")))


def _holds_mark(path: Path) -> bool:
    if not path.exists() or path.stat().st_size == 0:
        return False
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as content:
        return content.find(_MARK) >= 0


def _lost_commits(path: Path) -> str | None:
    # Twice: the first look may have met a program that begins the file anew.
    lost = all(_misses_commits(path) for _ in range(2))
    return "of what waits beside it, a part is broken" if lost else None


def _misses_commits(path: Path) -> bool:
    """Whether SQLite passes over pages that wait and are not in the log: those that are wait for nothing any more.

    So it is when the power goes while SQLite, which has moved them all, begins the file that waits anew.
    """
    found = waiting_at(path)
    if not found.lost:
        return False
    newest = dict(sorted([*found.pages.items(), *found.doubtful], key=itemgetter(1)))
    with path.open("rb") as log, beside(path).open("rb") as file:
        return any(
            _bytes(log, (page - 1) * found.page_bytes, found) != _bytes(file, place, found)
            for page, place in newest.items()
        )


def _bytes(file: BinaryIO, place: int, found: Waiting) -> bytes:
    file.seek(place)
    return file.read(found.page_bytes)


def _asked(path: Path, whole: bool) -> str | None:
    """What SQLite itself finds."""
    try:
        connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, timeout=2, isolation_level=None)
    except sqlite3.Error:
        return None
    try:
        return next(_findings(connection, whole), None)
    except sqlite3.Error as error:
        # Our own questions are well formed: a plain error is one of the schema, one without a code one of a text.
        code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
        damage = code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR)
        return str(error) if damage else None
    finally:
        connection.close()


def _findings(connection: sqlite3.Connection, whole: bool) -> Iterator[str]:
    version = version_of(connection)
    owner = connection.execute("PRAGMA application_id").fetchone()[0]
    schema = _schema(connection)
    names = {name for name, _ in schema}
    if version > len(shipped()) or (owner != APPLICATION_ID and not {"session", "attempt"} <= names):
        return  # a newer form, or another program's database
    if owner != APPLICATION_ID or version < 1 or schema != _expected(version):
        yield "its tables are not as they were made"
    for check in [""] if whole else [f"({table})" for table in _SMALL if table in names]:
        (said,) = connection.execute(f"PRAGMA quick_check{check}").fetchone()
        if said != "ok":
            yield str(said).splitlines()[-1]
    if whole:
        yield from ("tries without their session" for _ in connection.execute("PRAGMA foreign_key_check"))
    newest = f"session IN (SELECT id FROM session ORDER BY id DESC LIMIT {_NEWEST})"
    yield from senseless(connection, "true" if whole else newest)


Schema = frozenset[tuple[str, str]]


def _schema(connection: sqlite3.Connection) -> Schema:
    """All that was made in a database, as (name, SQL); quotes and spaces tell only which SQLite made it."""
    found = connection.execute("SELECT name, sql FROM sqlite_schema WHERE name NOT GLOB 'sqlite_*'")
    return frozenset((name, " ".join(sql.replace('"', "").split())) for name, sql in found)


@cache
def _expected(version: int) -> Schema:
    connection = sqlite3.connect(":memory:", isolation_level=None)
    migrate(connection, shipped()[:version])
    schema = _schema(connection)
    connection.close()
    return schema
