"""What the screen shows as the sound: the newest reading, or the medians of the tone just judged.

A usual fingering is shown on the rung of the overtone that it is set against. Cents that are not to be told yet, for
the player is to guess them or to listen, are left out here, so that no part of the screen gives them away.

Conventions
-----------
Cents from the exercise's target, positive when sharp. Where an overtone is set against its usual fingering, they say
how far the overtone lies above it, or above the consonance over it: while it sounds as in the result, and as in the
log. Hz as it sounds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from airladder.music.usual import difference_cents
from airladder.practice.ask import Ask
from airladder.practice.attempt import Attempt
from airladder.practice.comparing import overtone_hz
from airladder.practice.judge import Outcome
from airladder.practice.state import Phase, State


@dataclass(frozen=True)
class Heard:
    """One sound: `partial` (None between partials), `cents` (None when not told), `hz`, and its `split`."""

    partial: int | None
    cents: float | None
    hz: float | None
    split: tuple[int, ...] = ()


def heard(state: State) -> Heard | None:
    """What sounds now, or sounded in the try whose result is shown; None for silence."""
    if state.phase in (Phase.RESULT, Phase.GUESS):
        return _judged(state)
    if state.phase not in (Phase.SOUNDING, Phase.FREE) or state.reading is None:
        return None
    reading = state.reading
    cents = None if reading.partial is None else reading.cents
    if state.ask.beside is not None:
        cents = _from_overtone(state, reading.partial, reading.hz)
    told = cents if cents is not None and _is_told_live(state.ask, cents) else None
    return _on_ladder(state.ask, Heard(reading.partial, told, reading.hz, reading.split))


def off(attempt: Attempt) -> float | None:
    """What the cents of a try are: from the usual fingering where it was set against one, else from the target."""
    if attempt.difference_cents is not None:
        return attempt.difference_cents
    if attempt.tone is None or attempt.outcome is Outcome.SPLIT:  # of two at once they are those of neither
        return None
    return attempt.tone.cents


def tells(state: State, attempt: Attempt) -> bool:
    """Whether the cents of a try are told now, in its result."""
    cents = off(attempt)
    return cents is not None and state.ask.feedback.tells(cents, len(state.here))


def _is_told_live(ask: Ask, cents: float) -> bool:
    return not ask.guess and ask.feedback.tells_live(cents)


def _on_ladder(ask: Ask, sound: Heard) -> Heard:
    """Where a sound stands on the ladder: other partials of a usual fingering are no rungs of it."""
    if ask.beside is None:
        return sound
    if sound.partial != ask.wanted or len(sound.split) > 1:
        return Heard(None, None, sound.hz)
    return replace(sound, partial=ask.beside.partial)


def _from_overtone(state: State, partial: int | None, hz: float | None) -> float | None:
    beside = state.ask.beside
    if beside is None or hz is None or partial != state.ask.wanted:
        return None
    overtone = overtone_hz(state.here, beside)
    return None if overtone is None else difference_cents(overtone, hz, beside.interval)


def _judged(state: State) -> Heard | None:
    last = state.last
    if last is None or last.tone is None:
        return None
    split = state.reading.split if last.outcome is Outcome.SPLIT and state.reading is not None else ()
    return _on_ladder(state.ask, Heard(last.tone.partial, _told(state, last), last.tone.hz, split))


def _told(state: State, last: Attempt) -> float | None:
    if state.phase is Phase.GUESS or last.tone is None or not tells(state, last):
        return None
    if state.ask.beside is not None:
        return last.difference_cents
    return last.tone.cents
