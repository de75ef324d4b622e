"""Which form a log has, without leading it up: opening it, even to read, would do that."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from airladder.journal import troubles
from airladder.journal.log import WAIT_S
from airladder.journal.steps import APPLICATION_ID, version_of


def form_of(path: Path) -> int | None:
    """The number of the last step done in the log at `path`; None where there is no log yet.

    Raises
    ------
    LogFault : when it cannot be told.
    """
    if not path.exists():
        return None
    with troubles.told(path):
        connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, timeout=WAIT_S)
        try:
            owner = connection.execute("PRAGMA application_id").fetchone()[0]
            if owner not in (0, APPLICATION_ID):
                raise troubles.foreign(path)
            return version_of(connection)
        finally:
            connection.close()
