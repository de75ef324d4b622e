"""What the box wants done, besides what a session wants."""

from __future__ import annotations

from dataclasses import dataclass

from airladder.pages.box import Box
from airladder.pages.choices import Choices
from airladder.pages.date import Date
from airladder.practice import effects
from airladder.practice.routine import Routine


@dataclass(frozen=True)
class Open:
    """A practice of `routine` begins, the one with this number, with these choices: open the log for its tries.

    `reasons` has one sentence for each exercise, and `remarks` what the coach said, where the coach chose.
    """

    practice: int
    routine: Routine
    choices: Choices
    reasons: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Shut:
    """The practice is over: no more tries of it come."""


@dataclass(frozen=True)
class Look:
    """Look into the log, and make today's plan, for these choices."""

    choices: Choices


@dataclass(frozen=True)
class Save:
    """Keep in the settings what was chosen: those of the choices that are named."""

    choices: Choices
    names: tuple[str, ...]

    @property
    def values(self) -> dict[str, object]:
        """The values to be kept, by their names."""
        return {name: getattr(self.choices, name) for name in self.names}


@dataclass(frozen=True)
class Tell:
    """The player says which date and time it is."""

    date: Date


Effect = effects.Effect | Open | Shut | Look | Save | Tell
Step = tuple[Box, tuple[Effect, ...]]
"""The next box, and what is to be done."""
