"""The file in which SQLite lets the newest commits wait, read by ourselves: SQLite passes over all after a bad byte.

Conventions
-----------
Layout and checksums: SQLite documentation, "Database File Format", section 4, "The Write-Ahead Log". Each frame's
checksum goes on from the one before. A frame is held to be good here when its own follows from the one that stands
in the frame before it, so that one bad frame does not spoil those after it.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import BinaryIO

import numpy as np
import numpy.typing as npt

_HEAD = struct.Struct(">8I")
_FRAME = 24
_MAGIC = 0x377F0682
"""Of a file whose checksums are of little-endian words, as on every computer that runs this."""
_WORD = "<u4"

_AT_ONCE = 256
"""So many frames are read at once: what waits may be as long as the log itself."""

Words = npt.NDArray[np.uint32]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Waiting:
    """The pages that wait.

    Attributes
    ----------
    pages : number of a page -> where its newest good version begins in the file, bytes
    doubtful : (number, where) of the versions in frames whose checksum fails, oldest first
    page_bytes : how long a page is
    count : how many pages the log has with them; 0 where no good commit says so
    lost : whether SQLite would pass over commits that were on the disk
    """

    pages: dict[int, int]
    doubtful: tuple[tuple[int, int], ...]
    page_bytes: int
    count: int
    lost: bool


NOTHING = Waiting({}, (), 0, 0, False)


def beside(path: Path) -> Path:
    """Where the newest commits of the log at `path` wait."""
    return path.with_name(path.name + "-wal")


def waiting_at(path: Path) -> Waiting:
    """What waits beside the log at `path`; `NOTHING` where no such file is, or nothing in it can be made out.

    Raises
    ------
    OSError : when it cannot be read.
    """
    if not beside(path).exists():
        return NOTHING
    with beside(path).open("rb") as file:
        head = file.read(_HEAD.size)
        if len(head) < _HEAD.size:
            return NOTHING
        magic, _, size, _, *salts, first, second = _HEAD.unpack(head)
        if magic != _MAGIC or size not in {2**power for power in range(9, 17)}:
            size = 4096  # what every log of ours has
        begun = np.array([[first, second]], np.uint32)
        fields, follows = _frames(file, size, begun)
    if not len(fields):
        return NOTHING
    nothing_before = np.zeros((1, 2), np.uint32)
    whole_head = np.array_equal(_summed(np.frombuffer(head[:24], _WORD)[None], nothing_before), begun)
    salt = np.array(salts if whole_head else fields[0, 2:4], np.uint32)
    ours = (fields[:, 2:4] == salt).all(axis=1) & (fields[:, 0] > 0)
    return _weighed(fields, ours, ours & follows, size, whole_head)


def _frames(file: BinaryIO, size: int, before: Words) -> tuple[Words, Flags]:
    """The six fields of every frame, shape (n, 6), and whether its checksum follows from the frame before it."""
    fields, follows = [np.zeros((0, 6), np.uint32)], [np.zeros(0, np.bool_)]
    length = _FRAME + size
    while len(block := file.read(_AT_ONCE * length)) >= length:
        frames = np.frombuffer(block, np.uint8, len(block) // length * length).reshape(-1, length)
        fields.append(frames[:, :_FRAME].copy().view(">u4").astype(np.uint32))
        said = fields[-1][:, 4:6]
        words = np.hstack([frames[:, :8], frames[:, _FRAME:]]).view(_WORD)
        follows.append((_summed(words, np.concatenate([before, said[:-1]])) == said).all(axis=1))
        before = said[-1:]
    return np.concatenate(fields), np.concatenate(follows)


def _weighed(fields: Words, ours: Flags, good: Flags, size: int, head: bool) -> Waiting:
    commits = ours & (fields[:, 1] > 0)
    told = np.flatnonzero(commits & good)
    end = int(np.flatnonzero(commits)[-1]) + 1 if commits.any() else 0
    seen = int(np.argmin(good)) if not good.all() else len(good)  # as far as SQLite reads
    placed = [
        (int(fields[i, 0]), _HEAD.size + i * (_FRAME + size) + _FRAME, bool(good[i])) for i in range(end) if ours[i]
    ]
    return Waiting(
        pages={number: place for number, place, well in placed if well},
        doubtful=tuple((number, place) for number, place, well in placed if not well),
        page_bytes=size,
        count=int(fields[told[-1], 1]) if len(told) else 0,
        # The last transaction may have been under way when the power went: it was not told as kept, and is no loss.
        lost=int(commits[seen if head else 0 :].sum()) >= 2,
    )


def _summed(words: Words, before: Words) -> Words:
    """The checksums of rows of 32-bit words, gone on from the pairs of `before`: shape (rows, 2)."""
    own, on = _weights(words.shape[1] // 2)
    with np.errstate(over="ignore"):
        turned = np.stack([words.astype(np.uint32) @ weight for weight in own], axis=1)
        return np.asarray(turned + before @ on, np.uint32)


@cache
def _weights(pairs: int) -> tuple[Words, Words]:
    """What each word adds to either sum in the end, and what either sum of before does, modulo 2**32.

    The sums are ``s0 += x0 + s1; s1 += x1 + s0`` over the pairs of words: linear, so one product does it.
    """
    own = np.zeros((2, 2 * pairs), np.uint32)
    a, b, c, d = 1, 0, 0, 1  # the later steps, as a matrix
    for pair in reversed(range(pairs)):
        own[0, 2 * pair : 2 * pair + 2] = (a + b) % 2**32, b
        own[1, 2 * pair : 2 * pair + 2] = (c + d) % 2**32, d
        a, b, c, d = ((v % 2**32) for v in (a + b, a + 2 * b, c + d, c + 2 * d))
    return own, np.array([[a, c], [b, d]], np.uint32)
