"""Joins the logs of many devices into one studio, each try once, however often a drive is merged.

What counts as the same: a device by its first session, a session by its key (`identity`). A newer export takes the
place of an older one of the same device, month by month; an older one changes nothing. Two logs that begin alike and
then go apart, and a log that shares sessions with another device (a copy that was repaired, say), are left out with a
sentence, since nobody could count them without counting some tries twice or losing some.
"""

from __future__ import annotations

import fcntl
import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from airladder.faults import BadInput, Fault, LogFault
from airladder.journal.aside import disk_told
from airladder.journal.log import Reader
from airladder.studio.identity import device_of, label_of, session_keys
from airladder.studio.owners import Owners
from airladder.studio.rows import SessionRow, sessions
from airladder.studio.shelf import Shelf
from airladder.studio.sources import log_of

NAMES = "names.json"
"""Which device a person gave which name; may be edited, and what stands there stays."""

WritePage = Callable[[Reader, Path], None]
"""Writes the report of a log as a page."""


@dataclass
class Merged:
    """What became of the drives.

    Attributes
    ----------
    devices : those that were merged
    said : a sentence for each that was left as it was, since the studio knows more of it
    faults : for each that was left out
    """

    devices: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    @property
    def exit_code(self) -> int:
        """That of the gravest fault; 0 when every drive is in the studio."""
        return max((fault.exit_code for fault in self.faults), default=0)


def merge(drives: Sequence[Path], studio: Path, write_page: WritePage) -> Merged:
    """Bring the logs of `drives` into the studio, one after another, and write a page for each player.

    Parameters
    ----------
    drives : folders, images or logs, as `sources.log_of` takes them
    studio : its folder; made where it is missing
    write_page : writes a player's report

    Raises
    ------
    Fault : when the studio's own folder cannot be used; what is wrong with a drive is told in what is returned.
    """
    merged = Merged()
    with disk_told(studio):
        studio.mkdir(parents=True, exist_ok=True)
    with _alone(studio):
        names, owners = _Names(studio), Owners(studio)
        for drive in drives:
            try:
                _merge_one(drive, studio, write_page, names, owners, merged)
            except Fault as fault:
                merged.faults.append(fault)
    return merged


def _merge_one(
    drive: Path, studio: Path, write_page: WritePage, names: _Names, owners: Owners, merged: Merged
) -> None:
    with log_of(drive, studio) as log:
        keys = session_keys(log)
        device = device_of(keys)
        shelf = Shelf(studio, device)
        new, old = sessions(log, keys), shelf.sessions()
        if not _goes_on(new, old):
            if not _goes_on(old, new):
                raise LogFault(
                    f"The log in {drive} begins like one that was merged before and then goes another way; to take "
                    f"it in that one's place, remove the folders device={device} from {studio}."
                )
            merged.said.append(f"{drive} is older than what {studio} holds of {device}; that was left as it is.")
            return
        shared = owners.others(device, [session.values["key"] for session in new])
        if shared:
            raise LogFault(
                f"The log in {drive} shares sessions with {shared[0]}, which was merged before; it was left out so "
                f"that nothing counts twice: to take it in that one's place, remove the folders device={shared[0]}."
            )
        shelf.put(log, new, old)
        owners.add(device, [session.values["key"] for session in new])
        names.give(device, label_of(drive))
        players = studio / "players"
        with disk_told(players):
            players.mkdir(exist_ok=True)
        write_page(log, players / f"{device}.html")
        merged.devices.append(device)


def _goes_on(new: Sequence[SessionRow], old: Sequence[SessionRow]) -> bool:
    """Whether all sessions of `old` are in `new`, with all their tries."""
    counts = {session.values["key"]: session.values["tries"] for session in new}
    return all(counts.get(session.values["key"], -1) >= session.values["tries"] for session in old)


class _Names:
    """The names that people gave to devices.

    Raises
    ------
    BadInput : when the file holds something else.
    """

    def __init__(self, studio: Path) -> None:
        self._path = studio / NAMES
        self.names = names_of(studio)

    def give(self, device: str, name: str) -> None:
        """Give a device a name, unless it has one."""
        if name and device not in self.names:
            self.names[device] = name
            part = self._path.with_name(f".{NAMES}.part")
            with disk_told(self._path):
                part.write_text(json.dumps(self.names, indent=1, sort_keys=True, ensure_ascii=False) + "\n", "utf-8")
                part.replace(self._path)


def names_of(studio: Path) -> dict[str, str]:
    """The names that people gave to devices, by device.

    Raises
    ------
    BadInput : when the file holds something else.
    """
    path = studio / NAMES
    if not path.exists():
        return {}
    try:
        names = json.loads(path.read_text("utf-8"))
        if not isinstance(names, dict) or not all(isinstance(name, str) for name in names.values()):
            raise ValueError
    except (OSError, ValueError):
        raise BadInput(
            f'{path} cannot be read; wanted names like {{"box-0123": "room 3"}}: mend or remove it.'
        ) from None
    return names


@contextmanager
def _alone(studio: Path) -> Iterator[None]:
    """Two programs at once would each take the other's files for their own."""
    with disk_told(studio), (studio / ".lock").open("w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise LogFault(f"Another program merges into {studio} at this moment; wait until it has ended.") from None
        yield
