"""What a pitch tracker says of one hop."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Pitch:
    """What is heard in one hop.

    Attributes
    ----------
    hz : fundamental frequency of what sounds, Hz; 0 when nothing periodic does
    clarity : how alike the sound is to itself a period ago, 0 to 1
    clear : whether something periodic sounds at all
    partial : of the fingered tube, or None
    """

    hz: float
    clarity: float
    clear: bool = False
    partial: int | None = None


NOTHING = Pitch(0.0, 0.0)
"""Nothing periodic sounds."""
