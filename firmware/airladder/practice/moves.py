"""Where the practice goes from here: on, again, back, to something easier, to a rest.

A thing asked for is left when it was reached or its tries are used: nothing is forced.
"""

from __future__ import annotations

from dataclasses import replace

from airladder.practice.ask import Ask, Task
from airladder.practice.comparing import overtone_hz
from airladder.practice.ease import Made, offer
from airladder.practice.judge import ARRIVED
from airladder.practice.routine import Placed
from airladder.practice.state import Phase, State

REST_SECONDS = 30.0
"""A rest that was offered."""

_PHASES = {Task.REST: Phase.REST, Task.FREE: Phase.FREE}


def at(state: State, place: int) -> State:
    """Stand before the ask at `place`; behind the last one all is done."""
    placed = state.routine.placed
    while 0 <= place < len(placed) and not _has_overtone(state, placed[place]):
        place += 1 if place > state.place else -1
    if place >= len(placed):
        return waiting(state, Phase.DONE)
    place = max(0, place)
    if placed[place].exercise is not state.exercise:
        state = replace(state, begun_at=len(state.attempts))
    if not _is_sung_for(state, placed[place]):
        state = replace(state, sung=None)
    return _begun(replace(state, place=place, instead=None, tries=0))


def _has_overtone(state: State, placed: Placed) -> bool:
    """Whether a usual fingering, if that is asked for, has an overtone that it can be set against."""
    beside = placed.ask.beside
    return beside is None or (placed.exercise is state.exercise and overtone_hz(state.here, beside) is not None)


def _is_sung_for(state: State, placed: Placed) -> bool:
    """Whether what was sung last was sung for this ask."""
    asked, now = placed.ask, state.ask
    same_pitch = (asked.series, asked.wanted) == (now.series, now.wanted)
    return same_pitch and placed.exercise is state.exercise and asked.task is not Task.SING


def anew(state: State) -> State:
    """Round once more, from the first thing on; what was sounded before is behind."""
    return at(replace(state, begun_at=len(state.attempts), sung=None), 0)


def again(state: State) -> State:
    """The same once more, with all its tries."""
    return replace(waiting(state), tries=0)


def _begun(state: State) -> State:
    return waiting(state, _PHASES.get(state.ask.task, Phase.WANTED))


def instead(state: State, ask: Ask) -> State:
    """Stand before something easier; what was asked comes again after it."""
    return _begun(replace(state, instead=ask, tries=0, sung=None))


def passed(state: State) -> State:
    """What is asked now lies behind."""
    return at(state, state.place if state.instead else state.place + 1)


def onward(state: State, *, offering: bool = True) -> State:
    """After a result: on when it was reached or its tries are used, else the same again; or an offer."""
    if state.phase is Phase.SUNG:
        return passed(state)
    last = state.last
    if offering and (found := offer(state.attempts, state.now - state.begun, state.offered, state.limits)):
        made = Made(found.why, len(state.attempts))
        return replace(waiting(state, Phase.OFFER), offer=found, offered=(*state.offered, made))
    if last is not None and (_is_reached(state) or state.tries >= state.ask.tries):
        return passed(state)
    return waiting(state)


def _is_reached(state: State) -> bool:
    last = state.last
    return last is not None and last.outcome in ARRIVED and last.begun_as_asked is not False


def declined(state: State) -> State:
    """The offer was not taken: on, as after the result before it."""
    return onward(replace(state, offer=None), offering=False)


def rested(state: State) -> State:
    """The rest was taken."""
    return instead(replace(state, offer=None), Ask(Task.REST, state.ask.series, hold=REST_SECONDS))


def eased(state: State) -> State:
    """The easier partial was taken: one try, then back."""
    partial = state.offer.easier if state.offer else 1
    return instead(replace(state, offer=None), Ask(Task.PLAY, state.exercise.series, (partial,), tries=1))


def waiting(state: State, phase: Phase = Phase.WANTED) -> State:
    """Nothing sounds that counts; of what still passes it is known that it sounds."""
    reading = state.reading if state.passing else None
    return replace(state, phase=phase, since=state.now, reading=reading, held_since=None, levels=(), pieces=())


def leaving(state: State) -> State:
    """What sounds now belongs to what is being left."""
    sounds = state.phase in (Phase.SOUNDING, Phase.FREE) and state.reading is not None
    return replace(state, passing=state.passing or sounds)


def quiet(state: State) -> State:
    """What passed, or sounded freely, has ended."""
    return replace(state, passing=False, reading=None, held_since=None)


def faded(state: State) -> State:
    """What sounded never became a note: a bump. It was no try."""
    if state.pieces:  # the first part of a slur still waits for its rest
        return quiet(state)
    return interrupted(state)


def interrupted(state: State) -> State:
    """What sounds cannot be scored; what is asked waits for it once more."""
    if state.phase is Phase.SOUNDING:
        return waiting(replace(state, passing=False))
    return quiet(state) if state.passing or state.phase is Phase.FREE else state
