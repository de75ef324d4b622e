"""Who answers on the bus, and that the way of asking changes nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.devices.pins import pin_map
from airladder.selftest.addresses import LOCKS_WHEN_READ, check
from airladder.selftest.result import Verdict
from airladder.selftest.wire import Answer
from jig import JigBus, no_wire

PINS = pin_map()
AT = PINS.addresses


def whole() -> JigBus:
    """As a box should be: the kernel drives codec and clock."""
    return JigBus({AT.display, AT.gauge}, {AT.codec, AT.clock})


def test_a_whole_box_is_well() -> None:
    found = check(whole().wire, PINS, on_board=True)
    assert found.verdict is Verdict.OK
    assert found.says == "On bus 1 answer display (0x3c), codec (0x1a), clock (0x68), gauge (0x36)."
    assert found.figures["codec"] == "0x1a answers to its driver"


def test_gauge_and_clock_may_be_missing() -> None:
    found = check(JigBus({AT.display}, {AT.codec}).wire, PINS, on_board=True)
    assert found.verdict is Verdict.OK
    assert "without clock and gauge, which a box may do without" in found.says


def test_a_display_at_its_other_address_is_found_and_is_no_stranger() -> None:
    found = check(JigBus({0x3D}, {AT.codec}).wire, PINS, on_board=True)
    assert found.verdict is Verdict.OK
    assert found.figures["display"] == "0x3d answers"
    assert found.figures["strangers"] == []


def test_a_part_that_is_silent_while_others_answer_is_told() -> None:
    found = check(JigBus({AT.gauge}, {AT.codec}).wire, PINS, on_board=True)
    assert found.verdict is Verdict.FAILED
    assert found.says.startswith("Nothing comes from the display at 0x3c, while others answer")


def test_a_bus_on_which_nobody_answers_is_told_with_its_pins() -> None:
    found = check(JigBus().wire, PINS, on_board=True)
    assert found.verdict is Verdict.FAILED
    assert "SDA on GPIO2, header pin 3, SCL on GPIO3, header pin 5" in found.says


def test_a_codec_without_its_driver_is_told() -> None:
    found = check(JigBus({AT.display, AT.codec}).wire, PINS, on_board=True)
    assert found.verdict is Verdict.FAILED
    assert "The codec at 0x1a answers, but the kernel has no driver for it" in found.says


def test_a_bus_that_hangs_is_told_after_one_try() -> None:
    bus = JigBus(hangs=True)
    found = check(bus.wire, PINS, on_board=True)
    assert found.verdict is Verdict.FAILED
    assert found.says.startswith("The I2C bus hangs")
    assert len(bus.written + bus.read) == 1


def test_a_bus_that_begins_to_hang_is_not_asked_on() -> None:
    class Seizing(JigBus):
        def read_byte(self, i2c_addr: int, force: bool | None = None) -> int:
            self.hangs = len(self.read) >= 5
            return super().read_byte(i2c_addr, force)

    bus = Seizing({AT.display, AT.gauge}, {AT.codec, AT.clock})
    found = check(bus.wire, PINS, on_board=True)
    assert found.says.startswith("The I2C bus hangs")
    assert len(bus.read) == 6


def test_strangers_are_told_and_are_no_failure() -> None:
    bus = whole()
    bus.answering |= {0x57, 0x20}
    found = check(bus.wire, PINS, on_board=True)
    assert found.verdict is Verdict.OK
    assert (
        "0x20 is not of ours (unknown); 0x57 is not of ours (the memory that sits on many clock modules)"
        in found.says
    )
    assert found.figures["strangers"] == ["0x20", "0x57"]


@given(st.sets(st.integers(0x08, 0x77)), st.sets(st.integers(0x08, 0x77)))
def test_nothing_is_written_to_a_stranger_and_no_clock_generator_is_read(there: set[int], driven: set[int]) -> None:
    bus = JigBus(there, driven)
    check(bus.wire, PINS, on_board=True)
    assert set(bus.written) <= {AT.display, 0x3D, AT.codec, AT.clock}
    assert LOCKS_WHEN_READ not in bus.read
    assert AT.gauge in bus.read


@pytest.mark.parametrize(("on_board", "verdict"), [(True, Verdict.FAILED), (False, Verdict.NOT_THERE)])
def test_a_computer_without_such_a_bus_is_told(on_board: bool, verdict: Verdict) -> None:
    found = check(no_wire(), PINS, on_board=on_board)
    assert found.verdict is verdict
    assert "cannot be opened" in found.says
    assert "i2c" in found.says


def test_an_error_that_nobody_knows_is_not_taken_for_silence() -> None:
    class Broken(JigBus):
        def write_quick(self, i2c_addr: int, force: bool | None = None) -> None:
            raise OSError(95, "Operation not supported")

    with pytest.raises(OSError, match="not supported"):
        Broken().wire.known(AT.display)
    assert JigBus({AT.display}).wire.known(AT.display) is Answer.YES
