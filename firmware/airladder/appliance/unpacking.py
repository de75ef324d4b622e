"""The files of a release on the disk, compiled and flushed, in a folder that nobody uses yet."""

from __future__ import annotations

import errno
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from airladder.drive.names import told
from airladder.faults import BadInput


def unpack(files: Mapping[str, bytes], folder: Path, final: Path) -> None:
    """Write the files into `folder`, made anew, as they are to lie in `final`.

    Raises
    ------
    BadInput : when Python cannot compile them.
    OSError : when they cannot be written.
    """
    shutil.rmtree(folder, ignore_errors=True)
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(content)
    _compile(folder, final)
    _flush_all(folder)


def _compile(folder: Path, final: Path) -> None:
    """In a process of its own that gives way to all others, since somebody may be practising.

    The compiled code is not held against the times of the files (PEP 552, unchecked hashes): a box with a wrong clock
    would compile everything at every start, in memory, for it keeps nothing it compiled itself.
    """
    words = ["nice", "-n", "19", sys.executable, "-m", "compileall", "-q", "--invalidation-mode", "unchecked-hash"]
    done = subprocess.run(
        [*words, "-s", str(folder), "-p", str(final), str(folder)], stdin=subprocess.DEVNULL, capture_output=True,
        text=True, errors="replace", check=False,
    )  # fmt: skip
    if done.returncode:
        said = (done.stdout + done.stderr).strip().splitlines()
        why = told(said[-1].strip()) if said else f"exit code {done.returncode}"
        raise BadInput(f"Python cannot compile it ({why}); fetch another file.")


def _flush_all(folder: Path) -> None:
    """Wait until the file system of `folder`, which is the box's own, has all on the disk.

    At once, since a flush for each of a thousand files would take a card half a minute (estimated). sync(1) tells of
    writes that failed by its exit code, as Linux does since 5.8 (syncfs(2)).

    Raises
    ------
    OSError : when the disk did not take it.
    """
    words = ["sync", "--file-system", str(folder)]
    done = subprocess.run(words, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    if done.returncode:
        raise OSError(errno.EIO, "the disk did not take it")
