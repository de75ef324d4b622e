"""Stories of what is heard and pressed, told to the session: nobody played them."""

from __future__ import annotations

from airladder.hearing.events import Attack, Kind, Reading, Sung, Tone
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.practice.ask import Ask
from airladder.practice.attempt import Attempt
from airladder.practice.effects import Effect, Keep
from airladder.practice.exercise import Exercise
from airladder.practice.exercise import Kind as Exercises
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import Event, Tick, begin, step
from airladder.practice.state import State
from climbing import climb

ALTO = HORNS["alto"]
SERIES = Series(ALTO, fingering_named(ALTO, "Bb3"))
ROUTINE = climb(SERIES)

BACK, DOWN, UP, OK, FOOT = (Press(button, False, 0.0) for button in Button)
LEAVE, FOOT_HELD = Press(Button.BACK, True, 0.0), Press(Button.FOOT, True, 0.0)


def at(*exercises: Exercise) -> State:
    """The beginning of a routine of these."""
    return begin(Routine("story", exercises))


def one(*asks: Ask) -> State:
    """The beginning of a routine of these, in one exercise."""
    return at(Exercise(Exercises.RISING, SERIES, asks))


def reading(t: float, partial: int | None) -> Reading:
    return Reading(t=t, hz=140.0 * (partial or 1.4), partial=partial, cents=None, level_dbfs=-20.0, clarity=0.99)


def attack(t: float, kind: Kind = "tongued") -> Attack:
    return Attack(t=t, known_at=t + 0.05, kind=kind, rise_ms=20.0, confidence=0.8)


def sung(start: float, end: float, hz: float) -> Sung:
    return Sung(start=start, end=end, hz=hz, spread_cents=9.0, level_dbfs=-30.0, known_at=start + 0.2)


def tone(start: float, end: float, partial: int | None, *on_the_way: int, split: float = 0.0) -> Tone:
    path = (*((other, 0.1) for other in on_the_way), (partial, end - start))
    return Tone(
        start=start,
        end=end,
        partial=partial,
        hz=140.0 * partial if partial else None,
        cents=3.0 if partial else None,
        spread_cents=1.0 if partial else None,
        attack=attack(start),
        speak_ms=60.0 if partial else None,
        path=path,
        split=split,
        level_dbfs=-20.0,
    )


def note(start: float, end: float, partial: int | None, *on_the_way: int, split: float = 0.0) -> list[Event]:
    """All that the Ear says of one note."""
    return [
        reading(start + 0.05, partial),
        attack(start),
        reading(end, partial),
        tone(start, end, partial, *on_the_way, split=split),
        Tick(end),
    ]


def told(events: list[Event], state: State | None = None) -> tuple[State, list[Effect]]:
    state = state or begin(ROUTINE)
    effects: list[Effect] = []
    for event in events:
        state, new = step(state, event)
        effects.extend(new)
    return state, effects


def keeps(effects: list[Effect]) -> list[Attempt]:
    """The tries that are to be kept."""
    return [effect.attempt for effect in effects if isinstance(effect, Keep)]


def outcomes(state: State) -> list[tuple[int, str]]:
    return [(attempt.wanted, attempt.outcome.value) for attempt in state.attempts]
