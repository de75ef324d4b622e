"""How long an exercise, and a routine, takes, about: so that routines fit into the player's minutes.

Conventions
-----------
Seconds. Rough on purpose: players differ, and nothing is hurried.
"""

from __future__ import annotations

from airladder.practice.ask import Ask, Task
from airladder.practice.exercise import Exercise
from airladder.practice.routine import Routine

READY_SECONDS = 3.0
"""To finger, to breathe, to begin."""

NOTE_SECONDS = 2.0
"""A note that only has to speak."""

RESULT_SECONDS = 2.5
"""To read a result."""

GUESS_SECONDS = 2.0
"""To guess."""

SING_SECONDS = 6.0
"""To sing or imagine a pitch."""

MORE_TRIES = 0.4
"""How many more tries there are on the average, for each that is allowed beyond the first."""


def seconds_of(exercise: Exercise) -> float:
    """How long an exercise takes, s."""
    return sum(_seconds(ask) for ask in exercise.asks)


def minutes_of(routine: Routine) -> float:
    """How long a routine takes, min."""
    return sum(seconds_of(exercise) for exercise in routine.exercises) / 60.0


def _seconds(ask: Ask) -> float:
    match ask.task:
        case Task.REST | Task.FREE:
            return ask.hold
        case Task.SING:
            return SING_SECONDS
        case Task.PLAY | Task.USUAL | Task.SLUR:
            note = max(ask.hold, NOTE_SECONDS * len(ask.partials))
            one = ask.hush + READY_SECONDS + note + RESULT_SECONDS + (GUESS_SECONDS if ask.guess else 0.0)
            return one * (1.0 + MORE_TRIES * (ask.tries - 1))
