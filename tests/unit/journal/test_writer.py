"""The journal thread: nobody waits for it, and it gives up nothing."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from queue import Queue

import pytest

from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.journal.writer import Writer
from airladder.practice.attempt import Attempt

Trier = Callable[..., Attempt]
SOON = 10.0
"""Longer than any test waits, s; a wait that takes so long has failed."""


class _MoodyLog(Log):
    """A log that fails or hangs on cue."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.trouble = ""
        self.flowing = threading.Event()
        self.flowing.set()

    def begin(self, head: Head, first: Attempt) -> int:
        self._mood()
        return super().begin(head, first)

    def keep(self, session_id: int, attempt: Attempt) -> None:
        self._mood()
        super().keep(session_id, attempt)

    def _mood(self) -> None:
        assert self.flowing.wait(SOON)
        if self.trouble:
            raise LogFault(self.trouble)


class _Told:
    """What the writer tells from its thread."""

    def __init__(self) -> None:
        self.kept: Queue[int] = Queue()
        self.troubles: Queue[str] = Queue()
        self.logs: Queue[_MoodyLog] = Queue()

    def opened(self, path: Path) -> _MoodyLog:
        log = _MoodyLog(path)
        self.logs.put(log)
        return log


@pytest.fixture
def told() -> _Told:
    return _Told()


@pytest.fixture
def writer(path: Path, head: Head, told: _Told) -> Iterator[Writer]:
    writer = Writer(path, head, told.kept.put, told.troubles.put, open_log=told.opened, retry_s=0.02)
    yield writer
    writer.close()


def numbers_in(path: Path) -> list[int]:
    with Reader(path) as log:
        return [attempt.number for _, _, attempt in log.tries()]


def threads() -> list[str]:
    return [thread.name for thread in threading.enumerate() if thread.name == "journal"]


def test_every_try_is_kept_and_told_in_order(path: Path, writer: Writer, told: _Told, tried: Trier) -> None:
    for number in range(1, 31):
        writer.keep(tried(number))
    assert [told.kept.get(timeout=SOON) for _ in range(30)] == numbers_in(path) == list(range(1, 31))


def test_closing_waits_for_all_tries_and_ends_the_thread(path: Path, head: Head, told: _Told, tried: Trier) -> None:
    writer = Writer(path, head, told.kept.put, told.troubles.put)
    assert threads() == ["journal"]
    for number in range(1, 31):
        writer.keep(tried(number))
    writer.close()
    assert threads() == []
    assert numbers_in(path) == list(range(1, 31))
    assert not writer.unkept


def test_a_session_without_tries_is_not_in_the_log(path: Path, head: Head, told: _Told) -> None:
    Writer(path, head, told.kept.put, told.troubles.put).close()
    with Reader(path) as log:
        assert list(log.sessions()) == []


def test_trouble_is_told_once_and_tried_again_by_itself_until_it_is_over(
    path: Path, writer: Writer, told: _Told, tried: Trier
) -> None:
    log = told.logs.get(timeout=SOON)
    log.trouble = "The disk is full."
    writer.keep(tried(1))
    assert told.troubles.get(timeout=SOON) == "The disk is full."
    writer.keep(tried(2))
    time.sleep(0.1)  # a few rounds of trying again
    assert told.troubles.empty()
    log.trouble = ""
    assert told.troubles.get(timeout=SOON) == ""
    assert numbers_in(path) == [1, 2]


def test_trouble_that_becomes_another_is_told_again(writer: Writer, told: _Told, tried: Trier) -> None:
    log = told.logs.get(timeout=SOON)
    log.trouble = "The disk is full."
    writer.keep(tried(1))
    assert told.troubles.get(timeout=SOON) == "The disk is full."
    log.trouble = "Another program holds the log."
    assert told.troubles.get(timeout=SOON) == "Another program holds the log."
    log.trouble = ""


def test_a_log_that_cannot_be_opened_is_told_before_the_first_try_and_tried_again(
    path: Path, head: Head, told: _Told, tried: Trier
) -> None:
    path.parent.write_text("a file where the folder should be")
    writer = Writer(path, head, told.kept.put, told.troubles.put, retry_s=0.02)
    assert "it wants a folder" in told.troubles.get(timeout=SOON)
    path.parent.unlink()
    assert told.troubles.get(timeout=SOON) == ""
    writer.keep(tried(1))
    assert told.kept.get(timeout=SOON) == 1
    writer.close()


