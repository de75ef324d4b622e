"""The session: one pure function from a state and an event to the next state and what is to be done.

The same events always give the same log, so a whole practice can be replayed from a recording.

Conventions
-----------
Nothing is hurried: a result stands for a while, a new note or a press ends it sooner; silence is waited out, and
is judged "nothing" once, never again and again. `moves` says where one goes from here, `tries` what a try was.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from airladder.hearing.events import Attack, Reading, Sung, Tone
from airladder.music.series import Against, Series
from airladder.practice import aloud, moves, tries
from airladder.practice.ask import Ask, Task
from airladder.practice.ease import Limits
from airladder.practice.effects import Step
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.hands import pressed
from airladder.practice.judge import Outcome
from airladder.practice.overload import told_after
from airladder.practice.presses import Press
from airladder.practice.routine import Routine
from airladder.practice.state import Aloud, Phase, State

RESULT_SECONDS = 2.5
"""How long a result stands by itself."""

GUESS_SECONDS = 4.0
"""How long a guess is waited for: both hands may stay on the horn."""

PATIENCE_SECONDS = 20.0
"""How long silence lasts before it is judged "nothing": time to hear the pitch, sing it, breathe."""

SING_SECONDS = 8.0
"""How long singing is waited for; whoever imagines the pitch is silent."""

JOIN_SECONDS = 0.4
"""A note that begins so soon after the first part of a slur belongs to it."""

STALE_SECONDS = 0.5
"""Without a reading for so long, and without a tone, nothing sounds any more."""

SHORTEST_TRY_SECONDS = 0.25
"""What sounds for less than this on no partial is a knock or a word, not a try."""

_LEVEL_SECONDS = 0.1
_DEAF = (Phase.GUESS, Phase.OFFER, Phase.OVER)  # where what sounds settled nothing
_UNASKED = (Phase.REST, Phase.DONE)  # whatever sounds here passes, also into what comes next


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


@dataclass(frozen=True)
class Leak:
    """The microphone hears what the box itself sounds."""


@dataclass(frozen=True)
class PlayedOver:
    """Somebody plays while the box sounds."""


@dataclass(frozen=True)
class Close:
    """The sound has ended: what still waits for a word of the player is settled without it."""


Event = Reading | Attack | Tone | Sung | Press | Tick | Gap | Kept | Trouble | Leak | PlayedOver | Close


def begin(routine: Routine, limits: Limits | None = None, *, t: float = 0.0, sounds: Aloud = Aloud.SILENT) -> State:
    """The state before anything was heard, at `t` seconds on the clock of the sound."""
    return moves.at(State(routine, now=t, since=t, begun=t, limits=limits or Limits(), aloud=sounds), 0)


def listening(series: Series, against: Against, *, t: float = 0.0) -> State:
    """The state of plain listening on one tube, from `t` seconds on: nothing is judged, and it has no end."""
    free = Exercise(Kind.FREE, series, (Ask(Task.FREE, series, hold=float("inf")),), against)
    return State(Routine("listening", (free,)), phase=Phase.FREE, now=t, since=t, begun=t)


def step(state: State, event: Event) -> Step:
    """The next state, and what is to be done."""
    return aloud.followed(state, *_stepped(state, event))


def _stepped(state: State, event: Event) -> Step:
    match event:
        case Tick():
            return _at(replace(state, now=max(state.now, event.t)))
        case Reading():
            return _sounding(state, event)
        case Attack():  # the reading that comes with it has already said that a note began
            return state, ()
        case Tone():
            return _ended(_loudness_told(replace(state, now=max(state.now, event.end)), event), event)
        case Sung():
            return _sung(replace(state, now=max(state.now, event.end)), event), ()
        case Press():
            return pressed(replace(state, now=max(state.now, event.t)), event)
        case Gap():
            return (state if state.passing else moves.interrupted(state)), ()  # what passes goes on passing after it
        case Kept():
            return replace(state, kept=state.kept + 1), ()
        case Trouble():
            return _troubled(state, event), ()
        case Leak():
            return aloud.leaked(state), ()
        case PlayedOver():
            return aloud.hushed(state)
        case Close():
            return _closed(state)


def _at(state: State) -> Step:
    waited = state.now - state.since
    if _is_stale(state):
        return moves.faded(state), ()
    match state.phase:
        case Phase.RESULT | Phase.SUNG if waited >= RESULT_SECONDS:
            return moves.onward(state), ()
        case Phase.GUESS if waited >= GUESS_SECONDS:
            return tries.guessed(state, None)
        case Phase.SOUNDING if state.pieces and state.reading is None and waited >= JOIN_SECONDS:
            return tries.tried(state, state.pieces)
        case Phase.WANTED if state.ask.task is Task.SING and waited >= SING_SECONDS:
            return moves.at(state, state.place + 1), ()
        case Phase.WANTED if state.ask.is_judged and _silence_is_news(state, waited):
            return tries.tried(state, (), Outcome.NOTHING)
        case Phase.REST | Phase.FREE if state.left <= 0.0:
            return moves.passed(moves.leaving(state)), ()
    return state, ()


def _is_stale(state: State) -> bool:
    """Whether what sounded does so no more; the last reading of a result stays with it."""
    sounds = state.passing or state.phase in (Phase.SOUNDING, Phase.FREE)
    return sounds and state.reading is not None and state.now - state.reading.t >= STALE_SECONDS


def _silence_is_news(state: State, waited: float) -> bool:
    """Whether nobody played where somebody had; the silence that was asked for does not count."""
    heard_before = not state.passing and state.last is not None and state.last.tone is not None
    return heard_before and waited >= state.ask.hush + PATIENCE_SECONDS


def _sounding(state: State, reading: Reading) -> Step:
    state, effects = (state, ()) if state.passing else _settled(state, plays=reading.partial is not None)
    if state.phase in _DEAF:
        return state, effects
    if state.passing or state.phase in _UNASKED:  # its readings tell only that it still sounds
        return replace(state, passing=True, reading=reading), effects
    stays = state.reading is not None and state.reading.partial == reading.partial
    held_since = state.held_since if stays else reading.t
    if state.phase is Phase.WANTED:
        state = replace(state, phase=Phase.SOUNDING, since=reading.t, levels=())
    return _levelled(replace(state, reading=reading, held_since=held_since)), effects


def _settled(state: State, *, plays: bool) -> Step:
    """A new note ends whatever was shown; what waits for an answer has none from a knock, as of a hand on its way."""
    match state.phase:
        case Phase.GUESS if plays:
            state, effects = tries.guessed(state, None)
            return moves.onward(state, offering=False), effects
        case Phase.RESULT | Phase.SUNG:
            return moves.onward(state, offering=False), ()
        case Phase.OFFER if plays:
            return moves.declined(state), ()
    return state, ()


def _levelled(state: State) -> State:
    reading, levels = state.reading, state.levels
    if reading is None or (levels and reading.t - levels[-1][0] < _LEVEL_SECONDS):
        return state
    return replace(state, levels=(*levels, (reading.t, reading.level_dbfs)))


def _ended(state: State, tone: Tone) -> Step:
    if state.passing or state.phase is Phase.FREE:
        return moves.quiet(state), ()
    if state.phase in (Phase.GUESS, Phase.OFFER) and not _is_knock(tone):  # played, though on no partial
        state, effects = _settled(state, plays=True)
        state, more = _ended(state, tone)
        return state, (*effects, *more)
    if state.phase not in (Phase.WANTED, Phase.SOUNDING):
        return state, ()
    if state.ask.task is Task.SING and tone.partial is not None:  # the horn: whoever plays has imagined the pitch
        return moves.passed(state), ()
    if not state.ask.is_judged or _is_knock(tone):
        return (state if state.pieces else moves.waiting(state)), ()
    pieces = (*state.pieces, tone)
    if tries.may_go_on(state.ask, pieces):
        state = replace(state, phase=Phase.SOUNDING, since=state.now, pieces=pieces)
        return replace(state, reading=None, held_since=None), ()
    return tries.tried(state, pieces)


def _is_knock(tone: Tone) -> bool:
    return tone.partial is None and tone.end - tone.start < SHORTEST_TRY_SECONDS


def _sung(state: State, sung: Sung) -> State:
    """Singing the pitch before playing it is no try at it; where it was asked for, it is shown."""
    if state.listening.sings and not state.passing:
        return tries.heard_sung(state, sung)
    return moves.interrupted(state)


def _loudness_told(state: State, tone: Tone) -> State:
    sentence = told_after(tone)
    return state if sentence is None else _troubled(state, Trouble("level", sentence))


def _troubled(state: State, trouble: Trouble) -> State:
    others = tuple(known for known in state.troubles if known[0] != trouble.about)
    mine = ((trouble.about, trouble.sentence),) if trouble.sentence else ()
    return replace(state, troubles=(*others, *mine))


def _closed(state: State) -> Step:
    if state.phase is Phase.GUESS:
        return tries.guessed(state, None)
    if state.pieces:
        return tries.tried(state, state.pieces)
    return state, ()
