"""A date and time that the player sets, part by part."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass, replace
from enum import Enum

FIRST_YEAR, LAST_YEAR = 2026, 2099


class Part(Enum):
    """A part of it, in the order in which they are gone through (ISO 8601)."""

    YEAR = "year"
    MONTH = "month"
    DAY = "day"
    HOUR = "hour"
    MINUTE = "minute"


PARTS = tuple(Part)


@dataclass(frozen=True)
class Date:
    """A date and time on the player's calendar."""

    year: int = FIRST_YEAR
    month: int = 1
    day: int = 1
    hour: int = 0
    minute: int = 0


def turned(date: Date, part: Part, by: int) -> Date:
    """One part turned by so many steps: the year stops at its ends, all else goes round and leaves the rest alone.

    A day that the new month has not becomes its last one.
    """
    match part:
        case Part.YEAR:
            date = replace(date, year=min(LAST_YEAR, max(FIRST_YEAR, date.year + by)))
        case Part.MONTH:
            date = replace(date, month=(date.month - 1 + by) % 12 + 1)
        case Part.DAY:
            return replace(date, day=(date.day - 1 + by) % _days(date) + 1)
        case Part.HOUR:
            return replace(date, hour=(date.hour + by) % 24)
        case Part.MINUTE:
            return replace(date, minute=(date.minute + by) % 60)
    return replace(date, day=min(date.day, _days(date)))


def _days(date: Date) -> int:
    return monthrange(date.year, date.month)[1]
