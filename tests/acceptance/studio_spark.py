"""Every query of the studio on DuckDB and on Spark in local mode: the same tables, and the same page of the group.

Run by hand, since Spark needs Java and minutes: ``PYTHONPATH=tests python -m acceptance.studio_spark``.
Two studios: logs of `tenyears` that are merged, and the players of `studio_players`, all of them invented.
"""

from __future__ import annotations

import math
import sqlite3
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path
from typing import Any

import tenyears
from acceptance.studio_players import make
from airladder.studio.engines import ENGINES, Rows
from airladder.studio.joining import join

NAMES = ("totals", "practice", "ladder", "cents", "speak", "starts", "plateaus")
PLAYERS = 7
DAYS, TRIES = 130, 80
WRITTEN = 28


def main() -> int:
    """Make two studios, ask both engines, compare; 0 when all is alike."""
    with tempfile.TemporaryDirectory() as name:
        wrong = _compared(_merged(Path(name))) + _compared(_written(Path(name)))
    _say("all alike" if not wrong else f"differing: {', '.join(wrong)}")
    return 1 if wrong else 0


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _merged(folder: Path) -> Path:
    """Logs that were merged, as a teacher's are."""
    drives = [folder / f"player {number}" / "log.sqlite" for number in range(PLAYERS)]
    for number, log in enumerate(drives):
        log.parent.mkdir()
        tenyears.make(log, DAYS - 5 * number, TRIES, seed=number + 1)
        _switched_on_by_itself(log, number)
    merged = join(drives, folder / "merged")
    assert merged.faults == [], merged.faults
    return folder / "merged"


def _written(folder: Path) -> Path:
    """Players that were written straight into Parquet: with plateaus, and starts that were asked for."""
    import duckdb

    with duckdb.connect() as connection:
        for player in range(WRITTEN):
            make(connection, folder / "written", player, days=60, tries=80)
    join([], folder / "written")
    return folder / "written"


def _compared(studio: Path) -> list[str]:
    """The queries that the engines answer differently, and ``page`` when their pages differ."""
    by_duckdb = (studio / "group.html").read_text("utf-8")
    found = {engine: _asked(engine, studio) for engine in ENGINES}
    wrong = [name for name in NAMES if not _alike(found["duckdb"][name], found["spark"][name])]
    for name in NAMES:
        rows = len(found["duckdb"][name])
        _say(f"{studio.name}, {name}: {rows} rows, {'differing' if name in wrong else 'alike'}")
    join([], studio, "spark")
    return wrong + (["page"] if (studio / "group.html").read_text("utf-8") != by_duckdb else [])


def _switched_on_by_itself(log: Path, number: int) -> None:
    """Give the switch-ons keys of their own: the kernel draws them at random, `tenyears` numbers them."""
    with closing(sqlite3.connect(log, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER boot_stays_on_update")
        connection.execute("UPDATE boot SET key = key || ' of ' || ?", (number,))


def _asked(engine: str, studio: Path) -> dict[str, Rows]:
    begun = time.monotonic()
    with ENGINES[engine](studio) as ask:
        found = {name: ask(name) for name in NAMES}
    _say(f"{engine}: {time.monotonic() - begun:.1f} s")
    return found


def _alike(one: Rows, other: Rows) -> bool:
    """Equal, but for the last digits of sums that were added up in another order."""
    return len(one) == len(other) and all(
        a.keys() == b.keys() and all(_same(a[key], b[key]) for key in a) for a, b in zip(one, other, strict=True)
    )


def _same(a: Any, b: Any) -> bool:
    if isinstance(a, float) and isinstance(b, float):
        return math.isclose(a, b, rel_tol=1e-9, abs_tol=1e-12)
    return type(a) is type(b) and bool(a == b)


if __name__ == "__main__":
    sys.exit(main())
