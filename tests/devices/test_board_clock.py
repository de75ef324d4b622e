"""The clock of the box: what it tells the kernel and the battery clock, and what happens where it may not."""

from __future__ import annotations

import ctypes
import errno
import struct
import time
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from airladder.devices.board_clock import RTC_SET_TIME, BoardClock, battery_clock_is_right

WHEN = datetime(2027, 1, 1, 0, 30, 15, tzinfo=timezone(timedelta(hours=2)))


class Kernel:
    """What was set."""

    def __init__(self, refuses: int = 0) -> None:
        self.seconds: list[float] = []
        self.battery: list[tuple[int, bytes]] = []
        self._refuses = refuses

    def set(self, seconds: float) -> None:
        """clock_settime(2)."""
        if self._refuses:
            raise OSError(self._refuses, "Operation not permitted")
        self.seconds.append(seconds)

    def ioctl(self, device: int, request: int, argument: bytes) -> int:
        """ioctl(2)."""
        self.battery.append((request, argument))
        return 0


@pytest.fixture
def device(tmp_path: Path) -> Path:
    path = tmp_path / "rtc0"
    path.touch()
    return path


def test_the_kernel_and_the_battery_clock_are_told_in_utc(device: Path) -> None:
    kernel = Kernel()
    BoardClock(device, device.parent, kernel.set, kernel.ioctl).tell(WHEN)
    assert kernel.seconds == [WHEN.timestamp()]
    ((request, argument),) = kernel.battery
    assert request == RTC_SET_TIME
    expected = time.gmtime(WHEN.timestamp())  # the C library's own breaking down (struct tm), which rtc_time follows
    second, minute, hour, day, month, year = struct.unpack("9i", argument)[:6]
    assert (second, minute, hour, day) == (expected.tm_sec, expected.tm_min, expected.tm_hour, expected.tm_mday)
    assert (month + 1, year + 1900) == (expected.tm_mon, expected.tm_year)


def test_the_request_is_that_of_the_kernels_header() -> None:
    """_IOW('p', 0x0a, struct rtc_time): direction 1 in two bits, the size in fourteen, the type, the number."""
    assert (1 << 30 | 9 * ctypes.sizeof(ctypes.c_int) << 16 | ord("p") << 8 | 0x0A) == RTC_SET_TIME


def test_where_the_clock_may_not_be_set_the_program_goes_by_the_date_all_the_same(device: Path) -> None:
    kernel = Kernel(refuses=errno.EPERM)
    clock = BoardClock(device, device.parent, kernel.set, kernel.ioctl)
    clock.tell(WHEN)
    assert timedelta(0) <= clock.wall() - WHEN < timedelta(seconds=5)
    assert clock.kept
    assert kernel.battery == []


def test_a_battery_clock_that_is_not_there_or_does_not_answer_is_passed_over(device: Path, tmp_path: Path) -> None:
    def fails(device: int, request: int, argument: bytes) -> int:
        raise OSError(errno.EIO, "Input/output error")

    for path in (device, tmp_path / "none"):
        kernel = Kernel()
        BoardClock(path, tmp_path, kernel.set, fails).tell(WHEN)
        assert kernel.seconds == [WHEN.timestamp()]


@pytest.mark.parametrize(
    ("hctosys", "since_epoch", "right"),
    [("1", "1800000000", True), ("0", "1800000000", False), ("1", "946684800", False), ("1", "nonsense", False)],
)
def test_a_battery_clock_is_believed_when_the_kernel_took_it_and_it_has_not_forgotten(
    tmp_path: Path, hctosys: str, since_epoch: str, right: bool
) -> None:
    """946684800 is the first second of 2000, with which a DS3231 begins anew (its data sheet, power-up state)."""
    (tmp_path / "rtc0").mkdir()
    (tmp_path / "rtc0" / "hctosys").write_text(f"{hctosys}\n")
    (tmp_path / "rtc0" / "since_epoch").write_text(f"{since_epoch}\n")
    assert battery_clock_is_right(tmp_path) is right


def test_no_battery_clock_knows_nothing(tmp_path: Path) -> None:
    assert not battery_clock_is_right(tmp_path)
    (tmp_path / "rtc0").mkdir()
    assert not battery_clock_is_right(tmp_path)


def test_the_box_knows_the_date_by_its_battery_clock(device: Path, tmp_path: Path) -> None:
    (tmp_path / "clocks" / "rtc0").mkdir(parents=True)
    (tmp_path / "clocks" / "rtc0" / "hctosys").write_text("1\n")
    (tmp_path / "clocks" / "rtc0" / "since_epoch").write_text("1800000000\n")
    kernel = Kernel()
    assert BoardClock(device, tmp_path / "clocks", kernel.set, kernel.ioctl).kept
