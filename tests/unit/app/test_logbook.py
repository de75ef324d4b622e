"""The log of one practice after the other: each try in its own, and nobody waits for an old one."""

from __future__ import annotations

import gc
import threading
import weakref
from datetime import UTC, datetime
from pathlib import Path

from airladder.app.logbook import Logbook
from airladder.faults import LogFault
from airladder.journal.log import Reader
from airladder.journal.records import Head
from airladder.journal.writer import Writer
from airladder.pages.events import KeptIn
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.practice.session import Kept, Trouble


def head(name: str) -> Head:
    started = datetime(2001, 2, 3, tzinfo=UTC)
    return Head(started, "microphone m", False, "alto", "Bb3", 440.0, "tempered", name, "0")


def attempt(number: int) -> Attempt:
    return Attempt(number, 1.0 * number, 1, Outcome.NOTHING, None)


def test_two_practices_are_two_sessions_and_each_try_is_told_with_its_practice(tmp_path: Path) -> None:
    told: list[KeptIn | Trouble] = []
    logbook = Logbook(tmp_path / "log.sqlite", told.append)
    logbook.open(1, head("morning"))
    for number in (1, 2):
        logbook.keep(attempt(number))
    logbook.open(2, head("evening"))  # shuts the first one
    logbook.keep(attempt(1))
    assert logbook.close() == []
    with Reader(tmp_path / "log.sqlite") as log:
        found = [(session.head.exercise, session.tries) for session in log.sessions()]
    assert sorted(found) == [("evening", 1), ("morning", 2)]
    assert {(kept.practice, kept.kept) for kept in told if isinstance(kept, KeptIn)} == {
        (1, Kept(1)),
        (1, Kept(2)),
        (2, Kept(1)),
    }


def test_what_is_sounded_where_nothing_is_kept_goes_nowhere(tmp_path: Path) -> None:
    logbook = Logbook(tmp_path / "log.sqlite", lambda news: None)
    logbook.keep(attempt(1))
    logbook.open(1, head("morning"))
    logbook.shut()
    logbook.keep(attempt(2))
    assert logbook.close() == []
    with Reader(tmp_path / "log.sqlite") as log:
        assert list(log.sessions()) == []


def test_a_log_that_cannot_be_written_is_told_at_once_and_at_the_end(tmp_path: Path) -> None:
    (tmp_path / "log.sqlite").mkdir()
    told: list[KeptIn | Trouble] = []
    logbook = Logbook(tmp_path / "log.sqlite", told.append)
    logbook.open(1, head("morning"))
    logbook.keep(attempt(1))
    logbook.open(2, head("evening"))
    logbook.keep(attempt(1))
    faults = logbook.close()
    assert len(faults) == 2
    for fault in faults:
        assert isinstance(fault, LogFault)
        assert "1 try of this session could not be kept" in str(fault)
    assert isinstance(told[0], Trouble)


def test_practices_that_are_in_the_log_are_let_go(tmp_path: Path) -> None:
    """A box is switched on for days: what each practice leaves behind would add up."""
    written: list[weakref.ref[Writer]] = []
    logbook = Logbook(tmp_path / "log.sqlite", lambda news: None)
    for practice in range(4):
        logbook.open(practice, head("morning"))
        logbook.keep(attempt(1))
        written += [weakref.ref(thing) for thing in gc.get_objects() if type(thing) is Writer]
        logbook.shut()
        for thread in [thread for thread in threading.enumerate() if thread.name == "journal"]:
            thread.join(10.0)
    gc.collect()
    assert len({id(thing) for ref in written if (thing := ref()) is not None}) == 1
    assert logbook.close() == []


def test_a_practice_whose_tries_are_not_in_the_log_is_not_forgotten(tmp_path: Path) -> None:
    (tmp_path / "log.sqlite").mkdir()
    logbook = Logbook(tmp_path / "log.sqlite", lambda news: None)
    for practice in range(3):
        logbook.open(practice, head("morning"))
        logbook.keep(attempt(1))
        logbook.shut()
        for thread in [thread for thread in threading.enumerate() if thread.name == "journal"]:
            thread.join(10.0)
    assert len(logbook.close()) == 3
