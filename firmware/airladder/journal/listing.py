"""The sessions of the log as a table for the terminal, one line each, at most 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from airladder.journal.dating import Dated
from airladder.journal.rows import Summary
from airladder.music.names import pretty

EMPTY = "The log is empty so far; it begins with the first try of a practice."

_COLUMNS = (("no", 5), ("started", 17), ("horn", 8), ("on", 4), ("exercise", 20), ("tries", 5), ("reached", 7))
_NUMBERS = frozenset({"no", "tries", "reached"})


def listing(sessions: Iterable[Summary], dated: Mapping[int, Dated]) -> Iterator[str]:
    """The lines of the table in the order given; one kind sentence when there is no session.

    A date that is not known but only fits between others bears a question mark.
    """
    first = True
    for session in sessions:
        if first:
            yield _line(name for name, _ in _COLUMNS)
        first = False
        yield _line(_cells(session, dated[session.id]))
    if first:
        yield EMPTY


def _cells(session: Summary, dated: Dated) -> Iterator[str]:
    head = session.head
    yield str(session.id)
    yield f"{dated.when:%Y-%m-%d %H:%M}{'' if dated.known else '?'}"
    yield head.horn
    yield pretty(head.fingering)
    yield "demo (invented)" if head.invented else head.exercise
    yield str(session.tries)
    yield str(session.reached)


def _line(cells: Iterable[str]) -> str:
    placed = (_placed(cell, name, width) for cell, (name, width) in zip(cells, _COLUMNS, strict=True))
    return "  ".join(placed).rstrip()


def _placed(cell: str, name: str, width: int) -> str:
    """The cell cut and filled to the width of its column, numbers to the right."""
    cut = cell if len(cell) <= width else cell[: width - 1] + "…"
    return cut.rjust(width) if name in _NUMBERS else cut.ljust(width)
