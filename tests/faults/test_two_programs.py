"""Several programs on one log at once, a long lock, and a log in trouble that nobody plays on meanwhile."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import groupby
from pathlib import Path

import pytest

from airladder.journal.log import Log, Reader
from airladder.journal.writer import Writer
from faults.looking import unsound
from faults.players import session_of
from faults.practising import HastyLog, Practice, head_of, listed_head_of, try_of
from faults.vfs import FaultyDisk, What

SESSIONS, TRIES = 12, 8
CLOSED = "; it wants a folder that this user may write in."


def environment() -> dict[str, str]:
    """In which a program of its own can import what we can."""
    return {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}


@contextmanager
def player(path: Path, number: int) -> Iterator[subprocess.Popen[str]]:
    """A program that practises on the log."""
    command = [sys.executable, "-m", "faults.players", "practise", str(path), *map(str, (number, SESSIONS, TRIES))]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment()
    ) as program:
        yield program


def look(path: Path) -> int:
    """How many tries a reader finds; every session must be whole up to somewhere, whoever writes meanwhile."""
    with Reader(path) as log:
        rows = list(log.tries())
    for _, tries in groupby(rows, key=lambda row: row[0]):
        assert [attempt.number for _, _, attempt in tries] in [list(range(1, n + 1)) for n in range(1, TRIES + 1)]
    return len(rows)


def test_two_programs_write_one_log_and_a_third_reads_it_meanwhile(folder: Path) -> None:
    path = folder / "log.sqlite"
    Log(path).close()
    with player(path, 1) as one, player(path, 2) as two:
        looks = []
        while one.poll() is None or two.poll() is None:
            looks.append(look(path))
        said = [program.communicate() for program in (one, two)]
    assert [one.returncode, two.returncode] == [0, 0]
    assert looks == sorted(looks)
    assert len(set(looks)) > 2  # it did look while they wrote
    for number, (told, _) in enumerate(said, 1):
        given = [(session_of(number, n), t) for n in range(1, SESSIONS + 1) for t in range(1, TRIES + 1)]
        assert [tuple(map(int, line.split())) for line in told.splitlines()] == given
    with Reader(path) as log:
        found = [(head, attempt) for _, head, attempt in log.tries()]
    wanted = [
        (listed_head_of(session), try_of(session, number))
        for session in (session_of(p, n) for p in (1, 2) for n in range(1, SESSIONS + 1))
        for number in range(1, TRIES + 1)
    ]
    assert sorted(found, key=lambda row: (row[0].source, row[1].number)) == sorted(
        wanted, key=lambda row: (row[0].source, row[1].number)
    )
    assert list(unsound(path)) == []


def test_a_program_that_holds_the_log_long_is_told_and_the_tries_wait(folder: Path) -> None:
    practice = Practice(folder / "log.sqlite")
    practice.session(1, 2)
    holds = "import sqlite3, sys; c = sqlite3.connect(sys.argv[1]); c.execute('BEGIN IMMEDIATE'); print(); input()"
    with subprocess.Popen(
        [sys.executable, "-c", holds, practice.path], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        other.stdout.readline()
        keeper = practice.session(2, 3, close=False)
        assert practice.troubles == [f"Another program holds the log {practice.path}; close that program."]
        assert practice.told == 2
        assert look(practice.path) == 2  # reading goes on
        other.communicate("\n")
    practice.go_on(keeper, 4)
    keeper.close()
    assert practice.troubles[1:] == [""]
    assert practice.told == len(practice.given) == look(practice.path)


def within(seconds: float, enough: Callable[[], bool]) -> bool:
    end = time.monotonic() + seconds
    while not enough() and time.monotonic() < end:
        time.sleep(0.002)
    return enough()


def test_the_journal_thread_keeps_what_waits_as_soon_as_the_disk_is_well(
    faulty_disk: FaultyDisk, folder: Path
) -> None:
    """Without a further try, and without the end of the session."""
    kept: list[int] = []
    troubles: list[str] = []
    with faulty_disk.used():
        faulty_disk.fail({What.WRITE: sqlite3.SQLITE_FULL}, 60, lasting=True)
        writer = Writer(
            folder / "log.sqlite", head_of(1), kept.append, troubles.append, open_log=HastyLog, retry_s=0.01
        )
        for number in range(1, 31):
            writer.keep(try_of(1, number))
        assert within(10, lambda: len(troubles) == 1)
        assert troubles[0].startswith("The disk is full, so the log ")
        assert len(kept) < 30
        faulty_disk.well()
        assert within(10, lambda: len(kept) == 30)
        assert within(10, lambda: troubles[1:] == [""])
        writer.close()
    with Reader(folder / "log.sqlite") as log:
        assert log.session(1).attempts == tuple(try_of(1, number) for number in range(1, 31))


READ_ONLY = """
import subprocess, sys
from pathlib import Path
from faults.looking import wrong
from faults.practising import Practice
from airladder.journal.log import Reader

practice = Practice(Path(sys.argv[1]) / "log.sqlite")
practice.session(1, 5)
subprocess.run(["mount", "-o", "remount,ro", sys.argv[1]], check=True)
print(wrong(practice.path, practice.given, 5) == "")
keeper = practice.session(2, 2, close=False)
print(practice.told)
print(*practice.troubles)
subprocess.run(["mount", "-o", "remount,rw", sys.argv[1]], check=True)
keeper.close()
print(practice.told, wrong(practice.path, practice.given, 7) == "")
"""


def test_a_read_only_disk_is_told_its_log_can_be_read_and_the_tries_wait(tmp_path: Path) -> None:
    """The kernel itself refuses: a file system in a name space of its own, which ends with the program."""
    own = ("unshare", "--user", "--map-root-user", "--mount")
    if subprocess.run([*own, "mount", "-t", "tmpfs", "none", tmp_path], capture_output=True).returncode:
        pytest.skip("this computer does not let a program mount a file system of its own")
    mounted = (*own, "sh", "-c", 'mount -t tmpfs none "$0" && exec "$@"', tmp_path)
    said = subprocess.run(
        [*mounted, sys.executable, "-c", READ_ONLY, tmp_path], capture_output=True, text=True, env=environment()
    )
    assert said.stderr == ""
    assert said.stdout.splitlines() == [
        "True",
        "5",
        f"The log {tmp_path}/log.sqlite cannot be opened (unable to open database file){CLOSED}",
        "7 True",
    ]
