"""The one step that no journal guards: resize2fs stopped at many moments; quick, for no machine is round it.

The program is killed; what it had written stays, what it held in memory is gone. A card that loses or
reorders what it had taken over is worse than that, and is not tried here.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

from acceptance.seal.machine import copy, partitions, run

TARGET = 6291456  # sectors: the 3 GiB that `seal` plans for a card of 6 GiB


def root_of(card: Path, to: Path) -> Path:
    """The root's file system of a card, as an image of its own; it is the last on the card."""
    start, size = partitions(card)[1]
    to.unlink(missing_ok=True)
    run(
        "dd",
        f"if={card}",
        f"of={to}",
        "bs=4M",
        f"skip={start * 512}",
        "iflag=skip_bytes",
        "conv=sparse",
        "status=none",
    )
    os.truncate(to, size * 512)
    return to


def shrink(image: Path, after: float | None) -> float:
    """resize2fs to `TARGET`, killed `after` seconds, or never; seconds that it ran."""
    began = time.monotonic()
    with subprocess.Popen(
        ["resize2fs", "-f", str(image), f"{TARGET}s"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as resize:
        try:
            resize.wait(after)
        except subprocess.TimeoutExpired:
            resize.send_signal(signal.SIGKILL)
    return time.monotonic() - began


def mended(image: Path) -> int:
    """What e2fsck -fy of the next start ends with."""
    return subprocess.run(["e2fsck", "-f", "-y", str(image)], capture_output=True, check=False).returncode


def cut_often(
    card: Path, work: Path, cuts: int, dice: random.Random, sums: Callable[[Path], dict[str, int]]
) -> tuple[int, int, float, list[str]]:
    """(how often every file was there, how often the file system was small, seconds of a whole run, losses)."""
    before = root_of(card, work / "root.img")
    mended(before)
    image = work / "cut.img"
    copy(before, image)
    whole = shrink(image, None)
    wanted = sums(image)
    good = small = 0
    lost: list[str] = []
    for n in range(cuts):
        copy(before, image)
        shrink(image, whole * dice.uniform(n, n + 1) / cuts)
        code = mended(image)
        now = sums(image) if code < 4 else {}
        gone = [name for name in wanted if now.get(name) != wanted[name]]
        good += not gone
        small += f"Block count:              {TARGET // 8}" in run("dumpe2fs", "-h", image)
        lost += [f"cut {n + 1}: e2fsck ended with {code}, {len(gone)} files lost"] if gone else []
    return good, small, whole, lost
