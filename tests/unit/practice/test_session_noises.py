"""What is no note: knocks, voices and gaps take no guess, decline no offer, and are no try."""

from __future__ import annotations

import pytest

from airladder.practice.ask import Ask, Task
from airladder.practice.ease import Limits
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.presses import Press
from airladder.practice.routine import Routine
from airladder.practice.session import GUESS_SECONDS, PATIENCE_SECONDS, RESULT_SECONDS, Event, Gap, Tick, begin
from airladder.practice.state import Phase, State
from stories import FOOT, OK, SERIES, UP, keeps, note, one, outcomes, reading, sung, told, tone

GUESSED = Ask(Task.PLAY, SERIES, (2,), guess=True)
FOLLOWS = Ask(Task.PLAY, SERIES, (3,))
KNOCK: list[Event] = [reading(3.5, None), tone(3.45, 3.6, None)]
SQUAWK = note(3.5, 4.5, None)
"""Long enough to have been played, on no partial."""


def waits() -> State:
    return told(note(1, 3, 2), one(GUESSED, FOLLOWS))[0]


def offered() -> State:
    asks = (Ask(Task.PLAY, SERIES, (2,)), FOLLOWS)
    start = begin(Routine("story", (Exercise(Kind.RISING, SERIES, asks),)), Limits(in_a_row=2))
    return told([*note(-6, -4, 1), Tick(-1), *note(0, 0.4, 1), Tick(3)], start)[0]


def test_a_knock_of_the_hand_on_its_way_to_the_button_takes_no_guess() -> None:
    state, effects = told(KNOCK, waits())
    assert (state.phase, effects) == (Phase.GUESS, [])
    state, effects = told([UP], state)
    assert len(effects) == 1
    assert state.last is not None
    assert state.last.guess is not None


@pytest.mark.parametrize("noise", [KNOCK, [reading(3.5, None), sung(3.2, 4.0, 200.0)], [Gap(3.5)]])
def test_nothing_but_a_note_declines_an_offer(noise: list[Event]) -> None:
    state, effects = told(noise, offered())
    assert (state.phase, effects) == (Phase.OFFER, [])
    assert told([OK], state)[0].phase is Phase.REST


def test_what_was_played_on_no_partial_ends_the_guess_and_is_a_try_of_its_own() -> None:
    state, effects = told(SQUAWK, waits())
    assert outcomes(state) == [(2, "spoke"), (3, "nothing")]
    assert keeps(effects) == list(state.attempts)


def test_what_was_played_on_no_partial_declines_and_is_a_try() -> None:
    state, effects = told(SQUAWK, offered())
    assert (state.phase, outcomes(state)[-1], len(effects)) == (Phase.RESULT, (2, "nothing"), 1)


def test_a_guess_is_waited_for_through_knocks_but_not_for_ever() -> None:
    state, effects = told([*KNOCK, Tick(3.0 + GUESS_SECONDS)], waits())
    assert (state.phase, len(effects)) == (Phase.RESULT, 1)


@pytest.mark.parametrize("press", [UP, OK, FOOT])
def test_a_gap_in_what_passes_makes_no_try_of_its_rest(press: Press) -> None:
    state, _ = told(
        [reading(1.0, 2), press, reading(1.2, 2), Gap(1.3), reading(1.4, 2)], one(FOLLOWS, GUESSED, FOLLOWS)
    )
    state, effects = told([tone(1.35, 2.5, 2)], state)
    assert (state.phase, state.attempts, effects, state.passing) == (Phase.WANTED, (), [], False)


def test_what_passed_and_ended_in_the_gap_is_over_after_a_moment() -> None:
    state, _ = told([reading(1.0, 2), UP, Gap(1.3), Tick(1.4), Tick(1.6)], one(FOLLOWS, GUESSED))
    assert not state.passing
    assert outcomes(told([*note(2, 4, 2), Tick(10)], state)[0]) == [(2, "spoke")]


def test_the_silence_that_was_asked_for_is_never_judged() -> None:
    hushed = Ask(Task.PLAY, SERIES, (3,), hush=60.0)
    begun = [*note(1, 3, 2), Tick(3 + RESULT_SECONDS)]
    late = 3 + RESULT_SECONDS + hushed.hush + PATIENCE_SECONDS
    state, effects = told([*begun, Tick(late - 0.01)], one(hushed))
    assert (state.phase, len(effects)) == (Phase.WANTED, 1)
    state, _ = told([Tick(late)], state)
    assert outcomes(state) == [(3, "other"), (3, "nothing")]
