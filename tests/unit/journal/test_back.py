"""A copy of the log in an older form holds what that form can say, and nothing else changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from airladder.faults import BadInput, LogFault
from airladder.journal import back
from airladder.journal.back import as_form
from airladder.journal.health import checked
from airladder.journal.log import Log, Reader
from airladder.journal.steps import shipped
from formlogs import made, rows, shell

NEWEST = len(shipped())


def parts(path: Path) -> set[str]:
    """The columns of all tables with their rules, the triggers, indices and views, told by the sqlite3 command."""
    named = "SELECT type, name, tbl_name FROM sqlite_schema WHERE name NOT GLOB 'sqlite_autoindex*'"
    columns = "SELECT m.name, p.* FROM sqlite_schema m JOIN pragma_table_info(m.name) p WHERE m.type = 'table'"
    checks = "SELECT name, sql GLOB '*restarted*', sql GLOB '*STRICT*' FROM sqlite_schema WHERE type = 'table'"
    return {line for query in (named, columns, checks) for line in shell(path, query).splitlines()}


@pytest.mark.parametrize("form", range(1, NEWEST + 1))
def test_an_older_log_that_was_brought_up_comes_back_row_for_row(form: int, tmp_path: Path) -> None:
    path = made(form, tmp_path / "log.sqlite")
    before = rows(path), parts(path)
    with Reader(path):  # brings it up
        pass
    assert as_form(path, form, tmp_path / "old.sqlite") == {}
    old = tmp_path / "old.sqlite"
    assert (rows(old), parts(old)) == before
    assert shell(old, "PRAGMA integrity_check; PRAGMA foreign_key_check; PRAGMA user_version") == f"ok\n{form}\n"


@pytest.mark.parametrize("form", range(1, NEWEST + 1))
def test_an_older_program_goes_on_with_the_copy(form: int, tmp_path: Path) -> None:
    """Up, down and up again: what the older form could say is as it was, and the next number is a new one."""
    log, old = made(NEWEST, tmp_path / "log.sqlite"), tmp_path / "old.sqlite"
    as_form(log, form, old)
    Log(old, steps=shipped()[:form]).close()
    assert shell(old, "PRAGMA user_version") == f"{form}\n"
    assert checked(old) is None
    down = rows(old)
    with Log(old) as again:
        _, head, attempt = next(again.tries())
        assert again.begin(head, attempt) == 8
    assert shell(old, "SELECT count(*) FROM attempt WHERE session < 8") == shell(log, "SELECT count(*) FROM attempt")
    same = "SELECT session, number, t, wanted, hz, path, quote(split) FROM attempt WHERE session < 8 ORDER BY 1, 2"
    assert shell(old, same) == shell(log, same)
    as_form(log, form, tmp_path / "twice.sqlite")
    assert rows(tmp_path / "twice.sqlite") == down


def test_what_an_older_form_has_no_place_for_is_counted(tmp_path: Path) -> None:
    log = made(NEWEST, tmp_path / "log.sqlite")
    third = {"moments of sessions": 2, "dates told": 4, "planned exercises": 3, "remarks": 2}
    second = third | {
        "tries with what was asked": 4,
        "tries with findings beside the tone": 2,
        "tries called restarted, now other": 1,
    }
    first = second | {"tries with how easily they spoke": 3}
    for form, dropped in ((3, third), (2, second), (1, first)):
        assert as_form(log, form, tmp_path / f"{form}.sqlite") == dropped
    assert shell(tmp_path / "2.sqlite", "SELECT outcome FROM attempt WHERE session = 3 AND number = 4") == "other\n"


def test_what_was_left_out_is_not_in_the_bytes_of_the_copy(tmp_path: Path) -> None:
    log = made(NEWEST, tmp_path / "log.sqlite")
    assert b"a detour helps" in log.read_bytes()
    as_form(log, 3, tmp_path / "old.sqlite")
    assert b"a detour helps" not in (tmp_path / "old.sqlite").read_bytes()
    assert shell(tmp_path / "old.sqlite", "PRAGMA freelist_count") == "0\n"


def test_a_copy_that_fails_half_way_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = made(NEWEST, tmp_path / "log.sqlite")
    (tmp_path / "out").mkdir()

    def fails(_: object, part: Path, form: int) -> dict[str, int]:
        part.write_bytes(b"half")
        raise LogFault(f"invented, at form {form}")

    monkeypatch.setattr(back, "_copied", fails)
    with pytest.raises(LogFault, match="invented, at form 1"):
        as_form(log, 1, tmp_path / "out" / "old.sqlite")
    assert not list((tmp_path / "out").iterdir())


def test_the_log_itself_stays_as_it_is_and_nothing_lies_beside_the_copy(tmp_path: Path) -> None:
    log = made(NEWEST, tmp_path / "log.sqlite")
    before = rows(log)
    (tmp_path / "out").mkdir()
    as_form(log, 1, tmp_path / "out" / "old.sqlite")
    assert rows(log) == before
    assert [file.name for file in (tmp_path / "out").iterdir()] == ["old.sqlite"]


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    log = made(NEWEST, tmp_path / "log.sqlite")
    (tmp_path / "old.sqlite").write_text("precious")
    for out in (tmp_path / "old.sqlite", log):
        before = out.read_bytes()
        with pytest.raises(
            LogFault, match="is there already and is not written over; name a file that is not there yet"
        ):
            as_form(log, 1, out)
        assert out.read_bytes() == before


@pytest.mark.parametrize("form", [0, NEWEST + 1])
def test_a_form_that_never_was_is_told(form: int, tmp_path: Path) -> None:
    log = made(NEWEST, tmp_path / "log.sqlite")
    with pytest.raises(BadInput, match=rf"There is no form {form} of the log; .* knows the forms 1 to {NEWEST}\."):
        as_form(log, form, tmp_path / "old.sqlite")


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    log = made(NEWEST, tmp_path / "log.sqlite")
    with pytest.raises(LogFault, match=r"/proc/old\.sqlite cannot be written"):
        as_form(log, 1, Path("/proc/old.sqlite"))
