"""Power cuts at any moment: every try that was told as kept is in the log, once, in order, equal; and it opens.

The program's own code writes through the recording disk (faultyvfs.c); `disk.Disk` then says what may be left at a
cut, and the program's own code opens that. 10,000 cuts in all, or as many as AIRLADDER_CUTS says.
"""

from __future__ import annotations

import os
import random
import sqlite3
from collections import Counter
from pathlib import Path

import pytest

from airladder.journal import opening
from airladder.journal.health import checked
from airladder.journal.log import Log, Reader
from faults.disk import Disk, held, written
from faults.episodes import EPISODES, FILES, HONEST, NAME, Episode, a_log_tidied_every_few_tries
from faults.looking import unsound, wrong
from faults.practising import Practice
from faults.vfs import FaultyDisk, What

CUTS = max(10_000, int(os.environ.get("AIRLADDER_CUTS", "0")))
CHECKED = 5
"""Of so many logs one is looked through for damage, as at the start of the program."""

GOES_ON = 25
"""Of so many logs one is looked through by SQLite itself, and practised on."""


def cut(told: Episode, cuts: int, folder: Path, seed: int, *, obeys: bool = True) -> Counter[str]:
    """Cut the power `cuts` times at random moments, and count what was wrong, "" for nothing."""
    chance = random.Random(seed)
    moments = Counter(chance.choices(range(told.first, len(told.deeds)), k=cuts))
    disk, kept = Disk(told.holds, chance, obeys=obeys), told.before
    found: Counter[str] = Counter()
    folder.mkdir()
    for moment, deed in enumerate(told.deeds):
        disk.do(deed)
        if deed.what is What.MARK:
            kept = deed.place
        for _ in range(moments[moment]):
            written(disk.after_a_cut() | _shared_memory(chance), folder)
            found[_opened_again(folder / NAME, told, kept, chance)] += 1
    return found


def _shared_memory(chance: random.Random) -> dict[str, bytes]:
    """Nobody flushes it, so after a cut it is missing, or anything."""
    return {f"{NAME}-shm": chance.randbytes(32768)} if chance.random() < 0.1 else {}


def _opened_again(path: Path, told: Episode, kept: int, chance: random.Random) -> str:
    """By a reader, as at the start of the program, or by a writer; and the program must not take it for damaged."""
    damage = None if chance.randrange(CHECKED) else checked(path, whole=chance.random() < 0.5, own=True)
    if damage:
        return f"called damaged: {damage}"
    said = wrong(path, told.given, kept, chance.choice((Log, Reader)))
    if said or chance.randrange(GOES_ON):
        return said
    with Reader(path) as log:
        given = list(log.tries())
    practice = Practice(path, given=given, told=len(given))
    practice.session(max((row[0] for row in given), default=0) + 1, 3)
    return wrong(path, practice.given, practice.told) or "; ".join(unsound(path))


def kinds(found: Counter[str]) -> Counter[str]:
    return Counter(said.partition(":")[0] for said in found.elements())


@pytest.mark.parametrize("name", HONEST)
def test_the_disk_of_these_tests_holds_what_the_real_one_does(
    name: str, faulty_disk: FaultyDisk, folder: Path
) -> None:
    """Byte by byte, at the end of each trace."""
    told = EPISODES[name][1](faulty_disk, folder / NAME)
    disk = Disk(told.holds, random.Random(1))
    for deed in told.deeds:
        disk.do(deed)
    assert disk.without_a_cut() == held(folder, FILES)


@pytest.mark.parametrize("name", EPISODES)
def test_no_try_that_was_told_as_kept_is_lost_in_a_power_cut(
    name: str, faulty_disk: FaultyDisk, folder: Path
) -> None:
    share, lived = EPISODES[name]
    cuts = round(share * CUTS)
    assert cut(lived(faulty_disk, folder / NAME), cuts, folder / "cut", seed=1) == {"": cuts}


def test_the_cuts_are_as_many_as_asked_for() -> None:
    assert sum(round(share * CUTS) for share, _ in EPISODES.values()) >= CUTS >= 10_000


@pytest.mark.parametrize("synchronous", ["OFF", "NORMAL"])
def test_a_log_that_does_not_flush_every_try_would_be_seen_to_lose_some(
    synchronous: str, faulty_disk: FaultyDisk, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep_safe = opening.keep_safe

    def keep_less_safe(connection: sqlite3.Connection, path: Path) -> None:
        keep_safe(connection, path)
        connection.execute(f"PRAGMA synchronous = {synchronous}")

    with monkeypatch.context() as patched:
        patched.setattr(opening, "keep_safe", keep_less_safe)
        told = a_log_tidied_every_few_tries(faulty_disk, folder / NAME)
    found = cut(told, 200, folder / "cut", seed=2)
    assert kinds(found)["lost"] > 20


def test_a_disk_that_lies_about_its_flushes_would_be_seen_to_lose_and_damage(
    faulty_disk: FaultyDisk, folder: Path
) -> None:
    told = a_log_tidied_every_few_tries(faulty_disk, folder / NAME)
    found = cut(told, 200, folder / "cut", seed=3, obeys=False)
    assert kinds(found)["lost"] > 20
    assert kinds(found)["damaged"] > 5
    assert kinds(found)["no sentence"] == 0
