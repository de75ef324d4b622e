"""What runs the queries: DuckDB in this very program, or Spark where there are more tries than one computer can hold.

The queries (`queries/*.sql`) are written once, in the SQL that both understand; each engine gets the very same text.
Neither library is imported before it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path
from string import Template
from types import MappingProxyType
from typing import Any

from airladder.faults import BadInput, LogFault, did_you_mean
from airladder.studio.libraries import imported

LEAST = 5
"""Of fewer players nothing is told: one of them could be told from the others."""

SESSIONS = 50
"""So many of the first and of the newest sessions of a player are looked at: two months and more."""

TONES = 10
"""Of fewer tones of a player than this no distribution is made."""

Rows = list[dict[str, Any]]
Ask = Callable[[str], Rows]
"""Gives the rows that the query of that name finds."""

_TABLES = {"tries": "*/*/*.parquet", "sessions": "*/*.parquet", "rungs": "*/*.parquet", "plateaus": "*/*.parquet"}


def text_of(name: str) -> str:
    """The SQL of the query `name`, as both engines get it."""
    text = (files("airladder.studio") / "queries" / f"{name}.sql").read_text(encoding="utf-8")
    return Template(text).substitute(least=LEAST, sessions=SESSIONS, tones=TONES)


@contextmanager
def duckdb(studio: Path, settings: Mapping[str, str] = MappingProxyType({})) -> Iterator[Ask]:
    """DuckDB, on one computer: as many threads as it has, no more than 80 % of its memory, the rest on the disk.

    Parameters
    ----------
    settings : of DuckDB's own, such as ``{"threads": "1"}``
    """
    library = imported("duckdb", "studio")
    with _told(studio, library.Error), library.connect() as connection:
        own = {"temp_directory": str(studio.resolve() / ".spill"), "enable_progress_bar": "false"}
        for name, value in {**own, **settings}.items():
            connection.execute(f"SET {name} = '{_quoted(value)}'")
        for table, pattern in _TABLES.items():
            where = _quoted(str(studio.resolve() / table / pattern))
            connection.execute(
                f"CREATE VIEW {table} AS SELECT * FROM read_parquet('{where}', hive_partitioning = true, "
                "hive_types_autocast = false)"
            )

        def ask(name: str) -> Rows:
            found = connection.execute(text_of(name))
            names = [column[0] for column in found.description]
            return [dict(zip(names, row, strict=True)) for row in found.fetchall()]

        yield ask


@contextmanager
def spark(studio: Path) -> Iterator[Ask]:
    """Spark: the cluster that its settings name, or all cores of this computer (``local[*]``) if they name none."""
    library = imported("pyspark.sql", "spark")
    builder = library.SparkSession.builder.appName("airladder merge")
    session = (
        builder.config("spark.sql.sources.partitionColumnTypeInference.enabled", "false")
        .config("spark.ui.enabled", "false")
        .config("spark.ui.showConsoleProgress", "false")
        .getOrCreate()
    )
    session.sparkContext.setLogLevel("ERROR")
    try:
        with _told(studio, imported("pyspark.errors", "spark").PySparkException):
            for table in _TABLES:
                session.read.parquet(str(studio.resolve() / table)).createOrReplaceTempView(table)
            yield lambda name: [row.asDict() for row in session.sql(text_of(name)).collect()]
    finally:
        session.stop()


ENGINES = {"duckdb": duckdb, "spark": spark}


def engine_named(name: str) -> Callable[[Path], Any]:
    """The engine of that name.

    Raises
    ------
    BadInput : when there is none.
    """
    if name not in ENGINES:
        raise BadInput(f"'{name}' is no engine{did_you_mean(name, ENGINES)}")
    return ENGINES[name]


@contextmanager
def _told(studio: Path, error: type[Exception]) -> Iterator[None]:
    """Turn what an engine says into a sentence."""
    try:
        yield
    except error as said:
        why = " ".join(str(said).split("\n\n")[0].split())
        raise LogFault(
            f"The tables of {studio} cannot be looked at ({why}); remove the file that it names and merge "
            "its drive again."
        ) from said


def _quoted(text: str) -> str:
    return text.replace("'", "''")
