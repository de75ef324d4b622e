"""A log of years of daily practice, made in seconds: every session, try and figure in it is invented.

The player slowly gains partials on the long fingerings of an alto, turns to the tenor now and then, has weeks of
standing still, and grows steadier. Nothing here says how real players do; it is only as long and as various as a real
log is.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import numpy as np

from airladder.journal.log import Log
from airladder.music.fingerings import fingering_named
from airladder.music.horns import horn_named
from airladder.music.pitch import A4_HZ
from airladder.music.series import Series
from airladder.practice.ask import Task

FIRST = datetime(2016, 5, 2, 18, 0, tzinfo=timezone(timedelta(hours=2)))
TUBES = ("Bb3", "B3", "C4", "C#4", "D4", "Eb4", "F4")
_OUTCOMES = np.array(["spoke", "cracked", "split", "other", "nothing"])
_KINDS = np.array(["tongued", "air", "unsure"])
_EXERCISES = np.array(["partials rising", "rungs", "attacks", "compare", "long tones"])
_HIGHEST = 8


def make(path: Path, days: int = 3650, tries: int = 200, seed: int = 1) -> None:
    """Write a log of one session a day, each of `tries` tries, to `path`, where none may be."""
    Log(path).close()
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA synchronous = OFF")  # made up again in no time, if the power fails
    connection.execute("BEGIN")
    rng = np.random.default_rng(seed)
    for day in range(days):
        _session(connection, rng, seed, day, days, tries)
    connection.execute("COMMIT")
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()


def extend(path: Path, day: int, tries: int = 200, seed: int = 1) -> None:
    """Add the session of one more day."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("BEGIN")
    _session(connection, np.random.default_rng([seed, day]), seed, day, day + 1, tries)
    connection.execute("COMMIT")
    connection.close()


