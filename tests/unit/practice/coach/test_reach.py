"""How far up each fingering one is asked."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.series import MOST_ASKED
from airladder.practice.coach.history import History
from airladder.practice.coach.reach import reach
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.wording import PRACTISED
from airladder.practice.setting import FIRST_REACH
from learners.days import day, histories

GOOD, POOR = (7, 7), (7, 1)


def after(days: int = 3, /, **results: tuple[int, int]) -> History:
    """So many equal days; `Bb3_4=GOOD` is partial 4 on low B flat."""
    rungs = [(name.split("_")[0], int(name.split("_")[1]), *result) for name, result in results.items()]
    return tuple(day(*rungs) for _ in range(days))


def test_of_somebody_of_whom_nothing_is_known_the_first_reach_is_asked() -> None:
    assert reach(()) == dict.fromkeys(PRACTISED, FIRST_REACH)


def test_it_is_one_above_the_highest_that_is_known() -> None:
    assert reach(after(Bb3_2=GOOD, Bb3_3=GOOD, Bb3_4=GOOD))["Bb3"] == 5


def test_two_days_are_too_few() -> None:
    assert reach(after(2, Bb3_2=GOOD, Bb3_3=GOOD, Bb3_4=GOOD))["Bb3"] == FIRST_REACH


def test_one_stubborn_rung_below_a_known_one_is_forgiven_two_are_not() -> None:
    assert reach(after(Bb3_3=GOOD, Bb3_4=POOR, Bb3_5=GOOD))["Bb3"] == 6
    assert reach(after(Bb3_3=GOOD, Bb3_4=POOR, Bb3_5=POOR, Bb3_6=GOOD))["Bb3"] == 4
    assert reach(after(Bb3_3=GOOD, Bb3_4=POOR, Bb3_5=GOOD), Rules(gap=0))["Bb3"] == 4


def test_stubborn_rungs_with_a_known_one_between_them_are_forgiven() -> None:
    assert reach(after(Bb3_3=POOR, Bb3_4=GOOD, Bb3_5=POOR, Bb3_6=GOOD))["Bb3"] == 7


def test_rungs_that_nobody_tried_do_not_end_the_run() -> None:
    assert reach(after(Bb3_8=GOOD))["Bb3"] == 9


def test_the_first_try_at_rungs_that_were_left_out_takes_nothing_back() -> None:
    assert reach(after(Bb3_8=GOOD) + after(1, Bb3_4=POOR, Bb3_5=POOR))["Bb3"] == 9


def test_it_ends_at_the_highest_partial_that_is_asked_for() -> None:
    assert reach(after(Bb3_12=GOOD, Bb3_13=GOOD))["Bb3"] == MOST_ASKED


def test_a_new_fingering_begins_one_lower_for_each_semitone() -> None:
    found = reach(after(Bb3_6=GOOD))
    assert [found[name] for name in ("A3", "Bb3", "B3", "C4", "C#4", "D4")] == [5, 7, 5, 4, 3, 3]


def test_what_surely_fails_there_is_where_it_stays() -> None:
    known = after(Bb3_8=GOOD)
    assert reach(known)["B3"] == 7
    assert reach(known + after(B3_4=POOR, B3_5=POOR))["B3"] == 4
    assert reach(known + after(B3_4=(7, 4), B3_5=POOR))["B3"] == 5


def test_an_unknown_fingering_says_nothing_of_the_others() -> None:
    assert reach(after(X9_8=GOOD)) == reach(())


@given(histories())
def test_it_is_always_something_to_ask_for(history: History) -> None:
    found = reach(history)
    assert list(found) == list(PRACTISED)
    assert all(FIRST_REACH <= partial <= MOST_ASKED for partial in found.values())


@pytest.mark.parametrize("worst", [0, 3])
@given(bad=st.integers(1, 60))
def test_one_bad_day_takes_nothing_back(worst: int, bad: int) -> None:
    known = after(4, Bb3_2=GOOD, Bb3_3=GOOD, Bb3_4=GOOD)
    fall = after(1, Bb3_2=(bad, min(worst, bad)), Bb3_3=(bad, 0), Bb3_4=(bad, 0))
    assert reach(known + fall) == reach(known)
