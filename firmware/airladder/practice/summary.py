"""What a session came to: rung by rung, nothing averaged into a score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter

from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import ARRIVED


@dataclass(frozen=True)
class Rung:
    """One partial as it went today.

    Attributes
    ----------
    fingering : the written name of the tube; empty in logs that were kept before it stood with the try
    partial : which
    tries : how many there were
    reached : how many of them ended on it
    nearest : the try that reached it with the fewest cents off, or None
    """

    fingering: str
    partial: int
    tries: int
    reached: int
    nearest: Attempt | None


def rungs(attempts: Sequence[Attempt]) -> list[Rung]:
    """The rungs that were tried one at a time, fingering by fingering as they came, each in its ladder's order."""
    tried: dict[str, dict[int, list[Attempt]]] = {}
    for attempt in attempts:
        if attempt.asked is None or attempt.asked.task is Task.PLAY:
            fingering = attempt.asked.fingering if attempt.asked else ""
            tried.setdefault(fingering, {}).setdefault(attempt.wanted, []).append(attempt)
    return [
        _rung(fingering, partial, here)
        for fingering, ladder in tried.items()
        for partial, here in sorted(ladder.items(), key=itemgetter(0))
    ]


def _rung(fingering: str, partial: int, tried: Sequence[Attempt]) -> Rung:
    reached = [attempt for attempt in tried if attempt.outcome in ARRIVED]
    return Rung(fingering, partial, len(tried), len(reached), min(reached, key=_off, default=None))


def _off(attempt: Attempt) -> float:
    tone = attempt.tone
    return abs(tone.cents) if tone is not None and tone.cents is not None else float("inf")
