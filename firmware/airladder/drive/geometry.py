"""How large a FAT volume must be for given files, and in which clusters; and the partition table before it.

Conventions
-----------
Sectors of 512 bytes. Sources: Microsoft, "FAT: General Overview of On-Disk Format" 1.03 (2000), which ECMA-107 agrees
with for FAT16: the count of clusters alone makes a volume FAT16 (4085 to 65524) or FAT32; sizes close to these bounds
are avoided, as it advises. The partition table as in ECMA's and every vendor's common practice.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable
from dataclasses import dataclass

SECTOR = 512
MIB = 1024 * 1024
BEFORE = MIB
"""Bytes before the volume: its partition begins at 1 MiB, as partitioning programs do today (common practice)."""

_LEAST_16, _MOST_16 = 4085 + 16, 65524 - 16
_LARGEST_16 = 512 * MIB  # above, clusters would have to be of 16 KiB; FAT32 wastes less
_STEP = 4 * MIB  # sizes are rounded up to this, so that a day more seldom makes another geometry
_ROOT_ENTRIES = 512
_SLOT = 32


@dataclass(frozen=True)
class Geometry:
    """A volume: `fat` 16 or 32, `cluster` in bytes, `size` of the volume in bytes, without what is before it."""

    fat: int
    cluster: int
    size: int


def geometry(files: Iterable[tuple[str, int]], least: int) -> Geometry:
    """The volume in which files fit, with a sixteenth and 2 MiB to spare.

    Parameters
    ----------
    files : path below the top, with slashes, and size in bytes, of every file
    least : the least size, bytes; 16 MiB at least, and whole MiB
    """
    listed = list(files)
    size = -(-max(least, 16 * MIB) // MIB) * MIB
    while True:
        form = _of_size(size)
        if _needed(listed, form.cluster) * 17 // 16 + 2 * MIB <= size - _overhead(form):
            return form
        size += _STEP


def _of_size(size: int) -> Geometry:
    if size > _LARGEST_16:
        return Geometry(32, 4096, size)
    cluster = 2048
    while size // cluster > _MOST_16:
        cluster *= 2
    assert size // cluster > _LEAST_16
    return Geometry(16, cluster, size)


def _overhead(form: Geometry) -> int:
    """Reserved sectors, two tables, the fixed root folder: bytes that hold no clusters."""
    return 64 * SECTOR + 2 * (form.size // form.cluster + 2) * form.fat // 8 + _ROOT_ENTRIES * _SLOT


def _needed(files: list[tuple[str, int]], cluster: int) -> int:
    slots: dict[str, int] = {"": 0}
    total = 0
    for path, size in files:
        total += -(-size // cluster) * cluster
        parts = path.split("/")
        for depth, name in enumerate(parts):
            folder = "/".join(parts[:depth])
            slots[folder] = slots.get(folder, 2) + 1 + -(-len(name) // 13)
    return total + sum(-(-count * _SLOT // cluster) * cluster for count in slots.values())


def partition_table(form: Geometry, mark: int) -> bytes:
    """The first sector of the drive: no boot code, one FAT partition that begins at `BEFORE`.

    Parameters
    ----------
    form : of the volume in the partition
    mark : the disk signature, by which Windows tells drives apart; 32 bits
    """
    kind = 0x0E if form.fat == 16 else 0x0C  # FAT16 and FAT32 by block address
    old_style = b"\xfe\xff\xff"  # cylinder, head, sector: "beyond", so that the block addresses count
    entry = struct.pack("<B3sB3sII", 0, old_style, kind, old_style, BEFORE // SECTOR, form.size // SECTOR)
    return struct.pack("<440sIH", b"", mark, 0) + entry + bytes(48) + b"\x55\xaa"
