"""What the report counts and measures of some tries, cell by cell; cells of several sessions may be put together.

A cell has counts, which are added up, and values, which are kept one by one until the period is whole: so the
quartiles of a month are those of all its tries, and none is a mean of others.

Conventions
-----------
A family of cells (`FAMILIES`) has a key, counts and values of its own; every key begins with the names of the horn
and of the fingering. Values in cents, ms and Hz, to a hundredth. As JSON a cell is one row: key, counts, values.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from statistics import quantiles
from typing import Any, NamedTuple

Key = tuple[str | int, ...]
Row = list[Any]
Middle = tuple[int, float, float, float]


class Family(NamedTuple):
    """How wide the rows of a family are: parts of the key, counts, and lists of values; `digits` of each list."""

    key: int
    counts: int
    digits: tuple[int, ...]


FAMILIES: Mapping[str, Family] = {
    "practised": Family(2, 3, ()),  # horn, fingering | seconds, tries, reached
    "rungs": Family(3, 5, (1, 0)),  # .., partial | tries, reached, right, cold, cold right | cents, ms to speak
    "starts": Family(4, 5, (0,)),  # .., partial, kind | asked, reached, right, began, reached | ms to speak
    "compared": Family(5, 0, (1,)),  # .., partial, usual, interval | | cents of difference
    "fundamentals": Family(2, 0, (2, 1)),  # .. | | Hz, cents
}


@dataclass
class Cell:
    """One cell: its counts, and its lists of values."""

    counts: list[float]
    values: list[list[float]]


class Cells:
    """Cells by family and key, to be added to."""

    def __init__(self) -> None:
        self._families: dict[str, dict[Key, Cell]] = {name: {} for name in FAMILIES}

    def count(self, family: str, key: Key, *counts: float) -> Cell:
        """Add to the counts of a cell, which begins at none, and return the cell."""
        cell = self._cell(family, key)
        for place, count in enumerate(counts):
            cell.counts[place] += count
        return cell

    def merge(self, rows: Mapping[str, Iterable[Row]]) -> None:
        """Add the cells of another session, as `rows` gave them, or some families of them."""
        for family, added in rows.items():
            key, counts, _ = FAMILIES[family]
            for row in added:
                cell = self.count(family, tuple(row[:key]), *row[key : key + counts])
                for mine, theirs in zip(cell.values, row[key + counts :], strict=True):
                    mine.extend(theirs)

    def rows(self) -> dict[str, list[Row]]:
        """All cells with all their values, in the order of their keys."""
        return {name: [[*key, *cell.counts, *cell.values] for key, cell in self._sorted(name)] for name in FAMILIES}

    def summed_up(self, families: Iterable[str], *, values: bool) -> dict[str, list[Row]]:
        """The cells of some families in the order of their keys: their counts and, where `values` are wanted, the
        middle of those, None where there is none."""
        return {
            name: [
                [*key, *cell.counts, *(map(middle, cell.values, FAMILIES[name].digits) if values else ())]
                for key, cell in self._sorted(name)
            ]
            for name in families
        }

    def _cell(self, family: str, key: Key) -> Cell:
        cells = self._families[family]
        if key not in cells:
            form = FAMILIES[family]
            cells[key] = Cell([0] * form.counts, [[] for _ in form.digits])
        return cells[key]

    def _sorted(self, family: str) -> Iterator[tuple[Key, Cell]]:
        yield from sorted(self._families[family].items())


def middle(values: list[float], digits: int) -> Middle | None:
    """How many values there are, the lower quartile, the median and the upper quartile; None of no values.

    Quartiles are interpolated between the two nearest ranks (R. J. Hyndman, Y. Fan, Am. Stat. 50 (1996) 361-365,
    type 7), rounded to so many `digits`.
    """
    if not values:
        return None
    three = quantiles(values, n=4, method="inclusive") if len(values) > 1 else values * 3
    low, half, high = (_rounded(value, digits) for value in three)
    return len(values), low, half, high


def _rounded(value: float, digits: int) -> float:
    return round(value, digits) if digits else round(value)
