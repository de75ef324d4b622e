"""The table for other programs can be read back by another program's reader."""

from __future__ import annotations

import csv
import io
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal.export import ASKED_COLUMNS, COLUMNS, FOUND_COLUMNS, export, write_csv
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.judge import Outcome, Voice

Trier = Callable[..., Attempt]


@pytest.fixture
def log(path: Path, head: Head, tried: Trier) -> Iterator[Log]:
    """Two sessions, with a name that needs quoting, and tries with and without a tone."""
    with Log(path) as log:
        session_id = log.begin(replace(head, source='recording "low", B♭\r\nsecond line.wav'), tried(1))
        log.keep(session_id, tried(2, Outcome.NOTHING, tone=None))
        log.begin(replace(head, invented=True, source="demo"), tried(1, attack=None, speak_ms=None))
        yield log


def rows_of(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline="")))


def test_every_try_is_one_row_under_one_header(log: Reader, tmp_path: Path) -> None:
    export(log, tmp_path / "tries.csv")
    rows = rows_of((tmp_path / "tries.csv").read_bytes())
    assert [(row["session"], row["number"], row["player"]) for row in rows] == [
        ("1", "1", "real"),
        ("1", "2", "real"),
        ("2", "1", "invented"),
    ]
    assert rows[0]["source"] == 'recording "low", B♭\r\nsecond line.wav'


def test_a_row_says_all_that_the_log_knows_of_a_try(log: Reader, tmp_path: Path) -> None:
    export(log, tmp_path / "tries.csv")
    row = rows_of((tmp_path / "tries.csv").read_bytes())[2]
    assert list(row.items()) == [
        ("session", "2"),
        ("started", "2026-05-04T18:03:12+02:00"),
        ("source", "demo"),
        ("player", "invented"),
        ("horn", "alto"),
        ("fingering", "Bb3"),
        ("a4_hz", "440"),
        ("against", "tempered"),
        ("exercise", "partials rising"),
        ("version", "0.1.0"),
        ("number", "1"),
        ("t_s", "6.0000"),
        ("wanted", "3"),
        ("outcome", "cracked"),
        ("start_s", "10.5000"),
        ("end_s", "12.7500"),
        ("partial", "3"),
        ("hz", "415.100"),
        ("cents", "-7.25"),
        ("spread_cents", "2.50"),
        ("speak_ms", ""),
        ("path", "2:0.250 -:0.125 3:1.875"),
        ("split", "0.06"),
        ("level_dbfs", "-21.5"),
        ("attack_s", ""),
        ("attack_known_at_s", ""),
        ("attack_kind", ""),
        ("attack_rise_ms", ""),
        ("attack_confidence", ""),
        ("push_db", "-33.2"),
        ("unsteady_db", "0.8"),
        ("clipped", "0.12"),
        *((name, "") for name in ASKED_COLUMNS + FOUND_COLUMNS),
    ]


def test_what_was_asked_and_found_besides_stands_in_columns_of_its_own(path: Path, head: Head, tried: Trier) -> None:
    asked = Asked("compare", "F4", Task.USUAL, (1,), Start.AIR, 8.0, True, False, "Bb3", 3, "octave")
    found = replace(tried(1, Outcome.SPOKE, wanted=1), asked=asked, difference_cents=-7.125, guess=Guess.SHARP)
    out = io.StringIO(newline="")
    with Log(path) as log:
        log.begin(head, replace(found, sung=Voice(207.5, -14.25, 5.0), swell_db=6.25))
        write_csv(log, out)
    (row,) = rows_of(out.getvalue().encode())
    assert [row[name] for name in ASKED_COLUMNS + FOUND_COLUMNS] == [
        *("compare", "F4", "usual", "1", "air", "8.0", "1", "0", "Bb3", "3", "octave", "0"),
        *("-7.12", "sharp", "207.500", "-14.25", "5.00", "6.2"),
    ]


def test_what_did_not_sound_is_left_empty(log: Reader, tmp_path: Path) -> None:
    export(log, tmp_path / "tries.csv")
    row = rows_of((tmp_path / "tries.csv").read_bytes())[1]
    assert {row[name] for name in COLUMNS[COLUMNS.index("start_s") :]} == {""}


def test_the_form_is_that_of_rfc_4180(log: Reader, tmp_path: Path) -> None:
    """CR LF ends a line; a field with a quote, comma or line end is quoted, its quotes doubled (2.1, 2.6, 2.7)."""
    export(log, tmp_path / "tries.csv")
    content = (tmp_path / "tries.csv").read_bytes()
    assert content.startswith(b"session,started,source,")
    assert content.endswith(b"\r\n")
    assert content.count(b"\n") == content.count(b"\r\n")
    assert ',"recording ""low"", B♭\r\nsecond line.wav",'.encode() in content
    assert {len(row) for row in csv.reader(io.StringIO(content.decode(), newline=""))} == {len(COLUMNS)}


def test_an_empty_log_gives_the_header_alone(path: Path) -> None:
    out = io.StringIO(newline="")
    with Log(path) as log:
        write_csv(log, out)
    assert out.getvalue() == ",".join(COLUMNS) + "\r\n"


def test_the_standard_output_gets_the_same_bytes(
    log: Reader, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    export(log, tmp_path / "tries.csv")
    export(log, None)
    assert capfdbinary.readouterr().out == (tmp_path / "tries.csv").read_bytes()


FULL_OUTPUT = """
import sys
from airladder.cli import main

sys.exit(main(["export", "--log", sys.argv[1]]))
"""


def test_a_standard_output_that_is_full_is_told(
    log: Reader, path: Path, other_program: Callable[..., subprocess.Popen[str]]
) -> None:
    """Linux, full(4): writing to /dev/full gives ENOSPC."""
    with Path("/dev/full").open("w") as full:
        program = other_program(FULL_OUTPUT, path, stdout=full, stderr=subprocess.PIPE)
        _, said = program.communicate()
    assert program.returncode == 4
    assert said.startswith("airladder: There is no room to write the standard output; the log itself is whole: make")


def test_a_log_that_turns_out_damaged_leaves_the_old_export_as_it_was(
    tmp_path: Path, path: Path, head: Head, tried: Trier
) -> None:
    with Log(path) as log:
        session_id = log.begin(head, tried(1))
        for number in range(2, 200):
            log.keep(session_id, tried(number))
    content = path.read_bytes()
    path.write_bytes(content[: 8 * 4096] + b"\xa5" * (len(content) - 9 * 4096) + content[-4096:])
    (tmp_path / "tries.csv").write_text("old")
    with Reader(path) as log, pytest.raises(LogFault, match="is no log that can be read"):
        export(log, tmp_path / "tries.csv")
    assert (tmp_path / "tries.csv").read_text() == "old"


def test_the_log_is_not_replaced_by_its_own_export(log: Reader, path: Path) -> None:
    with pytest.raises(LogFault, match="is the log itself"):
        export(log, path)
    assert path.read_bytes().startswith(b"SQLite format 3")
