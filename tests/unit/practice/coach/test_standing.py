"""What makes a rung known, and what loses it again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from airladder.practice.coach.counts import Counts
from airladder.practice.coach.history import History, Tally
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.standing import Stage, standing, standings, weighed
from learners.days import RUNG, day, days, histories, tallies

KNOWN = days(RUNG, [(7, 6), (7, 6), (6, 5)])


def stage(history: History, rules: Rules | None = None) -> Stage:
    return standing(history, RUNG, rules).stage


def test_a_rung_that_nobody_tried_is_new() -> None:
    found = standing((), RUNG)
    assert (found.stage, found.tries, found.share) == (Stage.NEW, 0, (0.0, 1.0))
    assert found.sentence == "Partial 3 on low B flat was not tried yet: new."


def test_17_of_20_over_three_days_make_a_rung_known() -> None:
    """Evidence.md: 17 of 20 is 64.0 to 94.8 %, above the 60 % that are asked for."""
    found = standing(KNOWN, RUNG)
    assert found.stage is Stage.KNOWN
    assert (found.right, found.tries, found.days) == (17, 20, 3)
    assert found.share == pytest.approx((0.640, 0.948), abs=5e-4)
    assert found.sentence == "Partial 3 on low B flat spoke in about 5 of 6 tries on the last 3 days: known."


@pytest.mark.parametrize(
    ("results", "why"),
    [
        ([(7, 6), (7, 5), (6, 5)], "16 of 20 are surely above 58 % only"),
        ([(10, 10), (10, 9)], "two days"),
        ([(100, 99)], "one day"),
        ([(40, 40), (1, 1), (1, 0)], "the third day was no good one"),
        ([(3, 3), (3, 3), (3, 3)], "nine tries are few"),
    ],
)
def test_less_than_that_does_not(results: list[tuple[int, int]], why: str) -> None:
    assert stage(days(RUNG, results)) is Stage.LEARNING, why


def test_only_the_newest_tries_count() -> None:
    assert stage(days(RUNG, [(10, 0)] * 30 + [(7, 6), (7, 6), (6, 5)])) is Stage.KNOWN


def test_one_bad_day_loses_nothing() -> None:
    assert stage(KNOWN + days(RUNG, [(60, 0)])) is Stage.KNOWN


def test_two_bad_days_lose_nothing() -> None:
    assert stage(KNOWN + days(RUNG, [(60, 0)] * 2)) is Stage.KNOWN


def test_three_bad_days_with_many_tries_lose_it() -> None:
    assert stage(KNOWN + days(RUNG, [(7, 2)] * 3)) is Stage.LEARNING


def test_a_dip_to_half_for_a_week_loses_nothing() -> None:
    """10 of 20 may be 70 % (evidence.md: a drop at each switch is expected)."""
    assert stage(KNOWN + days(RUNG, [(6, 3)] * 7)) is Stage.KNOWN


def test_a_rung_that_was_lost_can_be_won_again() -> None:
    assert stage(KNOWN + days(RUNG, [(7, 0)] * 5) + KNOWN) is Stage.KNOWN


@pytest.mark.parametrize(("cold_right", "expected"), [(6, Stage.KNOWN), (0, Stage.LEARNING)])
def test_cold_tries_weigh_more(cold_right: int, expected: Stage) -> None:
    """The same 17 of 20, but with three more wrong ones; it turns on whether the cold ones were the right ones."""
    cold = [Tally(*RUNG, 8, 6, 2, right) for right in {6: (2, 2, 2), 0: (0, 0, 0)}[cold_right]]
    assert stage(tuple(map(day, cold)), Rules(known_share=0.55)) is expected


def test_with_all_tries_cold_the_interval_is_that_of_scipy() -> None:
    """Equal weights weigh nothing (Kish's effective number is then the number itself)."""
    theirs = stats.binomtest(17, 20).proportion_ci(method="wilson")
    assert weighed(Counts(20, 17, 20, 17), Rules(cold_weight=3.0)) == pytest.approx(tuple(theirs), abs=1e-9)


def test_weights_make_fewer_tries_of_many() -> None:
    """Ten of weight 2 and ten of weight 1 are 30 * 30 / 50 = 18 (Kish, Survey Sampling (1965), by hand)."""
    theirs = stats.binomtest(9, 18).proportion_ci(method="wilson")
    assert weighed(Counts(20, 10, 10, 5), Rules()) == pytest.approx(tuple(theirs), abs=1e-9)


@given(histories())
def test_all_standings_are_those_of_each_rung(history: History) -> None:
    found = standings(history)
    assert set(found) == {t.rung for each in history for t in each.tallies if t.tries}
    for rung, each in found.items():
        assert each == standing(history, rung)
        assert 0 <= each.right <= each.tries
        assert 0.0 <= each.share.low <= each.share.high <= 1.0
        assert each.sentence.endswith((": known.", ": learning."))


@given(histories(), st.data())
def test_what_happens_at_other_rungs_changes_nothing_here(history: History, data: st.DataObject) -> None:
    others = [t for t in data.draw(st.lists(tallies(), max_size=5)) if t.rung != RUNG]
    more = tuple(day(*each.tallies, *others, label=each.date) for each in history)
    assert standing(more, RUNG) == standing(history, RUNG)


@given(st.lists(st.integers(1, 30).flatmap(lambda n: st.tuples(st.just(n), st.integers(0, n))), max_size=30))
def test_no_single_day_makes_a_rung_known_or_loses_it(results: list[tuple[int, int]]) -> None:
    """Whatever went before: the best day after bad ones, or the worst after good ones, is not enough."""
    before = days(RUNG, results)
    low = days(RUNG, [(20, 0)] * 3)
    assert stage(before + low + days(RUNG, [(50, 50)])) is Stage.LEARNING
    if stage(before + KNOWN) is Stage.KNOWN:
        assert stage(before + KNOWN + days(RUNG, [(50, 0)])) is Stage.KNOWN
