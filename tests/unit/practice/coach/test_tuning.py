"""How often the coach errs over invented players; the whole tables are printed by tests/learners/tuning.py."""

from __future__ import annotations

from random import Random
from statistics import median
from time import process_time

import pytest

from airladder.practice.coach.following import course
from airladder.practice.coach.history import Tally
from airladder.practice.coach.reach import reach
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.standing import standings
from learners.days import day
from learners.tuning import STEADY, Steady, after_detour, days_to_call, falsely_called, known_at, steady

PLAYERS = 40


@pytest.mark.parametrize("player", STEADY, ids=lambda player: player.name)
def test_at_most_one_steady_player_in_twenty_is_called_stuck_in_a_year(player: Steady) -> None:
    assert falsely_called(player, PLAYERS) <= 0.05


def test_a_shorter_look_would_call_too_many() -> None:
    """So that the test above cannot pass on players who are never looked at."""
    assert falsely_called(STEADY[1], PLAYERS, rules=Rules(plateau_days=14, plateau_tries=20)) > 0.5


def test_steady_players_do_get_on() -> None:
    assert min(reach(steady(STEADY[0], seed))["Bb3"] for seed in range(5)) >= 7


@pytest.mark.parametrize("share", [0.0, 0.05, 0.1, 0.2, 0.3])
@pytest.mark.parametrize("tries", [4, 8])
def test_a_stuck_player_is_seen_within_three_months_and_mostly_within_six_weeks(share: float, tries: int) -> None:
    found = days_to_call(share, tries, PLAYERS)
    assert found[-1] <= 91
    assert median(found) <= 42


def test_a_rung_at_85_per_cent_is_soon_known_and_stays_and_one_at_40_is_hardly_ever() -> None:
    good = [known_at(0.85, 4, seed) for seed in range(PLAYERS)]
    assert all(won is not None and won <= 21 and lost is None for won, lost in good)
    assert sum(won is not None for won, _ in (known_at(0.4, 4, seed) for seed in range(PLAYERS))) <= 0.05 * PLAYERS


@pytest.mark.parametrize(("after", "helped"), [(0.1, False), (0.5, True)])
def test_verdicts_are_mostly_right_and_rarely_wrong(after: float, helped: bool) -> None:
    told = [after_detour(0.1, after, 6, seed, Rules()) for seed in range(PLAYERS)]
    verdicts = [detour.helped for detour in told if detour]
    assert verdicts.count(helped) > 0.7 * PLAYERS
    assert verdicts.count(not helped) <= 0.05 * PLAYERS


@pytest.mark.parametrize("tries", [1, 8])
def test_ten_years_of_ten_rungs_a_day_are_read_in_a_few_seconds(tries: int) -> None:
    random = Random(1)
    rungs = [(fingering, partial) for fingering in ("Bb3", "B3", "C4", "C#4", "D4") for partial in (2, 3)]
    history = tuple(
        day(*(Tally(*rung, tries, sum(random.random() < 0.1 for _ in range(tries))) for rung in rungs))
        for _ in range(3650)
    )
    start = process_time()
    assert course(history).plateaus
    assert len(standings(history)) == 10
    assert reach(history)
    assert process_time() - start < 5.0
