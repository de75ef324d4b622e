"""`airladder merge`: the drives into the studio, then the page of the group."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.log import Reader
from airladder.report.page import report
from airladder.studio import group
from airladder.studio.engines import engine_named
from airladder.studio.libraries import imported
from airladder.studio.merge import Merged, merge


def join(drives: Sequence[Path], studio: Path, engine: str = "duckdb") -> Merged:
    """Merge the logs of `drives` into the folder `studio`, and write the page of its group anew.

    Parameters
    ----------
    drives : the folders of drives, images of them, or logs
    engine : ``duckdb`` or ``spark``; the queries and the page are the same

    Returns
    -------
    What became of the drives; its `exit_code` is that of the command.

    Raises
    ------
    Fault : when a library is missing, the engine is unknown, or the studio cannot be used.
    """
    opened = engine_named(engine)
    imported("pyarrow.parquet", "studio")
    imported(*{"duckdb": ("duckdb", "studio"), "spark": ("pyspark.sql", "spark")}[engine])
    merged = merge(drives, studio, _page)
    if not any(studio.glob("sessions/*/sessions.parquet")):
        merged.faults.append(LogFault(f"{studio} holds no log yet, so there is no page of the group."))
        return merged
    with opened(studio) as ask:
        group.write(ask, studio)
    return merged


def _page(log: Reader, path: Path) -> None:
    report(log, path, cache=None)
