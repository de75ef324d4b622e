"""Everything the session knows: the one value from which the screen is drawn.

Conventions
-----------
Times in seconds on the clock of the sound. The state is never changed, only replaced (see `session.step`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from airladder.hearing.events import Reading, Tone
from airladder.music.series import Against, Series
from airladder.practice.ask import Ask, Task
from airladder.practice.attempt import Attempt
from airladder.practice.ease import Limits, Made, Offer
from airladder.practice.exercise import Exercise
from airladder.practice.judge import Voice
from airladder.practice.routine import Routine


class Aloud(Enum):
    """How the box sounds what is wanted; the value is its name in the settings."""

    SILENT = "silent"
    """Not at all: nobody wants it, or there is nothing to sound it with."""
    TONE = "tone"
    """For a moment."""
    DRONE = "drone"
    """On and on, under the player where earphones allow it."""


class Phase(Enum):
    """Where the player stands; each has a screen of its own."""

    WANTED = "wanted"
    """Something is asked for and nothing sounds: hear it, sing it, then play it."""
    SOUNDING = "sounding"
    """Something sounds."""
    GUESS = "guess"
    """A try has been judged; the player may guess sharp or flat before the cents are shown."""
    RESULT = "result"
    """A try has been judged and its result is shown."""
    SUNG = "sung"
    """What was sung is shown."""
    OFFER = "offer"
    """Something kinder is offered; whoever plays on has declined."""
    REST = "rest"
    """A rest, in which nothing is judged."""
    DONE = "done"
    """The last exercise is behind us; the summary is shown."""
    FREE = "free"
    """Whatever sounds is named and nothing is judged."""
    OVER = "over"
    """The player has left; the program may end."""


@dataclass(frozen=True)
class Listening:
    """What the Ear is to listen for: the fingered tube, what cents are from, and whether the player sings."""

    series: Series
    against: Against
    sings: bool = False


@dataclass(frozen=True)
class State:
    """The session at one moment.

    Attributes
    ----------
    routine : what is practised
    phase : where the player stands
    now : the newest time heard of, s
    since : when the phase began, s; lies ahead while a tone sounds, which is not the player's time
    begun : when the session began, s
    place : index into `routine.placed`
    instead : something easier that comes first, by the player's own choice
    tries : tries so far at what is asked
    reading : what sounds, while it sounds; the last reading of the tone in phase RESULT
    held_since : since when the partial now sounding has stood, s
    levels : (time, dBFS) of the try under way, ten a second
    pieces : the first tones of a slur that may still go on
    judged : the try that waits for the player's guess
    sung : what was sung for what is asked now
    attempts : all tries of this session in order
    begun_at : how many of them were made before the exercise now began
    kept : how many of them are safely on the disk
    passing : True while a note still sounds that belongs to something already left
    aloud : how the box sounds what is wanted
    sounds_until : when that ends at the latest, s; None while nothing of the box sounds
    offer : what is offered in phase OFFER
    offered : all offers so far
    limits : where offers are made
    troubles : what the player should know, as (about, sentence), the newest last
    """

    routine: Routine
    phase: Phase = Phase.WANTED
    now: float = 0.0
    since: float = 0.0
    begun: float = 0.0
    place: int = 0
    instead: Ask | None = None
    tries: int = 0
    reading: Reading | None = None
    held_since: float | None = None
    levels: tuple[tuple[float, float], ...] = ()
    pieces: tuple[Tone, ...] = ()
    judged: Attempt | None = None
    sung: Voice | None = None
    attempts: tuple[Attempt, ...] = ()
    begun_at: int = 0
    kept: int = 0
    passing: bool = False
    aloud: Aloud = Aloud.SILENT
    sounds_until: float | None = None
    offer: Offer | None = None
    offered: tuple[Made, ...] = ()
    limits: Limits = field(default_factory=Limits)
    troubles: tuple[tuple[str, str], ...] = ()

    @property
    def exercise(self) -> Exercise:
        """The exercise now; after the last one, that one."""
        return self.routine.placed[self.place].exercise

    @property
    def ask(self) -> Ask:
        """What is asked for now."""
        return self.instead or self.routine.placed[self.place].ask

    @property
    def listening(self) -> Listening:
        """What the Ear is to listen for."""
        sings = self.ask.task is Task.SING and self.phase in (Phase.WANTED, Phase.SOUNDING)
        return Listening(self.ask.series, self.exercise.against, sings)

    @property
    def trouble(self) -> str:
        """The sentence to be shown now, or empty."""
        return self.troubles[-1][1] if self.troubles else ""

    @property
    def wanted(self) -> int | None:
        """The partial asked for; None when nothing is."""
        if self.phase in (Phase.REST, Phase.DONE, Phase.FREE, Phase.OVER):
            return None
        return self.ask.wanted

    @property
    def held(self) -> float:
        """How long the partial now sounding has stood, s."""
        if self.reading is None or self.held_since is None:
            return 0.0
        return max(0.0, self.reading.t - self.held_since)

    @property
    def left(self) -> float:
        """How much of a rest, or of free playing, is left, s."""
        return max(0.0, self.ask.hold - (self.now - self.since))

    @property
    def hushed(self) -> bool:
        """Whether the silent moment before a try still lasts."""
        return self.phase is Phase.WANTED and self.now - self.since < self.ask.hush

    @property
    def listens(self) -> bool:
        """Whether the box sounds what is wanted, and the player only listens."""
        return self.sounds_until is not None and self.now < self.since

    @property
    def last(self) -> Attempt | None:
        """The newest try, the one that waits for a guess included."""
        return self.judged or (self.attempts[-1] if self.attempts else None)

    @property
    def here(self) -> tuple[Attempt, ...]:
        """The kept tries of the exercise now, since it began."""
        return self.attempts[self.begun_at :]
