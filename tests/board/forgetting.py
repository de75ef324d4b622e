"""A disk that keeps only what was flushed, and of all else whatever chance wants, when its power is cut.

Conventions
-----------
Places and lengths in bytes, whole sectors of 512. Reads see all that was written. At the cut each sector holds what
was last flushed, or what any write after that flush put there: writes are dropped, torn where sectors meet, and
swapped, each sector by itself. A write with FUA is on the disk by itself, and flushes no other. This is what Linux's
block layer allows a disk with a write cache (kernel documentation, "Explicit volatile write back cache control").

`Way.LIES` is a disk that answers a flush and does nothing: the negative control. `Way.KEEPS` loses nothing.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import NamedTuple

SECTOR = 512


class Way(Enum):
    """What a disk does to what was not flushed."""

    FORGETS = "forgets"
    KEEPS = "keeps"
    LIES = "lies"


class Write(NamedTuple):
    """Whole sectors on their way to the disk; those with `safe` are there."""

    place: int
    data: bytes
    safe: bool


@dataclass(frozen=True)
class Aftermath:
    """What became of the writes that were not flushed.

    Attributes
    ----------
    kept, dropped, torn : writes of which all sectors, none, some are on the disk now
    share : how likely each sector of theirs was to arrive
    """

    kept: int = 0
    dropped: int = 0
    torn: int = 0
    share: float = 1.0

    def __str__(self) -> str:
        return f"{self.dropped}/{self.torn}/{self.kept}"


class ForgettingDisk:
    """One disk, over an image file that always holds what is safe.

    Parameters
    ----------
    image : whole sectors; changed at every flush, and at the cut
    way : what becomes of what was not flushed
    """

    def __init__(self, image: Path, way: Way = Way.FORGETS) -> None:
        self._image, self._way = image, way
        self._seen = bytearray(image.read_bytes())
        self._under_way: list[Write] = []
        self.flushes = 0
        if len(self._seen) % SECTOR:
            raise ValueError(f"{image} has {len(self._seen)} bytes, which are no whole sectors.")

    @property
    def size(self) -> int:
        """In bytes."""
        return len(self._seen)

    def read(self, place: int, length: int) -> bytes:
        """What the running system sees."""
        return bytes(self._seen[place : place + length])

    def write(self, place: int, data: bytes, *, safe: bool = False) -> None:
        """Take whole sectors; `safe` (FUA) has them on the disk at once."""
        self._seen[place : place + len(data)] = data
        self._under_way.append(Write(place, data, safe and self._way is not Way.LIES))

    def flush(self) -> None:
        """Have all that was written on the disk, unless it is a disk that lies."""
        self.flushes += 1
        if self._way is not Way.LIES:
            self._arrive({})

    def cut(self, chance: random.Random) -> Aftermath:
        """The power goes: the image holds what is left, and the disk is seen to hold it too."""
        if self._way is Way.KEEPS:
            kept = len(self._under_way)
            self._arrive({})
            return Aftermath(kept=kept)
        # Nothing, anything in any order, or some share of it arrives.
        share = chance.choice((0.0, 1.0, chance.random(), chance.random()))
        winners: dict[int, int | None] = {}
        versions = _versions(self._under_way)
        for sector, numbers in versions.items():
            arrived = [number for number in numbers if self._under_way[number].safe or chance.random() < share]
            winners[sector] = chance.choice(arrived) if arrived else None
        told = _told(self._under_way, winners, share)
        self._arrive(winners)
        self._seen = bytearray(self._image.read_bytes())
        return told

    def _arrive(self, winners: dict[int, int | None]) -> None:
        """Bring what is under way to the image: all of it, in order, or where `winners` says so only those."""
        with self._image.open("r+b") as file:
            for number, write in enumerate(self._under_way):
                for start, data in _parts(write) if winners else [(write.place, write.data)]:
                    if not winners or winners[start] == number:
                        file.seek(start)
                        file.write(data)
        self._under_way.clear()


def _versions(writes: list[Write]) -> dict[int, list[int]]:
    """By the place of each sector: the writes that may be the last there. A safe one rules out those before it."""
    found: dict[int, list[int]] = {}
    for number, write in enumerate(writes):
        for start, _ in _parts(write):
            found[start] = [number] if write.safe else [*found.get(start, ()), number]
    return found


def _told(writes: list[Write], winners: dict[int, int | None], share: float) -> Aftermath:
    """Counts the writes that were not safe."""
    counts = {True: 0, False: 0, None: 0}
    for number, write in enumerate(writes):
        if not write.safe:
            there = [winners[start] == number for start, _ in _parts(write)]
            counts[None if any(there) != all(there) else all(there)] += 1
    return Aftermath(counts[True], counts[False], counts[None], share)


def _parts(write: Write) -> list[tuple[int, bytes]]:
    """A write taken apart into its sectors, as (place, bytes)."""
    return [(write.place + start, write.data[start : start + SECTOR]) for start in range(0, len(write.data), SECTOR)]
