"""The clock by which other clocks are measured."""

from __future__ import annotations

import time

from airladder.devices.clock import Clock


class RawClock(Clock):
    """A clock whose seconds no time server makes longer or shorter (CLOCK_MONOTONIC_RAW of clock_gettime(2); the
    monotonic one may be slewed by up to 500 ppm, adjtimex(2)), where the system has it."""

    def monotonic(self) -> float:
        """Seconds since an unknown beginning."""
        return time.clock_gettime(getattr(time, "CLOCK_MONOTONIC_RAW", time.CLOCK_MONOTONIC))
