"""The coach over invented lives: five months of a few players of each kind; `learners.year` has a year of many."""

from __future__ import annotations

from functools import cache

import pytest

from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.practice.coach.aims import Aims
from airladder.practice.coach.course import Leg
from airladder.practice.coach.following import course
from airladder.practice.coach.reach import reach
from airladder.practice.exercises.length import seconds_of
from learners.living import FINGERING, HORN, Life, lived, most_asked
from learners.players import ALL, BEGINNER, MISSES, STEADY, STUCK, TIRES, Character

DAYS = 150
SEEDS = {BEGINNER: 2, STEADY: 5, STUCK: 3, TIRES: 2, MISSES: 2}
SCOLDING = ("should", "must", "lazy", "missed", "failed", "bad", "wrong", "again!")


@cache
def life(character: Character, seed: int) -> Life:
    return lived(character, seed, DAYS)


LIVES = [(character, seed) for character in ALL for seed in range(SEEDS[character])]


@pytest.mark.parametrize(("character", "seed"), LIVES, ids=lambda value: getattr(value, "name", value))
def test_no_day_asks_for_what_the_horn_or_the_player_cannot_do_nor_drills(character: Character, seed: int) -> None:
    known = fingerings_of(HORNS[HORN])
    lived_so = life(character, seed)
    for index, plan in enumerate(lived_so.plans):
        reached = reach(tuple(lived_so.days[:index]))
        for placed in plan.routine.placed:
            series = placed.ask.series
            if placed.ask.beside is not None:
                continue
            assert str(series.fingering) in known
            highest = min(series.top_partial, max(3, reached[str(series.fingering)]))
            assert all(partial <= highest for partial in placed.ask.partials)
        assert most_asked(plan) <= Aims().most_tries
        assert sum(seconds_of(exercise) for exercise in plan.routine.exercises) <= 60.0 * Aims().minutes


@pytest.mark.parametrize("seed", range(SEEDS[STUCK]))
def test_who_is_stuck_at_partial_4_is_led_over_the_short_fingerings_and_told_what_it_did(seed: int) -> None:
    way = life(STUCK, seed).course
    assert way.plateaus
    assert way.plateaus[0].rung == (FINGERING, 5)
    assert way.detours
    assert all(detour.sentence for detour in way.detours)
    detour = way.detours[0]
    asked = {
        str(placed.ask.series.fingering)
        for plan in life(STUCK, seed).plans[detour.first : detour.last + 1]
        for placed in plan.routine.placed
        if placed.ask.beside is None
    }
    shorts = {name for name, fingering in fingerings_of(HORNS[HORN]).items() if not fingering.long}
    assert len(asked & shorts) >= 4
    assert asked <= shorts | {FINGERING}


@pytest.mark.parametrize("seed", range(SEEDS[STEADY]))
def test_who_gets_on_steadily_is_not_called_stuck_and_comes_further(seed: int) -> None:
    """Of 400 such players of `learners.tuning` at most two in a hundred ever were; of five here none."""
    steady = life(STEADY, seed)
    assert steady.course.plateaus == ()
    assert steady.reaches[-1] > steady.reaches[20]


@pytest.mark.parametrize("character", [BEGINNER, STEADY, TIRES], ids=lambda character: character.name)
def test_about_four_in_five_tries_come_out_right(character: Character) -> None:
    """After the first month, in which nobody knows the player yet; a band of a tenth round the aim of 80 to 90 %."""
    days = life(character, 0).days[30:]
    right = sum(tally.right for day in days for tally in day.tallies)
    tries = sum(tally.tries for day in days for tally in day.tallies)
    assert 0.7 < right / tries < 0.97


@pytest.mark.parametrize("seed", range(SEEDS[MISSES]))
def test_after_missed_days_it_is_easier_and_nobody_is_scolded(seed: int) -> None:
    lived_so = life(MISSES, seed)
    returns = [
        index
        for index in range(8, len(lived_so.dates))
        if lived_so.dates[index] - lived_so.dates[index - 1] > Aims().missed_days
    ]
    assert returns
    for index in returns:
        plan, before = lived_so.plans[index], lived_so.plans[index - 1]
        top = lived_so.reaches[index]
        assert "begins with what you know" in plan.remarks[0]
        assert asked_for(plan, top) <= max(1, asked_for(before, lived_so.reaches[index - 1]))
    for plan in lived_so.plans:
        assert not any(word in remark.casefold() for remark in plan.remarks for word in SCOLDING)


def asked_for(plan: object, partial: int) -> int:
    """How often a partial of the set fingering is asked for."""
    placed = plan.routine.placed  # type: ignore[attr-defined]  # a Plan
    return sum(
        one.ask.wanted == partial and str(one.ask.series.fingering) == FINGERING and one.ask.beside is None
        for one in placed
    )


def test_the_way_is_told_the_same_whenever_it_is_asked() -> None:
    days = tuple(life(STUCK, 0).days)
    legs = {course(days[:until]).leg for until in range(0, len(days), 5)}
    assert Leg.LONG in legs
    assert legs & {Leg.DETOUR, Leg.BACK}
    assert course(days) == course(days)
