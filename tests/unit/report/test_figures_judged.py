"""The report's statistics against other libraries and the raw rows, its judgement against the coach's own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

import tenyears
from airladder.journal.days import history
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.coach import following
from airladder.practice.coach.reach import reach
from airladder.practice.coach.standing import standings
from airladder.practice.judge import Outcome
from airladder.report.cells import middle
from airladder.report.figures import figures
from airladder.report.form import Figures, Way
from airladder.report.histories import Tallies, newest_days
from airladder.report.histories import history as own_history
from airladder.report.listed import listed
from airladder.report.sifting import sifted

Trier = Callable[..., Attempt]


@pytest.fixture(scope="module")
def years(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Reader]:
    """Invented practice of two horns, some months long, with two sessions on the last day."""
    path = tmp_path_factory.mktemp("years") / "log.sqlite"
    tenyears.make(path, days=130, tries=40)
    with Log(path) as log:  # one more on the last day
        last = log.session(130)
        assert last.head.moment is not None
        moment = replace(last.head.moment, boottime_s=9000.0)
        again = replace(last.head, started=last.head.started + timedelta(hours=2), moment=moment)
        log.keep(log.begin(again, last.attempts[0]), last.attempts[1])
    with Reader(path) as log:
        yield log


@pytest.fixture(scope="module")
def made(years: Reader) -> Figures:
    """The figures of it."""
    return figures(years)


@given(st.lists(st.floats(-1e4, 1e4), min_size=1, max_size=60))
def test_quartiles_are_those_of_numpy(values: list[float]) -> None:
    """numpy.percentile's default method, linear, is type 7 of Hyndman and Fan."""
    found = middle(values, 1)
    assert found is not None
    assert found[0] == len(values)
    assert found[1:] == pytest.approx(np.percentile(values, [25, 50, 75]), abs=0.0501)


def test_no_values_have_no_middle() -> None:
    assert middle([], 1) is None


def test_the_cents_of_a_month_are_those_of_all_its_tries(years: Reader, made: Figures) -> None:
    """The raw rows by SQL, their quartiles by numpy; not a mean of days or sessions."""
    part = made["practice"]
    checked = 0
    for period, tube, partial, tries, reached, right, *_, cents, speak_ms in part["rungs"]["month"]:
        own = made["tubes"][tube]
        raw = list(
            years.rows(
                "SELECT cents, speak_ms, outcome, complete FROM attempt JOIN session ON id = session "
                "WHERE substr(started, 1, 7) = ? AND horn = ? AND asked_fingering = ? AND wanted = ? "
                "AND task = 'play'",
                (part["months"][period], own["horn"], own["fingering"], partial),
            )
        )
        stood = [row for row in raw if row["outcome"] in ("spoke", "cracked")]
        assert (tries, reached, right) == (len(raw), len(stood), sum(row["complete"] for row in raw))
        for name, found, digits in (("cents", cents, 0.0501), ("speak_ms", speak_ms, 0.501)):
            if stood:
                wanted = np.percentile([row[name] for row in stood], [25, 50, 75])
                assert found[1:] == pytest.approx(wanted, abs=digits + 0.01)  # kept to a hundredth, then rounded
                checked += 1
            else:
                assert found is None
    assert checked > 50


def test_counts_by_month_and_by_day_and_of_the_whole_log_are_the_same(years: Reader, made: Figures) -> None:
    part = made["practice"]
    whole = next(iter(years.rows("SELECT count(*) AS tries FROM attempt")))["tries"]
    for family, place in (("practised", 3), ("calendar", 3)):
        rows = part["calendar"] if family == "calendar" else part["practised"]["day"]
        assert sum(row[place] for row in rows) == whole
    played = next(iter(years.rows("SELECT count(*) AS tries FROM attempt WHERE task = 'play'")))["tries"]
    assert sum(row[3] for row in part["rungs"]["day"]) == sum(row[3] for row in part["rungs"]["month"]) == played
    assert part["totals"]["sessions"] == 131
    assert part["totals"]["days"] == 130


def test_the_days_of_the_report_are_those_of_the_coach(years: Reader) -> None:
    sessions = listed(years)
    found = newest_days(list(sessions.values()))
    assert list(found) == ["alto", "tenor"]

    def tallies(number: int) -> Tallies:
        _, cells = sifted(years, sessions[number].whose)
        return [(row[1], row[2], row[3], *row[5:8]) for row in cells.rows()["rungs"]]

    for horn, sessions_by_day in found.items():
        coach, days = history(years, horn), own_history(sessions_by_day, tallies)
        assert [day.date for day in days] == [day.date for day in coach]
        assert [set(day.tallies) for day in days] == [set(day.tallies) for day in coach]


