"""Gauge, cell, warmth and supply."""

from __future__ import annotations

from pathlib import Path

import pytest

from airladder.devices.gauge import Charge, Gauge
from airladder.devices.recorded_gauge import GaugeChip, gauge_bus
from airladder.devices.warmth import Warmth
from airladder.selftest import cell, supply
from airladder.selftest.result import Result, Verdict
from jig import Diary, JigBus, no_wire


def gauged(chip: GaugeChip | None, bus: JigBus | None = None) -> Result:
    gauge = Gauge(lambda: gauge_bus(chip), 0x36, Diary())
    return cell.check(gauge, (bus or JigBus()).wire, 0x36)


def test_a_plausible_cell_is_well_with_its_figures() -> None:
    found = gauged(GaugeChip(80.0, 3.9, -12.0))
    assert found.verdict is Verdict.OK
    assert found.figures == {"volts": 3.9, "charge_percent": 80.0, "percent_per_hour": -12.1}


@pytest.mark.parametrize("volts", [2.3, 4.5])
def test_a_voltage_that_no_lithium_cell_has_fails(volts: float) -> None:
    found = gauged(GaugeChip(80.0, volts, 0.0))
    assert found.verdict is Verdict.FAILED
    assert f"The gauge says {volts:.2f} V, a lithium cell has 2.5 to 4.3 V" in found.says


@pytest.mark.parametrize("fraction", [-0.1, 1.5])
def test_a_charge_that_cannot_be_fails(fraction: float) -> None:
    class Odd(Gauge):
        def read(self) -> Charge | None:
            return Charge(fraction, 3.9, 0.0)

    assert cell.check(Odd(lambda: gauge_bus(None), 0x36), no_wire(), 0x36).verdict is Verdict.FAILED


def test_no_gauge_is_no_failure_and_something_else_in_its_place_is() -> None:
    assert gauged(None).verdict is Verdict.NOT_THERE
    assert cell.check(Gauge(lambda: gauge_bus(None), 0x36, Diary()), no_wire(), 0x36).verdict is Verdict.NOT_THERE
    other = gauged(None, JigBus({0x36}))
    assert (other.verdict, "not as a gauge does" in other.says) == (Verdict.FAILED, True)


def test_a_board_that_is_well_is_told_with_its_temperature() -> None:
    found = supply.check(Warmth(48.3, low_supply=False, slowed=False), ever_low=False, on_board=True)
    assert found.verdict is Verdict.OK
    assert found.says.startswith("The processor has 48 °C")
    assert "cannot tell" in found.says


@pytest.mark.parametrize(
    ("now", "ever", "told"), [(True, True, "is too low now"), (False, True, "was too low since"), (True, None, "now")]
)
def test_too_low_a_supply_fails_now_and_afterwards(now: bool, ever: bool | None, told: str) -> None:
    found = supply.check(Warmth(48.3, low_supply=now, slowed=False), ever, on_board=True)
    assert found.verdict is Verdict.FAILED
    assert told in found.says


def test_heat_and_a_slowed_processor_fail() -> None:
    assert "82 °C" in supply.check(Warmth(82.0, low_supply=False, slowed=False), None, on_board=True).says
    hot = supply.check(Warmth(80.0, low_supply=None, slowed=None), None, on_board=False)
    slow = supply.check(Warmth(60.0, low_supply=False, slowed=True), ever_low=False, on_board=True)
    assert {hot.verdict, slow.verdict} == {Verdict.FAILED}


@pytest.mark.parametrize(("on_board", "verdict"), [(True, Verdict.FAILED), (False, Verdict.NOT_THERE)])
def test_a_computer_that_tells_nothing_of_itself(on_board: bool, verdict: Verdict) -> None:
    assert supply.check(Warmth(None, None, None), None, on_board=on_board).verdict is verdict


@pytest.mark.parametrize(
    ("said", "low"), [("0\n", False), ("50005\n", True), ("10000", True), ("5", False), ("80008", False), ("?", None)]
)
def test_the_bit_that_remembers_a_low_supply_is_read(tmp_path: Path, said: str, low: bool | None) -> None:
    (tmp_path / "get_throttled").write_text(said)
    assert supply.was_low(tmp_path / "get_throttled") is low
    assert supply.was_low(tmp_path / "nothing") is None
