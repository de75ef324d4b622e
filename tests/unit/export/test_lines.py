"""One JSON object a try, with all digits that the log has."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from airladder.export.columns import COLUMNS, SESSION, TRY
from airladder.export.contents import Contents
from airladder.export.forms import FORMS, number
from airladder.export.lines import write_lines
from airladder.export.table import write_csv
from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt


def lines_of(contents: Contents) -> list[dict[str, Any]]:
    out = io.StringIO(newline="")
    write_lines(contents, out)
    *lines, last = out.getvalue().split("\n")
    assert last == ""
    return [json.loads(line) for line in lines]


def test_a_line_says_all_that_the_log_knows_of_a_try(contents: Contents) -> None:
    assert lines_of(contents)[4] == {
        "session": {
            "number": 4,
            "date": "2026-06-09T23:30:12+02:00",
            "date_known": True,
            "started": "2026-06-09T23:30:12+02:00",
            "trust": "known",
            "boot": 3,
            "boottime_s": 3.0,
            "source": "microphone clip-on",
            "player": "real",
            "horn": "alto",
            "fingering": "Bb3",
            "a4_hz": 440.0,
            "against": "tempered",
            "exercise": "partials rising",
            "version": "0.1.0",
        },
        "number": 1,
        "t_s": 6.0,
        "wanted": 1,
        "outcome": "spoke",
        "tone": {
            "start_s": 10.5,
            "end_s": 12.75,
            "partial": 3,
            "hz": 415.1,
            "cents": -7.25,
            "spread_cents": 2.5,
            "speak_ms": 120.5,
            "path": [
                {"partial": 2, "seconds": 0.25},
                {"partial": None, "seconds": 0.125},
                {"partial": 3, "seconds": 1.875},
            ],
            "split": 0.0625,
            "level_dbfs": -21.5,
            "attack": {"t_s": 10.5, "known_at_s": 10.56, "kind": "air", "rise_ms": 34.5, "confidence": 0.8},
            "push_db": -33.25,
            "unsteady_db": 0.75,
            "clipped": 0.125,
        },
        "asked": {
            "exercise": "compare",
            "fingering": "F4",
            "task": "usual",
            "partials": [1],
            "start": "air",
            "hold_s": 8.0,
            "swell": True,
            "cold": False,
            "beside": {"fingering": "Bb3", "partial": 3, "interval": "octave"},
            "complete": False,
        },
        "difference_cents": -7.125,
        "guess": "sharp",
        "sung": {"hz": 207.5, "cents": -14.25, "spread_cents": 5.0},
        "swell_db": 6.25,
    }


def test_a_group_of_which_nothing_is_known_is_null(contents: Contents) -> None:
    silent, no_attack = lines_of(contents)[1:3]
    assert (silent["tone"], silent["asked"], silent["sung"]) == (None, None, None)
    assert no_attack["tone"]["attack"] is None
    assert no_attack["tone"]["hz"] == 415.1


def test_what_is_infinite_is_null_and_the_line_stays_json(
    path: Path, head: Head, tried: Callable[..., Attempt]
) -> None:
    """RFC 8259, 6: there is no number for it."""
    with Log(path) as log:
        log.begin(head, replace(tried(1), difference_cents=float("-inf")))
        (line,) = lines_of(Contents(log))
    assert line["difference_cents"] is None


def test_csv_and_json_say_the_same(contents: Contents) -> None:
    """Every field of CSV is what its form makes of the value at the column's place in JSON."""
    out = io.StringIO(newline="")
    write_csv(contents, out)
    for line, row in zip(lines_of(contents), rows(out.getvalue()), strict=True):
        for column, field in zip(COLUMNS, row, strict=True):
            value: Any = line
            for step in column.place.split("."):
                value = None if value is None else value[step]
            assert field == said(value, field), column.name


def said(value: Any, field: str) -> str:
    """What CSV should have for a value of JSON."""
    match value:
        case None:
            return ""
        case bool():
            return str(int(value))
        case float():
            return f"{value:.{len(field.partition('.')[2])}f}"
        case [{"partial": _}, *_]:
            return " ".join(f"{part['partial'] or '-'}:{part['seconds']:.3f}" for part in value)
        case list():
            return " ".join(map(str, value))
    return str(value)


def rows(content: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content, newline="")))[1:]


@given(value=st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_has_all_its_digits_in_json(value: float) -> None:
    for form in (number(2), FORMS["plain"]):
        assert json.loads(json.dumps(form.value(value))) == value


def test_every_place_and_every_name_is_used_once() -> None:
    assert len({column.name for column in COLUMNS}) == len({column.place for column in COLUMNS}) == len(COLUMNS)
    assert all(column.place.startswith("session.") for column in SESSION)
    assert not any(column.place.startswith("session.") for column in TRY)
