"""The days of each horn as the coach looks at them, of what the digest has kept: dates and tallies.

What `journal.days.history` reads from the tries themselves is made here of tallies that were counted before; a test
holds the two together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from airladder.journal.days import DAYS
from airladder.practice.coach.history import Day, History, Tally
from airladder.report.listed import Listed

Tallies = Sequence[tuple[str, int, int, int, int, int]]
"""Fingering, partial, tries, right, cold, cold right; one a rung."""


def newest_days(sessions: Sequence[Listed]) -> dict[str, list[list[Listed]]]:
    """The sessions of the newest days of every horn, of so many days as the coach looks at, the oldest first.

    Parameters
    ----------
    sessions : those of practice, in their order
    """
    by_horn: dict[str, list[Listed]] = {}
    for session in sessions:
        by_horn.setdefault(session.whose.horn, []).append(session)
    return {horn: _days(by_horn[horn]) for horn in sorted(by_horn)}


def history(days: Sequence[Sequence[Listed]], tallies: Callable[[int], Tallies]) -> History:
    """These days; `tallies` gives those of a session by its number."""
    return tuple(_day(day, tallies) for day in days)


def _days(sessions: Sequence[Listed]) -> list[list[Listed]]:
    days: list[list[Listed]] = []
    for session in reversed(sessions):
        if not days or days[-1][0].day != session.day:
            if len(days) == DAYS:
                break
            days.append([])
        days[-1].insert(0, session)
    return days[::-1]


def _day(sessions: Iterable[Listed], tallies: Callable[[int], Tallies]) -> Day:
    counts: dict[tuple[str, int], Sequence[int]] = {}
    date = 0
    for session in sessions:
        date = session.dated.when.date().toordinal()
        for fingering, partial, *more in tallies(session.whose.id):
            before = counts.get((fingering, partial), (0, 0, 0, 0))
            counts[fingering, partial] = [a + b for a, b in zip(before, more, strict=True)]
    return Day(date, _tallies(counts))


def _tallies(counts: Mapping[tuple[str, int], Sequence[int]]) -> tuple[Tally, ...]:
    return tuple(Tally(*rung, *added) for rung, added in sorted(counts.items()))
