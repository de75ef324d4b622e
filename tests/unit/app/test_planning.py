"""From a log on the disk to today's plan, and to the routine that a word names."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from airladder.app.planning import (
    WITHOUT_A_LOG,
    chosen,
    first_pages,
    glance,
    known_of,
    limits_of,
    routine_called,
    setting_of,
    todays,
)
from airladder.app.told_plan import told_plan, told_routine
from airladder.config import Settings, checked
from airladder.devices.clock import Clock
from airladder.faults import BadInput
from airladder.hearing.events import Tone
from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.pages.page import Page
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.exercise import Kind
from airladder.practice.judge import Outcome

START = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


class On(Clock):
    """So many days after the first one."""

    def __init__(self, days: int) -> None:
        self._days = days

    def wall(self) -> datetime:
        """That day, at eight."""
        return START + timedelta(days=self._days)


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return checked({"log_folder": str(tmp_path)}, "test")


def practised(path: Path, days: int, shares: dict[int, tuple[int, int]], horn: str = "alto") -> None:
    """So many days on low B flat with (right, tries) by partial; invented."""
    head = Head(START, "microphone m", False, horn, "Bb3", 440.0, "tempered", "today", "0.1.0")
    with Log(path) as log:
        for day in range(days):
            tries = [
                attempt(partial, count < right, cold=count == 0)
                for partial, (right, of) in shares.items()
                for count in range(of)
            ]
            numbered = [replace(one, number=number, t=9.0 * number) for number, one in enumerate(tries, start=1)]
            session = log.begin(replace(head, started=START + timedelta(days=day)), numbered[0])
            for one in numbered[1:]:
                log.keep(session, one)


def attempt(partial: int, right: bool, *, cold: bool) -> Attempt:
    sounded = partial if right else partial + 1
    tone = Tone(0.0, 2.0, sounded, 140.0 * sounded, 1.0, 1.0, None, 50.0, ((sounded, 2.0),), 0.0, -31.0)
    outcome = Outcome.SPOKE if right else Outcome.OTHER
    return Attempt(1, 2.0, partial, outcome, tone, Asked("rising", "Bb3", partials=(partial,), cold=cold))


def test_somebody_new_gets_cautions_and_the_first_week(settings: Settings) -> None:
    days = known_of(settings, settings.log)
    assert days == ()
    assert first_pages(None, settings, settings.log)[-2:] == (Page.CAUTIONS, Page.LEVEL)
    plan = todays(settings, days, On(0))
    assert plan.routine.name == "first week"
    assert limits_of(settings, days).relaxed_dbfs is None


def test_the_log_says_how_far_the_player_has_come(settings: Settings) -> None:
    practised(settings.log, 9, {1: (2, 2), 2: (5, 5), 3: (5, 5), 4: (1, 5)})
    days = known_of(settings, settings.log)
    assert setting_of(settings, days).reach["Bb3"] == 4
    assert Page.CAUTIONS not in first_pages(None, settings, settings.log)
    assert limits_of(settings, days).relaxed_dbfs == -31.0
    plan = todays(settings, days, On(9))
    assert plan.routine.exercises[0].kind is Kind.COLD
    assert max(partial for exercise in plan.routine.exercises for partial in exercise.rungs) == 4
    told = list(told_plan(plan))
    assert told[0].startswith("today, about ")
    assert any("The next rung is partial 4 (B♭5)" in line for line in told)


def test_the_days_of_another_horn_are_another_history(settings: Settings) -> None:
    practised(settings.log, 9, {2: (5, 5), 3: (5, 5)}, horn="tenor")
    assert todays(settings, known_of(settings, settings.log), On(9)).routine.name == "first week"


def test_a_player_stuck_for_weeks_is_led_over_the_short_fingerings_and_told_why(settings: Settings) -> None:
    practised(settings.log, 40, {1: (2, 2), 2: (5, 5), 3: (5, 5), 4: (0, 5)})
    plan = todays(settings, known_of(settings, settings.log), On(40))
    fingerings = {str(exercise.series.fingering) for exercise in plan.routine.exercises}
    assert fingerings & {"Eb4", "E4", "F4", "F#4", "G4", "G#4", "A4"}
    assert any("partial 4 on low B flat" in remark.lower() or "Partial 4" in remark for remark in plan.remarks)


def test_after_missed_days_it_begins_with_what_is_known(settings: Settings) -> None:
    practised(settings.log, 9, {1: (2, 2), 2: (5, 5), 3: (5, 5), 4: (1, 5)})
    days = known_of(settings, settings.log)
    plan, usual = todays(settings, days, On(40)), todays(settings, days, On(9))
    assert "begins with what you know" in plan.remarks[0]
    asked = [ask.wanted for exercise in plan.routine.exercises for ask in exercise.asks]
    assert asked.count(4) < [ask.wanted for exercise in usual.routine.exercises for ask in exercise.asks].count(4)


def test_a_routine_is_found_by_path_by_own_name_and_by_shipped_name(settings: Settings, tmp_path: Path) -> None:
    text = 'version = 1\nname = "mine"\nabout = "mine"\n[[step]]\nexercise = "rising"\npartials = [2]\n'
    (tmp_path / "mine.toml").write_text(text)
    assert routine_called(str(tmp_path / "mine.toml"), settings, ()).name == "mine"
    assert routine_called("backstage", settings, ()).name == "backstage"
    settings.routines.mkdir()
    (settings.routines / "backstage.toml").write_text(text)
    assert routine_called("backstage", settings, ()).name == "mine"
    with pytest.raises(BadInput, match="backstage"):
        routine_called("bakstage", settings, ())


def test_every_exercise_of_a_routine_is_told_with_what_it_is_for(settings: Settings) -> None:
    told = list(told_routine(routine_called("ten minutes", settings, ())))
    assert len(told) == 2 * len(routine_called("ten minutes", settings, ()).exercises)
    assert all(line.strip() for line in told)


def test_a_log_that_cannot_be_read_hinders_no_practice(settings: Settings) -> None:
    settings.log.write_bytes(b"this is no log at all" * 100)
    choice = chosen(None, settings, settings.log, On(0))
    assert choice.routine.name == WITHOUT_A_LOG
    assert glance(settings, settings.log, On(0)).plan.routine.name == WITHOUT_A_LOG
    assert Page.CAUTIONS not in first_pages(None, settings, settings.log)
    assert chosen("backstage", settings, settings.log, On(0)).routine.name == "backstage"


def test_the_coach_chooses_where_no_routine_is_named(settings: Settings) -> None:
    choice = chosen(None, settings, settings.log, On(0))
    assert choice.routine.name == "first week"
    assert chosen("backstage", settings, settings.log, On(0)).routine.name == "backstage"
