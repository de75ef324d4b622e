"""The session: one pure function from a state and an event to the next state and what is to be done.

The same events always give the same log, so a whole practice can be replayed from a recording.

Conventions
-----------
Nothing is hurried: a result stands for a while, a new note or a press ends it sooner; silence is waited out, and
is judged "nothing" once, never again and again. A rung is left when its partial was reached or its tries are used.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from airladder.hearing.events import Attack, Reading, Sung, Tone
from airladder.practice.effects import Effect, Keep
from airladder.practice.exercise import Exercise
from airladder.practice.judge import ARRIVED, Attempt, Outcome, judged
from airladder.practice.overload import told_after
from airladder.practice.presses import Button, Press
from airladder.practice.state import Phase, State

RESULT_SECONDS = 2.5
"""How long a result stands by itself."""

PATIENCE_SECONDS = 20.0
"""How long silence lasts before it is judged "nothing": time to hear the pitch, sing it, breathe."""


STALE_SECONDS = 0.5
"""Without a reading for so long, and without a tone, nothing sounds any more."""

SHORTEST_TRY_SECONDS = 0.25
"""What sounds for less than this on no partial is a knock or a word, not a try."""


@dataclass(frozen=True)
class Tick:
    """The clock of the sound has moved on to `t` seconds."""

    t: float


@dataclass(frozen=True)
class Gap:
    """Sound was lost at `t` seconds; whatever was under way cannot be scored."""

    t: float


@dataclass(frozen=True)
class Kept:
    """Try `number` is safely on the disk."""

    number: int


@dataclass(frozen=True)
class Trouble:
    """A sentence that the player should see; empty when it is over. `about` is "microphone", "level" or "log"."""

    about: str
    sentence: str


Event = Reading | Attack | Tone | Sung | Press | Tick | Gap | Kept | Trouble
Step = tuple[State, tuple[Effect, ...]]


def begin(exercise: Exercise) -> State:
    """The state before anything was heard."""
    return State(exercise)


def listening(exercise: Exercise) -> State:
    """The state of plain listening: the exercise gives only the tube, nothing is judged."""
    return State(exercise, phase=Phase.FREE)


def step(state: State, event: Event) -> Step:
    """The next state, and what is to be done."""
    match event:
        case Tick():
            return _at(replace(state, now=max(state.now, event.t)))
        case Reading():
            return _sounding(state, event), ()
        case Attack():  # the reading that comes with it has already said that a note began
            return state, ()
        case Tone():
            return _ended(_loudness_told(replace(state, now=max(state.now, event.end)), event), event)
        case Sung():  # singing the pitch before playing it is no try at it
            return _interrupted(replace(state, now=max(state.now, event.end))), ()
        case Press():
            return _pressed(replace(state, now=max(state.now, event.t)), event), ()
        case Gap():
            return _interrupted(state), ()
        case Kept():
            return replace(state, kept=state.kept + 1), ()
        case Trouble():
            return _troubled(state, event), ()


def _at(state: State) -> Step:
    waited = state.now - state.since
    if state.phase is Phase.RESULT and waited >= RESULT_SECONDS:
        return _onward(state), ()
    if state.reading is not None and state.now - state.reading.t >= STALE_SECONDS:
        return _faded(state), ()
    if state.phase is Phase.WANTED and waited >= PATIENCE_SECONDS and _silence_is_news(state):
        return _tried(state, Outcome.NOTHING, None)
    return state, ()


def _silence_is_news(state: State) -> bool:
    return state.last is not None and state.last.tone is not None


def _sounding(state: State, reading: Reading) -> State:
    if state.passing or state.phase in (Phase.DONE, Phase.OVER):
        return state
    if state.phase is Phase.RESULT:
        state = _onward(state)
        if state.phase is Phase.DONE:
            return state
    stays = state.reading is not None and state.reading.partial == reading.partial
    held_since = state.held_since if stays else reading.t
    if state.phase is Phase.WANTED:
        state = replace(state, phase=Phase.SOUNDING, since=reading.t)
    return replace(state, reading=reading, held_since=held_since)


def _ended(state: State, tone: Tone) -> Step:
    if state.passing:
        return replace(state, passing=False), ()
    if state.phase is Phase.FREE:
        return replace(state, reading=None, held_since=None), ()
    if state.phase not in (Phase.WANTED, Phase.SOUNDING):
        return state, ()
    if tone.partial is None and tone.end - tone.start < SHORTEST_TRY_SECONDS:
        return _waiting(state), ()
    return _tried(state, judged(state.exercise.partials[state.rung], tone), tone)


def _tried(state: State, outcome: Outcome, tone: Tone | None) -> Step:
    wanted = state.exercise.partials[state.rung]
    attempt = Attempt(len(state.attempts) + 1, state.now, wanted, outcome, tone)
    state = replace(
        state,
        phase=Phase.RESULT,
        since=state.now,
        tries=state.tries + 1,
        attempts=(*state.attempts, attempt),
    )
    return state, (Keep(attempt),)


def _onward(state: State) -> State:
    """After a result: the next rung when this one was reached or its tries are used, else the same again."""
    last = state.last
    if last is not None and (last.outcome in ARRIVED or state.tries >= state.exercise.tries):
        return _at_rung(state, state.rung + 1)
    return _waiting(state)


def _at_rung(state: State, rung: int) -> State:
    if rung >= len(state.exercise.partials):
        return _waiting(state, Phase.DONE)
    return replace(_waiting(state), rung=max(0, rung), tries=0)


def _waiting(state: State, phase: Phase = Phase.WANTED) -> State:
    return replace(state, phase=phase, since=state.now, reading=None, held_since=None)


def _faded(state: State) -> State:
    """What sounded never became a note: a bump. It was no try."""
    return _interrupted(replace(state, reading=None, held_since=None))


def _interrupted(state: State) -> State:
    """Samples were lost: the note under way is not scored, and the rung waits for it once more."""
    state = replace(state, passing=False)
    return _waiting(state) if state.phase is Phase.SOUNDING else state


def _loudness_told(state: State, tone: Tone) -> State:
    sentence = told_after(tone)
    return state if sentence is None else _troubled(state, Trouble("level", sentence))


def _troubled(state: State, trouble: Trouble) -> State:
    others = tuple(known for known in state.troubles if known[0] != trouble.about)
    mine = ((trouble.about, trouble.sentence),) if trouble.sentence else ()
    return replace(state, troubles=(*others, *mine))


def _pressed(state: State, press: Press) -> State:
    if press.button is Button.BACK and (press.long or state.phase in (Phase.DONE, Phase.FREE)):
        return _waiting(state, Phase.OVER)
    if state.phase is Phase.DONE and press.button in (Button.OK, Button.FOOT):
        return _at_rung(_waiting(state), 0)
    if state.phase not in (Phase.WANTED, Phase.SOUNDING, Phase.RESULT):
        return state
    state = replace(state, passing=state.passing or state.phase is Phase.SOUNDING)
    match press.button:
        case Button.BACK:
            return _waiting(state, Phase.DONE)
        case Button.DOWN:
            return _at_rung(state, state.rung - 1)
        case Button.UP:
            return _at_rung(state, state.rung + 1)
        case Button.FOOT if press.long:
            return _at_rung(state, state.rung + 1)
        case Button.OK | Button.FOOT:
            return _at_rung(state, state.rung)
