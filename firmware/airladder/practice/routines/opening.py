"""A routine file as it lies on the disk: opened with care, since anybody may have put anything there.

Conventions
-----------
Nothing is read beyond `MOST_BYTES`. The sentences name the file; what stands in it is checked elsewhere.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from airladder.faults import BadInput
from airladder.practice.routines.lines import Place, lines_of

MOST_BYTES = 64 * 1024
"""A routine is a page or two of text; what is larger is none."""

LONGEST_LINE = 1000
"""In characters. A key of 32 000 dots on one line keeps `tomllib` busy for 18 s, and takes the memory with it."""

_WANTED = 'wanted lines like: exercise = "rising".'


@dataclass(frozen=True)
class Document:
    """What a file says, and on which line each thing in it stands."""

    data: dict[str, Any]
    lines: dict[Place, int]


def opened(path: Path) -> Document:
    """The TOML in a file, its meaning unchecked.

    Raises
    ------
    BadInput : when it is missing, no ordinary file, too large, no text, empty, or no TOML.
    """
    text = _text(path)
    long = next((n for n, line in enumerate(text.split("\n"), 1) if len(line) > LONGEST_LINE), None)
    if long is not None:
        raise BadInput(f"Line {long} of {path} has more than {LONGEST_LINE} characters; break it into shorter ones.")
    if not text.strip():
        raise BadInput(f"{path} is empty; wanted a routine, that is version, name, about and its steps.")
    try:
        return Document(tomllib.loads(text), lines_of(text))
    except RecursionError:
        raise BadInput(f"{path} has lists or tables nested too deep to be read; a routine needs none.") from None
    except tomllib.TOMLDecodeError as error:
        what, where = _parted(str(error))
        raise BadInput(f"{path} is no TOML: {where}: {what}; {_WANTED}") from None


def _text(path: Path) -> str:
    try:
        if path.exists() and not path.is_file():
            what = "a folder" if path.is_dir() else "no ordinary file"
            raise BadInput(f"{path} is {what}; wanted a routine file, name.toml.")
        with path.open("rb") as file:
            read = file.read(MOST_BYTES + 1)
    except BadInput:  # which is a ValueError too
        raise
    except (OSError, ValueError) as error:  # ValueError: a null character in the name
        why = getattr(error, "strerror", None) or error
        raise BadInput(f"The routine file {path} cannot be read ({why}); name another.") from None
    if len(read) > MOST_BYTES:
        raise BadInput(f"{path} is larger than {MOST_BYTES // 1024} KiB; wanted a routine, a page or two of text.")
    try:
        return read.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = read.count(b"\n", 0, error.start) + 1
        raise BadInput(f"{path} is no text in UTF-8 (line {line}); save it as plain text in UTF-8.") from None


def _parted(message: str) -> tuple[str, str]:
    """What `tomllib` has to say, and where, from ``Invalid value (at line 1, column 5)``."""
    match = re.fullmatch(r"(.*) \(at (.*)\)", message, re.DOTALL)
    what, where = match.groups() if match else (message, "somewhere")
    return what[:1].lower() + what[1:], where
