"""Waiting until something is on the disk."""

from __future__ import annotations

import os
from pathlib import Path


def flush(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk (fsync(2)).

    Raises
    ------
    OSError : when the disk does not take it.
    """
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
