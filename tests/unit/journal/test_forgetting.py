"""What somebody wants forgotten is gone from the bytes, whole or not at all, and nothing else is touched."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal import forgetting
from airladder.journal.forgetting import Forgotten, forget, numbers_before, traces
from airladder.journal.health import checked
from airladder.journal.log import Log, Reader
from airladder.journal.opening import opened_to_write
from airladder.journal.records import KNOWN, Head, Moment, Planned
from airladder.practice.attempt import Attempt
from children import dying_at, in_a_child
from formlogs import rows, shell

Trier = Callable[..., Attempt]
MARKER = "marker-of-session-{}"


def with_marker(head: Head, number: int) -> Head:
    """A head, plan and remark that can be found in the bytes; two sessions in each switch-on, one a day."""
    marker = MARKER.format(number)
    return replace(
        head,
        source=marker,
        started=head.started + timedelta(days=number),
        moment=Moment(f"{marker}-boot" if number % 2 else f"{MARKER.format(number - 1)}-boot", 100.0 * number, KNOWN),
        plan=(Planned(marker, marker),),
        remarks=(marker,),
    )


@pytest.fixture
def log(path: Path, head: Head, tried: Trier) -> Path:
    """A log of six sessions of 20 tries; the last is still waiting beside the file, as after a pulled plug."""
    with Log(path) as log:
        log._connection.execute("PRAGMA synchronous = OFF")  # quick to make
        for number in range(1, 7):
            session = log.begin(with_marker(head, number), tried(1))
            for attempt in range(2, 21):
                log.keep(session, replace(tried(attempt), t=1000.0 * number + attempt))
            if number == 5:
                log._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (path.parent / "pulled").mkdir()
        for name in ("log.sqlite", "log.sqlite-wal"):
            shutil.copy(path.with_name(name), path.parent / "pulled" / name)
    return path.parent / "pulled" / "log.sqlite"


def found(path: Path) -> set[int]:
    """The sessions whose marker is in the bytes of the log, or of any file beside it."""
    content = b"".join(file.read_bytes() for file in path.parent.iterdir() if file.is_file())
    return {number for number in range(1, 7) if MARKER.format(number).encode() in content}


def test_what_is_forgotten_is_in_no_byte_and_the_rest_is_as_it_was(log: Path) -> None:
    assert found(log) == {1, 2, 3, 4, 5, 6}
    before = rows(log)
    assert forget(log, {1, 2, 6, 77}) == Forgotten(sessions=3, tries=60)
    assert found(log) == {3, 4, 5}
    kept = [row for row in before if not any(MARKER.format(n) in row for n in (1, 2, 6))]
    kept = [row for row in kept if not row.startswith(tuple(f"INSERT INTO attempt VALUES({n}," for n in (1, 2, 6)))]
    assert rows(log) == kept
    assert checked(log) is None
    assert shell(log, "PRAGMA integrity_check; PRAGMA foreign_key_check; PRAGMA freelist_count") == "ok\n0\n"


def test_a_switch_on_goes_with_its_last_session(log: Path) -> None:
    forget(log, {1})
    assert shell(log, "SELECT number FROM boot") == "1\n2\n3\n"
    forget(log, {2})
    assert shell(log, "SELECT number FROM boot") == "2\n3\n"


def test_all_is_forgotten_with_all_that_was_said_of_the_date(log: Path) -> None:
    with Log(log) as writer:
        writer.tell_date(
            Moment("invented-later", 5.0, KNOWN), datetime.fromisoformat("2026-06-01T10:00+02:00"), "buttons"
        )
    assert forget(log, None) == Forgotten(6, 120)
    assert found(log) == set()
    assert b"invented-later" not in log.read_bytes()
    counts = " UNION ALL ".join(
        f"SELECT count(*) FROM {table}" for table in ("attempt", "boot", "date_told", "planned")
    )
    assert shell(log, f"SELECT count(*) FROM session UNION ALL {counts}") == "0\n" * 5


def test_what_was_said_of_the_date_of_a_switch_on_without_sessions_stays(log: Path) -> None:
    with Log(log) as writer:
        writer.tell_date(
            Moment("invented-later", 5.0, KNOWN), datetime.fromisoformat("2026-06-01T10:00+02:00"), "buttons"
        )
    forget(log, range(1, 7))
    assert shell(log, "SELECT key, wall FROM boot JOIN date_told ON boot = boot.number") == (
        "invented-later|2026-06-01T10:00:00+02:00\n"
    )


def test_numbers_are_never_given_again(log: Path, head: Head, tried: Trier) -> None:
    forget(log, {5, 6})
    with Log(log) as writer:
        assert writer.begin(head, tried(1)) == 7
    forget(log, None)
    with Log(log) as writer:
        assert writer.begin(head, tried(1)) == 8


def test_what_is_kept_is_guarded_again_afterwards(log: Path) -> None:
    before = shell(log, "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY name")
    forget(log, {1})
    assert shell(log, "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY name") == before
    connection = sqlite3.connect(log)
    for table in ("session", "attempt", "planned", "remark", "boot"):
        with pytest.raises(sqlite3.IntegrityError, match="the log keeps its"):
            connection.execute(f"DELETE FROM {table}")
    connection.close()


def test_the_numbers_before_a_day(log: Path, head: Head) -> None:
    with Reader(log) as reader:
        day = head.started.date()
        assert numbers_before(reader, day + timedelta(days=4)) == (1, 2, 3)
        assert numbers_before(reader, date(1999, 1, 1)) == ()


def forget_and_die(path: Path, left: int) -> None:
    """Forget, and be killed before the so many-th statement or 150 steps of SQLite's own machine."""
    die = dying_at(left)

    def watched(log: Path, steps: Sequence[str], wait_s: float) -> sqlite3.Connection:
        connection = opened_to_write(log, steps, wait_s)
        connection.set_trace_callback(die)
        connection.set_progress_handler(die, 150)
        return connection

    vars(forgetting)["opened_to_write"] = watched  # in a child that ends here
    forget(path, {1, 2, 6})


