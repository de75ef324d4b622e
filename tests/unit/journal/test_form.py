"""The form of a log is told without leading it up."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal.form import form_of
from airladder.journal.log import Log, Reader
from airladder.journal.steps import shipped


def test_where_there_is_no_log_there_is_no_form_and_none_is_made(tmp_path: Path) -> None:
    assert form_of(tmp_path / "log.sqlite") is None
    assert list(tmp_path.iterdir()) == []


def test_every_form_is_told_and_left_as_it_is(tmp_path: Path) -> None:
    for form in range(1, len(shipped()) + 1):
        log = tmp_path / f"{form}.sqlite"
        Log(log, steps=shipped()[:form]).close()
        assert form_of(log) == form
        assert form_of(log) == form


def test_a_form_that_only_waits_beside_the_log_is_told(tmp_path: Path) -> None:
    """As after a power cut: the step is done in the -wal file, and the log itself has the form before."""
    log = tmp_path / "log.sqlite"
    Log(log, steps=shipped()[:-1]).close()
    held = sqlite3.connect(log)
    held.execute("SELECT count(*) FROM session").fetchall()
    held.execute("BEGIN")
    held.execute("SELECT count(*) FROM session").fetchall()  # keeps the step from being moved into the log
    writer = Log(log)
    assert int.from_bytes(log.read_bytes()[60:64], "big") == len(shipped()) - 1  # SQLite, "Database File Format", 1.3
    assert form_of(log) == len(shipped())
    writer.close()
    held.close()


def test_a_reader_leads_a_log_up_which_is_why_this_is_needed(tmp_path: Path) -> None:
    log = tmp_path / "log.sqlite"
    Log(log, steps=shipped()[:-1]).close()
    Reader(log).close()
    assert form_of(log) == len(shipped())


@pytest.mark.parametrize("content", [b"no log at all" * 100, b""])
def test_what_is_no_log_is_a_sentence_or_the_form_of_a_new_one(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "log.sqlite").write_bytes(content)
    if content:
        with pytest.raises(LogFault, match="is no log that can be read"):
            form_of(tmp_path / "log.sqlite")
    else:
        assert form_of(tmp_path / "log.sqlite") == 0


def test_another_program_s_database_is_a_sentence(tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "log.sqlite") as other:
        other.execute("PRAGMA application_id = 7")
    with pytest.raises(LogFault, match="is another program's database"):
        form_of(tmp_path / "log.sqlite")
