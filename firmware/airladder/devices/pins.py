"""The pin map: which wire of the processor is which, as `hardware/pins.toml` says.

Conventions
-----------
Pins are BCM numbers of the 40-pin header (2 to 27; 0 and 1 belong to the board's identity EEPROM). Addresses are
7-bit I2C addresses, 0x08 to 0x77 (the others are reserved: NXP UM10204, section 3.1.12). The names of the
buttons are those of `practice.presses.Button`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from airladder.faults import BadInput, did_you_mean
from airladder.practice.presses import Button

_PINS = range(2, 28)
_CONSOLE = (14, 15)
_ADDRESSES = range(0x08, 0x78)

_SHAPE: dict[str, tuple[str, ...]] = {
    "buttons": tuple(button.value for button in Button),
    "i2c": ("bus", "sda", "scl"),
    "addresses": ("display", "codec", "clock", "gauge"),
    "i2s": ("bit_clock", "frame_clock", "from_codec", "to_codec"),
    "power": ("battery_alert", "switch_off"),
    "usb": ("cable",),
}


@dataclass(frozen=True)
class Bus:
    """The I2C bus: its number in Linux, and its two pins."""

    bus: int
    sda: int
    scl: int


@dataclass(frozen=True)
class Addresses:
    """Who answers where on the I2C bus."""

    display: int
    codec: int
    clock: int
    gauge: int


@dataclass(frozen=True)
class SoundPins:
    """The I2S pins, named from the processor's side."""

    bit_clock: int
    frame_clock: int
    from_codec: int
    to_codec: int


@dataclass(frozen=True)
class PowerPins:
    """The battery's alert (input) and the line that switches the supply off (output, active high)."""

    battery_alert: int
    switch_off: int


@dataclass(frozen=True)
class UsbPins:
    """Whether the USB socket has 5 V (input, high when it has)."""

    cable: int


@dataclass(frozen=True)
class PinMap:
    """All that the firmware believes of the wiring."""

    buttons: Mapping[Button, int]
    i2c: Bus
    addresses: Addresses
    i2s: SoundPins
    power: PowerPins
    usb: UsbPins


def pin_map(text: str | None = None) -> PinMap:
    """The pin map.

    Parameters
    ----------
    text : TOML; when None, the file that is part of the package

    Raises
    ------
    BadInput : lists all that is wrong with it at once.
    """
    text = files("airladder.devices").joinpath("pins.toml").read_text("utf-8") if text is None else text
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as bad:
        raise BadInput(f"The pin map is not TOML ({bad}); correct it in hardware/pins.toml.") from bad
    if faults := [*_wrong_names(tables), *_wrong_numbers(tables), *_used_twice(tables)]:
        raise BadInput(f"The pin map hardware/pins.toml cannot be used: {'; '.join(faults)}.")
    return PinMap(
        buttons={button: tables["buttons"][button.value] for button in Button},
        i2c=Bus(**tables["i2c"]),
        addresses=Addresses(**tables["addresses"]),
        i2s=SoundPins(**tables["i2s"]),
        power=PowerPins(**tables["power"]),
        usb=UsbPins(**tables["usb"]),
    )


def _wrong_names(tables: Mapping[str, Any]) -> Iterator[str]:
    yield from _compared(tables, tuple(_SHAPE), "")
    for name, wanted in _SHAPE.items():
        if isinstance(table := tables.get(name, {}), dict):
            if name in tables:
                yield from _compared(table, wanted, f"{name}.")
        else:
            yield f"{name} is not a table"


def _compared(found: Mapping[str, Any], wanted: tuple[str, ...], prefix: str) -> Iterator[str]:
    for name in wanted:
        if name not in found:
            yield f"{prefix}{name} is missing"
    for name in found:
        if name not in wanted:
            yield f"{prefix}{name} is not known{did_you_mean(name, wanted).removesuffix('.')}"


def _wrong_numbers(tables: Mapping[str, Any]) -> Iterator[str]:
    for name, number in _entries(tables):
        if type(number) is not int:  # True is an int too
            yield f"{name} is {number!r}, not a whole number"
        elif name.startswith("addresses.") and number not in _ADDRESSES:
            yield f"{name} is {number:#04x}, not an address from 0x08 to 0x77"
        elif name == "i2c.bus" and number < 0:
            yield f"{name} is {number}, not a bus number from 0 up"
        elif _is_pin(name) and number in _CONSOLE:
            yield f"{name} is {number}, a pin of the serial console"
        elif _is_pin(name) and number not in _PINS:
            yield f"{name} is {number}, not a pin from 2 to 27"


def _used_twice(tables: Mapping[str, Any]) -> Iterator[str]:
    owners: dict[tuple[bool, int], str] = {}
    for name, number in _entries(tables):
        if type(number) is int and name != "i2c.bus":
            owner = owners.setdefault((_is_pin(name), number), name)
            if owner != name:
                yield f"{name} and {owner} are both {number if _is_pin(name) else hex(number)}"


def _entries(tables: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """All known entries, as ("buttons.up", 5)."""
    for name, wanted in _SHAPE.items():
        table = tables.get(name)
        if isinstance(table, dict):
            yield from ((f"{name}.{key}", table[key]) for key in wanted if key in table)


def _is_pin(name: str) -> bool:
    return name != "i2c.bus" and not name.startswith("addresses.")
