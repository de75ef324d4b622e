"""The four saxophones: how they transpose, and how far down they go.

Conventions
-----------
Players read and think in written pitch, so every name they see is the written one; `sounding` gives what the
air does. Transpositions as in any orchestration handbook; ranges are common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.faults import BadInput, did_you_mean
from airladder.music.names import Name, parse


@dataclass(frozen=True)
class Horn:
    """One kind of saxophone.

    Attributes
    ----------
    name : its common name
    transposition : semitones from written to sounding pitch (negative: it sounds lower)
    lowest : the lowest written note that many of them have
    """

    name: str
    transposition: int
    lowest: Name

    def sounding(self, written: int) -> int:
        """The sounding note number of a written one."""
        return written + self.transposition


HORNS = {
    horn.name: horn
    for horn in (
        Horn("soprano", -2, parse("Bb3")),
        Horn("alto", -9, parse("Bb3")),
        Horn("tenor", -14, parse("Bb3")),
        Horn("baritone", -21, parse("A3")),
    )
}
"""All horns we know, by name, the highest first."""


def horn_named(text: str) -> Horn:
    """The horn of that name, in any letter case.

    Raises
    ------
    BadInput : when there is none, with the nearest name.
    """
    horn = HORNS.get(text.strip().casefold())
    if horn is None:
        raise BadInput(f"'{text}' is no horn that we know{did_you_mean(text, HORNS)}")
    return horn
