"""The form of the log goes forward step by step, and never half a step."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.journal.steps import APPLICATION_ID, shipped
from airladder.practice.attempt import Attempt

Trier = Callable[..., Attempt]

FURTHER = (
    "CREATE TABLE place (name TEXT NOT NULL) STRICT; -- one line, two statements\nINSERT INTO place VALUES ('a; b')"
)
BROKEN = "CREATE TABLE place (name TEXT NOT NULL) STRICT;\nINSERT INTO nowhere VALUES (1);"


def asked(path: Path, query: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(path)
    rows = connection.execute(query).fetchall()
    connection.close()
    return rows


@pytest.fixture
def old_log(path: Path, head: Head, tried: Trier) -> Path:
    """A log of the form shipped today, with one session."""
    with Log(path) as log:
        log.begin(head, tried(1))
    return path


def test_a_new_log_is_marked_as_ours_and_has_the_number_of_the_last_step(path: Path) -> None:
    Log(path).close()
    assert asked(path, "PRAGMA application_id") == [(APPLICATION_ID,)]
    assert asked(path, "PRAGMA user_version") == [(len(shipped()),)]
    assert asked(path, "PRAGMA integrity_check") == [("ok",)]


def test_all_tables_are_strict(path: Path) -> None:
    Log(path).close()
    tables = asked(
        path, "SELECT name, strict FROM pragma_table_list WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    )
    names = ["attempt", "boot", "date_told", "planned", "remark", "session"]
    assert sorted(tables) == [(name, 1) for name in names]


@pytest.mark.parametrize("opened", [Log, Reader])
def test_a_further_step_is_done_on_an_old_log_and_its_tries_stay(
    old_log: Path, head: Head, tried: Trier, opened: type[Reader]
) -> None:
    with opened(old_log, steps=(*shipped(), FURTHER)) as log:
        assert log.session(1).attempts == (tried(1),)
    assert asked(old_log, "SELECT name FROM place") == [("a; b",)]
    assert asked(old_log, "PRAGMA user_version") == [(len(shipped()) + 1,)]


@pytest.mark.parametrize("opened", [Log, Reader])
def test_a_log_of_the_first_form_keeps_its_tries_and_says_nothing_of_what_was_not_measured(
    path: Path, opened: type[Reader]
) -> None:
    Log(path, steps=shipped()[:1]).close()
    connection = sqlite3.connect(path)
    connection.executescript("""
        INSERT INTO session VALUES (1, '2026-05-04T18:03:12+02:00', 'demo', 1, 'alto', 'Bb3', 440, 'pure', 'x', '0');
        INSERT INTO attempt (session, number, t, wanted, outcome, tone_start, tone_end, partial, path, split,
            level_dbfs) VALUES (1, 1, 6.0, 3, 'spoke', 1.0, 2.0, 3, '[[3, 1.0]]', 0.0, -20.0);
    """)
    connection.close()
    with opened(path) as log:
        (attempt,) = log.session(1).attempts
    assert attempt.tone is not None
    assert (attempt.tone.partial, attempt.tone.level_dbfs) == (3, -20.0)
    assert (attempt.tone.push_db, attempt.tone.unsteady_db, attempt.tone.clipped) == (None, None, None)


def test_a_step_is_done_once(old_log: Path) -> None:
    for _ in range(2):
        Log(old_log, steps=(*shipped(), FURTHER)).close()
    assert asked(old_log, "SELECT count(*) FROM place") == [(1,)]


@pytest.mark.parametrize("opened", [Log, Reader])
def test_a_step_that_fails_leaves_the_file_as_it_was(old_log: Path, opened: type[Reader]) -> None:
    before = old_log.read_bytes()
    with pytest.raises(LogFault, match=r"cannot be used \(no such table: nowhere\); what it holds was not changed"):
        opened(old_log, steps=(*shipped(), BROKEN))
    assert old_log.read_bytes() == before
    with Log(old_log) as log:
        assert [summary.tries for summary in log.sessions()] == [1]


def test_the_steps_before_a_failing_one_stay_done(old_log: Path) -> None:
    with pytest.raises(LogFault, match="nowhere"):
        Log(old_log, steps=(*shipped(), FURTHER, BROKEN.replace("place", "room")))
    assert asked(old_log, "PRAGMA user_version") == [(len(shipped()) + 1,)]
    assert asked(old_log, "SELECT count(*) FROM sqlite_schema WHERE name = 'room'") == [(0,)]


@pytest.mark.parametrize("opened", [Log, Reader])
def test_a_log_from_a_newer_version_is_left_alone(old_log: Path, opened: type[Reader]) -> None:
    Log(old_log, steps=(*shipped(), FURTHER)).close()
    before = old_log.read_bytes()
    with pytest.raises(LogFault, match=r"newer version of Airladder \(form 5; this one knows up to 4\); install"):
        opened(old_log)
    assert old_log.read_bytes() == before


def test_programs_that_open_a_new_log_at_once_do_each_step_once(tmp_path: Path) -> None:
    """One may find it held at the very moment it is made (SQLite does not wait there), and nothing worse."""
    steps = (*shipped(), FURTHER)
    at_once = threading.Barrier(6)

    def open_one(path: Path) -> str:
        at_once.wait(10)
        try:
            Log(path, steps=steps, wait_s=10).close()
        except LogFault as fault:
            return str(fault)
        return ""

    with ThreadPoolExecutor(6) as programs:
        for name in "abcdefghijklmno":
            said = list(programs.map(open_one, [tmp_path / name] * 6))
            assert "" in said
            assert {sentence.partition(" log ")[0] for sentence in said} <= {"", "Another program holds the"}
            assert asked(tmp_path / name, "SELECT count(*) FROM place") == [(1,)]
