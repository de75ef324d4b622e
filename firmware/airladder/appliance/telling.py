"""What the box says of itself where no screen is needed: a text beside the log, which goes out with the drive.

Conventions
-----------
Written anew only when it says something else, and not more often than the looks come. A text that cannot be written
hinders nobody; `systemctl status airladder` shows the newest sentence too.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

from airladder.devices.notify import Notifier
from airladder.drive.putting import put

logger = logging.getLogger(__name__)

WELL = "All is well."
HEADING = "How the box is, as far as it knows. What it says here it said on its screen too, if it has one.\n\n"
STUCK = "It waits for its {} in vain; switch the box off and on, and look at the wiring if it comes again."


def told(version: str, troubles: Mapping[str, str], stuck: tuple[str, ...]) -> str:
    """The text: the version, and a sentence for each trouble."""
    sentences = [*troubles.values(), *(STUCK.format(name) for name in stuck)]
    lines = [f"- {sentence}" for sentence in sentences] or [WELL]
    return f"{HEADING}Airladder {version}\n\n" + "\n".join(lines) + "\n"


class Telling:
    """Tells once each time it is called, if there is something new.

    Parameters
    ----------
    path : where the text lies (`app.handover.about_of`)
    version : of the program
    troubles : those that the box knows of now
    stuck : the threads that are stuck now
    notifier : by which systemd is told
    changed : called when the text has become another
    """

    def __init__(
        self,
        path: Path,
        version: str,
        troubles: Callable[[], Mapping[str, str]],
        stuck: Callable[[], tuple[str, ...]],
        notifier: Notifier,
        changed: Callable[[], None],
    ) -> None:
        self._path, self._version = path, version
        self._troubles, self._stuck, self._notifier, self._changed = troubles, stuck, notifier, changed
        self._said: str | None = None

    def __call__(self) -> None:
        """Tell."""
        troubles = self._troubles()
        text = told(self._version, troubles, self._stuck())
        if text == self._said:
            return
        self._said = text
        self._notifier.status(next(reversed(list(troubles.values())), WELL))
        for sentence in troubles.values():
            logger.warning("%s", sentence)
        with suppress(OSError):
            if not self._path.exists() or self._path.read_text("utf-8") != text:
                put(self._path, text.encode())
                self._changed()
