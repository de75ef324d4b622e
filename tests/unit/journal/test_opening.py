"""A log that cannot be had is one sentence, and whatever lies at its place is left as it is."""

from __future__ import annotations

import gc
import shutil
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.opening import keep_safe
from airladder.journal.records import Head
from airladder.journal.steps import shipped
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

Trier = Callable[..., Attempt]
both = pytest.mark.parametrize("opened", [Log, Reader])


def test_folders_that_are_missing_are_made(tmp_path: Path) -> None:
    Log(tmp_path / "a" / "b" / "c" / "log.sqlite").close()
    assert (tmp_path / "a" / "b" / "c" / "log.sqlite").is_file()


@pytest.mark.parametrize("name", ["ü ? # 100% log.sqlite", "log", "-"])
def test_any_file_name_will_do(tmp_path: Path, head: Head, tried: Trier, name: str) -> None:
    with Log(tmp_path / name) as log:
        log.begin(head, tried(1))
    with Reader(tmp_path / name) as log:
        assert log.session(1).attempts == (tried(1),)
    assert {file.name.removesuffix("-wal").removesuffix("-shm") for file in tmp_path.iterdir()} == {name}


def test_reading_where_there_is_no_log_says_so_and_makes_none(path: Path) -> None:
    with pytest.raises(LogFault, match=r"There is no log at .*log\.sqlite yet; it begins with the first try") as told:
        Reader(path)
    assert told.value.exit_code == 4
    assert not path.parent.exists()


@both
def test_a_folder_in_the_place_of_the_log_is_told(tmp_path: Path, opened: type[Reader]) -> None:
    with pytest.raises(
        LogFault, match=r"is a folder and the log is one file; name a file in it, such as .*/log\.sqlite"
    ):
        opened(tmp_path)


@both
@pytest.mark.parametrize(
    "content", [b"hello", b"a,b\r\n" * 100, b"RIFF" + bytes(20000), b"SQLite format 3\0" + b"x" * 99]
)
def test_a_file_that_is_no_database_is_told_and_left_as_it_is(
    tmp_path: Path, opened: type[Reader], content: bytes
) -> None:
    path = tmp_path / "take.wav"
    path.write_bytes(content)
    with pytest.raises(LogFault, match=r"take\.wav is no log that can be read \(.*\); it was left as it is"):
        opened(path)
    assert path.read_bytes() == content
    assert list(tmp_path.iterdir()) == [path]


@both
@pytest.mark.parametrize(
    "made", ["CREATE TABLE song (name)", "PRAGMA application_id = 77", "PRAGMA user_version = 3"]
)
def test_the_database_of_another_program_is_told_and_left_as_it_is(
    tmp_path: Path, opened: type[Reader], made: str
) -> None:
    path = tmp_path / "songs.db"
    other = sqlite3.connect(path)
    other.execute(made)
    other.close()
    before = path.read_bytes()
    with pytest.raises(
        LogFault, match=r"songs\.db is another program's database, no log of Airladder; name another file"
    ):
        opened(path)
    assert path.read_bytes() == before


def test_a_log_with_a_damaged_page_is_told_when_the_page_is_read_and_left_as_it_is(
    path: Path, head: Head, tried: Trier
) -> None:
    with Log(path) as log:
        session_id = log.begin(head, tried(1))
        for number in range(2, 200):
            log.keep(session_id, tried(number))
    content = bytearray(path.read_bytes())
    half = len(content) // 8192 * 4096
    content[half:-4096] = b"\xa5" * (len(content) - half - 4096)
    path.write_bytes(content)
    with Reader(path) as log, pytest.raises(LogFault, match=r"is no log that can be read .*malformed"):
        list(log.tries())
    assert path.read_bytes() == content


@both
def test_a_log_that_was_cut_short_is_told(path: Path, head: Head, tried: Trier, opened: type[Reader]) -> None:
    with Log(path) as log:
        log.begin(head, tried(1))
    content = path.read_bytes()[:-4096]
    path.write_bytes(content)
    with pytest.raises(LogFault, match=r"is no log that can be read .*malformed"):
        opened(path)
    assert path.read_bytes() == content


def test_a_log_that_went_missing_from_beside_its_newest_tries_is_not_begun_anew(
    path: Path, head: Head, tried: Trier
) -> None:
    """SQLite would throw the waiting commits away with the file that it makes."""
    log = Log(path)
    log.begin(head, tried(1))
    for name in ("log.sqlite", "log.sqlite-wal"):
        shutil.copy(path.with_name(name), path.with_name("saved-" + name))
    log.close()
    path.unlink()
    shutil.move(path.with_name("saved-log.sqlite-wal"), path.with_name("log.sqlite-wal"))
    with pytest.raises(LogFault, match=r"is missing, yet log\.sqlite-wal beside it may hold tries"):
        Log(path)
    shutil.move(path.with_name("saved-log.sqlite"), path)
    with Log(path) as log:
        assert log.session(1).attempts == (tried(1),)


def test_a_log_held_by_another_program_is_told_and_can_be_written_later(path: Path, head: Head, tried: Trier) -> None:
    with Log(path, wait_s=0.01) as log:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LogFault, match=r"Another program holds the log .*; close that program"):
            log.begin(head, tried(1))
        other.execute("ROLLBACK")
        other.close()
        assert log.begin(head, tried(1)) == 1


@pytest.mark.parametrize("place", ["/proc/airladder/log.sqlite", "/dev/null/log.sqlite"])
def test_a_place_where_nobody_can_write_is_told(place: str) -> None:
    with pytest.raises(LogFault, match=r"cannot be opened \(.*\); it wants a folder that this user may write in"):
        Log(Path(place))


