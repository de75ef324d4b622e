"""Fits the parts of a plan into the minutes, and keeps every rung below its cap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from airladder.practice.ask import Ask, Task
from airladder.practice.coach.history import Rung
from airladder.practice.coach.menu import Part
from airladder.practice.exercises.length import seconds_of


def fitted(parts: Sequence[Part], minutes: float, cap: int | None, drilled: Mapping[Rung, int]) -> list[Part]:
    """The parts that fit, in their order; the first of the lowest rank always stays.

    Parameters
    ----------
    parts : those wished for
    minutes : what there is
    cap : how often a rung may be tried in a day; None where it does not matter
    drilled : how often each was tried today already
    """
    allowed = list(parts) if cap is None else _capped(parts, cap, dict(drilled))
    while len(allowed) > 1 and seconds(allowed) > 60.0 * minutes:
        last = max(range(len(allowed)), key=lambda index: (allowed[index].rank, index))
        del allowed[last]
    return allowed


def seconds(parts: Sequence[Part]) -> float:
    """How long these parts take, about, s."""
    return sum(seconds_of(part.exercise) for part in parts)


def _capped(parts: Sequence[Part], cap: int, drilled: dict[Rung, int]) -> list[Part]:
    """Without the asks that could bring a rung above the cap; parts in which nothing is left are left out."""
    kept = []
    for part in parts:
        asks = tuple(ask for ask in part.exercise.asks if _may_be_asked(ask, cap, drilled))
        if any(ask.is_judged or ask.task in (Task.REST, Task.FREE) for ask in asks):
            kept.append(replace(part, exercise=replace(part.exercise, asks=asks)))
    return kept or list(parts[:1])


def _may_be_asked(ask: Ask, cap: int, drilled: dict[Rung, int]) -> bool:
    """Whether all tries at an ask stay below the cap, which counts them then. Slurs, usual fingerings count not."""
    if ask.task is not Task.PLAY:
        return True
    rung = str(ask.series.fingering), ask.partials[-1]
    if drilled.get(rung, 0) + ask.tries > cap and ask.partials[-1] > 1:
        return False
    drilled[rung] = drilled.get(rung, 0) + ask.tries
    return True
