"""The battery clock: it is there, holds a date that can be, goes, and the kernel took its date from it.

Sources: the kernel's Documentation/ABI/testing/sysfs-class-rtc (`since_epoch`, `hctosys`); drivers/rtc/rtc-ds1307.c,
which refuses to tell a date once the oscillator had stopped. Untested on hardware.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from airladder.devices.board_clock import BATTERY_CLOCKS
from airladder.devices.clock import EARLIEST_S, Clock
from airladder.faults import Fault
from airladder.selftest.addresses import Bus
from airladder.selftest.result import Result, failed, not_there, well

LATEST_S = 4_102_444_800
"""The first second of 2100."""

STILL_S = 3.0
"""A clock that shows the same second for so long has stopped."""

TICKS, QUICK_TICKS = 5, 2
_STEP_S = 0.02
_APART = 0.1
"""How far its seconds may be from ours, as a share: whether it goes is asked, not how well."""


def check(bus: Bus, address: int, clock: Clock, *, quick: bool, clocks: Path = BATTERY_CLOCKS) -> Result:
    """Look at the clock that the kernel lists first.

    Parameters
    ----------
    bus, address : where it would answer, asked when the kernel lists none
    clock : the time
    quick : watch it for two seconds, not five
    clocks : where the kernel lists them
    """
    found = sorted(clocks.glob("rtc*"))
    if not found:
        return _none(bus, address)
    try:
        shown = _seconds(found[0])
        ours = _watched(found[0], clock, QUICK_TICKS if quick else TICKS)
        read_at_start = (found[0] / "hctosys").read_text().strip() == "1"
    except (OSError, ValueError) as error:
        return failed(f"The battery clock tells no date ({error}): it has stopped; set it, and look at its cell.")
    date = datetime.fromtimestamp(shown, UTC).isoformat(sep=" ", timespec="seconds")
    figures = {"date": date, "read_at_start": read_at_start}
    if ours is None:
        return failed(f"The battery clock stands still at {date}: set the date, and look at its cell.", **figures)
    figures["second_s"] = round(ours, 3)
    if not EARLIEST_S <= shown < LATEST_S:
        return failed(
            f"The battery clock says {date}, which cannot be: set the date, and look at its cell.", **figures
        )
    if abs(ours - 1.0) > _APART:
        return failed(f"A second of the battery clock takes {ours:.2f} s: its crystal is not right.", **figures)
    if not read_at_start:
        return failed(
            f"The battery clock says {date} and goes, but the kernel did not take the date from it at the switch-on:"
            " its overlay must be in the boot configuration, and its driver there early.",
            **figures,
        )
    return well(f"The battery clock says {date}, goes, and was read at the switch-on.", **figures)


def _none(bus: Bus, address: int) -> Result:
    try:
        answers = bus.known(address).there
    except Fault:
        answers = False
    if answers:
        return failed(
            f"A clock answers at {address:#04x}, but the kernel has none: its overlay is missing in the boot"
            " configuration."
        )
    return not_there("No battery clock is fitted: after each switch-on the box asks for the date, or goes without.")


def _seconds(found: Path) -> int:
    return int((found / "since_epoch").read_text())


def _watched(found: Path, clock: Clock, ticks: int) -> float | None:
    """How many of our seconds one of its seconds takes; None when it stands still."""
    first = _next_tick(found, clock)
    if first is None:
        return None
    begun, at = first
    last, now = first
    while last - begun < ticks:
        following = _next_tick(found, clock)
        if following is None:
            return None
        last, now = following
    return (now - at) / (last - begun)


def _next_tick(found: Path, clock: Clock) -> tuple[int, float] | None:
    """What it shows after its next step, and when that was; None when none comes."""
    before, begun = _seconds(found), clock.monotonic()
    while (now := clock.monotonic()) - begun < STILL_S:
        if (shown := _seconds(found)) != before:
            return shown, now
        clock.sleep(_STEP_S)
    return None
