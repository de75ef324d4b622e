"""A damaged log and the start of the program: it is mended, said, and hinders nobody."""

from __future__ import annotations

from pathlib import Path

import pytest

from airladder.app.damage import ABOUT, damage_of, look_through
from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from tenyears import make

PAGE = 4096
LEAF = 10  # of a table without row numbers (SQLite documentation, "Database File Format", 1.6)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """Of two months; its first tries lie far from its newest."""
    path = tmp_path / "log.sqlite"
    make(path, days=60, tries=40)
    return path


def spoil(log: Path, marker: bytes) -> None:
    """One page of old tries becomes noise."""
    content = bytearray(log.read_bytes())
    page = content.index(marker) // PAGE * PAGE
    content[page : page + PAGE] = b"\xa5" * PAGE
    log.write_bytes(content)


def oldest_tries(log: Path) -> bytes:
    """Bytes that only a page of the first session's tries holds."""
    content = log.read_bytes()
    pages = range(0, len(content), PAGE)
    rows = [n for n in pages if content[n] == LEAF and b"tongued" in content[n : n + PAGE]]
    return content[rows[0] : rows[0] + 64]


def test_a_log_that_is_well_is_left_alone_and_nothing_is_said(log: Path) -> None:
    before = log.read_bytes()
    assert damage_of(log, own=True, whole=True) == {}
    look_through(log)
    assert log.read_bytes() == before


def test_what_is_found_while_a_drive_is_built_is_mended_at_the_next_start(log: Path) -> None:
    spoil(log, oldest_tries(log))
    assert damage_of(log, own=True) == {}  # there is no time at the start to look at everything
    with pytest.raises(LogFault, match=r"is damaged \(.*\); switch the box off and on, and it is mended\.$"):
        look_through(log)
    note = damage_of(log, own=True)[ABOUT]
    assert "it lies aside as log.damaged-1.sqlite" in note
    with Reader(log) as reader:
        saved = len(list(reader.tries()))
    assert 60 * 40 - 60 < saved < 60 * 40
    assert damage_of(log, own=True, whole=True) == {}


def test_a_log_that_cannot_be_mended_now_is_said_and_hinders_nobody(
    log: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, **ways: bool) -> None:
        raise LogFault("There is no room to mend the log.")

    monkeypatch.setattr("airladder.app.damage.mended", full)
    assert damage_of(log, own=True) == {ABOUT: "There is no room to mend the log."}


def test_a_file_that_somebody_named_is_not_moved_aside(tmp_path: Path) -> None:
    mine = tmp_path / "take.wav"
    mine.write_bytes(b"RIFF and no log at all" * 100)
    assert damage_of(mine, own=False) == {}
    assert mine.exists()
    assert "lies aside" in damage_of(mine, own=True)[ABOUT]


def test_practice_goes_on_in_the_mended_log(log: Path) -> None:
    log.write_bytes(b"\0" * PAGE + log.read_bytes()[PAGE:])
    assert damage_of(log, own=True)
    with Log(log) as writer:
        head = next(writer.sessions()).head
        assert isinstance(head, Head)
        number = writer.begin(head, Attempt(1, 1.0, 3, Outcome.NOTHING, None))
        assert number > 60
