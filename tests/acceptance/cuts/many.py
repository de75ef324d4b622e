"""Power cuts on the virtual board, in practice, starts, updates and drives: ``python -m acceptance.cuts.many``.

It prints a line for each cut, writes RESULTS.md beside itself, and ends with 1 when anything was lost, or when a
disk that lies about its flushes, or a program that does not wait for them, was not found out.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Iterable, Iterator
from itertools import cycle, islice
from pathlib import Path

from acceptance.cuts.page import Part, page, row
from board.base import base
from board.cuts import Campaign, Cut, Deed
from board.forgetting import Way

CUTS, CHECKS, CONTROLS = 32, 40, 2
SEED = 20261127
_DEEDS = (Deed.PRACTICE, Deed.RELEASES, Deed.START, Deed.PRACTICE, Deed.DRIVES, Deed.CHECK)


def say(text: str) -> None:
    """A line for whoever waits."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def said(cuts: Iterable[Cut]) -> list[Cut]:
    """The cuts, each said as it comes."""
    done = []
    for cut in cuts:
        say(row(cut))
        done.append(cut)
    return done


def honest(seed: int, deeds: Iterable[Deed]) -> Iterator[Cut]:
    """Cuts on one disk that obeys its flushes, and forgets or tears all else."""
    with Campaign(Way.FORGETS, seed, releases_too=True) as campaign:
        for deed in deeds:
            yield campaign.cut(deed, least=1)


def anew(way: Way, seed: int, cuts: int, deed: Deed = Deed.PRACTICE) -> Iterator[Cut]:
    """Cuts in the middle of a practice, each on a new disk."""
    for number in range(cuts):
        with Campaign(way, seed + number) as campaign:
            yield campaign.cut(deed, least=2)


def main() -> int:
    """Run all of it; the exit code."""
    words = argparse.ArgumentParser()
    words.add_argument("--cuts", type=int, default=CUTS)
    words.add_argument("--seed", type=int, default=SEED)
    words.add_argument("--out", type=Path, default=Path(__file__).with_name("RESULTS.md"))
    given = words.parse_args()
    began, seed = time.monotonic(), given.seed
    say(f"seed {seed}, kernel {base().version}, {given.cuts} cuts")
    parts = [
        Part(
            "A disk that forgets what was not flushed",
            "All cuts hit one and the same disk, so that damage would add up.",
            said(honest(seed, islice(cycle(_DEEDS), given.cuts))),
            harmless=True,
        ),
        Part(
            "Power that goes again and again while the disk is checked and mounted",
            "On another such disk, between two practices: here file systems break, if they do.",
            said(honest(seed + 1, [Deed.PRACTICE, *[Deed.CHECK] * CHECKS, Deed.PRACTICE])),
            harmless=True,
        ),
        Part(
            "A disk that keeps everything",
            "What a board does by itself when it goes off, without any fault of the disk.",
            said(anew(Way.KEEPS, seed, 1)),
            harmless=True,
        ),
        Part(
            "A disk that lies about its flushes",
            "The first negative control, on a new disk each time.",
            said(anew(Way.LIES, seed, CONTROLS)),
            harmless=False,
        ),
        Part(
            "A program that does not wait for its flushes",
            "The second negative control: `synchronous = OFF` on a disk like the first, a new one each time.",
            said(anew(Way.FORGETS, seed, CONTROLS, Deed.CARELESS)),
            harmless=False,
        ),
    ]
    load = f"load {os.getloadavg()[2]:.0f} on {os.cpu_count()} cores"
    run = f"`sh tests/acceptance/run pulls`, seed {seed}: {(time.monotonic() - began) / 60:.0f} minutes, {load},"
    given.out.write_text(page(f"{run}\narm64 Debian with kernel {base().version} under qemu (TCG).", parts))
    for part in parts:
        say(f"{part.title}: {len(part.cuts)} cuts, {part.bad} not as they should be")
    return 1 if any(part.bad for part in parts) else 0


if __name__ == "__main__":
    sys.exit(main())
