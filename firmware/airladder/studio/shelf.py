"""The tables of one device in the studio: what is there, and putting new rows in their place.

Files and folders are written aside and put in place whole, so that a disk that is full leaves all as it was. The
table ``sessions`` comes last: a merge that was broken off is only to be repeated.
"""

from __future__ import annotations

import os
import shutil
from collections import defaultdict
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from airladder.journal.aside import disk_told
from airladder.journal.log import Reader
from airladder.studio.rows import SessionRow, rungs_and_plateaus, tries
from airladder.studio.shape import PLATEAUS, RUNGS, SESSIONS, batches, held, path_of, schema, tries_columns

if TYPE_CHECKING:
    import pyarrow as pa


class Shelf:
    """The files of one device.

    Parameters
    ----------
    studio : the folder of all
    device : its name
    """

    def __init__(self, studio: Path, device: str) -> None:
        self._studio = studio
        self._device = device
        self._tries = studio / "tries" / f"device={device}"

    def sessions(self) -> list[SessionRow]:
        """The sessions that were merged before; none when there were none.

        Raises
        ------
        LogFault : when their file is damaged.
        """
        path = path_of(self._studio, "sessions", self._device)
        return [SessionRow(row) for row in held(path).to_pylist()] if path.exists() else []

    def put(self, log: Reader, new: Sequence[SessionRow], old: Iterable[SessionRow]) -> None:
        """Write what is new or other in `log` than in `old`, and remove the months that are no longer there.

        Raises
        ------
        LogFault : when the log cannot be read or the files cannot be written.
        """
        columns = tries_columns(log)
        fresh = self._tries.with_name(f".{self._tries.name}.new")
        with disk_told(fresh):
            shutil.rmtree(fresh, ignore_errors=True)  # of a merge that was broken off
            try:
                before = _by_month(old)
                for month, sessions in _by_month(new).items():
                    path, kept = (folder / f"month={month}" / "tries.parquet" for folder in (fresh, self._tries))
                    if _seen(sessions) == _seen(before.get(month, [])) and _has_columns(kept, columns):
                        _link(kept, path)
                    else:
                        _write(path, columns, batches(tries(log, sessions, list(columns)), columns))
                _swap(fresh, self._tries)
            finally:
                shutil.rmtree(fresh, ignore_errors=True)
        horns = sorted({session.values["horn"] for session in new if not session.values["invented"]})
        rungs, plateaus = rungs_and_plateaus(log, horns)
        self._write_small("rungs", RUNGS, rungs)
        self._write_small("plateaus", PLATEAUS, plateaus)
        self._write_small("sessions", SESSIONS, [session.values for session in new])

    def _write_small(self, table: str, columns: dict[str, str], rows: Iterable[dict[str, Any]]) -> None:
        path = path_of(self._studio, table, self._device)
        _write(path, columns, batches(iter([tuple(row[name] for name in columns) for row in rows]), columns))


def _by_month(sessions: Iterable[SessionRow]) -> dict[str, list[SessionRow]]:
    months: dict[str, list[SessionRow]] = defaultdict(list)
    for session in sessions:
        months[session.month].append(session)
    return months


def _seen(sessions: Sequence[SessionRow]) -> list[tuple[Any, ...]]:
    return [session.seen for session in sessions]


def _has_columns(path: Path, columns: dict[str, str]) -> bool:
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        return bool(pq.read_schema(path).equals(schema(columns)))
    except (OSError, pa.ArrowException):  # not there, or damaged: it is written anew
        return False


def _write(path: Path, columns: dict[str, str], rows: Iterable[pa.RecordBatch]) -> None:
    import pyarrow.parquet as pq

    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    with disk_told(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with pq.ParquetWriter(part, schema(columns), compression="zstd") as file:
                for batch in rows:
                    file.write_batch(batch)
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)


def _link(kept: Path, path: Path) -> None:
    """The same file at a second place; a copy where the file system has no such links."""
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        path.hardlink_to(kept)
    except OSError:
        shutil.copyfile(kept, path)


def _swap(fresh: Path, place: Path) -> None:
    past = place.with_name(f".{place.name}.past")
    shutil.rmtree(past, ignore_errors=True)
    if place.exists():
        place.rename(past)
    fresh.rename(place)
    shutil.rmtree(past, ignore_errors=True)
