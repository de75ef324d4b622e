"""What a try was: judged, set beside the overtone it is compared with, guessed at, and kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from airladder.hearing.events import Sung, Tone
from airladder.music.pitch import octave_folded_cents
from airladder.music.usual import difference_cents
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.comparing import overtone_hz
from airladder.practice.effects import Keep, Step
from airladder.practice.judge import ARRIVED, Outcome, Voice, joined, judged, may_go_on
from airladder.practice.state import Phase, State
from airladder.practice.swell import swell_db

__all__ = ["guessed", "heard_sung", "may_go_on", "tried"]


def tried(state: State, pieces: Sequence[Tone], outcome: Outcome | None = None) -> Step:
    """A try has ended; `pieces` are its tones, none for silence."""
    ask, tone = state.ask, joined(pieces) if pieces else None
    attempt = Attempt(
        number=len(state.attempts) + 1,
        t=state.now,
        wanted=ask.partials[-1],
        outcome=outcome or judged(ask, pieces),
        tone=tone,
        asked=Asked.of(state.exercise, ask),
        sung=state.sung,
        swell_db=swell_db(state.levels) if ask.swell else None,
    )
    attempt = _compared(state, attempt)
    state = replace(state, since=state.now, tries=state.tries + 1, pieces=(), judged=attempt)
    if ask.guess and _to_guess(attempt) is not None:
        return replace(state, phase=Phase.GUESS), ()
    return guessed(state, None)


def guessed(state: State, guess: Guess | None) -> Step:
    """The player has guessed, or will not: the try is kept as it is now, and its result shown."""
    if state.judged is None:
        return state, ()
    attempt = replace(state.judged, guess=guess)
    state = replace(state, phase=Phase.RESULT, since=state.now, judged=None, attempts=(*state.attempts, attempt))
    return state, (Keep(attempt),)


def heard_sung(state: State, sung: Sung) -> State:
    """What was sung for the partial asked for: shown, and kept with the try that follows."""
    wanted = state.ask.wanted
    if wanted is None:
        return state
    off = octave_folded_cents(sung.hz, state.ask.series.tempered_hz(wanted))
    voice = Voice(sung.hz, off, sung.spread_cents)
    return replace(state, phase=Phase.SUNG, since=state.now, sung=voice, reading=None, held_since=None)


def _to_guess(attempt: Attempt) -> float | None:
    """The cents that the player may guess the sign of; None when there are none to be trusted."""
    if attempt.outcome not in ARRIVED or attempt.tone is None:
        return None
    return attempt.tone.cents if attempt.difference_cents is None else attempt.difference_cents


def _compared(state: State, attempt: Attempt) -> Attempt:
    beside = state.ask.beside
    if beside is None or attempt.outcome not in ARRIVED or attempt.tone is None or attempt.tone.hz is None:
        return attempt
    overtone = overtone_hz(state.here, beside)
    if overtone is None:
        return attempt
    return replace(attempt, difference_cents=difference_cents(overtone, attempt.tone.hz, beside.interval))
