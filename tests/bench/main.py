"""Runs the benchmark: everyone hears every row, and the tables are printed and kept. `run` sets up and calls it."""

from __future__ import annotations

import argparse
import json
import multiprocessing
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict
from pathlib import Path

from bench.attack_tables import attack_tables
from bench.corpus import rows
from bench.cost import LADDER, cost_tables, longest_anywhere
from bench.delays import OwnDelay, own_delay
from bench.judge import Mark
from bench.listening_in import OURS, Heard, Job, detector_offsets, hear
from bench.machine import machine
from bench.note_tables import note_tables
from bench.peers import PEERS
from bench.pitch_tables import pitch_tables
from bench.plots import draw, draw_ladder
from bench.reach import reach_table
from bench.store import CACHE
from bench.tables import Table
from bench.targets import target_table

HERE = Path(__file__).parent
PROCESSES = 2


def options(words: list[str]) -> argparse.Namespace:
    """The words of the command line."""
    parser = argparse.ArgumentParser(prog="sh tests/bench/run", description=__doc__)
    parser.add_argument("--share", type=float, default=1.0, help="of every row, e.g. 0.1; always the same clips")
    parser.add_argument("--half", choices=["checking", "tuning"], default="checking")
    parser.add_argument(
        "--rows", nargs="+", default=[], metavar="WORD", help="only rows that hold one of these words"
    )
    parser.add_argument("--only", choices=["ours"], help="leave the peers out")
    parser.add_argument("--cost", action="store_true", help="also measure what everyone costs (alone on the machine)")
    parser.add_argument("--hour", action="store_true", help="also feed us an hour of sound and watch the memory")
    parser.add_argument("--out", type=Path, default=CACHE / "last", help="where JSON, tables and plots go")
    parser.add_argument("--keep", action="store_true", help="write tests/bench/RESULTS.md and plots/ as well")
    chosen = parser.parse_args(words)
    chosen.rows = [row for row in rows() if not chosen.rows or any(word in row for word in chosen.rows)]
    if not chosen.rows:
        parser.error(f"no row holds these words; there are: {', '.join(rows())}")
    return chosen


def main(words: list[str]) -> int:
    """0 when it ran to its end, whatever the figures."""
    chosen = options(words)
    started = time.monotonic()
    _say(machine())
    _say("measuring by how much each listener lags")
    with ProcessPoolExecutor(PROCESSES, multiprocessing.get_context("forkserver")) as pool:
        jobs = list(_jobs(chosen))
        _say(f"{len(jobs)} rows, {chosen.half} half, {chosen.share:g} of the clips")
        heard = []
        for done in pool.map(hear, jobs):
            heard.append(done)
            _say(f"{time.monotonic() - started:5.0f} s  {_in_short(done)}")
    tables = _tables(heard, jobs[0])
    if chosen.cost or chosen.hour:
        tables += cost_tables(hour=chosen.hour)
    for table in tables:
        _say("\n" + table.markdown())
    _write(chosen, heard, tables)
    return 0


def _jobs(chosen: argparse.Namespace) -> Iterator[Job]:
    peers = chosen.only != "ours"
    own: dict[str, OwnDelay] = {OURS.name: own_delay(OURS)}
    own |= {peer.name: own_delay(peer) for peer in PEERS if peers}
    offsets = detector_offsets() if peers else {}
    return (Job(row, chosen.half, chosen.share, peers, own, offsets) for row in chosen.rows)


def _in_short(heard: Heard) -> str:
    mine = [mark for mark in heard.marks if mark.listener == OURS.name and mark.partial is not None]
    hops, right, wrong = (sum(getattr(mark, name) for mark in mine) for name in ("hops", "right", "wrong"))
    figures = f"right {100 * right / hops:.2f} wrong {100 * wrong / hops:.2f}" if hops else ""
    return f"{heard.row}: {heard.clips} clips {figures}"


def _tables(heard: list[Heard], job: Job) -> list[Table]:
    marks = [mark for one in heard for mark in one.marks]
    found, starts = [f for one in heard for f in one.found], [s for one in heard for s in one.starts]
    look_ahead = {OURS.name: 0.0} | {peer.name: peer.look_ahead_s for peer in PEERS}
    return [
        *reach_table(marks, OURS.name),
        *target_table(marks, found, starts, OURS.name),
        *pitch_tables(marks, job.own, look_ahead),
        *note_tables(marks, OURS.name),
        *attack_tables(found, starts),
        longest_anywhere([longest for one in heard for longest in one.longest_hops]),
    ]


def _write(chosen: argparse.Namespace, heard: list[Heard], tables: list[Table]) -> None:
    chosen.out.mkdir(parents=True, exist_ok=True)
    marks = [mark for one in heard for mark in one.marks]
    about = f"{chosen.half} half, {chosen.share:g} of the clips. {machine()}."
    about += " ".join(f" {peer.name} was asked {peer.share:g} of these." for peer in PEERS if peer.share < 1.0)
    page = f"# What everyone hears\n\n{about}\n\n" + "\n".join(table.markdown() for table in tables)
    ours = [_brief(mark) for mark in marks if mark.listener == OURS.name]
    result = {"about": about, "tables": [asdict(table) for table in tables], "ours": ours}
    (chosen.out / "results.json").write_text(json.dumps(result), encoding="utf-8")
    (chosen.out / "RESULTS.md").write_text(page, encoding="utf-8")
    _draw(marks, tables, chosen.out)
    if chosen.keep:
        (HERE / "RESULTS.md").write_text(page, encoding="utf-8")
        _draw(marks, tables, HERE / "plots")
    _say(f"kept in {chosen.out}")


def _draw(marks: list[Mark], tables: list[Table], folder: Path) -> None:
    draw(marks, folder)
    for table in (table for table in tables if table.title == LADDER):
        draw_ladder(table, folder)


def _brief(mark: Mark) -> dict[str, object]:
    """A mark without its long list, for looking up which clips went wrong."""
    return {name: value for name, value in asdict(mark).items() if name not in ("listener", "cents")}


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
