"""Sample screens of the single exercises, from invented states: nobody played them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from airladder.hearing.events import Attack, Reading, Tone
from airladder.music.usual import Interval, usual
from airladder.practice.ask import Ask, Beside, Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.ease import Offer, Why
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.feedback import Feedback
from airladder.practice.judge import Outcome, Voice
from airladder.practice.routine import Routine
from airladder.practice.state import Phase, State


def exercise_samples(base: State) -> Mapping[str, State]:
    """A sample for each kind of ask and of result, by name; `base` sounds partial 3, 7 cents sharp."""
    return {**_asked(base), **_compared(base), **_found(base), **_paused(base)}


def _on(base: State, kind: Kind, *asks: Ask) -> State:
    """`base` at the last of these asks."""
    series = base.exercise.series
    routine = Routine("sample", (Exercise(kind, series, asks),))
    return replace(base, routine=routine, place=len(asks) - 1, attempts=(), kept=0)


def _play(base: State, **changed: object) -> Ask:
    return replace(Ask(Task.PLAY, base.exercise.series, (3,)), **changed)  # type: ignore[arg-type]  # as in `gallery`


def _asked(base: State) -> dict[str, State]:
    series = base.exercise.series

    def wanted(kind: Kind, ask: Ask) -> State:
        return replace(_on(base, kind, ask), phase=Phase.WANTED, reading=None)

    sing = Ask(Task.SING, series, (3,))
    voice = Voice(207.0, -14.0, 6.0)
    return {
        "hushed": wanted(Kind.RISING, _play(base, hush=10.0)),
        "wanted-cold": wanted(Kind.COLD, _play(base, cold=True)),
        "wanted-air": wanted(Kind.STARTS, _play(base, start=Start.AIR)),
        "wanted-swell": wanted(Kind.LONG, _play(base, hold=8.0, swell=True)),
        "sounding-held": _on(base, Kind.LONG, _play(base, hold=8.0, swell=True)),
        "sounding-off-one-rung": replace(
            _on(base, Kind.LONG, _play(base)), reading=replace(_reading(base), partial=2)
        ),
        "wanted-slur": wanted(Kind.SLURS, Ask(Task.SLUR, series, (2, 3))),
        "wanted-long-slur": wanted(Kind.SLURS, Ask(Task.SLUR, series, (2, 3, 4, 3, 2))),
        "sing": wanted(Kind.HEAR, sing),
        "sung": replace(wanted(Kind.HEAR, sing), phase=Phase.SUNG, sung=voice),
    }


def _compared(base: State) -> dict[str, State]:
    series = base.exercise.series
    overtone = Attempt(1, 20.0, 3, Outcome.SPOKE, _tone(3, 419.0), Asked("compare", "Bb3", partials=(3,)))

    def beside(interval: Interval, *, guess: bool = False) -> State:
        low = usual(series, 3, interval)
        assert low is not None
        ask = Ask(Task.USUAL, low, (1,), beside=Beside(series, 3, interval), guess=guess)
        return replace(_on(base, Kind.COMPARE, _play(base), ask), attempts=(overtone,), kept=1)

    unison, octave = beside(Interval.UNISON), beside(Interval.OCTAVE)
    reading = replace(_reading(base), partial=1, hz=417.3, cents=1.0)
    high = replace(reading, partial=2, hz=834.6)
    found = Attempt(2, 28.0, 1, Outcome.SPOKE, _tone(1, 417.3), difference_cents=7.0, guess=Guess.SHARP)
    guessing = beside(Interval.UNISON, guess=True)
    return {
        "wanted-usual": replace(unison, phase=Phase.WANTED, reading=None),
        "wanted-octave-below": replace(octave, phase=Phase.WANTED, reading=None),
        "sounding-usual": replace(unison, reading=reading),
        "sounding-usual-too-high": replace(unison, reading=high),
        "usual-too-high": replace(unison, phase=Phase.RESULT, attempts=(overtone, _too_high(high.hz))),
        "sounding-before-a-guess": replace(guessing, reading=reading),
        "guess": replace(guessing, phase=Phase.GUESS, judged=found),
        "compared": replace(guessing, phase=Phase.RESULT, attempts=(overtone, found)),
        "compared-octave": replace(
            octave, phase=Phase.RESULT, attempts=(overtone, replace(found, difference_cents=-11.0, guess=None))
        ),
    }


def _reading(base: State) -> Reading:
    assert base.reading is not None
    return base.reading


def _too_high(hz: float) -> Attempt:
    return Attempt(2, 28.0, 1, Outcome.OTHER, _tone(2, hz))


def _found(base: State) -> dict[str, State]:
    def result(ask: Ask, tone: Tone, outcome: Outcome = Outcome.SPOKE, **more: float) -> State:
        state = replace(_on(base, Kind.LONG, ask), phase=Phase.RESULT, reading=None)
        asked = Asked.of(state.exercise, ask)
        tries = [Attempt(n, 9.0 * n, 3, outcome, tone, asked, **more) for n in (1, 2, 3)]  # type: ignore[arg-type]
        spread = [
            replace(one, tone=replace(tone, cents=cents)) for one, cents in zip(tries, (-12.0, 4.0, 9.0), strict=True)
        ]
        return replace(state, attempts=tuple(spread), kept=3)

    slur = Ask(Task.SLUR, base.exercise.series, (2, 3))
    quiet, together = Feedback(band_cents=10.0), Feedback(every=3)
    return {
        "other-start": result(_play(base, start=Start.AIR), _tone(3, 417.0)),
        "held": result(_play(base, hold=8.0), _tone(3, 417.0)),
        "swelled": result(_play(base, hold=8.0, swell=True), _tone(3, 417.0), swell_db=7.0),
        "slurred": result(slur, _tone(3, 417.0)),
        "slurred-another-way": result(slur, replace(_tone(4, 560.0), path=((2, 0.8), (4, 1.1))), Outcome.OTHER),
        "restarted": result(slur, _tone(3, 417.0), Outcome.RESTARTED),
        "inside-the-band": result(_play(base, feedback=quiet), _tone(3, 417.0)),
        "three-together": result(_play(base, feedback=together), _tone(3, 417.0)),
        "sounding-silently": replace(_on(base, Kind.RISING, _play(base, feedback=together))),
    }


def _paused(base: State) -> dict[str, State]:
    series = base.exercise.series
    rest = _on(base, Kind.REST, Ask(Task.REST, series, hold=30.0))
    free = _on(base, Kind.FREE, Ask(Task.FREE, series, hold=60.0))
    silent = replace(base, reading=None)
    failing = Offer(Why.FAILING, "It will not come just now, and need not. A rest, or an easier one?", easier=2)
    enough = Offer(Why.LONG, "That is plenty for one day. Tomorrow gives more than another hour.", ends=True)
    return {
        "rest": replace(rest, phase=Phase.REST, reading=None),
        "free-sounding-for-a-while": replace(free, phase=Phase.FREE),
        "free-for-a-while": replace(free, phase=Phase.FREE, reading=None),
        "offer": replace(silent, phase=Phase.OFFER, offer=failing),
        "offer-to-end": replace(silent, phase=Phase.OFFER, offer=enough),
    }


def _tone(partial: int, hz: float) -> Tone:
    attack = Attack(24.0, 24.05, "tongued", 22.0, 0.9)
    return Tone(17.0, 25.0, partial, hz, 4.0, 3.2, attack, 240.0, ((partial, 7.6),), 0.0, -22.0)
