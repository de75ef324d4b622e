"""Today's plan: whatever the days before were, it fits the minutes, the tube and the player, and says why."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.faults import BadInput
from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.practice.ask import Task
from airladder.practice.coach.aims import Aims
from airladder.practice.coach.evidence import EVIDENCE
from airladder.practice.coach.history import Day, History, Tally
from airladder.practice.coach.plan import Plan, plan
from airladder.practice.coach.reach import reach
from airladder.practice.coach.rules import Rules, reasons
from airladder.practice.exercise import Kind
from airladder.practice.exercises.length import seconds_of
from airladder.practice.feedback import AT_ONCE
from airladder.practice.setting import Setting
from learners.days import SOME_DAY, histories

ALTO = HORNS["alto"]
LOW = Series(ALTO, fingering_named(ALTO, "Bb3"))
RULES = Rules()
TUBES = [Series(horn, fingering) for horn in HORNS.values() for fingering in fingerings_of(horn).values()]
STUCK_DAYS = 36
"""Three until the rungs below are known, thirty without headway, three looks that agree."""

SHORT = {name for name, fingering in fingerings_of(ALTO).items() if not fingering.long}


def known_up_to(top: int, days: int = 10) -> History:
    """Days on which all rungs below `top` spoke each time and `top` never."""
    rungs = [Tally("Bb3", partial, 5, 5, 1, 1) for partial in range(1, top)]
    return tuple(Day(SOME_DAY + day, (*rungs, Tally("Bb3", top, 5, 0))) for day in range(days))


def planned(history: History, aims: Aims | None = None, series: Series = LOW) -> Plan:
    """The plan of the day after."""
    return planned_on((history[-1].date if history else SOME_DAY) + 1, history, aims, series)


def planned_on(today: int | None, history: History, aims: Aims | None = None, series: Series = LOW) -> Plan:
    setting = Setting(series, reach=reach(history, RULES), day=len(history) + 1)
    return plan(history, setting, today, aims or Aims(), RULES)


def kinds(made: Plan) -> list[Kind]:
    return [exercise.kind for exercise in made.routine.exercises]


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(histories(longest=30), st.sampled_from(TUBES), st.floats(3, 60), st.none() | st.integers(700_000, 760_000))
def test_any_history_gives_a_plan_that_fits(
    history: History, series: Series, minutes: float, today: int | None
) -> None:
    aims = Aims(minutes=minutes)
    made = planned_on(today, history, aims, series)
    assert made == planned_on(today, history, aims, series)
    assert len(made.reasons) == len(made.routine.exercises) > 0
    assert all(reason.endswith((".", "?")) for reason in made.reasons)
    long = sum(seconds_of(exercise) for exercise in made.routine.exercises)
    assert long <= 60.0 * minutes or len(made.routine.exercises) == 1
    setting = Setting(series, reach=reach(history, RULES))
    for placed in made.routine.placed:
        ask = placed.ask
        assert ask.beside is not None or all(1 <= n <= setting.reach_on(ask.series) for n in ask.partials)


def test_the_day_begins_cold_and_with_the_low_note() -> None:
    made = planned(known_up_to(4))
    assert kinds(made)[:2] == [Kind.COLD, Kind.FUNDAMENTAL]
    cold = made.routine.exercises[0]
    assert {1, 4} <= set(cold.rungs)
    assert all(ask.cold for ask in cold.asks)
    assert not any(ask.cold for exercise in made.routine.exercises[1:] for ask in exercise.asks)


def test_the_new_rung_comes_in_a_block_and_then_among_known_ones() -> None:
    made = planned(known_up_to(4))
    block, rotation = kinds(made).index(Kind.RISING), kinds(made).index(Kind.SKIPPING)
    assert block < rotation
    assert {ask.partials for ask in made.routine.exercises[block].asks} == {(4,)}
    order = [ask.partials[0] for ask in made.routine.exercises[rotation].asks]
    assert set(order) == {2, 3, 4}
    assert all(one != other for one, other in pairwise(order))


def lived(history: History, days: int) -> list[Plan]:
    """The plans of so many further days, each of them played."""
    plans = []
    for _ in range(days):
        plans.append(planned(history))
        played = frozenset(kind.value for kind in kinds(plans[-1]))
        history = (*history, replace(history[-1], date=history[-1].date + 1, exercises=played))[-400:]
    return plans


@pytest.mark.parametrize("before", [10, 400])
def test_within_a_week_each_of_the_other_exercises_comes(before: int) -> None:
    """After a year too, when only the newest days are looked at."""
    seen = {kind for made in lived(known_up_to(3, before), 7) for kind in kinds(made)}
    assert {Kind.COMPARE, Kind.LOW, Kind.STARTS, Kind.SLURS, Kind.LONG, Kind.HEAR} <= seen


def test_what_is_known_is_told_less_of() -> None:
    made = planned(known_up_to(5, 20))
    rotation = made.routine.exercises[kinds(made).index(Kind.SKIPPING)]
    told = {ask.partials[0]: ask.feedback for ask in rotation.asks}
    assert told[2] != AT_ONCE
    assert told[5] == AT_ONCE


def test_the_rarer_a_rung_comes_the_less_it_is_asked_for() -> None:
    def asked(right: int) -> int:
        rungs = (*(Tally("Bb3", n, 5, 5, 1, 1) for n in range(1, 4)), Tally("Bb3", 4, 5, right))
        made = planned(tuple(Day(SOME_DAY + day, rungs) for day in range(10)))
        return sum(ask.partials == (4,) for exercise in made.routine.exercises for ask in exercise.asks)

    assert asked(0) < asked(3)
    assert asked(0) >= Aims().least_new


def test_guesses_can_be_left_out() -> None:
    def guesses(aims: Aims) -> bool:
        made = planned(known_up_to(5), aims)
        return any(ask.guess for exercise in made.routine.exercises for ask in exercise.asks)

    assert guesses(Aims())
    assert not guesses(Aims(guesses=0))


def test_somebody_new_has_a_first_week_and_no_longer() -> None:
    assert planned(()).routine.name == "first week"
    shy = tuple(Day(SOME_DAY + day, (Tally("Bb3", 2, 3, 0),)) for day in range(7))
    assert planned(shy[:6]).routine.name == "first week"
    assert planned(shy).routine.name == "today"
    assert planned(known_up_to(4, 5)).routine.name == "today"


def test_a_second_go_on_the_same_day_is_short_and_stays_below_the_cap() -> None:
    days = known_up_to(4)
    drilled = replace(days[-1], minutes=10.0, tallies=(Tally("Bb3", 2, 12, 12), Tally("Bb3", 4, 11, 0)))
    made = planned_on(drilled.date, (*days[:-1], drilled))
    assert made.remarks[0] == "Today's minutes are done; this is a little extra."
    assert sum(seconds_of(exercise) for exercise in made.routine.exercises) <= 180.0
    tries: dict[int, int] = {}
    for placed in made.routine.placed:
        if placed.ask.task is Task.PLAY:
            tries[placed.ask.partials[-1]] = tries.get(placed.ask.partials[-1], 0) + placed.ask.tries
    assert 2 not in tries
    assert tries.get(4, 0) <= 1


def test_after_days_without_practice_it_is_easier_and_says_so_kindly() -> None:
    history = known_up_to(4)
    back, usual = planned_on(history[-1].date + 30, history), planned(history)
    assert back.remarks == ("Some days have passed: today begins with what you know.",)
    assert Kind.RISING in kinds(usual)
    assert Kind.RISING not in kinds(back)


@pytest.mark.parametrize("today", [None, SOME_DAY - 400, SOME_DAY])
def test_a_clock_that_is_wrong_is_no_absence(today: int | None) -> None:
    assert "passed" not in " ".join(planned_on(today, known_up_to(4)).remarks)


def test_on_a_plateau_the_short_fingerings_come_with_the_reason() -> None:
    made = planned(known_up_to(4, STUCK_DAYS))
    own = {str(placed.ask.series.fingering) for placed in made.routine.placed if placed.ask.beside is None}
    assert len(own & SHORT) == 2
    assert own <= SHORT | {"Bb3"}
    assert "artial 4 on low B flat" in made.remarks[0]
    assert "shorter fingerings today" in made.remarks[1]


def test_after_the_detour_the_long_ones_come_again() -> None:
    history = known_up_to(4, STUCK_DAYS)
    away = [Day(SOME_DAY + STUCK_DAYS + n, (Tally("F4", 2, 5, 5), Tally("F4", 3, 5, 3))) for n in range(5)]
    made = planned((*history, *away))
    assert "Back on the long fingerings" in made.remarks[0]
    assert {str(placed.ask.series.fingering) for placed in made.routine.placed if placed.ask.beside is None} == {
        "Bb3"
    }


@pytest.mark.parametrize(("pushed", "said"), [(4, False), (5, True)])
def test_pushed_notes_of_the_last_time_are_remembered_kindly(pushed: int, said: bool) -> None:
    history = known_up_to(4)
    made = planned((*history[:-1], replace(history[-1], pushed=pushed)))
    assert ("Some notes sounded pushed last time; softer goes further." in made.remarks) is said


def test_every_number_has_its_bounds_and_its_why() -> None:
    assert {reason.name for reason in reasons(Aims())} == {item.name for item in fields(Aims)}
    assert all(reason.low <= reason.value <= reason.high and reason.why.endswith(".") for reason in reasons(Aims()))
    assert all(line.strength and line.source for line in EVIDENCE)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"minutes": 0.0}, "minutes is 0; wanted 3 to 60."),
        ({"most_tries": 2.5}, "most_tries is 2.5; wanted a whole number."),
        ({"least_new": 9, "new_tries": 4}, "least_new is 9 and new_tries is 4; wanted least_new to be no more."),
    ],
)
def test_aims_out_of_bounds_are_refused(wrong: dict[str, float], told: str) -> None:
    with pytest.raises(BadInput, match=told):
        Aims(**wrong)  # type: ignore[arg-type]
