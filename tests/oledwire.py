"""The OLED on a recorded bus, spoken to in the very way of the board."""

from __future__ import annotations

from luma.core.interface.serial import i2c
from smbus2 import i2c_msg

from airladder.devices.clock import Clock
from airladder.devices.oled import Oled
from airladder.devices.recorded_bus import Recorder


class BoardWire(i2c):  # type: ignore[misc]  # luma ships no types
    """luma's `i2c` as it is on a bus that it opened itself: data go in one piece, by `i2c_rdwr`.

    On a bus that was given to it, luma sends data in pieces of 32 bytes, which the box never does. Only the opening
    is left out.
    """

    def __init__(self, bus: Recorder, address: int = 0x3C) -> None:
        super().__init__(bus=bus, address=address)
        self._managed, self._i2c_msg_write = True, i2c_msg.write


def oled(bus: Recorder, model: str, *, upside_down: bool = False, clock: Clock | None = None) -> Oled:
    """The display on that bus."""
    return Oled(model, BoardWire(bus), upside_down=upside_down, clock=clock)
