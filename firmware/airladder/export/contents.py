"""What there is to export: the sessions in their order, each with its date, and the values of their tries.

Conventions
-----------
A month is that of the date as it can be told now, in its own time zone, written ``2026-05``. Everything is read
session by session by the log's own keys, so that one month costs what it holds, however long the log is; of the whole
log only the numbers and dates of the sessions are held.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from airladder.export.columns import SESSION, TRY
from airladder.journal.dating import Dated, dates
from airladder.journal.log import Reader

_TRIES = f"SELECT {', '.join(column.kept for column in TRY)} FROM attempt WHERE session = ? ORDER BY number"
_HEAD = "SELECT * FROM session WHERE id = ?"

Values = tuple[Any, ...]
"""The values of `SESSION` or of `TRY` in their order, as the log has them; None for what is empty."""


class Contents:
    """A log, looked through once for its sessions and their dates.

    Parameters
    ----------
    log : what to export; what is kept in it later is not seen, but for further tries of the last session

    Attributes
    ----------
    log : the same
    dated : the date of each session by its number, in the order of the sessions

    Raises
    ------
    LogFault : when the log cannot be read.
    """

    def __init__(self, log: Reader) -> None:
        self.log = log
        self.dated: dict[int, Dated] = dates(log)

    @property
    def sessions(self) -> tuple[int, ...]:
        """The numbers of all sessions in order."""
        return tuple(self.dated)

    def months(self) -> dict[str, tuple[int, ...]]:
        """The numbers of the sessions of each month that has any, the first month first."""
        by_month = groupby(self.dated, key=lambda number: f"{self.dated[number].when:%Y-%m}")
        return {month: tuple(numbers) for month, numbers in by_month}

    def rows(self, sessions: Sequence[int] | None = None) -> Iterator[tuple[Values, Iterator[Values]]]:
        """The sessions of these numbers, all unless told otherwise: the values of each, and those of its tries.

        Raises
        ------
        LogFault : when the log cannot be read.
        """
        for number in self.sessions if sessions is None else sessions:
            yield self._head(number), map(tuple, self.log.rows(_TRIES, (number,)))

    def _head(self, number: int) -> Values:
        (row,) = self.log.rows(_HEAD, (number,))
        dated = self.dated[number]
        kept = {**dict(row), "date": dated.when, "date_known": int(dated.known)}
        return tuple(kept[column.kept] for column in SESSION)
