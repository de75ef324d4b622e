"""The tables of a studio: their columns, and where their files lie.

Conventions
-----------
``tries`` holds the tries as the log has them (every column, the very values; units as in the log's schema), with what
is true of their session beside them; ``sessions`` one row a session; ``rungs`` and ``plateaus`` what the coach knows
of each device. The tries are partitioned by device and month, ``tries/device=DEVICE/month=YYYY-MM/tries.parquet``,
the others by device. Whether the demo invented it, a date and whether it is known go along; where the sound came from
does not: the name of a recording may say who played.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from airladder.faults import LogFault
from airladder.journal.log import Reader

if TYPE_CHECKING:
    import pyarrow as pa

SESSIONS = {
    "session": "int64",
    "place": "int64",
    "key": "string",
    "month": "string",
    "date": "date32",
    "date_known": "bool",
    "started": "string",
    "boot": "int64",
    "boottime_s": "double",
    "trust": "string",
    "invented": "bool",
    "horn": "string",
    "fingering": "string",
    "a4_hz": "double",
    "against": "string",
    "exercise": "string",
    "version": "string",
    "tries": "int64",
}
"""`place` counts the sessions of the device in their order: by switch-on, time since it, and number."""

OF_SESSION = ("place", "date", "date_known", "invented", "horn", "fingering", "a4_hz", "against")
"""What of its session stands beside every try."""

RUNGS = {"horn": "string", "fingering": "string", "partial": "int64", "known": "bool", "tries": "int64"}
PLATEAUS = {"horn": "string", "fingering": "string", "partial": "int64", "over": "bool", "helped": "bool"}
"""`over`: whether a detour round it is over; `helped` is empty where that cannot be told."""

_ARROW = {"int64": "int64", "double": "float64", "string": "string", "bool": "bool_", "date32": "date32"}
_TYPES = {"INTEGER": "int64", "REAL": "double", "TEXT": "string"}


def tries_columns(log: Reader) -> dict[str, str]:
    """The columns of ``tries``: those of the log's own table after those of the session."""
    own = {
        row["name"]: _TYPES[row["type"]] for row in log.rows("SELECT name, type FROM pragma_table_info('attempt')")
    }
    return {"session": own.pop("session"), **{name: SESSIONS[name] for name in OF_SESSION}, **own}


def schema(columns: dict[str, str]) -> pa.Schema:
    """The same for Arrow."""
    import pyarrow as pa

    return pa.schema([(name, getattr(pa, _ARROW[kind])()) for name, kind in columns.items()])


def path_of(studio: Path, table: str, device: str) -> Path:
    """Where the rows of a device lie in every table but ``tries``."""
    return studio / table / f"device={device}" / f"{table}.parquet"


def held(path: Path) -> pa.Table:
    """The rows of one file.

    Raises
    ------
    LogFault : when it is damaged.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        return pq.ParquetFile(path).read()
    except (OSError, pa.ArrowException) as error:
        raise LogFault(f"{path} is damaged; remove that file and merge the drive of this box once more.") from error


def batches(rows: Iterator[Sequence[Any]], columns: dict[str, str], size: int = 50_000) -> Iterator[pa.RecordBatch]:
    """The rows as Arrow's, so many at a time: the memory stays the same however many there are."""
    from itertools import islice

    import pyarrow as pa

    fields = schema(columns)
    while held := list(islice(rows, size)):
        arrays = [pa.array(values, field.type) for values, field in zip(zip(*held, strict=True), fields, strict=True)]
        yield pa.RecordBatch.from_arrays(arrays, schema=fields)
