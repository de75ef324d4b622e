"""What a log of many years costs: report, export and start-up by its length: python -m bench.log_cost.

The logs are invented (`tenyears`), one session of 200 tries a day. Every step runs in a process of its own, as the
board would run it; CPU seconds are those of the whole process, its start included, or of a part of it where the head
says so. A day's increment is what the report takes in its own process once one more day is in the log, the median of
some days. Nothing is asserted: figures depend on this computer. The board's Cortex-A53 at 1 GHz is **assumed** to be
eight times slower than one core of an ordinary computer; nobody here has one to measure.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from matplotlib.figure import Figure

import tenyears
from bench.machine import machine
from bench.store import CACHE
from bench.tables import Table

YEARS = (0.5, 1.0, 2.0, 5.0, 10.0)
DAYS_A_YEAR = 365
TIMES_SLOWER = 8.0
"""The board's core against this computer's: assumed."""

_DAYS_MORE = 5
_TESTS = Path(__file__).parents[1]
_GUEST = """
import json, sys, time
from pathlib import Path

step, path, out = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
from airladder.journal.log import Reader

def run():
    if step == "check":
        from airladder.journal.health import checked
        return lambda: checked(path, whole=False)
    if step == "whole check":
        from airladder.journal.health import checked
        return lambda: checked(path, whole=True)
    log = Reader(path)
    if step == "history":
        from airladder.journal.days import history
        return lambda: history(log, "alto")
    if step == "report":
        from airladder.report.page import report
        return lambda: report(log, out, path.with_name("digest.sqlite"))
    from airladder.export.contents import Contents
    from airladder.export.out import WRITERS, export
    contents = Contents(log)
    months = list(contents.months().values())
    which = months[-2] if step == "csv of a month" else None
    return lambda: export(contents, out, WRITERS[step.split()[0]], which)

