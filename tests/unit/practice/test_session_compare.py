"""Overtones and their usual fingerings in the session: how far apart, and never one without the other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.pitch import raised
from airladder.music.usual import Interval, usual
from airladder.practice.ask import Task
from airladder.practice.attempt import Guess
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.presses import Button, Press
from airladder.practice.session import (
    GUESS_SECONDS,
    Close,
    Event,
    Tick,
)
from airladder.practice.state import Phase
from stories import BACK, DOWN, OK, SERIES, UP, at, attack, keeps, reading, told, tone

COMPARE = built(Wish(Kind.COMPARE, SERIES, (3, 5), hush=0.0, tries=1))


def played(start: float, partial: int, hz: float) -> list[Event]:
    end = start + 2.0
    return [reading(start + 0.05, partial), attack(start), replace(tone(start, end, partial), hz=hz), Tick(end)]


def test_the_difference_is_that_of_the_two_notes_and_may_be_guessed_first() -> None:
    state, _ = told([*played(1, 3, raised(415.0, 9.0)), Tick(6)], at(COMPARE))
    assert (state.ask.task, str(state.listening.series.fingering), state.wanted) == (Task.USUAL, "F5", 1)
    state, effects = told(played(7, 1, 415.0), state)
    assert (state.phase, effects) == (Phase.GUESS, [])
    state, effects = told([UP], state)
    assert state.phase is Phase.RESULT
    assert keeps(effects) == [state.last]
    assert state.last is not None
    assert state.last.difference_cents == pytest.approx(9.0)
    assert state.last.guess is Guess.SHARP


@pytest.mark.parametrize(
    ("press", "guess"), [(DOWN, Guess.FLAT), (OK, Guess.IN_TUNE), (Press(Button.FOOT, False, 0), None)]
)
def test_guesses_have_their_buttons_and_the_foot_lets_it_be(press: Press, guess: Guess | None) -> None:
    state, _ = told([*played(1, 3, 415.0), Tick(6), *played(7, 1, 415.0), press], at(COMPARE))
    assert state.last is not None
    assert (state.last.guess, len(state.attempts), state.phase) == (guess, 2, Phase.RESULT)


@pytest.mark.parametrize(
    "after", [Tick(9 + GUESS_SECONDS), reading(9.5, 1), BACK, Press(Button.BACK, True, 0.0), Close()]
)
def test_a_try_is_kept_once_whoever_does_not_guess(after: Event) -> None:
    state, effects = told([*played(1, 3, 415.0), Tick(6), *played(7, 1, 415.0), after], at(COMPARE))
    assert len(effects) == 2
    assert [attempt.guess for attempt in state.attempts] == [None, None]


@pytest.mark.parametrize("interval", [Interval.OCTAVE, Interval.FIFTH, Interval.TWELFTH])
def test_a_note_below_is_set_against_the_consonance(interval: Interval) -> None:
    exercise = built(Wish(Kind.LOW, SERIES, (4,), intervals=(interval,), hush=0.0, guess=False))
    low = usual(SERIES, 4, interval)
    assert low is not None
    overtone = raised(low.fundamental_hz * interval.ratio, -6.0)
    state, _ = told([*played(1, 4, overtone), Tick(6), *played(7, 1, low.fundamental_hz)], at(exercise))
    assert state.last is not None
    assert state.last.difference_cents == pytest.approx(-6.0)


def test_without_the_overtone_its_usual_fingering_is_not_asked_for() -> None:
    state, _ = told([*played(1, 2, 277.0), Tick(6)], at(COMPARE))
    assert (state.ask.task, state.wanted) == (Task.PLAY, 5)
    state, _ = told([DOWN], state)
    assert (state.ask.task, state.wanted) == (Task.PLAY, 3)


def test_an_overtone_of_another_partial_is_nothing_to_compare_with() -> None:
    """Partial 3 was reached and compared; partial 5 was not, so its usual fingering is not asked for."""
    first = [*played(1, 3, 415.0), Tick(6), *played(7, 1, 415.0), OK, Tick(15)]
    state, _ = told(first, at(COMPARE))
    assert (state.ask.task, state.wanted) == (Task.PLAY, 5)
    state, _ = told([*played(16, 4, 554.0), Tick(22)], state)
    assert state.phase is Phase.DONE


def test_it_is_set_against_the_overtone_as_it_sounded_last() -> None:
    twice = built(Wish(Kind.COMPARE, SERIES, (3,), hush=0.0, guess=False))
    first = [*played(1, 3, raised(415.0, 30.0)), DOWN, *played(5, 3, raised(415.0, 9.0)), Tick(10)]
    state, _ = told([*first, *played(11, 1, 415.0)], at(twice))
    assert state.last is not None
    assert state.last.difference_cents == pytest.approx(9.0)


def test_once_more_from_the_first_thing_needs_its_overtone_anew() -> None:
    round_one = [*played(1, 3, 415.0), Tick(6), *played(7, 1, 415.0), OK, BACK]
    state, _ = told([*round_one, OK], at(built(Wish(Kind.COMPARE, SERIES, (3,), hush=0.0, tries=1))))
    assert (state.phase, state.wanted) == (Phase.WANTED, 3)
    state, _ = told([*played(20, 4, 554.0), Tick(25)], state)
    assert state.phase is Phase.DONE
