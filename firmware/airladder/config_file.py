"""Writes single values into the settings file, and leaves all else in it as its owner wrote it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from airladder.config import toml
from airladder.drive.putting import put
from airladder.faults import BadInput

_TABLE = re.compile(r"\s*\[")
_HEADING = "# Chosen on the box; may be edited.\n"


def write_values(values: Mapping[str, Any], path: Path) -> None:
    """Set the top-level keys `values` of the settings file at `path`, which is made if there is none.

    The file is replaced as a whole, after its new form has reached the disk: a power cut leaves the old one or the
    new one.

    Raises
    ------
    BadInput : when the file cannot be read or written, or cannot be changed without changing more; it is left alone.
    """
    lines = {key: f"{key} = {toml(value)}\n" for key, value in values.items()}
    try:
        old = path.read_text(encoding="utf-8") if path.exists() else ""
        new = "".join(_changed(old.splitlines(keepends=True), lines)) if old else _HEADING + "".join(lines.values())
        _check(old, new, lines.values())
        put(path.resolve(), new.encode())  # a link stays a link
    except OSError as refused:
        raise BadInput(
            f"What was chosen cannot be kept in {path} ({refused.strerror}); it holds until the box is switched off."
        ) from refused


def _changed(old: Sequence[str], lines: Mapping[str, str]) -> Iterator[str]:
    """The lines with the keys set where they stand; new ones before the first table."""
    rest = dict(lines)
    first_table = next((number for number, line in enumerate(old) if _TABLE.match(line)), len(old))
    for line in old[:first_table]:
        key = line.partition("=")[0].strip()
        yield rest.pop(key) if key in rest else line if line.endswith("\n") else f"{line}\n"
    yield from rest.values()
    yield from old[first_table:]


def _check(old: str, new: str, lines: Iterable[str]) -> None:
    """Holds the change to what was meant: the values, and nothing else."""
    try:
        wanted = {**tomllib.loads(old), **tomllib.loads("".join(lines))}
        fits = tomllib.loads(new) == wanted
    except tomllib.TOMLDecodeError:
        fits = False
    if not fits:
        raise BadInput(
            "What was chosen cannot be written into the settings file without changing more of it;"
            ' write keys like horn = "alto" on lines of their own.'
        )
