"""One log as rows of the studio's tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from airladder.journal.dating import dates
from airladder.journal.days import history
from airladder.journal.log import Reader
from airladder.practice.coach.following import course
from airladder.practice.coach.standing import Stage, standings
from airladder.studio.shape import OF_SESSION, PLATEAUS, RUNGS, SESSIONS

_HEADS = """
SELECT s.id AS session, s.*, (SELECT count(*) FROM attempt WHERE session = s.id) AS tries FROM session s
"""


@dataclass(frozen=True)
class SessionRow:
    """A row of ``sessions`` by the names of its columns."""

    values: dict[str, Any]

    @property
    def month(self) -> str:
        """Such as ``2026-05``."""
        return str(self.values["month"])

    @property
    def seen(self) -> tuple[Any, ...]:
        """What of it stands beside its tries, and how many there are: while that is the same, so are the rows."""
        return tuple(self.values[name] for name in ("key", "session", *OF_SESSION, "tries"))


def sessions(log: Reader, keys: dict[int, str]) -> list[SessionRow]:
    """All sessions that have tries, in their order.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    heads = {row["id"]: row for row in log.rows(_HEADS)}
    made: list[SessionRow] = []
    for number, dated in dates(log).items():
        if number in keys:
            row = dict(heads[number])
            day: date = dated.when.date()
            row |= {"place": len(made) + 1, "key": keys[number], "month": f"{day:%Y-%m}", "date": day}
            row |= {"date_known": dated.known, "invented": bool(row["invented"])}
            made.append(SessionRow({name: row[name] for name in SESSIONS}))
    return made


def tries(log: Reader, sessions: Sequence[SessionRow], columns: Sequence[str]) -> Iterator[tuple[Any, ...]]:
    """The tries of these sessions in order, as values of the `columns` of ``tries``."""
    own = ", ".join(columns[1 + len(OF_SESSION) :])
    for session in sessions:
        beside = tuple(session.values[name] for name in ("session", *OF_SESSION))
        found = log.rows(f"SELECT {own} FROM attempt WHERE session = ? ORDER BY number", (beside[0],))
        yield from (beside + tuple(row) for row in found)


def rungs_and_plateaus(log: Reader, horns: Sequence[str]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """What the coach knows of the player by the newest days on each horn: rows of ``rungs`` and of ``plateaus``."""
    rungs: list[dict[str, Any]] = []
    plateaus: list[dict[str, Any]] = []
    for horn in horns:
        days = history(log, horn)
        for (fingering, partial), found in sorted(standings(days).items()):
            values = (horn, fingering, partial, found.stage is Stage.KNOWN, found.tries)
            rungs.append(dict(zip(RUNGS, values, strict=True)))
        way = course(days)
        ended = {detour.plateau: detour for detour in way.detours}
        for plateau in way.plateaus:
            over = ended.get(plateau)
            helped = over.helped if over else None
            plateaus.append(dict(zip(PLATEAUS, (horn, *plateau.rung, over is not None, helped), strict=True)))
    return rungs, plateaus
