"""Cuts the power of a practising virtual board, again and again on one disk, and judges what is left each time."""

from __future__ import annotations

import random
import re
import shlex
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from types import TracebackType

from board.cuts_claims import Claims
from board.cuts_fuse import Fuse, Moment
from board.cuts_judge import Verdict, judged
from board.cuts_things import recording, releases
from board.forgetting import Aftermath, ForgettingDisk, Way
from board.machine import OURS, TESTS, Machine
from board.nbdserver import lent

DISK_BYTES = 192 << 20
LONGEST_S = 900.0
"""From a start to its cut; a minute where the computer has nothing else to do."""

SYSTEM = "/airladder/firmware/system"

_JOB = """
folder=/var/lib/airladder
mkdir -p $folder /run/airladder
no_data() { echo 'cut: {"said": "no data"}'; exit 1; }
sh SYSTEM/check-data /dev/vdb || no_data
mount -t ext4 -o "$(sed -n 's/^Options=//p' SYSTEM/units/var-lib-airladder.mount)" /dev/vdb $folder || no_data
printf '%s\n' '#!/bin/sh' \
    "PYTHONPATH=\\$PYTHONPATH:/airladder/tests exec python3 -m board.cuts_player --folder $folder WORDS" >/run/python
chmod +x /run/python
echo 'cut: {"said": "mounted"}'
RUNTIME_DIRECTORY=/run/airladder AIRLADDER_BASE=/airladder/firmware AIRLADDER_PYTHON=/run/python sh SYSTEM/start
"""
"""What `airladder-check.service`, the mount unit and `airladder.service` do, each by its very script or words."""


class Deed(Enum):
    """In what the power is cut."""

    PRACTICE = "practice"
    CHECK = "the check and mount of its disk"
    START = "its start after that"
    DRIVES = "a drive built"
    RELEASES = "a release taken"
    CARELESS = "practice, not waiting for the disk"


_WORDS = {
    Deed.DRIVES: ["--drives"],
    Deed.RELEASES: ["--releases", "/things/releases"],
    Deed.CARELESS: ["--careless"],
}
"""For `cuts_player`."""


@dataclass(frozen=True)
class Cut:
    """One cut.

    Attributes
    ----------
    number : from 1
    seed : of what the disk kept
    deed : in what it was to be cut
    moment : when the power was cut
    version : of the program that the launcher started; empty where it did not come so far
    doing : what the board had said last that it does
    told, given : tries that were told as kept, and that were given to the journal, at this start alone
    aftermath : of the writes that were not flushed
    verdict : what was found
    seconds : that all of it took
    """

    number: int
    seed: int
    deed: Deed
    moment: Moment
    version: str
    doing: str
    told: int
    given: int
    aftermath: Aftermath
    verdict: Verdict
    seconds: float


def _making_words() -> list[str]:
    """How the box makes its data partition, by the very script."""
    script = OURS["/airladder/firmware"] / "system/seal.d/room"
    found = re.search(r'^ *mkfs\.ext4 (-[^"$]+) "', script.read_text(), re.MULTILINE)
    assert found is not None, f"{script} makes no ext4 that we would recognise"
    return shlex.split(found[1])


