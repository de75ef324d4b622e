"""Which partials a step asks for: the same for everybody, or as far as this player has come.

Conventions
-----------
``[2, 3, 5]``, ``"2-6"`` or ``4`` are for everybody; ``"reach"`` is partial 2 up to the player's reach, and
``"top 3"`` the highest three of those. `within_reach` cuts the first kind down to the reach as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from airladder.faults import BadInput
from airladder.music.series import MOST_ASKED, Series
from airladder.music.usual import LOW, Interval, usual
from airladder.practice.exercise import Kind
from airladder.practice.routines.values import numbers, shown, span

_TOP = re.compile(r"top ([1-9]|1[0-2])")
_ALL = tuple(range(2, MOST_ASKED + 1))


@dataclass(frozen=True)
class Rungs:
    """The partials of a step, before it is known who plays.

    Attributes
    ----------
    listed : in order
    by_reach : whether the file leaves it to the player's reach how many they are
    top : only so many of the highest; None: all
    """

    listed: tuple[int, ...]
    by_reach: bool = False
    top: int | None = None

    def chosen(self, series: Series, reach: int, kind: Kind, below: tuple[Interval, ...] = ()) -> tuple[int, ...]:
        """The partials to be asked for on a tube.

        Parameters
        ----------
        series : the tube
        reach : the highest partial that is asked of this player there
        kind : the exercise: what is compared needs a usual fingering, a slur needs two partials
        below : of LOW: how far below the usual fingerings are; empty: any

        Returns
        -------
        At least one: the reach itself where nothing is left; of a slur at least two, from the partial below where
        only one is left. What is listed for everybody is not cut.
        """
        if not self.by_reach:
            return self.listed
        reach = max(2, reach)
        left = [n for n in self.listed if n <= reach and _can_be(kind, series, n, below)]
        left = left[-self.top :] if self.top else left
        if kind is Kind.SLURS:
            return self._slur([n for n, _ in groupby(left)], reach)
        return tuple(left) or (reach,)

    def _slur(self, left: list[int], reach: int) -> tuple[int, ...]:
        if len(left) > 1:
            return tuple(left)
        upper = max(2, left[0] if left else reach)
        falls = self.listed[0] > self.listed[-1]
        return (upper, upper - 1) if falls else (upper - 1, upper)


def _can_be(kind: Kind, series: Series, partial: int, below: tuple[Interval, ...]) -> bool:
    match kind:
        case Kind.COMPARE:
            return usual(series, partial) is not None
        case Kind.LOW:
            found = [usual(series, partial, interval) is not None for interval in below or LOW]
            return all(found) if below else any(found)
        case _:
            return True


def rungs(value: Any) -> Rungs:
    """The partials that the value of a key names; BadInput when it names none."""
    if not isinstance(value, str):
        return Rungs(numbers(value, 1, MOST_ASKED))
    if value == "reach":
        return Rungs(_ALL, by_reach=True)
    if top := _TOP.fullmatch(value):
        return Rungs(_ALL, by_reach=True, top=int(top[1]))
    listed = span(value, 1, MOST_ASKED)
    if listed is None:
        raise BadInput(f'{shown(value)} names no partials; wanted numbers like [2, 3], or "2-6", "reach" or "top 3".')
    return Rungs(listed)
