"""The I2C bus, by smbus2: the one file that imports it, and is therefore itself imported late.

Conventions
-----------
Words are those of chips that say the high byte first; SMBus words have it last (smbus(7) calls are swapped for such
chips: i2c_smbus_read_word_swapped in the kernel's include/linux/i2c.h). Registers and addresses are whole numbers.
Whoever calls waits as long as the bus: up to a second when it hangs (the kernel's usual I2C timeout, struct
i2c_adapter; a controller may wait longer). So nothing that must go on may call.
"""

from __future__ import annotations

from typing import Self

from smbus2 import SMBus, i2c_msg


class I2cBus(SMBus):
    """A bus of the computer: `I2cBus(1)` is /dev/i2c-1.

    Raises
    ------
    OSError : when there is none or it may not be used; by every call when nobody answers
    """

    def __enter__(self) -> Self:
        """It is closed at the end of the ``with``."""
        return self

    def word(self, address: int, register: int) -> int:
        """What a register of two bytes holds, 0 to 65535; asked for in one transfer, with a repeated start."""
        answer = i2c_msg.read(address, 2)
        self.i2c_rdwr(i2c_msg.write(address, [register]), answer)
        return int.from_bytes(bytes(answer), "big")

    def tell_word(self, address: int, register: int, word: int) -> None:
        """Write a register of two bytes."""
        self.i2c_rdwr(i2c_msg.write(address, [register, *word.to_bytes(2, "big")]))
