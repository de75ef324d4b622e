"""The cell's day, USB and I2C: the figures of our notes come out, and the parts keep the limits.

Notes: shared notes on hardware, section 4.
"""

from __future__ import annotations

import pytest

import power
from airladder.appliance.condition import EMPTY_VOLTS
from hardware.breaking import Change, fact, move, take, unchanged, without
from making import lines, supply
from making.circuit import Circuit, load
from making.values import of, told

MAH = supply.capacity()


@pytest.mark.parametrize(("state", "hours"), [("lean", 10.7), ("typical", 6.8), ("worst", 3.4)])
def test_the_hours_are_those_of_the_notes(state: str, hours: float) -> None:
    assert round(supply.draw(state, MAH).hours, 1) == hours


@pytest.mark.parametrize(
    ("state", "five_volts", "cell"), [("lean", 109, 168), ("typical", 172, 264), ("worst", 349, 536)]
)
def test_the_milliamperes_are_those_of_the_notes(state: str, five_volts: float, cell: float) -> None:
    found = supply.draw(state, MAH)
    assert found.five_volts == pytest.approx(five_volts, rel=0.005)
    assert found.cell == pytest.approx(cell, rel=0.005)


def test_the_cell_is_that_of_the_parts_list() -> None:
    assert MAH == 2000


@pytest.mark.parametrize("state", supply.STATES)
def test_the_computers_3_volts_bear_what_hangs_on_them(state: str) -> None:
    assert supply.draw(state, MAH).rail <= supply.RAIL_MOST


def test_a_start_asks_about_1_1_amperes_of_the_cell() -> None:
    assert supply.start_amperes(supply.CELL) == pytest.approx(1.1, abs=0.05)


def test_fuse_plug_and_protection_bear_a_start_from_the_emptiest_cell() -> None:
    asked = supply.start_amperes(supply.boost_volts(load(), EMPTY_VOLTS))
    for name, bears in power.start_limits(load()):
        assert asked < bears, name


def test_a_cell_that_the_firmware_calls_empty_still_starts_the_box() -> None:
    assert supply.start_volts(load()) < EMPTY_VOLTS
    assert supply.boost_volts(load(), EMPTY_VOLTS) >= load().items["A5"].part.supply["3"][0]


def test_the_cell_is_charged_gently_and_in_an_evening() -> None:
    """0.5 C: what cell makers usually allow (common practice); the cell's own sheet decides."""
    assert 1000 * supply.charge_amperes(load()) / MAH <= supply.MOST_C
    assert MAH / 1000 / supply.charge_amperes(load()) * supply.FILLING < 4


def test_the_sockets_fuse_bears_charging_and_practice_at_once() -> None:
    hold = told(load().items["F1"].part.spec, "hold # A")
    assert supply.charge_amperes(load()) + supply.draw("typical", MAH).cell / 1000 <= hold


def test_a_box_that_is_off_keeps_its_charge_for_months() -> None:
    """A year with the slide at off; four months if it has only switched itself off (judged)."""
    assert supply.days(MAH, supply.off_drain(load())) > 365
    assert supply.days(MAH, supply.latched_drain(load())) > 120


def test_a_computers_5_volts_meet_no_more_than_10_microfarads() -> None:
    """USB 2.0 specification, 7.2.4.1."""
    assert lines.vbus_farads(load()) <= lines.VBUS_FARADS


def test_each_configuration_pin_has_5_1_kilohms() -> None:
    """USB Type-C specification, Rd."""
    assert {of(load(), ref) for ref in ("R27", "R28")} == {lines.CC}


def _senses(circuit: Circuit) -> bool:
    reads = lines.cable_volts(circuit, lines.VBUS_LEAST, pulled_down=True, lean=-lines.RESISTOR)
    most = lines.cable_volts(circuit, lines.VBUS_MOST, pulled_down=False, lean=lines.RESISTOR)
    return reads >= lines.HIGH and most <= lines.HIGHEST


def test_the_sensing_line_reads_high_with_a_cable_and_never_exceeds_the_pins_volts() -> None:
    assert _senses(load())


def test_a_computer_without_supply_is_fed_next_to_nothing() -> None:
    """0.5 mA: as much as a pin's protection bears for ever (judged; its maker gives no figure)."""
    assert lines.cable_feeds(load()) < 0.5e-3


@pytest.mark.parametrize("net", ["SDA", "SCL"])
def test_the_bus_is_pulled_up_as_hard_as_every_output_can_pull_down_and_rises_in_time(net: str) -> None:
    """NXP UM10204: 3 mA at 0.4 V, 967 ohm at 3.3 V; 300 ns in fast mode."""
    assert lines.least_pull_up() == pytest.approx(967, abs=0.5)
    assert lines.pull_up(load(), net) >= lines.least_pull_up()
    assert lines.rise(load(), net) <= lines.RISE


def test_the_bus_with_all_pull_ups_that_modules_come_with_is_pulled_too_hard() -> None:
    """1.8, 4.7, 4.7, 10 and 10 kohm: 847 ohm in the notes; so the clock's and the gauge's are taken off."""
    change = fact("A3", pull_ups={"4": (4700.0, "3V3")})(fact("A4", pull_ups={"3": (10e3, "3V3")})(unchanged()))
    assert lines.pull_up(change.circuit, "SDA") == pytest.approx(847, abs=1)
    assert lines.pull_up(change.circuit, "SDA") < lines.least_pull_up()


FAULTS: dict[str, tuple[Change, str]] = {
    "C21 is 47 uF": (take("C21", "c-47u"), "VBUS is too large"),
    "C23 is on VBUS as well": (move("C23", p1="VBUS"), "VBUS is too large"),
    "R34 is 10 kohm": (take("R34", "r-10k"), "the cable is not sensed"),
    "R35 is 10 kohm": (take("R35", "r-10k"), "the cable is not sensed"),
    "F2 has 1 ohm": (fact("F2", spec="hold 2.6 A, at most 1 ohm"), "the cell starts too late"),
    "R30 is 470 ohm": (take("R30", "r-470"), "the latch empties the cell"),
    "the charger gives 2 A": (fact("A5", spec="charge <= 2 A"), "the cell is charged too fast"),
}


def _harms(circuit: Circuit) -> set[str]:
    found = {
        "VBUS is too large": lines.vbus_farads(circuit) > lines.VBUS_FARADS,
        "the cable is not sensed": not _senses(circuit),
        "the cell starts too late": supply.start_volts(circuit) >= EMPTY_VOLTS,
        "the latch empties the cell": supply.days(MAH, supply.latched_drain(circuit)) < 120,
        "the cell is charged too fast": 1000 * supply.charge_amperes(circuit) / MAH > supply.MOST_C,
    }
    return {name for name, harmed in found.items() if harmed}


@pytest.mark.parametrize("story", FAULTS)
def test_a_fault_of_the_parts_changes_the_figure_that_it_harms(story: str) -> None:
    change, harm = FAULTS[story]
    assert harm in _harms(change(unchanged()).circuit)


def test_the_parts_as_they_are_harm_none_of_these_figures() -> None:
    assert _harms(load()) == set()


def test_a_bus_without_pull_ups_but_the_boards_own_is_still_fast_enough() -> None:
    """The display's and the codec's may be missing on the modules that are bought."""
    case = fact("DS1", pull_ups={})(fact("A2", pull_ups={})(without("DS2")(unchanged())))
    assert lines.pull_up(case.circuit, "SDA") == pytest.approx(1800)
    assert lines.rise(case.circuit, "SDA") <= lines.RISE
