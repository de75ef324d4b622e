"""Parts of a plan are cut to the minutes and to the cap of each rung; what matters most stays."""

from __future__ import annotations

from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.practice.coach.fitting import fitted, seconds
from airladder.practice.coach.menu import Part
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish

LOW = Series(HORNS["alto"], fingering_named(HORNS["alto"], "Bb3"))


def part(*partials: int, tries: int = 2, rank: int = 1) -> Part:
    return Part(built(Wish(Kind.RISING, LOW, partials, tries=tries)), "Why.", rank)


def asked(parts: list[Part]) -> list[int]:
    return [ask.partials[0] for one in parts for ask in one.exercise.asks]


def test_all_tries_that_an_ask_may_take_count_towards_the_cap() -> None:
    assert asked(fitted([part(2), part(2), part(3)], 60.0, 3, {})) == [2, 3]
    assert asked(fitted([part(2, tries=1), part(2), part(2)], 60.0, 3, {})) == [2, 2]


def test_what_was_tried_today_counts_too_and_the_fundamental_never() -> None:
    assert asked(fitted([part(1, 2, 3), part(1)], 60.0, 2, {("Bb3", 2): 1})) == [1, 3, 1]


def test_the_highest_rank_goes_first_and_the_last_part_stays_whatever_its_length() -> None:
    parts = [part(2, rank=0), part(3, rank=2), part(4, rank=1)]
    both = seconds([parts[0], parts[2]]) / 60.0
    assert asked(fitted(parts, both, None, {})) == [2, 4]
    assert asked(fitted(parts, 0.0, None, {})) == [2]


def test_without_a_cap_nothing_is_counted() -> None:
    assert asked(fitted([part(2), part(2), part(2)], 60.0, None, {})) == [2, 2, 2]
