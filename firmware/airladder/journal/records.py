"""What the log holds, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from airladder.practice.attempt import Attempt


@dataclass(frozen=True)
class Head:
    """What is true of a whole session.

    Attributes
    ----------
    started : wall clock with offset; a label, nothing is ordered by it
    source : where the sound came from: "microphone NAME", "recording NAME", or "demo"
    invented : True when the player is the demo's, so that no report takes it for practice
    horn, fingering : their names
    a4_hz, against : the tuning, Hz, and what the cents are measured from ("tempered", "pure", "measured")
    exercise : its name
    version : of this program
    """

    started: datetime
    source: str
    invented: bool
    horn: str
    fingering: str
    a4_hz: float
    against: str
    exercise: str
    version: str


@dataclass(frozen=True)
class Session:
    """One session as read back from the log; `attempts` in the order in which they were made."""

    id: int
    head: Head
    attempts: tuple[Attempt, ...]
