"""The other chips of the box: screen, clock, codec. The gauge is `airladder.devices.recorded_gauge.GaugeChip`.

Sources: SSD1306 data sheet rev. 1.1 (2008), 8.1.5 (control byte) and the status byte, whose one documented bit says
whether the display is off; DS3231 data sheet 19-5170, registers 0x00 to 0x12; WM8960 data sheet rev. 4.2, control
interface (registers of 9 bits, that cannot be read). The bit of the clock's status that says it stopped, and that the
codec does not answer a read, from memory.
"""

from __future__ import annotations

import errno
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from random import Random

from PIL import Image

from airladder.devices.recorded_glass import Glass

_MORE, _DATA, _OFF = 0x80, 0x40, 0x40


class ScreenChip:
    """An OLED module, which has just got its power.

    Parameters
    ----------
    model : "ssd1306" or "sh1106"
    seconds : the time, for `lit_at`

    Attributes
    ----------
    lit_at : when it was first switched on, by `seconds`; None before
    """

    def __init__(self, model: str, seconds: Callable[[], float]) -> None:
        self.model = model
        self._seconds = seconds
        self._lots = Random(model)
        self.lit_at: float | None = None
        self.forget()

    def forget(self) -> None:
        """It loses its power for a moment."""
        self._glass = Glass(self.model, self._lots)

    @property
    def brightness(self) -> float:
        """0 while it is off, else a share of the most there is."""
        return self._glass.brightness

    def picture(self) -> Image.Image:
        """What is seen: 128 x 64, mode "1"."""
        return self._glass.picture()

    def write(self, data: bytes) -> None:
        """Control bytes, each with the rest of the transfer, or with one byte when more control bytes follow."""
        while data:
            control, data = data[0], data[1:]
            now, data = (data[:1], data[1:]) if control & _MORE else (data, b"")
            if control & _DATA:
                self._glass.data(now)
            else:
                self._glass.command(now)
        if self.lit_at is None and self._glass.lit:
            self.lit_at = self._seconds()

    def read(self, count: int) -> bytes:
        """The status byte, whatever is read; reserved bits as zeros."""
        return bytes([0 if self._glass.lit else _OFF]) * count


class ClockChip:
    """A DS3231 that goes by the computer's clock, as far ahead or behind as it was set."""

    COUNT = 0x13
    STOPPED = 0x80

    def __init__(self, now: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        self._now = now
        self._ahead = timedelta()
        self._at = 0
        self._rest = bytearray(self.COUNT)
        self._rest[0x0E], self._rest[0x0F], self._rest[0x11] = 0x1C, self.STOPPED, 25

    @property
    def registers(self) -> bytes:
        """All of them; the first seven are the date and time in decimal digits, of 24 hours and of this century."""
        when = self._now() + self._ahead
        fields = (when.second, when.minute, when.hour, when.isoweekday(), when.day, when.month, when.year % 100)
        return bytes(value // 10 << 4 | value % 10 for value in fields) + bytes(self._rest[7:])

    def write(self, data: bytes) -> None:
        """The number of a register, then bytes for it and those that follow."""
        if not data:
            return
        self._at = data[0] % self.COUNT
        changed = bytearray(self.registers)
        for byte in data[1:]:
            changed[self._at] = byte
            self._at = (self._at + 1) % self.COUNT
        if len(data) > 1:
            self._rest[:] = changed
            self._set([(byte >> 4) * 10 + (byte & 0x0F) for byte in changed[:7]])

    def _set(self, fields: list[int]) -> None:
        second, minute, hour, _, day, month, year = fields
        try:
            told = datetime(2000 + year, month & 0x1F, day, hour, minute, second, tzinfo=UTC)
        except ValueError:  # a date that cannot be: the real one counts on from it, this one stays as it was
            return
        self._ahead += told - (self._now() + self._ahead).replace(microsecond=0)

    def read(self, count: int) -> bytes:
        """The registers from the one last named on, and from the first again."""
        registers = self.registers
        data = bytes(registers[(self._at + number) % self.COUNT] for number in range(count))
        self._at = (self._at + count) % self.COUNT
        return data


class CodecChip:
    """A WM8960: it takes what it is told.

    Attributes
    ----------
    registers : by number, what was written
    """

    def __init__(self) -> None:
        self.registers: dict[int, int] = {}

    def write(self, data: bytes) -> None:
        """Pairs of bytes: seven bits of register, nine of value."""
        for high, low in zip(data[::2], data[1::2], strict=False):
            self.registers[high >> 1] = (high & 1) << 8 | low

    def read(self, count: int) -> bytes:
        """It cannot be read: nobody answers."""
        raise OSError(errno.EREMOTEIO, "Remote I/O error")
