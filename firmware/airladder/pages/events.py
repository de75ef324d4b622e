"""What the box hears of, besides what a session does."""

from __future__ import annotations

from dataclasses import dataclass

from airladder.pages.choices import Choices
from airladder.pages.glance import Glance
from airladder.pages.meter import Level
from airladder.pages.vitals import Vitals
from airladder.practice import session


@dataclass(frozen=True)
class Idle:
    """It is `t` seconds, and no sound came that could say so."""

    t: float


@dataclass(frozen=True)
class Looked:
    """The log was looked into, for these choices."""

    glance: Glance
    choices: Choices


@dataclass(frozen=True)
class Computer:
    """A computer is there at the USB socket, or has gone."""

    there: bool


@dataclass(frozen=True)
class Brought:
    """What became of what a drive or a stick brought, and of the drive itself: a sentence each; none: it is over."""

    sentences: tuple[str, ...]


@dataclass(frozen=True)
class Battery:
    """The battery is low, or well again."""

    low: bool


@dataclass(frozen=True)
class Handless:
    """Whether there is no button at all that could be pressed."""

    none: bool


@dataclass(frozen=True)
class NoOutput:
    """Nothing is there to sound a pitch with."""


@dataclass(frozen=True)
class Leave:
    """The program is told to end; `empty`: because the battery is."""

    empty: bool = False


@dataclass(frozen=True)
class KeptIn:
    """A try of the practice with this number is safely on the disk."""

    practice: int
    kept: session.Kept


OfTheBox = Computer | Brought | Battery | Vitals | Handless | NoOutput | Leave
Event = session.Event | Level | Idle | Looked | KeptIn | OfTheBox
