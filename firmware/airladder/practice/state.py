"""Everything the session knows: the one value from which the screen is drawn.

Conventions
-----------
Times in seconds on the clock of the sound. The state is never changed, only replaced (see `session.step`).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from airladder.hearing.events import Reading
from airladder.practice.exercise import Exercise
from airladder.practice.judge import Attempt


class Phase(Enum):
    """Where the player stands; each has a screen of its own."""

    WANTED = "wanted"
    """A rung is asked for and nothing sounds: hear it, sing it, then play it."""
    SOUNDING = "sounding"
    """Something sounds."""
    RESULT = "result"
    """A try has been judged and its result is shown."""
    DONE = "done"
    """The last rung is behind us; the summary is shown."""
    FREE = "free"
    """No exercise: whatever sounds is named and nothing is judged (`listen`)."""
    OVER = "over"
    """The player has left; the program may end."""


@dataclass(frozen=True)
class State:
    """The session at one moment.

    Attributes
    ----------
    exercise : what is practised (its series also says horn, fingering and A4)
    phase : where the player stands
    now : the newest time heard of, s
    since : when the phase began, s
    rung : index into `exercise.partials`
    tries : tries so far at this rung
    reading : what sounds, while it sounds; the last reading of the tone in phase RESULT
    held_since : since when the partial now sounding has stood, s
    attempts : all tries of this session in order
    kept : how many of them are safely on the disk
    passing : True while a note still sounds that belongs to a rung already left
    troubles : what the player should know, as (about, sentence), the newest last
    """

    exercise: Exercise
    phase: Phase = Phase.WANTED
    now: float = 0.0
    since: float = 0.0
    rung: int = 0
    tries: int = 0
    reading: Reading | None = None
    held_since: float | None = None
    attempts: tuple[Attempt, ...] = ()
    kept: int = 0
    passing: bool = False
    troubles: tuple[tuple[str, str], ...] = ()

    @property
    def trouble(self) -> str:
        """The sentence to be shown now, or empty."""
        return self.troubles[-1][1] if self.troubles else ""

    @property
    def wanted(self) -> int | None:
        """The partial asked for; None when nothing is."""
        if self.phase in (Phase.DONE, Phase.FREE, Phase.OVER):
            return None
        return self.exercise.partials[self.rung]

    @property
    def held(self) -> float:
        """How long the partial now sounding has stood, s."""
        if self.reading is None or self.held_since is None:
            return 0.0
        return max(0.0, self.reading.t - self.held_since)

    @property
    def last(self) -> Attempt | None:
        """The newest try."""
        return self.attempts[-1] if self.attempts else None
