"""The stand-in for the OLED's bus does what it says: it fails, waits, forgets, and shows only what it was told to."""

from __future__ import annotations

from random import Random

import pytest
from PIL import Image
from smbus2 import SMBus, i2c_msg

from airladder.devices.oled_driver import MODELS
from airladder.devices.recorded_bus import recorded_bus
from airladder.devices.recorded_glass import Glass
from airladder.panel import gallery
from oledwire import BoardWire, oled

PICTURE = gallery.picture(gallery.samples()["wanted"])


def test_it_is_a_real_bus_that_was_never_opened() -> None:
    bus = recorded_bus("ssd1306")
    assert isinstance(bus, SMBus)
    assert bus.fd is None


def test_luma_sends_commands_as_blocks_and_data_in_one_piece() -> None:
    bus = recorded_bus("ssd1306")
    wire = BoardWire(bus)
    wire.command(0xB0, 0x00, 0x10)
    wire.data(bytes(100))
    assert bus.transfers == [(0x00, (0xB0, 0x00, 0x10)), (0x40, (0,) * 100)]
    assert bus.sent == (2 + 3) + (2 + 100)


def test_a_transfer_that_is_not_answered_has_arrived_up_to_that_byte() -> None:
    bus = recorded_bus("ssd1306", failing=[5])
    bus.glass.command([0xA1, 0xC8, 0x8D, 0x14, 0xAF])
    before = bus.picture()
    with pytest.raises(OSError, match="Remote I/O error"):
        bus.i2c_rdwr(i2c_msg.write(0x3C, [0x40, *[0x55] * 20]))
    after = bus.picture()
    columns = [after.crop((x, 0, x + 1, 8)).tobytes() for x in range(4)]
    assert columns[0] == columns[1] == columns[2] == bytes([0x80, 0, 0x80, 0, 0x80, 0, 0x80, 0])
    assert after.crop((3, 0, 128, 64)).tobytes() == before.crop((3, 0, 128, 64)).tobytes()
    assert (bus.sent, bus.failed, bus.transfers) == (6, 1, [])
    bus.i2c_rdwr(i2c_msg.write(0x3C, [0x40, 0x55]))


def test_a_command_cut_off_waits_for_its_argument() -> None:
    bus = recorded_bus("ssd1306")
    bus.fail_in(3)
    with pytest.raises(OSError, match="Remote I/O error"):
        bus.write_i2c_block_data(0x3C, 0x00, [0x81, 0x10])
    bus.write_i2c_block_data(0x3C, 0x00, [0xE3])
    assert bus.glass.settings[0x81] == [0xE3]


@pytest.mark.parametrize("model", MODELS)
def test_what_luma_sends_first_is_needed(model: str) -> None:
    """A module that got nothing but its picture and ON shows something else: dark, turned, or misplaced."""
    bus = recorded_bus(model)
    told = recorded_bus(model)
    oled(told, model).show(PICTURE)
    settings, *rest = told.transfers
    assert settings[0] == 0
    for control, codes in rest:
        bus.write_i2c_block_data(0x3C, control, codes)
    assert told.picture().tobytes() == PICTURE.tobytes()
    assert bus.picture().tobytes() != PICTURE.tobytes()


@pytest.mark.parametrize("model", MODELS)
def test_each_loss_of_power_leaves_it_off_with_other_snow(model: str) -> None:
    bus = recorded_bus(model)
    snow = set()
    for _ in range(3):
        bus.forget()
        assert not bus.glass.lit
        assert bus.picture().getbbox() is None
        bus.glass.command([0x8D, 0x14, 0xAF])
        snow.add(bus.picture().tobytes())
    assert len(snow) == 3


@pytest.mark.parametrize("model", MODELS)
def test_glass_inverts_and_lights_all(model: str) -> None:
    glass = Glass(model, Random(1))
    glass.command([0x8D, 0x14, 0xAF])
    plain = glass.picture()
    glass.command([0xA7])
    assert glass.picture().tobytes() == plain.point(lambda v: 255 - v).tobytes()
    glass.command([0xA5])
    assert glass.picture().tobytes() == Image.new("1", (128, 64), 255).tobytes()


def test_a_slow_bus_waits_for_each_byte_and_hangs_once() -> None:
    waited: list[float] = []
    bus = recorded_bus("ssd1306", sleep=waited.append)
    bus.seconds_a_byte = 22.5e-6
    bus.hang(2.0)
    for _ in range(2):
        bus.i2c_rdwr(i2c_msg.write(0x3C, [0x40, *[0] * 128]))
    assert waited == pytest.approx([2.0 + 130 * 22.5e-6, 130 * 22.5e-6])
