"""Lends a `ForgettingDisk` to a virtual machine by the NBD protocol, on a Unix socket.

Source: the NBD protocol, https://github.com/NetworkBlockDevice/nbd/blob/master/doc/proto.md (fixed newstyle; read,
write, flush, FUA, disconnect). Requests are carried out and answered one after another, in the order of the socket. A
machine that is killed leaves at most what it had sent: it is carried out, and nobody hears the answers.
"""

from __future__ import annotations

import contextlib
import os
import socket
import struct
import threading
from collections.abc import Callable, Iterator
from enum import IntEnum
from pathlib import Path

from board.forgetting import SECTOR, ForgettingDisk

_MAGIC, _OPTION_MAGIC, _OPTION_REPLY = b"NBDMAGIC", b"IHAVEOPT", 0x3E889045565A9
_REQUEST, _REPLY = 0x25609513, 0x67446698
_FIXED_NEWSTYLE, _NO_ZEROES = 1, 2
_HAS_FLAGS, _SEND_FLUSH, _SEND_FUA = 1, 4, 8
_FLAGS = _HAS_FLAGS | _SEND_FLUSH | _SEND_FUA
_INFO_EXPORT, _INFO_BLOCK_SIZE = 0, 3
_COMMAND_FUA = 1
_OK, _EINVAL = 0, 22
_LONGEST = 32 * 1024 * 1024  # the largest request that a client may make unasked


class _Option(IntEnum):
    EXPORT_NAME = 1
    ABORT = 2
    LIST = 3
    INFO = 6
    GO = 7


class _Answer(IntEnum):
    ACK = 1
    SERVER = 2
    INFO = 3
    UNSUPPORTED = 2**31 + 1


class _Command(IntEnum):
    READ = 0
    WRITE = 1
    DISCONNECT = 2
    FLUSH = 3


class _GoneError(Exception):
    """The other side has ended the connection."""


@contextlib.contextmanager
def lent(disk: ForgettingDisk, at: Path, goes: Callable[[], bool] = lambda: False) -> Iterator[str]:
    """Lend `disk` to one machine after another, until the block ends; the address for qemu.

    Parameters
    ----------
    at : of the socket; its path must be short (108 bytes, man 7 unix)
    goes : called with every write, before it is answered; whether the power goes now, so that nothing is answered
    """
    at.unlink(missing_ok=True)
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as door:
        door.bind(os.fspath(at))
        door.listen(1)
        thread = threading.Thread(target=_receive, args=(disk, door, goes), name="disk", daemon=True)
        thread.start()
        try:
            yield f"nbd:unix:{at}"
        finally:
            # Wakes `accept`; whoever is still served has been killed, and what it sent is read to its end.
            door.shutdown(socket.SHUT_RDWR)
            thread.join(20.0)
            at.unlink(missing_ok=True)
            if thread.is_alive():
                raise RuntimeError("The disk is still in use: end the machine first.")


def _receive(disk: ForgettingDisk, door: socket.socket, goes: Callable[[], bool]) -> None:
    while True:
        try:
            line, _ = door.accept()
        except OSError:  # the door was shut
            return
        with line, contextlib.suppress(_GoneError, ConnectionError):
            if _agreed(line, disk.size):
                _serve(line, disk, goes)


def _agreed(line: socket.socket, size: int) -> bool:
    """Settle with the client that it wants this disk; whether it does."""
    line.sendall(_MAGIC + _OPTION_MAGIC + struct.pack(">H", _FIXED_NEWSTYLE | _NO_ZEROES))
    (wishes,) = struct.unpack(">I", _taken(line, 4))
    while True:
        magic, option, length = struct.unpack(">8sII", _taken(line, 16))
        if magic != _OPTION_MAGIC or length > 65536:
            return False
        _taken(line, length)  # the name of the disk, and what it wants to be told: there is one, and it is told all

        def answer(kind: int, content: bytes = b"", option: int = option) -> None:
            line.sendall(struct.pack(">QIII", _OPTION_REPLY, option, kind, len(content)) + content)

        match option:
            case _Option.EXPORT_NAME:
                line.sendall(struct.pack(">QH", size, _FLAGS) + bytes(0 if wishes & _NO_ZEROES else 124))
                return True
            case _Option.INFO | _Option.GO:
                answer(_Answer.INFO, struct.pack(">HQH", _INFO_EXPORT, size, _FLAGS))
                answer(_Answer.INFO, struct.pack(">HIII", _INFO_BLOCK_SIZE, SECTOR, 4096, _LONGEST))
                answer(_Answer.ACK)
                if option == _Option.GO:
                    return True
            case _Option.LIST:
                answer(_Answer.SERVER, struct.pack(">I", 0))
                answer(_Answer.ACK)
            case _Option.ABORT:
                answer(_Answer.ACK)
                return False
            case _:
                answer(_Answer.UNSUPPORTED)


def _serve(line: socket.socket, disk: ForgettingDisk, goes: Callable[[], bool]) -> None:
    while True:
        magic, flags, kind, handle, place, length = struct.unpack(">IHHQQI", _taken(line, 28))
        if magic != _REQUEST or length > _LONGEST:
            return
        data = _taken(line, length) if kind == _Command.WRITE else b""
        fits = place + length <= disk.size and not (place % SECTOR or length % SECTOR)
        error, read = _OK if fits else _EINVAL, b""
        match kind:
            case _Command.DISCONNECT:
                return
            case _Command.FLUSH:
                disk.flush()
                error = _OK
            case _Command.WRITE if fits:
                disk.write(place, data, safe=bool(flags & _COMMAND_FUA))
                if goes():
                    return
            case _Command.READ if fits:
                read = disk.read(place, length)
            case _:
                error = _EINVAL
        line.sendall(struct.pack(">IIQ", _REPLY, error, handle) + read)


def _taken(line: socket.socket, length: int) -> bytes:
    content = bytearray()
    while len(content) < length:
        part = line.recv(length - len(content))
        if not part:
            raise _GoneError
        content += part
    return bytes(content)
