"""Damage of a log is found, and nothing else is taken for damage."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from airladder.journal.health import checked
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.journal.steps import shipped
from airladder.practice.attempt import Attempt
from formlogs import made, shell

Trier = Callable[..., Attempt]
PAGE = 4096


@pytest.fixture
def log(tmp_path: Path, head: Head, tried: Trier) -> Path:
    """A log with two sessions, nothing waiting beside it."""
    path = tmp_path / "log.sqlite"
    with Log(path) as log:
        log._connection.execute("PRAGMA synchronous = OFF")  # quick to make
        for _ in range(2):
            session = log.begin(head, tried(1))
            for number in range(2, 25):
                log.keep(session, tried(number))
    return path


@pytest.fixture
def waiting(tmp_path: Path, log: Path, head: Head, tried: Trier) -> Path:
    """The same log with three commits beside it that are not moved in yet: as a pulled plug leaves it."""
    with Log(log) as writer:
        for number in range(25, 28):
            writer.keep(2, tried(number))
        (tmp_path / "pulled").mkdir()
        for name in ("log.sqlite", "log.sqlite-wal"):
            shutil.copy(tmp_path / name, tmp_path / "pulled" / name)
    return tmp_path / "pulled" / "log.sqlite"


def spoil(path: Path, at: int, with_: bytes) -> None:
    content = bytearray(path.read_bytes())
    content[at : at + len(with_)] = with_
    path.write_bytes(content)


def root_of(path: Path, table: str) -> int:
    return int(shell(path, f"SELECT rootpage FROM sqlite_schema WHERE name = '{table}'"))


@pytest.mark.parametrize("whole", [True, False])
@pytest.mark.parametrize("form", range(1, len(shipped()) + 1))
def test_logs_of_every_form_are_well_and_stay_as_they_are(form: int, whole: bool, tmp_path: Path) -> None:
    path = made(form, tmp_path / "log.sqlite")
    before = path.read_bytes()
    assert checked(path, whole=whole) is None
    assert path.read_bytes() == before


@pytest.mark.parametrize("whole", [True, False])
def test_a_log_after_a_pulled_plug_is_well_and_what_waits_goes_on_waiting(waiting: Path, whole: bool) -> None:
    beside = waiting.with_name("log.sqlite-wal")
    before = waiting.read_bytes(), beside.read_bytes()
    assert checked(waiting, whole=whole) is None
    assert (waiting.read_bytes(), beside.read_bytes()) == before


@pytest.mark.parametrize(
    ("at", "content", "said"),
    [
        (0, bytes(16), "not a database"),
        (0, bytes(PAGE), "not a database"),
        (60, bytes([0, 0, 0, 0]), "tables are not as they were made"),  # user_version
        (68, b"\xff\xff\xff\xff", "tables are not as they were made"),  # application_id
        (100, b"\xa5" * 50, "malformed"),
    ],
)
def test_a_damaged_first_page_is_found_quickly(log: Path, at: int, content: bytes, said: str) -> None:
    spoil(log, at, content)
    assert said in (checked(log, whole=False) or "")


def test_a_rule_of_a_table_that_became_another_is_found_quickly(log: Path) -> None:
    """One byte of the SQL that is kept in the first pages; SQLite finds the log whole."""
    spoil(log, log.read_bytes().index(b"a4_hz > 0") + len("a4_hz > "), b"9")
    assert shell(log, "PRAGMA integrity_check").startswith(("ok", "CHECK"))
    assert checked(log, whole=False) == "its tables are not as they were made"


@pytest.mark.parametrize("table", ["session", "attempt"])
def test_a_damaged_root_of_a_table_is_found_quickly(log: Path, table: str) -> None:
    spoil(log, (root_of(log, table) - 1) * PAGE, b"\xa5" * PAGE)
    assert checked(log, whole=False)


def test_a_damaged_page_of_old_tries_is_found_by_the_whole_check(log: Path, head: Head, tried: Trier) -> None:
    """And only by that: what costs the same after ten years cannot read everything."""
    with Log(log) as writer:
        for _ in range(25):
            writer.begin(head, tried(1))
    page = int(shell(log, "SELECT min(pageno) FROM dbstat WHERE name = 'attempt' AND pagetype = 'leaf'"))
    spoil(log, (page - 1) * PAGE, b"\xa5" * PAGE)
    assert checked(log, whole=True)
    assert checked(log, whole=False) is None


def test_tries_whose_session_is_lost_are_found(log: Path) -> None:
    connection = sqlite3.connect(log)
    guard = connection.execute("SELECT sql FROM sqlite_schema WHERE name = 'session_stays_on_delete'").fetchone()[0]
    for statement in ("DROP TRIGGER session_stays_on_delete", "DELETE FROM session WHERE id = 1", guard):
        connection.execute(statement)
    connection.commit()
    connection.close()
    assert checked(log) == "tries without their session"


@pytest.mark.parametrize("whole", [True, False])
@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("attempt SET outcome = 'crackee'", "tries that cannot be read"),
        ("attempt SET path = '[[2, 0.25'", "tries that cannot be read"),
        ("attempt SET path = CAST(x'5b5bff5d5d' AS TEXT)", "Could not decode to UTF-8 column"),
        ("session SET against = 'temperee'", "a session that cannot be read"),
        ("session SET invented = 3", "a session that cannot be read"),
        ("session SET a4_hz = -440.0", "a session that cannot be read"),
        ("session SET started = '2026-05-04T18:03:12+02:0'", "a session whose date cannot be read"),
        ("session SET source = CAST(x'ff' AS TEXT)", "Could not decode to UTF-8 column"),
    ],
)
def test_values_that_nobody_can_read_are_found(log: Path, change: str, said: str, whole: bool) -> None:
    connection = sqlite3.connect(log)
    connection.execute("PRAGMA ignore_check_constraints = ON")
    table = change.partition(" ")[0]
    guard = f"{table}_stays_on_update"
    sql = connection.execute("SELECT sql FROM sqlite_schema WHERE name = ?", (guard,)).fetchone()[0]
    connection.execute(f"DROP TRIGGER {guard}")
    connection.execute(f"UPDATE {change} WHERE {'id' if table == 'session' else 'session'} = 2")
    connection.execute(sql)
    connection.commit()
    connection.close()
    assert (checked(log, whole=whole) or "").startswith(said)


def test_a_log_that_was_cut_short_is_found_quickly(log: Path) -> None:
    log.write_bytes(log.read_bytes()[:-PAGE])
    assert checked(log, whole=False)


def test_an_empty_file_is_damage_only_when_tries_wait_beside_it(log: Path, waiting: Path) -> None:
    log.write_bytes(b"")
    assert checked(log) is None
    waiting.write_bytes(b"")
    assert checked(waiting) == "it is empty, yet tries wait beside it"


def test_a_commit_that_sqlite_would_pass_over_in_silence_is_found(waiting: Path) -> None:
    """One bit in what waits; SQLite reads up to there and takes the log for whole (seen with its own shell)."""
    before = shell(waiting, "SELECT count(*) FROM attempt")
    beside = waiting.with_name("log.sqlite-wal")
    spoil(beside, 32 + 24 + 100, bytes([beside.read_bytes()[32 + 24 + 100] ^ 1]))
    assert shell(waiting, "PRAGMA integrity_check; SELECT count(*) FROM attempt") == f"ok\n{int(before) - 3}\n"
    assert checked(waiting, whole=False) == "of what waits beside it, a part is broken"


def test_a_head_of_what_waits_that_is_broken_is_found(waiting: Path) -> None:
    spoil(waiting.with_name("log.sqlite-wal"), 12, b"\xff\xff\xff\xff")
    assert checked(waiting, whole=False) == "of what waits beside it, a part is broken"


def test_a_last_commit_that_was_under_way_when_the_plug_was_pulled_is_no_damage(waiting: Path) -> None:
    beside = waiting.with_name("log.sqlite-wal")
    frames = beside.read_bytes()
    for end in range(len(frames) - PAGE - 24, len(frames), 997):
        beside.write_bytes(frames[:end])
        assert checked(waiting) is None
    beside.write_bytes(frames)
    spoil(beside, len(frames) - PAGE, b"\xa5" * 10)
    assert checked(waiting) is None


def test_what_is_no_damage_of_ours_is_left_to_the_opening(tmp_path: Path, log: Path) -> None:
    songs = tmp_path / "songs.db"
    connection = sqlite3.connect(songs)
    connection.execute("CREATE TABLE song (name)")
    connection.close()
    (tmp_path / "take.wav").write_bytes(b"RIFF" + bytes(20000))
    newer = tmp_path / "newer.sqlite"
    shutil.copy(log, newer)
    Log(newer, steps=(*shipped(), "CREATE TABLE place (name TEXT NOT NULL) STRICT;")).close()
    for path in (tmp_path / "none.sqlite", tmp_path, songs, tmp_path / "take.wav", newer):
        assert checked(path) is None, path
    for path in (songs, newer):
        assert checked(path, own=True) is None, path


def test_garbage_at_a_place_that_is_ours_alone_is_damage(tmp_path: Path) -> None:
    (tmp_path / "log.sqlite").write_bytes(b"\xa5" * 9000)
    assert checked(tmp_path / "log.sqlite") is None
    assert checked(tmp_path / "log.sqlite", own=True) == "file is not a database"


def test_a_file_that_this_user_may_not_read_is_no_damage(open_folder: Path, request: pytest.FixtureRequest) -> None:
    path = open_folder / "log.sqlite"
    path.write_bytes(b"\xa5" * 9000)
    assert checked(path, own=True)
    path.chmod(0)
    request.getfixturevalue("ordinary_user")
    assert checked(path, own=True) is None


def test_a_file_that_waits_and_is_begun_anew_when_the_power_goes_is_no_damage(
    tmp_path: Path, head: Head, tried: Trier
) -> None:
    """All of it was moved into the log before, and only the 32 bytes of its head are noise."""
    path = tmp_path / "log.sqlite"
    with Log(path) as log:
        session = log.begin(head, tried(1))
        for number in range(2, 9):
            log.keep(session, tried(number))
        log._connection.execute("PRAGMA wal_checkpoint(PASSIVE)")
        (tmp_path / "pulled").mkdir()
        for name in ("log.sqlite", "log.sqlite-wal"):
            shutil.copy(path.with_name(name), tmp_path / "pulled" / name)
    pulled = tmp_path / "pulled" / "log.sqlite"
    wait = pulled.with_name("log.sqlite-wal")
    wait.write_bytes(b"\xa5" * 32 + wait.read_bytes()[32:])
    assert checked(pulled) is None
    with Reader(pulled) as log:
        assert len(list(log.tries())) == 8
    log_bytes = bytearray(pulled.read_bytes())
    log_bytes[-2048:] = bytes(2048)  # and now one of its pages was not moved after all
    pulled.write_bytes(log_bytes)
    assert checked(pulled) is not None
