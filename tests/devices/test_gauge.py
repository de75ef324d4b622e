"""The battery gauge: what its registers mean, what is not believed, and what happens when it does not answer."""

from __future__ import annotations

import errno
import logging
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.devices.clock import StillClock
from airladder.devices.gauge import (
    ALERT_PERCENT,
    CONFIG,
    CRATE,
    PAUSES,
    SOC,
    STATUS,
    VCELL,
    VERSION,
    Charge,
    Gauge,
    charge_of,
    open_gauge,
)
from airladder.devices.i2c_bus import I2cBus
from airladder.devices.recorded_gauge import GaugeBus, GaugeChip, gauge_bus

ADDRESS = 0x36
WORDS = st.integers(0, 0xFFFF)
NOBODY, HANGS = OSError(errno.EREMOTEIO, "Remote I/O error"), OSError(errno.ETIMEDOUT, "Connection timed out")


def gauge_on(bus: GaugeBus, clock: StillClock | None = None, alert: int = ALERT_PERCENT) -> Gauge:
    assert isinstance(bus, I2cBus)
    return Gauge(lambda: bus, ADDRESS, clock or StillClock(datetime(2027, 1, 1, tzinfo=UTC)), alert)


def test_the_stand_in_is_a_real_bus() -> None:
    assert issubclass(type(gauge_bus(None)), I2cBus)


@pytest.mark.parametrize(
    ("vcell", "soc", "crate", "wanted"),
    [
        (0xD000, 0x6400, 0x0000, Charge(1.0, 4.16, 0.0)),
        (0xB900, 0x5080, 0xFFF6, Charge(0.805, 3.7, -2.08)),
        (0xA000, 0x0000, 0x0030, Charge(0.0, 3.2, 9.984)),
        (0xA000, 0x3200, 0x4000, Charge(0.5, 3.2, 3407.872)),
        (0xA000, 0x3200, 0x8000, Charge(0.5, 3.2, -6815.744)),
        (0xD200, 0x6800, 0x0001, Charge(1.0, 4.2, 0.208)),
    ],
)
def test_registers_are_read_as_by_hand(vcell: int, soc: int, crate: int, wanted: Charge) -> None:
    """Reckoned with the steps of the data sheet: 78.125 uV, 1/256 %, 0.208 % an hour."""
    found = charge_of(vcell, soc, crate)
    assert found is not None
    assert (found.fraction, found.volts, found.percent_per_hour) == pytest.approx(
        (wanted.fraction, wanted.volts, wanted.percent_per_hour)
    )


@given(st.floats(0, 100), st.floats(2.6, 4.4), st.floats(-100, 100))
def test_what_the_chip_holds_is_what_is_read(percent: float, volts: float, rate: float) -> None:
    charge = gauge_on(gauge_bus(GaugeChip(percent, volts, rate))).read()
    assert charge is not None
    assert charge.fraction == pytest.approx(percent / 100, abs=0.5 / 25600 + 1e-9)
    assert charge.volts == pytest.approx(volts, abs=40e-6)
    assert charge.percent_per_hour == pytest.approx(rate, abs=0.105)


@given(WORDS, WORDS, WORDS)
def test_whatever_is_read_is_a_charge_that_can_be_or_none(vcell: int, soc: int, crate: int) -> None:
    charge = charge_of(vcell, soc, crate)
    if charge is None:
        assert not 25600 <= vcell <= 64000 or soc > 110 * 256
    else:
        assert 0 <= charge.fraction <= 1
        assert 2.0 <= charge.volts <= 5.0
        assert charge.hours_left is None or charge.hours_left >= 0


@pytest.mark.parametrize(
    ("register", "word"),
    [(VCELL, 0), (VCELL, 0xFFFF), (SOC, 0xFFFF), (SOC, 111 * 256), (VERSION, 0xFFFF), (VERSION, 0)],
)
def test_what_cannot_be_is_not_believed(register: int, word: int) -> None:
    chip = GaugeChip()
    chip.registers[register] = word
    assert gauge_on(gauge_bus(chip)).read() is None


def test_noise_once_is_asked_again() -> None:
    """The first look fails in its last transfer, the second in its first."""
    bus = gauge_bus(GaugeChip(percent=42))
    clock = StillClock(datetime(2027, 1, 1, tzinfo=UTC))
    bus.failing = [None, None, None, None, None, None, NOBODY, NOBODY]
    charge = gauge_on(bus, clock).read()
    assert charge is not None
    assert charge.fraction == pytest.approx(0.42, abs=1e-4)
    assert clock.monotonic() == pytest.approx(sum(PAUSES))


