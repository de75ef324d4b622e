"""A simulated year: every day the plan is made from the days before, and the player plays it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from random import Random

from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.practice.ask import Task
from airladder.practice.coach.aims import Aims
from airladder.practice.coach.course import Course
from airladder.practice.coach.following import course
from airladder.practice.coach.history import Day, History
from airladder.practice.coach.plan import Plan, plan
from airladder.practice.coach.reach import reach
from airladder.practice.coach.rules import Rules
from airladder.practice.exercises.length import seconds_of
from airladder.practice.setting import Setting
from learners.players import Character, Learner

FIRST = date(2026, 1, 1).toordinal()
HORN, FINGERING = "alto", "Bb3"


@dataclass
class Life:
    """What happened to one player.

    Attributes
    ----------
    days : what was played
    plans : what was planned, one a day of practice
    reaches : the highest partial asked for on the set fingering, one a day of practice
    dates : number of the day in the year, one a day of practice
    course : the whole way in the end
    """

    days: list[Day] = field(default_factory=list)
    plans: list[Plan] = field(default_factory=list)
    reaches: list[int] = field(default_factory=list)
    dates: list[int] = field(default_factory=list)
    course: Course = field(default_factory=Course)


def lived(character: Character, seed: int, days: int = 365) -> Life:
    """One player's `days`, each of them planned, played and remembered."""
    aims, rules = Aims(), Rules()
    random = Random(f"{character.name} {seed}")
    horn = HORNS[HORN]
    series = Series(horn, fingerings_of(horn)[FINGERING])
    learner, life, away = Learner(character, horn, random), Life(), 0
    for number in range(days):
        if away == 0 and random.random() < character.misses:
            away = random.randint(7, 28)
        if away > 0:
            away -= 1
            learner.rests()
            continue
        _live(life, learner, series, number, aims, rules)
    life.course = course(tuple(life.days), rules)
    return life


def _live(life: Life, learner: Learner, series: Series, number: int, aims: Aims, rules: Rules) -> None:
    history: History = tuple(life.days)
    setting = Setting(series, reach=reach(history, rules), day=len(history) + 1)
    made = plan(history, setting, FIRST + number, aims, rules)
    minutes = sum(seconds_of(exercise) for exercise in made.routine.exercises) / 60.0
    life.days.append(learner.plays(made.routine, FIRST + number, minutes))
    life.plans.append(made)
    life.reaches.append(setting.reach_on(series))
    life.dates.append(number)


def most_asked(plan_of_day: Plan) -> int:
    """How often the most asked-for rung above the fundamental may be tried on a day."""
    tries: dict[tuple[str, int], int] = {}
    for placed in plan_of_day.routine.placed:
        ask = placed.ask
        if ask.task is Task.PLAY and ask.partials[-1] > 1:
            rung = str(ask.series.fingering), ask.partials[-1]
            tries[rung] = tries.get(rung, 0) + ask.tries
    return max(tries.values(), default=0)
