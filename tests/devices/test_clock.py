"""The clocks: what is real of them here, and what a board without a battery clock does."""

from __future__ import annotations

import re
import time
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from airladder.devices.clock import Clock, StillClock, battery_clock_is_right

WHEN = datetime(2027, 5, 4, 18, 3, tzinfo=timezone(timedelta(hours=2)))


def test_the_switch_on_has_a_name_of_its_own_and_time_goes_on_from_it() -> None:
    clock = Clock()
    assert re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", clock.boot_key())
    before = clock.boottime()
    time.sleep(0.01)
    assert 0.005 < clock.boottime() - before < 5.0
    uptime = float(
        Path("/proc/uptime").read_text().split()[0]
    )  # proc(5): seconds since the switch-on, as the kernel has it
    assert clock.boottime() == pytest.approx(uptime, abs=5.0)


def test_a_date_that_is_told_goes_on_and_is_known() -> None:
    clock = Clock()
    clock.tell(WHEN)
    assert timedelta(0) <= clock.wall() - WHEN < timedelta(seconds=5)
    assert clock.wall().utcoffset() == datetime.now().astimezone().utcoffset() or clock.wall().tzinfo is not None
    assert clock.kept


def test_a_date_that_is_carried_on_goes_on_and_is_as_known_as_before() -> None:
    clock = Clock()
    before = clock.kept
    clock.carry_on(WHEN)
    assert timedelta(0) <= clock.wall() - WHEN < timedelta(seconds=5)
    assert clock.kept == before


def test_the_still_clock_knows_its_date_until_it_is_only_carried_on() -> None:
    clock = StillClock(WHEN)
    assert (clock.wall(), clock.kept) == (WHEN, True)
    clock.carry_on(WHEN + timedelta(days=1))
    assert (clock.wall(), clock.kept) == (WHEN + timedelta(days=1), False)
    clock.tell(WHEN)
    assert (clock.wall(), clock.kept) == (WHEN, True)


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
