"""What a session came to: rung by rung, nothing averaged into a score."""

from __future__ import annotations

from dataclasses import dataclass

from airladder.practice.judge import ARRIVED, Attempt


@dataclass(frozen=True)
class Rung:
    """One partial as it went today.

    Attributes
    ----------
    partial : which
    tries : how many there were
    reached : how many of them ended on it
    nearest : the try that reached it with the fewest cents off, or None
    """

    partial: int
    tries: int
    reached: int
    nearest: Attempt | None


def rungs(attempts: tuple[Attempt, ...]) -> list[Rung]:
    """The rungs that were tried, in the order of the ladder."""
    return [_rung(partial, attempts) for partial in sorted({attempt.wanted for attempt in attempts})]


def _rung(partial: int, attempts: tuple[Attempt, ...]) -> Rung:
    tried = [attempt for attempt in attempts if attempt.wanted == partial]
    reached = [attempt for attempt in tried if attempt.outcome in ARRIVED]
    nearest = min(reached, key=_off, default=None)
    return Rung(partial, len(tried), len(reached), nearest)


def _off(attempt: Attempt) -> float:
    tone = attempt.tone
    return abs(tone.cents) if tone is not None and tone.cents is not None else float("inf")
