"""Character devices in user space: the kernel's CUSE, spoken to on /dev/cuse with nothing but Python.

The kernel sends a request, and wants an answer of the same number. An ioctl is asked for several times: at first with
nothing but its number and argument; the answer says which pieces of the caller's memory are wanted, and it is asked
for again with these, and so on, until the answer is the result (`Again`, `Done`).

Sources: the kernel's include/uapi/linux/fuse.h (structures, numbers, version 7.31), fs/fuse/cuse.c (the beginning),
fs/fuse/ioctl.c (its long comment on retries).
"""

from __future__ import annotations

import errno
import os
import struct
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

CUSE = "/dev/cuse"
IN_HEADER, OUT_HEADER = struct.Struct("=IIQQIIIHH"), struct.Struct("=IiQ")
INIT_IN, INIT_OUT = struct.Struct("=4I"), struct.Struct("=8I40x")
OPEN_OUT, WRITE_OUT = struct.Struct("=QII"), struct.Struct("=II")
READ_IN = WRITE_IN = struct.Struct("=QQIIQII")
IOCTL_IN, IOCTL_OUT, PIECE = struct.Struct("=QIIQII"), struct.Struct("=iIII"), struct.Struct("=QQ")
RELEASE_IN = struct.Struct("=QIIQ")

FORGET, OPEN, READ, WRITE, RELEASE, INTERRUPT, DESTROY, IOCTL, INIT = 2, 14, 15, 16, 18, 36, 38, 39, 4096
UNRESTRICTED_IOCTL = 1  # of INIT
COMPAT, UNRESTRICTED, RETRY = 1, 2, 4  # of IOCTL
VERSION = (7, 31)
MOST = 1 << 17
"""The most bytes that the kernel sends or wants with one request, beside its headers."""

_THREADS = 4


@dataclass(frozen=True)
class Again:
    """More of the caller's memory is wanted: pieces (address, length) to `take` from it and to `give` back into."""

    take: tuple[tuple[int, int], ...] = ()
    give: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class Done:
    """What an ioctl returns, and what is put into the pieces to give, one after another."""

    result: int = 0
    data: bytes = b""


class Node(Protocol):
    """What the device does. Each may raise OSError, whose number the caller gets; they come from several threads."""

    def opened(self) -> int:
        """Somebody opens it: a number for that."""

    def closed(self, file: int) -> None:
        """What was opened as `file` is closed."""

    def read(self, file: int, count: int) -> bytes:
        """read(2)."""

    def write(self, file: int, data: bytes) -> None:
        """write(2)."""

    def ioctl(self, file: int, request: int, argument: int, taken: bytes, room: int) -> Again | Done:
        """ioctl(2), with what was taken of the caller's memory so far and the room there is to give."""


def answer(node: Node, name: str, message: bytes) -> bytes | None:
    """The answer to one request of the kernel; None to those that want none.

    Parameters
    ----------
    node : the device
    name : of its file in /dev
    message : the request
    """
    _, kind, number, *_ = IN_HEADER.unpack_from(message)
    if kind in (FORGET, INTERRUPT, DESTROY):
        return None
    try:
        body = _answered(node, name, kind, message[IN_HEADER.size :])
    except OSError as error:
        return OUT_HEADER.pack(OUT_HEADER.size, -(error.errno or errno.EIO), number)
    return OUT_HEADER.pack(OUT_HEADER.size + len(body), 0, number) + body


def _answered(node: Node, name: str, kind: int, body: bytes) -> bytes:
    match kind:
        case _ if kind == INIT:
            return _begun(name, body)
        case _ if kind == OPEN:
            return OPEN_OUT.pack(node.opened(), 0, 0)
        case _ if kind == RELEASE:
            node.closed(RELEASE_IN.unpack_from(body)[0])
            return b""
        case _ if kind == READ:
            file, _, count, *_ = READ_IN.unpack_from(body)
            return node.read(file, count)
        case _ if kind == WRITE:
            file, _, count, *_ = WRITE_IN.unpack_from(body)
            node.write(file, body[WRITE_IN.size :][:count])
            return WRITE_OUT.pack(count, 0)
        case _ if kind == IOCTL:
            return _ioctl(node, body)
    raise OSError(errno.ENOSYS, f"request {kind} is not for such a device")


def _begun(name: str, body: bytes) -> bytes:
    major, _, _, flags = INIT_IN.unpack_from(body)
    if major != VERSION[0] or not flags & UNRESTRICTED_IOCTL:
        raise OSError(errno.EPROTO, f"a kernel that speaks version {major}, with flags {flags:#x}")
    return INIT_OUT.pack(*VERSION, 0, UNRESTRICTED_IOCTL, MOST, MOST, 0, 0) + f"DEVNAME={name}\0".encode("ascii")


def _ioctl(node: Node, body: bytes) -> bytes:
    file, flags, request, argument, taken, room = IOCTL_IN.unpack_from(body)
    if flags & COMPAT:
        raise OSError(errno.ENOTTY, "a caller of 32 bits")
    wanted = node.ioctl(file, request, argument, body[IOCTL_IN.size :][:taken], room)
    if isinstance(wanted, Done):
        return IOCTL_OUT.pack(wanted.result, 0, 0, 0) + wanted.data
    pieces = b"".join(PIECE.pack(*piece) for piece in (*wanted.take, *wanted.give))
    return IOCTL_OUT.pack(0, RETRY, len(wanted.take), len(wanted.give)) + pieces


def serve(channel: int, node: Node, name: str) -> None:
    """Answer the requests that come on the channel, until there are no more; several may come, one a thread."""
    room = bytearray(MOST + 8192)
    while True:
        try:
            count = os.readv(channel, [room])
        except OSError as error:
            if error.errno in (errno.ENOENT, errno.EINTR):  # a request that was taken back
                continue
            if error.errno == errno.ENODEV:  # the device was taken away
                return
            raise
        if not count:
            return
        reply = answer(node, name, bytes(room[:count]))
        if reply is not None:
            _send(channel, reply)


def _send(channel: int, reply: bytes) -> None:
    try:
        os.write(channel, reply)
    except OSError as error:
        if error.errno != errno.ENOENT:  # whoever asked is gone
            raise


def make(node: Node, name: str, path: str = CUSE, open_channel: Callable[[str, int], int] = os.open) -> None:
    """Make /dev/`name` and serve it with a few threads, until the process ends: with it the device goes.

    Raises
    ------
    OSError : when there is no /dev/cuse (kernel module cuse) or it may not be used.
    """
    channel = open_channel(path, os.O_RDWR)
    helpers = [threading.Thread(target=serve, args=(channel, node, name), daemon=True) for _ in range(_THREADS - 1)]
    for helper in helpers:
        helper.start()
    serve(channel, node, name)
