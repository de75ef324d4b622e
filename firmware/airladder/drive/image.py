"""Builds a drive as one file: a partition table, and in its partition a FAT volume with the files of a folder.

Why a partition table: a drive without one is mounted by most computers, one with a single FAT partition by all. The
gadget's own page asks for it where Windows is to read the drive (linux-usb.org, "Backing Storage for the Mass Storage
Gadget"), Linux tells a bare volume from a table only by guessing (block/partitions/msdos.c), and sticks are sold so.

Conventions
-----------
The same folder, label and time give the same bytes. Everything is made aside, checked, brought to the disk, and put
in place by one rename: whoever looks at the path sees the old drive or the new one, whole.
"""

from __future__ import annotations

import shutil
import subprocess
import zlib
from collections.abc import Iterator
from datetime import datetime
from itertools import groupby
from pathlib import Path

from airladder.drive.geometry import BEFORE, MIB, SECTOR, Geometry, geometry, partition_table
from airladder.drive.putting import into_place
from airladder.drive.tools import run
from airladder.journal.aside import disk_told

LEAST = 16 * MIB
"""The least size of a volume, bytes: smaller ones would be FAT12, which modern computers have seldom met."""

_AT_ONCE = 200  # names to one call of mcopy: a command line has its limits


def build(files: Path, image: Path, label: str, when: datetime, *, least: int = LEAST) -> None:
    """Make the drive `image` of all that lies in the folder `files`.

    Parameters
    ----------
    files : the folder; what begins with a dot stays out
    image : where the drive is to lie
    label : its name for the computer, at most 11 capital letters, digits and hyphens
    when : the times of the files on it, by the wall clock of `when`
    least : the least size of the volume, bytes

    Raises
    ------
    Fault : when a tool is missing or fails, or there is no room; an old image is then as it was.
    """
    aside, joined = (image.with_name(f".{image.name}.{step}") for step in ("new", "joined"))
    with disk_told(image):
        image.parent.mkdir(parents=True, exist_ok=True)
        everything = sorted(_below(files), key=lambda path: path.relative_to(files).parts)
        folders = [path for path in everything if path.is_dir()]
        paths = sorted((path for path in everything if path.is_file()), key=lambda path: (path.parent, path.name))
        form = geometry(((path.relative_to(files).as_posix(), path.stat().st_size) for path in paths), least)
        mark = _mark(files, paths, label, when)
        try:
            _make(aside, form, label, mark, when)
            _fill(aside, files, paths, folders, when)
            run(["fsck.vfat", "-n", str(aside)], when)
            _prepend(aside, partition_table(form, mark), joined)
            into_place(aside, image)
        finally:
            aside.unlink(missing_ok=True)
            joined.unlink(missing_ok=True)


def _below(folder: Path) -> Iterator[Path]:
    for path in folder.iterdir():
        if path.name.startswith(".") or path.is_symlink():
            continue
        if path.is_dir():
            yield path
            yield from _below(path)
        elif path.is_file():
            yield path


def _mark(files: Path, paths: list[Path], label: str, when: datetime) -> int:
    """A number of 32 bits that changes with the content: computers cache what they know of a volume by it."""
    mark = zlib.crc32(f"{label} {when.isoformat()}".encode())
    for path in paths:
        mark = zlib.crc32(path.relative_to(files).as_posix().encode(), mark)
        with path.open("rb") as file:
            while block := file.read(MIB):
                mark = zlib.crc32(block, mark)
    return mark


def _make(volume: Path, form: Geometry, label: str, mark: int, when: datetime) -> None:
    volume.unlink(missing_ok=True)
    with volume.open("xb") as file:
        file.truncate(form.size)  # a file with holes: what is not used costs nothing
    shape = ["-F", str(form.fat), "-s", str(form.cluster // SECTOR), "-h", str(BEFORE // SECTOR), "--mbr=n"]
    run(["mkfs.vfat", "--invariant", *shape, "-i", f"{mark:08x}", "-n", label, str(volume)], when)


def _fill(volume: Path, files: Path, paths: list[Path], folders: list[Path], when: datetime) -> None:
    """Copies the files in a fixed order, so that they lie in the same clusters every time."""
    for some in _in_lots([_on_drive(folder, files) for folder in folders]):
        run(["mmd", "-i", str(volume), *some], when)
    for folder, group in groupby(paths, key=lambda path: path.parent):
        for some in _in_lots([str(path) for path in group]):
            run(["mcopy", "-i", str(volume), *some, _on_drive(folder, files)], when)


def _on_drive(path: Path, files: Path) -> str:
    return f"::/{path.relative_to(files).as_posix()}".removesuffix(".")


def _in_lots(names: list[str]) -> Iterator[list[str]]:
    for first in range(0, len(names), _AT_ONCE):
        yield names[first : first + _AT_ONCE]


def _prepend(volume: Path, table: bytes, joined: Path) -> None:
    """Sets the partition table before the volume, in place where the file system can (ext4, XFS), else by a copy."""
    if not _inserted(volume):
        with joined.open("wb") as target, volume.open("rb") as source:
            target.seek(BEFORE)
            shutil.copyfileobj(source, target, MIB)
        joined.replace(volume)
    with volume.open("r+b") as file:
        file.write(table)


def _inserted(volume: Path) -> bool:
    words = ["fallocate", "--insert-range", "--offset", "0", "--length", str(BEFORE), str(volume)]
    try:
        return subprocess.run(words, capture_output=True, check=False).returncode == 0
    except FileNotFoundError:
        return False
