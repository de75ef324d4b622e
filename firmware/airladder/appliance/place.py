"""Where the log lies: on the data partition, or in memory where there is none, and one can practise all the same."""

from __future__ import annotations

import os
from pathlib import Path

ABOUT = "data"
"""What a trouble with it is about."""

NOT_KEPT = (
    "Nothing is kept: {} cannot be written ({}). What is played now is on the USB drive until the box is switched"
    " off; look at the card."
)


def settled(folder: Path, memory: Path) -> tuple[Path, str]:
    """The folder, or the one in `memory`, which is gone at the switch-off, and a sentence on why.

    A full disk is none of this: its log can be read.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        why = "" if os.access(folder, os.W_OK | os.X_OK) else _why(folder)
    except OSError as error:
        why = error.strerror or str(error)
    if not why:
        return folder, ""
    memory.mkdir(parents=True, exist_ok=True)
    return memory, NOT_KEPT.format(folder, why)


def _why(folder: Path) -> str:
    read_only = os.statvfs(folder).f_flag & os.ST_RDONLY
    return "its disk is read-only, or there is no data partition" if read_only else "it belongs to somebody else"
