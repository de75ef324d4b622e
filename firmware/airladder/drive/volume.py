"""Reads single small files out of a FAT image that a stranger may have made: bounded whatever stands in it.

Why a reader of our own for so common a form: mtools and fsck.vfat are made for volumes that are what they say, know
no bounds, and do not tell when a file was made; pyfatfs follows a chain of clusters that runs in a circle for ever,
and rests on PyFilesystem, which is no longer kept. This one looks into named folders at the top, follows at most as
many links as the bounds allow, holds no table in memory, and runs no C code over a stranger's bytes. The tests hold
it against what mtools reads.

Conventions
-----------
Source: as `slots`. Offsets in bytes from the beginning of the image. Nothing is ever written.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

from airladder.drive.slots import SLOT, Entry, entries
from airladder.faults import BadInput

MOST_SLOTS = 8192
"""Of one folder: a thousand files with long names; what stands behind them is not looked at."""

_SECTOR = 512
_KINDS = (0x01, 0x04, 0x06, 0x0B, 0x0C, 0x0E)  # of partitions with FAT
_WANTED = "wanted a FAT drive; let the box make it anew, or format it as FAT."


class Damaged(BadInput):
    """What stands in the image cannot be followed."""


@dataclass(frozen=True)
class _Shape:
    """Where what lies: bytes from the beginning of the image; `count` clusters of `cluster` bytes."""

    bits: int
    cluster: int
    count: int
    table: int
    root: int
    root_slots: int
    root_first: int
    data: int


class Volume:
    """A FAT volume, in the first FAT partition of an image or without a partition table.

    Parameters
    ----------
    file : the image, open for reading

    Raises
    ------
    Damaged : when there is no FAT volume to be found.
    """

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self._taken: set[int] = set()
        self._shape = self._found()

    def _found(self) -> _Shape:
        first = self._bytes(0, _SECTOR)
        if first[510:] == b"\x55\xaa":
            bare = _shape_of(first, 0)
            if bare is not None:
                return bare
            for place in range(446, 510, 16):
                kind, start = first[place + 4], int.from_bytes(first[place + 8 : place + 12], "little") * _SECTOR
                if kind in _KINDS and start:
                    shape = _shape_of(self._bytes(start, _SECTOR), start)
                    if shape is not None:
                        return shape
        raise Damaged(f"The drive is no FAT volume; {_WANTED}")

    def _bytes(self, start: int, count: int) -> bytes:
        self._file.seek(start)
        read = self._file.read(count)
        if len(read) != count:
            raise Damaged("The drive ends before what stands on it; copy the files again and eject it.")
        return read

    def top(self) -> Iterator[Entry]:
        """The files and folders at the top."""
        shape = self._shape
        if shape.bits == 32:
            return entries(self._slots(shape.root_first))
        count = min(shape.root_slots, MOST_SLOTS)
        return entries(self._bytes(shape.root + at * SLOT, SLOT) for at in range(count))

    def inside(self, folder: Entry) -> Iterator[Entry]:
        """The files and folders in one of those at the top."""
        return entries(self._slots(folder.first))

    def _slots(self, first: int) -> Iterator[bytes]:
        left = MOST_SLOTS
        seen: set[int] = set()
        for cluster in self._chain(first):
            if cluster in seen:
                raise Damaged("its clusters run in a circle; copy the files again and eject the drive.")
            seen.add(cluster)
            block = self._cluster(cluster)
            for at in range(0, len(block), SLOT):
                yield block[at : at + SLOT]
            left -= len(block) // SLOT
            if left <= 0:
                return

    def read(self, file: Entry) -> bytes:
        """The bytes of a file; whoever calls has looked at its size.

        Raises
        ------
        Damaged : when its clusters end too soon, run in a circle, or are another file's too.
        """
        content = bytearray()
        if not file.size:
            return b""
        for cluster in self._chain(file.first):
            if cluster in self._taken:
                raise Damaged("its clusters run in a circle or are another file's too; copy it again and eject.")
            self._taken.add(cluster)
            content += self._cluster(cluster)
            if len(content) >= file.size:
                return bytes(content[: file.size])
        raise Damaged("it ends before its size; copy it again and eject the drive.")

    def _cluster(self, number: int) -> bytes:
        return self._bytes(self._shape.data + (number - 2) * self._shape.cluster, self._shape.cluster)

    def _chain(self, first: int) -> Iterator[int]:
        """The clusters from `first` on; a circle goes on for ever, so that whoever asks must count."""
        ends = {12: 0xFF8, 16: 0xFFF8, 32: 0x0FFFFFF8}[self._shape.bits]
        number = first
        while number < ends:
            if not 2 <= number < self._shape.count + 2:
                raise Damaged("its clusters lead out of the drive; copy it again and eject the drive.")
            yield number
            number = self._after(number)

    def _after(self, number: int) -> int:
        table, bits = self._shape.table, self._shape.bits
        if bits == 12:
            pair = int.from_bytes(self._bytes(table + number * 3 // 2, 2), "little")
            return pair >> 4 if number & 1 else pair & 0xFFF
        width = bits // 8
        link = int.from_bytes(self._bytes(table + number * width, width), "little")
        return link & 0x0FFFFFFF


def _shape_of(sector: bytes, start: int) -> _Shape | None:
    """The volume that begins with this sector at `start`; None when its numbers cannot be true."""
    size, per_cluster, reserved, tables, slots, few, _, short_table = struct.unpack("<HBHBHHBH", sector[11:24])
    many, long_table, _, _, root_first = struct.unpack("<IIHHI", sector[32:48])
    true = size in (512, 1024, 2048, 4096) and per_cluster and not per_cluster & (per_cluster - 1)
    if not (true and reserved and tables in (1, 2) and sector[510:] == b"\x55\xaa"):
        return None
    table_sectors = short_table or long_table
    root = reserved + tables * table_sectors
    data = root + -(-slots * SLOT // size)
    count = ((few or many) - data) // per_cluster
    if count < 1 or not table_sectors:
        return None
    bits = 32 if not short_table else 12 if count < 4085 else 16
    cluster = size * per_cluster
    return _Shape(
        bits,
        cluster,
        count,
        start + reserved * size,
        start + root * size,
        slots,
        root_first if bits == 32 else 0,
        start + data * size,
    )
