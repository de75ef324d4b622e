"""Simulated players: hidden skills that grow by practice, fade without it, and answer what the plan asks.

Conventions
-----------
Invented; no claim about real players rests on them. A skill is in logits (0: every second try is right), one a rung.
A skill begins at what the rung asks for, grows with each day on which the rung is tried, by less the nearer it is to
the player's ceiling, and fades a little with each day without practice. Chance comes from one seeded generator.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from random import Random

from airladder.music.fingerings import fingerings_of
from airladder.music.horns import Horn
from airladder.practice.ask import Ask, Task
from airladder.practice.coach.history import Day, Rung, Tally
from airladder.practice.routine import Routine

CEILING = 3.5  # 97 % right
_EASY = 3.0  # the fundamental
_STEP = 1.6  # each partial is so much harder than the one below it
_TRANSFER = 0.35  # practising a rung helps the same rung of the other long tubes so much
_HARDEST = -4.0


@dataclass(frozen=True)
class Character:
    """How a player learns.

    Attributes
    ----------
    name : of the kind
    gain : logits a day of practice at a rung far below the ceiling
    fade : logits lost with each day without practice
    form : how much good and bad days differ, standard deviation in logits
    tires : logits lost with each try of a day beyond the twentieth
    stuck_at : from this partial on nothing grows on the long tubes, until it is loosened
    loosens : chance of each day of practice on a short tube to loosen it
    misses : chance of a day to begin a break of 7 to 28 days
    """

    name: str
    gain: float
    fade: float = 0.005
    form: float = 0.2
    tires: float = 0.0
    stuck_at: int | None = None
    loosens: float = 0.0
    misses: float = 0.0


BEGINNER = Character("beginner", gain=0.06)
STEADY = Character("steady improver", gain=0.14)
STUCK = Character("stuck at partial 4", gain=0.14, stuck_at=5, loosens=0.12)
TIRES = Character("one who tires", gain=0.12, tires=0.08)
MISSES = Character("one who misses weeks", gain=0.14, misses=0.02)
ALL = (BEGINNER, STEADY, STUCK, TIRES, MISSES)


@dataclass
class Learner:
    """One simulated player on one horn."""

    character: Character
    horn: Horn
    random: Random
    skills: dict[Rung, float] = field(default_factory=dict)
    loosened: bool = False

    def __post_init__(self) -> None:
        self._long = {name: fingering.long for name, fingering in fingerings_of(self.horn).items()}

    def skill(self, rung: Rung) -> float:
        """Of a rung now."""
        return self.skills.setdefault(rung, self._first(rung))

    def _first(self, rung: Rung) -> float:
        fingering, partial = rung
        easier = 0.0 if self._long.get(fingering, False) else 1.0
        return max(_HARDEST, _EASY - _STEP * (partial - 1) + easier)

    def plays(self, routine: Routine, date: int, minutes: float) -> Day:
        """One day of what `routine` asks: the tries as the log would sum them up."""
        form = self.random.gauss(0.0, self.character.form)
        tallies: dict[Rung, list[int]] = {}
        played = 0
        for placed in routine.placed:
            played = self._answers(placed.ask, form, tallies, played)
        self._learns(tallies)
        made = tuple(Tally(*rung, *counts) for rung, counts in tallies.items())
        kinds = frozenset(exercise.name for exercise in routine.exercises)
        return Day(date, made, minutes, kinds, -30.0)

    def _answers(self, ask: Ask, form: float, tallies: dict[Rung, list[int]], played: int) -> int:
        if ask.task is not Task.PLAY:
            return played + ask.is_judged
        rung = str(ask.series.fingering), ask.partials[-1]
        counts = tallies.setdefault(rung, [0, 0, 0, 0])
        for _ in range(ask.tries):
            played += 1
            tired = self.character.tires * max(0, played - 20)
            right = self.random.random() < _share(self.skill(rung) + form - tired)
            counts[0] += 1
            counts[1] += right
            counts[2] += ask.cold
            counts[3] += ask.cold and right
            if right:
                break
        return played

    def _learns(self, tallies: dict[Rung, list[int]]) -> None:
        for fingering, partial in tallies:
            self._grow((fingering, partial), self.character.gain)
            if self._long.get(fingering):
                for other in (name for name, long in self._long.items() if long and name != fingering):
                    self._grow((other, partial), _TRANSFER * self.character.gain)
            elif partial > 1 and self.random.random() < self.character.loosens:
                self.loosened = True

    def _grow(self, rung: Rung, gain: float) -> None:
        stuck = self.character.stuck_at
        if stuck is not None and not self.loosened and rung[1] >= stuck and self._long.get(rung[0], False):
            return
        now = self.skill(rung)
        self.skills[rung] = now + gain * (1.0 - (now - _HARDEST) / (CEILING - _HARDEST)) * 1.5

    def rests(self) -> None:
        """A day without practice."""
        for rung, now in self.skills.items():
            self.skills[rung] = max(_HARDEST, now - self.character.fade)


def _share(logits: float) -> float:
    return 1.0 / (1.0 + math.exp(-logits))
