"""An export into one file, put in place whole, or onto the standard output."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TextIO

from airladder.export.contents import Contents
from airladder.export.lines import write_lines
from airladder.export.table import write_csv
from airladder.journal.aside import disk_told, put_in_place

Write = Callable[[Contents, TextIO, Sequence[int] | None], None]

WRITERS: dict[str, Write] = {"csv": write_csv, "jsonl": write_lines}
"""The forms of one row or line a try, by the usual ending of the file's name."""


def export(
    contents: Contents, path: Path | None, write: Write = write_csv, sessions: Sequence[int] | None = None
) -> None:
    """Write the tries of these sessions to `path`, or to the standard output when it is None.

    Parameters
    ----------
    contents : the log
    path : of the file
    write : one of `WRITERS`
    sessions : their numbers, such as one of `Contents.months`; all when it is None

    Raises
    ------
    LogFault : when it cannot be written; what lay at `path` before is then as it was.
    BrokenPipeError : when the reader of the standard output has gone.
    """
    if path is None:
        _to_standard_output(contents, write, sessions)
    else:
        with put_in_place(path, contents.log.path) as out:
            write(contents, out, sessions)


def export_session(contents: Contents, number: int, path: Path) -> None:
    """Write the session of this number to `path` as a Standard MIDI File.

    Raises
    ------
    LogFault : when there is no such session, or the file cannot be written; what lay there before is then as it was.
    """
    from airladder.export.midi import midi_file

    content = midi_file(contents.log.session(number), contents.dated[number])
    with put_in_place(path, contents.log.path) as out:
        out.buffer.write(content)


def _to_standard_output(contents: Contents, write: Write, sessions: Sequence[int] | None) -> None:
    # Text is wrapped anew: what the standard output was set up for may be neither UTF-8 nor free of translation.
    out = io.TextIOWrapper(sys.stdout.buffer, encoding="utf-8", newline="", write_through=True)
    with disk_told("the standard output"):
        try:
            write(contents, out, sessions)
            out.flush()
        finally:
            out.detach()
