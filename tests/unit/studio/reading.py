"""Reads a studio and a log by other means than those that wrote them: DuckDB for Parquet, plain SQL for SQLite."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import duckdb


def parquet(studio: Path, query: str) -> list[tuple[Any, ...]]:
    """What a query finds in the studio, in which ``{tries}`` and the like stand for the files of a table."""
    tables = {
        name: f"read_parquet('{studio}/{name}/*{deeper}/*.parquet', hive_partitioning = true)"
        for name, deeper in (("tries", "/*"), ("sessions", ""), ("rungs", ""), ("plateaus", ""))
    }
    with duckdb.connect() as connection:
        return connection.execute(query.format(**tables)).fetchall()


def sqlite(drive: Path, query: str) -> list[tuple[Any, ...]]:
    """What a query finds in the log of a drive."""
    with closing(sqlite3.connect(drive / "log.sqlite")) as connection:
        return connection.execute(query).fetchall()


def columns(drive: Path) -> list[str]:
    """The columns of the log's tries."""
    return [row[0] for row in sqlite(drive, "SELECT name FROM pragma_table_info('attempt')")]
