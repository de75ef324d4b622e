"""A bus with all our chips plugged into smbus2, by the very bytes that the kernel's CUSE would send."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime

import pytest
import smbus2.smbus2
from PIL import Image
from smbus2 import I2cFunc, SMBus

from airladder.devices.recorded_gauge import GaugeChip
from i2cbus.bus import Bus, Chip
from i2cbus.chips import ClockChip, CodecChip, ScreenChip
from i2cbus.control import Control
from i2cbus.devnode import I2cNode
from i2cbus.pretended import Kernel

SCREEN, GAUGE, CODEC, CLOCK, ECHO = 0x3C, 0x36, 0x1A, 0x68, 0x50
NOON = datetime(2027, 5, 6, 12, 34, 56, tzinfo=UTC)
STRIPES = Image.linear_gradient("L").resize((128, 64)).convert("1")


class EchoChip:
    """Keeps what was written, and says it again."""

    def __init__(self) -> None:
        self.kept = b""

    def write(self, data: bytes) -> None:
        """Keep it."""
        self.kept = data

    def read(self, count: int) -> bytes:
        """Say it, again and again."""
        return (self.kept * (count // max(1, len(self.kept)) + 1))[:count].ljust(count, b"\xff")


class Plugged:
    """A bus with all chips, its control, and the pretended kernel that serves it."""

    def __init__(self) -> None:
        self.slept: list[float] = []
        self.screen, self.gauge, self.clock = ScreenChip("ssd1306", lambda: 7.5), GaugeChip(), ClockChip(lambda: NOON)
        self.codec, self.echo = CodecChip(), EchoChip()
        chips: dict[int, Chip] = {
            SCREEN: self.screen,
            GAUGE: self.gauge,
            CLOCK: self.clock,
            CODEC: self.codec,
            ECHO: self.echo,
        }
        self.bus = Bus(chips, kernels=(CODEC, CLOCK), sleep=self.slept.append)
        self.control = Control(self.bus, lambda: 7.5)
        self.kernel = Kernel(I2cNode(self.bus))

    def told(self, line: str) -> dict[str, object]:
        """Tell the bus something that it understands."""
        answer = self.control.told(line)
        assert "error" not in answer, answer
        return answer


@contextmanager
def plugged_in(monkeypatch: pytest.MonkeyPatch) -> Iterator[Plugged]:
    """Whoever opens a bus by smbus2 gets this one."""
    found = Plugged()
    files: dict[int, int] = {}

    def opened(bus: SMBus, number: object) -> None:
        bus.fd = os.open(os.devnull, os.O_RDWR)  # a number that smbus2 may close
        files[bus.fd] = found.kernel.open()
        bus.funcs = I2cFunc(0x0EFF0009)

    monkeypatch.setattr(SMBus, "open", opened)
    monkeypatch.setattr(smbus2.smbus2, "ioctl", lambda fd, *words: found.kernel.ioctl(files[fd], *words))
    yield found
    found.kernel.close()
