"""Programs that are not ours read the same values from the exports as the log has: DuckDB, and pandas."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import duckdb
import pandas
import pytest

import tenyears
from airladder.export.contents import Contents
from airladder.export.out import WRITERS, export
from airladder.journal.log import Log
from airladder.journal.records import Head
from unit.export.conftest import Trier

TRIES = 12 * 40


@pytest.fixture
def practised(path: Path, head: Head, tried: Trier) -> Iterator[Contents]:
    """Days of invented practice, and a session whose source has what is hard in CSV."""
    tenyears.make(path, days=40, tries=12)
    with Log(path) as log:
        log.begin(replace(head, source='a "quoted", name\r\nwith a line end; B♭'), tried(1, attack=None))
        yield Contents(log)


def kept(contents: Contents) -> list[dict[str, Any]]:
    """What the log has, by a way of its own: the objects of the journal."""
    return [
        {
            "session": session,
            "source": head.source,
            "started": head.started.timestamp(),
            "number": attempt.number,
            "outcome": attempt.outcome.value,
            "hz": attempt.tone and attempt.tone.hz,
            "cents": attempt.tone and attempt.tone.cents,
            "kind": attempt.tone and attempt.tone.attack and attempt.tone.attack.kind,
            "fingering": attempt.asked and attempt.asked.fingering,
            "path": attempt.tone and list(attempt.tone.path),
        }
        for session, head, attempt in contents.log.tries()
    ]


def test_duckdb_reads_the_csv_as_the_log_has_it(practised: Contents, tmp_path: Path) -> None:
    export(practised, tmp_path / "tries.csv")
    found = duckdb.execute(
        "SELECT session, source, epoch(started) AS started, number, outcome, hz, cents, attack_kind AS kind,"
        f" asked_fingering AS fingering FROM read_csv('{tmp_path / 'tries.csv'}')"
    ).fetchall()
    assert len(found) == TRIES + 1
    for row, true in zip(found, kept(practised), strict=True):
        session, source, started, number, outcome, hz, cents, *rest = row
        assert (session, source, number, outcome) == tuple(
            true[n] for n in ("session", "source", "number", "outcome")
        )
        assert started == math.floor(true["started"])
        assert rest == [true["kind"], true["fingering"]]
        assert hz == (None if true["hz"] is None else pytest.approx(true["hz"], abs=0.00051))
        assert cents == (None if true["cents"] is None else pytest.approx(true["cents"], abs=0.0051))


def test_pandas_reads_the_csv_as_the_log_has_it(practised: Contents, tmp_path: Path) -> None:
    export(practised, tmp_path / "tries.csv")
    table = pandas.read_csv(tmp_path / "tries.csv", parse_dates=["date"], date_format="ISO8601")
    true = pandas.DataFrame(kept(practised))
    assert table["session"].tolist() == true["session"].tolist()
    assert table["source"].tolist() == true["source"].tolist()
    assert (table["hz"] - true["hz"].astype(float)).abs().max() < 0.00051
    assert table["hz"].isna().tolist() == true["hz"].isna().tolist()
    assert table["cents"].isna().tolist() == true["cents"].isna().tolist()


def test_duckdb_reads_the_lines_as_the_log_has_them_to_the_last_digit(practised: Contents, tmp_path: Path) -> None:
    export(practised, tmp_path / "tries.jsonl", WRITERS["jsonl"])
    found = duckdb.execute(
        "SELECT session.number, session.source, epoch(session.started::TIMESTAMPTZ), number, outcome, tone.hz,"
        " tone.cents, tone.attack.kind, asked.fingering, tone.path"
        f" FROM read_json('{tmp_path / 'tries.jsonl'}', format = 'newline_delimited')"
    ).fetchall()
    true = [
        {**row, "path": row["path"] and [{"partial": p, "seconds": s} for p, s in row["path"]]}
        for row in kept(practised)
    ]
    assert found == [tuple(row.values()) for row in true]
