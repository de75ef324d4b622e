"""Rows that only a lost row would explain: tries without the head of their session, sessions without their switch-on.

Conventions
-----------
Nothing is made up. A head that is lost is that of the session before, which is the likeliest, and a remark in the
log says so; its place in the order is its number's.
"""

from __future__ import annotations

import sqlite3

SOURCE = "salvaged from a damaged log"
"""The source of a session whose own head is lost."""

REMARK = "The head of this session was lost when the log was damaged: date, horn, fingering and tuning are {whose}."

_CHILDREN = ("attempt", "planned", "remark")
_COLUMNS = "started, source, invented, horn, fingering, a4_hz, against, exercise, version, boot, boottime_s, trust"
_NOBODY = ("1970-01-01T00:00:00+00:00", SOURCE, 0, "unknown", "unknown", 440.0, "tempered", "unknown", "unknown")


def given(connection: sqlite3.Connection) -> int:
    """Give the tries that lost theirs a head, and sessions theirs a switch-on; how many heads were given."""
    _boots(connection)
    union = " UNION ".join(f"SELECT session FROM {table}" for table in _CHILDREN)
    lost = connection.execute(
        f"SELECT session FROM ({union}) WHERE session NOT IN (SELECT id FROM session) ORDER BY session"
    ).fetchall()
    heads = connection.execute(f"SELECT id, {_COLUMNS} FROM session ORDER BY id").fetchall()
    for (number,) in lost:
        _give(connection, number, heads)
    return len(lost)


def _give(connection: sqlite3.Connection, number: int, heads: list[sqlite3.Row]) -> None:
    near = max((head for head in heads if head["id"] < number), key=_id, default=None)
    near = near or min(heads, key=_id, default=None)
    asked = connection.execute(
        "SELECT asked_exercise, asked_fingering FROM attempt WHERE session = ? AND asked_exercise NOT NULL LIMIT 1",
        (number,),
    ).fetchone()
    row = dict(near) if near else dict(zip(_COLUMNS.split(", "), (*_NOBODY, None, None, None), strict=True))
    if asked:
        row |= {"exercise": asked[0], "fingering": asked[1]}
    if row["trust"]:
        row["trust"] = "carried"
    row |= {"id": number, "source": SOURCE}
    names = ", ".join(row)
    connection.execute(f"INSERT INTO session ({names}) VALUES ({', '.join(f':{name}' for name in row)})", row)
    last = connection.execute("SELECT coalesce(max(number), 0) FROM remark WHERE session = ?", (number,)).fetchone()[
        0
    ]
    whose = f"those of session {near['id']}" if near else "not known"
    connection.execute("INSERT INTO remark VALUES (?, ?, ?)", (number, last + 1, REMARK.format(whose=whose)))


def _id(head: sqlite3.Row) -> int:
    return int(head["id"])


def _boots(connection: sqlite3.Connection) -> None:
    """Switch-ons by their number; the key, drawn by lot at each, is gone for good and nothing else depends on it."""
    lost = connection.execute(
        "SELECT boot FROM session UNION SELECT boot FROM date_told EXCEPT SELECT number FROM boot ORDER BY 1"
    ).fetchall()
    for (number,) in lost:
        if number is not None:
            connection.execute("INSERT INTO boot VALUES (?, ?)", (number, f"lost {number}"))
