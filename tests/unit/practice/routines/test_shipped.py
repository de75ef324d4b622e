"""The routines that come with the program: for every horn and reach, as long as they say, and never beyond reach."""

from __future__ import annotations

import pytest

from airladder.practice.ask import Task
from airladder.practice.exercises.length import seconds_of
from airladder.practice.routine import Routine
from airladder.practice.routines.reading import named, names, shipped_names
from unit.practice.routines.players import all_tubes, player

FIXED = {"partials rising", "taste"}
"""The same for everybody: a first look must not know the reach before."""

LISTED = {one.called: one for one in names()}


def test_they_are_those_of_the_order_and_bear_the_names_of_their_files() -> None:
    assert shipped_names() == [
        *("backstage", "detour", "first week", "five minutes", "partials rising", "taste", "ten minutes")
    ]
    assert [one.name for one in names()] == shipped_names()
    assert not any(one.fault for one in names())


@pytest.mark.parametrize("name", shipped_names())
@pytest.mark.parametrize(("horn", "fingering"), [*all_tubes(long=True)])
@pytest.mark.parametrize("reach", range(2, 13))
def test_each_is_well_for_every_horn_and_long_fingering_and_reach(
    name: str, horn: str, fingering: str, reach: int
) -> None:
    routine = named(name, player(horn, fingering, reach=reach))
    assert routine.name == name
    if name not in FIXED:
        assert highest_asked(routine) <= reach


def highest_asked(routine: Routine) -> int:
    return max(partial for placed in routine.placed for partial in placed.ask.partials)


@pytest.mark.parametrize("name", shipped_names())
@pytest.mark.parametrize(("horn", "fingering"), [*all_tubes(long=False)])
def test_each_is_well_on_the_short_fingerings_too(name: str, horn: str, fingering: str) -> None:
    assert named(name, player(horn, fingering)).name == name


@pytest.mark.parametrize("name", shipped_names())
@pytest.mark.parametrize("day", range(1, 9))
def test_each_takes_about_the_minutes_that_it_says(name: str, day: int) -> None:
    minutes = LISTED[name].minutes
    assert minutes is not None
    for horn, fingering in all_tubes(long=True):
        takes = sum(seconds_of(one) for one in named(name, player(horn, fingering, day=day)).exercises) / 60.0
        assert 0.75 * minutes <= takes <= 1.25 * minutes


@pytest.mark.parametrize("name", ["five minutes", "ten minutes", "backstage", "detour"])
def test_a_long_reach_makes_the_daily_ones_little_longer(name: str) -> None:
    """They ask for the top of the reach, not for all of it."""
    minutes = LISTED[name].minutes
    takes = sum(seconds_of(one) for one in named(name, player(reach=12)).exercises) / 60.0
    assert minutes is not None
    assert takes <= 1.25 * minutes


def test_the_first_week_begins_with_the_fundamental_and_hears_before_it_plays() -> None:
    week = {day: named("first week", player(reach=3, day=day)) for day in range(1, 9)}
    for routine in week.values():
        assert [one.name for one in routine.exercises[:2]] == ["fundamental", "hear first"]
        assert len([one for one in routine.placed if one.ask.is_judged]) <= 8
    assert [highest_asked(routine) for routine in week.values()] == [2, 2, 3, 3, 3, 3, 3, 3]
    assert week[8] == week[7]


def test_the_first_look_asks_for_the_fundamental_and_partials_two_to_six_three_times_each() -> None:
    asks = [placed.ask for placed in named("partials rising", player(reach=2)).placed]
    assert [(ask.partials, ask.tries) for ask in asks] == [((n,), 3) for n in range(1, 7)]


def test_the_detour_is_on_the_short_fingerings_and_comes_back_to_the_one_that_is_set() -> None:
    fingered = [one.series.fingering for one in named("detour", player(fingering="C4")).exercises]
    assert [str(one) for one in fingered[-2:]] == ["C4", "C4"]
    assert sum(not one.long for one in fingered) > len(fingered) / 2


def test_the_taste_has_no_singing_and_shows_each_thing_once() -> None:
    routine = named("taste", player())
    assert Task.SING not in {placed.ask.task for placed in routine.placed}
    kinds = [one.name for one in routine.exercises]
    assert kinds == ["fundamental", "rising", "starts", "slurs", "compare"]
    assert routine.placed[0].ask.hold == 2.0
