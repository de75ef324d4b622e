"""From every older form of the log to the newest no value changes, and a step is done wholly or not at all.

The logs of the older forms are those in `forms`, made databases by the sqlite3 command and not by this program.
"""

from __future__ import annotations

import sqlite3
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal import steps as form_steps
from airladder.journal.log import Log, Reader
from airladder.journal.steps import shipped
from formlogs import made, shell

NEWEST = len(shipped())
each = pytest.mark.parametrize("form", range(1, NEWEST + 1))
older = pytest.mark.parametrize("form", range(1, NEWEST))

Rows = dict[tuple[str, str], list[tuple[object, ...]]]


def values(path: Path, columns: Rows | None = None) -> Rows:
    """Every column of every table, or those named, with the type and value of each row in the order of the key."""
    connection = sqlite3.connect(path)
    if columns is None:
        named = connection.execute(
            "SELECT m.name, p.name FROM sqlite_schema m JOIN pragma_table_info(m.name) p WHERE m.type = 'table'"
        ).fetchall()
    else:
        named = list(columns)
    found = {
        (table, column): connection.execute(
            f"SELECT typeof({column}), {column} FROM {table} ORDER BY 1, 2"
        ).fetchall()
        if table == "sqlite_sequence"
        else connection.execute(f"SELECT typeof({column}), {column} FROM {table} ORDER BY {KEYS[table]}").fetchall()
        for table, column in named
    }
    connection.close()
    return found


KEYS = {
    "session": "id",
    "attempt": "session, number",
    "boot": "number",
    "date_told": "number",
    "planned": "session, number",
    "remark": "session, number",
}


@each
def test_the_rows_of_a_fixture_fill_every_column(form: int, tmp_path: Path) -> None:
    """So that no column is compared that is always empty."""
    for column, rows in values(made(form, tmp_path / "log.sqlite")).items():
        assert any(kind != "null" for kind, _ in rows), column


@older
def test_every_value_of_an_older_form_is_kept_as_it_was(form: int, tmp_path: Path) -> None:
    path = made(form, tmp_path / "log.sqlite")
    before = values(path)
    Log(path).close()
    sequence = {key: rows for key, rows in before.items() if key[0] == "sqlite_sequence"}
    kept = {key: rows for key, rows in before.items() if key not in sequence}
    assert values(path, kept) == kept
    assert set(sequence["sqlite_sequence", "seq"]) <= set(values(path, sequence)["sqlite_sequence", "seq"])
    new = {key: rows for key, rows in values(path).items() if key not in before and rows}
    assert {kind for rows in new.values() for kind, _ in rows} <= {"null"}


@each
def test_the_sqlite3_command_finds_the_migrated_log_whole_and_with_the_tables_of_a_new_one(
    form: int, tmp_path: Path
) -> None:
    path, new = made(form, tmp_path / "log.sqlite"), tmp_path / "new.sqlite"
    tries = shell(path, "SELECT count(*) FROM attempt")
    for log in (path, new):
        Log(log).close()
    assert shell(path, "PRAGMA integrity_check; PRAGMA foreign_key_check; PRAGMA user_version") == f"ok\n{NEWEST}\n"
    assert sorted(shell(path, ".schema").split(";")) == sorted(shell(new, ".schema").split(";"))
    assert shell(path, "SELECT count(*) FROM attempt") == tries


@each
def test_the_reader_reads_every_try_of_every_form(form: int, tmp_path: Path) -> None:
    path = made(form, tmp_path / "log.sqlite")
    count = int(shell(path, "SELECT count(*) FROM attempt"))
    with Reader(path) as log:
        assert len(list(log.tries())) == count > 0


@each
def test_numbers_go_on_after_the_last_one_ever_given(form: int, tmp_path: Path) -> None:
    path = made(form, tmp_path / "log.sqlite")
    with Reader(path) as log:
        _, head, attempt = next(log.tries())
    with Log(path) as log:
        assert log.begin(head, attempt) == 8


@older
def test_a_migration_that_breaks_off_at_any_statement_leaves_the_older_form_whole(
    form: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each statement of the step in turn is one that fails."""
    path = made(form, tmp_path / "log.sqlite")
    before, schema = values(path), shell(path, ".schema")
    statements = list(form_steps._statements(shipped()[form]))
    for number in range(len(statements) + 1):
        broken = "".join([*statements[:number], "INSERT INTO nowhere VALUES (1);\n", *statements[number:]])
        with pytest.raises(LogFault, match=r"no such table: nowhere\); what it holds was not changed"):
            Log(path, steps=(*shipped()[:form], broken))
        assert (values(path), shell(path, ".schema")) == (before, schema)
    assert shell(path, "PRAGMA integrity_check; PRAGMA user_version") == f"ok\n{form}\n"
    Log(path).close()
    assert shell(path, "PRAGMA user_version") == f"{NEWEST}\n"


KILLED = """
import os, sqlite3, sys
from pathlib import Path
from airladder.journal import steps
from airladder.journal.opening import opened_to_write

left = int(sys.argv[2])
whole = steps._statements
def dying(script):
    global left
    for statement in whole(script):
        left -= 1
        if left < 0:
            os.kill(os.getpid(), 9)
        yield statement
steps._statements = dying
opened_to_write(Path(sys.argv[1]), steps.shipped(), 1)
"""


@older
def test_a_program_that_is_killed_in_a_step_leaves_a_log_that_the_next_one_brings_up(
    form: int, tmp_path: Path, other_program: Callable[..., subprocess.Popen[str]]
) -> None:
    """kill -9 in the middle and before the last statement of the step."""
    count = len(list(form_steps._statements(shipped()[form])))
    for left in (count // 2, count - 1):
        path = made(form, tmp_path / f"log-{left}.sqlite")
        before = values(path)
        with other_program(KILLED, path, left) as program:
            assert program.wait() == -9
        assert shell(path, "PRAGMA integrity_check; PRAGMA user_version") == f"ok\n{form}\n"
        Log(path).close()
        kept = {key: rows for key, rows in before.items() if key[0] != "sqlite_sequence"}
        assert values(path, kept) == kept


@pytest.mark.parametrize("opened", [Log, Reader])
@older
def test_an_older_program_refuses_a_newer_log_with_a_sentence_and_changes_no_byte(
    form: int, tmp_path: Path, opened: type[Reader]
) -> None:
    path = made(form + 1, tmp_path / "log.sqlite")
    before = path.read_bytes()
    with pytest.raises(
        LogFault, match=rf"newer version of Airladder \(form {form + 1}; this one knows up to {form}\); install the"
    ):
        opened(path, steps=shipped()[:form])
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]
