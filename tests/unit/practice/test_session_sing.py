"""Singing or imagining the pitch before it is played."""

from __future__ import annotations

import pytest

from airladder.music.pitch import raised
from airladder.practice.ask import Task
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.judge import Outcome
from airladder.practice.presses import Button, Press
from airladder.practice.session import (
    RESULT_SECONDS,
    SING_SECONDS,
    Event,
    Tick,
)
from airladder.practice.state import Phase
from stories import DOWN, OK, SERIES, UP, at, note, reading, sung, told

HEAR = built(Wish(Kind.HEAR, SERIES, (3,)))


def test_what_was_sung_is_shown_and_kept_with_the_try_that_follows() -> None:
    """Sung an octave low, 20 cents flat of written F5 on an alto, 415.305 Hz (trade table)."""
    state = at(HEAR)
    assert state.listening.sings
    state, effects = told([reading(1.0, None), sung(1.0, 2.0, raised(415.305 / 2, -20.0))], state)
    assert (state.phase, effects, state.listening.sings) == (Phase.SUNG, [], False)
    assert state.sung is not None
    assert state.sung.cents == pytest.approx(-20.0, abs=0.01)
    state, _ = told([Tick(2.0 + RESULT_SECONDS), *note(6, 8, 3)], state)
    assert state.last is not None
    assert (state.last.outcome, state.last.sung) == (Outcome.SPOKE, state.sung)


@pytest.mark.parametrize("events", [[Tick(SING_SECONDS)], [OK], [Press(Button.FOOT, False, 0.0)], [UP]])
def test_whoever_imagines_the_pitch_goes_on_with_no_try(events: list[Event]) -> None:
    state, effects = told(events, at(HEAR))
    assert (state.phase, state.ask.task, effects, state.sung) == (Phase.WANTED, Task.PLAY, [], None)


def test_what_was_sung_belongs_to_its_own_partial_alone() -> None:
    both = at(built(Wish(Kind.HEAR, SERIES, (3, 4))))
    state, _ = told([sung(1.0, 2.0, 415.305), Tick(2.0 + RESULT_SECONDS), *note(6, 8, 3), Tick(11)], both)
    assert (state.ask.task, state.wanted, state.sung) == (Task.SING, 4, None)
    state, _ = told([OK, *note(12, 14, 4)], state)
    assert [attempt.sung is None for attempt in state.attempts] == [False, True]


def test_a_second_try_keeps_what_was_sung_and_going_back_to_sing_forgets_it() -> None:
    heard = [sung(1.0, 2.0, 415.305), Tick(2.0 + RESULT_SECONDS), *note(6, 8, 2), Tick(11)]
    state, _ = told(heard, at(HEAR))
    assert (state.wanted, state.tries) == (3, 1)
    assert state.sung is not None
    assert told([DOWN], state)[0].sung is None
