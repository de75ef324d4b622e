"""What a session came to: rung by rung of each tube, and only what was tried one at a time."""

from __future__ import annotations

from dataclasses import replace

from airladder.music.fingerings import fingering_named
from airladder.music.series import Series
from airladder.practice.ask import Ask, Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.judge import Outcome
from airladder.practice.summary import Rung, rungs
from stories import ALTO, SERIES, tone

OTHER_TUBE = Series(ALTO, fingering_named(ALTO, "B3"))


def tried(ask: Ask, outcome: Outcome = Outcome.SPOKE, cents: float | None = 3.0) -> Attempt:
    heard = None if outcome is Outcome.NOTHING else replace(tone(1, 3, ask.wanted), cents=cents)
    return Attempt(1, 3.0, ask.partials[-1], outcome, heard, Asked.of(Exercise(Kind.RISING, SERIES, (ask,)), ask))


TWO, THREE = Ask(Task.PLAY, SERIES, (2,)), Ask(Task.PLAY, SERIES, (3,))


def test_nothing_came_to_nothing() -> None:
    assert rungs([]) == []


def test_tries_and_those_that_reached_it_are_counted_and_the_nearest_is_the_one_with_the_fewest_cents() -> None:
    sharp, flat, failed = (
        tried(THREE, cents=20.0),
        tried(THREE, Outcome.CRACKED, -4.0),
        tried(THREE, Outcome.OTHER, 0.0),
    )
    assert rungs([sharp, failed, flat, tried(THREE, Outcome.NOTHING)]) == [Rung("Bb3", 3, 4, 2, flat)]


def test_a_rung_that_was_never_reached_has_no_nearest() -> None:
    missed = [tried(THREE, outcome) for outcome in (Outcome.OTHER, Outcome.SPLIT, Outcome.NOTHING)]
    assert rungs(missed) == [Rung("Bb3", 3, 3, 0, None)]


def test_a_try_without_cents_is_nearest_only_when_alone() -> None:
    unsure, sure = tried(THREE, cents=None), tried(THREE, cents=-30.0)
    assert rungs([unsure, sure])[0].nearest is sure
    assert rungs([unsure])[0].nearest is unsure


def test_each_tube_as_it_came_and_its_rungs_in_the_ladders_order() -> None:
    came = [
        tried(replace(THREE, series=OTHER_TUBE)),
        tried(THREE),
        tried(TWO),
        tried(replace(TWO, series=OTHER_TUBE)),
    ]
    assert [(rung.fingering, rung.partial) for rung in rungs(came)] == [("B3", 2), ("B3", 3), ("Bb3", 2), ("Bb3", 3)]


def test_slurs_and_usual_fingerings_are_no_rungs_but_tries_of_old_logs_are() -> None:
    assert rungs([tried(Ask(Task.SLUR, SERIES, (2, 3))), tried(replace(TWO, task=Task.USUAL))]) == []
    old = replace(tried(TWO), asked=None)
    assert rungs([old]) == [Rung("", 2, 1, 1, old)]
