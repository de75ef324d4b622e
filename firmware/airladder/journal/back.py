"""A copy of the log in an older form, for somebody who goes back to an older version of this program.

Conventions
-----------
The step from form n back to n - 1 is the file ``schema/back/000n.sql``. What the older form has no place for is left
out and counted; the log itself stays as it is.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

from airladder.faults import BadInput, LogFault
from airladder.journal.aside import disk_told
from airladder.journal.flushing import flush
from airladder.journal.log import WAIT_S
from airladder.journal.opening import opened_to_read
from airladder.journal.steps import shipped
from airladder.journal.troubles import told


def as_form(path: Path, form: int, out: Path) -> Mapping[str, int]:
    """Write a copy of the log at `path` in an older form to `out`, where nothing may lie yet.

    Parameters
    ----------
    path : the log; one of an older form is brought up to the newest first, as whenever it is opened
    form : 1 to the newest form of this program
    out : the file to write; it is there whole or not at all

    Returns
    -------
    What the older form has no place for, with how many of each were left out or put otherwise; zeros are not in it.

    Raises
    ------
    BadInput : when there is no such form.
    LogFault : when the log cannot be read or the copy not be written.
    """
    newest = len(shipped())
    if not 1 <= form <= newest:
        raise BadInput(
            f"There is no form {form} of the log; this version of Airladder knows the forms 1 to {newest}."
        )
    log = opened_to_read(path, shipped(), WAIT_S)
    part = out.with_name(f".{out.name}.{os.getpid()}.part")
    try:
        with disk_told(out):
            if out.exists():
                raise LogFault(f"{out} is there already and is not written over; name a file that is not there yet.")
            part.open("xb").close()
            try:
                with told(out):
                    dropped = _copied(log, part, form)
                flush(part)
                part.rename(out)
            finally:
                part.unlink(missing_ok=True)
    finally:
        log.close()
    return dropped


def _copied(log: sqlite3.Connection, part: Path, form: int) -> dict[str, int]:
    copy = sqlite3.connect(part, isolation_level=None)
    try:
        log.backup(copy)
        copy.execute("PRAGMA journal_mode = OFF")  # one file, thrown away when anything fails
        copy.execute("CREATE TEMP TABLE dropped (what TEXT, count INTEGER)")
        for version in range(len(shipped()), form, -1):
            step = files("airladder.journal") / "schema" / "back" / f"{version:04}.sql"
            copy.executescript(step.read_text(encoding="utf-8"))
            copy.execute(f"PRAGMA user_version = {version - 1}")
        dropped = dict(copy.execute("SELECT what, count FROM dropped WHERE count").fetchall())
        copy.execute("VACUUM")  # what was left out is not in the file any more
    finally:
        copy.close()
    return dropped
