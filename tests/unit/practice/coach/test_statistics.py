"""The three statistics, against published examples and against SciPy."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from airladder.practice.coach.statistics import Interval, mann_kendall, newcombe, wilson

Z95 = 1.959963984540054

# R. G. Newcombe, Stat. Med. 17 (1998) 857-872, Table I, method 3 (from memory); the last one is evidence.md's.
WILSON = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
    (17, 20, 0.640, 0.948),
]

# R. G. Newcombe, Stat. Med. 17 (1998) 873-890, Table II, method 10. The first two are quoted in the tests of the
# R package propint, the others are from memory; statsmodels 0.15 gives all eight (method="newcomb").
NEWCOMBE = [
    (56, 70, 48, 80, 0.0524, 0.3339),
    (9, 10, 3, 10, 0.1705, 0.8090),
    (6, 7, 2, 7, 0.0582, 0.8062),
    (5, 56, 0, 29, -0.0381, 0.1926),
    (0, 10, 0, 20, -0.1611, 0.2775),
    (0, 10, 0, 10, -0.2775, 0.2775),
    (10, 10, 0, 20, 0.6791, 1.0),
    (10, 10, 0, 10, 0.6075, 1.0),
]

# US EPA, Data Quality Assessment: Statistical Methods for Practitioners, EPA QA/G-9S (2006), page 109: S 22, variance
# 155.33, z 1.685 (as quoted in the help of a program that computes it).
EPA = (10.0, 10.0, 10.0, 5.0, 10.0, 20.0, 18.0, 17.0, 15.0, 24.0, 15.0)

results = st.integers(1, 200).flatmap(lambda tries: st.tuples(st.integers(0, tries), st.just(tries)))
values = st.lists(st.integers(0, 6).map(lambda n: n / 6), min_size=2, max_size=60)


@pytest.mark.parametrize(("right", "tries", "low", "high"), WILSON)
def test_wilson_gives_the_published_intervals(right: int, tries: int, low: float, high: float) -> None:
    digits = 5e-4 if tries == 20 and right else 5e-5
    assert wilson(right, tries, Z95) == pytest.approx((low, high), abs=digits * 1.01)


@given(results)
def test_wilson_is_that_of_scipy(result: tuple[int, int]) -> None:
    theirs = stats.binomtest(*result).proportion_ci(method="wilson")
    assert wilson(*result, Z95) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


@given(results, st.floats(0.1, 5.0))
def test_wilson_holds_the_share_and_stays_within_0_and_1(result: tuple[int, int], z: float) -> None:
    low, high = wilson(*result, z)
    assert 0.0 <= low <= result[0] / result[1] <= high <= 1.0


def test_without_tries_a_share_may_be_anything() -> None:
    assert wilson(0, 0, Z95) == Interval(0.0, 1.0)


@pytest.mark.parametrize(("count", "variance"), [(10, 125.0), (14, 333.6667), (20, 950.0)])
def test_the_trend_has_the_printed_variance(count: int, variance: float) -> None:
    """The formula is n(n-1)(2n+5)/18: Kendall, Rank Correlation Methods (1975); values of evidence.md."""
    assert mann_kendall(range(count)).variance == pytest.approx(variance, abs=1e-4)


def test_the_trend_of_a_published_example_with_ties() -> None:
    trend = mann_kendall(EPA)
    assert trend.s == 22
    assert trend.variance == pytest.approx(155.33, abs=0.005)
    assert trend.z == pytest.approx(1.685, abs=0.0005)


@given(values)
def test_the_trend_is_that_of_scipy(series: list[float]) -> None:
    """From Kendall's tau-b comes S, and from its p-value (no continuity correction there) the variance with ties."""
    assume(len(series) > 2 and len(set(series)) > 1)  # SciPy divides by zero at two values
    trend = mann_kendall(series)
    pairs = len(series) * (len(series) - 1) / 2
    tied = sum(series.count(value) * (series.count(value) - 1) / 2 for value in set(series))
    theirs = stats.kendalltau(range(len(series)), series, method="asymptotic")
    assert trend.s == round(theirs.statistic * sqrt(pairs * (pairs - tied)))
    assert 2 * stats.norm.sf(abs(trend.s) / sqrt(trend.variance)) == pytest.approx(theirs.pvalue, rel=1e-9)
    corrected = abs(trend.z) * sqrt(trend.variance)
    assert corrected == pytest.approx(max(0, abs(trend.s) - 1))


@given(values)
def test_the_trend_turns_round_with_the_values(series: list[float]) -> None:
    there, back = mann_kendall(series), mann_kendall(series[::-1])
    assert (back.s, back.z) == (-there.s, -there.z)


@pytest.mark.parametrize("series", [[], [0.4], [0.0] * 30])
def test_no_values_one_value_and_equal_values_have_no_trend(series: list[float]) -> None:
    assert mann_kendall(series)[::2] == (0, 0.0)


@pytest.mark.parametrize(("after", "of", "before", "of_before", "low", "high"), NEWCOMBE)
def test_newcombe_gives_the_published_intervals(
    after: int, of: int, before: int, of_before: int, low: float, high: float
) -> None:
    assert newcombe(after, of, before, of_before, Z95) == pytest.approx((low, high), abs=5.1e-5)


@given(results, results)
def test_newcombe_is_built_from_the_intervals_of_scipy(after: tuple[int, int], before: tuple[int, int]) -> None:
    one, other = (stats.binomtest(*result).proportion_ci(method="wilson") for result in (after, before))
    share, share_before = after[0] / after[1], before[0] / before[1]
    low = share - share_before - sqrt((share - one.low) ** 2 + (other.high - share_before) ** 2)
    high = share - share_before + sqrt((one.high - share) ** 2 + (share_before - other.low) ** 2)
    assert newcombe(*after, *before, Z95) == pytest.approx((low, high), abs=1e-12)


@pytest.mark.parametrize("counts", [(0, 0, 3, 4), (3, 4, 0, 0)])
def test_without_tries_on_a_side_a_difference_may_be_anything(counts: tuple[int, int, int, int]) -> None:
    assert newcombe(*counts, Z95) == Interval(-1.0, 1.0)
