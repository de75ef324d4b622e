"""The log as the coach sees it: days in order, rung by rung, whatever the clock has done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.journal.days import history
from airladder.journal.log import Log
from airladder.journal.records import Head, Moment
from airladder.practice.ask import Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.coach.history import Day, Tally
from airladder.practice.judge import Outcome

Trier = Callable[..., Attempt]
START = datetime(2026, 5, 4, 18, 0, tzinfo=UTC)
MONDAY = START.date().toordinal()
RISING = Asked("rising", "Bb3", partials=(3,))


def kept(log: Log, head: Head, when: datetime, *attempts: Attempt) -> None:
    """One session."""
    session = log.begin(replace(head, started=when), attempts[0])
    for attempt in attempts[1:]:
        log.keep(session, attempt)


def test_an_empty_log_has_no_days(path: Path) -> None:
    with Log(path) as log:
        assert history(log, "alto") == ()


def test_a_day_is_summed_rung_by_rung(path: Path, head: Head, tried: Trier) -> None:
    cold = replace(RISING, exercise="cold", cold=True)
    low = Asked("fundamental", "Bb3", partials=(1,), hold=6.0)
    usual = Asked("compare", "F5", Task.USUAL, (1,), beside_fingering="Bb3", beside_partial=3, interval="unison")
    with Log(path) as log:
        kept(
            log,
            head,
            START,
            replace(tried(1, Outcome.SPOKE, partial=3), asked=cold),
            replace(tried(2, Outcome.OTHER), asked=cold),
            replace(tried(3, Outcome.SPOKE), asked=RISING),
            replace(tried(4, Outcome.SPOKE, wanted=1, partial=1, level_dbfs=-30.0, path=((1, 7.0),)), asked=low),
            replace(tried(5, Outcome.SPOKE, wanted=1, partial=1, level_dbfs=-26.0, path=((1, 2.0),)), asked=low),
            replace(tried(6, Outcome.SPOKE, wanted=1, push_db=1.0), asked=usual),
        )
        (day,) = history(log, "alto")
    assert set(day.tallies) == {
        Tally("Bb3", 1, tries=2, right=1),  # one was not held for its six seconds
        Tally("Bb3", 3, tries=3, right=2, cold=2, cold_right=1),
    }
    assert day.date == MONDAY
    assert day.exercises == {"cold", "rising", "fundamental", "compare"}
    assert day.relaxed_dbfs == -28.0
    assert day.pushed == 1
    assert day.minutes == pytest.approx((36.0 - 10.5) / 60.0)


def test_sessions_of_one_date_in_a_row_are_one_day(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        for hour in range(3):
            kept(log, head, START + timedelta(hours=hour), replace(tried(1, Outcome.SPOKE), asked=RISING))
        (day,) = history(log, "alto")
    assert replace(day, minutes=0.0) == Day(MONDAY, (Tally("Bb3", 3, 3, 3),), 0.0, frozenset({"rising"}))


def test_other_horns_and_what_the_demo_invented_are_left_out(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        kept(log, replace(head, horn="tenor"), START, tried(1))
        kept(log, replace(head, invented=True), START, tried(1))
        kept(log, head, START, tried(1))
        (day,) = history(log, "alto")
    assert sum(tally.tries for tally in day.tallies) == 1


def test_tries_from_before_exercises_had_names_count_on_the_fingering_of_their_session(
    path: Path, head: Head, tried: Trier
) -> None:
    with Log(path) as log:
        kept(log, replace(head, fingering="C4"), START, tried(1, Outcome.CRACKED), tried(2, Outcome.SPLIT))
        (day,) = history(log, "alto")
    assert day.tallies == (Tally("C4", 3, tries=2, right=1),)


def test_only_the_newest_days_are_read(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        for number in range(10):
            kept(log, head, START + timedelta(days=number), tried(1))
        assert [day.date for day in history(log, "alto", days=3)] == [MONDAY + 7, MONDAY + 8, MONDAY + 9]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(jumps=st.lists(st.sampled_from([0, 0, 1, 1, 5, -365, 400]), min_size=1, max_size=12))
def test_a_clock_that_jumps_loses_moves_and_doubles_no_try(
    tmp_path_factory: pytest.TempPathFactory, head: Head, tried: Trier, jumps: list[int]
) -> None:
    """Each session tries another partial, so that the order of the days can be read from them."""
    when = START
    with Log(tmp_path_factory.mktemp("log") / "log.sqlite") as log:
        for partial, jump in enumerate(jumps, start=1):
            when += timedelta(days=jump)
            kept(log, head, when, tried(1, wanted=partial))
        days = history(log, "alto")
    partials = [tally.partial for day in days for tally in sorted(day.tallies, key=lambda tally: tally.partial)]
    assert partials == list(range(1, len(jumps) + 1))
    assert all(before.date < after.date for before, after in pairwise(days))


def test_a_fundamental_that_did_not_speak_and_one_that_was_slurred_tell_no_relaxed_level(
    path: Path, head: Head, tried: Trier
) -> None:
    low = Asked("fundamental", "Bb3", partials=(1,))
    slur = Asked("slurs", "Bb3", Task.SLUR, (2, 1))
    with Log(path) as log:
        kept(
            log,
            head,
            START,
            replace(tried(1, Outcome.SPOKE, wanted=1, level_dbfs=-30.0), asked=low),
            replace(tried(2, Outcome.OTHER, wanted=1, level_dbfs=-12.0), asked=low),
            replace(tried(3, Outcome.SPOKE, wanted=1, level_dbfs=-10.0), asked=slur),
        )
        (day,) = history(log, "alto")
    assert day.relaxed_dbfs == -30.0


def test_minutes_and_pushed_tries_of_all_sessions_of_a_day_are_added(path: Path, head: Head, tried: Trier) -> None:
    """A push begins at exactly `Limits.push_db`; the pause between two sessions is no practice."""
    with Log(path) as log:
        for hour, last in enumerate((11, 21)):
            attempts = [tried(1, start=6.0, push_db=-3.0), tried(last, start=6.0 * last, push_db=-3.1)]
            kept(log, head, START + timedelta(hours=hour), *attempts)
        (day,) = history(log, "alto")
    assert day.minutes == pytest.approx(1.0 + 2.0)
    assert day.pushed == 2


def test_a_try_counts_on_the_fingering_that_it_was_asked_for(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        kept(log, head, START, replace(tried(1, Outcome.SPOKE), asked=replace(RISING, fingering="F4")))
        (day,) = history(log, "alto")
    assert day.tallies == (Tally("F4", 3, tries=1, right=1),)


def test_the_newest_day_is_that_of_the_newest_moment_whichever_reached_the_disk_last(
    path: Path, head: Head, tried: Trier
) -> None:
    with Log(path) as log:
        for seconds, partial in ((90_000.0, 5), (300.0, 3)):
            begun = replace(head, moment=Moment("a-boot", seconds, "carried"))
            log.begin(begun, tried(1, wanted=partial))
        (day,) = history(log, "alto", days=1)
    assert [tally.partial for tally in day.tallies] == [5]
