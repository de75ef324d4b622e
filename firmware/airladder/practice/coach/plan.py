"""Today's practice: what was kept of other days in, a routine with its reasons out.

First a cold look at what stayed; then the new rung in a block and among known ones; then two or so of the other
exercises, in turn from day to day. On a plateau the shorter fingerings, for some days. Nothing here is forced: every
exercise can be skipped, and the plan of tomorrow is made from what was really played.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airladder.music.fingerings import fingerings_of
from airladder.practice.coach import menu
from airladder.practice.coach.aims import Aims
from airladder.practice.coach.course import Course, Leg
from airladder.practice.coach.fitting import fitted, seconds
from airladder.practice.coach.following import course
from airladder.practice.coach.history import Day, History
from airladder.practice.coach.material import Material, Player, asked_last
from airladder.practice.coach.menu import Part
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.standing import Stage
from airladder.practice.exercises.catalogue import about
from airladder.practice.routine import Routine
from airladder.practice.routines.reading import named
from airladder.practice.setting import Setting

NAME = "today"
FIRST_WEEK = "first week"
MORE_TODAY_MINUTES = 3.0
"""What there is still for somebody who has practised enough today."""

_WELCOME = "Some days have passed: today begins with what you know."
_ENOUGH = "Today's minutes are done; this is a little extra."
_SOFTER = "Some notes sounded pushed last time; softer goes further."
_PUSHED_TRIES = 5
_SHORTS_A_DAY = 2
_MINUTES_EACH = 3.5  # for each of the other exercises so many minutes of the day
_FEWEST_ROTATED, _EACH_ROTATED = 4, 3
_TRY_SECONDS = 11.0
_SAID_FOR_DAYS = 14


@dataclass(frozen=True)
class Plan:
    """What is practised, and why.

    Attributes
    ----------
    routine : what is led
    reasons : one for each of its exercises
    remarks : what the player should know today: of a plateau, of a detour, after days without practice
    """

    routine: Routine
    reasons: tuple[str, ...]
    remarks: tuple[str, ...] = ()


def plan(history: History, setting: Setting, today: int | None, aims: Aims, rules: Rules) -> Plan:
    """Today's plan.

    Parameters
    ----------
    history : the days of this horn
    setting : the horn, and how far the player has come; its fingering is the one that is worked on
    today : the number of the day (`datetime.date.toordinal`); None when nobody knows
    aims, rules : what is aimed at, and by what it is judged
    """
    before, already = _without_today(history, today)
    minutes = max(MORE_TODAY_MINUTES, aims.minutes - already)
    player = Player(before, setting, aims, rules)
    if _is_new(player):
        return _first_week(setting, minutes)
    way = course(before, rules)
    if _has_missed(before, today, aims):
        parts, remarks = _easier(player), [_WELCOME]
    elif way.leg is Leg.DETOUR:
        parts, remarks = _detour(player, way), _remarks(way, len(before))
    else:
        parts, remarks = _usual(player, minutes), _remarks(way, len(before))
    if before and before[-1].pushed >= _PUSHED_TRIES:
        remarks.append(_SOFTER)
    if already >= aims.minutes:
        remarks.insert(0, _ENOUGH)
    kept = fitted(parts, minutes, aims.most_tries, _drilled(history[len(before) :]))
    return _plan(NAME, kept, remarks)


def _plan(name: str, parts: Sequence[Part], remarks: Sequence[str]) -> Plan:
    routine = Routine(name, tuple(part.exercise for part in parts))
    return Plan(routine, tuple(part.reason for part in parts), tuple(remarks))


def _without_today(history: History, today: int | None) -> tuple[History, float]:
    """The days before today, and the minutes that were practised today already."""
    if not history or today is None or history[-1].date != today:
        return history, 0.0
    return history[:-1], history[-1].minutes


def _drilled(days: Sequence[Day]) -> dict[tuple[str, int], int]:
    """How often each rung was tried today already."""
    return {tally.rung: tally.tries for day in days for tally in day.tallies}


def _is_new(player: Player) -> bool:
    """Whether nothing above a fundamental is known yet, in the first days."""
    if len(player.history) >= player.aims.first_days:
        return False
    return not any(found.stage is Stage.KNOWN and rung[1] > 1 for rung, found in player.standings.items())


def _first_week(setting: Setting, minutes: float) -> Plan:
    routine = named(FIRST_WEEK, setting)
    parts = [Part(exercise, about(exercise.kind), rank=index) for index, exercise in enumerate(routine.exercises)]
    remark = f"Day {setting.day} of the first week: very little, and only what comes by itself."
    return _plan(routine.name, fitted(parts, minutes, None, {}), [remark])


def _has_missed(history: History, today: int | None, aims: Aims) -> bool:
    """Whether days were missed; a clock that has gone backwards says nothing."""
    return bool(history) and today is not None and today - history[-1].date > aims.missed_days


def _begin(player: Player) -> list[Part]:
    here = player.on(player.setting.series)
    last = asked_last(player.history, str(here.series.fingering))
    return [menu.cold(here, player.setting, last), menu.fundamental(here, player.setting)]


def _usual(player: Player, minutes: float) -> list[Part]:
    here, setting = player.on(player.setting.series), player.setting
    others = menu.of_the_day(here, setting, player.history, max(1, round(minutes / _MINUTES_EACH)))
    frame = [*_begin(player), menu.rest(here), *others]
    rotated = _rotated(here, 60.0 * minutes - seconds(frame))
    tries = menu.most(here, menu.expected([*frame, menu.rotation(here, setting, 0, rotated)], player))
    in_block = (tries + 1) // 2
    work = [menu.block(here, setting, in_block), menu.rotation(here, setting, tries - in_block, rotated)]
    return [*frame[:2], *work, *frame[2:]]


def _rotated(here: Material, room: float) -> int:
    """How many tries at known rungs there is room for in so many seconds, beside those at the new one."""
    tries = int(room / _TRY_SECONDS) - here.aims.new_tries
    return max(_FEWEST_ROTATED, min(tries, _EACH_ROTATED * len(here.known)))


def _easier(player: Player) -> list[Part]:
    here, setting = player.on(player.setting.series), player.setting
    others = menu.of_the_day(here, setting, player.history, 1)
    return [*_begin(player), menu.rotation(here, setting, 0, _FEWEST_ROTATED), *others]


def _detour(player: Player, way: Course) -> list[Part]:
    """Two of the short fingerings a day, in turn; of the long one only the cold look."""
    setting = player.setting
    shorts = [fingering for fingering in fingerings_of(setting.series.horn).values() if not fingering.long]
    first = way.days_left * _SHORTS_A_DAY
    tubes = [player.on(setting.on(shorts[(first + n) % len(shorts)])) for n in range(_SHORTS_A_DAY)]
    work = [menu.short(tube, setting) for tube in tubes]
    return [*_begin(player), *work, menu.rest(tubes[0]), *menu.of_the_day(tubes[0], setting, player.history, 1)]


def _remarks(way: Course, days: int) -> list[str]:
    """What the coach has to say of the way: a plateau while it lasts, a detour, and in the days after what it did."""
    said = []
    if way.leg is Leg.DETOUR and way.plateau is not None:
        said += [way.plateau.sentence, f"The shorter fingerings today; {_left(way.days_left)} of it."]
    if way.leg is Leg.BACK and way.plateau is not None:
        said.append(f"Back on the long fingerings; in {_left(way.days_left)} it shows whether the detour helped.")
    if way.leg is Leg.LONG and way.detours and days - way.detours[-1].last <= _SAID_FOR_DAYS:
        said.append(way.detours[-1].sentence)
    return said


def _left(days: int) -> str:
    return "one day" if days == 1 else f"{days} days"