def _session(
    connection: sqlite3.Connection, rng: np.random.Generator, seed: int, day: int, days: int, tries: int
) -> None:
    horn = "tenor" if day % 9 == 4 else "alto"
    fingering = TUBES[(day // 3) % 5]
    boot = connection.execute("INSERT INTO boot (key) VALUES (?)", (f"invented-{seed}-{day}",)).lastrowid
    started = FIRST + timedelta(days=day)
    values = (
        *(started.isoformat(), "microphone clip-on", 0, horn, fingering, A4_HZ, "tempered", "today", "0.1.0"),
        *(boot, 40.0, "known"),
    )
    session = connection.execute(
        "INSERT INTO session (started, source, invented, horn, fingering, a4_hz, against, exercise, version, boot,"
        f" boottime_s, trust) VALUES ({', '.join('?' * len(values))})",
        values,
    ).lastrowid
    reason = "The next rung, in a block." if day % 2 else "What stayed from other days."
    connection.execute("INSERT INTO planned VALUES (?, 1, 'partials rising', ?)", (session, reason))
    if day % 60 == 40:
        connection.execute("INSERT INTO remark VALUES (?, 1, 'Partial 5 has not moved; a detour helps.')", (session,))
    rows = list(_tries(rng, horn, fingering, day / max(1, days), tries))
    names = ", ".join(rows[0])
    places = ", ".join(f":{name}" for name in rows[0])
    connection.executemany(
        f"INSERT INTO attempt (session, {names}) VALUES ({session}, {places})",
        rows,
    )


def _tries(rng: np.random.Generator, horn: str, own: str, progress: float, count: int) -> Iterator[dict[str, Any]]:
    """The rows of one session; `progress` is 0 for who begins and 1 for who has practised for years."""
    wanted = 1 + rng.integers(0, 3 + round(5 * progress), count).clip(0, _HIGHEST - 1)
    skill = np.clip(1.0 - (wanted - 1) * 0.22 * (1.4 - progress), 0.08, 0.97)
    lots, which = rng.random((4, count)), rng.integers(0, 3, count)
    tubes = np.where(lots[3] < 0.7, own, np.array(TUBES)[rng.integers(0, len(TUBES), count)])
    spread = np.abs(rng.normal(6 - 4 * progress, 2, count)) + 0.5
    cents = rng.normal(4 * (wanted % 3 - 1), 18 - 12 * progress, count)
    speak = np.exp(rng.normal(4.6 + 0.25 * wanted - 0.8 * progress, 0.5, count))
    level, push = rng.normal(-24, 4, count), rng.normal(-1, 3, count)
    for number in range(count):
        right = lots[0][number] < skill[number]
        outcome = _OUTCOMES[0 if right and lots[1][number] < 0.8 else 1 if right else 2 + which[number]]
        begun = 4.0 * number + 2.0
        row = dict.fromkeys(_COLUMNS) | {
            "number": number + 1,
            "t": begun + 2.0,
            "wanted": int(wanted[number]),
            "outcome": str(outcome),
            "asked_exercise": str(_EXERCISES[number * 5 // count]),
            "asked_fingering": str(tubes[number]),
            "task": "play",
            "partials": json.dumps([int(wanted[number])]),
            "start_wanted": ("any", "tongued", "air")[number % 3],
            "hold_s": 0.0,
            "swell": 0,
            "cold": int(number < 5),
            "complete": int(right),
        }
        if outcome != "nothing" or lots[2][number] < 0.2:
            partial = _sounded(str(outcome), int(wanted[number]))
            row |= _tone(horn, str(tubes[number]), partial, begun, float(cents[number]))
            row |= {"spread_cents": float(spread[number]) if partial else None, "level_dbfs": float(level[number])}
            row |= {"attack_kind": str(_KINDS[which[number] if lots[2][number] < 0.3 else number % 2])}
            row |= {"speak_ms": float(speak[number]) if partial else None, "push_db": float(push[number])}
            row |= {"split": 0.6 if outcome == "split" else 0.0}
            if number % 10 == 9 and partial:
                row |= _compared(str(tubes[number]), int(wanted[number]), float(cents[number]))
        yield row


def _sounded(outcome: str, wanted: int) -> int | None:
    if outcome in ("split", "nothing"):
        return None
    return wanted if outcome != "other" else max(1, wanted - 1)


def _tone(horn: str, tube: str, partial: int | None, begun: float, cents: float) -> dict[str, Any]:
    hz = _hz(horn, tube, partial) * 2 ** (cents / 1200) if partial else None
    return {
        "tone_start": begun,
        "tone_end": begun + 1.8,
        "partial": partial,
        "hz": hz,
        "cents": cents if partial else None,
        "path": json.dumps([[partial, 1.8]]),
        "attack_t": begun,
        "attack_known_at": begun + 0.06,
        "attack_rise_ms": 30.0,
        "attack_confidence": 0.9,
        "unsteady_db": 0.8,
        "clipped": 0.0,
    }


def _compared(tube: str, wanted: int, cents: float) -> dict[str, Any]:
    """A usual fingering that was set against the overtone before."""
    beside = {"beside_fingering": tube, "beside_partial": wanted, "interval": "unison"}
    return {
        **beside,
        "task": Task.USUAL.value,
        "difference_cents": cents / 2,
        "guess": "sharp" if cents > 0 else "flat",
    }


_HZ: dict[tuple[str, str, int], float] = {}


def _hz(horn_name: str, tube: str, partial: int) -> float:
    key = horn_name, tube, partial
    if key not in _HZ:
        horn = horn_named(horn_name)
        _HZ[key] = partial * Series(horn, fingering_named(horn, tube)).fundamental_hz
    return _HZ[key]


_COLUMNS = (
    *("number", "t", "wanted", "outcome", "tone_start", "tone_end", "partial", "hz", "cents", "spread_cents"),
    *("attack_t", "attack_known_at", "attack_kind", "attack_rise_ms", "attack_confidence", "speak_ms", "path"),
    *("split", "level_dbfs", "push_db", "unsteady_db", "clipped", "asked_exercise", "asked_fingering", "task"),
    *("partials", "start_wanted", "hold_s", "swell", "cold", "beside_fingering", "beside_partial", "interval"),
    *("complete", "difference_cents", "guess"),
)
