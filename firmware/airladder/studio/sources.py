"""What a teacher is handed: the folder of a drive, an image of one, or the log itself. It is only ever read.

The log is copied first and looked at as a whole, so that a drive that is pulled out half-way, or a file that is
damaged, leaves the studio as it was.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from airladder.drive.volume import Damaged, Volume
from airladder.faults import BadInput, Fault, LogFault
from airladder.journal import copying
from airladder.journal.aside import disk_told
from airladder.journal.log import Reader

LOG = "log.sqlite"
"""What the log is called on every drive."""

MOST_BYTES = 4 * 2**30
"""Of a log in an image: no file on FAT can be larger."""

_DAMAGED = (11, 26)
"""SQLITE_CORRUPT and SQLITE_NOTADB (SQLite documentation, "Result and Error Codes")."""

_SQLITE = b"SQLite format 3\x00"


@contextmanager
def log_of(drive: Path, beside: Path) -> Iterator[Reader]:
    """The log of a drive, in a copy that is gone after the block.

    Parameters
    ----------
    drive : a folder with ``log.sqlite`` in it, a FAT image with it, or that file
    beside : the folder in which there is room for the copy

    Raises
    ------
    Fault : when it is none of these, or the log is damaged.
    """
    with TemporaryDirectory(prefix=".reading-", dir=beside) as folder:
        copy = Path(folder) / LOG
        with disk_told(copy):
            _fetch(drive, copy)
        with _named(drive, copy), _checked(drive, copy) as log:
            yield log


@contextmanager
def _named(drive: Path, copy: Path) -> Iterator[None]:
    """Speak of the drive where a fault speaks of the copy; and turn what no log of ours holds into a sentence."""
    try:
        yield
    except LogFault as fault:
        raise LogFault(str(fault).replace(str(copy), str(drive))) from fault
    except Fault:
        raise
    except (ValueError, TypeError, LookupError, ArithmeticError) as error:
        raise LogFault(
            f"The log in {drive} holds what Airladder never wrote ({error}); copy the drive once more."
        ) from error


def _fetch(drive: Path, copy: Path) -> None:
    if not drive.exists():
        raise BadInput(f"There is nothing at {drive}; name the folder of a drive, an image of one, or a log.")
    if drive.is_dir():
        if not (drive / LOG).is_file():
            raise BadInput(f"{drive} holds no {LOG}; name the folder of a drive as it was handed out.")
        drive = drive / LOG
    try:
        with drive.open("rb") as file:
            is_log = file.read(len(_SQLITE)) == _SQLITE
    except OSError as error:
        raise LogFault(f"{drive} cannot be read ({error.strerror or error}); plug the drive in anew.") from error
    if not is_log:
        _from_image(drive, copy)
    elif _being_written(drive):  # a plain copy may be torn
        copying.copy(drive, copy)
    else:
        shutil.copyfile(drive, copy)


def _being_written(log: Path) -> bool:
    """Whether SQLite holds newer pages beside the log."""
    beside = log.with_name(f"{log.name}-wal")
    return beside.exists() and beside.stat().st_size > 0


def _from_image(image: Path, copy: Path) -> None:
    try:
        with image.open("rb") as file:
            volume = Volume(file)
            found = [entry for entry in volume.top() if entry.name.casefold() == LOG and not entry.is_folder]
            if not found or found[0].size > MOST_BYTES:
                raise BadInput(f"The image {image} holds no {LOG}; wanted the drive that the box hands out.")
            copy.write_bytes(volume.read(found[0]))
    except Damaged as damage:
        raise BadInput(f"{image} is neither a log nor a whole image of a drive: {damage}") from damage


def _checked(drive: Path, copy: Path) -> Reader:
    """The copy opened, when every page of it is as SQLite left it (``PRAGMA quick_check``)."""
    damaged = LogFault(f"The log in {drive} is damaged; copy the drive once more: the box still has the whole log.")
    try:
        log = Reader(copy)
        try:
            well = [row[0] for row in log.rows("PRAGMA quick_check(1)")] == ["ok"]
        except BaseException:
            log.close()
            raise
    except LogFault as fault:
        code = getattr(fault.__cause__, "sqlite_errorcode", None)
        if code is not None and code & 0xFF in _DAMAGED:
            raise damaged from fault
        raise
    if not well:
        log.close()
        raise damaged
    return log
