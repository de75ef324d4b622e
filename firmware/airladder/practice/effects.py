"""What the session wants done; the program around it does it."""

from __future__ import annotations

from dataclasses import dataclass

from airladder.practice.attempt import Attempt
from airladder.practice.state import State


@dataclass(frozen=True)
class Keep:
    """Write this try to the log, and say when it is safely on the disk (`session.Kept`)."""

    attempt: Attempt


Effect = Keep
Step = tuple[State, tuple[Effect, ...]]
"""The next state, and what is to be done."""