def test_a_disk_that_hangs_makes_nobody_wait(path: Path, writer: Writer, told: _Told, tried: Trier) -> None:
    log = told.logs.get(timeout=SOON)
    log.flowing.clear()
    began = time.monotonic()
    for number in range(1, 501):
        writer.keep(tried(number))
    assert time.monotonic() - began < 1.0
    assert told.kept.empty()
    log.flowing.set()
    assert [told.kept.get(timeout=SOON) for _ in range(500)] == list(range(1, 501))


def test_closing_over_a_disk_that_hangs_says_so_in_time(path: Path, head: Head, told: _Told, tried: Trier) -> None:
    writer = Writer(path, head, told.kept.put, told.troubles.put, open_log=told.opened)
    log = told.logs.get(timeout=SOON)
    log.flowing.clear()
    writer.keep(tried(1))
    with pytest.raises(LogFault, match=r"has not answered for 0\.05 s at the end .*; 1 of its tries may not be kept"):
        writer.close(0.05)
    log.flowing.set()
    writer.close()
    assert numbers_in(path) == [1]


def test_what_cannot_be_kept_to_the_end_is_counted_and_given_back(
    path: Path, head: Head, told: _Told, tried: Trier
) -> None:
    writer = Writer(path, head, told.kept.put, told.troubles.put, open_log=told.opened)
    writer.keep(tried(1))
    assert told.kept.get(timeout=SOON) == 1
    told.logs.get(timeout=SOON).trouble = "The disk is full."
    writer.keep(tried(2))
    writer.keep(tried(3))
    with pytest.raises(LogFault, match=r"^2 tries of this session could not be kept\. The disk is full\.$") as fault:
        writer.close()
    assert fault.value.exit_code == 4
    assert writer.unkept == (tried(2), tried(3))
    assert numbers_in(path) == [1]


FULL_DISK = """
import sys
from pathlib import Path
from queue import Queue
sys.path.insert(0, sys.argv[2])
from conftest import HEAD, TONE
from airladder.faults import LogFault
from airladder.journal.writer import Writer
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

disk = Path(sys.argv[1])
ballast = disk / "ballast"

def fill():
    with ballast.open("ab", buffering=0) as file:
        try:
            while True:
                file.write(bytes(4096))
        except OSError as error:
            print(error.strerror)

kept, troubles, number = Queue(), Queue(), 0

def keep(count):
    global number
    for _ in range(count):
        number += 1
        writer.keep(Attempt(number, 1.0 * number, 3, Outcome.CRACKED, TONE))

fill()
writer = Writer(disk / "airladder" / "log.sqlite", HEAD, kept.put, troubles.put, retry_s=0.02)
keep(3)
print(troubles.get(timeout=10))
ballast.unlink()
print([kept.get(timeout=10) for _ in range(3)], repr(troubles.get(timeout=10)))
fill()
keep(200)
print(troubles.get(timeout=10))
ballast.unlink()
print([kept.get(timeout=10) for _ in range(200)] == list(range(4, 204)), repr(troubles.get(timeout=10)))
fill()
keep(2000)
try:
    writer.close(60)
except LogFault as fault:
    print(fault)
print(kept.qsize() + len(writer.unkept) == 2000, len(writer.unkept) > 0)
"""


def test_a_disk_that_really_fills_up_loses_nothing_that_was_told_kept(
    tmp_path: Path, small_disk: Callable[..., list[str]]
) -> None:
    said = small_disk(FULL_DISK, Path(__file__).parent, size="8m")
    full = f"The disk is full, so the log {tmp_path}/airladder/log.sqlite takes nothing new; what it holds is safe"
    space = "No space left on device"
    assert [line.split(": make")[0] for line in said[:7]] == [
        *(space, full, "[1, 2, 3] ''"),
        *(space, full, "True ''"),
        space,
    ]
    assert said[7].endswith(f"could not be kept. {full}: make some room.")
    assert said[8:] == ["True True"]
