"""Lines of text about a practice: for a terminal without pictures, and for the summary at the end."""

from __future__ import annotations

from collections.abc import Iterator

from airladder.hearing.events import Tone
from airladder.hearing.free_ear import FreeTone
from airladder.music.names import pretty
from airladder.panel import words
from airladder.practice.exercise import Exercise
from airladder.practice.judge import Attempt, Outcome
from airladder.practice.overload import cut_off
from airladder.practice.state import State
from airladder.practice.summary import Rung, rungs


def told(exercise: Exercise, attempt: Attempt) -> str:
    """One try in one line, such as ``partial 3, F5: spoke, +2 cents, tongued, 0.05 s``."""
    asked = words.spoke(attempt.wanted, pretty(exercise.series.written_name(attempt.wanted)))
    return f"{asked}: " + ", ".join(_parts(attempt))


def heard(exercise: Exercise, tone: Tone) -> str:
    """One tone in one line, such as ``partial 3, F5: +2 cents, tongued, 0.05 s``."""
    if tone.partial is None:
        return f"{words.NO_PARTIAL}: " + ", ".join(_tone(tone))
    return f"{words.spoke(tone.partial, pretty(exercise.series.written_name(tone.partial)))}: " + ", ".join(
        _tone(tone)
    )


def heard_freely(tone: FreeTone) -> str:
    """One tone of no known fingering, such as ``F5: +2 cents, tongued, 0.05 s; partial 3 of B♭3, 2 of F4``."""
    name = pretty(tone.note) if tone.note else "no note"
    tubes = ", ".join(f"{partial} {words.OF} {pretty(fingering)}" for fingering, partial in tone.could_be)
    return f"{name}: {', '.join(_tone(tone))}" + (f"; {words.PARTIAL} {tubes}" if tubes else "")


def _parts(attempt: Attempt) -> Iterator[str]:
    tone = attempt.tone
    if attempt.outcome is Outcome.OTHER and tone is not None and tone.partial is not None:
        yield words.another(tone.partial, attempt.wanted)
    else:
        yield words.OUTCOMES[attempt.outcome]
    if tone is None:
        return
    if attempt.outcome is Outcome.CRACKED:
        yield words.cracked(attempt.others)
    if attempt.outcome is Outcome.SPLIT:
        return  # the cents of two partials at once would be those of neither
    yield from _tone(tone)


def _tone(tone: Tone) -> Iterator[str]:
    if tone.cents is not None:
        yield f"{words.signed(tone.cents)} {words.CENTS}"
    if began := words.beginning(tone.attack.kind if tone.attack else None, tone.speak_ms):
        yield began
    if cut_off(tone):
        yield words.CUT_OFF


def summary(state: State) -> Iterator[str]:
    """What the session came to, rung by rung."""
    exercise = state.exercise
    tube = f"{exercise.series.horn.name}, {words.FINGERING} {pretty(exercise.series.fingering.written)}"
    yield f"{exercise.name} on the {tube}, A4 = {exercise.series.a4_hz:g} Hz; cents from {exercise.against.value}"
    tried = rungs(state.attempts)
    for rung in tried:
        name = pretty(exercise.series.written_name(rung.partial))
        yield f"  {words.PARTIAL} {rung.partial}, {name:<4} {_rung(rung)}"
    if not tried:
        yield "  nothing was sounded"


def _rung(rung: Rung) -> str:
    reached = f"reached {rung.reached} {words.OF} {rung.tries} {'try' if rung.tries == 1 else words.TRIES}"
    tone = rung.nearest.tone if rung.nearest else None
    if tone is None or tone.cents is None or tone.spread_cents is None:
        return reached
    return f"{reached}; nearest {words.signed(tone.cents)} {words.CENTS}, {words.spread(tone.spread_cents)}"
