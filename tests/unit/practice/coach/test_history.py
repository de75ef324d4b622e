"""What a tally may be."""

from __future__ import annotations

import pytest

from airladder.faults import BadInput
from airladder.practice.coach.counts import Counts, counted
from airladder.practice.coach.history import Tally
from learners.days import day


@pytest.mark.parametrize(
    "counts",
    [
        (3, 2, 3),  # more right than tried
        (3, 2, -1),
        (0, 2, 1),  # partials count from 1
        (3, 2, 1, 3, 0),  # more cold than tried
        (3, 2, 1, 1, 2),  # more cold ones right than there were
        (3, 4, 1, 2, 2),  # more cold ones right than right at all
        (3, 4, 3, 2, 0),  # two cold ones wrong, where one was wrong in all
        (3, -1, 0),
    ],
)
def test_counts_that_contradict_each_other_are_refused(counts: tuple[int, ...]) -> None:
    with pytest.raises(BadInput, match="wanted no more right than tried, and no more cold than all"):
        Tally("Bb3", *counts)


def test_the_sentence_says_what_was_found() -> None:
    with pytest.raises(BadInput) as fault:
        Tally("Bb3", 3, 2, 3)
    assert str(fault.value).startswith("3 of 2 tries right, cold 0 of 0, at partial 3 on Bb3: wanted ")


def test_what_was_tallied_twice_is_added_up_and_nothing_is_left_out() -> None:
    found = counted(day(Tally("Bb3", 3, 4, 2, 1, 1), ("Bb3", 4, 0, 0), Tally("Bb3", 3, 2, 1, 1, 0), ("B3", 3, 1, 0)))
    assert found == {("Bb3", 3): Counts(6, 3, 2, 1), ("B3", 3): Counts(1, 0)}
