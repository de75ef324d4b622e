"""The log: on the disk where it lies, a log of our own is written, flushed and read back; the real one is looked at.

Nothing of the player's is changed: the trial log lies in a folder of its own beside it, which is taken away again.
"""

from __future__ import annotations

import shutil
import statistics
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from airladder import __version__
from airladder.devices.clock import Clock
from airladder.faults import Fault
from airladder.journal import health
from airladder.journal.log import Log, Reader
from airladder.journal.records import CARRIED, KNOWN, Head, Moment
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.selftest.result import Result, failed, not_there, well

TRIES, QUICK_TRIES = 50, 10
SLOWEST_S = 2.0
"""A commit that takes longer holds up a good night; a sound memory card takes 5 to 50 ms (common practice)."""

LEAST_FREE = 64 * 1024 * 1024
"""Bytes: two drives of 16 MiB, the new one beside the old one, and years of tries."""

_HEAD = Head(
    started=datetime(2026, 1, 1, tzinfo=UTC),
    source="selftest",
    invented=True,
    horn="alto",
    fingering="Bb3",
    a4_hz=440.0,
    against="tempered",
    exercise="selftest",
    version=__version__,
)


def trial_head(clock: Clock) -> Head:
    """Of a session that is no practice."""
    moment = Moment(clock.boot_key(), clock.boottime(), KNOWN if clock.kept else CARRIED)
    return replace(_HEAD, started=clock.wall(), moment=moment)


def trial_tries(count: int) -> list[Attempt]:
    """Tries in which nothing sounded."""
    return [Attempt(number, 6.0 * number, 2, Outcome.NOTHING, None) for number in range(1, count + 1)]


@contextmanager
def set_aside(folder: Path) -> Iterator[Path]:
    """A folder of our own below `folder`, taken away at the end; what a pulled plug left of an earlier one goes too.

    Raises
    ------
    OSError : when it cannot be made.
    """
    path = folder / ".selftest"
    shutil.rmtree(path, ignore_errors=True)
    path.mkdir()
    try:
        yield path
    finally:
        shutil.rmtree(path, ignore_errors=True)


def check(log: Path, clock: Clock, *, quick: bool, open_log: Callable[[Path], Log] = Log) -> Result:
    """Write and read, and look.

    Parameters
    ----------
    log : the real one; it may be missing, its folder may not
    clock : the time
    quick : fewer tries
    open_log : opens a log to be written
    """
    folder = log.parent
    if not folder.is_dir():
        return not_there(
            f"There is no folder {folder} yet, where the log is to lie; it is made with the first practice."
        )
    try:
        with set_aside(folder) as aside:
            seconds, lost = _written(aside / "log.sqlite", clock, QUICK_TRIES if quick else TRIES, open_log)
    except OSError as error:  # LogFault is one too, with its own sentence
        said = str(error) if isinstance(error, Fault) else f"{folder} cannot be written ({error.strerror})."
        return failed(f"{said} Is the data partition there, and whole?")
    free = shutil.disk_usage(folder).free
    figures = {
        "commit_median_ms": round(1000.0 * statistics.median(seconds), 2),
        "commit_worst_ms": round(1000.0 * max(seconds), 2),
        "free_mib": free // (1024 * 1024),
        "log_bytes": log.stat().st_size if log.is_file() else None,
        "boot_key": clock.boot_key(),
        "since_start_s": round(clock.boottime(), 1),
        "wall": clock.wall().isoformat(timespec="seconds"),
    }
    if faults := [*_disk_faults(lost, max(seconds), free), *_log_faults(log)]:
        return failed(" ".join(faults), **figures)
    real = "the log itself is whole" if log.is_file() else "there is no log yet"
    date = "" if clock.kept else f" Nobody knows the date: the clock says {clock.wall():%Y-%m-%d}."
    return well(
        f"{len(seconds)} tries were written and read back in {folder}: {figures['commit_median_ms']} ms each, at"
        f" worst {figures['commit_worst_ms']} ms; {figures['free_mib']} MiB are free; {real}.{date}",
        **figures,
    )


def _written(path: Path, clock: Clock, count: int, open_log: Callable[[Path], Log]) -> tuple[list[float], int]:
    """How long each try took until it was on the disk, s, and how many did not come back."""
    seconds: list[float] = []
    first, *rest = trial_tries(count)
    log = open_log(path)
    try:
        begun = clock.monotonic()
        session = log.begin(trial_head(clock), first)
        seconds.append(clock.monotonic() - begun)
        for attempt in rest:
            begun = clock.monotonic()
            log.keep(session, attempt)
            seconds.append(clock.monotonic() - begun)
    finally:
        log.close()
    with Reader(path) as reader:
        back = reader.session(session).attempts
    return seconds, sum(attempt not in back for attempt in (first, *rest))


def _disk_faults(lost: int, slowest_s: float, free: int) -> list[str]:
    faults = []
    if lost:
        faults.append(f"{lost} tries that were written did not come back: the card or its file system is broken.")
    if slowest_s > SLOWEST_S:
        faults.append(
            f"A try took {slowest_s:.1f} s until it was on the disk, at most {SLOWEST_S:.0f} s are wanted: another"
            " card (A1)."
        )
    if free < LEAST_FREE:
        faults.append(
            f"Only {free // 1024} KiB are free, {LEAST_FREE // 1024} are wanted: forget old clips, or take a larger"
            " card."
        )
    return faults


def _log_faults(log: Path) -> list[str]:
    damage = health.checked(log, own=True)
    if damage is None:
        return []
    return [f"The log {log} is damaged ({damage}); it was left as it is, and is mended at the next start."]
