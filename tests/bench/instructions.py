"""Counts the arm64 instructions of hearing for a second of sound, under qemu-user: python -m bench.instructions.

They do not depend on the machine, nor on what else it does, and say nothing of caches and memory. It wants the
Debian packages qemu-user (not the static one), mmdebstrap and gcc; the arm64 side is Debian 13's own Python, numpy,
OpenBLAS and aubio on the board's kind of processor, put in tests/.cache once. What starting Python takes falls out:
two lengths are run and subtracted.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from itertools import islice
from pathlib import Path

import numpy as np

from airladder.hearing.block import HOP_SECONDS
from bench.corpus import clips
from bench.store import CACHE

HERE = Path(__file__).parent
ROOT = CACHE / "arm64"
ALLOWED_MILLIONS = 90.0
_FIRMWARE = HERE.parents[1] / "firmware"
_SHORT, _LONG = 150, 450
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
    missing = [tool for tool in ("qemu-aarch64", "mmdebstrap", "cc") if shutil.which(tool) is None]
    if missing:
        sys.stderr.write(f"instructions: not on this computer: {', '.join(missing)} (see the head of {__file__})\n")
        return 2
    counted = {name: millions_a_second(name) for name in _WORK}
    for name, millions in counted.items():
        sys.stdout.write(f"{name}: {millions:.1f} M arm64 instructions a second of sound\n")
    return 0 if counted["airladder"] <= ALLOWED_MILLIONS else 1


def millions_a_second(name: str) -> float:
    """Of the work of that name, the taking of blocks included."""
    clip = next(islice(clips("notes slurred", "checking"), 1))
    samples = CACHE / "instructions.npy"
    np.save(samples, clip.samples)
    tube = clip.series.horn.name, str(clip.series.fingering)
    short, long = (_instructions(name, [str(samples), str(hops), *tube]) for hops in (_SHORT, _LONG))
    return (long - short) / ((_LONG - _SHORT) * HOP_SECONDS) / 1e6


def _instructions(name: str, words: list[str]) -> int:
    script = _GUEST.format(prepare=_WORK[name])
    told = (f"LD_LIBRARY_PATH={_LIBRARIES}/openblas-pthread", f"PYTHONPATH={_FIRMWARE}", "OPENBLAS_NUM_THREADS=1")
    options = [
        "-cpu",
        "cortex-a53",
        "-L",
        str(_root()),
        "-plugin",
        str(_plugin()),
        *(w for t in told for w in ("-E", t)),
    ]
    guest = [str(_root() / "usr/bin/python3"), "-c", script, *words]
    done = subprocess.run(["qemu-aarch64", *options, *guest], capture_output=True, text=True, check=False)
    count = re.search(r"^instructions (\d+)$", done.stderr, re.MULTILINE)
    if done.returncode or count is None:
        raise RuntimeError(f"The arm64 side of '{name}' failed with {done.returncode}: {done.stderr[-2000:]}")
    return int(count[1])


def _root() -> Path:
    if not (ROOT / "usr/bin/python3").exists():
        packages = "--include=python3,python3-numpy,python3-aubio,libopenblas0-pthread"
        merged = "--hook-dir=/usr/share/mmdebstrap/hooks/merged-usr"
        command = ["mmdebstrap", "--variant=extract", "--arch=arm64", packages, merged, "trixie", str(ROOT)]
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
