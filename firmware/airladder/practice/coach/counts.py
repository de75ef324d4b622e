"""The tries of a day, rung by rung, each rung once; and the newest of many days."""

from __future__ import annotations

from collections import deque
from typing import NamedTuple

from airladder.practice.coach.history import Day, Rung


class Counts(NamedTuple):
    """Tries, those of them that were right, and of both those that were cold."""

    tries: int
    right: int
    cold: int = 0
    cold_right: int = 0

    @property
    def share(self) -> float:
        """How many of the tries were right, 0 to 1."""
        return self.right / self.tries


def counted(day: Day) -> dict[Rung, Counts]:
    """The rungs that were tried on a day; what was tallied twice is added up."""
    found: dict[Rung, Counts] = {}
    for tally in day.tallies:
        if tally.tries > 0:
            new = Counts(tally.tries, tally.right, tally.cold, tally.cold_right)
            old = found.get(tally.rung)
            found[tally.rung] = new if old is None else total((old, new))
    return found


def total(days: tuple[Counts, ...] | deque[Counts] | list[Counts]) -> Counts:
    """All of them together."""
    return Counts(*(sum(numbers) for numbers in zip(*days, strict=True))) if days else Counts(0, 0)


class Newest:
    """The newest days of a rung: as few as hold so many days and so many tries, or all when there are fewer."""

    def __init__(self, days: int, tries: int) -> None:
        self._least_days = days
        self._least_tries = tries
        self._tries = 0
        self.days: deque[Counts] = deque()

    def add(self, counts: Counts) -> None:
        """One more day; those that are no longer needed leave at the other end."""
        self.days.append(counts)
        self._tries += counts.tries
        while len(self.days) > self._least_days and self._tries - self.days[0].tries >= self._least_tries:
            self._tries -= self.days.popleft().tries

    @property
    def full(self) -> bool:
        """Whether there are as many days and tries as were wanted."""
        return len(self.days) >= self._least_days and self._tries >= self._least_tries
