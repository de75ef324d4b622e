"""The journal's tries, heads and paths, and a log with all that can stand in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from airladder.export.contents import Contents
from airladder.journal.log import Log
from airladder.journal.records import CARRIED, KNOWN, Head, Moment
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Guess
from airladder.practice.judge import Outcome, Voice
from unit.journal.conftest import Trier, head, other_program, path, tried

__all__ = ["Trier", "contents", "head", "log", "other_program", "path", "tried"]

ASKED = Asked("compare", "F4", Task.USUAL, (1,), Start.AIR, 8.0, True, False, "Bb3", 3, "octave")
MAY = datetime(2026, 5, 31, 23, 30, 12, tzinfo=timezone(timedelta(hours=2)))


@pytest.fixture
def log(path: Path, head: Head, tried: Trier) -> Iterator[Log]:
    """Four sessions: one of before switch-ons were counted, with a source that is hard to quote; the demo's; one with
    a clock that was a year behind; and one of the next month, with all that can be asked and found.
    """
    with Log(path) as log:
        session_id = log.begin(replace(head, source='recording "low", B♭\r\nsecond line.wav'), tried(1))
        log.keep(session_id, tried(2, Outcome.NOTHING, tone=None))
        moment = Moment("4b8c", 125.5, KNOWN)
        log.begin(replace(head, invented=True, source="demo", started=MAY, moment=moment), tried(1, attack=None))
        log.begin(replace(head, started=MAY - timedelta(days=365), moment=Moment("9d2e", 17.0625, CARRIED)), tried(1))
        found = replace(tried(1, Outcome.SPOKE, wanted=1), asked=ASKED, difference_cents=-7.125, guess=Guess.SHARP)
        found = replace(found, sung=Voice(207.5, -14.25, 5.0), swell_db=6.25)
        log.begin(replace(head, started=MAY + timedelta(days=9), moment=Moment("aa01", 3.0, KNOWN)), found)
        yield log


@pytest.fixture
def contents(log: Log) -> Contents:
    """That log, looked through."""
    return Contents(log)
