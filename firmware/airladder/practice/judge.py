"""Judging one tone: honest, kind, and separate results; nothing is averaged into a score."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from airladder.hearing.events import Tone

SPLIT_SHARE = 0.3
"""A tone that was split for more of its time than this is called split: shorter splits are on the way."""


class Outcome(Enum):
    """What became of a try; the value is its name in the log."""

    SPOKE = "spoke"
    """The wanted partial sounded, and nothing else on the way."""
    CRACKED = "cracked"
    """The wanted partial sounded in the end, others on the way."""
    SPLIT = "split"
    """More than one partial sounded at once."""
    OTHER = "other"
    """Another partial sounded."""
    NOTHING = "nothing"
    """No partial stood, or nothing sounded."""


ARRIVED = frozenset({Outcome.SPOKE, Outcome.CRACKED})
"""The outcomes after which the exercise goes on to the next rung: the wanted partial was reached."""


@dataclass(frozen=True)
class Attempt:
    """One try at one rung: the row that is kept.

    Attributes
    ----------
    number : counts the tries of the session from 1
    t : when it was judged, s on the clock of the sound
    wanted : the partial asked for
    outcome : what became of it
    tone : what was heard; None when nothing was
    """

    number: int
    t: float
    wanted: int
    outcome: Outcome
    tone: Tone | None

    @property
    def others(self) -> tuple[int, ...]:
        """The partials that sounded on the way, other than the wanted one, each once."""
        return tuple(dict.fromkeys(_others(self.wanted, self.tone))) if self.tone else ()


def judged(wanted: int, tone: Tone) -> Outcome:
    """What became of a try at partial `wanted` that sounded as `tone`."""
    if tone.split > SPLIT_SHARE:
        return Outcome.SPLIT
    if tone.partial is None:
        return Outcome.NOTHING
    if tone.partial != wanted:
        return Outcome.OTHER
    return Outcome.CRACKED if _others(wanted, tone) else Outcome.SPOKE


def _others(wanted: int, tone: Tone) -> list[int]:
    return [partial for partial, _ in tone.path if partial is not None and partial != wanted]
