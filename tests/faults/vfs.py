"""The disk under SQLite, as the tests have it: it writes down what happens to it, and fails on cue (faultyvfs.c)."""

from __future__ import annotations

import ctypes
import hashlib
import shutil
import sqlite3
import struct
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path

from cachefolder import CACHE

SOURCE = Path(__file__).with_name("faultyvfs.c")
_HEAD = struct.Struct("=iiqq")


class What(IntEnum):
    """What is done to the disk; numbered as in faultyvfs.c."""

    OPEN = 0
    WRITE = 1
    TRUNCATE = 2
    SYNC = 3
    DELETE = 4
    MARK = 5
    READ = 6
    SHARE = 7
    LOCK = 8


@dataclass(frozen=True)
class Deed:
    """One record of the trace; what the fields mean to each kind stands in faultyvfs.c.

    Attributes
    ----------
    what : the kind
    file : the number of the opened file
    place : an offset, a length, or whether the folder was flushed
    data : the bytes written, or the path
    """

    what: What
    file: int
    place: int
    data: bytes


class FaultyDisk:
    """The shim, made the way in which SQLite reaches files in this process while a block `with disk.used()` lasts.

    Raises
    ------
    RuntimeError : when it cannot get under this Python's SQLite, with what to do.
    """

    def __init__(self) -> None:
        self._shim = ctypes.CDLL(str(_compiled()))
        self._shim.faultyvfs_trace.restype = ctypes.c_void_p
        self._shim.faultyvfs_filled.restype = ctypes.c_long
        self._shim.faultyvfs_failed.restype = ctypes.c_long
        self._shim.faultyvfs_mark.argtypes = [ctypes.c_long]
        self._shim.faultyvfs_cue.argtypes = [
            *(ctypes.POINTER(ctypes.c_int * len(What)), ctypes.c_long, ctypes.c_int, ctypes.c_int)
        ]

    @contextmanager
    def used(self) -> Iterator[None]:
        """All connections made in the block go through the shim."""
        assert self._shim.faultyvfs_use(1) == sqlite3.SQLITE_OK
        try:
            yield
        finally:
            self.well()
            self._shim.faultyvfs_record(0)
            self._shim.faultyvfs_use(0)

    def record(self) -> None:
        """Begin the trace anew."""
        self._shim.faultyvfs_record(1)

    def mark(self, number: int) -> None:
        """Put a number into the trace."""
        self._shim.faultyvfs_mark(number)

    def trace(self) -> list[Deed]:
        """All that has happened since `record`."""
        size = self._shim.faultyvfs_filled()
        raw = ctypes.string_at(self._shim.faultyvfs_trace(), size) if size else b""
        deeds, at = [], 0
        while at < size:
            what, file, place, length = _HEAD.unpack_from(raw, at)
            at += _HEAD.size
            deeds.append(Deed(What(what), file, place, raw[at : at + length]))
            at += length
        return deeds

    def fail(self, codes: Mapping[What, int], nth: int, *, lasting: bool = False, torn: bool = False) -> None:
        """Let the n-th of these kinds of deeds from now on fail with its code of SQLite; `lasting`: all from there.

        `torn`: half of a write that fails reaches the file.
        """
        row = (ctypes.c_int * len(What))(*(codes.get(what, 0) for what in What))
        self._shim.faultyvfs_cue(ctypes.byref(row), nth, lasting, torn)

    def well(self) -> None:
        """Let nothing fail any more."""
        self._shim.faultyvfs_well()

    @property
    def failed(self) -> int:
        """How many deeds have failed since `fail`."""
        return int(self._shim.faultyvfs_failed())


def _compiled() -> Path:
    """The shim as a library, compiled when its source has changed."""
    _look_for("gcc is", shutil.which("gcc") is not None, "gcc")
    _look_for("SQLite's header is", Path("/usr/include/sqlite3.h").exists(), "libsqlite3-dev")
    if "libsqlite3.so" not in Path("/proc/self/maps").read_text():
        raise RuntimeError(
            f"{sys.executable} has SQLite built in, and the faulty disk can only get under the system's "
            "libsqlite3.so.0: run the tests with a Python that uses that, such as Debian's python3."
        )
    library = CACHE / "faults" / f"faultyvfs-{hashlib.sha256(SOURCE.read_bytes()).hexdigest()[:16]}.so"
    if not library.exists():
        library.parent.mkdir(parents=True, exist_ok=True)
        part = library.with_suffix(".part")
        flags = ["-Wall", "-Wextra", "-Werror", "-O1", "-fPIC", "-shared"]
        subprocess.run(["gcc", *flags, "-o", part, SOURCE, "-lsqlite3", "-lpthread"], check=True)
        part.replace(library)
    return library


def _look_for(what: str, there: bool, package: str) -> None:
    if not there:
        raise RuntimeError(f"{what} missing, and the tests of the log's faults need it: apt-get install {package}")
