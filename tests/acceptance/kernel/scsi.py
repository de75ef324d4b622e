"""SCSI commands past all that the computer's kernel would keep from a drive: Linux's SG_IO.

Sources: the kernel's include/uapi/scsi/sg.h for the header; the commands are of T10's SBC-2
(write, start and stop), the answers of its SPC-3; by its tables, from memory.
"""

from __future__ import annotations

import ctypes
import os
from fcntl import ioctl
from pathlib import Path

SG_IO = 0x2285
SECTOR = 512

DATA_PROTECT = (0x07, 0x27)
REMOVAL_PREVENTED = (0x05, 0x53)
GOOD = (0x00, 0x00)
"""Answers: the sense key, and the additional sense code."""

_NONE, _TO = -1, -2


class _Header(ctypes.Structure):
    _fields_ = [
        ("interface_id", ctypes.c_int),
        ("direction", ctypes.c_int),
        ("command_size", ctypes.c_ubyte),
        ("sense_size", ctypes.c_ubyte),
        ("pieces", ctypes.c_ushort),
        ("size", ctypes.c_uint),
        ("data", ctypes.c_void_p),
        ("command", ctypes.c_void_p),
        ("sense", ctypes.c_void_p),
        ("timeout_ms", ctypes.c_uint),
        ("flags", ctypes.c_uint),
        ("number", ctypes.c_int),
        ("user", ctypes.c_void_p),
        ("status", ctypes.c_ubyte),
        ("masked_status", ctypes.c_ubyte),
        ("message_status", ctypes.c_ubyte),
        ("sense_written", ctypes.c_ubyte),
        ("host_status", ctypes.c_ushort),
        ("driver_status", ctypes.c_ushort),
        ("left", ctypes.c_int),
        ("took_ms", ctypes.c_uint),
        ("info", ctypes.c_uint),
    ]


def _ask(disk: Path, command: bytes, data: bytes = b"") -> tuple[int, int]:
    words = ctypes.create_string_buffer(command, len(command))
    block = ctypes.create_string_buffer(data, max(1, len(data)))
    sense = ctypes.create_string_buffer(32)
    header = _Header(
        interface_id=ord("S"),
        direction=_TO if data else _NONE,
        command_size=len(command),
        sense_size=len(sense),
        size=len(data),
        data=ctypes.addressof(block),
        command=ctypes.addressof(words),
        sense=ctypes.addressof(sense),
        timeout_ms=10_000,
    )
    handle = os.open(disk, os.O_RDONLY | os.O_NONBLOCK)
    try:
        ioctl(handle, SG_IO, header)
    finally:
        os.close(handle)
    return (sense.raw[2] & 0x0F, sense.raw[12]) if header.sense_written else GOOD


def write(disk: Path, sector: int, data: bytes) -> tuple[int, int]:
    """WRITE(10) of whole sectors."""
    command = bytes([0x2A, 0]) + sector.to_bytes(4, "big") + bytes([0, 0, len(data) // SECTOR, 0])
    return _ask(disk, command, data)


def eject(disk: Path) -> tuple[int, int]:
    """START STOP UNIT: out with the medium."""
    return _ask(disk, bytes([0x1B, 0, 0, 0, 2, 0]))
