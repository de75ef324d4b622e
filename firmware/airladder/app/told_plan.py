"""Lines of text about what is to come: today's plan and why, the routines to choose from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from airladder.music.names import pretty
from airladder.panel import words
from airladder.practice.ask import Ask, Start, Task
from airladder.practice.coach.evidence import EVIDENCE
from airladder.practice.coach.plan import Plan
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.catalogue import about
from airladder.practice.exercises.length import minutes_of, seconds_of
from airladder.practice.routine import Routine
from airladder.practice.routines.reading import Listed


def told_plan(plan: Plan) -> Iterator[str]:
    """Today's routine, a reason for each exercise, and on what evidence the plan is built."""
    yield f"{plan.routine.name}, about {minutes_of(plan.routine):.0f} minutes"
    yield from (f"  {remark}" for remark in plan.remarks)
    yield from told_routine(plan.routine, plan.reasons)
    yield ""
    yield "Why so, and how strong the evidence is:"
    yield from (f"  {line.principle} ({line.strength}; {line.source})" for line in EVIDENCE)


def told_routine(routine: Routine, reasons: Sequence[str] = ()) -> Iterator[str]:
    """Each exercise in a line, and below it why it is there, or what it is for."""
    for index, exercise in enumerate(routine.exercises):
        yield f"{index + 1:>3}. {_exercise(exercise)}"
        yield f"     {reasons[index] if reasons else about(exercise.kind)}"


def told_routines(listed: Iterable[Listed]) -> Iterator[str]:
    """Each routine in a line."""
    for routine in listed:
        yield f"{routine.called:<18} {routine.fault or routine.about}"


def _exercise(exercise: Exercise) -> str:
    if exercise.kind in (Kind.REST, Kind.FREE):
        return f"{exercise.name}, {seconds_of(exercise):.0f} s"
    asked = [ask for ask in exercise.asks if ask.task is not Task.SING]
    things = ", ".join(_times(thing, len(list(same))) for thing, same in groupby(map(_ask, asked)))
    return f"{exercise.name} on {pretty(exercise.series.fingering.written)}: {things}"


def _times(thing: str, times: int) -> str:
    return thing if times == 1 else f"{thing} ({times} times)"


def _ask(ask: Ask) -> str:
    if ask.beside is not None:
        return f"against {pretty(ask.series.fingering.written)}"
    if ask.task is Task.SLUR:
        return words.slur(ask.partials)
    how = "" if ask.start is Start.ANY else f" {words.BEGINNINGS[ask.start.value]}"
    return f"{ask.wanted} {pretty(ask.series.written_name(ask.wanted or 1))}{how}"
