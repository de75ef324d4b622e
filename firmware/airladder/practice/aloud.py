"""The wanted pitch, sounded by the box: when it may, for how long, and when it stops.

It sounds when it is asked for, and by itself where something is to be sung. What the microphone takes in meanwhile is
the box's own sound and no try (see `hearing.own_sound`). A drone goes on under the player only where the microphone
does not hear it, as with earphones; out of a loudspeaker it ends like a tone, before the player begins.

Conventions
-----------
Times in seconds on the clock of the sound, frequencies in Hz as they sound.
"""

from __future__ import annotations

from dataclasses import replace

from airladder.music.series import Against
from airladder.practice.ask import Task
from airladder.practice.effects import Effect, Hush, Sound, Step
from airladder.practice.judge import ARRIVED
from airladder.practice.state import Aloud, Phase, State

TONE_SECONDS = 2.0
"""How long a tone sounds."""

DRONE_SECONDS = 60.0
"""How long a drone sounds at most."""

LEAKING_SECONDS = 5.0
"""How long a drone sounds that the microphone hears: whoever plays must be heard alone."""

_LASTS_IN = (Phase.WANTED, Phase.SOUNDING, Phase.GUESS, Phase.RESULT, Phase.SUNG)


def can_sound(state: State) -> bool:
    """Whether a press sounds what is wanted now, or ends its sound."""
    return state.aloud is not Aloud.SILENT and state.phase is Phase.WANTED and state.ask.wanted is not None


def pressed(state: State) -> Step:
    """Sound what is wanted; where it sounds already, end it."""
    return hushed(state) if state.sounds_until is not None else _sounded(state)


def followed(before: State, state: State, effects: tuple[Effect, ...]) -> Step:
    """What a step means for the sound: it ends with its time and with what it was for; a song begins with it."""
    same = (before.place, before.instead) == (state.place, state.instead) and state.phase in _LASTS_IN
    if state.sounds_until is not None and (not same or state.now >= state.sounds_until):
        state, more = hushed(state)
        effects = (*effects, *more)
    if not (same and before.phase in _LASTS_IN):  # a cough in the singing brings no second tone
        state, more = begun(state)
        effects = (*effects, *more)
    return state, effects


def begun(state: State) -> Step:
    """What it means for the sound that something is newly asked for: what is to be sung sounds by itself."""
    return _sounded(state) if can_sound(state) and state.ask.task is Task.SING else (state, ())


def leaked(state: State) -> State:
    """The microphone hears it: a drone ends before the player begins."""
    if state.sounds_until is None or state.aloud is not Aloud.DRONE:
        return state
    until = min(state.sounds_until, state.now + LEAKING_SECONDS)
    return replace(state, sounds_until=until, since=max(state.since, until))


def hushed(state: State) -> Step:
    """It sounds no more."""
    return replace(state, sounds_until=None), (() if state.sounds_until is None else (Hush(),))


def _sounded(state: State) -> Step:
    """The player's own time begins when the tone is over."""
    seconds = DRONE_SECONDS if state.aloud is Aloud.DRONE else TONE_SECONDS
    sounding = replace(state, since=state.now + TONE_SECONDS, sounds_until=state.now + seconds)
    return sounding, (Sound(_pitch_hz(state), seconds),)


def _pitch_hz(state: State) -> float:
    """What counts as 0 cents; the nearest tempered note as long as that has not been measured."""
    series, partial, against = state.ask.series, state.ask.partials[-1], state.exercise.against
    measured = _fundamental_hz(state) if against is Against.MEASURED else None
    return series.target_hz(partial, against, measured) or series.tempered_hz(partial)


def _fundamental_hz(state: State) -> float | None:
    """The fundamental of the tube as last sounded in this session."""
    own = str(state.ask.series.fingering)
    for attempt in reversed(state.attempts):
        asked, tone = attempt.asked, attempt.tone
        if asked and asked.fingering == own and attempt.wanted == 1 and attempt.outcome in ARRIVED and tone:
            return tone.hz
    return None
