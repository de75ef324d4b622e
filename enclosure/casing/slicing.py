"""What a slicer makes of a part: time, mass, how far the strands reach, what it would hold up from below.

PrusaSlicer is asked without a display. That it ends well proves nothing: a part that is larger than the bed is sliced
all the same when its place is given. So the strands themselves are looked at (casing/gcode.py).
"""

from __future__ import annotations

import ctypes
import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from shutil import which

from casing import gcode
from casing.figures import ENCLOSURE

SETTINGS = ENCLOSURE / "slicer.ini"
PROGRAM = "prusa-slicer"
SUPPORTS = ("--support-material", "--support-material-auto", "--support-material-threshold", "43", "--fill-density=0")
"""Slopes of 45 degrees fall to either side of a threshold of 45 by rounding, round ones of 44 too; 43 lets them be.
What is inside changes nothing below, and takes time."""
STRAND = 0.45
"""Breadth of a strand from a nozzle of 0.4 mm, mm: what a cube's middle lines lack of its size."""

_LIBC = ctypes.CDLL(None)
_ASK, NO_RANDOM_ADDRESSES = 0xFFFFFFFF, 0x0040000
"""Of Linux's personality(2): changes nothing and returns what is; ADDR_NO_RANDOMIZE."""


class SlicerFault(Exception):
    """The slicer is missing or gives up. Its text is one sentence for the maker."""


@dataclass(frozen=True)
class Sliced:
    """A part as it is printed.

    Attributes
    ----------
    seconds, grams : as the slicer reckons them
    size : of what is printed along x, y, z, mm
    layers : their number
    length : of all strands, mm
    supports : length of strands that would hold it up, mm, if supports were asked for
    """

    seconds: int
    grams: float
    size: tuple[float, float, float]
    layers: int
    length: float
    supports: float

    def outside(self, bed: list[float]) -> bool:
        """Whether it is larger than the bed, mm along x, y, z."""
        return any(given > limit for given, limit in zip(self.size, bed, strict=True))


@contextmanager
def one_order() -> Iterator[None]:
    """What is started in here runs on one core, without random addresses: the slicer works in the order in which its
    threads and addresses happen to be. Where a container forbids the latter, its times differ by seconds."""
    cores, was = os.sched_getaffinity(0), _LIBC.personality(_ASK)
    os.sched_setaffinity(0, {min(cores)})
    _LIBC.personality(was | NO_RANDOM_ADDRESSES)
    try:
        yield
    finally:
        os.sched_setaffinity(0, cores)
        _LIBC.personality(was)


def run(stl: Path, out: Path, *more: str) -> gcode.Strands:
    """What is printed for an STL file; SlicerFault where the slicer does not do it.

    Parameters
    ----------
    out : the G-code that is written
    more : further words for the slicer
    """
    program = which(PROGRAM)
    if program is None:
        raise SlicerFault(f"{PROGRAM} is not on this computer; get it by: sh enclosure/setup")
    out.unlink(missing_ok=True)
    words = [program, "--export-gcode", "--load", str(SETTINGS), "--dont-arrange", "--center", "60,60", *more]
    words += ["--output", str(out), str(stl)]
    with one_order():
        done = subprocess.run(words, capture_output=True, text=True, check=False)
    if done.returncode or not out.is_file():
        last = (done.stderr or done.stdout).strip().splitlines()[-1:]
        raise SlicerFault(
            f"{PROGRAM} gave up on {stl.name} (exit code {done.returncode}): {' '.join(last) or 'no word'}"
        )
    try:
        with out.open(encoding="utf-8", errors="replace") as lines:
            return gcode.read(lines)
    except gcode.GcodeFault as fault:
        raise SlicerFault(f"{PROGRAM} on {stl.name}: {fault}") from fault


def slice_part(stl: Path, folder: Path) -> Sliced:
    """Time, mass, size and wanted supports of a part in an STL file.

    Parameters
    ----------
    folder : where the G-code goes
    """
    plain = run(stl, folder / f"{stl.stem}.gcode")
    if not plain.seconds or not plain.grams:
        raise SlicerFault(f"{PROGRAM} says no time or no mass for {stl.name}; is it of a new version?")
    held = run(stl, folder / f"{stl.stem}-held.gcode", *SUPPORTS)
    x, y, _ = plain.size
    size = (x + STRAND, y + STRAND, plain.high[2])
    return Sliced(plain.seconds, plain.grams, size, plain.layers, sum(plain.length.values()), held.supports)
