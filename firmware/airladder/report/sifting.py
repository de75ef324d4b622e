"""The tries of one session sifted into cells: what counts where.

Conventions
-----------
Only tries at single partials count for a rung, as the coach counts (`journal.days`); slurs and usual fingerings
count as practice alone. A usual fingering belongs to the tube it is set against. The time up to a try belongs to the
tube of that try, so the times of all tubes add up to the session's.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import NamedTuple

from airladder.journal.log import Reader
from airladder.practice.ask import Start, Task
from airladder.practice.judge import ARRIVED
from airladder.report.cells import Cells

STARTS = (Start.TONGUED.value, Start.AIR.value)
"""The ways to begin that are set against each other."""

_REACHED = {outcome.value for outcome in ARRIVED}
_TRIES = """
SELECT t, wanted, outcome, tone_start, cents, attack_kind, speak_ms, asked_fingering, task, start_wanted, cold,
    beside_fingering, beside_partial, interval, complete, difference_cents
FROM attempt WHERE session = ? ORDER BY number
"""
_FUNDAMENTALS = "SELECT fingering, hz, cents FROM fundamental WHERE session = ? ORDER BY number"


class Whose(NamedTuple):
    """A session, as far as its cells need to know it: its number, its horn and its fingering."""

    id: int
    horn: str
    fingering: str


def sifted(log: Reader, whose: Whose) -> tuple[int, Cells]:
    """How many tries a session has, and what they come to.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    tries = list(log.rows(_TRIES, (whose.id,)))
    cells = Cells()
    _add_practice(cells, whose, tries)
    for row in tries:
        tube = (whose.horn, row["asked_fingering"] or whose.fingering)
        if row["task"] in (None, Task.PLAY.value):
            _add_rung(cells, (*tube, row["wanted"]), row)
        elif row["beside_fingering"] is not None and row["difference_cents"] is not None:
            key = (
                whose.horn,
                row["beside_fingering"],
                row["beside_partial"],
                row["asked_fingering"],
                row["interval"],
            )
            cells.count("compared", key).values[0].append(round(row["difference_cents"], 2))
    _add_fundamentals(log, cells, whose)
    return len(tries), cells


def _add_practice(cells: Cells, whose: Whose, tries: Sequence[sqlite3.Row]) -> None:
    before = None
    for row in tries:
        if before is None:
            before = row["t"] if row["tone_start"] is None else row["tone_start"]
        tube = row["beside_fingering"] or row["asked_fingering"] or whose.fingering
        seconds = round(max(0.0, row["t"] - before), 2)
        cells.count("practised", (whose.horn, tube), seconds, 1, row["outcome"] in _REACHED)
        before = row["t"]


def _add_rung(cells: Cells, rung: tuple[str, str, int], row: sqlite3.Row) -> None:
    reached = row["outcome"] in _REACHED
    right = reached if row["complete"] is None else bool(row["complete"])
    cold = bool(row["cold"])
    cell = cells.count("rungs", rung, 1, reached, right, cold, cold and right)
    speak_ms = row["speak_ms"] if reached else None
    if reached and row["cents"] is not None:
        cell.values[0].append(round(row["cents"], 2))
    if speak_ms is not None:
        cell.values[1].append(round(speak_ms, 2))
    if row["start_wanted"] in STARTS:
        cells.count("starts", (*rung, row["start_wanted"]), 1, reached, right)
    if row["attack_kind"] in STARTS:
        began = cells.count("starts", (*rung, row["attack_kind"]), 0, 0, 0, 1, reached)
        if speak_ms is not None:
            began.values[0].append(round(speak_ms, 2))


def _add_fundamentals(log: Reader, cells: Cells, whose: Whose) -> None:
    for row in log.rows(_FUNDAMENTALS, (whose.id,)):
        hz, cents = cells.count("fundamentals", (whose.horn, row["fingering"])).values
        if row["hz"] is not None:
            hz.append(round(row["hz"], 3))
        if row["cents"] is not None:
            cents.append(round(row["cents"], 2))
