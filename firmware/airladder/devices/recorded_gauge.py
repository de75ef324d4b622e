"""A stand-in for the battery gauge: its registers, and a bus with nothing but it that fails on cue.

Sources: those of `gauge`; values after power-on (CONFIG 0x971C, which is an alert at 4 %; STATUS with the reset
indicator) from memory of the same data sheet.
"""

from __future__ import annotations

import errno
from typing import Any

from airladder.devices.gauge import (
    ALERTING,
    CONFIG,
    CRATE,
    PERCENT_A_STEP,
    RATE_A_STEP,
    RESET_INDICATOR,
    SOC,
    STATUS,
    VCELL,
    VERSION,
    VOLTS_A_STEP,
)

_READ = 0x0001  # I2C_M_RD of the kernel's include/uapi/linux/i2c.h
_ONLY_READ = {VCELL, SOC, VERSION, CRATE}
_THRESHOLD = 0x001F


class GaugeChip:
    """A gauge that has just got its cell.

    Attributes
    ----------
    registers : by number, what each of its words holds
    """

    def __init__(self, percent: float = 80.0, volts: float = 3.9, percent_per_hour: float = -12.0) -> None:
        self.registers = {VERSION: 0x0012, CONFIG: 0x971C, STATUS: RESET_INDICATOR}
        self._at = 0
        self.hold(percent, volts, percent_per_hour)

    def hold(self, percent: float, volts: float, percent_per_hour: float) -> None:
        """The cell is now so full; below its threshold the alert is set, and stays."""
        self.registers[VCELL] = round(volts / VOLTS_A_STEP)
        self.registers[SOC] = round(percent / PERCENT_A_STEP)
        self.registers[CRATE] = round(percent_per_hour / RATE_A_STEP) & 0xFFFF
        self._watch()

    @property
    def alert(self) -> bool:
        """Whether the alert pin is pulled low."""
        return bool(self.registers[CONFIG] & ALERTING)

    def write(self, data: bytes) -> None:
        """A transfer to it: the number of a register, then words for it and those that follow."""
        if data:
            self._at = data[0]
        for high, low in zip(data[1::2], data[2::2], strict=False):
            if self._at not in _ONLY_READ:
                self.registers[self._at] = high << 8 | low
            self._at += 2
        self._watch()

    def read(self, count: int) -> bytes:
        """A transfer from it: the words from the register last named on."""
        words = (self.registers.get(self._at + number, 0) for number in range(0, count, 2))
        return b"".join(word.to_bytes(2, "big") for word in words)[:count]

    def _watch(self) -> None:
        if self.registers[SOC] * PERCENT_A_STEP < 32 - (self.registers[CONFIG] & _THRESHOLD):
            self.registers[CONFIG] |= ALERTING


class GaugeBus:
    """What the recorded bus knows; see `gauge_bus`.

    Attributes
    ----------
    chip : the gauge, or None when there is none
    failing : the errors of the next transfers, the first one first; None for one that succeeds
    """

    def __init__(self, chip: GaugeChip | None, address: int) -> None:
        self.chip, self._address = chip, address
        self.failing: list[OSError | None] = []
        self.transfers = 0

    def i2c_rdwr(self, *i2c_msgs: Any) -> None:
        """Take one transfer of any messages."""
        self.transfers += 1
        if self.failing and (error := self.failing.pop(0)) is not None:
            raise error
        for message in i2c_msgs:
            if self.chip is None or message.addr != self._address:
                raise OSError(errno.EREMOTEIO, "Remote I/O error")
            if message.flags & _READ:
                for place, byte in enumerate(self.chip.read(message.len)):
                    message.buf[place] = bytes([byte])
            else:
                self.chip.write(bytes(message))


def gauge_bus(chip: GaugeChip | None, address: int = 0x36) -> Any:
    """A `GaugeBus` that is a real `I2cBus` which was never opened.

    Parameters
    ----------
    chip : the gauge on it, if any
    address : where it answers
    """
    from airladder.devices.i2c_bus import I2cBus

    class RecordedGaugeBus(GaugeBus, I2cBus):
        def __init__(self) -> None:
            I2cBus.__init__(self)
            GaugeBus.__init__(self, chip, address)

    return RecordedGaugeBus()
