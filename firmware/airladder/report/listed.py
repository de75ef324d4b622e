"""All sessions of a log as the report needs them: in order, dated, each with its horn and fingering."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass

from airladder.journal.dating import Dated, dates
from airladder.journal.log import Reader
from airladder.journal.order import IN_ORDER
from airladder.report.sifting import Whose

_SESSIONS = f"SELECT id, started, horn, fingering, invented FROM session ORDER BY {IN_ORDER}"


@dataclass(frozen=True)
class Listed:
    """One session.

    Attributes
    ----------
    whose : its number, horn and fingering
    invented : whether it is the demo's
    dated : its date, as far as that can be told now
    day : the same as a label, such as ``2026-05-04``
    mark : a text that no other session of this number is likely to have
    """

    whose: Whose
    invented: bool
    dated: Dated
    day: str
    mark: str


def listed(log: Reader) -> Mapping[int, Listed]:
    """All sessions by number, in their order.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    rows, dated = list(log.rows(_SESSIONS)), dates(log)
    return {row["id"]: _listed(row, dated[row["id"]]) for row in rows if row["id"] in dated}


def _listed(row: sqlite3.Row, dated: Dated) -> Listed:
    whose = Whose(row["id"], row["horn"], row["fingering"])
    day = dated.when.date().isoformat()
    return Listed(whose, bool(row["invented"]), dated, day, f"{row['started']} {whose.horn} {whose.fingering}")
