"""The rows that can still be read from the pages of a damaged log, each page by itself.

SQLite follows the tree of a table from its root and stops at the first page that makes no sense; Debian's is built
without the part that its shell's ``.recover`` needs. Here no tree is followed and no page is needed but the row's.

Conventions
-----------
Layout: SQLite documentation, "Database File Format", sections 1.6 "B-tree Pages" and 2.1 "Record Format". What does
not fit the layout is passed over in silence.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from typing import NamedTuple

Value = int | float | str | bytes | None
PageOf = Callable[[int], bytes]
"""The newest version of a page by its number, from 1; empty where there is none."""

_TABLE_LEAF, _INDEX_LEAF, _INDEX_INTERIOR = 0x0D, 0x0A, 0x02
_HEAD_BYTES = {_TABLE_LEAF: 8, _INDEX_LEAF: 8, _INDEX_INTERIOR: 12}
_WHOLE_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}
_MOST_BYTES = 1 << 20
"""A row that claims to be longer than this is none of ours."""


class Leaf(NamedTuple):
    """One row as it lies in a page; `rowid` is None in an index, or in a table without row ids."""

    rowid: int | None
    values: tuple[Value, ...]


def rows_in(page: bytes, page_of: PageOf) -> Iterator[Leaf]:
    """All rows of one page. The first page of a file gives none: only the names of the tables are kept there."""
    kind = page[0] if len(page) > 12 else 0
    if kind not in _HEAD_BYTES:
        return
    (count,) = struct.unpack_from(">H", page, 3)
    begin = _HEAD_BYTES[kind]
    for place in range(begin, min(begin + 2 * count, len(page) - 1), 2):
        try:
            yield _row(page, struct.unpack_from(">H", page, place)[0], kind, page_of)
        except (_NoSense, struct.error, IndexError):
            continue


class _NoSense(Exception):
    """What lies here is no row."""


def _row(page: bytes, at: int, kind: int, page_of: PageOf) -> Leaf:
    if kind == _INDEX_INTERIOR:
        at += 4
    length, at = _varint(page, at)
    rowid = None
    if kind == _TABLE_LEAF:
        rowid, at = _varint(page, at)
    if not 0 < length <= _MOST_BYTES:
        raise _NoSense
    return Leaf(rowid, _values(_payload(page, at, length, kind, page_of)))


def _payload(page: bytes, at: int, length: int, kind: int, page_of: PageOf) -> bytes:
    usable = len(page)
    most = usable - 35 if kind == _TABLE_LEAF else (usable - 12) * 64 // 255 - 23
    if length <= most:
        if at + length > usable:
            raise _NoSense
        return page[at : at + length]
    least = (usable - 12) * 32 // 255 - 23
    here = least + (length - least) % (usable - 4)
    here = here if here <= most else least
    parts, (onward,) = [page[at : at + here]], struct.unpack_from(">I", page, at + here)
    left = length - here
    while left > 0:
        further = page_of(onward) if onward else b""
        if len(further) != usable:
            raise _NoSense
        (onward,) = struct.unpack_from(">I", further)
        parts.append(further[4 : 4 + min(left, usable - 4)])
        left -= usable - 4
    return b"".join(parts)


def _values(payload: bytes) -> tuple[Value, ...]:
    end, at = _varint(payload, 0)
    if not 0 < end <= len(payload):
        raise _NoSense
    kinds: list[int] = list(payload[at:end])
    if max(kinds, default=0) >= 0x80:  # some kind takes more than its one byte: a long text
        kinds.clear()
        while at < end:
            kind, at = _varint(payload, at)
            kinds.append(kind)
    at, values = end, list[Value]()
    for kind in kinds:
        value, at = _value(payload, at, kind)
        values.append(value)
    if at != len(payload):
        raise _NoSense
    return tuple(values)


def _value(payload: bytes, at: int, kind: int) -> tuple[Value, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    size = _WHOLE_BYTES.get(kind) or (8 if kind == 7 else (kind - 12) // 2)
    if kind in (10, 11) or size < 0 or at + size > len(payload):
        raise _NoSense
    content = payload[at : at + size]
    if kind < 7:
        return int.from_bytes(content, "big", signed=True), at + size
    if kind == 7:
        return struct.unpack(">d", content)[0], at + size
    return (content.decode("utf-8", "backslashreplace") if kind % 2 else content), at + size


def _varint(content: bytes, at: int) -> tuple[int, int]:
    if content[at] < 0x80:
        return content[at], at + 1
    value = 0
    for place in range(at, at + 8):
        byte = content[place]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, place + 1
    value = value << 8 | content[at + 8]
    return value - (1 << 64) if value >> 63 else value, at + 9