@pytest.mark.usefixtures("ordinary_user")
def test_a_folder_that_this_user_may_not_write_in_is_told() -> None:
    with pytest.raises(LogFault, match=r"/airladder/log\.sqlite cannot be opened \(Permission denied\)"):
        Log(Path("/airladder/log.sqlite"))


@pytest.fixture(params=["alone", "with what a reader left"])
def protected(open_folder: Path, head: Head, tried: Trier, request: pytest.FixtureRequest) -> Path:
    """A log that was copied to a medium on which this user may only read."""
    path = open_folder / "log.sqlite"
    with Log(path) as log:
        log.begin(head, tried(1))
    if request.param != "alone":
        with Reader(path) as log:
            list(log.sessions())
    for file in open_folder.iterdir():
        file.chmod(0o444)
    open_folder.chmod(0o555)
    request.getfixturevalue("ordinary_user")
    return path


def test_a_log_on_a_protected_medium_can_be_read(protected: Path, tried: Trier) -> None:
    with Reader(protected) as log:
        assert log.session(1).attempts == (tried(1),)


def test_a_log_on_a_protected_medium_cannot_be_written_and_says_so(protected: Path) -> None:
    with pytest.raises(LogFault, match=r"cannot be opened \(.*\); it wants a folder that this user may write in"):
        Log(protected)


def test_a_user_who_may_only_read_still_sees_what_the_service_writes_meanwhile(
    open_folder: Path, head: Head, tried: Trier, request: pytest.FixtureRequest
) -> None:
    path = open_folder / "log.sqlite"
    with Log(path) as log:
        log.begin(head, tried(1))
    with Log(path) as log:
        open_folder.chmod(0o555)
        request.getfixturevalue("ordinary_user")
        with Reader(path) as reader:
            log.keep(1, tried(2))
            assert reader.session(1).attempts == (tried(1), tried(2))


FULL_DISK = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from conftest import HEAD, TONE
from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

path = Path(sys.argv[1]) / "log.sqlite"
with Log(path) as log:
    log.begin(HEAD, Attempt(1, 6.0, 3, Outcome.CRACKED, TONE))
try:
    with path.with_name("ballast").open("wb", buffering=0) as file:
        while True:
            file.write(bytes(4096))
except OSError as error:
    print(error.strerror)
try:
    Log(path)
except LogFault as fault:
    print(fault)
with Reader(path) as log:
    print(log.session(1).attempts == (Attempt(1, 6.0, 3, Outcome.CRACKED, TONE),))
"""


def test_a_log_on_a_full_disk_is_told_and_can_still_be_read(small_disk: Callable[..., list[str]]) -> None:
    space, fault, read = small_disk(FULL_DISK, Path(__file__).parent, size="512k")
    assert space == "No space left on device"
    assert fault.startswith("The disk is full, so the log ")
    assert read == "True"


def test_a_place_where_a_pulled_plug_could_lose_tries_is_refused() -> None:
    """A database in memory knows no write-ahead log, like some network drives."""
    connection = sqlite3.connect(":memory:")
    with pytest.raises(LogFault, match=r"would not be safe on this file system \(journal mode memory, wanted wal\)"):
        keep_safe(connection, Path("log.sqlite"))
    connection.close()


def test_a_row_whose_values_the_disk_has_changed_is_told_as_damage(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        log.begin(head, tried(1, Outcome.CRACKED))
    connection = sqlite3.connect(path)
    connection.executescript("""
        PRAGMA ignore_check_constraints = ON; DROP TRIGGER attempt_stays_on_update;
        UPDATE attempt SET outcome = 'crackfd';
    """)
    connection.close()
    with Reader(path) as log:
        for read in (lambda: log.session(1), lambda: list(log.tries())):
            with pytest.raises(LogFault, match=r"is no log that can be read \('crackfd' is not a valid Outcome\)"):
                read()


def test_rows_that_nobody_read_to_the_end_are_dropped_in_silence(path: Path, head: Head, tried: Trier) -> None:
    """A generator that is dropped after its log was closed must not complain on the way."""
    with Log(path) as log:
        for number in range(3):
            log.begin(head, tried(number + 1))
    with Reader(path) as log:
        tries = log.tries()
        next(tries)
    del tries
    gc.collect()


def test_text_that_the_disk_has_changed_to_none_is_told_as_damage(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        log.begin(replace(head, exercise="partials rising"), tried(1))
    content = path.read_bytes()
    assert content.count(b"partials rising") == 1
    path.write_bytes(content.replace(b"partials rising", b"\xff" * 15))
    with Reader(path) as log, pytest.raises(LogFault, match=r"is no log that can be read \(Could not decode"):
        log.session(1)


def test_names_that_the_disk_has_changed_to_no_text_are_told_as_damage(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        log.begin(head, tried(1))
    path.write_bytes(path.read_bytes().replace(b"CREATE TABLE session", b"\xff" * 20))
    for opened in (Log, Reader):
        with pytest.raises(LogFault, match=r"is no log that can be read"):
            opened(path)


def test_a_row_that_a_further_form_refuses_is_told_as_damage(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        log.begin(head, tried(1))
    strict = "CREATE TABLE more (t REAL CHECK (t < 0)) STRICT;\nINSERT INTO more SELECT t FROM attempt;"
    before = path.read_bytes()
    with pytest.raises(LogFault, match=r"is no log that can be read \(CHECK constraint failed: t < 0\)"):
        Log(path, steps=(*shipped(), strict))
    assert path.read_bytes() == before
