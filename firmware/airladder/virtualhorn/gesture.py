"""What a player does with breath, tongue, lip and throat to get one sound. Nothing here says what will sound.

Conventions
-----------
Times in seconds from the tongue's leaving the reed, or the first breath of an air start: LEAD_SECONDS after the first
sample.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airladder.virtualhorn.mouth import Setting

Kind = Literal["tongued", "air"]

LEAD_SECONDS = 0.05
"""Breath builds behind the tongue for so long before the tongue leaves the reed; an air start begins there."""


@dataclass(frozen=True)
class Gesture:
    """One breath.

    Attributes
    ----------
    partial : for which the mouth is set when the sound begins
    seconds : from the tongue's leaving, or the first breath of an air start, until the player lets go
    kind : started with the tongue, or with the air alone
    tongue_seconds : how long the tongue takes to leave the reed
    air_seconds : how long the breath of an air start takes to reach its full pressure
    breath : pressure of the breath, 1 the one that speaks best
    moves : the mouth goes over to another partial: when it begins to, and which; it takes `move_seconds` each time
    move_seconds : see `moves`
    tract_cents : how far the vocal tract lies from where it should be for the partial
    tract_share : how much of its strength the resonance of the vocal tract has; none lets the low partials sound
    lip : how much more tightly the lip holds the reed, -1 to 1; tighter is sharper
    lip_drift : how much it tightens from the beginning to the end
    vibrato_lip, vibrato_hz : how far the lip sways to each side, and how often a second
    noise : how rough the breath is, re its pressure
    setting : what the mouth is set to instead of what suits `partial`, e.g. one of mouth.SPLITTING
    level_dbfs : rms level of the steady sound
    """

    partial: int
    seconds: float = 1.5
    kind: Kind = "tongued"
    tongue_seconds: float = 0.003
    air_seconds: float = 0.25
    breath: float = 1.0
    moves: tuple[tuple[float, int], ...] = ()
    move_seconds: float = 0.02
    tract_cents: float = 0.0
    tract_share: float = 1.0
    lip: float = 0.0
    lip_drift: float = 0.0
    vibrato_lip: float = 0.0
    vibrato_hz: float = 5.0
    noise: float = 0.01
    setting: Setting | None = None
    level_dbfs: float = -18.0
