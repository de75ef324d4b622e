"""The plainest of routines, for tests: rungs one after another on one tube, three tries each, nothing else."""

from __future__ import annotations

from collections.abc import Iterable

from airladder.music.series import Against, Series
from airladder.practice.ask import Ask, Task
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.routine import Routine

RUNGS = (1, 2, 3, 4, 5, 6)


def rising(series: Series, partials: Iterable[int] = RUNGS, against: Against = Against.TEMPERED) -> Exercise:
    """The exercise."""
    asks = tuple(Ask(Task.PLAY, series, (partial,)) for partial in partials)
    return Exercise(Kind.RISING, series, asks, against)


def climb(series: Series, partials: Iterable[int] = RUNGS, against: Against = Against.TEMPERED) -> Routine:
    """The routine of that exercise alone."""
    return Routine("partials rising", (rising(series, partials, against),))
