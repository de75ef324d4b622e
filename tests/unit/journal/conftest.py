"""Tries and heads made by hand, a log on a fresh path, and ways to be an ordinary user or another program."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from airladder.hearing.events import Attack, Tone
from airladder.journal.log import Log
from airladder.journal.records import KNOWN, Head, Moment, Planned
from airladder.journal.steps import shipped
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

Trier = Callable[..., Attempt]
NOBODY = 65534

HEAD = Head(
    started=datetime(2026, 5, 4, 18, 3, 12, tzinfo=timezone(timedelta(hours=2))),
    source="microphone clip-on",
    invented=False,
    horn="alto",
    fingering="Bb3",
    a4_hz=440.0,
    against="tempered",
    exercise="partials rising",
    version="0.1.0",
)

TONE = Tone(
    start=10.5,
    end=12.75,
    partial=3,
    hz=415.1,
    cents=-7.25,
    spread_cents=2.5,
    attack=Attack(t=10.5, known_at=10.56, kind="air", rise_ms=34.5, confidence=0.8),
    speak_ms=120.5,
    path=((2, 0.25), (None, 0.125), (3, 1.875)),
    split=0.0625,
    level_dbfs=-21.5,
    push_db=-33.25,
    unsteady_db=0.75,
    clipped=0.125,
)


@pytest.fixture
def head() -> Head:
    """Of a real session on an alto."""
    return HEAD


@pytest.fixture
def tried() -> Trier:
    """Makes a try; named fields of the tone may be changed, and ``tone=None`` means that nothing sounded."""

    def make(number: int = 1, outcome: Outcome = Outcome.CRACKED, wanted: int = 3, **changes: Any) -> Attempt:
        tone = changes.pop("tone", TONE)
        return Attempt(number, 6.0 * number, wanted, outcome, tone and replace(tone, **changes))

    return make


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a log may be made; its folder is not there yet."""
    return tmp_path / "airladder" / "log.sqlite"


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """An empty folder that every user of the machine can reach (pytest's own are closed to others)."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


@pytest.fixture
def ordinary_user() -> Iterator[None]:
    """Root may write everywhere, so a test that runs as root goes on as nobody."""
    if os.geteuid() != 0:
        yield
        return
    shipped()  # nobody may be unable to read this very checkout, such as one below /root
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def other_program() -> Callable[..., subprocess.Popen[str]]:
    """Starts a Python program of its own that can import airladder."""

    def start(script: str, *words: object, before: tuple[str, ...] = (), **ways: Any) -> subprocess.Popen[str]:
        command = [*before, sys.executable, "-c", script, *map(str, words)]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
        return subprocess.Popen(command, env=environment, text=True, **{"stdout": subprocess.PIPE, **ways})

    return start


@pytest.fixture
def small_disk(tmp_path: Path, other_program: Callable[..., subprocess.Popen[str]]) -> Callable[..., list[str]]:
    """Runs a program with a small disk of its own and gives the lines it printed: the kernel itself says ENOSPC.

    The disk is a tmpfs in a name space that ends with the program; the program gets its folder as first word.
    """
    own = ("unshare", "--user", "--map-root-user", "--mount")
    if subprocess.run([*own, "mount", "-t", "tmpfs", "none", tmp_path], capture_output=True).returncode:
        pytest.skip("this computer does not let a program mount a file system of its own")

    def run(script: str, *words: object, size: str) -> list[str]:
        mounted = (*own, "sh", "-c", f'mount -t tmpfs -o size={size} none "$0" && exec "$@"', str(tmp_path))
        program = other_program(script, tmp_path, *words, before=mounted)
        said, _ = program.communicate()
        assert program.returncode == 0
        return said.splitlines()

    return run


@pytest.fixture
def pulled(tmp_path: Path, head: Head, tried: Trier) -> Path:
    """A log as a pulled plug leaves it: three sessions of 30 tries, the newest of them waiting beside it."""
    path = tmp_path / "box" / "log.sqlite"
    long = tuple((2, 0.25 + n) for n in range(300))  # a path that takes pages of its own
    with Log(path) as log:
        log._connection.execute("PRAGMA synchronous = OFF")  # quick to make
        for number in range(3):
            moment = Moment(f"invented-{number // 2}", 10.0 * number, KNOWN)
            plan = (Planned("rungs", "The next one."), Planned("rest"))
            session = log.begin(replace(head, moment=moment, plan=plan, remarks=("Well done.",)), tried(1, path=long))
            for attempt in range(2, 31):
                log.keep(session, tried(attempt))
            if number == 1:
                log._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (tmp_path / "pulled").mkdir()
        for name in ("log.sqlite", "log.sqlite-wal"):
            shutil.copy(path.with_name(name), tmp_path / "pulled" / name)
    return tmp_path / "pulled" / "log.sqlite"
