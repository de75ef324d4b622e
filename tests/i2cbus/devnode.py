"""What the kernel's /dev/i2c-N does, on a `Bus` of ours: ioctls, read and write.

As on the board, addresses whose chip belongs to a driver of the kernel cannot be chosen with I2C_SLAVE (EBUSY), and
SMBus calls become plain I2C messages.

Sources: the kernel's include/uapi/linux/i2c-dev.h and i2c.h (numbers and structures, of 64 bits),
drivers/i2c/i2c-dev.c (limits, errors, which data are copied), drivers/i2c/i2c-core-smbus.c (the messages),
Documentation/i2c/dev-interface.
"""

from __future__ import annotations

import errno
import itertools
import struct

from i2cbus.bus import Bus, Message
from i2cbus.cuse import Again, Done

RETRIES, TIMEOUT, SLAVE, TENBIT, FUNCS, SLAVE_FORCE, RDWR, PEC, SMBUS = (
    *(0x0701, 0x0702, 0x0703, 0x0704, 0x0705, 0x0706, 0x0707, 0x0708),
    0x0720,
)
FUNCTIONS = 0x00000001 | 0x0EFF0008
"""I2C_FUNC_I2C and I2C_FUNC_SMBUS_EMUL: what the board's controller says."""
TRANSFER, MESSAGE, SMALL = struct.Struct("=QI4x"), struct.Struct("=HHH2xQ"), struct.Struct("=BB2xIQ")
LONGEST, MOST_MESSAGES, BLOCK = 8192, 42, 32
_READ = 0x0001
QUICK, BYTE, BYTE_DATA, WORD_DATA, PROC_CALL, BROKEN_BLOCK, I2C_BLOCK = 0, 1, 2, 3, 4, 6, 8
_SIZES = {BYTE: 1, BYTE_DATA: 1, WORD_DATA: 2, PROC_CALL: 2, BROKEN_BLOCK: BLOCK + 2, I2C_BLOCK: BLOCK + 2}


