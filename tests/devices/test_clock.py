"""The clocks: what is real of them here, and what a board without a battery clock does."""

from __future__ import annotations

import re
import time
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from airladder.devices.clock import EARLIEST_S, Clock, StillClock

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
    assert clock.kept


def test_an_ordinary_computer_keeps_the_date_unless_it_has_forgotten_it(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = Clock()
    assert clock.kept
    monkeypatch.setattr(time, "time", lambda: EARLIEST_S - 1.0)
    assert not clock.kept
    clock.carry_on(WHEN)
    assert timedelta(0) <= clock.wall() - WHEN < timedelta(seconds=5)
    assert not clock.kept


def test_the_still_clock_knows_its_date_until_it_is_only_carried_on() -> None:
    clock = StillClock(WHEN)
    assert (clock.wall(), clock.kept) == (WHEN, True)
    clock.carry_on(WHEN + timedelta(days=1))
    assert (clock.wall(), clock.kept) == (WHEN + timedelta(days=1), False)
    clock.tell(WHEN)
    assert (clock.wall(), clock.kept) == (WHEN, True)