work = run()
began = time.process_time()
work()
inner = time.process_time() - began
(line,) = (line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
peak = int(line.split()[1]) / 1024  # ru_maxrss begins with that of the program which started this one
print(json.dumps([time.process_time(), inner, peak]))
"""


@dataclass(frozen=True)
class Cost:
    """CPU seconds of the whole process, those of the step alone, and the most memory it held, MiB."""

    cpu_s: float
    inner_s: float
    peak_mib: float


@dataclass(frozen=True)
class Measured:
    """What was measured of a log of so many years: its tries, sizes in MB, and the cost by step."""

    years: float
    tries: int
    log_mb: float
    digest_mb: float
    page_mb: float
    costs: dict[str, Cost]


def main(words: Sequence[str]) -> int:
    """Prints the table and draws the plot."""
    parser = argparse.ArgumentParser(prog="python -m bench.log_cost", description=__doc__)
    parser.add_argument("--years", nargs="+", type=float, default=list(YEARS), metavar="N")
    parser.add_argument("--tries", type=int, default=200, help="a session")
    parser.add_argument("--out", type=Path, default=CACHE / "log_cost", help="where tables and plot go")
    chosen = parser.parse_args(words)
    chosen.out.mkdir(parents=True, exist_ok=True)
    sys.stdout.write(f"{machine()}\n")
    measured = []
    for years in chosen.years:
        measured.append(measure(years, chosen.tries))
        sys.stdout.write(f"{years:g} years measured\n")
        sys.stdout.flush()
    text = "\n".join(table.markdown() for table in tables(measured))
    (chosen.out / "log-cost.md").write_text(text, encoding="utf-8")
    draw(measured, chosen.out / "log-cost.png")
    sys.stdout.write(text)
    return 0


def measure(years: float, tries: int) -> Measured:
    """Every step on a log of so many years, made and thrown away."""
    days = round(years * DAYS_A_YEAR)
    with tempfile.TemporaryDirectory() as name:
        path, out = Path(name) / "log.sqlite", Path(name) / "out"
        shutil.copyfile(_made(days, tries), path)
        costs = {"first report": _run("report", path, out)}
        costs["report"] = _run("report", path, out)
        page = out.stat().st_size
        for step in ("csv", "jsonl", "csv of a month", "check", "whole check", "history"):
            costs[step] = _run(step, path, out)
        costs["a day more"] = _middle(list(_day_by_day(path, out, days, tries)))
        log_mb, digest_mb = (each.stat().st_size / 1e6 for each in (path, path.with_name("digest.sqlite")))
    return Measured(years, days * tries, log_mb, digest_mb, page / 1e6, costs)


def _day_by_day(path: Path, out: Path, days: int, tries: int) -> Iterator[Cost]:
    for day in range(days, days + _DAYS_MORE):
        tenyears.extend(path, day, tries)
        yield _run("report", path, out)


def _middle(costs: Sequence[Cost]) -> Cost:
    return Cost(*(median(getattr(cost, name) for cost in costs) for name in ("cpu_s", "inner_s", "peak_mib")))


def _made(days: int, tries: int) -> Path:
    """A log of so many days, made once and kept for the next time."""
    path = CACHE / "logs" / f"{days}-{tries}.sqlite"
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        part = path.with_suffix(".part")
        part.unlink(missing_ok=True)
        tenyears.make(part, days, tries)
        part.replace(path)
    return path


def _run(step: str, path: Path, out: Path) -> Cost:
    command = [sys.executable, "-c", _GUEST, step, str(path), str(out)]
    environment = {"PYTHONPATH": str(_TESTS.parent / "firmware"), "OPENBLAS_NUM_THREADS": "1"}
    ran = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    return Cost(*json.loads(ran.stdout))


def tables(measured: Sequence[Measured]) -> list[Table]:
    """The costs by length, and how the last one stands to the others."""
    steps = list(measured[0].costs)
    rows = [
        (
            f"{one.years:g}",
            f"{one.tries}",
            f"{one.log_mb:.1f}",
            f"{one.digest_mb:.1f}",
            f"{one.page_mb:.2f}",
            *(f"{one.costs[step].cpu_s:.2f}" for step in steps),
        )
        for one in measured
    ]
    head = ("years", "tries", "log, MB", "digest, MB", "page, MB", *(f"{step}, s" for step in steps))
    seconds = Table("What a log costs", "CPU seconds of the whole process on this computer.", head, tuple(rows))
    peaks = [(f"{one.years:g}", *(f"{one.costs[step].peak_mib:.0f}" for step in steps)) for one in measured]
    memory = Table("Its memory", "The most that the process held, MiB.", ("years", *steps), tuple(peaks))
    return [seconds, memory, _growth(measured)]


def _growth(measured: Sequence[Measured]) -> Table:
    """What a day more costs in the first full year and in the last."""
    first = next((one for one in measured if one.years >= 1.0), measured[0])
    last = measured[-1]
    rows = []
    for step in last.costs:
        early, late = first.costs[step], last.costs[step]
        board = f"{TIMES_SLOWER * late.cpu_s:.1f}"
        rows.append((step, f"{late.cpu_s / early.cpu_s:.2f}", f"{late.inner_s / early.inner_s:.2f}", board))
    note = (
        f"Year {last.years:g} over year {first.years:g}, by whole process and by the step alone; the log itself grew "
        f"{last.tries / first.tries:.0f}-fold. On the board: {TIMES_SLOWER:g} times this computer, assumed."
    )
    return Table("How it grows", note, ("step", "whole process", "step alone", "board, s"), tuple(rows))


def draw(measured: Sequence[Measured], path: Path) -> None:
    """Cost against length, both on log scales, and the slope of the log itself."""
    figure = Figure(figsize=(8.0, 5.0), layout="constrained")
    axes = figure.subplots()
    tries = [one.tries for one in measured]
    for step, marker in zip(measured[0].costs, "os^vD*XPh", strict=False):
        axes.plot(tries, [one.costs[step].inner_s for one in measured], marker=marker, label=step)
    top = max(cost.inner_s for cost in measured[-1].costs.values())
    axes.plot(
        tries, [2 * top * count / tries[-1] for count in tries], color="0.6", linestyle="--", label="as the log grows"
    )
    axes.set_xscale("log")
    axes.set_yscale("log")
    axes.set_xticks(tries, [f"{one.years:g}" for one in measured])
    axes.tick_params(axis="x", which="minor", bottom=False, labelbottom=False)
    axes.set_xlabel("years of daily practice in the log (invented)")
    axes.set_ylabel("CPU s of the step alone, this computer")
    axes.grid(visible=True, which="both", color="0.92")
    axes.set_axisbelow(True)
    figure.legend(fontsize=8, loc="outside right upper")
    figure.savefig(path, dpi=80)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
