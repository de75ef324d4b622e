"""The clock of the box: a date that somebody tells it is kept by the kernel, and by a battery clock if one is fitted.

Untested on hardware. Sources: clock_settime(2); rtc(4) and the kernel's include/uapi/linux/rtc.h (RTC_SET_TIME,
struct rtc_time, which is nine ints); battery clocks run on UTC, as the kernel takes them at the switch-on.
"""

from __future__ import annotations

import fcntl
import logging
import struct
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from airladder.devices.clock import Clock

logger = logging.getLogger(__name__)

BATTERY_CLOCK = Path("/dev/rtc0")
RTC_SET_TIME = 0x4024700A
_RTC_TIME = struct.Struct("9i")


class BoardClock(Clock):
    """A `Clock` that may set the computer's own.

    Parameters
    ----------
    battery_clock : the device of the battery clock, if one is fitted
    set_kernel : sets the kernel's clock to so many seconds since 1970
    ioctl : fcntl.ioctl, or what stands for it
    """

    def __init__(
        self,
        battery_clock: Path = BATTERY_CLOCK,
        set_kernel: Callable[[float], None] = lambda seconds: time.clock_settime(time.CLOCK_REALTIME, seconds),
        ioctl: Callable[[int, int, bytes], object] = fcntl.ioctl,
    ) -> None:
        self._battery_clock, self._set_kernel, self._ioctl = battery_clock, set_kernel, ioctl

    def tell(self, when: datetime) -> None:
        """Somebody says that it is `when`; where the kernel's clock may not be set, only the program goes by it."""
        super().tell(when)
        try:
            self._set_kernel(when.timestamp())
        except OSError as error:
            logger.warning("the date holds until the program ends: the clock cannot be set (%s)", error.strerror)
            return
        super().tell(when)  # by the clock as it goes now
        self._tell_battery_clock(when.astimezone(UTC))

    def _tell_battery_clock(self, when: datetime) -> None:
        if not self._battery_clock.exists():
            return
        fields = (when.second, when.minute, when.hour, when.day, when.month - 1, when.year - 1900, 0, 0, 0)
        try:
            with self._battery_clock.open("rb", buffering=0) as device:
                self._ioctl(device.fileno(), RTC_SET_TIME, _RTC_TIME.pack(*fields))
        except OSError as error:
            logger.warning("the battery clock cannot be set (%s)", error.strerror)
