"""What is saved of a damaged log: every row that can be read, in its order."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from airladder.journal.forgetting import forget
from airladder.journal.headless import REMARK, SOURCE
from airladder.journal.health import checked
from airladder.journal.log import Log, Reader
from airladder.journal.mending import mended
from airladder.journal.records import KNOWN, Head, Moment
from airladder.journal.salvage import Saved
from airladder.journal.steps import shipped
from airladder.practice.attempt import Attempt
from formlogs import made, rows, shell

from .spoiling import PAGE, bytes_of, everything, spoil, spoil_a_wait

Trier = Callable[..., Attempt]
FORMS = len(shipped())


def whole_page_lost(content: bytearray) -> None:
    content[:PAGE] = bytes(PAGE)


def head_lost(content: bytearray) -> None:
    content[:100] = bytes(100)


def garbage_head(content: bytearray) -> None:
    content[:100] = random.Random(1).randbytes(100)


def wrong_owner(content: bytearray) -> None:
    content[68:72] = b"\xff\xff\xff\xff"


def no_form(content: bytearray) -> None:
    content[60:64] = bytes(4)


@pytest.mark.parametrize("damage", [whole_page_lost, head_lost, garbage_head, wrong_owner, no_form])
def test_a_log_that_lost_its_first_page_loses_no_row(
    pulled: Path, tmp_path: Path, damage: Callable[[bytearray], None]
) -> None:
    """Moved in first, so that what waits beside it does not bring the page back."""
    with Log(pulled):
        pass
    before = everything(pulled)
    content = bytearray(pulled.read_bytes())
    damage(content)
    pulled.write_bytes(content)
    told = mended(pulled)
    assert told is not None
    assert str(told) == (
        "The log was damaged; it lies aside as log.damaged-1.sqlite; 90 of its tries were saved into a new one."
    )
    assert told.saved == Saved(sessions=3, tries=90, headless=0, refused=0)
    assert everything(pulled) == before
    assert told.aside.read_bytes() == content
    assert mended(pulled, whole=True) is None


@pytest.mark.parametrize("form", range(1, FORMS + 1))
def test_every_value_of_every_form_is_saved(form: int, tmp_path: Path) -> None:
    """Without the page that holds the names of the tables; compared with the same log brought up whole."""
    path, whole = made(form, tmp_path / "log.sqlite"), made(form, tmp_path / "whole.sqlite")
    spoil(path, 0, bytes(PAGE))
    Log(whole).close()
    told = mended(path, own=True)
    assert told is not None
    assert told.saved == Saved(3, int(shell(whole, "SELECT count(*) FROM attempt")), 0, 0)
    assert everything(path) == everything(whole)


def test_the_set_aside_log_keeps_every_byte_and_what_waited_beside_it(pulled: Path) -> None:
    spoil(pulled.with_name("log.sqlite-wal"), 32 + 24 + 100, b"\xa5\x5a")
    before = bytes_of(pulled.parent)
    assert mended(pulled)
    after = bytes_of(pulled.parent)
    assert after["log.damaged-1.sqlite"] == before["log.sqlite"]
    assert after["log.damaged-1.sqlite-wal"] == before["log.sqlite-wal"]
    assert {name.removesuffix("-wal") for name in after} == {"log.sqlite", "log.damaged-1.sqlite"}


def test_a_broken_page_among_those_that_wait_loses_none_of_the_others(pulled: Path) -> None:
    """SQLite itself would pass over all commits from there on."""
    before = everything(pulled)
    spoil_a_wait(pulled)
    told = mended(pulled)
    assert told is not None
    assert told.saved.tries == 90
    assert everything(pulled) == before


def test_a_page_that_waits_only_broken_gives_all_its_rows_but_the_broken_one(pulled: Path) -> None:
    """A leaf of the tries, in every commit that holds it: each checksum fails, and one row in each is spoilt."""
    beside = pulled.with_name("log.sqlite-wal")
    content = beside.read_bytes()
    places = range(32, len(content), 24 + PAGE)
    held = pulled.stat().st_size // PAGE
    leaves = {at: content[at : at + 4] for at in places if content[at + 24] == 0x0A and content[at + 28] > 8}
    number = next(number for number in leaves.values() if int.from_bytes(number, "big") > held)
    for at in places:
        if content[at : at + 4] == number:
            spoil(beside, at + 24 + PAGE // 2, b"\xff" * 20)
    told = mended(pulled)
    assert told is not None
    assert 88 <= told.saved.tries <= 90


def test_a_log_emptied_beside_its_newest_tries_gives_those(pulled: Path) -> None:
    pulled.write_bytes(b"")
    told = mended(pulled)
    assert told is not None
    assert told.saved.tries >= 30
    with Reader(pulled) as log:
        assert len(log.session(3).attempts) == 30


def test_a_log_cut_short_gives_the_rows_that_are_left(pulled: Path) -> None:
    with Log(pulled):
        pass
    before = set(rows(pulled))
    pulled.write_bytes(pulled.read_bytes()[: -4 * PAGE - 1000])
    told = mended(pulled, whole=True)
    assert told is not None
    assert 30 <= told.saved.tries < 90
    kept = {row for row in rows(pulled) if "INTO attempt" in row}
    assert kept < before
    assert checked(pulled) is None


@pytest.fixture
def headless(tmp_path: Path, head: Head, tried: Trier) -> Path:
    """A log in which the heads of the first and of the third session are gone, and a switch-on."""
    path = tmp_path / "log.sqlite"
    with Log(path) as log:
        for number, horn in enumerate(("soprano", "tenor", "baritone", "alto")):
            moment = Moment(f"invented-{number}", 10.0, KNOWN)
            for attempt in (1, 2):
                one = replace(head, horn=horn, moment=moment)
                log.begin(one, tried(1)) if attempt == 1 else log.keep(number + 1, tried(2))
    connection = sqlite3.connect(path)
    guards = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute("DELETE FROM session WHERE id IN (1, 3)")
    connection.execute("DELETE FROM boot WHERE number = 4")
    for _, sql in guards:
        connection.execute(sql)
    connection.commit()
    connection.close()
    return path


def test_tries_whose_head_is_lost_get_that_of_the_session_before_and_say_so(headless: Path, tried: Trier) -> None:
    told = mended(headless, whole=True)
    assert told is not None
    assert told.saved == Saved(sessions=4, tries=8, headless=2, refused=0)
    with Reader(headless) as log:
        first, third = log.session(1), log.session(3)
        assert first.attempts == third.attempts == (tried(1), tried(2))
        assert (third.head.horn, third.head.source, third.head.remarks) == (
            *("tenor", SOURCE),
            (REMARK.format(whose="those of session 2"),),
        )
        assert (first.head.horn, first.head.remarks) == ("tenor", (REMARK.format(whose="those of session 2"),))
        assert third.head.moment is not None
        assert third.head.moment.trust == "carried"


def test_sessions_stay_in_the_order_of_their_numbers(headless: Path) -> None:
    assert mended(headless, whole=True)
    with Reader(headless) as log:
        assert [summary.id for summary in log.sessions()] == [1, 2, 3, 4]


def test_a_log_of_nothing_but_tries_keeps_them(tmp_path: Path, head: Head, tried: Trier) -> None:
    path = tmp_path / "log.sqlite"
    with Log(path) as log:
        log.begin(head, tried(1))
    root = int(shell(path, "SELECT rootpage FROM sqlite_schema WHERE name = 'session'"))
    spoil(path, (root - 1) * PAGE, b"\xa5" * PAGE)
    told = mended(path)
    assert told is not None
    assert told.saved == Saved(1, 1, 1, 0)
    with Reader(path) as log:
        assert (log.session(1).head.horn, log.session(1).attempts) == ("unknown", (tried(1),))


def test_numbers_go_on_after_those_of_sessions_that_could_not_be_saved(
    tmp_path: Path, head: Head, tried: Trier
) -> None:
    """Session 2 is gone without a trace but for the count of the numbers given."""
    path = made(FORMS, tmp_path / "log.sqlite")
    spoil(path, 0, bytes(PAGE))
    assert mended(path, own=True)
    with Log(path) as log:
        assert log.begin(head, tried(1)) == 8


def test_numbers_of_sessions_that_were_all_forgotten_are_not_given_again(
    tmp_path: Path, head: Head, tried: Trier
) -> None:
    path = made(FORMS, tmp_path / "log.sqlite")
    forget(path, None)
    spoil(path, 0, bytes(100))
    told = mended(path)
    assert told is not None
    assert told.saved == Saved(0, 0, 0, 0)
    with Log(path) as log:
        assert log.begin(head, tried(1)) == 8


def test_rows_that_break_a_rule_stay_out_and_are_counted(pulled: Path) -> None:
    """`cracked` becomes `crackee`, in the place of one try and of another."""
    with Log(pulled):
        pass
    content = pulled.read_bytes()
    page = int(shell(pulled, "SELECT max(pageno) FROM dbstat WHERE name = 'attempt' AND pagetype = 'leaf'"))
    at = content.index(b"cracked", (page - 1) * PAGE)
    spoil(pulled, at, b"crackee")
    spoil(pulled, content.index(b"cracked", at + 1), b"crackee")
    spoil(pulled, 0, bytes(100))
    told = mended(pulled)
    assert told is not None
    assert (told.saved.tries, told.saved.refused) == (88, 2)


def test_a_row_that_the_tables_take_and_the_reader_does_not_stays_out(pulled: Path) -> None:
    """`[2, 0.25]` in a path becomes `[2, 0,25]`, JSON as well."""
    with Log(pulled):
        pass
    content = pulled.read_bytes()
    page = int(shell(pulled, "SELECT max(pageno) FROM dbstat WHERE name = 'attempt' AND pagetype = 'leaf'"))
    spoil(pulled, content.index(b"[[2, 0.25], [null", (page - 1) * PAGE) + len("[[2, 0"), b",")
    spoil(pulled, 0, bytes(100))
    told = mended(pulled)
    assert told is not None
    assert (told.saved.tries, told.saved.refused) == (89, 1)


def test_a_head_that_breaks_a_rule_is_given_anew(pulled: Path) -> None:
    """`tempered` becomes `temperee` in the head of the second session."""
    with Log(pulled):
        pass
    content = pulled.read_bytes()
    page = int(shell(pulled, "SELECT rootpage FROM sqlite_schema WHERE name = 'session'"))
    spoil(pulled, content.index(b"tempered", content.index(b"tempered", (page - 1) * PAGE) + 1), b"temperee")
    told = mended(pulled, whole=True)
    assert told is not None
    assert told.saved == Saved(sessions=3, tries=90, headless=1, refused=1)


def test_a_log_of_which_nothing_can_be_read_is_begun_anew(tmp_path: Path, head: Head, tried: Trier) -> None:
    path = tmp_path / "log.sqlite"
    garbage = random.Random(2).randbytes(5 * PAGE)
    path.write_bytes(garbage)
    assert mended(path) is None  # it may be anybody's
    told = mended(path, own=True)
    assert str(told) == (
        "The log was damaged; it lies aside as log.damaged-1.sqlite; "
        "none of its tries could be read: a new one is begun."
    )
    assert (tmp_path / "log.damaged-1.sqlite").read_bytes() == garbage
    with Log(path) as log:
        assert log.begin(head, tried(1)) == 1


def test_each_damaged_log_gets_a_name_of_its_own(pulled: Path) -> None:
    first = bytes_of(pulled.parent)
    (pulled.parent / "log.damaged-1.sqlite-wal").write_bytes(b"somebody's")
    for number in (2, 3):
        spoil(pulled, 0, bytes(PAGE))
        pulled.with_name("log.sqlite-wal").unlink(missing_ok=True)
        told = mended(pulled)
        assert told is not None
        assert told.aside.name == f"log.damaged-{number}.sqlite"
    assert (pulled.parent / "log.damaged-1.sqlite-wal").read_bytes() == b"somebody's"
    assert first["log.sqlite"][PAGE:] == (pulled.parent / "log.damaged-2.sqlite").read_bytes()[PAGE:]