class I2cNode:
    """The device file of a bus."""

    def __init__(self, bus: Bus) -> None:
        self._bus = bus
        self._numbers = itertools.count(1)
        self._chosen: dict[int, int] = {}

    def opened(self) -> int:
        """One more that uses the bus; it has chosen no address yet."""
        file = next(self._numbers)
        self._chosen[file] = -1
        return file

    def closed(self, file: int) -> None:
        """One less."""
        self._chosen.pop(file, None)

    def read(self, file: int, count: int) -> bytes:
        """Read from the chosen address."""
        (data,) = self._bus.transfer([Message(self._chosen[file], count=min(count, LONGEST))])
        return data

    def write(self, file: int, data: bytes) -> None:
        """Write to the chosen address."""
        self._bus.transfer([Message(self._chosen[file], data[:LONGEST])])

    def ioctl(self, file: int, request: int, argument: int, taken: bytes, room: int) -> Again | Done:
        """See `cuse.Node`."""
        if request in (SLAVE, SLAVE_FORCE):
            return self._choose(file, argument, forced=request == SLAVE_FORCE)
        if request == FUNCS:
            functions = FUNCTIONS.to_bytes(8, "little")
            return Done(0, functions) if room else Again(give=((argument, len(functions)),))
        if request == RDWR:
            return self._combined(argument, taken, room)
        if request == SMBUS:
            return self._small(self._chosen[file], argument, taken, room)
        if request in (RETRIES, TIMEOUT, PEC) or (request == TENBIT and not argument):
            return Done()
        raise OSError(errno.ENOTTY, f"ioctl {request:#x} is not one of /dev/i2c-N")

    def _choose(self, file: int, address: int, *, forced: bool) -> Done:
        if address > 0x7F:
            raise OSError(errno.EINVAL, "an address of more than 7 bits")
        if not forced and self._bus.belongs_to_the_kernel(address):
            raise OSError(errno.EBUSY, "a driver of the kernel has it")
        self._chosen[file] = address
        return Done()

    def _combined(self, argument: int, taken: bytes, room: int) -> Again | Done:
        """I2C_RDWR: the structure, the messages it points to, then what these point to."""
        head = (argument, TRANSFER.size)
        if len(taken) < TRANSFER.size:
            return Again(take=(head,))
        where, count = TRANSFER.unpack_from(taken)
        if not 0 < count <= MOST_MESSAGES:
            raise OSError(errno.EINVAL, f"{count} messages")
        table = (where, count * MESSAGE.size)
        at = TRANSFER.size + table[1]
        if len(taken) < at:
            return Again(take=(head, table))
        wanted = [*MESSAGE.iter_unpack(taken[TRANSFER.size : at])]
        if any(length > LONGEST for _, _, length, _ in wanted):
            raise OSError(errno.EINVAL, "a message too long")
        take = tuple((place, length) for _, flags, length, place in wanted if not flags & _READ)
        give = tuple((place, length) for _, flags, length, place in wanted if flags & _READ)
        if len(taken) < at + sum(length for _, length in take) or room < sum(length for _, length in give):
            return Again(take=(head, table, *take), give=give)
        messages = []
        for address, flags, length, _ in wanted:
            if flags & _READ:
                messages.append(Message(address, count=length))
            else:
                messages.append(Message(address, taken[at : at + length]))
                at += length
        return Done(count, b"".join(self._bus.transfer(messages)))

    def _small(self, address: int, argument: int, taken: bytes, room: int) -> Again | Done:
        """I2C_SMBUS: the structure, then the data it points to."""
        head = (argument, SMALL.size)
        if len(taken) < SMALL.size:
            return Again(take=(head,))
        reading, command, kind, where = SMALL.unpack_from(taken)
        if reading not in (0, 1) or kind not in (QUICK, *_SIZES):
            raise OSError(errno.EINVAL if kind > I2C_BLOCK else errno.EOPNOTSUPP, f"SMBus call {kind}")
        size = 0 if kind == QUICK or (kind == BYTE and not reading) else _SIZES[kind]
        gives = size if reading or kind == PROC_CALL else 0
        takes = size if not reading or kind in (PROC_CALL, I2C_BLOCK) else 0
        if len(taken) < SMALL.size + takes or room < gives:
            return Again(take=(head, *[(where, takes)] * bool(takes)), give=((where, gives),) * bool(gives))
        messages = as_messages(address, kind, command, taken[SMALL.size :], reading=bool(reading))
        data = b"".join(self._bus.transfer(messages))
        if reading and kind in (BROKEN_BLOCK, I2C_BLOCK):
            data = bytes([len(data)]) + data
        return Done(0, data.ljust(gives, b"\0"))


def as_messages(address: int, kind: int, command: int, data: bytes, *, reading: bool) -> list[Message]:
    """The plain messages of an SMBus call.

    Parameters
    ----------
    address : of the chip
    kind : of the call, `QUICK` to `I2C_BLOCK`
    command : its first byte
    data : what the caller's union holds: a byte, a word with the low byte first, or a count and as many bytes
    reading : its direction

    Raises
    ------
    OSError : EINVAL for a block too long.
    """
    if kind == QUICK:
        return [Message(address, count=0) if reading else Message(address)]
    if kind == BYTE:
        return [Message(address, count=1) if reading else Message(address, bytes([command]))]
    count = data[0] if kind == I2C_BLOCK or (kind == BROKEN_BLOCK and not reading) else BLOCK
    if count > BLOCK:
        raise OSError(errno.EINVAL, f"a block of {count} bytes")
    name = bytes([command])
    blocks = kind in (BROKEN_BLOCK, I2C_BLOCK)
    if kind == PROC_CALL:
        return [Message(address, name + data[:2]), Message(address, count=2)]
    if reading:
        return [Message(address, name), Message(address, count=count if blocks else _SIZES[kind])]
    return [Message(address, name + (data[1 : 1 + count] if blocks else data[: _SIZES[kind]]))]
