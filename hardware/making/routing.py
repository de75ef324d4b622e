"""Ways for the wires of a picture: along a grid, round the boxes, with few corners and crossings.

Conventions
-----------
Points are grid points (x, y), y downwards. A point may be crossed by two wires at a right angle; it is shared only by
wires that have an end in common.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

Point = tuple[int, int]

_STEPS = ((1, 0), (0, 1), (-1, 0), (0, -1))
_CORNER, _CROSSING = 4, 5


class NoWay(Exception):
    """A wire cannot be drawn; the text is one sentence."""


@dataclass
class Grid:
    """What is free.

    Parameters
    ----------
    size : points in x and y
    blocked : points of boxes and texts
    kept : points that only wires with a certain end may use, the way out of a pin
    """

    size: Point
    blocked: set[Point] = field(default_factory=set)
    kept: dict[Point, object] = field(default_factory=dict)
    _taken: dict[tuple[Point, int], list[frozenset[object]]] = field(default_factory=dict)

    def way(self, start: Point, goal: Point, ends: frozenset[object]) -> list[Point]:
        """The corners of the cheapest way, with both ends; it is taken from now on.

        Parameters
        ----------
        start, goal : two pins
        ends : what this wire joins; it may lie on wires that share one of them

        Raises
        ------
        NoWay
            All is blocked.
        """
        points = self._found(start, goal, ends)
        for before, here, after in zip([points[0], *points], points, [*points[1:], points[-1]], strict=False):
            for one, other in ((before, here), (here, after)):
                if one != other:
                    self._taken.setdefault((here, int(one[1] != other[1])), []).append(ends)
        return _corners(points)

    def _found(self, start: Point, goal: Point, ends: frozenset[object]) -> list[Point]:
        first = (start, -1)
        best = {first: 0}
        came: dict[tuple[Point, int], tuple[Point, int]] = {}
        heap: list[tuple[int, int, Point, int]] = [(0, 0, start, -1)]
        while heap:
            _, cost, here, axis = heapq.heappop(heap)
            if here == goal:
                return _back(came, (here, axis))
            if cost > best[(here, axis)]:
                continue
            for dx, dy in _STEPS:
                there, along = (here[0] + dx, here[1] + dy), int(dx == 0)
                price = self._price(here, axis, there, along, goal, ends)
                if price is None:
                    continue
                state = (there, along)
                if cost + price < best.get(state, 1 << 30):
                    best[state] = cost + price
                    came[state] = (here, axis)
                    ahead = abs(goal[0] - there[0]) + abs(goal[1] - there[1])
                    heapq.heappush(heap, (cost + price + ahead, cost + price, there, along))
        raise NoWay(f"No way from {start} to {goal}; give the boxes of wires.toml more room.")

    def _price(
        self, here: Point, axis: int, there: Point, along: int, goal: Point, ends: frozenset[object]
    ) -> int | None:
        """Of one step; None when it is forbidden."""
        if not (0 <= there[0] < self.size[0] and 0 <= there[1] < self.size[1]):
            return None
        if there in self.blocked and there != goal:
            return None
        if there in self.kept and self.kept[there] not in ends:
            return None
        turns = axis not in (-1, along)
        if self._strange(there, along, ends) or (turns and self._strange(here, along, ends)):
            return None
        crossed = self._strange(there, 1 - along, ends)
        if crossed and there == goal:
            return None
        if turns and self._strange(here, axis, ends):
            return None
        return 1 + _CORNER * turns + _CROSSING * crossed

    def _strange(self, point: Point, axis: int, ends: frozenset[object]) -> bool:
        """Whether a wire lies there along that axis that shares no end with this one."""
        return any(not ends & others for others in self._taken.get((point, axis), ()))


def _back(came: dict[tuple[Point, int], tuple[Point, int]], state: tuple[Point, int]) -> list[Point]:
    points = [state[0]]
    while state in came:
        state = came[state]
        points.append(state[0])
    return points[::-1]


def _corners(points: Sequence[Point]) -> list[Point]:
    inner = [
        here
        for before, here, after in zip(points, points[1:], points[2:], strict=False)
        if (here[0] - before[0], here[1] - before[1]) != (after[0] - here[0], after[1] - here[1])
    ]
    return [points[0], *inner, points[-1]]


def spread(corners: Sequence[Point]) -> Iterable[Point]:
    """All grid points of a way that is told by its corners."""
    yield corners[0]
    for (x, y), (x2, y2) in pairwise(corners):
        for step in range(1, abs(x2 - x) + abs(y2 - y) + 1):
            yield x + step * _sign(x2 - x), y + step * _sign(y2 - y)


def _sign(number: int) -> int:
    return (number > 0) - (number < 0)
