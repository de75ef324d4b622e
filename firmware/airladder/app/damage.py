"""The log is looked at before it is opened: a damaged one is set aside and saved as far as it goes, and we say so.

At the start of the box there is time for the parts that matter at once; the whole log is looked at whenever a drive
is built of it, and what is found then is mended at the next start.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.health import checked
from airladder.journal.mending import mended

ABOUT = "damage"
"""What the note is about."""


def damage_of(log: Path, *, own: bool, whole: bool = False) -> Mapping[str, str]:
    """Mend the log if it needs mending; the note for the player, none where all was well.

    A log that cannot be mended now hinders no practice either: nothing of it is lost, and the note says why.

    Parameters
    ----------
    own : whether nobody but us puts files there: then even one that is no log at all is a log that was damaged
    whole : whether there is time to look at all of it; done too where it was doubted
    """
    doubts = _doubts(log)
    try:
        found = mended(log, whole=whole or doubts.exists(), own=own)
        doubts.unlink(missing_ok=True)
    except LogFault as fault:
        return {ABOUT: str(fault)}
    except OSError:  # a disk that takes nothing: the log says so itself as soon as a try is to be kept
        return {}
    return {} if found is None else {ABOUT: str(found)}


def look_through(log: Path) -> None:
    """Look at all of the log, which takes a while.

    Raises
    ------
    LogFault : when it is damaged; the next start mends it.
    """
    why = checked(log)
    if why is not None:
        _doubts(log).touch()
        raise LogFault(f"The log {log} is damaged ({why}); switch the box off and on, and it is mended.")


def _doubts(log: Path) -> Path:
    """Where it is remembered that a log is to be looked at as a whole."""
    return log.with_name(f".{log.name}.doubted")
