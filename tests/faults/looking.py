"""Whether a log holds what was given, through the program's own code, and whether SQLite finds it sound."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from faults.practising import Rows, head_of


def wrong(path: Path, given: Rows, told: int, opened: type[Reader] = Reader) -> str:
    """What is wrong with a log in which `told` of the tries `given` were told as kept; "" when all is well.

    Well is: it opens, and holds the first of what was given, in order, each once and with equal values: all that was
    told, and at most the one that was under way. Where there is no file yet, a writer makes one.
    """
    if not path.exists():
        opened = Log
    try:
        with opened(path) as log:
            found = list(log.tries())
            listed = {summary.id: (summary.head, summary.tries) for summary in log.sessions()}
            planned = [tuple(row) for row in log.rows("SELECT * FROM planned ORDER BY session, number")]
            remarks = [tuple(row) for row in log.rows("SELECT * FROM remark ORDER BY session, number")]
    except LogFault as fault:
        return f"damaged: {fault}"
    except (ValueError, TypeError, KeyError, sqlite3.Error) as error:
        return f"no sentence: {error!r}"
    if len(found) < told:
        return f"lost: {told} tries were told as kept, {len(found)} are there"
    if len(found) > told + 1 or found != given[: len(found)]:
        return f"changed: {len(found)} tries are there, {told} were told as kept, and they are not those given"
    tries = Counter(session for session, _, _ in found)
    heads = {session: head for session, head, _ in found}
    if listed != {session: (heads[session], tries[session]) for session in heads}:
        return f"changed: the list of sessions is {listed}"
    with_plan = {session: head_of(session) for session, head in heads.items() if head.moment is not None}
    if planned != [
        (session, number, item.exercise, item.reason)
        for session, head in with_plan.items()
        for number, item in enumerate(head.plan, 1)
    ] or remarks != [
        (session, number, item) for session, head in with_plan.items() for number, item in enumerate(head.remarks, 1)
    ]:
        return f"changed: the plans are {planned}, the remarks {remarks}"
    return ""


def unsound(path: Path) -> Iterator[str]:
    """What SQLite's own check says against a log."""
    connection = sqlite3.connect(path)
    yield from (row[0] for row in connection.execute("PRAGMA integrity_check") if row[0] != "ok")
    yield from (str(tuple(row)) for row in connection.execute("PRAGMA foreign_key_check"))
    connection.close()
