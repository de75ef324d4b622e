"""The pin map that ships is whole, and a wrong one is told with all its faults at once."""

from __future__ import annotations

from importlib.resources import files

import pytest
from gpiozero import pi_info

from airladder.devices.pins import pin_map
from airladder.faults import BadInput
from airladder.practice.presses import Button

SHIPPED = files("airladder.devices").joinpath("pins.toml").read_text("utf-8")


def test_the_map_that_ships_gives_every_button_its_pin() -> None:
    """The numbers of the design's pin table (BCM); header pins: the 40-pin pinout of the board's maker."""
    pins = pin_map()
    assert pins.buttons == {
        Button.BACK: 26,
        Button.DOWN: 6,
        Button.UP: 5,
        Button.OK: 13,
        Button.FOOT: 16,
    }
    assert (pins.i2c.bus, pins.i2c.sda, pins.i2c.scl) == (1, 2, 3)
    assert pins.addresses.display == 0x3C


def test_the_sound_sits_where_the_processor_has_it() -> None:
    """PCM_CLK, PCM_FS, PCM_DIN, PCM_DOUT are GPIO 18 to 21 (BCM2835 ARM Peripherals, section 6.2, ALT0)."""
    i2s = pin_map().i2s
    assert (i2s.bit_clock, i2s.frame_clock, i2s.from_codec, i2s.to_codec) == (18, 19, 20, 21)


def test_each_pin_stands_beside_its_place_on_the_header() -> None:
    """The comment's header pin belongs to the BCM number (gpiozero's own table of the board's header)."""
    header = pi_info("902120").headers["J8"].pins
    lines = [line.partition("#") for line in SHIPPED.splitlines() if "=" in line.partition("#")[0]]
    checked = 0
    for entry, _, comment in lines:
        if not comment:
            continue
        bcm = int(entry.partition("=")[2])
        place = int(comment.removeprefix(" header pin ").split(",")[0])
        assert f"GPIO{bcm}" in header[place].name
        checked += 1
    assert checked == 14


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("up = 5 ", "up = 6 ", r"buttons\.up and buttons\.down are both 6"),
        ("up = 5 ", "upp = 5 ", r"buttons\.up is missing; buttons\.upp is not known; did you mean up\? Known: back"),
        ("up = 5 ", "up = '5' ", r"buttons\.up is '5', not a whole number"),
        ("up = 5 ", "up = true ", r"buttons\.up is True, not a whole number"),
        ("up = 5 ", "up = 28 ", r"buttons\.up is 28, not a pin from 2 to 27"),
        ("up = 5 ", "up = 1 ", r"buttons\.up is 1, not a pin from 2 to 27"),
        ("up = 5 ", "up = 14 ", r"buttons\.up is 14, a pin of the serial console"),
        ("codec = 0x1A", "codec = 0x3c", r"addresses\.codec and addresses\.display are both 0x3c"),
        ("codec = 0x1A", "codec = 0x78", r"addresses\.codec is 0x78, not an address from 0x08 to 0x77"),
        ("bus = 1", "bus = -1", r"i2c\.bus is -1, not a bus number from 0 up"),
        ("[i2s]", "[i3s]", r"i2s is missing; i3s is not known; did you mean i2s\? Known: buttons"),
    ],
)
def test_each_fault_has_its_words(old: str, new: str, fault: str) -> None:
    assert old in SHIPPED
    with pytest.raises(BadInput, match=rf"^The pin map hardware/pins\.toml cannot be used: {fault}"):
        pin_map(SHIPPED.replace(old, new))


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(BadInput) as told:
        pin_map(SHIPPED.replace("up = 5 ", "up = 99 ").replace("codec = 0x1A", "codec = 0").replace("bus = 1", ""))
    assert str(told.value) == (
        "The pin map hardware/pins.toml cannot be used: i2c.bus is missing; buttons.up is 99, not a pin from 2 to 27;"
        " addresses.codec is 0x00, not an address from 0x08 to 0x77."
    )


def test_a_table_that_is_none_is_told() -> None:
    with pytest.raises(BadInput, match=r"i2c is missing; .*usb is missing; buttons is not a table"):
        pin_map("buttons = 3")


def test_what_is_not_toml_is_told_with_its_line() -> None:
    with pytest.raises(BadInput, match=r"^The pin map is not TOML \(.*at line 1, .*\); correct it in hardware"):
        pin_map("up == 5")
