"""What spoils a log, and what is compared of it afterwards."""

from __future__ import annotations

from pathlib import Path

from formlogs import rows, shell

PAGE = 4096


def spoil(path: Path, at: int, with_: bytes) -> None:
    content = bytearray(path.read_bytes())
    content[at : at + len(with_)] = with_
    path.write_bytes(content)


def spoil_a_wait(path: Path) -> None:
    """Spoil a page that waits, of those that wait again in a later commit."""
    beside = path.with_name(path.name + "-wal")
    content, frame = beside.read_bytes(), 24 + PAGE
    numbers = [content[at : at + 4] for at in range(32, len(content), frame)]
    at = next(n for n in range(10, len(numbers)) if numbers[n] in numbers[n + 3 :])
    spoil(beside, 32 + at * frame + 24 + 7, b"\xa5\x5a")


def everything(path: Path) -> list[str]:
    """Every row of a log, and the switches that a dump leaves out."""
    return [*rows(path), shell(path, "PRAGMA user_version; PRAGMA application_id; PRAGMA integrity_check")]


def bytes_of(folder: Path) -> dict[str, bytes]:
    """The files of a folder; SQLite's shared memory, which holds nothing of the log's own, is left out."""
    return {file.name: file.read_bytes() for file in folder.iterdir() if not file.name.endswith("-shm")}
