"""The entries of a FAT folder, out of 32-byte slots that anybody may have written.

Source: Microsoft, "FAT: General Overview of On-Disk Format" 1.03 (2000): slots, long names and their checksum, dates.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

SLOT = 32
_LONG, _FOLDER, _LABEL = 0x0F, 0x10, 0x08
_LAST_PART, _MOST_PARTS, _PART = 0x40, 20, 13
_CODE_PAGE = "cp850"


@dataclass(frozen=True)
class Entry:
    """A file or a folder as its slot has it; nothing of it is to be trusted.

    Attributes
    ----------
    name : as written, of any characters at all
    is_folder : whether it says so
    first : its first cluster
    size : what it says it has, bytes
    times : when it was made and written, by the computer's own wall clock; only those that are dates
    """

    name: str
    is_folder: bool
    first: int
    size: int
    times: tuple[datetime, ...]


def entries(slots: Iterable[bytes]) -> Iterator[Entry]:
    """The files and folders; what is deleted, a label, or the folder itself and the one above is left out."""
    long = _LongName()
    for slot in slots:
        if slot[0] == 0x00:
            return
        kind = slot[11]
        if slot[0] == 0xE5:
            long = _LongName()
        elif kind & 0x3F == _LONG:
            long.add(slot)
        else:
            name = long.told(slot[:11]) or _short(slot)
            long = _LongName()
            if not kind & _LABEL and name not in (".", ".."):
                yield _entry(slot, name)


def _entry(slot: bytes, name: str) -> Entry:
    # made: tenths, time, day; looked at: day; first, upper half; written: time, day; first, lower half; size
    _, made, day_made, _, high, written, day_written, low, size = struct.unpack("<BHHHHHHHI", slot[13:])
    times = (moment(day_made, made), moment(day_written, written))
    return Entry(name, bool(slot[11] & _FOLDER), high << 16 | low, size, tuple(t for t in times if t is not None))


def moment(day: int, time: int) -> datetime | None:
    """A date and a time of FAT, 16 bits each, as wall clock; None where that is none."""
    try:
        return datetime(
            1980 + (day >> 9), day >> 5 & 15, day & 31, time >> 11, time >> 5 & 63, min((time & 31) * 2, 59)
        )
    except ValueError:
        return None


def _short(slot: bytes) -> str:
    raw = b"\xe5" + slot[1:11] if slot[0] == 0x05 else slot[:11]
    base, kind = (part.decode(_CODE_PAGE).rstrip(" ") for part in (raw[:8], raw[8:]))
    lower = slot[12]  # Windows and Linux: 8 the name, 16 what is behind the dot, is in small letters
    base, kind = base.lower() if lower & 8 else base, kind.lower() if lower & 16 else kind
    return f"{base}.{kind}" if kind else base


class _LongName:
    """The slots of one long name, which stand before the file's own, the last part first."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []
        self._next = 0
        self._check = -1

    def add(self, slot: bytes) -> None:
        """One more part; one out of order spoils the name."""
        number = slot[0] & 0x3F
        if slot[0] & _LAST_PART:
            self._parts, self._next, self._check = [], number, slot[13]
        if not self._parts and not slot[0] & _LAST_PART:
            self._next = 0
        fits = 0 < number <= _MOST_PARTS and number == self._next and slot[13] == self._check
        if not fits:
            self._parts, self._next = [], 0
            return
        self._parts.insert(0, slot[1:11] + slot[14:26] + slot[28:32])
        self._next = number - 1

    def told(self, short: bytes) -> str | None:
        """The name, if all its parts were there and belong to the file called `short`."""
        if not self._parts or self._next or self._check != checksum(short):
            return None
        text = b"".join(self._parts).decode("utf-16-le", "replace")
        return text.split("\0", 1)[0]


def checksum(short: bytes) -> int:
    """Of a short name of 11 bytes, by which a long one belongs to it."""
    total = 0
    for byte in short:
        total = ((total & 1) << 7 | total >> 1) + byte & 0xFF
    return total
