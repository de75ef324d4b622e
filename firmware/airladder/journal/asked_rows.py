"""Between what was asked and found beside the tone, and the columns that hold it; what goes in comes out equal."""

from __future__ import annotations

import json
import math
import sqlite3

from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.judge import Voice

Value = str | int | float | None
Row = dict[str, Value]

_ASKED_COLUMNS = (
    *("asked_exercise", "asked_fingering", "task", "partials", "start_wanted", "hold_s", "swell", "cold"),
    *("beside_fingering", "beside_partial", "interval", "complete"),
)


def real(number: float | None) -> float | None:
    """A plain float, whatever number library it came from; not-a-number is empty."""
    return None if number is None or math.isnan(number) else float(number)


def asked_row(attempt: Attempt) -> Row:
    """The columns of what was asked for, and of all that was found beside the tone."""
    sung = attempt.sung
    return _asked_row(attempt) | {
        "difference_cents": real(attempt.difference_cents),
        "guess": attempt.guess.value if attempt.guess else None,
        "sung_hz": real(sung.hz) if sung else None,
        "sung_cents": real(sung.cents) if sung else None,
        "sung_spread_cents": real(sung.spread_cents) if sung else None,
        "swell_db": real(attempt.swell_db),
    }


def _asked_row(attempt: Attempt) -> Row:
    asked = attempt.asked
    if asked is None:
        return dict.fromkeys(_ASKED_COLUMNS)
    return {
        "asked_exercise": asked.exercise,
        "asked_fingering": asked.fingering,
        "task": asked.task.value,
        "partials": json.dumps(asked.partials),
        "start_wanted": asked.start.value,
        "hold_s": real(asked.hold),
        "swell": int(asked.swell),
        "cold": int(asked.cold),
        "beside_fingering": asked.beside_fingering,
        "beside_partial": asked.beside_partial,
        "interval": asked.interval,
        "complete": int(attempt.right),
    }


def asked_of(row: sqlite3.Row) -> Asked | None:
    """What was asked for; None in rows that were kept before it was."""
    if row["asked_exercise"] is None:
        return None
    return Asked(
        exercise=row["asked_exercise"],
        fingering=row["asked_fingering"],
        task=Task(row["task"]),
        partials=tuple(json.loads(row["partials"])),
        start=Start(row["start_wanted"]),
        hold=row["hold_s"],
        swell=bool(row["swell"]),
        cold=bool(row["cold"]),
        beside_fingering=row["beside_fingering"],
        beside_partial=row["beside_partial"],
        interval=row["interval"],
    )


def guess_of(row: sqlite3.Row) -> Guess | None:
    """What the player guessed."""
    return None if row["guess"] is None else Guess(row["guess"])


def voice_of(row: sqlite3.Row) -> Voice | None:
    """What was sung."""
    if row["sung_hz"] is None:
        return None
    return Voice(row["sung_hz"], row["sung_cents"], row["sung_spread_cents"])
