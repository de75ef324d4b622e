"""An I2C bus with chips on it, that misbehaves on cue.

Errors are those of the board's controller: nobody answers EREMOTEIO, the bus hangs ETIMEDOUT after its time (the
kernel's drivers/i2c/busses/i2c-bcm2835.c). While one transfer waits all others wait, as on the real one.
"""

from __future__ import annotations

import errno
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from airladder.devices.clock import Clock


@dataclass(frozen=True)
class Message:
    """A message to an address: bytes to write, or (with a count) how many to read."""

    address: int
    data: bytes = b""
    count: int | None = None


class Chip(Protocol):
    """What answers at an address; an OSError of its own ends the transfer."""

    def write(self, data: bytes) -> None:
        """Bytes for it."""

    def read(self, count: int) -> bytes:
        """So many bytes of it."""


class Bus:
    """The bus.

    Parameters
    ----------
    chips : who answers where
    kernels : addresses whose chips belong to drivers of the kernel
    sleep : how it waits when it hangs

    Attributes
    ----------
    chips : the same, which may be changed
    mute : addresses at which nobody answers for now
    transfers : how many there were
    """

    def __init__(
        self,
        chips: Mapping[int, Chip],
        kernels: Sequence[int] = (),
        sleep: Callable[[float], None] | None = None,
    ) -> None:
        self.chips = {**chips}
        self.mute: set[int] = set()
        self.transfers = 0
        self._kernels = frozenset(kernels)
        self._sleep = sleep or Clock().sleep
        self._hanging, self._hangs = 0.0, 0
        self._one_at_a_time = threading.Lock()

    def belongs_to_the_kernel(self, address: int) -> bool:
        """Whether a driver of the kernel has the chip at this address."""
        return address in self._kernels

    def hang(self, seconds: float, times: int) -> None:
        """So many of the next transfers hang for so long, and fail; none with 0."""
        self._hanging, self._hangs = seconds, times

    def transfer(self, messages: Sequence[Message]) -> list[bytes]:
        """What is read, a piece for each message that reads.

        Raises
        ------
        OSError : when somebody does not answer, or the bus hangs.
        """
        with self._one_at_a_time:
            self.transfers += 1
            if self._hangs > 0:
                self._hangs -= 1
                self._sleep(self._hanging)
                raise OSError(errno.ETIMEDOUT, "Connection timed out")
            return [data for message in messages if (data := self._one(message)) is not None]

    def _one(self, message: Message) -> bytes | None:
        chip = self.chips.get(message.address)
        if chip is None or message.address in self.mute:
            raise OSError(errno.EREMOTEIO, "Remote I/O error")
        if message.count is None:
            chip.write(message.data)
            return None
        return chip.read(message.count)
