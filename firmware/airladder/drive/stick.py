"""A stick that was put in gets the same folder, file by file; what others keep on it is never touched.

Conventions
-----------
Everything lies in ``AIRLADDER`` at its top. Our own files there that are older are written over, none is deleted. A
stick may be of any file system, with links to anywhere on it: none is followed.
"""

from __future__ import annotations

import errno
import os
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from airladder.drive.geometry import MIB
from airladder.faults import Fault

FOLDER = "AIRLADDER"
"""Of ours on a stick."""

_STEP_S = 2.0  # FAT keeps times to two seconds
_AS_FOLDER = os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC
_TO_WRITE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW | os.O_CLOEXEC


def copy_to(folder: Path, stick: Path) -> tuple[str, ...]:
    """Copy what is new in `folder` to the stick mounted at `stick`, and wait until it is on it.

    Returns
    -------
    The names of the files that were copied, below ``AIRLADDER``.

    Raises
    ------
    Fault : when it cannot be written; the file under way is then as it was, and those before it are whole.
    """
    copied: list[str] = []
    try:
        with _opened(stick, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC) as top, _made(top, FOLDER) as ours:
            _copy_folder(folder, "", ours, copied)
    except OSError as error:
        full = error.errno in (errno.ENOSPC, errno.EDQUOT)
        why = "there is no room on it" if full else error.strerror or str(error)
        raise Fault(f"The stick at {stick} cannot be written ({why}); make room, or put in another.") from error
    return tuple(copied)


def _copy_folder(source: Path, prefix: str, target: int, copied: list[str]) -> None:
    for path in sorted(source.iterdir()):
        if path.name.startswith(".") or path.is_symlink():
            continue
        if path.is_dir():
            with _made(target, path.name) as inside:
                _copy_folder(path, f"{prefix}{path.name}/", inside, copied)
        elif not _is_there(path, target):
            _copy_file(path, target)
            copied.append(prefix + path.name)
    os.fsync(target)


def _is_there(path: Path, target: int) -> bool:
    """Whether a file of this name, size and time lies there: we give our copies the times of what they are of."""
    try:
        there = os.stat(path.name, dir_fd=target, follow_symlinks=False)
    except FileNotFoundError:
        return False
    here = path.stat()
    same_time = abs(there.st_mtime - here.st_mtime) <= _STEP_S
    return stat.S_ISREG(there.st_mode) and there.st_size == here.st_size and same_time


def _copy_file(path: Path, target: int) -> None:
    aside = f"{path.name}.new"  # no dot before it: whoever looks at the stick sees what was left half done
    _remove(aside, target)
    try:
        with path.open("rb") as source, os.fdopen(os.open(aside, _TO_WRITE, 0o644, dir_fd=target), "wb") as file:
            shutil.copyfileobj(source, file, MIB)
            file.flush()
            state = os.fstat(source.fileno())
            os.utime(file.fileno(), ns=(state.st_mtime_ns, state.st_mtime_ns))
            os.fsync(file.fileno())
        os.replace(aside, path.name, src_dir_fd=target, dst_dir_fd=target)
    except OSError:
        _remove(aside, target)
        raise


def _remove(name: str, folder: int) -> None:
    with suppress(FileNotFoundError):
        os.unlink(name, dir_fd=folder)


@contextmanager
def _made(parent: int, name: str) -> Iterator[int]:
    """The folder of that name, made where it is missing; a link in its place is an OSError."""
    with suppress(FileExistsError):
        os.mkdir(name, dir_fd=parent)
    with _opened(name, _AS_FOLDER, parent) as inside:
        yield inside


@contextmanager
def _opened(path: Path | str, how: int, parent: int | None = None) -> Iterator[int]:
    descriptor = os.open(path, how, dir_fd=parent)
    try:
        yield descriptor
    finally:
        os.close(descriptor)
