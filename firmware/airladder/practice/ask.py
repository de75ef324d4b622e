"""One thing that the player is asked for: the smallest step of an exercise.

Conventions
-----------
Times in seconds. A partial is one of the fingered tube that `series` is; with a usual fingering it is 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from airladder.music.series import Series
from airladder.music.usual import Interval
from airladder.practice.feedback import AT_ONCE, Feedback


class Task(Enum):
    """What is to be done; the value is its name in the log."""

    PLAY = "play"
    """Sound a partial."""
    USUAL = "usual"
    """Play the usual fingering of the overtone's pitch, or of a note below it."""
    SLUR = "slur"
    """Sound several partials in one breath, without a new start."""
    SING = "sing"
    """Sing, hum or imagine the pitch of a partial; never judged."""
    FREE = "free"
    """Whatever one likes; it is named, and not judged."""
    REST = "rest"
    """Put the horn down for a moment."""


class Start(Enum):
    """How the note is to begin; the value is its name in routines and in the log."""

    ANY = "any"
    TONGUED = "tongued"
    AIR = "air"


@dataclass(frozen=True)
class Beside:
    """The overtone that a usual fingering is set against: its tube, its partial, and how far below it one plays."""

    series: Series
    partial: int
    interval: Interval


@dataclass(frozen=True)
class Ask:
    """One thing asked for.

    Attributes
    ----------
    task : what is to be done
    series : the fingered tube that is listened to
    partials : one; two or more in order for a slur; none for FREE and REST
    start : how the note is to begin
    hold : how long the note is to be held, s; 0: until it has spoken. For FREE and REST how long they last
    swell : whether the note is to grow louder and softer again
    tries : how often it may be tried before the practice moves on
    hush : the silent moment before a try, to hear the note inwardly, s
    guess : whether the player guesses sharp or flat before the cents are shown
    feedback : how much is said after a try
    beside : of a usual fingering: what it is set against
    cold : whether it asks what was kept from other days, before any practising today
    """

    task: Task
    series: Series
    partials: tuple[int, ...] = ()
    start: Start = Start.ANY
    hold: float = 0.0
    swell: bool = False
    tries: int = 3
    hush: float = 0.0
    guess: bool = False
    feedback: Feedback = AT_ONCE
    beside: Beside | None = None
    cold: bool = False

    @property
    def wanted(self) -> int | None:
        """The partial that is to stand in the end; None when none is asked for."""
        return self.partials[-1] if self.partials else None

    @property
    def is_judged(self) -> bool:
        """Whether a tone is a try at it."""
        return self.task in (Task.PLAY, Task.USUAL, Task.SLUR)
