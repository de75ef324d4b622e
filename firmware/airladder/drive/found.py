"""Files that may come in, out of an image or out of a folder, by one and the same way of looking."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Protocol

from airladder.drive.slots import Entry
from airladder.drive.volume import Damaged, Volume
from airladder.faults import BadInput

MOST_NAMES = 2000
"""Of a folder no more names than this are looked at."""


@dataclass(frozen=True)
class Found:
    """A file that might be taken.

    Attributes
    ----------
    name : as its maker wrote it, of any characters
    size : bytes, as far as is known; `read` may still find another
    times : when it was made and written, by the wall clock of the computer that did it
    read : gives the bytes, no more than the size says; BadInput when they cannot be had
    """

    name: str
    size: int
    times: tuple[datetime, ...]
    read: Callable[[], bytes]


class Place(Protocol):
    """Where files may come from: a drive's image, or a folder on a stick."""

    def files(self, folder: str) -> Iterator[Found]:
        """The files directly in a folder at the top; none where there is no such folder."""

    def top(self) -> Iterator[Found]:
        """The files at the top."""

    def times(self) -> Iterator[datetime]:
        """When what lies at the top was made and written."""


class InImage:
    """The files of a FAT image."""

    def __init__(self, volume: Volume) -> None:
        self._volume = volume

    def files(self, folder: str) -> Iterator[Found]:
        """See `Place`; capitals make no difference, as on FAT."""
        for place in islice(self._volume.top(), MOST_NAMES):
            if place.is_folder and place.name.casefold() == folder:
                yield from self._found(self._volume.inside(place))
                return

    def top(self) -> Iterator[Found]:
        """See `Place`."""
        return self._found(self._volume.top())

    def _found(self, entries: Iterator[Entry]) -> Iterator[Found]:
        for entry in islice(entries, MOST_NAMES):
            if not entry.is_folder:
                yield Found(entry.name, entry.size, entry.times, partial(self._volume.read, entry))

    def times(self) -> Iterator[datetime]:
        """See `Place`: computers leave folders of their own there, stamped with the hour."""
        for entry in islice(self._volume.top(), MOST_NAMES):
            yield from entry.times


class InFolder:
    """The files of a folder that is mounted: no link is followed, no pipe waited for.

    Parameters
    ----------
    folder : its descriptor, open as a folder
    """

    def __init__(self, folder: int) -> None:
        self._folder = folder

    def files(self, folder: str) -> Iterator[Found]:
        """See `Place`."""
        try:
            inside = os.open(folder, _AS_FOLDER, dir_fd=self._folder)
        except OSError:
            return
        try:
            yield from _found(inside)
        finally:
            os.close(inside)

    def top(self) -> Iterator[Found]:
        """See `Place`."""
        return _found(self._folder)

    def times(self) -> Iterator[datetime]:
        """See `Place`: nothing, since we write there ourselves."""
        return iter(())


_AS_FOLDER = os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC
_AS_FILE = os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC


def _found(folder: int) -> Iterator[Found]:
    for name in sorted(_names(folder)):
        found = _regular(folder, name)
        if found is not None:
            yield found


def _names(folder: int) -> list[str]:
    with os.scandir(folder) as listed:
        return [item.name for item in islice(listed, MOST_NAMES)]


def _regular(folder: int, name: str) -> Found | None:
    """What may be read; a link, a pipe, a device or a folder is not there."""
    try:
        state = os.stat(name, dir_fd=folder, follow_symlinks=False)
    except OSError:
        return None
    if not stat.S_ISREG(state.st_mode):
        return None
    written: tuple[datetime, ...] = ()
    with suppress(ValueError, OverflowError, OSError):  # a time before the year 1 or after 9999
        written = (datetime.fromtimestamp(state.st_mtime),)
    return Found(name, state.st_size, written, partial(_read, folder, name, state.st_size))


def _read(folder: int, name: str, size: int) -> bytes:
    try:
        with os.fdopen(os.open(name, _AS_FILE, dir_fd=folder), "rb") as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise BadInput("it is no ordinary file; copy it again.")
            return file.read(size)
    except OSError as error:
        raise BadInput(f"it cannot be read ({error.strerror}); copy it again.") from None


@contextmanager
def image_at(path: Path) -> Iterator[Place]:
    """The files of the image at `path`.

    Raises
    ------
    Damaged : when it is no FAT drive, or cannot be read.
    """
    try:
        with path.open("rb") as file:
            yield InImage(Volume(file))
    except OSError as error:
        raise Damaged(f"The drive {path} cannot be read ({error.strerror or error}); name another.") from None


@contextmanager
def folder_at(path: Path, *below: str) -> Iterator[Place | None]:
    """The files of the folder `below` the folder at `path`; None when it is not there, or a link leads to it.

    Raises
    ------
    Damaged : when there is no folder at `path`.
    """
    try:
        folder = os.open(path, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    except OSError as error:
        raise Damaged(f"The folder {path} cannot be looked into ({error.strerror}); name another.") from None
    try:
        for name in below:
            try:
                inside = os.open(name, _AS_FOLDER, dir_fd=folder)
            except OSError:
                yield None
                return
            os.close(folder)
            folder = inside
        yield InFolder(folder)
    finally:
        os.close(folder)
