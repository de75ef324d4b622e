"""Practice as the log sees it, quickly: invented tries through the real `Keeper`, and logs of every older form."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from airladder.hearing.events import Attack, Tone
from airladder.journal.keeper import Keeper
from airladder.journal.log import Log
from airladder.journal.records import CARRIED, KNOWN, Head, Moment, Planned
from airladder.journal.steps import shipped
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.judge import Outcome, Voice

OUTCOMES = (Outcome.SPOKE, Outcome.CRACKED, Outcome.SPLIT, Outcome.OTHER, Outcome.NOTHING)
Rows = list[tuple[int, Head, Attempt]]


def head_of(session: int) -> Head:
    """The head of one session; no two are equal. A switch-on has three sessions."""
    moment = Moment(f"switch-on {session // 3}", 60.0 * session, CARRIED if session % 2 else KNOWN)
    plan = (Planned("probe", "to see what stands"), Planned("rising"))
    return replace(old_head_of(session), moment=moment, plan=plan, remarks=(f"day {session}",) * (session % 3))


def listed_head_of(session: int) -> Head:
    """The same as the log lists it: without its plan and remarks."""
    return replace(head_of(session), plan=(), remarks=())


def old_head_of(session: int) -> Head:
    """The same as far as logs could hold it before form 4."""
    return Head(
        started=datetime(2026, 1, 5, 18, tzinfo=UTC) + timedelta(days=session),
        source=f"invented player {session}",
        invented=True,
        horn="alto",
        fingering="Bb3",
        a4_hz=440.0,
        against="tempered",
        exercise="partials rising",
        version="0.1.0",
    )


def try_of(session: int, number: int) -> Attempt:
    """One try; no two are equal, and every column is in use in some."""
    outcome = OUTCOMES[(session + number) % len(OUTCOMES)]
    wanted = 2 + number % 7
    asked = Asked("rising", "Bb3", Task.PLAY, (wanted,), Start.TONGUED, hold=2.0)
    if number % 3 == 0:
        asked = replace(
            asked, task=Task.USUAL, beside_fingering="Bb3", beside_partial=3, interval="octave", swell=True, cold=True
        )
    return Attempt(
        number,
        t=session * 1000 + 6.0 * number,
        wanted=wanted,
        outcome=outcome,
        tone=None if outcome is Outcome.NOTHING else _tone(session, number, wanted),
        asked=asked,
        difference_cents=-3.5 if number % 3 == 0 else None,
        guess=Guess.SHARP if number % 3 == 0 else None,
        sung=Voice(116.5 * wanted, 4.0, 2.5) if number % 4 == 0 else None,
        swell_db=6.5 if number % 3 == 0 else None,
    )


def _tone(session: int, number: int, wanted: int) -> Tone:
    return Tone(
        start=6.0 * number,
        end=6.0 * number + 2.25,
        partial=wanted,
        hz=116.5 * wanted + session / 64,
        cents=-7.25 + number % 13,
        spread_cents=2.5,
        attack=Attack(6.0 * number, 6.0 * number + 0.06, "air", 34.5, 0.8) if number % 2 else None,
        speak_ms=120.5,
        path=tuple((wanted if step % 2 else None, 0.125 * step) for step in range(1, 2 + (7 * number) % 12)),
        split=0.0625,
        level_dbfs=-21.5,
        push_db=-33.25,
        unsteady_db=0.75,
        clipped=0.125,
    )


@dataclass
class Practice:
    """Several sessions on one log, one after another, and what was told of them.

    Attributes
    ----------
    path : the log
    on_kept : called after each try that was told as kept, with how many were so far
    pages : at how many pages of the write-ahead log they are moved into the log; None is SQLite's 1000
    given : all that was handed over, as the log should give it back in the end
    told : how many of these were told as kept
    troubles : the sentences
    """

    path: Path
    on_kept: Callable[[int], None] = lambda _: None
    pages: int | None = None
    given: Rows = field(default_factory=list)
    told: int = 0
    troubles: list[str] = field(default_factory=list)
    _session: int = 0

    def session(self, session: int, tries: int, *, close: bool = True) -> Keeper:
        """One session; `session` must be the number that the log will give it."""
        self._session = session
        keeper = Keeper(self.path, head_of(session), self._kept, self.troubles.append, open_log=self.opened)
        for number in range(1, tries + 1):
            self.go_on(keeper, number)
        if close:
            keeper.close()
        return keeper

    def go_on(self, keeper: Keeper, number: int) -> None:
        """One try more of the newest session."""
        attempt = try_of(self._session, number)
        self.given.append((self._session, listed_head_of(self._session), attempt))
        keeper.keep(attempt)

    def opened(self, path: Path) -> Log:
        """The log, for a keeper."""
        return HastyLog(path) if self.pages is None else TidyLog(path, self.pages)

    def _kept(self, _: int) -> None:
        self.told += 1
        self.on_kept(self.told)


class HastyLog(Log):
    """A log that does not wait for other programs."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, wait_s=0.0)


class TidyLog(HastyLog):
    """A log that moves its write-ahead log into the file at few pages."""

    def __init__(self, path: Path, pages: int) -> None:
        super().__init__(path)
        self._connection.execute(f"PRAGMA wal_autocheckpoint = {pages}")


def old_log(path: Path, form: int, sessions: int, tries: int) -> Rows:
    """Write a log of an older form, by SQL alone, and return what today's program must find in it."""
    rows = [
        (session, old_head_of(session), _as_in(form, try_of(session, number)))
        for session in range(1, sessions + 1)
        for number in range(1, tries + 1)
    ]
    newest = path.with_name("newest.sqlite")
    with Log(newest) as log:
        for session, head, attempt in rows:
            if attempt.number == 1:
                log.begin(head, attempt)
            else:
                log.keep(session, attempt)
    Log(path, steps=shipped()[:form]).close()
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("ATTACH ? AS newest", (str(newest),))
    for table in ("session", "attempt"):
        columns = ", ".join(row[1] for row in connection.execute(f"PRAGMA main.table_info({table})"))
        connection.execute(f"INSERT INTO main.{table} ({columns}) SELECT {columns} FROM newest.{table}")
    connection.close()
    newest.unlink()
    return rows


def _as_in(form: int, attempt: Attempt) -> Attempt:
    """What an older form could hold of a try."""
    if form < 3:
        attempt = Attempt(attempt.number, attempt.t, attempt.wanted, attempt.outcome, attempt.tone)
    if form < 2 and attempt.tone is not None:
        tone = replace(attempt.tone, push_db=None, unsteady_db=None, clipped=None)
        attempt = replace(attempt, tone=tone)
    return attempt
