"""What the player can choose on the box itself, and how a press turns each choice.

Conventions
-----------
A4 in Hz. Note names are the written ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import TypeVar

from airladder.music.fingerings import Fingering, fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.names import parse
from airladder.music.pitch import A4_HIGHEST_HZ, A4_HZ, A4_LOWEST_HZ
from airladder.music.series import Against, Series
from airladder.practice.state import Aloud

Value = TypeVar("Value")


class Place(Enum):
    """Where the microphone is; the value is its name in the settings."""

    BELL = "bell"
    STAND = "stand"


class Item(Enum):
    """What can be chosen, in the order of the set-up."""

    HORN = "horn"
    FINGERING = "fingering"
    A4 = "a4"
    AGAINST = "against"
    ALOUD = "aloud"


FIRST_ITEMS = (Item.HORN, Item.FINGERING, Item.A4)
"""What must be known before the first practice."""

ITEMS = tuple(Item)
"""All of it."""


@dataclass(frozen=True)
class Choices:
    """What is chosen.

    Attributes
    ----------
    horn, fingering : what is played, and the fingered fundamental that is practised
    a4 : Hz
    against : what the cents are measured from
    aloud : how the box sounds what is wanted
    place : where the microphone is
    """

    horn: Horn = HORNS["alto"]
    fingering: Fingering = field(default=Fingering(parse("Bb3"), long=True))
    a4: float = A4_HZ
    against: Against = Against.TEMPERED
    aloud: Aloud = Aloud.TONE
    place: Place = Place.BELL

    @property
    def series(self) -> Series:
        """The series of the chosen tube."""
        return Series(self.horn, self.fingering, self.a4)


def turned(choices: Choices, item: Item, by: int) -> Choices:
    """One choice turned by so many steps; lists go round, A4 stops at its ends."""
    match item:
        case Item.HORN:
            return _on_horn(choices, _next(list(HORNS.values()), choices.horn, by))
        case Item.FINGERING:
            known = list(fingerings_of(choices.horn).values())
            return replace(choices, fingering=_next(known, choices.fingering, by))
        case Item.A4:
            return replace(choices, a4=min(A4_HIGHEST_HZ, max(A4_LOWEST_HZ, float(round(choices.a4) + by))))
        case Item.AGAINST:
            return replace(choices, against=_next(list(Against), choices.against, by))
        case Item.ALOUD:
            return replace(choices, aloud=_next(list(Aloud), choices.aloud, by))


def _on_horn(choices: Choices, horn: Horn) -> Choices:
    """The same fingering on another horn; low B flat where that horn has it not."""
    known = fingerings_of(horn)
    fingering = known.get(str(choices.fingering)) or known["Bb3"]
    return replace(choices, horn=horn, fingering=fingering)


def _next(values: Sequence[Value], value: Value, by: int) -> Value:
    return values[(values.index(value) + by) % len(values)]
