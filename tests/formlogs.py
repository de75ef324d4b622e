"""Logs of every form made by the sqlite3 command, and what that command says of a log: an outside program (SQLite's
own shell, Debian package sqlite3)."""

from __future__ import annotations

import subprocess
from pathlib import Path

FORMS = Path(__file__).parent / "unit" / "journal" / "forms"


def made(form: int, path: Path) -> Path:
    """Make the log of this form with its invented rows at `path`."""
    with (FORMS / f"form-{form}.sql").open(encoding="utf-8") as dump:
        subprocess.run(["sqlite3", "-bail", path], stdin=dump, check=True)
    return path


def shell(path: Path, command: str) -> str:
    """What the sqlite3 command prints for a command or a query on a file that it only reads."""
    told = subprocess.run(
        ["sqlite3", "-readonly", "-bail", path, command], capture_output=True, text=True, check=True
    )
    return told.stdout


def rows(path: Path) -> list[str]:
    """Every row, as the sqlite3 command dumps it."""
    return sorted(line for line in shell(path, ".dump").splitlines() if line.startswith("INSERT INTO"))
