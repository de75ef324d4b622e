"""The middle half of a distribution that was counted: a value and its weight, row by row."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any, NamedTuple

_ROUNDING = 1e-9
"""Sums that were added up in another order differ by less than this part of them, and are meant to be the same."""


class Middle(NamedTuple):
    """Lower quartile, median and upper quartile; of how many players."""

    low: float
    middle: float
    high: float
    players: int


def middles(rows: Iterable[dict[str, Any]], keys: Sequence[str]) -> dict[tuple[Any, ...], Middle]:
    """Of rows that are sorted by `keys` and then by ``value``: the middle of each group, by its keys.

    The value at which a quarter (half, three quarters) of the weight is reached: as exact as what was counted.
    """
    return {
        key: _middle(list(group)) for key, group in groupby(rows, key=lambda row: tuple(row[name] for name in keys))
    }


def _middle(rows: Sequence[dict[str, Any]]) -> Middle:
    total = sum(row["weight"] for row in rows)
    low, middle, high = (_reached(rows, share * total) for share in (0.25, 0.5, 0.75))
    return Middle(low, middle, high, rows[0]["players"])


def _reached(rows: Sequence[dict[str, Any]], weight: float) -> float:
    so_far = 0.0
    for row in rows:
        so_far += row["weight"]
        if so_far >= weight - _ROUNDING * weight:
            return float(row["value"])
    return float(rows[-1]["value"])  # rounding of the sum
