"""Tries are kept in order, and none is given up for a trouble that passes."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from airladder.faults import LogFault
from airladder.journal.keeper import Keeper
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt

Trier = Callable[..., Attempt]


class SmallLog(Log):
    """A log whose file may not grow beyond some pages: SQLite itself then says that the disk is full."""

    def allow(self, pages: int) -> None:
        """Let the file have so many pages and no more."""
        self._connection.execute(f"PRAGMA max_page_count = {pages}")


class Told:
    """What a keeper tells, in order."""

    def __init__(self) -> None:
        self.kept: list[int] = []
        self.troubles: list[str] = []


@pytest.fixture
def told() -> Told:
    return Told()


@pytest.fixture
def small(path: Path) -> Iterator[SmallLog]:
    with SmallLog(path) as log:
        yield log


@pytest.fixture
def keeper(path: Path, head: Head, told: Told, small: SmallLog) -> Keeper:
    return Keeper(path, head, told.kept.append, told.troubles.append, open_log=lambda _: small, room=150)


def numbers_in(path: Path) -> list[int]:
    with Reader(path) as log:
        return [attempt.number for _, _, attempt in log.tries()]


def keep_until_trouble(keeper: Keeper, told: Told, tried: Trier) -> int:
    """Fills the small log and returns how many tries were given."""
    for number in range(1, 1000):
        keeper.keep(tried(number))
        if told.troubles:
            return number
    raise AssertionError("the small log took a thousand tries")


def test_a_try_is_told_kept_only_when_another_program_can_read_it(
    path: Path, head: Head, told: Told, tried: Trier
) -> None:
    seen: list[list[int]] = []
    keeper = Keeper(path, head, lambda _: seen.append(numbers_in(path)), told.troubles.append)
    for number in (1, 2, 3):
        keeper.keep(tried(number))
    keeper.close()
    assert seen == [[1], [1, 2], [1, 2, 3]]
    assert told.troubles == []


def test_all_tries_of_one_keeper_are_one_session(path: Path, head: Head, tried: Trier, keeper: Keeper) -> None:
    made = tuple(tried(number) for number in (1, 2, 3))
    for attempt in made:
        keeper.keep(attempt)
    keeper.close()
    with Reader(path) as log:
        assert [summary.head for summary in log.sessions()] == [head]
        assert log.session(1).attempts == made


def test_a_session_without_tries_leaves_no_trace(path: Path, head: Head, told: Told) -> None:
    Keeper(path, head, told.kept.append, told.troubles.append).close()
    assert not path.parent.exists()


def test_a_full_disk_is_told_once_and_the_tries_wait_in_order(
    path: Path, keeper: Keeper, told: Told, small: SmallLog, tried: Trier
) -> None:
    small.allow(11)
    last = keep_until_trouble(keeper, told, tried)
    keeper.keep(tried(last + 1))
    assert len(told.troubles) == 1
    assert told.troubles[0].startswith("The disk is full, so the log ")
    assert told.kept == numbers_in(path) == list(range(1, last))
    assert keeper.unkept == (tried(last), tried(last + 1))
    small.allow(10_000)
    keeper.keep(tried(last + 2))
    assert told.troubles[1:] == [""]
    assert told.kept == numbers_in(path) == list(range(1, last + 3))
    keeper.close()
    assert not keeper.unkept


def test_what_is_pending_is_tried_once_more_at_the_end(
    path: Path, keeper: Keeper, told: Told, small: SmallLog, tried: Trier
) -> None:
    small.allow(11)
    last = keep_until_trouble(keeper, told, tried)
    small.allow(10_000)
    keeper.close()
    assert numbers_in(path) == list(range(1, last + 1))


def test_what_cannot_be_kept_to_the_end_is_counted_and_given_back(
    path: Path, keeper: Keeper, told: Told, small: SmallLog, tried: Trier
) -> None:
    small.allow(11)
    last = keep_until_trouble(keeper, told, tried)
    keeper.keep(tried(last + 1))
    with pytest.raises(LogFault, match=r"^2 tries of this session could not be kept\. The disk is full"):
        keeper.close()
    assert keeper.unkept == (tried(last), tried(last + 1))
    assert numbers_in(path) == list(range(1, last))


def test_a_full_queue_sets_new_tries_aside_until_the_end(path: Path, head: Head, told: Told, tried: Trier) -> None:
    small = SmallLog(path)
    keeper = Keeper(path, head, told.kept.append, told.troubles.append, open_log=lambda _: small, room=2)
    small.allow(11)
    last = keep_until_trouble(keeper, told, tried)
    for number in range(last + 1, last + 5):
        keeper.keep(tried(number))
    assert keeper.unkept == tuple(tried(number) for number in range(last, last + 5))
    small.allow(10_000)
    keeper.close()
    assert numbers_in(path) == list(range(1, last + 5))


def test_a_try_that_breaks_a_rule_stops_no_other(path: Path, keeper: Keeper, told: Told, tried: Trier) -> None:
    for attempt in (tried(0), tried(1), tried(1, wanted=9), tried(2)):
        keeper.keep(attempt)
    assert told.kept == numbers_in(path) == [1, 2]
    with pytest.raises(LogFault, match=r"^2 tries of this session could not be kept\. They do not fit the log\.$"):
        keeper.close()
    assert keeper.unkept == (tried(0), tried(1, wanted=9))


def test_a_log_held_by_another_program_is_written_when_it_is_free(
    path: Path, head: Head, told: Told, tried: Trier
) -> None:
    Log(path).close()
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    keeper = Keeper(path, head, told.kept.append, told.troubles.append, open_log=lambda name: Log(name, wait_s=0.01))
    keeper.keep(tried(1))
    other.execute("ROLLBACK")
    other.close()
    keeper.keep(tried(2))
    keeper.close()
    assert [trouble[:25] for trouble in told.troubles] == ["Another program holds the", ""]
    assert told.kept == numbers_in(path) == [1, 2]


def test_a_log_that_cannot_be_opened_is_tried_again_with_the_next_try(
    path: Path, head: Head, told: Told, tried: Trier
) -> None:
    path.parent.write_text("a file where the folder should be")
    keeper = Keeper(path, head, told.kept.append, told.troubles.append)
    keeper.keep(tried(1))
    path.parent.unlink()
    keeper.keep(tried(2))
    keeper.close()
    assert "it wants a folder" in told.troubles[0]
    assert told.troubles[1:] == [""]
    assert numbers_in(path) == [1, 2]
