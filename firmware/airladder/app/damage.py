"""The log is looked at before it is opened: a damaged one is set aside and saved as far as it goes, and we say so."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.mending import mended

ABOUT = "damage"
"""What the note is about."""


def damage_of(log: Path) -> Mapping[str, str]:
    """Mend the log if it needs mending; the note for the player, none where all was well.

    A log that cannot be mended now hinders no practice either: nothing of it is lost, and the note says why.
    """
    try:
        found = mended(log)
    except LogFault as fault:
        return {ABOUT: str(fault)}
    return {} if found is None else {ABOUT: str(found)}
