"""The verdict of the soak: what grows is found, what goes to and fro is not, and scipy has the same slope."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import theilslopes

from acceptance.soak.verdict import BOUNDS, found, slope

HOURS = [hop / 12 for hop in range(289)]
"""A day, every five minutes."""


def samples(**grows: Callable[[float], float]) -> list[dict[str, float]]:
    """A day in which everything stands still but what `grows`, by hour."""
    return [
        {"hours": hour, **{name: grows[name](hour) if name in grows else 1.0 for name in BOUNDS}} for hour in HOURS
    ]


def not_flat(**grows: Callable[[float], float]) -> set[str]:
    return {one.name for one in found(samples(**grows)) if one.is_flat is not True}


def test_a_day_in_which_nothing_changes_is_flat() -> None:
    assert not_flat() == set()


@pytest.mark.parametrize(
    ("name", "grows"),
    [
        ("files", lambda hour: 8 + hour // 6),
        ("threads", lambda hour: 9 + hour // 6),
        ("temporary", lambda hour: hour // 6),
        ("anon", lambda hour: 60_000 + 120 * hour + 900 * Random(hour).random()),
        ("held", lambda hour: 30_000 + 120 * hour + 900 * Random(hour).random()),
        ("objects", lambda hour: 40_000 + 300 * hour),
        ("wal", lambda hour: 20_000 * hour),
        ("writers", lambda hour: 1 + hour // 8),
        ("inbox", lambda hour: 120 if hour > 20 else 3),
    ],
)
def test_what_grows_is_found_and_nothing_else(name: str, grows: Callable[[float], float]) -> None:
    assert not_flat(**{name: grows}) == {name}


def test_memory_that_goes_to_and_fro_every_two_hours_is_flat() -> None:
    assert not_flat(rss=lambda hour: 70_000 + (4_000 if hour % 2 < 0.2 else 0) + 300 * Random(hour).random()) == set()


def test_what_fills_in_the_first_half_is_not_held_against_anybody() -> None:
    assert not_flat(anon=lambda hour: 40_000 + 3_000 * min(hour, 11.0)) == set()


def test_noise_too_great_to_tell_is_not_called_flat() -> None:
    assert not_flat(rss=lambda hour: 70_000 + 60_000 * Random(hour).random()) == {"rss"}


@settings(deadline=None)
@given(st.lists(st.integers(0, 50), min_size=8, max_size=60))
def test_scipy_has_the_same_slope_and_interval(values: list[int]) -> None:
    hours = [float(hour) for hour in range(len(values))]
    ours, theirs = slope(hours, values), theilslopes(values, hours, 0.95)
    assert ours.middle == pytest.approx(24.0 * theirs.slope)
    assert (ours.low, ours.high) == pytest.approx((24.0 * theirs.low_slope, 24.0 * theirs.high_slope))


def test_a_few_hours_tell_nothing_of_resident_memory_and_all_of_the_rest() -> None:
    day = samples(rss=lambda hour: 60_000 + 1_000 * (hour > 4), held=lambda hour: 30_000 + 500 * hour)
    assert {one.name: one.is_flat for one in found(day[:72]) if not one.is_flat} == {
        "rss": None,
        "anon": None,
        "held": False,
    }


def test_two_samples_have_no_slope() -> None:
    with pytest.raises(ValueError, match="2 samples have no slope"):
        slope([0.0, 1.0], [1.0, 2.0])
