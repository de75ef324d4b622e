"""What a practice does to a disk, deed by deed: a first log, a long session, a form that is brought up to date."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from airladder.journal.log import Reader
from faults.disk import Disk, held, written
from faults.practising import Practice, Rows, old_log
from faults.vfs import Deed, FaultyDisk, What

NAME = "log.sqlite"
FILES = (NAME, f"{NAME}-wal", f"{NAME}-journal")


@dataclass
class Episode:
    """What a practice did to a disk.

    Attributes
    ----------
    holds : what was safe on the disk before, by name
    before : how many of the tries given were kept before
    given : all tries
    deeds : what happened
    first : the first deed after which the power may be cut
    """

    holds: dict[str, bytes]
    before: int
    given: Rows
    deeds: list[Deed]
    first: int = 0


@contextmanager
def recorded(disk: FaultyDisk, practice: Practice) -> Iterator[Episode]:
    """The episode of what the block does; what lies in the folder now is safe."""
    told = Episode(held(practice.path.parent, FILES), practice.told, practice.given, [])
    practice.on_kept = disk.mark
    with disk.used():
        disk.record()
        yield told
        told.deeds = disk.trace()
    assert practice.told == len(practice.given)


def a_first_log(disk: FaultyDisk, path: Path) -> Episode:
    practice = Practice(path)
    with recorded(disk, practice) as told:
        for session in (1, 2, 3):
            practice.session(session, 5)
    return told


def a_log_tidied_every_few_tries(disk: FaultyDisk, path: Path) -> Episode:
    practice = Practice(path, pages=8)
    practice.session(1, 10)
    with recorded(disk, practice) as told:
        for session in (2, 3):
            practice.session(session, 15)
    return told


def a_long_session_that_SQLite_tidies_by_itself(disk: FaultyDisk, path: Path) -> Episode:  # noqa: N802
    practice = Practice(path)
    with recorded(disk, practice) as told:
        practice.session(1, 330)
    told.first = len(told.deeds) - 300
    return told


def a_log_that_is_read_meanwhile(disk: FaultyDisk, path: Path) -> Episode:
    """While somebody reads, SQLite can move only a part of the write-ahead log, and cannot begin it anew."""
    practice = Practice(path, pages=8)
    practice.session(1, 10)
    with recorded(disk, practice) as told:
        practice.session(2, 6)
        with Reader(path) as reader:
            rows = reader.tries()
            next(rows)
            practice.session(3, 10)
            list(rows)
        practice.session(4, 6)
    return told


def a_log_whose_power_was_cut_before(disk: FaultyDisk, path: Path) -> Episode:
    first = a_log_tidied_every_few_tries(disk, path)
    left = Disk(first.holds, random.Random(7))
    for deed in islice(first.deeds, len(first.deeds) - 40):
        left.do(deed)
    written(left.after_a_cut(), path.parent)
    with Reader(path) as log:
        given = list(log.tries())
    practice = Practice(path, pages=8, given=given, told=len(given))
    with recorded(disk, practice) as told:
        for session in (given[-1][0] + 1, given[-1][0] + 2):
            practice.session(session, 10)
    return told


def a_disk_whose_flushes_fail_now_and_then(disk: FaultyDisk, path: Path) -> Episode:
    practice = Practice(path, pages=8)
    practice.session(1, 10)
    with recorded(disk, practice) as told:

        def mark_and_fail(number: int) -> None:
            disk.mark(number)
            disk.fail({What.SYNC: sqlite3.SQLITE_IOERR_FSYNC}, 1 + number % 3)

        practice.on_kept = mark_and_fail
        for session in (2, 3):
            practice.session(session, 15)
    assert len(practice.troubles) > 10
    return told


def a_program_killed_after_a_flush_that_failed(disk: FaultyDisk, path: Path) -> Episode:
    """The system still shows the try to the next program, yet will never bring it to the disk by itself."""
    practice = Practice(path)
    keeper = practice.session(1, 4, close=False)
    safe = held(path.parent, FILES)
    practice.go_on(keeper, 5)  # its flush failed, let us say
    seen = held(path.parent, FILES)
    keeper.close()
    written(seen, path.parent)
    with recorded(disk, practice) as told:
        practice.session(2, 10)
    told.holds = safe
    told.first = next(index for index, deed in enumerate(told.deeds) if deed.what is What.MARK)
    return told


def of_form(form: int) -> Callable[[FaultyDisk, Path], Episode]:
    def a_log_brought_up_from_an_older_form(disk: FaultyDisk, path: Path) -> Episode:
        given = old_log(path, form, sessions=3, tries=6)
        practice = Practice(path, given=given, told=len(given))
        with recorded(disk, practice) as told:
            practice.session(4, 5)
        return told

    return a_log_brought_up_from_an_older_form


EPISODES: dict[str, tuple[float, Callable[[FaultyDisk, Path], Episode]]] = {
    "a first log": (0.15, a_first_log),
    "tidied every few tries": (0.12, a_log_tidied_every_few_tries),
    "a long session": (0.02, a_long_session_that_SQLite_tidies_by_itself),
    "read meanwhile": (0.12, a_log_that_is_read_meanwhile),
    "failing flushes": (0.11, a_disk_whose_flushes_fail_now_and_then),
    "killed after a failed flush": (0.05, a_program_killed_after_a_flush_that_failed),
    "cut before": (0.10, a_log_whose_power_was_cut_before),
    "from form 1": (0.11, of_form(1)),
    "from form 2": (0.11, of_form(2)),
    "from form 3": (0.11, of_form(3)),
}
"""Each with its share of the cuts."""
HONEST = tuple(name for name in EPISODES if "flush" not in name)
"""Those in which every flush did what it said."""
