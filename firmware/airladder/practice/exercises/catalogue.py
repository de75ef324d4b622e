"""What each exercise is for and what is usual with it: `catalogue.toml`, read once and checked."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from airladder.practice.exercise import Kind
from airladder.practice.feedback import Feedback


@dataclass(frozen=True)
class Usual:
    """One kind of exercise.

    Attributes
    ----------
    about : what it is for, a sentence for the player
    tries, hold, hush, guess : as in `ask.Ask`
    band, every : as in `feedback.Feedback`
    """

    about: str
    tries: int = 1
    hold: float = 0.0
    hush: float = 0.0
    guess: bool = False
    band: float = 0.0
    every: int = 1

    @property
    def feedback(self) -> Feedback:
        """How much is said after a try."""
        return Feedback(self.band, self.every)


@cache
def catalogue() -> Mapping[Kind, Usual]:
    """All kinds."""
    text = (files("airladder.practice.exercises") / "catalogue.toml").read_text(encoding="utf-8")
    values = tomllib.loads(text)
    return {Kind(name): Usual(**usual) for name, usual in values.items()}


def about(kind: Kind) -> str:
    """What an exercise is for, in a sentence for the player."""
    return catalogue()[kind].about
