"""The log as the coach sees it: day by day, rung by rung, of one horn; what the demo invented is left out.

Conventions
-----------
Sessions are taken in their order (`order`), on their dates as far as these can be told (`dating`): neighbours on the
same date are one day, and a date that jumps makes no day, loses none and moves none. Only the newest days' tries are
read, so a log of many years costs little more than one of a year.
"""

from __future__ import annotations

from collections import defaultdict
from statistics import median
from typing import Any

from airladder.journal.dating import dates
from airladder.journal.log import Reader
from airladder.journal.order import NEWEST_FIRST
from airladder.practice.ask import Task
from airladder.practice.coach.history import Day, History, Tally
from airladder.practice.ease import Limits
from airladder.practice.judge import ARRIVED

DAYS = 400
"""So many of the newest days are looked at: more than a year of daily practice."""

_REACHED = ", ".join(f"'{outcome.value}'" for outcome in ARRIVED)
_PLAYED = f"(task IS NULL OR task = '{Task.PLAY.value}')"

HAS_TRIES = "EXISTS (SELECT 1 FROM attempt WHERE session = s.id)"
"""Of a row `s` of table ``session``."""

_SESSIONS = f"""
SELECT id FROM session s WHERE horn = :horn AND NOT invented AND {HAS_TRIES} ORDER BY {NEWEST_FIRST}
"""
_TALLIES = f"""
SELECT s.id AS session, coalesce(asked_fingering, fingering) AS tube, wanted,
    count(*) AS tries, sum(coalesce(complete, outcome IN ({_REACHED}))) AS "right",
    sum(coalesce(cold, 0)) AS cold,
    sum(coalesce(cold, 0) * coalesce(complete, outcome IN ({_REACHED}))) AS cold_right
FROM session s JOIN attempt ON session = s.id
WHERE s.id >= :first AND horn = :horn AND NOT invented AND {_PLAYED}
GROUP BY s.id, tube, wanted ORDER BY s.id, tube, wanted
"""
_TOTALS = """
SELECT s.id AS session, (max(t) - min(coalesce(tone_start, t))) / 60.0 AS minutes,
    sum(coalesce(push_db >= :push_db, 0)) AS pushed, group_concat(DISTINCT asked_exercise) AS exercises
FROM session s JOIN attempt ON session = s.id
WHERE s.id >= :first AND horn = :horn AND NOT invented GROUP BY s.id
"""
_FUNDAMENTALS = f"""
SELECT s.id AS session, level_dbfs FROM session s JOIN attempt ON session = s.id
WHERE s.id >= :first AND horn = :horn AND NOT invented AND wanted = 1 AND outcome IN ({_REACHED}) AND {_PLAYED}
"""


def history(log: Reader, horn: str, days: int = DAYS) -> History:
    """The newest `days` days on which `horn` was practised, the oldest of them first.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    found = _by_day(log, horn, days)
    if not found:
        return ()
    first = min(session for _, sessions in found for session in sessions)
    values = {"first": first, "horn": horn, "push_db": Limits().push_db}
    tallies, totals, levels = _tallies(log, values), _totals(log, values), _levels(log, values)
    return tuple(
        Day(
            date=date,
            tallies=_summed([tally for session in sessions for tally in tallies[session]]),
            minutes=sum(totals[session]["minutes"] for session in sessions),
            exercises=frozenset(name for session in sessions for name in _names(totals[session])),
            relaxed_dbfs=_middle([level for session in sessions for level in levels[session]]),
            pushed=sum(totals[session]["pushed"] for session in sessions),
        )
        for date, sessions in found
    )


def _by_day(log: Reader, horn: str, days: int) -> list[tuple[int, list[int]]]:
    """The newest days as (date, numbers of their sessions), the oldest first."""
    found: list[tuple[int, list[int]]] = []
    dated = dates(log)
    for row in log.rows(_SESSIONS, {"horn": horn}):
        date = dated[row["id"]].when.date().toordinal()
        if not found or found[-1][0] != date:
            if len(found) == days:
                break
            found.append((date, []))
        found[-1][1].insert(0, row["id"])
    return found[::-1]


def _tallies(log: Reader, values: dict[str, Any]) -> dict[int, list[Tally]]:
    made: dict[int, list[Tally]] = defaultdict(list)
    for row in log.rows(_TALLIES, values):
        tally = Tally(row["tube"], row["wanted"], row["tries"], row["right"], row["cold"], row["cold_right"])
        made[row["session"]].append(tally)
    return made


def _totals(log: Reader, values: dict[str, Any]) -> dict[int, Any]:
    return {row["session"]: row for row in log.rows(_TOTALS, values)}


def _levels(log: Reader, values: dict[str, Any]) -> dict[int, list[float]]:
    made: dict[int, list[float]] = defaultdict(list)
    for row in log.rows(_FUNDAMENTALS, values):
        made[row["session"]].append(row["level_dbfs"])
    return made


def _summed(tallies: list[Tally]) -> tuple[Tally, ...]:
    """One tally a rung."""
    rungs: dict[tuple[str, int], list[Tally]] = defaultdict(list)
    for tally in tallies:
        rungs[tally.rung].append(tally)
    return tuple(
        Tally(
            *rung,
            tries=sum(one.tries for one in same),
            right=sum(one.right for one in same),
            cold=sum(one.cold for one in same),
            cold_right=sum(one.cold_right for one in same),
        )
        for rung, same in rungs.items()
    )


def _names(total: Any) -> list[str]:
    return total["exercises"].split(",") if total["exercises"] else []


def _middle(levels: list[float]) -> float | None:
    return median(levels) if levels else None
