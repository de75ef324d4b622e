"""Small logs made through the real journal, and a studio to merge them into. Every try in them is invented."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any, Literal

import pytest

from airladder.hearing.events import Attack, Tone
from airladder.journal.log import Log
from airladder.journal.records import KNOWN, Head, Moment
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.judge import Outcome

Player = Callable[..., Path]

FIRST = datetime(2026, 4, 27, 18, 3, 12, tzinfo=timezone(timedelta(hours=2)))
HEAD = Head(FIRST, "recording of nobody.wav", False, "alto", "Bb3", 440.0, "tempered", "today", "0.1.0")
TONE = Tone(
    start=10.5,
    end=12.75,
    partial=2,
    hz=277.2,
    cents=-7.25,
    spread_cents=2.5,
    attack=Attack(t=10.5, known_at=10.56, kind="air", rise_ms=34.5, confidence=0.8),
    speak_ms=120.5,
    path=((1, 0.25), (None, 0.125), (2, 1.875)),
    split=0.0625,
    level_dbfs=-21.5,
)


@pytest.fixture
def player(tmp_path: Path) -> Player:
    """See `players`."""
    return players(tmp_path / "drives")


def players(drives: Path) -> Player:
    """What makes a drive below `drives`, or plays on with one, and gives its folder.

    A session a day, `days` of them with `tries` tries each, from `begin` on; further words change the head of each.
    """
    boots: dict[str, int] = {}

    def play(name: str, days: int = 3, tries: int = 5, begin: datetime = FIRST, **changes: Any) -> Path:
        lots = random.Random(f"{name} {boots.get(name, 0)}")
        with Log(drives / name / "log.sqlite") as log:
            for day in range(days):
                boot = boots[name] = boots.get(name, 0) + 1
                moment = Moment(f"{name}-{boot}", 30.0 + boot, KNOWN)
                head = replace(HEAD, started=begin + timedelta(days=day), moment=moment, **changes)
                session = log.begin(head, attempt(1, lots))
                for number in range(2, tries + 1):
                    log.keep(session, attempt(number, lots))
        return drives / name

    return play


def attempt(number: int, lots: random.Random) -> Attempt:
    """A try at partial 2, now and then at 3, most of which spoke; its figures are drawn by lot."""
    wanted = 3 if number % 5 == 0 else 2
    kind: Literal["tongued", "air"] = "air" if number % 2 else "tongued"
    asked = Asked("rungs", "Bb3", Task.PLAY, (wanted,), Start(kind), 0.0, False, number == 1)
    if wanted == 3 and lots.random() < 0.5:
        return Attempt(number, 6.0 * number, wanted, Outcome.NOTHING, None, asked)
    assert TONE.attack is not None
    tone = replace(
        TONE,
        partial=wanted,
        hz=138.6 * wanted,
        cents=lots.gauss(0.0, 12.0),
        speak_ms=lots.uniform(50.0, 400.0),
        attack=replace(TONE.attack, kind=kind),
    )
    return Attempt(number, 6.0 * number, wanted, Outcome.SPOKE, tone, asked)


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Where the studio is to be; nothing is there yet."""
    return tmp_path / "studio"


@pytest.fixture
def copied(tmp_path: Path) -> Callable[[Path, str], Path]:
    """Copies a drive under another name."""

    def copy(drive: Path, name: str) -> Path:
        return Path(shutil.copytree(drive, tmp_path / "drives" / name))

    return copy
