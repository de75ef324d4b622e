"""What the process holds, looked at every five minutes of the sound."""

from __future__ import annotations

import ctypes
import gc
import re
import sys
import threading
from collections import Counter
from dataclasses import asdict, dataclass
from pathlib import Path

from airladder.app.inbox import Inbox
from airladder.app.showing import Showing
from airladder.journal.keeper import Keeper

EVERY_SECONDS = 300.0
_FILES = Path("/proc/self/fd")


@dataclass(frozen=True)
class Sample:
    """One look. Memory in KiB, files in bytes, the rest counted.

    Attributes
    ----------
    hours : of the sound
    real_s : since the beginning, on the computer's clock
    rss, anon : memory of the process, and of that what is no file's
    held : KiB that malloc has given out and not got back: what RSS shows only once nothing free is left to fill
    blocks : the same of Python's own small blocks, counted
    files : open file descriptors
    threads, objects : as Python counts them; objects after a collection
    inbox, unkept, newest : what waits: letters, tries that are not in the log, boxes to be shown
    writers : journals of past practices that are still held
    log, wal : the log's size, and its write-ahead log's
    temporary : files in the temporary folder
    """

    hours: float
    real_s: float
    rss: int
    anon: int
    held: int
    blocks: int
    files: int
    threads: int
    objects: int
    inbox: int
    unkept: int
    newest: int
    writers: int
    log: int
    wal: int
    temporary: int


def looked(hours: float, real_s: float, log: Path, temporary: Path) -> Sample:
    """Look now."""
    gc.collect()
    objects = gc.get_objects()
    keepers = [thing for thing in objects if isinstance(thing, Keeper)]
    status = _status()
    return Sample(
        round(hours, 4),
        round(real_s, 2),
        status["VmRSS"],
        status["RssAnon"],
        held_kib(),
        sys.getallocatedblocks(),
        len(list(_FILES.iterdir())),
        threading.active_count(),
        len(objects),
        sum(thing._queue.qsize() for thing in objects if isinstance(thing, Inbox)),
        sum(len(keeper.unkept) for keeper in keepers),
        sum(thing._newest is not None for thing in objects if isinstance(thing, Showing)),
        len(keepers),
        _size(log),
        _size(log.with_name(f"{log.name}-wal")),
        sum(1 for path in temporary.rglob("*") if path.is_file()),
    )


def held_kib() -> int:
    """What malloc has given out, of all its arenas and beside them, KiB.

    Source: malloc_info(3) and glibc's malloc/malloc.c, `__malloc_info`: after those of the arenas come the totals, of
    what is free ("fast" and "rest"), what has a mapping of its own ("mmap"), and all of the arenas ("current").
    """
    libc, text, size = ctypes.CDLL(None), ctypes.c_char_p(), ctypes.c_size_t()
    libc.open_memstream.restype = ctypes.c_void_p
    stream = ctypes.c_void_p(libc.open_memstream(ctypes.byref(text), ctypes.byref(size)))
    libc.malloc_info(0, stream)
    libc.fclose(stream)
    totals = (text.value or b"").decode("ascii").rpartition("</heap>")[2]
    libc.free(text)
    sizes = {kind: int(number) for kind, number in re.findall(r'type="(\w+)"[^>]*size="(\d+)"', totals)}
    return (sizes["current"] + sizes["mmap"] - sizes["fast"] - sizes["rest"]) // 1024


def kinds_of_files() -> Counter[str]:
    """Open files by kind: socket, pipe, or the name."""
    return Counter(map(_kind, _FILES.iterdir()))


def kinds_of_objects(most: int = 400) -> Counter[str]:
    """The commonest objects by type."""
    gc.collect()
    return Counter(dict(Counter(type(thing).__qualname__ for thing in gc.get_objects()).most_common(most)))


def as_row(sample: Sample) -> dict[str, float]:
    """For a line of JSON."""
    return asdict(sample)


def _kind(number: Path) -> str:
    try:
        return str(number.readlink()).partition(":")[0]
    except OSError:  # the one by which the folder was read
        return "gone"


def _status() -> dict[str, int]:
    lines = (line.split() for line in Path("/proc/self/status").read_text("utf-8").splitlines())
    return {words[0].rstrip(":"): int(words[1]) for words in lines if words[-1] == "kB"}


def _size(path: Path) -> int:
    return path.stat().st_size if path.exists() else 0
