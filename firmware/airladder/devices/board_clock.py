"""The clock of the box, which knows the date only where a battery clock is fitted, or the network or a hand tells it.

A date that is told is kept by the kernel, and by the battery clock. Untested on hardware. Sources: clock_settime(2);
rtc(4) and the kernel's include/uapi/linux/rtc.h (RTC_SET_TIME, struct rtc_time, which is nine ints); battery clocks
run on UTC, as the kernel takes them at the switch-on.
"""

from __future__ import annotations

import ctypes
import fcntl
import logging
import struct
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from airladder.devices.clock import EARLIEST_S, Clock

logger = logging.getLogger(__name__)

BATTERY_CLOCK = Path("/dev/rtc0")
BATTERY_CLOCKS = Path("/sys/class/rtc")
RTC_SET_TIME = 0x4024700A
_RTC_TIME = struct.Struct("9i")
_UNSYNCHRONISED = 5  # TIME_ERROR of adjtimex(2)
_TIMEX_BYTES = 512  # more than its structure takes anywhere


class BoardClock(Clock):
    """A `Clock` that may set the computer's own.

    Parameters
    ----------
    battery_clock : the device of the battery clock, if one is fitted
    battery_clocks : where the kernel lists them
    set_kernel : sets the kernel's clock to so many seconds since 1970
    ioctl : fcntl.ioctl, or what stands for it
    """

    def __init__(
        self,
        battery_clock: Path = BATTERY_CLOCK,
        battery_clocks: Path = BATTERY_CLOCKS,
        set_kernel: Callable[[float], None] = lambda seconds: time.clock_settime(time.CLOCK_REALTIME, seconds),
        ioctl: Callable[[int, int, bytes], object] = fcntl.ioctl,
    ) -> None:
        self._battery_clock, self._battery_clocks = battery_clock, battery_clocks
        self._set_kernel, self._ioctl = set_kernel, ioctl

    @property
    def kept(self) -> bool:
        """Whether the date is known, and not only carried on from the last time."""
        return self._was_told or battery_clock_is_right(self._battery_clocks) or _network_is_right()

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


def battery_clock_is_right(clocks: Path) -> bool:
    """Whether the kernel took its date from a battery clock at the switch-on, and a date that can be.

    Source: the kernel's Documentation/ABI/testing/rtc-cdev and sysfs-class-rtc (``hctosys``, ``since_epoch``).
    """
    for clock in sorted(clocks.glob("rtc*")):
        try:
            if (clock / "hctosys").read_text().strip() == "1":
                return int((clock / "since_epoch").read_text()) >= EARLIEST_S
        except (OSError, ValueError):  # one that cannot be read tells nothing
            continue
    return False


def _network_is_right() -> bool:
    """Whether the kernel's clock is held by a time server (adjtimex(2))."""
    adjtimex = getattr(ctypes.CDLL(None), "adjtimex", None)
    if adjtimex is None:
        return False
    asked = ctypes.create_string_buffer(_TIMEX_BYTES)  # no modes: it is only read
    return 0 <= int(adjtimex(asked)) != _UNSYNCHRONISED