def test_killed_at_any_moment_all_of_it_or_nothing_is_forgotten(log: Path, tmp_path: Path) -> None:
    """Whatever was there, the same again then does the rest."""
    before, seen = rows(log), []
    whole = tmp_path / "whole"
    shutil.copytree(log.parent, whole)
    forget(whole / "log.sqlite", {1, 2, 6})
    after = rows(whole / "log.sqlite")
    for left in count():
        folder = tmp_path / f"killed-{left}"
        shutil.copytree(log.parent, folder)
        path = folder / "log.sqlite"
        status = in_a_child(partial(forget_and_die, path, left))
        left_over = rows(path)
        assert left_over in (before, after)
        seen.append(left_over == after)
        forget(path, {1, 2, 6})
        assert rows(path) == after
        assert found(path) == {3, 4, 5}
        shutil.rmtree(folder)
        if status == 0:
            break
        assert status == -9
    assert seen == sorted(seen)
    assert seen.count(False) > 20
    assert seen[:-1].count(True) > 2


def test_a_log_that_another_program_writes_is_left_as_it_is(log: Path) -> None:
    other = sqlite3.connect(log, isolation_level=None)
    before = rows(log)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(LogFault, match=r"Another program holds the log .*; close that program"):
        forget(log, {1}, wait_s=0.01)
    other.execute("ROLLBACK")
    other.close()
    assert rows(log) == before


def test_bytes_that_stay_since_another_program_reads_are_told_and_go_at_the_next_time(log: Path) -> None:
    with Reader(log):
        pass
    other = sqlite3.connect(log, isolation_level=None)
    other.execute("BEGIN")
    other.execute("SELECT count(*) FROM session").fetchone()
    with pytest.raises(
        LogFault, match="but its bytes are still on the disk, since another program reads the log; close"
    ):
        forget(log, {1, 2}, wait_s=0.01)
    assert 1 in found(log)
    other.execute("ROLLBACK")
    other.close()
    assert forget(log, {1, 2}) == Forgotten(0, 0)
    assert found(log) == {3, 4, 5, 6}


def test_where_there_is_no_log_none_is_made(tmp_path: Path) -> None:
    with pytest.raises(LogFault, match="There is no log at"):
        forget(tmp_path / "log.sqlite", None)
    assert not list(tmp_path.iterdir())


def test_a_guard_that_cannot_be_made_again_undoes_the_forgetting(log: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = rows(log)

    def broken(connection: sqlite3.Connection, numbers: object) -> Forgotten:
        connection.execute("DROP TRIGGER attempt_stays_on_delete")
        connection.execute("DELETE FROM attempt")
        raise sqlite3.OperationalError("invented")

    monkeypatch.setattr(forgetting, "_remove", broken)
    with pytest.raises(sqlite3.OperationalError, match="invented"):
        forget(log, None)
    assert rows(log) == before
    assert "attempt_stays_on_delete" in shell(log, ".schema")


def test_all_that_may_tell_of_forgotten_sessions_is_listed(tmp_path: Path) -> None:
    log = tmp_path / "log.sqlite"
    told = [
        *(".log.html.12.part", ".log.sqlite.mending", "digest.log.sqlite", "digest.log.sqlite-wal", "log-clips"),
        *("log-drive", "log.damaged-1.sqlite", "log.damaged-1.sqlite-wal", "log.damaged-12.sqlite", "log.html"),
    ]
    for name in (*told, "log.sqlite", "log.sqlite-wal", "settings.toml", "other.html", "routines"):
        (tmp_path / name).mkdir() if name in ("log-clips", "log-drive", "routines") else (tmp_path / name).touch()
    assert [found.name for found in traces(log)] == told
    assert traces(tmp_path / "nowhere" / "log.sqlite") == []
