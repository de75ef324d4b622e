"""Between the values of `records` and the rows of the tables; what goes in comes out equal.

Conventions
-----------
Dates as ISO 8601 with offset. Not-a-number is kept as empty; a place that must not be empty then refuses the row.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from airladder.hearing.events import Attack, Tone
from airladder.journal.asked_rows import Row, asked_of, asked_row, guess_of, real, voice_of
from airladder.journal.records import Head, Moment
from airladder.practice.attempt import Attempt
from airladder.practice.judge import ARRIVED, Outcome

_TONE_COLUMNS = (
    *("tone_start", "tone_end", "partial", "hz", "cents", "spread_cents"),
    *("speak_ms", "path", "split", "level_dbfs", "push_db", "unsteady_db", "clipped"),
)
_ATTACK_COLUMNS = ("attack_t", "attack_known_at", "attack_kind", "attack_rise_ms", "attack_confidence")


@dataclass(frozen=True)
class Summary:
    """One session without its tries.

    Attributes
    ----------
    id : its number in the log; numbers rise with time
    head : what is true of the whole session
    outcomes : how many tries came out so, for every outcome
    """

    id: int
    head: Head
    outcomes: Mapping[Outcome, int]

    @property
    def tries(self) -> int:
        """How many tries there were."""
        return sum(self.outcomes.values())

    @property
    def reached(self) -> int:
        """In how many of them the wanted partial was reached."""
        return sum(self.outcomes[outcome] for outcome in ARRIVED)


def head_row(head: Head) -> Row:
    """The columns of table ``session`` but for its id and its boot, whose number the log knows."""
    moment = head.moment
    return {
        "started": head.started.isoformat(),
        "source": _text(head.source),
        "invented": int(head.invented),
        "horn": head.horn,
        "fingering": head.fingering,
        "a4_hz": real(head.a4_hz),
        "against": head.against,
        "exercise": head.exercise,
        "version": head.version,
        "boottime_s": None if moment is None else real(moment.boottime_s),
        "trust": None if moment is None else moment.trust,
    }


def head_of(row: sqlite3.Row) -> Head:
    """The inverse of `head_row`, from a row that has the key of the boot beside it."""
    return Head(
        datetime.fromisoformat(row["started"]),
        row["source"],
        bool(row["invented"]),
        row["horn"],
        row["fingering"],
        row["a4_hz"],
        row["against"],
        row["exercise"],
        row["version"],
        _moment_of(row),
    )


def _moment_of(row: sqlite3.Row) -> Moment | None:
    if row["boot"] is None:
        return None
    return Moment(row["boot_key"], row["boottime_s"], row["trust"], row["boot"])


def summary_of(row: sqlite3.Row) -> Summary:
    """A session from its row with the outcomes counted in columns of their names."""
    return Summary(row["id"], head_of(row), {outcome: row[outcome.value] for outcome in Outcome})


def attempt_row(attempt: Attempt) -> Row:
    """The columns of table ``attempt`` but for its session.

    Raises
    ------
    ValueError : when a duration in the tone's path is not finite.
    """
    row: Row = {
        "number": int(attempt.number),
        "t": real(attempt.t),
        "wanted": int(attempt.wanted),
        "outcome": attempt.outcome.value,
    }
    return row | _tone_row(attempt.tone) | asked_row(attempt)


def attempt_of(row: sqlite3.Row) -> Attempt:
    """The inverse of `attempt_row`."""
    return Attempt(
        number=row["number"],
        t=row["t"],
        wanted=row["wanted"],
        outcome=Outcome(row["outcome"]),
        tone=_tone_of(row),
        asked=asked_of(row),
        difference_cents=row["difference_cents"],
        guess=guess_of(row),
        sung=voice_of(row),
        swell_db=row["swell_db"],
    )


def _tone_row(tone: Tone | None) -> Row:
    if tone is None:
        return dict.fromkeys(_TONE_COLUMNS) | _attack_row(None)
    return {
        "tone_start": real(tone.start),
        "tone_end": real(tone.end),
        "partial": _whole(tone.partial),
        "hz": real(tone.hz),
        "cents": real(tone.cents),
        "spread_cents": real(tone.spread_cents),
        "speak_ms": real(tone.speak_ms),
        "path": json.dumps([[_whole(partial), real(s)] for partial, s in tone.path], allow_nan=False),
        "split": real(tone.split),
        "level_dbfs": real(tone.level_dbfs),
        "push_db": real(tone.push_db),
        "unsteady_db": real(tone.unsteady_db),
        "clipped": real(tone.clipped),
    } | _attack_row(tone.attack)


def _attack_row(attack: Attack | None) -> Row:
    if attack is None:
        return dict.fromkeys(_ATTACK_COLUMNS)
    return {
        "attack_t": real(attack.t),
        "attack_known_at": real(attack.known_at),
        "attack_kind": attack.kind,
        "attack_rise_ms": real(attack.rise_ms),
        "attack_confidence": real(attack.confidence),
    }


def _tone_of(row: sqlite3.Row) -> Tone | None:
    if row["tone_start"] is None:
        return None
    return Tone(
        start=row["tone_start"],
        end=row["tone_end"],
        partial=row["partial"],
        hz=row["hz"],
        cents=row["cents"],
        spread_cents=row["spread_cents"],
        attack=_attack_of(row),
        speak_ms=row["speak_ms"],
        path=tuple((partial, seconds) for partial, seconds in json.loads(row["path"])),
        split=row["split"],
        level_dbfs=row["level_dbfs"],
        push_db=row["push_db"],
        unsteady_db=row["unsteady_db"],
        clipped=row["clipped"],
    )


def _attack_of(row: sqlite3.Row) -> Attack | None:
    if row["attack_t"] is None:
        return None
    return Attack(
        row["attack_t"],
        row["attack_known_at"],
        row["attack_kind"],
        row["attack_rise_ms"],
        row["attack_confidence"],
    )


def _text(text: str) -> str:
    """Names of files may hold bytes that are no text; they are spelled out rather than refused."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _whole(number: int | None) -> int | None:
    return None if number is None else int(number)
