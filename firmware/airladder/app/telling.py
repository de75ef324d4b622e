"""Lines of text about a practice: for a terminal without pictures, and for the summary at the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from airladder.hearing.events import Tone
from airladder.hearing.free_ear import FreeTone
from airladder.music.fingerings import fingering_named
from airladder.music.names import pretty
from airladder.music.series import Series
from airladder.panel import words
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.exercise import Exercise
from airladder.practice.judge import Outcome, steps
from airladder.practice.overload import cut_off
from airladder.practice.state import State
from airladder.practice.summary import Rung, rungs


def told(exercise: Exercise, attempt: Attempt) -> str:
    """One try in one line, such as ``partial 3, F5: spoke, +2 cents, tongued, 0.05 s``."""
    return f"{_asked(exercise, attempt)}: " + ", ".join(_parts(attempt))


def _asked(exercise: Exercise, attempt: Attempt) -> str:
    asked = attempt.asked
    if asked is not None and asked.task is Task.USUAL:
        return f"{words.USUAL_FINGERING} {pretty(asked.fingering)}"
    if asked is not None and asked.task is Task.SLUR:
        return words.slur(asked.partials)
    return words.spoke(attempt.wanted, pretty(exercise.series.written_name(attempt.wanted)))


def heard(series: Series, tone: Tone) -> str:
    """One tone in one line, such as ``partial 3, F5: +2 cents, tongued, 0.05 s``."""
    if tone.partial is None:
        return f"{words.NO_PARTIAL}: " + ", ".join(_tone(tone))
    return f"{words.spoke(tone.partial, pretty(series.written_name(tone.partial)))}: " + ", ".join(_tone(tone))


def heard_freely(tone: FreeTone) -> str:
    """One tone of no known fingering, such as ``F5: +2 cents, tongued, 0.05 s; partial 3 of B♭3, 2 of F4``."""
    name = pretty(tone.note) if tone.note else "no note"
    tubes = ", ".join(f"{partial} {words.OF} {pretty(fingering)}" for fingering, partial in tone.could_be)
    return f"{name}: {', '.join(_tone(tone))}" + (f"; {words.PARTIAL} {tubes}" if tubes else "")


def _parts(attempt: Attempt) -> Iterator[str]:
    tone = attempt.tone
    if attempt.outcome is Outcome.OTHER and tone is not None and tone.partial is not None:
        yield _other(attempt, tone, tone.partial)
    else:
        yield words.OUTCOMES[attempt.outcome]
    if tone is None:
        return
    if attempt.outcome is Outcome.CRACKED:
        yield words.cracked(attempt.others)
    if attempt.outcome is Outcome.SPLIT:
        return  # the cents of two partials at once would be those of neither
    yield from _tone(tone)
    if attempt.begun_as_asked is False and attempt.asked is not None:
        yield words.not_begun(attempt.asked.start)
    if attempt.difference_cents is not None:
        yield words.difference(attempt.difference_cents)


def _other(attempt: Attempt, tone: Tone, sounded: int) -> str:
    """Which way it went instead, or what sounded of the fingering that was asked for."""
    asked = attempt.asked
    if asked is not None and asked.task is Task.USUAL:
        return words.of_usual(sounded, pretty(asked.fingering))
    if asked is not None and asked.task is Task.SLUR and (way := steps(tone)):
        return words.went(way)
    return words.another(sounded, attempt.wanted)


def _tone(tone: Tone) -> Iterator[str]:
    if tone.cents is not None:
        yield f"{words.signed(tone.cents)} {words.CENTS}"
    if began := words.beginning(tone.attack.kind if tone.attack else None, tone.speak_ms):
        yield began
    if cut_off(tone):
        yield words.CUT_OFF


def summary(state: State) -> Iterator[str]:
    """What the session came to, fingering by fingering and rung by rung."""
    series, against = state.exercise.series, state.exercise.against
    yield f"{state.routine.name} on the {series.horn.name}, A4 = {series.a4_hz:g} Hz; cents from {against.value}"
    tried = rungs(state.attempts)
    for rung in tried:
        tube = replace(series, fingering=fingering_named(series.horn, rung.fingering))
        name = pretty(tube.written_name(rung.partial))
        yield f"  {pretty(rung.fingering):<3} {words.PARTIAL} {rung.partial}, {name:<4} {_rung(rung)}"
    if not tried:
        yield "  nothing was sounded"
    for line in compared(state.attempts):
        yield f"  {line}"


def compared(attempts: Sequence[Attempt]) -> Iterator[str]:
    """Each overtone that was set against a usual fingering, by the newest of its differences."""
    newest = {
        (asked.beside_fingering, asked.beside_partial, asked.interval, asked.fingering): attempt.difference_cents
        for attempt in attempts
        if (asked := attempt.asked) is not None and attempt.difference_cents is not None
    }
    for (tube, partial, interval, fingering), cents in newest.items():
        off = f"{words.signed(cents)} {words.CENTS}"
        yield f"{pretty(tube or '')} {words.PARTIAL} {partial} against {pretty(fingering)} ({interval}): {off}"


def _rung(rung: Rung) -> str:
    reached = f"reached {rung.reached} {words.OF} {rung.tries} {'try' if rung.tries == 1 else words.TRIES}"
    tone = rung.nearest.tone if rung.nearest else None
    if tone is None or tone.cents is None or tone.spread_cents is None:
        return reached
    return f"{reached}; nearest {words.signed(tone.cents)} {words.CENTS}, {words.spread(tone.spread_cents)}"
