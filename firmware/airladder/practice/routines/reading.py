"""Routine files become routines: a file and what it includes, checked whole, for one player on one horn.

Conventions
-----------
Every fault is told at once, each as ``line N: key: sentence``; a fault of an included file names the file. A `folder`
is the player's own; without one, what a file includes is looked for beside it, and then among the shipped ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from airladder.faults import BadInput
from airladder.practice.exercises.length import seconds_of
from airladder.practice.routine import Routine
from airladder.practice.routines.including import MOST_STEPS, TOO_MANY, Reader
from airladder.practice.routines.library import SHIPPED, files_in, path_of
from airladder.practice.routines.opening import opened
from airladder.practice.routines.sheet import MOST_MINUTES, Sheet, head_of
from airladder.practice.routines.telling import Faults, Spot
from airladder.practice.setting import Setting


@dataclass(frozen=True)
class Listed:
    """A routine to choose from.

    Attributes
    ----------
    called : the name by which `named` finds it
    name, about, minutes : as the file says; empty and None when it cannot be read
    fault : why it cannot be chosen; empty when its head is well
    """

    called: str
    name: str = ""
    about: str = ""
    minutes: float | None = None
    fault: str = ""


def read(path: Path, setting: Setting, *, folder: Path | None = None) -> Routine:
    """The routine in a file, for a player.

    Raises
    ------
    BadInput : tells every fault of the file and of those that it includes.
    """
    reader = Reader(setting, path.parent if folder is None else folder, Faults(path))
    sheet = reader.sheet(path)
    reader.faults.raise_any()
    _check_size(sheet, Spot(path, reader.faults))
    reader.faults.raise_any()
    return Routine(sheet.head.name, tuple(sheet.played(setting.day)))


def named(name: str, setting: Setting, *, folder: Path | None = None) -> Routine:
    """The routine of that name: a file of the player's `folder`, or a shipped one.

    Raises
    ------
    BadInput : when there is none, with the nearest name, or when its file has faults.
    """
    return read(path_of(name, folder), setting, folder=folder or SHIPPED)


def names(folder: Path | None = None) -> list[Listed]:
    """All routines to choose from, in the order of the alphabet; a file that cannot be read is told as such."""
    return [_listed(name, path) for name, path in files_in(folder).items()]


def shipped_names() -> list[str]:
    """The names of the routines that come with the program, in the order of the alphabet."""
    return list(files_in(None))


def _listed(name: str, path: Path) -> Listed:
    faults = Faults(path)
    try:
        document = opened(path)
        head = head_of(document.data, document.lines, Spot(path, faults))
        faults.raise_any()
    except BadInput as fault:
        return Listed(name, fault=str(fault))
    return Listed(name, head.name, head.about, head.minutes)


def _check_size(sheet: Sheet, spot: Spot) -> None:
    """No day may be longer than a careful teacher would let it be."""
    for day in range(1, sheet.days + 1):
        # A few files may include one another 200 ** 8 times: never count to the end.
        exercises = list(islice(sheet.played(day), MOST_STEPS + 1))
        if len(exercises) > MOST_STEPS:
            spot.add(0, "step", TOO_MANY)
            return
        minutes = sum(seconds_of(exercise) for exercise in exercises) / 60.0
        if minutes > MOST_MINUTES:
            spot.add(0, "step", f"day {day} takes about {minutes:.0f} minutes; wanted at most {MOST_MINUTES:g}.")
            return
