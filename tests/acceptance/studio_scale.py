"""What the page of a group costs, from ten invented players to a thousand, ten years each, and how that grows.

Run by hand: ``PYTHONPATH=tests python -m acceptance.studio_scale FOLDER DISTINCT [SIZE...]``. So many DISTINCT
players are made, 11 MB and 3 s each; those that are in FOLDER already are not made again. Where a size is larger,
several players bear the same tries: each is read and counted as one of its own, but the disk is asked for them only
once. Each size is measured in a program of its own: DuckDB with one thread and 4 GB.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np

from acceptance.studio_players import device, make

SIZES = (10, 30, 100, 300, 1000)
TABLES = ("tries", "sessions", "rungs", "plateaus")
SETTINGS = {"threads": "1", "memory_limit": "4GB"}

_MEASURED = """
import json, re, resource, sys, time
from pathlib import Path
from airladder.studio import engines, group

studio, took = Path(sys.argv[1]), {}
begun = time.monotonic()
with engines.duckdb(studio, json.loads(sys.argv[2])) as ask:
    took["open"] = time.monotonic() - begun

    def timed(name):
        started = time.monotonic()
        rows = ask(name)
        took[name] = time.monotonic() - started
        return rows

    group.write(timed, studio)
used = resource.getrusage(resource.RUSAGE_SELF)
wall, cpu = time.monotonic() - begun, used.ru_utime + used.ru_stime
# The kernel's own figure of this program alone: ru_maxrss has the parent's memory before exec in it.
peak = int(re.search(r"VmHWM:\\s*(\\d+) kB", Path("/proc/self/status").read_text())[1])
sys.stdout.write(json.dumps({"s": wall, "cpu": cpu, "kb": peak, "took": took}))
"""


def main(folder: Path, distinct: int, sizes: tuple[int, ...]) -> None:
    """Make the players that are missing, measure every size, print a table in Markdown."""
    _make(folder / "all", distinct)
    _say(f"{distinct} distinct players.\n")
    _say("| players | tries | files | page, s | CPU, s | peak memory, MB | the slowest queries, s |")
    _say("|---|---|---|---|---|---|---|")
    rows = []
    for players in sizes:
        studio = folder / f"of-{players}"
        files = _linked(folder / "all", studio, players, distinct)
        found = _measured(studio)
        rows.append((players, found["s"], found["cpu"], found["kb"] / 1024))
        slowest = sorted(found["took"].items(), key=lambda item: -item[1])[:4]
        told = ", ".join(f"{name} {seconds:.1f}" for name, seconds in slowest)
        _say(
            f"| {players} | {players * 730_000:,} | {files:,} | {found['s']:.1f} | {found['cpu']:.1f} "
            f"| {found['kb'] / 1024:.0f} | {told} |"
        )
        shutil.rmtree(studio)
    if len(rows) > 1:
        of, *measured = np.log(np.array(rows).T)
        slopes = [np.polyfit(of, column, 1)[0] for column in measured]
        _say("\nLog-log slopes: time {:.2f}, CPU {:.2f}, memory {:.2f} (1 is as the tries grow).".format(*slopes))


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _make(studio: Path, players: int) -> None:
    import duckdb

    with duckdb.connect() as connection:
        for name, value in SETTINGS.items():
            connection.execute(f"SET {name} = '{value}'")
        for player in range(players):
            if not any(studio.glob(f"tries/device={device(player + 1)}")) or player == players - 1:
                shutil.rmtree(studio / "tries" / f"device={device(player)}", ignore_errors=True)
                make(connection, studio, player)


def _linked(whole: Path, studio: Path, players: int, distinct: int) -> int:
    """The first so many players as a studio of their own, by links; how many files of tries it has."""
    shutil.rmtree(studio, ignore_errors=True)
    for table in TABLES:
        for player in range(players):
            of, name = (f"{table}/device={device(number)}" for number in (player % distinct, player))
            shutil.copytree(whole / of, studio / name, copy_function=os.link)
    return sum(1 for _ in studio.glob("tries/*/*/*.parquet"))


def _measured(studio: Path) -> dict[str, Any]:
    words = [sys.executable, "-c", _MEASURED, str(studio), json.dumps(SETTINGS)]
    found: dict[str, Any] = json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout)
    return found


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), tuple(int(word) for word in sys.argv[3:]) or SIZES)
