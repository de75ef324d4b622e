"""Where the player is on the way: on the long fingerings, on a detour over the short ones, or just back from it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from airladder.practice.coach.history import Rung


class Leg(Enum):
    """Which part of the way this is."""

    LONG = "long"
    """The long fingerings, low B flat to low D."""
    DETOUR = "detour"
    """Some days on the shorter fingerings, E flat and up."""
    BACK = "back"
    """The first days back on the long ones, in which it shows whether the detour helped."""


@dataclass(frozen=True)
class Plateau:
    """A stretch of days without headway at one rung.

    Attributes
    ----------
    rung : where
    day : index into the history of the day after which it was seen
    sentence : why it is called so, for a player
    """

    rung: Rung
    day: int
    sentence: str


@dataclass(frozen=True)
class Detour:
    """A detour that is over, and what it was good for.

    Attributes
    ----------
    plateau : what it led round
    first, last : indices into the history of its days
    helped : True or False; None when it is too soon, or when nothing can be told
    sentence : the same for a player
    """

    plateau: Plateau
    first: int
    last: int
    helped: bool | None
    sentence: str


@dataclass(frozen=True)
class Course:
    """The whole way so far.

    Attributes
    ----------
    leg : which part of the way today is
    plateau : the one that the detour leads round, on legs DETOUR and BACK
    days_left : how many days of the detour, or of being back, are still to come, today included
    plateaus : all that were called, in order
    detours : all that are over, in order
    """

    leg: Leg = Leg.LONG
    plateau: Plateau | None = None
    days_left: int = 0
    plateaus: tuple[Plateau, ...] = ()
    detours: tuple[Detour, ...] = ()
