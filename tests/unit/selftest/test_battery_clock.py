"""The battery clock, as a folder of the kernel's."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from airladder.selftest.battery_clock import STILL_S, check
from airladder.selftest.result import Result, Verdict
from jig import Diary, JigBus, no_wire

NOON = int(datetime(2026, 11, 27, 12, 0, tzinfo=UTC).timestamp())


class Ticking(Diary):
    """A diary whose battery clock stands in a folder and goes on with it.

    Parameters
    ----------
    folder : where the kernel would list clocks
    shows : what it shows after so many seconds; None: as it should, from noon on
    read : what `hctosys` says
    """

    def __init__(self, folder: Path, shows: Callable[[float], str] | None = None, read: str = "1") -> None:
        super().__init__()
        self._rtc = folder / "rtc0"
        self._rtc.mkdir()
        (self._rtc / "hctosys").write_text(f"{read}\n")
        self._shown = ""
        self._shows = shows or (lambda t: str(NOON + int(t)))
        self._show()

    def sleep(self, seconds: float) -> None:
        """Move on."""
        super().sleep(seconds)
        self._show()

    def _show(self) -> None:
        if (shown := self._shows(self.monotonic()) + "\n") != self._shown:
            (self._rtc / "since_epoch").write_text(shown)
            self._shown = shown


def looked(clock: Diary, folder: Path, *, quick: bool = True) -> Result:
    return check(JigBus({0x68}).wire, 0x68, clock, quick=quick, clocks=folder)


def test_a_clock_that_goes_and_was_read_is_well(tmp_path: Path) -> None:
    found = looked(Ticking(tmp_path), tmp_path)
    assert found.verdict is Verdict.OK
    assert found.figures["date"] == "2026-11-27 12:00:00+00:00"
    assert found.figures["second_s"] == pytest.approx(1.0, abs=0.03)


@pytest.mark.parametrize(("quick", "seconds"), [(True, 3.0), (False, 6.0)])
def test_it_is_watched_for_as_long_as_is_said(tmp_path: Path, quick: bool, seconds: float) -> None:
    clock = Ticking(tmp_path)
    looked(clock, tmp_path, quick=quick)
    assert clock.monotonic() == pytest.approx(seconds, abs=0.1)


def test_a_clock_that_stands_still_fails(tmp_path: Path) -> None:
    clock = Ticking(tmp_path, lambda t: str(NOON))
    found = looked(clock, tmp_path)
    assert (found.verdict, found.says.split(" at ")[0]) == (Verdict.FAILED, "The battery clock stands still")
    assert clock.monotonic() < STILL_S + 1.0


def test_a_clock_that_stops_while_it_is_watched_fails(tmp_path: Path) -> None:
    found = looked(Ticking(tmp_path, lambda t: str(NOON + min(1, int(t)))), tmp_path)
    assert "stands still" in found.says


@pytest.mark.parametrize("year", [1970, 2000, 2025, 2100, 2199])
def test_a_date_that_cannot_be_fails(tmp_path: Path, year: int) -> None:
    begun = int(datetime(year, 1, 1, tzinfo=UTC).timestamp())
    found = looked(Ticking(tmp_path, lambda t: str(begun + int(t))), tmp_path)
    assert found.verdict is Verdict.FAILED
    assert f"says {year}-01-01 00:00:00+00:00, which cannot be" in found.says


def test_a_clock_that_goes_at_another_pace_fails(tmp_path: Path) -> None:
    found = looked(Ticking(tmp_path, lambda t: str(NOON + int(1.25 * t))), tmp_path)
    assert found.verdict is Verdict.FAILED
    assert "A second of the battery clock takes 0.8" in found.says


def test_a_clock_that_the_kernel_did_not_read_at_the_start_fails(tmp_path: Path) -> None:
    found = looked(Ticking(tmp_path, read="0"), tmp_path)
    assert found.verdict is Verdict.FAILED
    assert "did not take the date from it at the switch-on" in found.says


@pytest.mark.parametrize("shown", ["", "no number"])
def test_a_clock_that_has_lost_its_date_fails(tmp_path: Path, shown: str) -> None:
    found = looked(Ticking(tmp_path, lambda t: shown), tmp_path)
    assert found.verdict is Verdict.FAILED
    assert "tells no date" in found.says


def test_no_clock_is_no_failure_and_one_without_its_driver_is(tmp_path: Path) -> None:
    clock = Diary()
    assert check(JigBus().wire, 0x68, clock, quick=True, clocks=tmp_path).verdict is Verdict.NOT_THERE
    assert check(no_wire(), 0x68, clock, quick=True, clocks=tmp_path).verdict is Verdict.NOT_THERE
    bare = looked(clock, tmp_path)
    assert (bare.verdict, "its overlay is missing" in bare.says) == (Verdict.FAILED, True)