class Campaign:
    """Cuts on one disk.

    Parameters
    ----------
    way : what the disk does to what was not flushed
    seed : of all that is drawn: moments, and what the disk keeps
    releases_too : whether there are releases to be taken
    """

    def __init__(self, way: Way, seed: int, *, releases_too: bool = False) -> None:
        self.claims = Claims()
        self._way, self._chance = way, random.Random(seed)
        self._kept = tempfile.TemporaryDirectory(prefix="cuts-")
        self._folder = Path(self._kept.name)
        self._things = self._folder / "things"
        self._things.mkdir()
        recording(self._things)
        if releases_too:
            releases(self._things / "releases", OURS["/airladder/firmware"] / "airladder")
        self._image = self._folder / "disk"
        with self._image.open("wb") as file:
            file.truncate(DISK_BYTES)
        subprocess.run(["/usr/sbin/mkfs.ext4", *_making_words(), self._image], check=True)
        self._number = 0

    def __enter__(self) -> Campaign:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._kept.cleanup()

    def cut(self, deed: Deed = Deed.PRACTICE, *, least: int = 0) -> Cut:
        """Start the board, let it practise, cut its power, and judge the disk.

        Parameters
        ----------
        deed : what it does then
        least : of a practice alone: tries before the cut

        Raises
        ------
        RuntimeError : when the board goes off before its moment although its disk is honest.
        """
        began = time.monotonic()
        self._number += 1
        seed, moment = self._chance.randrange(2**32), self._drawn(deed, least)
        there, given, starts = self.claims.told, self.claims.all_given, len(self.claims.starts)
        self.claims.doing = {"start": "checking the disk"}
        disk, fuse = ForgettingDisk(self._image, self._way), Fuse(moment)
        with lent(disk, self._folder / "nbd", fuse.goes) as address:
            fuse.board = Machine(
                self._job(deed),
                disks=[f"{address},cache=writeback"],
                lent={**OURS, **TESTS, "/things": self._things},
                longest=LONGEST_S,
            )
            self.claims.hear(self._said(fuse))
        aftermath = disk.cut(random.Random(seed))
        told, given = self.claims.told - there, self.claims.all_given - given
        doing = ", ".join(self.claims.doing.values())
        with tempfile.TemporaryDirectory(dir=self._folder) as work:
            verdict = judged(self._image, self.claims, Path(work))
        version = ""
        if len(self.claims.starts) > starts:
            version = self.claims.starts[-1]["version"]
            verdict = replace(verdict, wrong=(*verdict.wrong, *self._wrong_at_the_start(there)))
        seconds = time.monotonic() - began
        return Cut(self._number, seed, deed, moment, version, doing, told, given, aftermath, verdict, seconds)

    def _drawn(self, deed: Deed, least: int) -> Moment:
        chance = self._chance
        match deed:
            case Deed.CHECK:
                return Moment("mounted", 0, writes=chance.randint(1, 12))
            case Deed.START:
                return Moment("mounted", 1, writes=chance.randint(1, 8))
            case Deed.DRIVES:
                return Moment("building", 1, writes=chance.randint(1, 100))
            case Deed.RELEASES:
                return Moment("taking", 1, writes=chance.randint(1, 280))
            case Deed.PRACTICE | Deed.CARELESS:
                tries, seconds = chance.randint(least, least + 4), round(chance.uniform(0.01, 2.0), 2)
                said = ("kept", tries) if tries else ("practice", 1)
                return Moment(*said, seconds, chance.choice((0, 0, 1, 2, 3, 4, 5, 6, 8, 10)))

    def _wrong_at_the_start(self, there: int) -> Iterator[str]:
        """What the board itself found at its start, where all should have been well."""
        said = self.claims.starts[-1]
        if said["damage"] or said["settings"]:
            yield f"the board said at its start: {said['damage']} {said['settings']}"
        if len(self.claims.days) == len(self.claims.starts) and self.claims.days[-1] != there:
            yield f"the board counted {self.claims.days[-1]} tries at its start, {there} are in the log"

    def _job(self, deed: Deed) -> str:
        words = ["--sound", "/things/sound.wav", "--first", str(self.claims.next_practice)]
        words += _WORDS.get(deed, [])
        return _JOB.replace("SYSTEM", SYSTEM).replace("WORDS", " ".join(words))

    def _said(self, fuse: Fuse) -> Iterator[str]:
        """All that the board says until it is cut."""
        with fuse.board as board:
            fuse.starts()
            for line in board.lines():
                yield line
                fuse.hear(line)
            fuse.end()
        if not fuse.burnt and self._way is not Way.LIES:
            raise RuntimeError(f"Nobody cut it ({fuse.moment}), and it is off:\n" + "\n".join(board.said[-30:]))
