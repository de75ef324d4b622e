"""What each press does in each phase: a table, and what of a press concerns the note that still sounds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.series import Against
from airladder.practice.ask import Ask, Task
from airladder.practice.attempt import Guess
from airladder.practice.ease import Limits
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import Tick, begin, listening
from airladder.practice.state import Phase, State
from stories import BACK, DOWN, FOOT, FOOT_HELD, LEAVE, OK, SERIES, UP, at, note, one, reading, sung, told

THREE = tuple(Ask(Task.PLAY, SERIES, (partial,)) for partial in (1, 2, 3))
MIDDLE = told([UP], one(*THREE))[0]
"""In the middle of three rungs, nothing sounds."""


def waits_for_a_guess() -> State:
    asks = (Ask(Task.PLAY, SERIES, (1,)), Ask(Task.PLAY, SERIES, (2,), guess=True), Ask(Task.PLAY, SERIES, (3,)))
    return told([UP, *note(1, 3, 2)], one(*asks))[0]


def offered() -> State:
    """The first rung was passed by; the second failed twice."""
    start = begin(Routine("story", (Exercise(Kind.RISING, SERIES, THREE),)), Limits(in_a_row=2))
    return told([UP, *note(1, 3, 1), Tick(6), *note(7, 9, 1), Tick(12)], start)[0]


STATES = {
    "wanted": MIDDLE,
    "sounding": told([reading(1.0, 2)], MIDDLE)[0],
    "guess": waits_for_a_guess(),
    "result": told(note(1, 3, 2), MIDDLE)[0],
    "sung": told([sung(1, 2, 415.0)], at(built(Wish(Kind.HEAR, SERIES, (3,)))))[0],
    "offer": offered(),
    "rest": at(built(Wish(Kind.REST, SERIES, hold=30.0)), Exercise(Kind.RISING, SERIES, THREE)),
    "free": at(built(Wish(Kind.FREE, SERIES, hold=30.0)), Exercise(Kind.RISING, SERIES, THREE)),
    "done": told([BACK], MIDDLE)[0],
    "over": told([LEAVE], MIDDLE)[0],
}

TABLE = {  # phase: (BACK, DOWN, UP, OK, FOOT), each as phase and partial wanted
    "wanted": ("done", "wanted 1", "wanted 3", "wanted 2", "wanted 2"),
    "sounding": ("done", "wanted 1", "wanted 3", "wanted 2", "wanted 2"),
    "guess": ("done", "result 2", "result 2", "result 2", "result 2"),
    "result": ("done", "wanted 1", "wanted 3", "wanted 2", "wanted 2"),
    "sung": ("done", "wanted 3", "wanted 3", "wanted 3", "wanted 3"),
    "offer": ("done", "wanted 1", "wanted 2", "rest", "rest"),
    "rest": ("done", "rest", "wanted 1", "wanted 1", "wanted 1"),
    "free": ("done", "free", "wanted 1", "wanted 1", "wanted 1"),
    "done": ("over", "done", "done", "wanted 1", "wanted 1"),
    "over": ("over", "over", "over", "over", "over"),
}


def stands(state: State) -> str:
    return state.phase.value if state.wanted is None else f"{state.phase.value} {state.wanted}"


@pytest.mark.parametrize("phase", [phase.value for phase in Phase])
def test_every_press_in_every_phase(phase: str) -> None:
    assert STATES[phase].phase.value == phase
    after = [told([Press(button, False, 20.0)], STATES[phase])[0] for button in Button]
    assert tuple(stands(state) for state in after) == TABLE[phase]


@pytest.mark.parametrize("phase", [phase.value for phase in Phase])
def test_a_long_press_of_back_leaves_from_everywhere(phase: str) -> None:
    assert told([LEAVE], STATES[phase])[0].phase is Phase.OVER


@pytest.mark.parametrize("phase", [phase.value for phase in Phase])
def test_the_foot_switch_held_does_as_up(phase: str) -> None:
    assert told([FOOT_HELD], STATES[phase]) == told([UP], STATES[phase])


@pytest.mark.parametrize("press", [DOWN, UP, OK, FOOT, BACK])
def test_a_note_under_way_at_a_press_is_never_a_try(press: Press) -> None:
    state, effects = told([press, reading(1.2, 2), *note(1.0, 1.5, 2)[2:]], STATES["sounding"])
    assert (state.attempts, effects, state.passing) == ((), [], False)


def test_going_back_from_something_easier_leaves_it() -> None:
    easier, _ = told([DOWN], STATES["offer"])
    assert easier.instead is not None
    assert stands(told([DOWN], easier)[0]) == "wanted 1"
    assert told([DOWN], easier)[0].instead is None
    assert stands(told([UP], easier)[0]) == "wanted 2"
    assert told([OK], easier)[0].instead == easier.instead


def test_once_more_forgets_what_was_tried_at_it_and_keeps_the_log() -> None:
    state, _ = told([*note(1, 3, 1), Tick(6), *note(7, 9, 1), OK], MIDDLE)
    assert (state.wanted, state.tries, len(state.attempts)) == (2, 0, 2)


@pytest.mark.parametrize("phase", [phase.value for phase in Phase])
@pytest.mark.parametrize("button", Button)
def test_the_further_presses_of_a_held_button_mean_nothing(phase: str, button: Button) -> None:
    state, effects = told([Press(button, True, 20.0, again=True)], STATES[phase])
    assert (state, effects) == (replace(STATES[phase], now=20.0), [])


def test_plain_listening_has_no_summary() -> None:
    for begun in ([], [reading(1.0, 2)]):
        assert told([*begun, BACK], listening(SERIES, Against.TEMPERED))[0].phase is Phase.OVER


@pytest.mark.parametrize(("long", "guess"), [(False, None), (True, Guess.SHARP)])
def test_a_tap_of_the_foot_goes_on_and_has_not_guessed_while_a_held_one_says_sharp(
    long: bool, guess: Guess | None
) -> None:
    state, _ = told([Press(Button.FOOT, long, 20.0)], STATES["guess"])
    assert state.phase is Phase.RESULT
    assert state.last is not None
    assert state.last.guess is guess
