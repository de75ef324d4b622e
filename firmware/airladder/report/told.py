"""The newest sessions: their heads, and the newest of all tone by tone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from airladder.journal.log import Reader
from airladder.journal.records import Session
from airladder.music.names import pretty
from airladder.practice.attempt import Attempt
from airladder.practice.judge import ARRIVED, Outcome
from airladder.report.form import Head, Told, Try
from airladder.report.listed import Listed
from airladder.report.words import Notes

NEWEST = 20
"""So many of the newest sessions are named."""


def newest(log: Reader, sessions: Mapping[int, Listed], numbers: Sequence[int]) -> tuple[list[Head], Told | None]:
    """The heads of the newest sessions, the newest first, and that one in full.

    Parameters
    ----------
    log : the log
    sessions : its sessions by number
    numbers : those with tries among which the newest are looked for, in their order

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    read = [(log.session(number), sessions[number]) for number in numbers[: -NEWEST - 1 : -1]]
    heads = [_head(session, listed) for session, listed in read]
    return heads, _told(read[0][0], heads[0]) if read else None


def _head(session: Session, listed: Listed) -> Head:
    head, attempts = session.head, session.attempts
    outcomes = {outcome.value: sum(one.outcome is outcome for one in attempts) for outcome in Outcome}
    return {
        "id": session.id,
        "when": listed.dated.when.replace(tzinfo=None).isoformat(timespec="minutes"),
        "known": listed.dated.known,
        "source": head.source,
        "horn": head.horn,
        "fingering": head.fingering,
        "pretty": pretty(head.fingering),
        "exercise": head.exercise,
        "a4_hz": head.a4_hz,
        "against": head.against,
        "version": head.version,
        "minutes": round(_seconds(attempts) / 60.0, 1),
        "tries": len(attempts),
        "reached": sum(one.outcome in ARRIVED for one in attempts),
        "outcomes": outcomes,
    }


def _seconds(attempts: Sequence[Attempt]) -> float:
    """From the first tone to the last judgement, s."""
    first = attempts[0]
    return max(0.0, attempts[-1].t - (first.t if first.tone is None else first.tone.start))


def _told(session: Session, head: Head) -> Told:
    notes = Notes(session.head)
    return {
        "head": head,
        "plan": [(planned.exercise, planned.reason) for planned in session.head.plan],
        "remarks": list(session.head.remarks),
        "tries": [_try(attempt, session, notes) for attempt in session.attempts],
    }


def _try(attempt: Attempt, session: Session, notes: Notes) -> Try:
    asked, tone = attempt.asked, attempt.tone
    fingering = asked.fingering if asked else session.head.fingering
    beside = None
    if asked and asked.beside_fingering and asked.beside_partial and asked.interval:
        beside = (asked.beside_fingering, asked.beside_partial, asked.interval)
    return {
        "number": attempt.number,
        "exercise": asked.exercise if asked else session.head.exercise,
        "task": asked.task.value if asked else None,
        "fingering": fingering,
        "partials": list(asked.partials) if asked else [attempt.wanted],
        "wanted": attempt.wanted,
        "note": notes.on(fingering, attempt.wanted) if beside is None else pretty(fingering),
        "start": asked.start.value if asked else None,
        "hold_s": asked.hold if asked else 0.0,
        "swell": asked.swell if asked else False,
        "cold": asked.cold if asked else False,
        "beside": beside,
        "outcome": attempt.outcome.value,
        "right": attempt.right,
        "partial": tone.partial if tone else None,
        "others": list(attempt.others),
        "path": [(partial, round(seconds, 2)) for partial, seconds in tone.path] if tone else [],
        "cents": _rounded(tone.cents if tone else None),
        "spread_cents": _rounded(tone.spread_cents if tone else None),
        "attack": tone.attack.kind if tone and tone.attack else None,
        "speak_ms": _rounded(tone.speak_ms if tone else None, 0),
        "push_db": _rounded(tone.push_db if tone else None),
        "held_s": round(attempt.held, 1),
        "level_dbfs": _rounded(tone.level_dbfs if tone else None),
        "difference_cents": _rounded(attempt.difference_cents),
        "guess": attempt.guess.value if attempt.guess else None,
        "sung_cents": _rounded(attempt.sung.cents if attempt.sung else None),
        "swell_db": _rounded(attempt.swell_db),
    }


def _rounded(value: float | None, digits: int = 1) -> float | None:
    if value is None:
        return None
    return round(value, digits) if digits else round(value)
