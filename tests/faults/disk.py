"""What a disk may hold after its power was cut at any moment of a trace.

Conventions
-----------
What was flushed is there. Of all that came after the last flush of a file, each part of each write that lies in one
sector of 512 bytes is there or not or is noise, by itself and in any order: writes are dropped, torn and swapped. A
length may be the old or the new one; where a file has grown and nothing arrived there are zeros or noise. An entry of
a folder that was not flushed is as it was or as it became, each name by itself. A flush that fails loses any part of
what was under way for good: no later flush brings it (so it is on Linux: Rebello et al., "Can Applications Recover
from fsync Failures?", USENIX ATC 2020).

What SQLite takes for granted, and we with it (SQLite documentation, "Atomic Commit In SQLite", section 2, "Hardware
Assumptions", and "Powersafe Overwrite"): a flush is honoured, and bytes beside those that are written do not change.
`obeys=False` is a disk that lies about its flushes: with it tries must be lost, or these tests see nothing.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import NamedTuple

from faults.vfs import Deed, What

SECTOR = 512


class Write(NamedTuple):
    """Bytes on their way to the disk."""

    place: int
    data: bytes


class Cut(NamedTuple):
    """A new length on its way to the disk."""

    length: int


class _File:
    """One file, whatever its name: what is safe, and what is under way."""

    def __init__(self, safe: bytes = b"") -> None:
        self.safe = bytearray(safe)
        self.under_way: list[Write | Cut] = []

    def flush(self) -> None:
        self.safe = bytearray(self.as_seen())
        self.under_way.clear()

    def as_seen(self) -> bytes:
        content = bytearray(self.safe)
        for deed in self.under_way:
            _apply(content, deed)
        return bytes(content)

    def fail(self, chance: random.Random) -> None:
        self.safe = bytearray(self.after_a_cut(chance))
        self.under_way.clear()

    def after_a_cut(self, chance: random.Random) -> bytes:
        """What may be there. Nothing, all, or any share of what was under way arrived."""
        if not self.under_way:
            return bytes(self.safe)
        share = chance.choice((0.0, 1.0, chance.random()))
        ruined = chance.choice((0.0, 0.0, 0.1))
        arrived = [
            _ruined(part, chance) if chance.random() < ruined else part
            for deed in self.under_way
            for part in _parts(deed)
            if chance.random() < share
        ]
        chance.shuffle(arrived)
        content = bytearray(self.safe)
        if arrived and chance.random() < 0.5:
            grown = max((part.place + len(part.data) for part in arrived if isinstance(part, Write)), default=0)
            content += chance.randbytes(max(0, grown - len(content)))
        for part in arrived:
            _apply(content, part)
        return bytes(content)


class Disk:
    """One folder on a disk, led through a trace deed by deed.

    Parameters
    ----------
    holds : what is safe on it at first: the bytes of each file by its name
    chance : decides what arrives
    obeys : whether it flushes when it is told to
    """

    def __init__(self, holds: Mapping[str, bytes], chance: random.Random, *, obeys: bool = True) -> None:
        self._chance, self._obeys = chance, obeys
        self._files = [_File(content) for content in holds.values()]
        self._safe_names: dict[str, int | None] = {name: index for index, name in enumerate(holds)}
        self._names_under_way: list[tuple[str, int | None]] = []
        self._opened: dict[int, _File] = {}

    def do(self, deed: Deed) -> None:
        """Let one deed of the trace happen."""
        match deed.what:
            case What.OPEN:
                self._open(deed)
            case What.WRITE:
                self._opened[deed.file].under_way.append(Write(deed.place, deed.data))
            case What.TRUNCATE:
                self._opened[deed.file].under_way.append(Cut(deed.place))
            case What.SYNC if deed.place < 0:
                self._opened[deed.file].fail(self._chance)
            case What.SYNC if self._obeys:
                self._opened[deed.file].flush()
                self._flush_names(deed.place)
            case What.DELETE:
                self._names_under_way.append((_name(deed), None))
                self._flush_names(deed.place)

    def after_a_cut(self) -> dict[str, bytes]:
        """The files that may be there when the power is cut now, by name."""
        names = dict(self._safe_names)
        for name in dict.fromkeys(name for name, _ in self._names_under_way):
            became = [file for other, file in self._names_under_way if other == name]
            names[name] = self._chance.choice((names.get(name), *became))
        return {name: self._files[file].after_a_cut(self._chance) for name, file in names.items() if file is not None}

    def without_a_cut(self) -> dict[str, bytes]:
        """The files as the running system sees them, by name, as long as no flush has failed."""
        names = self._safe_names | dict(self._names_under_way)
        return {name: self._files[file].as_seen() for name, file in names.items() if file is not None}

    def _open(self, deed: Deed) -> None:
        name = _name(deed)
        file = (self._safe_names | dict(self._names_under_way)).get(name)
        assert (file is not None) == bool(deed.place), f"the trace and the disk do not agree about {name}"
        if file is None:
            self._files.append(_File())
            file = len(self._files) - 1
            self._names_under_way.append((name, file))
        self._opened[deed.file] = self._files[file]

    def _flush_names(self, told: int) -> None:
        if told and self._obeys:
            self._safe_names |= dict(self._names_under_way)
            self._names_under_way.clear()


def written(states: Mapping[str, bytes], folder: Path) -> None:
    """Make `folder` hold these files and no others."""
    for old in folder.iterdir():
        old.unlink()
    for name, content in states.items():
        (folder / name).write_bytes(content)


def held(folder: Path, names: Iterable[str]) -> dict[str, bytes]:
    """The bytes of those of these files that are there, by name."""
    return {name: (folder / name).read_bytes() for name in names if (folder / name).exists()}


def _parts(deed: Write | Cut) -> list[Write | Cut]:
    """A write taken apart where sectors meet."""
    if isinstance(deed, Cut):
        return [deed]
    bounds = [deed.place, *range((deed.place // SECTOR + 1) * SECTOR, deed.place + len(deed.data), SECTOR)]
    ends = [*bounds[1:], deed.place + len(deed.data)]
    return [
        Write(start, deed.data[start - deed.place : end - deed.place])
        for start, end in zip(bounds, ends, strict=True)
    ]


def _ruined(part: Write | Cut, chance: random.Random) -> Write | Cut:
    return Write(part.place, chance.randbytes(len(part.data))) if isinstance(part, Write) else part


def _apply(content: bytearray, deed: Write | Cut) -> None:
    if isinstance(deed, Cut):
        content[deed.length :] = bytes(max(0, deed.length - len(content)))
        return
    content += bytes(max(0, deed.place - len(content)))
    content[deed.place : deed.place + len(deed.data)] = deed.data


def _name(deed: Deed) -> str:
    return Path(deed.data.decode()).name
