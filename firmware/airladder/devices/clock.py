"""The time: the one place that asks for it.

Conventions
-----------
`monotonic` counts seconds from an unknown beginning and never goes back; `boottime` counts those since the switch-on
whose key is `boot_key`, suspended or not (clock_gettime(2), random(4)); `wall` is the date on the player's calendar,
with its offset from UTC, and may be wrong or jump: it is a label, nothing is ordered by it. `kept` says whether
somebody who knows has said it.
"""

from __future__ import annotations

import time
from datetime import datetime, timedelta
from pathlib import Path

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")
EARLIEST_S = 1_767_225_600
"""The first second of 2026, before which this program was not: a clock that says less has forgotten the date."""


class Clock:
    """The computer's own clocks."""

    _ahead = timedelta(0)
    _was_told = False

    def monotonic(self) -> float:
        """Seconds since an unknown beginning."""
        return time.monotonic()

    def wall(self) -> datetime:
        """Now, with the local offset from UTC."""
        return (datetime.now().astimezone() + self._ahead).astimezone()

    def boottime(self) -> float:
        """Seconds since the switch-on, those of sleep among them."""
        return time.clock_gettime(time.CLOCK_BOOTTIME)

    def boot_key(self) -> str:
        """The kernel's random name for this switch-on."""
        return _BOOT_ID.read_text(encoding="ascii").strip()

    @property
    def kept(self) -> bool:
        """Whether the date is known, and not only carried on from the last time: an ordinary computer keeps it."""
        return self._was_told or time.time() >= EARLIEST_S

    def carry_on(self, when: datetime) -> None:
        """Nobody knows the date: take it for `when`, and go on from there."""
        self._ahead = when - datetime.now().astimezone()

    def tell(self, when: datetime) -> None:
        """Somebody says that it is `when`; the clock of the computer itself is left alone."""
        self.carry_on(when)
        self._was_told = True

    def sleep(self, seconds: float) -> None:
        """Wait; not at all when `seconds` is not above 0."""
        if seconds > 0:
            time.sleep(seconds)


class StillClock(Clock):
    """A clock that moves only when it is told to sleep: for replays and tests."""

    def __init__(self, wall: datetime) -> None:
        self._wall = wall
        self._seconds = 0.0
        self._was_told = True

    def monotonic(self) -> float:
        """Seconds slept so far."""
        return self._seconds

    def boottime(self) -> float:
        """The same."""
        return self._seconds

    def boot_key(self) -> str:
        """Always the same switch-on."""
        return "still"

    @property
    def kept(self) -> bool:
        """True, until it is told to carry on."""
        return self._was_told

    def wall(self) -> datetime:
        """The same date until another is told."""
        return self._wall

    def carry_on(self, when: datetime) -> None:
        """It is `when` for ever, and nobody knows it."""
        self._wall, self._was_told = when, False

    def tell(self, when: datetime) -> None:
        """It is `when` for ever."""
        self._wall, self._was_told = when, True

    def sleep(self, seconds: float) -> None:
        """Move on without waiting."""
        self._seconds += max(0.0, seconds)
