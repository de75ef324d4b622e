"""What the report keeps beside the log: the same figures as without it, and no more read than is new."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.records import CARRIED, Head, Moment
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.coach.history import History
from airladder.practice.judge import Outcome
from airladder.report import coaching, digest, summing
from airladder.report.digest import digested
from airladder.report.figures import figures
from airladder.report.listed import listed

Trier = Callable[..., Attempt]
NAME = "digest.sqlite"
START = datetime(2026, 5, 4, 18, 0, tzinfo=UTC)
RISING = Asked("rising", "Bb3", partials=(3,))


class Watched(Reader):
    """Remembers of which sessions the tries were read, and fails when told to."""

    read: list[int]
    fails_after: int = 1_000_000

    def rows(self, query: str, values: Mapping[str, Any] | Sequence[Any] = ()) -> Iterator[sqlite3.Row]:
        """What the query finds."""
        if "FROM attempt WHERE session = ? ORDER BY number" in query and "*" not in query:
            assert isinstance(values, tuple)
            if len(self.read) == self.fails_after:
                raise LogFault("The plug was pulled.")
            self.read.append(values[0])
        return super().rows(query, values)


@pytest.fixture
def cache(path: Path) -> Path:
    """Where the digest lies."""
    return path.with_name(NAME)


def watched(path: Path, cache: Path, fails_after: int = 1_000_000) -> list[int]:
    """The sessions whose tries a report reads for its sums."""
    with Watched(path) as log:
        log.read, log.fails_after = [], fails_after
        digested(log, listed(log), cache)
        return log.read


def practised(log: Log, head: Head, tried: Trier, day: int, tries: int = 3, **changes: Any) -> int:
    """A session so many days after the first one."""
    own = replace(head, started=START + timedelta(days=day), **changes)
    makes = [
        replace(
            tried(number, Outcome.SPOKE if (number + day) % 3 else Outcome.OTHER, cents=day - 1.5 * number),
            asked=RISING,
        )
        for number in range(1, tries + 1)
    ]
    session = log.begin(own, makes[0])
    for attempt in makes[1:]:
        log.keep(session, attempt)
    return session


def same(path: Path, cache: Path) -> bool:
    """Whether the figures with the digest are those that are made anew without one."""
    with Reader(path) as log:
        return json.dumps(figures(log, cache)) == json.dumps(figures(log))


def test_a_day_more_reads_the_new_session_alone_and_makes_the_same_figures(
    path: Path, cache: Path, head: Head, tried: Trier
) -> None:
    with Log(path) as log:
        before = [practised(log, head, tried, day) for day in range(40)]
        assert watched(path, cache) == before
        assert watched(path, cache) == []
        new = practised(log, head, tried, 40)
    assert watched(path, cache) == [new]
    assert same(path, cache)


def test_a_session_that_still_grows_is_read_again_and_no_other(
    path: Path, cache: Path, head: Head, tried: Trier
) -> None:
    with Log(path) as log:
        growing = practised(log, head, tried, 0)
        practised(log, head, tried, 1)
        watched(path, cache)
        log.keep(growing, tried(4))
        assert watched(path, cache) == [growing]
    assert same(path, cache)


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    steps=st.lists(
        st.lists(
            st.tuples(st.integers(-3, 130), st.integers(1, 5), st.sampled_from(["alto", "tenor"]), st.booleans()),
            max_size=4,
        ),
        max_size=5,
    )
)
def test_whatever_comes_when_the_kept_figures_are_those_made_anew(
    tmp_path_factory: pytest.TempPathFactory, head: Head, tried: Trier, steps: list[list[tuple[int, int, str, bool]]]
) -> None:
    """Sessions of any dates, in any steps, with windows so narrow that days leave them."""
    path = tmp_path_factory.mktemp("log") / "log.sqlite"
    with pytest.MonkeyPatch.context() as patch, Log(path) as log:
        patch.setattr(summing, "DAYS", 5)
        patch.setattr(summing, "IN_FULL", 2)
        for step in steps:
            for day, tries, horn, invented in step:
                practised(log, head, tried, day, tries, horn=horn, invented=invented)
            assert same(path, path.with_name(NAME))


def test_a_date_that_is_told_later_moves_what_was_summed_up_and_reads_no_try_again(
    path: Path, cache: Path, head: Head, tried: Trier
) -> None:
    moment = Moment("a-boot", 30.0, CARRIED)
    with Log(path) as log:
        practised(log, head, tried, 0, moment=moment)
        with Reader(path) as reader:
            assert figures(reader, cache)["practice"]["days"] == ["2026-05-04"]
        log.tell_date(replace(moment, boottime_s=90.0), START + timedelta(days=70), "buttons")
    with Watched(path) as reader:
        reader.read = []
        told = figures(reader, cache)
        assert reader.read == []
    assert told["practice"]["days"] == ["2026-07-13"]
    assert told["practice"]["months"] == ["2026-07"]
    assert [row[0] for row in told["practice"]["calendar"]] == ["2026-07-13"]
    assert same(path, cache)


def test_a_date_that_moves_within_its_month_moves_in_the_calendar(
    path: Path, cache: Path, head: Head, tried: Trier
) -> None:
    moment = Moment("a-boot", 30.0, CARRIED)
    with Log(path) as log:
        practised(log, head, tried, 0, moment=moment)
        watched(path, cache)
        log.tell_date(replace(moment, boottime_s=90.0), START + timedelta(days=7), "buttons")
    with Reader(path) as reader:
        assert [row[0] for row in figures(reader, cache)["practice"]["calendar"]] == ["2026-05-11"]


def test_a_first_look_that_is_broken_off_goes_on_from_there(
    path: Path, cache: Path, head: Head, tried: Trier, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(summing, "_AT_ONCE", 2)
    with Log(path) as log:
        numbers = [practised(log, head, tried, day) for day in range(7)]
    with pytest.raises(LogFault, match="plug"):
        watched(path, cache, fails_after=5)
    assert watched(path, cache) == numbers[4:]
    assert same(path, cache)


def test_another_log_in_its_place_has_its_own_figures(
    path: Path, cache: Path, head: Head, tried: Trier, tmp_path: Path
) -> None:
    other = tmp_path / "other.sqlite"
    with Log(path) as log:
        practised(log, head, tried, 0)
        watched(path, cache)
    with Log(other) as log:  # the same head, another try
        practised(log, head, tried, 0, tries=2)
    other.replace(path)
    assert watched(path, cache) == [1]
    assert same(path, cache)


def test_sessions_that_were_removed_are_in_no_figure(path: Path, cache: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        for day in range(4):
            practised(log, head, tried, day)
    watched(path, cache)
    connection = sqlite3.connect(path)
    for table, column in (("attempt", "session"), ("session", "id")):
        connection.execute(f"DROP TRIGGER {table}_stays_on_delete")
        connection.execute(f"DELETE FROM {table} WHERE {column} = 2")
    connection.commit()
    connection.close()
    with Reader(path) as reader:
        assert figures(reader, cache)["practice"]["totals"]["sessions"] == 3
    assert same(path, cache)


def test_only_a_horn_that_was_practised_is_judged_again(
    path: Path, cache: Path, head: Head, tried: Trier, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Judging is the coach's own fold over a year of days, the dearest part of a report."""
    judged: list[int] = []

    def watched_judged(days: History) -> coaching.Judged:
        judged.append(len(days))
        return coaching.judged(days)

    monkeypatch.setattr(digest, "judged", watched_judged)
    with Log(path) as log:
        for day in range(3):
            practised(log, head, tried, day)
        practised(log, head, tried, 3, horn="tenor")
        watched(path, cache)
        practised(log, head, tried, 4)
        watched(path, cache)
        watched(path, cache)
    assert judged == [3, 1, 4]
    monkeypatch.setattr(digest, "code", lambda: "another coach")
    watched(path, cache)
    assert judged == [3, 1, 4, 4, 1]
    assert same(path, cache)
