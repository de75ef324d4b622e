"""Counts the arm64 instructions of hearing for a second of sound, under qemu-user: python -m bench.instructions.

They do not depend on the machine, nor on what else it does, and say nothing of caches and memory. It wants the
Debian packages qemu-user (not the static one), mmdebstrap and gcc; the arm64 side is Debian 13's own Python, numpy,
OpenBLAS, aubio and Pillow on the board's kind of processor, put in tests/.cache once. What starting takes falls out,
and what is made at the first note and kept: the same sound is run once, and twice over, and subtracted.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from airladder.hearing.block import HOP, HOP_SECONDS
from bench.clip import Clip
from bench.corpus import clips
from bench.store import CACHE
from bench.variants import pink

HERE = Path(__file__).parent
PACKAGES = "python3,python3-numpy,python3-aubio,libopenblas0-pthread,python3-pil,python3-cbor2"
ROOT = CACHE / f"arm64-{zlib.crc32(PACKAGES.encode()):08x}"
ALLOWED_MILLIONS = 90.0
MARK = 1_000_000_000
"""No file has such a number: closing it marks a place for `instructions.c`."""
_FIRMWARE = HERE.parents[1] / "firmware"
_HOPS = 450
_LIBRARIES = "/usr/lib/aarch64-linux-gnu"
_WORK = {
    "airladder": """
from airladder.hearing.ear import Ear
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
horn = HORNS[sys.argv[3]]
work = Ear(Series(horn, fingering_named(horn, sys.argv[4]))).feed
""",
    "aubio yinfast 2048": """
import aubio
tracker = aubio.pitch("yinfast", 2048, 256, 48000)
work = lambda block: tracker(block.samples)
""",
    "nothing": "work = lambda block: None\n",
}
_GUEST = """
import sys
import numpy
from airladder.hearing.block import Block
samples = numpy.load(sys.argv[1])
{prepare}
for hop in range(int(sys.argv[2])):
    work(Block(samples[hop * 256 : (hop + 1) * 256], hop, (hop + 1) / 187.5))
"""


def main() -> int:
    """Prints millions of instructions a second of sound; 1 where ours are too many, 2 where something is missing."""
    counted = counted_millions()
    if not counted:
        sys.stderr.write(f"instructions: not on this computer: {', '.join(missing_tools())} (see {__file__})\n")
        return 2
    for what, works in counted.items():
        for name, millions in works.items():
            sys.stdout.write(f"{what}, {name}: {millions:.1f} M arm64 instructions a second of sound\n")
    return 0 if max(works["airladder"] for works in counted.values()) <= ALLOWED_MILLIONS else 1


def missing_tools() -> list[str]:
    """What must be installed before anything can be counted."""
    return [tool for tool in ("qemu-aarch64", "mmdebstrap", "cc") if shutil.which(tool) is None]


def counted_millions() -> dict[str, dict[str, float]]:
    """Millions of instructions a second of sound, by sort of sound and by work; empty where a tool is missing."""
    if missing_tools():
        return {}
    phrase = next(clips("notes slurred", "checking"))
    sounds = {"a slurred phrase": phrase, "the same in pink noise at 10 dB": pink(phrase, 10.0)}
    return {what: {name: millions_a_second(name, clip) for name in _WORK} for what, clip in sounds.items()}


def millions_a_second(name: str, clip: Clip) -> float:
    """Of the work of that name, the taking of blocks included."""
    samples = CACHE / "instructions.npy"
    np.save(samples, np.tile(clip.samples[: _HOPS * HOP], 2))
    tube = clip.series.horn.name, str(clip.series.fingering)
    short, long = (_instructions(name, [str(samples), str(hops), *tube]) for hops in (_HOPS, 2 * _HOPS))
    return (long - short) / (_HOPS * HOP_SECONDS) / 1e6


def _instructions(name: str, words: list[str]) -> int:
    return instructions_of(_GUEST.format(prepare=_WORK[name]), words)


def instructions_of(script: str, words: Sequence[str], paths: Sequence[Path] = ()) -> int:
    """The arm64 instructions of a whole run of a Python script; parameters and errors as in `counted`."""
    return counted(script, words, paths).instructions


@dataclass(frozen=True)
class Counted:
    """One run of a script.

    Attributes
    ----------
    instructions : of the whole run
    marks : (number, instructions up to there) of each mark, in their order; `os.close(MARK + number)` makes one
    said : what it printed
    """

    instructions: int
    marks: tuple[tuple[int, int], ...]
    said: str


def counted(script: str, words: Sequence[str], paths: Sequence[Path] = (), options: Sequence[str] = ()) -> Counted:
    """Run a Python script on the arm64 side.

    Parameters
    ----------
    script : its text
    words : its arguments
    paths : where it finds packages besides ours, numpy, aubio and Pillow
    options : of the interpreter

    Raises
    ------
    RuntimeError : when the script fails; its last words are in the text.
    """
    python_path = ":".join(str(path) for path in (_FIRMWARE, *paths))
    told = (f"LD_LIBRARY_PATH={_LIBRARIES}/openblas-pthread", f"PYTHONPATH={python_path}", "OPENBLAS_NUM_THREADS=1")
    environment = [word for each in told for word in ("-E", each)]
    machine = ["-cpu", "cortex-a53", "-L", str(_root()), "-plugin", str(_plugin()), *environment]
    guest = [str(_root() / "usr/bin/python3"), *options, "-c", script, *words]
    done = subprocess.run(["qemu-aarch64", *machine, *guest], capture_output=True, text=True, check=False)
    count = re.search(r"^instructions (\d+)$", done.stderr, re.MULTILINE)
    if done.returncode or count is None:
        raise RuntimeError(f"The arm64 side failed with {done.returncode}: {done.stderr[-2000:]}")
    marks = re.findall(r"^mark (\d+) (\d+)$", done.stderr, re.MULTILINE)
    return Counted(int(count[1]), tuple((int(number), int(at)) for number, at in marks), done.stdout)


def _root() -> Path:
    if not (ROOT / "usr/bin/python3").exists():
        merged = "--hook-dir=/usr/share/mmdebstrap/hooks/merged-usr"
        command = [
            "mmdebstrap",
            "--variant=extract",
            "--arch=arm64",
            f"--include={PACKAGES}",
            merged,
            "trixie",
            str(ROOT),
        ]
        subprocess.run(command, check=True)
    return ROOT


def _plugin() -> Path:
    built = CACHE / "count.so"
    source = HERE / "instructions.c"
    if not built.exists() or built.stat().st_mtime < source.stat().st_mtime:
        subprocess.run(["cc", "-shared", "-fPIC", "-O2", "-o", str(built), str(source)], check=True)
    return built


if __name__ == "__main__":
    sys.exit(main())
