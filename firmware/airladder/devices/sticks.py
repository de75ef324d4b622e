"""The USB sticks that are put in and mounted. Untested on hardware.

Nothing is mounted here: the system does that (udev, systemd). Sources: proc_pid_mountinfo(5), sysfs(5).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

MOUNTS = Path("/proc/self/mountinfo")
BLOCKS = Path("/sys/dev/block")
_FILE_SYSTEMS = ("vfat", "exfat")
_OCTAL = re.compile(r"\\([0-7]{3})")


def sticks(mounts: Path = MOUNTS, blocks: Path = BLOCKS) -> list[Path]:
    """Where sticks are mounted to be written, in the order of their mounting; none where nobody can tell.

    Parameters
    ----------
    mounts : the table of mounts
    blocks : the block devices by their numbers
    """
    try:
        return list(_found(mounts.read_text("utf-8", "surrogateescape"), blocks))
    except OSError:
        return []


def _found(table: str, blocks: Path) -> Iterator[Path]:
    for line in table.splitlines():
        before, _, after = line.partition(" - ")
        fields, kind = before.split(), after.partition(" ")[0]
        is_for_us = len(fields) >= 6 and kind in _FILE_SYSTEMS and "rw" in fields[5].split(",")
        if is_for_us and _is_removable(blocks / fields[2]):
            yield Path(_OCTAL.sub(lambda octal: chr(int(octal[1], 8)), fields[4]))


def _is_removable(block: Path) -> bool:
    """Whether the disk says so; a partition asks its disk, which lies above it."""
    real = block.resolve()
    for folder in (real, real.parent):
        if (folder / "removable").is_file():
            return (folder / "removable").read_text().strip() == "1"
    return False
