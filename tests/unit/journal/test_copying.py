"""The copy of the log is one whole file, made while the log goes on; SQLite's own shell opens it."""

from __future__ import annotations

import errno
import os
import sqlite3
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal import copying
from airladder.journal.copying import copy
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt

Tried = Callable[..., Attempt]


@pytest.fixture
def log(path: Path, head: Head, tried: Tried) -> Log:
    log = Log(path)
    session_id = log.begin(head, tried(1))
    for number in range(2, 60):
        log.keep(session_id, tried(number))
    return log


def shell(path: Path, words: str) -> str:
    """What the sqlite3 shell of Debian prints; it may not write."""
    done = subprocess.run(["sqlite3", "-readonly", path, words], capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_the_copy_is_one_whole_file_with_what_was_kept_last(log: Log, path: Path, tmp_path: Path) -> None:
    """The newest tries are in the log's -wal file only; the copy has them and needs no other file."""
    folder = tmp_path / "drive"
    folder.mkdir()
    assert path.with_name("log.sqlite-wal").stat().st_size > 0
    copy(path, folder / "log.sqlite")
    assert [entry.name for entry in folder.iterdir()] == ["log.sqlite"]
    assert shell(folder / "log.sqlite", "PRAGMA journal_mode; PRAGMA integrity_check;") == "delete\nok"
    assert shell(folder / "log.sqlite", "SELECT count(*), max(number) FROM attempt") == "59|59"
    kept = list(log.tries())
    with Reader(folder / "log.sqlite") as copied:
        assert list(copied.tries()) == kept
    assert [entry.name for entry in folder.iterdir()] == ["log.sqlite"]


def test_a_new_copy_takes_the_place_of_the_old_one(log: Log, path: Path, tmp_path: Path, tried: Tried) -> None:
    copy(path, tmp_path / "copy.sqlite")
    log.keep(1, tried(60))
    copy(path, tmp_path / "copy.sqlite")
    assert shell(tmp_path / "copy.sqlite", "SELECT max(number) FROM attempt") == "60"


def test_tries_are_kept_during_a_copy_which_is_of_one_moment(
    log: Log, path: Path, tmp_path: Path, tried: Tried, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A try between any two slices. Without one look at the log SQLite would begin anew at each, without end."""
    pages = int(shell(path, "PRAGMA page_count"))
    numbers = iter(range(60, 10_000))
    flush = os.fsync

    def keep_and_flush(descriptor: int) -> None:
        number = next(numbers)
        assert number < 60 + pages + 9, "SQLite began anew"
        log.keep(1, tried(number))
        flush(descriptor)

    monkeypatch.setattr(copying, "SLICE_PAGES", 1)
    monkeypatch.setattr(os, "fsync", keep_and_flush)
    copy(path, tmp_path / "copy.sqlite")
    assert next(numbers) > 60 + pages  # as many tries were kept meanwhile as there were slices
    assert shell(tmp_path / "copy.sqlite", "PRAGMA integrity_check") == "ok"
    assert shell(tmp_path / "copy.sqlite", "SELECT count(*), max(number) FROM attempt") == "59|59"


def test_the_log_itself_is_not_written_over(log: Log, path: Path) -> None:
    with pytest.raises(LogFault, match="is the log itself"):
        copy(path, path)
    assert len(list(log.tries())) == 59


def test_a_log_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(LogFault, match="There is no log at"):
        copy(tmp_path / "log.sqlite", tmp_path / "copy.sqlite")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_told(log: Log, path: Path, tmp_path: Path) -> None:
    with pytest.raises(LogFault, match=r"nowhere/copy\.sqlite cannot be written"):
        copy(path, tmp_path / "nowhere" / "copy.sqlite")


def test_a_disk_that_fails_leaves_the_old_copy_as_it_was(
    log: Log, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(descriptor: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    (tmp_path / "copy.sqlite").write_text("old")
    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(LogFault, match=r"copy\.sqlite cannot be written \(Input/output error\)"):
        copy(path, tmp_path / "copy.sqlite")
    assert (tmp_path / "copy.sqlite").read_text() == "old"
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["airladder", "copy.sqlite"]


FULL_DISK = """
import sys
from pathlib import Path

from airladder.journal.copying import copy

small, log = map(Path, sys.argv[1:])
(small / "copy.sqlite").write_text("old")
try:
    copy(log, small / "copy.sqlite")
except OSError as fault:
    print(fault)
print((small / "copy.sqlite").read_text(), [entry.name for entry in small.iterdir()])
"""


def test_a_full_disk_is_told_and_nothing_is_left_on_it(
    log: Log, path: Path, tmp_path_factory: pytest.TempPathFactory, small_disk: Callable[..., list[str]]
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "log.sqlite"
    copy(path, elsewhere)
    sentence, left = small_disk(FULL_DISK, elsewhere, size="64k")
    assert sentence.startswith("There is no room to write ")
    assert sentence.endswith("copy.sqlite; the log itself is whole: make room or name another place.")
    assert left == "old ['copy.sqlite']"


def test_a_damaged_log_leaves_the_old_copy_as_it_was(log: Log, path: Path, tmp_path: Path) -> None:
    log.close()
    path.write_bytes(b"no database at all, but long enough to be one" * 400)
    (tmp_path / "copy.sqlite").write_text("old")
    with pytest.raises(LogFault, match="is no log that can be read"):
        copy(path, tmp_path / "copy.sqlite")
    assert (tmp_path / "copy.sqlite").read_text() == "old"


def test_the_copy_can_be_taken_of_a_file_that_may_only_be_read(log: Log, path: Path, tmp_path: Path) -> None:
    log.close()
    path.chmod(0o444)
    copy(path, tmp_path / "copy.sqlite")
    with sqlite3.connect(f"file:{tmp_path / 'copy.sqlite'}?mode=ro", uri=True) as copied:
        assert copied.execute("SELECT count(*) FROM attempt").fetchone() == (59,)
    copied.close()
