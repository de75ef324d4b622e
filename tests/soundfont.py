"""The little of a SoundFont that the tests need: which keys a preset sounds, and at which keys it was recorded.

Conventions
-----------
Chunks, record sizes and generator numbers as in the SoundFont Technical Specification 2.04 (sections 4 to 8).
Bags, zones: a preset points to instruments, an instrument to samples; each level may narrow the range of keys.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

KEY_RANGE, INSTRUMENT, SAMPLE_ID, ROOT_KEY = 43, 41, 53, 58
"""Generator numbers (specification 8.1.2)."""

_RECORDS: dict[str, list[tuple[str, str]]] = {
    "phdr": [("name", "S20"), ("program", "<u2"), ("bank", "<u2"), ("bag", "<u2"), ("rest", "V12")],
    "pbag": [("gen", "<u2"), ("mod", "<u2")],
    "pgen": [("kind", "<u2"), ("low", "u1"), ("high", "u1")],
    "inst": [("name", "S20"), ("bag", "<u2")],
    "ibag": [("gen", "<u2"), ("mod", "<u2")],
    "igen": [("kind", "<u2"), ("low", "u1"), ("high", "u1")],
    "shdr": [("name", "S20"), ("rest", "V20"), ("root", "u1"), ("correction", "i1"), ("link", "V4")],
}

Records = npt.NDArray[np.void]


def tables(path: Path) -> dict[str, Records]:
    """The articulation tables (the ``pdta`` list) of the SoundFont at `path`, by chunk name."""
    with path.open("rb") as file:
        file.seek(12)
        while head := file.read(8):
            name, size = struct.unpack("<4sI", head)
            if name == b"LIST" and file.read(4) == b"pdta":
                return _parsed(file.read(size - 4))
            file.seek(size - (4 if name == b"LIST" else 0) + size % 2, 1)
    raise ValueError(f"{path} has no pdta list; wanted a SoundFont 2 file.")


@dataclass(frozen=True)
class Zone:
    """One recorded sample of a preset: the keys it sounds for, and the key at which it was recorded."""

    keys: range
    root: int


def zones(path: Path, program: int, bank: int = 0) -> list[Zone]:
    """Every sample of the preset, one or more for each key that sounds."""
    table = tables(path)
    headers = table["phdr"]
    here = int(np.flatnonzero((headers["program"] == program) & (headers["bank"] == bank))[0])
    found = []
    for outer in _zones(table["pbag"], table["pgen"], headers["bag"], here, INSTRUMENT):
        for inner in _zones(table["ibag"], table["igen"], table["inst"]["bag"], outer[INSTRUMENT][0], SAMPLE_ID):
            low, high = (pick(outer[KEY_RANGE][i], inner[KEY_RANGE][i]) for i, pick in enumerate((max, min)))
            recorded = int(table["shdr"]["root"][inner[SAMPLE_ID][0]])
            found.append(Zone(range(low, high + 1), inner.get(ROOT_KEY, (recorded, 0))[0]))
    return [zone for zone in found if zone.keys]


def _parsed(data: bytes) -> dict[str, Records]:
    found: dict[str, Records] = {}
    place = 0
    while place < len(data):
        name, size = struct.unpack_from("<4sI", data, place)
        if (kind := _RECORDS.get(name.decode())) is not None:
            found[name.decode()] = np.frombuffer(data, np.dtype(kind), size // np.dtype(kind).itemsize, place + 8)
        place += 8 + size
    return found


def _zones(
    bags: Records, generators: Records, first_bag: Records, owner: int, target: int
) -> Iterator[dict[int, tuple[int, int]]]:
    """The generators of each zone of `owner` that points to a `target`; its global zone, the first, gives defaults.

    A value is a pair of bytes, as key ranges are; of a number below 256 the first byte is the number.
    """
    default = {KEY_RANGE: (0, 127)}
    for bag in range(int(first_bag[owner]), int(first_bag[owner + 1])):
        listed = generators[int(bags["gen"][bag]) : int(bags["gen"][bag + 1])]
        zone = default | {int(g["kind"]): (int(g["low"]), int(g["high"])) for g in listed}
        if target in zone:
            yield zone | {target: (zone[target][0] + 256 * zone[target][1], 0)}
        else:
            default = zone
