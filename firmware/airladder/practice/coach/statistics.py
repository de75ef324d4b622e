"""The three named statistics the coach judges by: Wilson's interval, Mann and Kendall's trend, Newcombe's difference.

Conventions
-----------
A share is 0 to 1. `z` is the half-width of an interval in standard deviations of the normal curve: 1.96 is 95 %.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort_right
from collections import Counter
from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple


class Interval(NamedTuple):
    """From `low` to `high`."""

    low: float
    high: float


class Trend(NamedTuple):
    """What the trend test found.

    Attributes
    ----------
    s : how many pairs of values rise, less how many fall
    variance : of `s` if there were no trend, ties corrected for
    z : `s` in standard deviations, drawn one step towards 0 (continuity); 0 when all values are the same
    """

    s: int
    variance: float
    z: float


def wilson(right: float, tries: float, z: float) -> Interval:
    """The score interval of a share (E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212).

    Parameters
    ----------
    right, tries : counts; weighted ones need not be whole
    z : see Conventions

    Returns
    -------
    An interval within 0..1 that holds `right / tries`; all of 0..1 when there were no tries.
    """
    if tries <= 0:
        return Interval(0.0, 1.0)
    share = right / tries
    spread = z * z / tries
    middle = share + spread / 2.0
    half = sqrt(max(0.0, spread * (share * (1.0 - share) + spread / 4.0)))
    # Rounding may put an end a hair on the wrong side of the share itself, or beyond 0 and 1.
    low = (middle - half) / (1.0 + spread)
    high = (middle + half) / (1.0 + spread)
    return Interval(min(share, max(0.0, low)), max(share, min(1.0, high)))


def mann_kendall(values: Sequence[float]) -> Trend:
    """Whether values rise or fall in the order given (H. B. Mann, Econometrica 13 (1945) 245-259; M. G. Kendall,
    Rank Correlation Methods (1975)), with the corrections for ties and for continuity.

    Only the order of the values counts, not how far apart they are, so one odd day moves it little.
    """
    count, s = len(values), 0
    earlier: list[float] = []
    for value in values:  # kept in order, so that those below and above are counted at once
        s += bisect_left(earlier, value) - (len(earlier) - bisect_right(earlier, value))
        insort_right(earlier, value)
    ties = Counter(values).values()
    variance = (_eighteenths(count) - sum(map(_eighteenths, ties))) / 18.0
    if variance <= 0.0 or s == 0:
        return Trend(s, variance, 0.0)
    return Trend(s, variance, (s - 1 if s > 0 else s + 1) / sqrt(variance))


def _eighteenths(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def newcombe(right_after: int, tries_after: int, right_before: int, tries_before: int, z: float) -> Interval:
    """The hybrid score interval of a difference of two shares, after less before.

    R. G. Newcombe, Stat. Med. 17 (1998) 873-890, method 10. From -1 to 1 when either side has no tries.
    """
    if tries_after <= 0 or tries_before <= 0:
        return Interval(-1.0, 1.0)
    after, before = right_after / tries_after, right_before / tries_before
    low_after, high_after = wilson(right_after, tries_after, z)
    low_before, high_before = wilson(right_before, tries_before, z)
    difference = after - before
    return Interval(
        difference - sqrt((after - low_after) ** 2 + (high_before - before) ** 2),
        difference + sqrt((high_after - after) ** 2 + (before - low_before) ** 2),
    )
