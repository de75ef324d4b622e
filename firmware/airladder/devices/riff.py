"""How long a WAV file says that it is.

libsndfile quietly shortens the promise of a WAV file to what is there; so its header is read here once more.

Forms
-----
RIFF and RIFX: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0 (1991).
RF64: EBU Tech 3306, where the true size stands in a chunk of its own, `ds64`.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

_ORDER = {b"RIFF": "<", b"RIFX": ">", b"RF64": "<"}
_PLAIN = (1, 3, 0xFFFE)  # PCM, float, and either with a mask of channels: one sample each, no packed blocks
_UNKNOWN = (0x7FFF_FFFF, 0xFFFF_FFFF)  # near these: the writer could not go back to fill in the size
_NEAR = 4096


def promised_frames(path: Path) -> int | None:
    """Frames that the header of a WAV file promises; None when it is no WAV file or does not say.

    Parameters
    ----------
    path : of any file that can be read
    """
    with path.open("rb") as file:
        order = _ORDER.get(file.read(4))
        if order is None:
            return None
        file.seek(12)
        return _frames(file, order)


def _frames(file: BinaryIO, order: str) -> int | None:
    width, long_size = 0, None
    for name, size in _chunks(file, order):
        if name == b"fmt " and size >= 16:
            form, width = struct.unpack(f"{order}H10xH", file.read(14))
            width = width if form in _PLAIN else 0
        elif name == b"ds64" and size >= 16:
            (long_size,) = struct.unpack(f"{order}8xQ", file.read(16))
        elif name == b"data" and width:
            size = size if long_size is None else long_size
            return None if any(0 <= mark - size < _NEAR for mark in _UNKNOWN) else size // width
    return None


def _chunks(file: BinaryIO, order: str) -> Iterator[tuple[bytes, int]]:
    """Name and size of each chunk, the file standing at its contents."""
    while len(head := file.read(8)) == 8:
        name, size = struct.unpack(f"{order}4sI", head)
        start = file.tell()
        yield name, size
        file.seek(start + size + size % 2)
