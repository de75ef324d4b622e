"""A routine: exercises in the order in which they are led, with a reason for each where the coach chose it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from airladder.practice.ask import Ask
from airladder.practice.exercise import Exercise


@dataclass(frozen=True)
class Placed:
    """An ask, and the exercise in which it stands."""

    exercise: Exercise
    ask: Ask


@dataclass(frozen=True)
class Routine:
    """What is practised in one go.

    Attributes
    ----------
    name : at most 20 characters
    exercises : at least one, each with something to ask
    """

    name: str
    exercises: tuple[Exercise, ...]

    @cached_property
    def placed(self) -> tuple[Placed, ...]:
        """All asks in order."""
        return tuple(Placed(exercise, ask) for exercise in self.exercises for ask in exercise.asks)
