"""An export is put in place whole, or nothing of it; a log in trouble is said in one sentence."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from airladder.export.contents import Contents
from airladder.export.out import WRITERS, export, export_session
from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt


@pytest.mark.parametrize("ending", list(WRITERS))
def test_the_standard_output_gets_the_same_bytes(
    ending: str, contents: Contents, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    export(contents, tmp_path / "tries", WRITERS[ending])
    export(contents, None, WRITERS[ending])
    out = capfdbinary.readouterr().out
    assert out == (tmp_path / "tries").read_bytes()
    assert "B♭".encode() in out


FULL_OUTPUT = """
import sys
from pathlib import Path

from airladder.export.contents import Contents
from airladder.export.out import export
from airladder.journal.log import Reader

with Reader(Path(sys.argv[1])) as log:
    try:
        export(Contents(log), None)
    except OSError as fault:
        print(fault, file=sys.stderr)
"""


def test_a_standard_output_that_is_full_is_told(
    log: Reader, other_program: Callable[..., subprocess.Popen[str]]
) -> None:
    """Linux, full(4): writing to /dev/full gives ENOSPC."""
    with Path("/dev/full").open("w") as full:
        program = other_program(FULL_OUTPUT, log.path, stdout=full, stderr=subprocess.PIPE)
        _, said = program.communicate()
    assert said.startswith("There is no room to write the standard output; the log itself is whole: make")


def test_a_log_that_turns_out_damaged_leaves_the_old_export_as_it_was(
    tmp_path: Path, path: Path, head: Head, tried: Callable[..., Attempt]
) -> None:
    with Log(path) as log:
        session_id = log.begin(head, tried(1))
        for number in range(2, 400):
            log.keep(session_id, tried(number))
    content = path.read_bytes()
    half = len(content) // 8192 * 4096
    path.write_bytes(content[:half] + b"\xa5" * (len(content) - half - 4096) + content[-4096:])
    (tmp_path / "tries.csv").write_text("old")
    with Reader(path) as log, pytest.raises(LogFault, match="is no log that can be read"):
        export(Contents(log), tmp_path / "tries.csv")
    assert (tmp_path / "tries.csv").read_text() == "old"
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["airladder", "tries.csv"]


def test_the_log_is_not_replaced_by_its_own_export(contents: Contents, path: Path) -> None:
    for write in (export, lambda contents, path: export_session(contents, 1, path)):
        with pytest.raises(LogFault, match="is the log itself"):
            write(contents, path)
    assert path.read_bytes().startswith(b"SQLite format 3")


def test_a_session_is_put_in_place_as_midi(contents: Contents, tmp_path: Path) -> None:
    export_session(contents, 4, tmp_path / "00004.mid")
    assert (tmp_path / "00004.mid").read_bytes().startswith(b"MThd\0\0\0\6\0\1\0\2")


def test_a_session_that_is_not_there_is_told(contents: Contents, tmp_path: Path) -> None:
    with pytest.raises(LogFault, match="There is no session 9 in the log"):
        export_session(contents, 9, tmp_path / "00009.mid")
    assert not (tmp_path / "00009.mid").exists()
