"""One try, as it is kept: what was asked, and each thing that was found, by itself.

Conventions
-----------
Times in seconds, frequencies in Hz, levels in dB. Names of fingerings are the written ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from itertools import groupby
from typing import Self

from airladder.hearing.events import Tone
from airladder.practice.ask import Ask, Start, Task
from airladder.practice.exercise import Exercise
from airladder.practice.judge import ARRIVED, Outcome, Voice, others

HELD_SHARE = 0.9
"""A note counts as held when it stood for this share of what was asked: nobody counts seconds on the horn."""


class Guess(Enum):
    """What the player thought before the cents were shown; the value is its name in the log."""

    FLAT = "flat"
    IN_TUNE = "in tune"
    SHARP = "sharp"


@dataclass(frozen=True)
class Asked:
    """What was asked for, in words and numbers that mean the same in ten years.

    Attributes
    ----------
    exercise : its name (`exercise.Kind`)
    fingering : what was to be fingered
    task : `ask.Task` PLAY, USUAL or SLUR
    partials : one, or those of the slur
    start, hold, swell, cold : as in `ask.Ask`
    beside_fingering, beside_partial, interval : the overtone that a usual fingering is set against, and how far below
        it one plays; None with all else
    """

    exercise: str
    fingering: str
    task: Task = Task.PLAY
    partials: tuple[int, ...] = (1,)
    start: Start = Start.ANY
    hold: float = 0.0
    swell: bool = False
    cold: bool = False
    beside_fingering: str | None = None
    beside_partial: int | None = None
    interval: str | None = None

    @classmethod
    def of(cls, exercise: Exercise, ask: Ask) -> Self:
        """What `ask` of `exercise` asks for."""
        beside = ask.beside
        return cls(
            exercise=exercise.name,
            fingering=str(ask.series.fingering),
            task=ask.task,
            partials=ask.partials,
            start=ask.start,
            hold=ask.hold,
            swell=ask.swell,
            cold=ask.cold,
            beside_fingering=None if beside is None else str(beside.series.fingering),
            beside_partial=None if beside is None else beside.partial,
            interval=None if beside is None else beside.interval.value,
        )


@dataclass(frozen=True)
class Attempt:
    """One try: the row that is kept.

    Attributes
    ----------
    number : counts the tries of the session from 1
    t : when it was judged, s on the clock of the sound
    wanted : the partial that was to stand in the end
    outcome : what became of it
    tone : what was heard; None when nothing was
    asked : what was asked for; None in logs that were kept before exercises had names
    difference_cents : of a usual fingering: how far the overtone had been above the consonance over it
    guess : what the player thought before the cents were shown
    sung : what was sung for it before
    swell_db : how much it grew and fell again: the smaller of the two
    """

    number: int
    t: float
    wanted: int
    outcome: Outcome
    tone: Tone | None
    asked: Asked | None = None
    difference_cents: float | None = None
    guess: Guess | None = None
    sung: Voice | None = None
    swell_db: float | None = None

    @property
    def others(self) -> tuple[int, ...]:
        """The partials that sounded on the way, other than the wanted ones, each once."""
        wanted = self.asked.partials if self.asked else (self.wanted,)
        return others(wanted, self.tone) if self.tone else ()

    @property
    def held(self) -> float:
        """How long the partial that sounded last was held, s; 0 when none stood."""
        if self.tone is None or self.tone.partial is None:
            return 0.0
        runs = [(partial, sum(s for _, s in parts)) for partial, parts in groupby(self.tone.path, key=lambda p: p[0])]
        return next((seconds for partial, seconds in reversed(runs) if partial == self.tone.partial), 0.0)

    @property
    def begun_as_asked(self) -> bool | None:
        """Whether it began as asked; None when any start would do, or when that could not be told."""
        if self.asked is None or self.asked.start is Start.ANY or self.tone is None or self.tone.attack is None:
            return None
        kind = self.tone.attack.kind
        return None if kind == "unsure" else kind == self.asked.start.value

    @property
    def right(self) -> bool:
        """Whether it was right and complete: reached, not begun in the other way, and held as long as asked."""
        if self.outcome not in ARRIVED or self.begun_as_asked is False:
            return False
        return self.asked is None or self.held >= HELD_SHARE * self.asked.hold
