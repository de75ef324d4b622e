"""The dates of the sessions: what the order, the clock and somebody who knows say together."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.journal.dating import Dated, dates, now
from airladder.journal.days import history
from airladder.journal.log import Log
from airladder.journal.records import CARRIED, KNOWN, Head, Moment
from airladder.practice.attempt import Attempt

from .conftest import HEAD, Trier

YEAR = timedelta(days=365)
DAY = timedelta(days=1)
START = HEAD.started


def begun(boot: int, seconds: float, when: datetime, trust: str) -> Head:
    """A head of the given switch-on, at so many seconds of it, whose clock said `when`."""
    return replace(HEAD, started=when, moment=Moment(f"boot-{boot}", seconds, trust))


@pytest.fixture
def told(path: Path, tried: Trier) -> Callable[..., list[Dated]]:
    """Keeps a session for each head and says their dates in order; words are (moment, date) that somebody told."""

    def keep(heads: Iterable[Head], words: Iterable[tuple[Moment, datetime]] = ()) -> list[Dated]:
        with Log(path) as log:
            for head in heads:
                log.begin(head, tried(1))
            for moment, wall in words:
                log.tell_date(moment, wall, "buttons")
            return list(dates(log).values())

    return keep


def test_dates_that_a_clock_kept_are_taken_as_they_are(told: Callable[..., list[Dated]]) -> None:
    heads = [begun(day, 30.0, START + day * DAY, KNOWN) for day in range(5)]
    assert told(heads) == [Dated(head.started, True) for head in heads]


def test_a_session_of_before_switch_ons_were_counted_keeps_its_date(told: Callable[..., list[Dated]]) -> None:
    assert told([HEAD]) == [Dated(START, True)]


def test_without_a_clock_each_switch_on_is_the_day_after_the_last(told: Callable[..., list[Dated]]) -> None:
    """The last date goes on, so that every label is of the first day."""
    heads = [begun(boot, 30.0, START + boot * timedelta(minutes=9), CARRIED) for boot in range(5)]
    days = [dated.when.date() for dated in told(heads)]
    assert days == [(START + boot * DAY).date() for boot in range(5)]


def test_within_a_switch_on_the_time_since_it_tells_how_much_later_it_was(told: Callable[..., list[Dated]]) -> None:
    heads = [begun(1, 30.0, START, CARRIED), begun(1, 30.0 + 7200, START + 5 * YEAR, CARRIED)]
    assert [dated.when for dated in told(heads)] == [START, START + timedelta(hours=2)]


def test_a_date_told_by_hand_corrects_all_of_its_switch_on(told: Callable[..., list[Dated]]) -> None:
    heads = [begun(1, 60.0, START, CARRIED), begun(1, 3660.0, START, CARRIED)]
    right = START + YEAR
    found = told(heads, [(Moment("boot-1", 7260.0, CARRIED), right)])
    assert found == [Dated(right - timedelta(hours=2), True), Dated(right - timedelta(hours=1), True)]


def test_the_newest_word_on_a_switch_on_counts(told: Callable[..., list[Dated]]) -> None:
    moment = Moment("boot-1", 60.0, CARRIED)
    found = told([begun(1, 60.0, START, CARRIED)], [(moment, START + YEAR), (moment, START + DAY)])
    assert found == [Dated(START + DAY, True)]


def test_switch_ons_without_a_date_find_room_before_the_next_known_one(told: Callable[..., list[Dated]]) -> None:
    heads = [
        begun(0, 30.0, START, KNOWN),
        *(begun(boot, 30.0, START, CARRIED) for boot in range(1, 6)),
        begun(6, 30.0, START + 2 * DAY, KNOWN),
    ]
    found = told(heads)
    assert [(dated.when - START).days for dated in found] == [0, 1, 2, 2, 2, 2, 2]
    assert [dated.known for dated in found] == [True, *[False] * 5, True]


@pytest.mark.parametrize("jump", [YEAR, -YEAR])
def test_a_clock_that_is_a_year_off_for_a_day_breaks_no_row_of_days(
    told: Callable[..., list[Dated]], path: Path, jump: timedelta
) -> None:
    heads = [begun(day, 30.0, START + day * DAY + (jump if day == 4 else 0 * DAY), KNOWN) for day in range(9)]
    found = told(heads)
    assert [(dated.when - START).days for dated in found] == list(range(9))
    assert [day for day, dated in enumerate(found) if not dated.known] == [4]
    with Log(path) as log:
        days = history(log, "alto")
    assert [after.date - before.date for before, after in pairwise(days)] == [1] * 8


def test_a_word_of_somebody_who_knows_outweighs_a_clock_that_was_wrong_for_long(
    told: Callable[..., list[Dated]],
) -> None:
    """Twenty days with a clock a year ahead, then the date is set by hand."""
    heads = [begun(day, 30.0, START + day * DAY + YEAR, KNOWN) for day in range(20)]
    right = START + 20 * DAY
    last = begun(20, 30.0, START, CARRIED)
    found = told([*heads, last], [(Moment("boot-20", 30.0, CARRIED), right)])
    assert found[-1] == Dated(right, True)
    assert all(dated.when <= right and not dated.known for dated in found[:-1])


def test_now_is_the_date_of_a_session_that_would_begin_now(path: Path, tried: Trier) -> None:
    with Log(path) as log:
        log.begin(begun(1, 30.0, START, KNOWN), tried(1))
        same = Moment("boot-1", 3630.0, CARRIED)
        later = Moment("boot-2", 10.0, CARRIED)
        kept = Moment("boot-2", 10.0, KNOWN)
        assert now(log, same, START + 9 * DAY) == Dated(START + timedelta(hours=1), False)
        assert now(log, later, START) == Dated(START + DAY, False)
        assert now(log, kept, START + 3 * DAY) == Dated(START + 3 * DAY, True)
        log.tell_date(later, START + 5 * DAY, "buttons")
        assert now(log, replace(later, boottime_s=70.0), START) == Dated(START + 5 * DAY + timedelta(minutes=1), True)


MOMENTS = st.lists(
    st.tuples(
        st.integers(0, 1),  # whether the box was switched on anew
        st.floats(1.0, 5000.0),
        st.sampled_from([timedelta(0), DAY, YEAR, -YEAR, 20 * YEAR]),
        st.sampled_from([KNOWN, CARRIED]),
        st.none() | st.sampled_from([DAY, YEAR, -YEAR]),
    ),
    min_size=1,
    max_size=12,
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(moments=MOMENTS)
def test_whatever_the_clock_does_no_try_is_lost_moved_or_doubled_and_no_row_is_changed(
    tmp_path_factory: pytest.TempPathFactory,
    tried: Trier,
    moments: list[tuple[int, float, timedelta, str, timedelta | None]],
) -> None:
    when, boot, seconds = START, 0, 0.0
    made: list[Attempt] = []
    rows: list[tuple[object, ...]] = []
    with Log(tmp_path_factory.mktemp("log") / "log.sqlite") as log:
        for number, (anew, passed, jump, trust, word) in enumerate(moments, start=1):
            boot, seconds = (boot + 1, passed) if anew else (boot, seconds + passed)
            when += jump
            made.append(tried(1, wanted=number))
            log.begin(begun(boot, seconds, when, trust), made[-1])
            rows.append(tuple(next(log.rows("SELECT * FROM session ORDER BY id DESC LIMIT 1"))))
            if word is not None:
                log.tell_date(Moment(f"boot-{boot}", seconds, CARRIED), when + word, "computer")
        found = dates(log)
        assert [tuple(row) for row in log.rows("SELECT * FROM session ORDER BY id")] == rows
        assert [attempt for _, _, attempt in log.tries()] == made
        days = history(log, "alto")
    assert list(found) == list(range(1, len(moments) + 1))
    assert all(before.when <= after.when for before, after in pairwise(found.values()))
    assert sum(tally.tries for day in days for tally in day.tallies) == len(moments)
    assert all(before.date < after.date for before, after in pairwise(days))


def test_of_sessions_from_before_switch_ons_were_counted_a_jump_is_a_day(told: Callable[..., list[Dated]]) -> None:
    labels = [START, START + YEAR, START + DAY]
    found = told([replace(HEAD, started=label) for label in labels])
    assert [(dated.when - START).days for dated in found] == [0, 1, 1]
