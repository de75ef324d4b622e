"""What a press does, phase by phase. Nothing has to be pressed: whoever plays on comes through.

Conventions
-----------
BACK ends what goes on, and leaves when nothing does; held, it leaves at once. UP goes on, DOWN goes back, OK does the
one thing that is offered: it sounds the pitch that is wanted, where the box can, else it repeats. The foot switch
does as OK, and held as UP. The further presses of a button that is held mean nothing here.
"""

from __future__ import annotations

import math

from airladder.practice import aloud, moves, tries
from airladder.practice.ask import Task
from airladder.practice.attempt import Guess
from airladder.practice.effects import Step
from airladder.practice.presses import Button, Press
from airladder.practice.state import Phase, State

_GUESSES = {Button.DOWN: Guess.FLAT, Button.OK: Guess.IN_TUNE, Button.UP: Guess.SHARP}


def pressed(state: State, press: Press) -> Step:
    """The next state after a press, and what is to be done."""
    if state.phase is Phase.OVER or press.again:
        return state, ()
    button = press.meant
    if state.phase is Phase.GUESS:
        is_tap = press.button is Button.FOOT and not press.long  # whoever taps goes on, and has not guessed
        state, effects = tries.guessed(state, None if is_tap else _GUESSES.get(button))
        return (_ended(state, leave=press.long) if button is Button.BACK else state), effects
    state = moves.leaving(state)
    if button is Button.BACK:
        return _ended(state, leave=press.long), ()
    if button is Button.OK and aloud.can_sound(state):
        return aloud.pressed(state)
    return _moved(state, button), ()


def _ended(state: State, *, leave: bool) -> State:
    """Plain listening, of which nothing is kept, has no summary."""
    leave = leave or state.phase is Phase.DONE or (state.phase is Phase.FREE and math.isinf(state.ask.hold))
    return moves.waiting(state, Phase.OVER if leave else Phase.DONE)


def _moved(state: State, button: Button) -> State:
    match state.phase:
        case Phase.DONE:
            return moves.anew(state) if button is Button.OK else state
        case Phase.OFFER:
            return _answered(state, button)
        case Phase.WANTED | Phase.SOUNDING | Phase.RESULT | Phase.SUNG | Phase.REST | Phase.FREE:
            return _walked(state, button)
        case Phase.GUESS | Phase.OVER:
            return state


def _answered(state: State, button: Button) -> State:
    if button is Button.DOWN:
        return moves.eased(state)
    if button is Button.UP or state.offer is None:
        return moves.declined(state)
    return moves.waiting(state, Phase.DONE) if state.offer.ends else moves.rested(state)


def _walked(state: State, button: Button) -> State:
    if button is Button.DOWN:
        return moves.at(state, state.place - 1)
    if button is Button.UP or state.ask.task in (Task.REST, Task.FREE, Task.SING):
        return moves.passed(state)
    return moves.again(state)
