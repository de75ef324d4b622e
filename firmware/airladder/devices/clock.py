"""The time: the one place that asks for it.

Conventions
-----------
`monotonic` counts seconds from an unknown beginning and never goes back; `wall` is the date on the player's
calendar, with its offset from UTC, and may be wrong or jump: it is a label, nothing is ordered by it.
"""

from __future__ import annotations

import time
from datetime import datetime


class Clock:
    """The computer's own clocks."""

    def monotonic(self) -> float:
        """Seconds since an unknown beginning."""
        return time.monotonic()

    def wall(self) -> datetime:
        """Now, with the local offset from UTC."""
        return datetime.now().astimezone()

    def sleep(self, seconds: float) -> None:
        """Wait; not at all when `seconds` is not above 0."""
        if seconds > 0:
            time.sleep(seconds)


class StillClock(Clock):
    """A clock that moves only when it is told to sleep: for replays and tests."""

    def __init__(self, wall: datetime) -> None:
        self._wall = wall
        self._seconds = 0.0

    def monotonic(self) -> float:
        """Seconds slept so far."""
        return self._seconds

    def wall(self) -> datetime:
        """The same date for ever."""
        return self._wall

    def sleep(self, seconds: float) -> None:
        """Move on without waiting."""
        self._seconds += max(0.0, seconds)
