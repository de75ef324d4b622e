"""Spoils FAT images by hand, byte by byte, and asks mtools and fsck.vfat what they make of an image.

Knows FAT16 behind a partition table at 1 MiB, as mkfs.vfat lays it out; says nothing about how the program does it.
"""

from __future__ import annotations

import os
import struct
import subprocess
from dataclasses import dataclass
from pathlib import Path

START = 1024 * 1024
TOOLS = {**os.environ, "TZ": "UTC", "LC_ALL": "C.UTF-8", "MTOOLS_SKIP_CHECK": "1", "MTOOLSRC": "/dev/null"}


def mtools(*words: str, image: Path) -> bytes:
    """The output of an mtools command on the volume of `image`."""
    name, *rest = words
    call = [name, "-i", f"{image}@@{START}", *rest]
    return subprocess.run(call, env=TOOLS, check=True, capture_output=True, stdin=subprocess.DEVNULL).stdout


def fsck(image: Path) -> subprocess.CompletedProcess[str]:
    """What fsck.vfat says of the volume in `image`; it looks at a copy without the partition table."""
    volume = image.with_name("volume.only")
    volume.write_bytes(image.read_bytes()[START:])
    return subprocess.run(
        ["fsck.vfat", "-n", str(volume)],
        env={**TOOLS, "PATH": f"{TOOLS['PATH']}:/usr/sbin"},
        check=False,
        capture_output=True,
        text=True,
    )


@dataclass
class Patch:
    """An image in memory, to be spoilt."""

    data: bytearray

    @classmethod
    def of(cls, image: Path) -> Patch:
        """The image at a path."""
        return cls(bytearray(image.read_bytes()))

    def save(self, image: Path) -> Path:
        """Write it to a path."""
        image.write_bytes(self.data.rstrip(b"\0"))
        with image.open("r+b") as file:
            file.truncate(len(self.data))  # the rest is zeros, and costs nothing
        return image

    def field(self, form: str, at: int) -> int:
        """A number of the boot sector."""
        return int(struct.unpack_from(form, self.data, START + at)[0])

    def set_field(self, form: str, at: int, value: int) -> None:
        """Set a number of the boot sector."""
        struct.pack_into(form, self.data, START + at, value)

    @property
    def table(self) -> int:
        """Where the first allocation table begins."""
        return START + self.field("<H", 14) * 512

    @property
    def root(self) -> int:
        """Where the root folder begins."""
        return self.table + 2 * self.field("<H", 22) * 512

    @property
    def heap(self) -> int:
        """Where cluster 2 begins."""
        return self.root + self.field("<H", 17) * 32

    @property
    def cluster(self) -> int:
        """Of a cluster, bytes."""
        return self.field("<B", 13) * 512

    def place(self, number: int) -> int:
        """Where a cluster begins."""
        return self.heap + (number - 2) * self.cluster

    def slot(self, short: str) -> int:
        """Where the slot with this short name, as it stands there, begins."""
        at = self.data.find(short.encode("cp850"), self.root)
        assert at > 0
        assert (at - self.root) % 32 == 0
        return at

    def first(self, short: str) -> int:
        """The first cluster of a file."""
        return int(struct.unpack_from("<H", self.data, self.slot(short) + 26)[0])

    def set_first(self, short: str, number: int) -> None:
        """Make a file begin at another cluster."""
        struct.pack_into("<H", self.data, self.slot(short) + 26, number)

    def set_size(self, short: str, size: int) -> None:
        """Make a file say another size."""
        struct.pack_into("<I", self.data, self.slot(short) + 28, size)

    def set_next(self, number: int, to: int) -> None:
        """Make a cluster lead to another, in the first table."""
        struct.pack_into("<H", self.data, self.table + 2 * number, to)

    def rename(self, short: str, long: str) -> None:
        """Set another long name into the slots before a file, which must have room for it: 13 characters each."""
        at = self.slot(short)
        units = long.encode("utf-16-le", "surrogatepass")
        parts = 0
        while self.data[at - 32 * (parts + 1) + 11] == 0x0F:
            parts += 1
        assert len(units) <= parts * 26
        units += b"\0\0" if len(units) < parts * 26 else b""
        units = units.ljust(parts * 26, b"\xff")
        for part in range(parts):
            piece, where = units[26 * part : 26 * part + 26], at - 32 * (part + 1)
            self.data[where + 1 : where + 11] = piece[:10]
            self.data[where + 14 : where + 26] = piece[10:22]
            self.data[where + 28 : where + 32] = piece[22:]
