"""The folder that goes out, gathered anew for as much as has changed: on the drive, or on a stick.

Conventions
-----------
The folder stays between builds. A file is made again only when what it is made of is another: beside the folder lies
a list of keys, one a file; where it is lost, everything is made again. What is not wanted any more goes away.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from airladder.drive.putting import put
from airladder.export.contents import Contents
from airladder.export.out import WRITERS, export
from airladder.export.readme import readme
from airladder.journal.aside import disk_told
from airladder.journal.copying import copy
from airladder.journal.log import Reader

LABEL = "AIRLADDER"
MONTHS = 13
"""As many as a year and the month under way: all others are in the log itself."""

SESSIONS = 20
"""As many as were lately, each as MIDI."""

CLIPS_BYTES = 64 * 1024 * 1024
"""Of the newest clips."""

_EMPTY = datetime(1980, 1, 1)

Make = Callable[[Path], object]


@dataclass(frozen=True)
class Staged:
    """What lies in the folder now.

    Attributes
    ----------
    when : of the newest try; 1980 where there is none
    made, taken_away : the names of the files that are other than at the last time; names with slashes
    """

    when: datetime
    made: tuple[str, ...]
    taken_away: tuple[str, ...]

    def __bool__(self) -> bool:
        """Whether anything is other than at the last time."""
        return bool(self.made or self.taken_away)


@dataclass(frozen=True)
class _Wanted:
    """A file that shall lie in the folder: `key` is another whenever what `make` would make is."""

    key: str
    make: Make


def stage(
    log: Reader,
    folder: Path,
    write_report: Callable[[Reader, Path], object],
    *,
    version: str,
    clips: Path | None = None,
    about: Path | None = None,
) -> Staged:
    """Gather what goes out in `folder`, which is made where it is missing.

    Parameters
    ----------
    log : what to hand over
    folder : ours alone: all else in it is taken away
    write_report : writes the page to a path
    version : of this program; another one makes everything anew
    clips : the folder of the clips, when there are any
    about : a text on the box itself, when there is one

    Raises
    ------
    LogFault : when the log cannot be read, or there is no room; the folder is made whole at the next time.
    """
    contents = Contents(log)
    wanted = dict(_wanted(contents, write_report, clips, about))
    keys = folder.with_name(f".{folder.name}.keys")
    with disk_told(folder):
        before = _keys_in(keys)
        after = {name: hashlib.sha256(f"{version} {one.key}".encode()).hexdigest() for name, one in wanted.items()}
        gone = sorted(set(_names_in(folder)) - set(wanted))
        for name in gone:
            (folder / name).unlink()
        made = [name for name in wanted if before.get(name) != after[name] or not (folder / name).is_file()]
        for name in made:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            wanted[name].make(folder / name)
        if made or gone:
            put(keys, json.dumps(after, indent=0).encode())
    return Staged(_newest(contents), tuple(made), tuple(gone))


def _wanted(
    contents: Contents,
    write_report: Callable[[Reader, Path], object],
    clips: Path | None,
    about: Path | None,
) -> Iterator[tuple[str, _Wanted]]:
    log = contents.log
    whole = _state_of(log.path)
    yield "README.txt", _Wanted(readme(), lambda path: put(path, readme().encode()))
    if about is not None and about.is_file():
        text = about.read_bytes()
        yield about.name, _Wanted(hashlib.sha256(text).hexdigest(), lambda path: put(path, text))
    yield "report.html", _Wanted(whole, lambda path: write_report(log, path))
    yield "log.sqlite", _Wanted(whole, lambda path: copy(log.path, path))
    for month, sessions in list(contents.months().items())[-MONTHS:]:
        key = _key_of(contents, sessions)
        for ending, write in WRITERS.items():
            yield f"tries/{month}.{ending}", _Wanted(key, _exported(contents, write, sessions))
    for number in contents.sessions[-SESSIONS:]:
        yield f"sessions/{number:05}.mid", _Wanted(_key_of(contents, (number,)), _midi(contents, number))
    for clip in [] if clips is None else _newest_clips(clips):
        state = clip.stat()
        yield f"clips/{clip.name}", _Wanted(f"{state.st_size} {state.st_mtime_ns}", _linked(clip))


def _exported(contents: Contents, write: Any, sessions: tuple[int, ...]) -> Make:
    return lambda path: export(contents, path, write, sessions)


def _midi(contents: Contents, number: int) -> Make:
    def make(path: Path) -> None:
        from airladder.export.midi import midi_file  # takes a while to import, and is seldom needed

        put(path, midi_file(contents.log.session(number), contents.dated[number]))

    return make


def _linked(clip: Path) -> Make:
    """The clip itself under a second name, which costs nothing, or a copy where the disk knows no such thing."""

    def make(path: Path) -> None:
        path.unlink(missing_ok=True)
        try:
            os.link(clip, path)
        except OSError:
            shutil.copyfile(clip, path)

    return make


def _state_of(log: Path) -> str:
    """Of the files of the log: another whenever anything at all was written, forgetting too."""
    states = []
    for path in (log, log.with_name(f"{log.name}-wal")):
        with suppress(FileNotFoundError):
            state = path.stat()
            states.append((state.st_size, state.st_mtime_ns))
    return str(states)


def _key_of(contents: Contents, sessions: tuple[int, ...]) -> str:
    """Another whenever an export of these sessions is: rows of tries come and go, but never change."""
    hashed = hashlib.sha256()
    for number in sessions:
        for row in contents.log.rows("SELECT * FROM session WHERE id = ?", (number,)):
            hashed.update(repr((contents.dated[number], tuple(row))).encode())
        for row in contents.log.rows("SELECT count(*) FROM attempt WHERE session = ?", (number,)):
            hashed.update(repr(tuple(row)).encode())
    return hashed.hexdigest()


def _newest_clips(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    newest = sorted(folder.glob("*.flac"), key=lambda path: (path.stat().st_mtime_ns, path.name), reverse=True)
    fit: list[Path] = []
    left = CLIPS_BYTES
    for path in newest:
        left -= path.stat().st_size
        if left < 0:
            break
        fit.append(path)
    return sorted(fit)


def _newest(contents: Contents) -> datetime:
    if not contents.sessions:
        return _EMPTY
    last = contents.sessions[-1]
    (row,) = contents.log.rows("SELECT max(t) - min(t) AS lasted FROM attempt WHERE session = ?", (last,))
    return contents.dated[last].when + timedelta(seconds=row["lasted"] or 0.0)


def _names_in(folder: Path) -> Iterator[str]:
    if folder.is_dir():
        yield from (path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir())


def _keys_in(path: Path) -> Mapping[str, Any]:
    try:
        read = json.loads(path.read_text("utf-8"))
    except (FileNotFoundError, ValueError):
        return {}
    return read if isinstance(read, dict) else {}
