"""Who answers on the I2C bus, asked in the way that changes nothing.

A harmless probe of an address that we know is the one that i2cdetect(8) takes for the safest there: an empty write
("quick", the address and nothing after it), or one byte read where memories live (0x30 to 0x37, 0x50 to 0x5F). Of a
stranger nothing is known, so nothing is ever written to it: one byte is read, from wherever it stands. Two sorts of
chips take offence even so: a read can lock chips that can only be written, clock generators at 0x69 above all, which
is left out; and a read takes one byte from a chip that hands its data out once. Whoever can only be written does not
answer a read: our codec is such a one, and an unknown one would not be seen.

Conventions
-----------
7-bit addresses. Sources: i2cdetect(8), from memory; the kernel's Documentation/i2c/fault-codes.rst, and
drivers/i2c/i2c-dev.c: an address that a driver of the kernel has is EBUSY. Untested on hardware.
"""

from __future__ import annotations

import errno
from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING

from airladder.faults import Fault

if TYPE_CHECKING:
    from airladder.devices.i2c_bus import I2cBus

_MEMORIES = {*range(0x30, 0x38), *range(0x50, 0x60)}
_NOBODY = (errno.ENXIO, errno.EREMOTEIO, errno.EIO)
_HANGS = (errno.ETIMEDOUT, errno.EAGAIN)


class Answer(Enum):
    """What came of a probe; the value is the word for it."""

    YES = "answers"
    DRIVER = "answers to its driver"
    NO = "silent"
    HANGS = "bus hangs"

    @property
    def there(self) -> bool:
        """Whether somebody is at that address."""
        return self in (Answer.YES, Answer.DRIVER)


class Wire:
    """An I2C bus.

    Parameters
    ----------
    open_bus : opens it, for one look; see `wire_on`
    """

    def __init__(self, open_bus: Callable[[], I2cBus]) -> None:
        self._open_bus = open_bus

    def known(self, address: int) -> Answer:
        """Whether one of our parts answers there.

        Raises
        ------
        Fault : when there is no such bus, or this user may not use it.
        """
        return self._probe(address, reading=address in _MEMORIES)

    def stranger(self, address: int) -> Answer:
        """Whether anybody answers there who can be read; faults as above."""
        return self._probe(address, reading=True)

    def _probe(self, address: int, *, reading: bool) -> Answer:
        try:
            bus = self._open_bus()
        except (OSError, ImportError) as error:
            raise Fault(
                f"The I2C bus cannot be opened ({error}); wanted I2C switched on in the boot configuration, and a"
                " user in the group i2c."
            ) from error
        with bus:
            try:
                if reading:
                    bus.read_byte(address)
                else:
                    bus.write_quick(address)
            except OSError as error:
                return _meaning(error)
        return Answer.YES


def _meaning(error: OSError) -> Answer:
    if error.errno == errno.EBUSY:
        return Answer.DRIVER
    if error.errno in _NOBODY:
        return Answer.NO
    if error.errno in _HANGS:
        return Answer.HANGS
    raise error


def wire_on(port: int) -> Wire:
    """The bus /dev/i2c-`port`."""

    def opened() -> I2cBus:
        from airladder.devices.i2c_bus import I2cBus

        return I2cBus(port)

    return Wire(opened)
