"""An exercise: what it is called, the tube whose ladder is shown, and what is asked for, one thing after another."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from airladder.music.series import Against, Series
from airladder.practice.ask import Ask


class Kind(Enum):
    """The kinds of exercise; the value is its name on the screen, in routines and in the log."""

    COLD = "cold"
    FUNDAMENTAL = "fundamental"
    RISING = "rising"
    FALLING = "falling"
    SKIPPING = "skipping"
    HEAR = "hear first"
    COMPARE = "compare"
    LOW = "compare low"
    STARTS = "starts"
    SLURS = "slurs"
    LONG = "long tone"
    FREE = "free"
    REST = "rest"


@dataclass(frozen=True)
class Exercise:
    """What is to be sounded.

    Attributes
    ----------
    kind : which
    series : the tube whose ladder is shown
    asks : in order; of at least one thing
    against : what the cents are measured from
    """

    kind: Kind
    series: Series
    asks: tuple[Ask, ...]
    against: Against = Against.TEMPERED

    @property
    def name(self) -> str:
        """What the player calls it, at most 20 characters."""
        return self.kind.value

    @property
    def rungs(self) -> tuple[int, ...]:
        """The partials of the ladder that are asked for or set against something, rising; empty for a rest."""
        asked = {partial for ask in self.asks if ask.beside is None for partial in ask.partials}
        beside = {ask.beside.partial for ask in self.asks if ask.beside is not None}
        return tuple(sorted(asked | beside))
