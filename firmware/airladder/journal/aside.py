"""Writing a file aside and putting it in place whole, so that an old one is never half overwritten."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from airladder.faults import LogFault


@contextmanager
def put_in_place(path: Path, log: Path) -> Iterator[TextIO]:
    """A UTF-8 text file to write into (ends of lines as given), which becomes `path` when the block has ended well.

    A device or a pipe is written into directly. When anything fails, what lay at `path` is as it was. The `log`
    itself is never written over.

    Raises
    ------
    LogFault : when it cannot be written, with the reason.
    """
    with disk_told(path):
        if path.is_dir():
            raise LogFault(f"{path} is a folder; name the file to write, such as {path / 'airladder'}.")
        target = path.resolve()  # a link stays a link
        if target == log.resolve():
            raise LogFault(f"{path} is the log itself and is not written over; name another file.")
        if target.exists() and not target.is_file():
            with target.open("w", encoding="utf-8", newline="") as out:
                yield out
            return
        part = target.with_name(f".{target.name}.{os.getpid()}.part")
        try:
            with part.open("w", encoding="utf-8", newline="") as out:
                yield out
                out.flush()
                os.fsync(out.fileno())
            part.replace(target)
        except BaseException:
            part.unlink(missing_ok=True)
            raise


@contextmanager
def disk_told(path: Path | str) -> Iterator[None]:
    """Turn what the system says of writing `path` into a sentence; a closed pipe is left to the caller.

    Raises
    ------
    LogFault : in place of the error of the system.
    """
    try:
        yield
    except (LogFault, BrokenPipeError):
        raise
    except OSError as error:
        raise _fault(path, error) from error


def _fault(path: Path | str, error: OSError) -> LogFault:
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return LogFault(
            f"There is no room to write {path}; the log itself is whole: make room or name another place."
        )
    why = error.strerror or str(error)
    return LogFault(f"{path} cannot be written ({why}); name a file in a folder that you may write in.")
