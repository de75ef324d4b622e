"""The kernel's half of CUSE, for where there is no /dev/cuse: the same bytes go over a pair of sockets.

`Kernel.ioctl` stands for fcntl.ioctl: it reads and writes the memory of this process by address, as the kernel does,
and is as strict about what it is answered (fs/fuse/ioctl.c).
"""

from __future__ import annotations

import ctypes
import errno
import os
import socket
import struct
import threading
from typing import Any

from i2cbus import cuse
from i2cbus.cuse import IN_HEADER, INIT_IN, IOCTL_IN, IOCTL_OUT, OUT_HEADER, PIECE, READ_IN, WRITE_OUT, Node

MOST_PIECES = 256
PAGE = 4096


class Kernel:
    """A kernel on which the node is served, by the code that serves the real one.

    Attributes
    ----------
    begun : what the node answered to INIT
    """

    def __init__(self, node: Node, name: str = "i2c-1") -> None:
        self._ours, self._theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        self._number = 0
        self._thread = threading.Thread(target=cuse.serve, args=(self._theirs.fileno(), node, name), daemon=True)
        self._thread.start()
        self.begun = self.ask(cuse.INIT, INIT_IN.pack(7, 38, 0, cuse.UNRESTRICTED_IOCTL))

    def close(self) -> None:
        """The device goes; whoever serves it sees the end."""
        self._ours.close()
        self._thread.join(10.0)
        self._theirs.close()
        if self._thread.is_alive():
            raise RuntimeError("the node is still served")

    def send(self, kind: int, body: bytes) -> int:
        """Send a request; its number."""
        self._number += 1
        header = IN_HEADER.pack(IN_HEADER.size + len(body), kind, self._number, 0, 0, 0, 0, 0, 0)
        self._ours.send(header + body)
        return self._number

    def ask(self, kind: int, body: bytes) -> bytes:
        """Send a request and take its answer.

        Raises
        ------
        OSError : the error in it.
        """
        number = self.send(kind, body)
        reply = self._ours.recv(cuse.MOST + PAGE)
        length, error, answered = OUT_HEADER.unpack_from(reply)
        if (length, answered) != (len(reply), number):
            raise RuntimeError(f"an answer of {length} bytes to request {answered}")
        if error:
            raise OSError(-error, os.strerror(-error))
        return reply[OUT_HEADER.size :]

    def open(self) -> int:
        """open(2): a number for it."""
        return int(struct.unpack_from("=Q", self.ask(cuse.OPEN, bytes(8)))[0])

    def release(self, file: int) -> None:
        """The last close(2)."""
        self.ask(cuse.RELEASE, cuse.RELEASE_IN.pack(file, 0, 0, 0))

    def read(self, file: int, count: int) -> bytes:
        """read(2)."""
        return self.ask(cuse.READ, READ_IN.pack(file, 0, count, 0, 0, 0, 0))

    def write(self, file: int, data: bytes) -> int:
        """write(2)."""
        answer = self.ask(cuse.WRITE, READ_IN.pack(file, 0, len(data), 0, 0, 0, 0) + data)
        return int(WRITE_OUT.unpack(answer)[0])

    def ioctl(self, file: int, request: int, argument: Any, flags: int = cuse.UNRESTRICTED) -> int:
        """ioctl(2) with a number or a ctypes structure."""
        place = argument if isinstance(argument, int) else ctypes.addressof(argument)
        take: list[tuple[int, int]] = []
        give: list[tuple[int, int]] = []
        while True:
            taken = b"".join(ctypes.string_at(base, length) for base, length in take)
            room = sum(length for _, length in give)
            if max(len(taken), room) > cuse.MOST:
                raise OSError(errno.ENOMEM, "more than a request holds")
            head = IOCTL_IN.pack(file, flags, request, place, len(taken), room)
            answer = self.ask(cuse.IOCTL, head + taken)
            result, marks, takes, gives = IOCTL_OUT.unpack_from(answer)
            data = answer[IOCTL_OUT.size :]
            if not marks & cuse.RETRY:
                break
            pieces = [*PIECE.iter_unpack(data)]
            if takes + gives != len(pieces) or len(pieces) > MOST_PIECES:
                raise OSError(errno.EIO, "pieces that were not told right")
            take, give = pieces[:takes], pieces[takes:]
        if len(data) > room:
            raise OSError(errno.EIO, "more than there is room for")
        for base, length in give:
            ctypes.memmove(base, data[:length], min(length, len(data)))
            data = data[length:]
        return int(result)
