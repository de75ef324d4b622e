"""kill -9 at random moments, again and again on one log: what was told as kept is there, once, and it goes on."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections import Counter
from itertools import groupby
from pathlib import Path

from airladder.journal.log import Reader
from faults.looking import unsound
from faults.players import session_of
from faults.practising import listed_head_of, try_of

KILLS = 250
Told = list[list[tuple[int, int]]]


def told_by_the_killed(path: Path, kills: int, *words: str) -> Told:
    """What each player had told as kept when it was killed, as (session, number)."""
    command = [sys.executable, "-m", "faults.players", "kill", str(path), str(kills), "1", *words]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=True)
    assert done.stderr == ""
    return [[(session, number) for session, number in child] for child in json.loads(done.stdout)]


def found_in(path: Path) -> list[tuple[int, int]]:
    """All tries in order by the player's own numbers; their values must be equal to what was given."""
    numbers = (session_of(player, number) for player in range(KILLS + 1) for number in range(100))
    sessions = {listed_head_of(session): session for session in numbers}
    with Reader(path) as log:
        rows = list(log.tries())
    assert all(attempt == try_of(sessions[head], attempt.number) for _, head, attempt in rows)
    return [(sessions[head], attempt.number) for _, head, attempt in rows]


def test_nothing_that_was_told_as_kept_is_lost_by_kill_9_at_any_moment(folder: Path) -> None:
    told = told_by_the_killed(folder / "log.sqlite", KILLS)
    found = found_in(folder / "log.sqlite")
    assert len(told) == KILLS
    assert set(Counter(found).values()) == {1}
    assert found == sorted(found)
    by_player = {player: list(rows) for player, rows in groupby(found, key=lambda row: row[0] // 1000)}
    for player, child in enumerate(told, 1):
        theirs = by_player.get(player, [])
        assert theirs[: len(child)] == child
        assert len(theirs) <= len(child) + 1
    assert list(unsound(folder / "log.sqlite")) == []
    assert {0, 12} <= {min(len(child), 12) for child in told}  # killed before the first try, and late


def test_a_program_that_tells_a_try_before_it_is_kept_would_be_seen(folder: Path) -> None:
    path = folder / "log.sqlite"
    told = {row for child in told_by_the_killed(path, 60, "told-first") for row in child}
    assert told - set(found_in(path))