def test_a_box_without_a_gauge_has_no_charge_and_no_warning(caplog: pytest.LogCaptureFixture) -> None:
    bus = gauge_bus(None)
    gauge = gauge_on(bus)
    with caplog.at_level(logging.INFO):
        assert [gauge.read() for _ in range(3)] == [None] * 3
    assert bus.transfers == 3 * len(PAUSES)
    assert [(record.levelname, record.message) for record in caplog.records] == [
        ("INFO", "No battery gauge ([Errno 121] Remote I/O error); a box on a power bank has none.")
    ]


def test_no_bus_is_as_no_gauge() -> None:
    assert open_gauge(250, ADDRESS, StillClock(datetime(2027, 1, 1, tzinfo=UTC))).read() is None


def test_a_bus_that_hangs_is_waited_for_once() -> None:
    bus = gauge_bus(GaugeChip())
    bus.failing = [HANGS, HANGS]
    gauge = gauge_on(bus)
    assert gauge.read() is None
    assert bus.transfers == 1
    assert gauge.read() is None
    assert gauge.read() is not None


def test_a_gauge_that_goes_and_comes_is_told_once_each(caplog: pytest.LogCaptureFixture) -> None:
    chip = GaugeChip()
    bus = gauge_bus(chip)
    gauge = gauge_on(bus)
    with caplog.at_level(logging.WARNING):
        for there in (chip, None, None, chip, chip):
            bus.chip = there
            assert (gauge.read() is None) == (there is None)
    assert [record.message for record in caplog.records] == [
        "The battery gauge tells nothing ([Errno 121] Remote I/O error); it is asked again.",
        "The battery gauge tells again.",
    ]


@given(st.integers(1, 32), st.floats(0, 100))
def test_the_alert_falls_below_its_threshold_and_not_above(threshold: int, percent: float) -> None:
    chip = GaugeChip(percent=90)
    gauge = gauge_on(gauge_bus(chip), alert=threshold)
    gauge.read()
    assert not chip.alert
    chip.hold(percent, 3.5, -10)
    held = chip.registers[SOC] / 256
    assert chip.alert == (held < threshold)


def test_the_alert_is_taken_back_only_when_the_cell_is_fuller() -> None:
    chip = GaugeChip(percent=ALERT_PERCENT - 1)
    gauge = gauge_on(gauge_bus(chip))
    gauge.read()
    assert chip.alert
    chip.hold(ALERT_PERCENT - 2, 3.3, -10)
    gauge.read()
    assert chip.alert
    chip.hold(40, 3.8, 30)
    assert chip.alert
    gauge.read()
    assert not chip.alert


def test_the_gauges_own_compensation_is_left_as_it_is() -> None:
    chip = GaugeChip()
    chip.registers[CONFIG] = 0x8A5C
    gauge_on(gauge_bus(chip)).read()
    assert chip.registers[CONFIG] == 0x8A00 | 32 - ALERT_PERCENT


def test_what_is_set_already_is_not_written_again() -> None:
    chip = GaugeChip()
    bus = gauge_bus(chip)
    gauge = gauge_on(bus)
    gauge.read()
    before = bus.transfers
    gauge.read()
    assert bus.transfers - before == 6


def test_a_gauge_that_was_without_a_cell_says_so_once(caplog: pytest.LogCaptureFixture) -> None:
    chip = GaugeChip()
    chip.registers[STATUS] = 0x4100
    gauge = gauge_on(gauge_bus(chip))
    with caplog.at_level(logging.INFO):
        gauge.read()
        gauge.read()
    assert [record.message for record in caplog.records] == [
        "The battery gauge has begun anew: it was without a cell, and guesses the charge at first."
    ]
    assert chip.registers[STATUS] == 0x4000


@pytest.mark.parametrize(("rate", "hours"), [(-10.0, 5.0), (-0.208, 240.4), (0.0, None), (12.0, None)])
def test_hours_are_left_only_while_it_empties(rate: float, hours: float | None) -> None:
    left = Charge(0.5, 3.7, rate).hours_left
    assert left == (None if hours is None else pytest.approx(hours, abs=0.1))


def test_words_are_said_high_byte_first() -> None:
    chip = GaugeChip()
    bus = gauge_bus(chip)
    bus.tell_word(ADDRESS, CONFIG, 0x971B)
    assert chip.registers[CONFIG] == 0x971B
    chip.registers[CRATE] = 0x1234
    assert bus.word(ADDRESS, CRATE) == 0x1234
