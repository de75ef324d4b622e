"""Whether what was sampled stayed flat: the robust slope of the second half, with its interval, within a bound.

The slope is the median of those between any two samples (H. Theil, Proc. Kon. Ned. Akad. Wet. A 53 (1950) 386), its
95 % interval as P. K. Sen gives it (J. Am. Stat. Assoc. 63 (1968) 1379). The first half is left out, in which caches
fill. Flat is what is surely flat: where the interval reaches beyond the bound, it is not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import inf, sqrt
from statistics import NormalDist, median

LEVEL = 0.95


@dataclass(frozen=True)
class Bound:
    """What counts as flat.

    Attributes
    ----------
    a_day : how much it may grow in a day; for what goes up and down, infinite
    unit : of the samples
    why : the reason for that number
    most : what the second half may reach at most
    hours : how long the second half must be to tell
    """

    a_day: float
    unit: str
    why: str
    most: float = inf
    hours: float = 0.0


BOUNDS: Mapping[str, Bound] = {
    "rss": Bound(2048, "KiB", "a week without a switch-off takes 14 MiB of what the board has left", hours=6.0),
    "anon": Bound(2048, "KiB", "the same, without pages of files, which the kernel may take back", hours=6.0),
    "held": Bound(2048, "KiB", "the same, of what malloc has given out"),
    "blocks": Bound(20_000, "", "a megabyte of small ones"),
    "objects": Bound(5000, "", "half a megabyte, and less than a day's tries are as rows"),
    "files": Bound(1, "", "the limit is 1024"),
    "threads": Bound(1, "", "each holds a stack"),
    "inbox": Bound(inf, "", "its room is 128; the microphone of the soak keeps 66 in it", 80),
    "unkept": Bound(inf, "", "a try that waits is not in the log", 1),
    "newest": Bound(inf, "", "there is one place", 1),
    "writers": Bound(inf, "", "one a practice, and the one before it", 2),
    "wal": Bound(262_144, "bytes", "it is begun anew at 1000 pages"),
    "temporary": Bound(1, "", "nobody empties the folder"),
}
"""Everything that must stay flat. The log itself grows, as it should. Resident memory grows in steps of a megabyte;
one within a few hours would look like a trend."""


@dataclass(frozen=True)
class Slope:
    """Growth a day: the middle, and the ends of the interval."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class Found:
    """What became of one measure: its slope, the extremes of the second half, and whether it was flat; None where the
    time was too short to tell."""

    name: str
    slope: Slope
    least: float
    most: float
    is_flat: bool | None


def slope(hours: Sequence[float], values: Sequence[float], level: float = LEVEL) -> Slope:
    """The robust slope, a day.

    Raises
    ------
    ValueError : of fewer than three samples.
    """
    if len(hours) < 3:
        raise ValueError(f"{len(hours)} samples have no slope with an interval; wanted 3 or more.")
    points = zip(hours, values, strict=True)
    slopes = sorted((y1 - y0) / (x1 - x0) for (x0, y0), (x1, y1) in combinations(points, 2) if x1 != x0)
    spread = NormalDist().inv_cdf(0.5 + level / 2.0) * sqrt(_variance(values))
    low = max(0, round((len(slopes) - spread) / 2.0) - 1)
    high = min(len(slopes) - 1, round((len(slopes) + spread) / 2.0))
    return Slope(24.0 * slopes[low], 24.0 * median(slopes), 24.0 * slopes[high])


def found(samples: Sequence[Mapping[str, float]]) -> list[Found]:
    """What became of everything that must stay flat."""
    return [_one(name, bound, samples[len(samples) // 2 :]) for name, bound in BOUNDS.items()]


def _one(name: str, bound: Bound, samples: Sequence[Mapping[str, float]]) -> Found:
    values, hours = [sample[name] for sample in samples], [sample["hours"] for sample in samples]
    grown = slope(hours, values)
    is_flat = grown.high <= bound.a_day and max(values) <= bound.most
    return Found(name, grown, min(values), max(values), is_flat if hours[-1] - hours[0] >= bound.hours else None)


def _variance(values: Sequence[float]) -> float:
    """Of Kendall's sum, equal values taken into account."""
    n, ties = len(values), [values.count(value) for value in set(values)]
    return (n * (n - 1) * (2 * n + 5) - sum(t * (t - 1) * (2 * t + 5) for t in ties)) / 18.0
