"""The table for other programs can be read back by another program's reader."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from airladder.export.columns import COLUMNS
from airladder.export.contents import Contents
from airladder.export.out import export
from airladder.export.table import write_csv
from airladder.journal.log import Log


def rows_of(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline="")))


def written(contents: Contents) -> list[dict[str, str]]:
    out = io.StringIO(newline="")
    write_csv(contents, out)
    return rows_of(out.getvalue().encode())


def test_every_try_is_one_row_under_one_header(contents: Contents) -> None:
    rows = written(contents)
    assert [(row["session"], row["number"], row["player"]) for row in rows] == [
        ("1", "1", "real"),
        ("1", "2", "real"),
        ("2", "1", "invented"),
        ("3", "1", "real"),
        ("4", "1", "real"),
    ]
    assert rows[0]["source"] == 'recording "low", B♭\r\nsecond line.wav'


def test_a_row_says_all_that_the_log_knows_of_a_try(contents: Contents) -> None:
    row = written(contents)[2]
    assert list(row.items())[:32] == [
        ("session", "2"),
        ("date", "2026-05-31T23:30:12+02:00"),
        ("date_known", "1"),
        ("started", "2026-05-31T23:30:12+02:00"),
        ("trust", "known"),
        ("boot", "1"),
        ("boottime_s", "125.500"),
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
        ("speak_ms", "120.5"),
        ("path", "2:0.250 -:0.125 3:1.875"),
        ("split", "0.06"),
        ("level_dbfs", "-21.5"),
        ("attack_s", ""),
        ("attack_known_at_s", ""),
        ("attack_kind", ""),
    ]


def test_what_was_asked_and_found_besides_stands_in_columns_of_its_own(contents: Contents) -> None:
    row = written(contents)[4]
    assert list(row.items())[32:] == [
        *(("attack_rise_ms", "34.5"), ("attack_confidence", "0.80")),
        *(("push_db", "-33.2"), ("unsteady_db", "0.8"), ("clipped", "0.12")),
        *(("asked_exercise", "compare"), ("asked_fingering", "F4"), ("task", "usual"), ("partials", "1")),
        *(("start_wanted", "air"), ("hold_wanted_s", "8.0"), ("swell_wanted", "1"), ("cold", "0")),
        *(("beside_fingering", "Bb3"), ("beside_partial", "3"), ("interval", "octave"), ("complete", "0")),
        *(("difference_cents", "-7.12"), ("guess", "sharp")),
        *(("sung_hz", "207.500"), ("sung_cents", "-14.25"), ("sung_spread_cents", "5.00"), ("swell_db", "6.2")),
    ]


def test_a_wrong_clock_stays_in_its_column_and_the_date_goes_on(contents: Contents) -> None:
    """The clock of session 3 was a year behind: its order is that of the switch-ons."""
    row = written(contents)[3]
    assert row["started"] == "2025-05-31T23:30:12+02:00"
    assert (row["trust"], row["boot"], row["boottime_s"], row["date_known"]) == ("carried", "2", "17.062", "0")
    assert "2026-05-31T23:30:12+02:00" < row["date"] <= "2026-06-09T23:30:12+02:00"


def test_what_did_not_sound_is_left_empty(contents: Contents) -> None:
    row = written(contents)[1]
    names = [column.name for column in COLUMNS]
    assert {row[name] for name in names[names.index("start_s") :]} == {""}


def test_the_form_is_that_of_rfc_4180(contents: Contents, tmp_path: Path) -> None:
    """CR LF ends a line; a field with a quote, comma or line end is quoted, its quotes doubled (2.1, 2.6, 2.7)."""
    export(contents, tmp_path / "tries.csv")
    content = (tmp_path / "tries.csv").read_bytes()
    assert content.startswith(b"session,date,date_known,")
    assert content.endswith(b"\r\n")
    assert content.count(b"\n") == content.count(b"\r\n")
    assert ',"recording ""low"", B♭\r\nsecond line.wav",'.encode() in content
    assert {len(row) for row in csv.reader(io.StringIO(content.decode(), newline=""))} == {len(COLUMNS)}


def test_an_empty_log_gives_the_header_alone(path: Path) -> None:
    out = io.StringIO(newline="")
    with Log(path) as log:
        write_csv(Contents(log), out)
    assert out.getvalue() == ",".join(column.name for column in COLUMNS) + "\r\n"