def agree(log: Reader) -> list[Way]:
    """Hold every rung and the way of every horn against the coach's own functions; the ways."""
    made = figures(log)
    tubes = made["tubes"]
    for way in made["coach"]:
        days = history(log, way["horn"])
        course, found, far = following.course(days), standings(days), reach(days)
        ladders = [ladder for ladder in made["ladder"] if tubes[ladder["tube"]]["horn"] == way["horn"]]
        told = {
            (tubes[ladder["tube"]]["fingering"], rung["partial"]): rung
            for ladder in ladders
            for rung in ladder["rungs"]
        }
        assert told.keys() == found.keys()
        for rung, standing in found.items():
            assert (told[rung]["stage"], told[rung]["sentence"]) == (standing.stage.value, standing.sentence)
            assert (told[rung]["low"], told[rung]["high"]) == pytest.approx(standing.share, abs=1e-4)
            assert told[rung]["plateau"] == (course.plateau is not None and course.plateau.rung == rung)
        assert [ladder["reach"] for ladder in ladders] == [
            far[tubes[ladder["tube"]]["fingering"]] for ladder in ladders
        ]
        assert (way["leg"], way["days_left"]) == (course.leg.value, course.days_left)
        labels = [date.fromordinal(day.date).isoformat() for day in days]
        assert [(one["day"], one["sentence"]) for one in way["plateaus"]] == [
            (labels[one.day], one.sentence) for one in course.plateaus
        ]
        assert [(one["first"], one["last"], one["helped"], one["sentence"]) for one in way["detours"]] == [
            (labels[one.first], labels[one.last], one.helped, one.sentence) for one in course.detours
        ]
    return made["coach"]


def test_the_report_says_of_every_rung_and_of_the_way_what_the_coach_says(years: Reader) -> None:
    assert [way["horn"] for way in agree(years)] == ["alto", "tenor"]


def test_a_plateau_and_the_detour_round_it_are_told_with_their_days(log: Log, head: Head, tried: Trier) -> None:
    """Four tries a day at partial 3: in vain, then five days on F, then they speak."""
    stuck = Asked("rising", "Bb3", partials=(3,))
    short = Asked("rising", "F4", partials=(2,))
    days = [*[(stuck, Outcome.OTHER)] * 32, *[(short, Outcome.SPOKE)] * 5, *[(stuck, Outcome.SPOKE)] * 7]
    for day, (asked, outcome) in enumerate(days):
        wanted = asked.partials[0]
        tries = [replace(tried(number, outcome, wanted, partial=wanted), asked=asked) for number in range(1, 5)]
        session = log.begin(replace(head, started=head.started + timedelta(days=day)), tries[0])
        for attempt in tries[1:]:
            log.keep(session, attempt)
    (way,) = agree(log)
    assert [(one["day"], one["partial"]) for one in way["plateaus"]] == [("2026-06-04", 3)]
    assert [(one["first"], one["last"], one["helped"]) for one in way["detours"]] == [
        ("2026-06-05", "2026-06-09", True)
    ]


def test_without_cold_tries_the_interval_is_wilsons(log: Log, head: Head, tried: Trier) -> None:
    """Against scipy.stats.binomtest."""
    session = log.begin(head, tried(1))
    for number in range(2, 12):
        log.keep(session, tried(number) if number % 4 else tried(number, Outcome.OTHER))
    (ladder,) = figures(log)["ladder"]
    (rung,) = ladder["rungs"]
    assert (rung["right"], rung["tries"]) == (9, 11)
    wanted = scipy.stats.binomtest(9, 11).proportion_ci(0.95, method="wilson")
    assert (rung["low"], rung["high"]) == pytest.approx((wanted.low, wanted.high), abs=1e-4)


def test_what_the_coach_repeats_is_told_once_until_it_says_something_else(log: Log, head: Head, tried: Trier) -> None:
    said = [
        ("The shorter fingerings today; 5 days of it.",),
        ("The shorter fingerings today; 4 days of it.", "Softer goes further."),
        ("The shorter fingerings today; one day of it.", "Softer goes further."),
        (),
        ("Softer goes further.",),
    ]
    for day, remarks in enumerate(said):
        log.begin(replace(head, started=head.started + timedelta(days=day), remarks=remarks), tried(1))
    log.begin(replace(head, invented=True, remarks=("Invented.",)), tried(1))
    (way,) = figures(log)["coach"]
    assert [(one["session"], one["remark"]) for one in way["remarks"]] == [
        (1, "The shorter fingerings today; 5 days of it."),
        (2, "Softer goes further."),
        (5, "Softer goes further."),
    ]
