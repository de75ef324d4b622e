"""Puts files in place whole and on the disk: a power cut at any moment leaves the old one or the new one."""

from __future__ import annotations

from pathlib import Path

from airladder.journal.flushing import flush


def put(path: Path, content: bytes) -> None:
    """Make `path` hold `content`; its folder is made where it is missing.

    Raises
    ------
    OSError : when it cannot be written; what lay there is as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    aside = path.with_name(f".{path.name}.new")
    aside.unlink(missing_ok=True)  # of a run that was cut off
    try:
        with aside.open("xb") as file:
            file.write(content)
        into_place(aside, path)
    except OSError:
        aside.unlink(missing_ok=True)
        raise


def into_place(aside: Path, path: Path) -> None:
    """Make the finished file `aside` the one at `path`, in the same folder, after it has reached the disk."""
    flush(aside)
    aside.replace(path)
    flush(path.parent)
