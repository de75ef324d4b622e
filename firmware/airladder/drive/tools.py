"""Runs dosfstools and mtools, which make and check FAT images without any mount and without root.

Conventions
-----------
The tools see no clock and no settings of the user: the time is `SOURCE_DATE_EPOCH` (reproducible-builds.org), the
zone UTC, so that what they write depends on nothing but what they are given.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Sequence
from datetime import UTC, datetime

from airladder.faults import Fault

LONGEST_S = 600.0
"""A tool that takes longer than this hangs, s: a gigabyte on a slow card takes two minutes."""

_FIRST = datetime(1980, 1, 1, tzinfo=UTC)
_LAST = datetime(2107, 12, 31, 23, 59, 58, tzinfo=UTC)
_PACKAGES = {"mkfs.vfat": "dosfstools", "fsck.vfat": "dosfstools"}


def run(words: Sequence[str], when: datetime) -> None:
    """Run a tool, silently, at a time that we choose.

    Parameters
    ----------
    words : its name and its words
    when : what the files' times shall be; FAT keeps the wall clock without its offset, from 1980 to 2107

    Raises
    ------
    Fault : when the tool is not here, fails, or does not end.
    """
    folders = os.pathsep.join((os.environ.get("PATH", ""), "/usr/sbin", "/sbin"))  # users have no sbin in their PATH
    tool = shutil.which(words[0], path=folders)
    if tool is None:
        package = _PACKAGES.get(words[0], "mtools")
        raise Fault(f"The drive needs {words[0]}, which is not on this computer; install {package}.")
    wall = min(max(when.replace(tzinfo=UTC), _FIRST), _LAST)
    settings = {
        "LC_ALL": "C.UTF-8",
        "TZ": "UTC",
        "SOURCE_DATE_EPOCH": str(int(wall.timestamp())),
        "MTOOLSRC": "/dev/null",
        "MTOOLS_SKIP_CHECK": "1",  # it wants whole tracks, which no stick has had for decades
    }
    try:
        subprocess.run(
            [tool, *words[1:]], env=settings, stdin=subprocess.DEVNULL, capture_output=True, check=True,
            timeout=LONGEST_S,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise Fault(f"{words[0]} had not ended after {LONGEST_S:g} s; try again.") from None
    except subprocess.CalledProcessError as failed:
        said = (failed.stderr or failed.stdout).decode("utf-8", "replace").strip().splitlines()
        why = said[-1] if said else f"exit code {failed.returncode}"
        raise Fault(f"The drive could not be made: {words[0]} says '{why}'; is there room on the disk?") from None
