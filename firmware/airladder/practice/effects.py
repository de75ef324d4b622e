"""What the session wants done; the program around it does it."""

from __future__ import annotations

from dataclasses import dataclass

from airladder.practice.attempt import Attempt
from airladder.practice.state import State


@dataclass(frozen=True)
class Keep:
    """Write this try to the log, and say when it is safely on the disk (`session.Kept`)."""

    attempt: Attempt


@dataclass(frozen=True)
class Sound:
    """Sound a pitch of `hz` for `seconds`, from now on, instead of what sounds."""

    hz: float
    seconds: float


@dataclass(frozen=True)
class Hush:
    """Let what sounds end softly."""


Effect = Keep | Sound | Hush
Step = tuple[State, tuple[Effect, ...]]
"""The next state, and what is to be done."""
