"""The disk of the log, well and otherwise; and that the real log stays as it is."""

from __future__ import annotations

import errno
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt
from airladder.selftest.keeping import LEAST_FREE, SLOWEST_S, check, set_aside, trial_head, trial_tries
from airladder.selftest.result import Result, Verdict
from jig import Diary


def looked(log: Path, open_log: Callable[[Path], Log] = Log, clock: Diary | None = None) -> Result:
    return check(log, clock or Diary(), quick=True, open_log=open_log)


def real_log(folder: Path) -> Path:
    """A log with a session, whose files lie still."""
    path = folder / "log.sqlite"
    log = Log(path)
    log.begin(trial_head(Diary()), trial_tries(1)[0])
    log.close()
    return path


def test_a_good_disk_is_well_and_nothing_is_left_on_it(tmp_path: Path) -> None:
    found = looked(tmp_path / "log.sqlite")
    assert found.verdict is Verdict.OK
    assert found.says.startswith(f"10 tries were written and read back in {tmp_path}")
    assert "there is no log yet" in found.says
    assert found.figures["boot_key"] == "still"
    assert list(tmp_path.iterdir()) == []


def test_the_real_log_is_looked_at_and_stays_byte_for_byte_as_it_was(tmp_path: Path) -> None:
    path = real_log(tmp_path)
    before = {each.name: each.read_bytes() for each in tmp_path.iterdir()}
    found = looked(path)
    assert found.verdict is Verdict.OK
    assert "the log itself is whole" in found.says
    after = {each.name: each.read_bytes() for each in tmp_path.iterdir()}
    assert {name: after[name] for name in before} == before
    assert after.keys() - before.keys() <= {"log.sqlite-wal", "log.sqlite-shm"}  # SQLite's own, for reading
    assert after.get("log.sqlite-wal", b"") == b""


def test_a_damaged_log_is_told_and_left_as_it_is(tmp_path: Path) -> None:
    path = real_log(tmp_path)
    damaged = path.read_bytes()[:4096] + b"\0" * 20_000
    path.write_bytes(damaged)
    found = looked(path)
    assert found.verdict is Verdict.FAILED
    assert f"The log {path} is damaged" in found.says
    assert path.read_bytes() == damaged


def test_how_long_a_try_takes_is_measured_and_too_long_fails(tmp_path: Path) -> None:
    clock = Diary()

    class Slow(Log):
        def keep(self, session_id: int, attempt: Attempt) -> None:
            clock.sleep(0.25 if attempt.number != 7 else SLOWEST_S + 0.5)
            super().keep(session_id, attempt)

    found = looked(tmp_path / "log.sqlite", Slow, clock)
    assert found.verdict is Verdict.FAILED
    assert "A try took 2.5 s until it was on the disk" in found.says
    assert (found.figures["commit_median_ms"], found.figures["commit_worst_ms"]) == (250.0, 2500.0)


def test_tries_that_do_not_come_back_fail(tmp_path: Path) -> None:
    class Forgetful(Log):
        def keep(self, session_id: int, attempt: Attempt) -> None:
            if attempt.number % 3:
                super().keep(session_id, attempt)

    found = looked(tmp_path / "log.sqlite", Forgetful)
    assert found.verdict is Verdict.FAILED
    assert "3 tries that were written did not come back" in found.says


def test_a_disk_that_takes_nothing_fails_with_its_sentence(tmp_path: Path) -> None:
    class Full(Log):
        def begin(self, head: Head, first: Attempt) -> int:
            raise OSError(errno.EIO, "Input/output error")

    found = looked(tmp_path / "log.sqlite", Full)
    assert found.verdict is Verdict.FAILED
    assert found.says == f"{tmp_path} cannot be written (Input/output error). Is the data partition there, and whole?"
    assert list(tmp_path.iterdir()) == []


def test_a_log_that_cannot_be_opened_fails_with_the_logs_own_sentence(tmp_path: Path) -> None:
    def opened(path: Path) -> Log:
        path.mkdir()
        return Log(path)

    assert "is a folder and the log is one file" in looked(tmp_path / "log.sqlite", opened).says


def test_too_little_room_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    usage = shutil.disk_usage(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda path: usage._replace(free=LEAST_FREE - 1))
    found = looked(tmp_path / "log.sqlite")
    assert found.verdict is Verdict.FAILED
    assert "Only 65535 KiB are free, 65536 are wanted" in found.says


def test_a_folder_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    assert looked(tmp_path / "nowhere" / "log.sqlite").verdict is Verdict.NOT_THERE
    assert list(tmp_path.iterdir()) == []


def test_what_a_pulled_plug_left_goes_away(tmp_path: Path) -> None:
    (tmp_path / ".selftest" / "files").mkdir(parents=True)
    (tmp_path / ".selftest" / "out.img").write_bytes(b"half")
    with set_aside(tmp_path) as aside:
        assert list(aside.iterdir()) == []
    assert list(tmp_path.iterdir()) == []


def test_a_date_that_nobody_knows_is_said(tmp_path: Path) -> None:
    clock = Diary()
    clock.carry_on(clock.wall().replace(year=1970))
    found = looked(tmp_path / "log.sqlite", clock=clock)
    assert found.verdict is Verdict.OK
    assert found.says.endswith("Nobody knows the date: the clock says 1970-11-27.")
