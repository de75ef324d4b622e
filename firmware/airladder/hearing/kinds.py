"""Whether a note was started with the tongue or with the air alone, and how sure that is.

Two things tell: how fast the note rises, and whether breath is heard before it, for while the tongue closes the reed
no air flows. Neither is enough alone: soft tongued notes rise slowly, loud ones begun with the air fast. Where the
room is louder than breath would be, the rise has to do, and says the less the louder the room is. A dip in a note
that goes on is the tongue's work most often.

Conventions
-----------
The chance of a start with the air is a logistic regression on the tuning half of the recorded notes, in quiet and in
noise (D. R. Cox, J. R. Stat. Soc. B 20 (1958) 215); the confidence is the chance of the kind that is named. What is
less than 85 per cent likely is unsure; its confidence is that of the likelier kind.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from airladder.hearing.events import Kind

_SURE = 0.85
_MIDDLE_MS, _OCTAVES = 48.0, 1.5  # rises beyond 1.5 octaves from the middle say no more than that
_BREATH_DB = -45.0  # re the note: breath before a start with the air is louder (4 kHz and above)
_BREATH_SPAN_DB = 10.0
_HEARD_DB = 6.0  # above the room
_QUIET_DB, _LOUD_DB = -30.0, -10.0  # re the note: rooms in which the rise says all it can, and nothing
_PER_OCTAVE, _PER_BREATH, _AFTER_DIP = 4.0, 2.0, -3.0


@dataclass(frozen=True)
class Traits:
    """What tells the kind.

    Attributes
    ----------
    rise_ms : from 10 to 90 per cent, ms
    breath_db : above 4 kHz, in the tenth of a second before the note, dB re the note; None after a dip
    room_breath_db : above 4 kHz while nothing sounds, dB re the note
    before_db : all that sounded before the note, dB re the note
    """

    rise_ms: float
    breath_db: float | None
    room_breath_db: float
    before_db: float


def kind_of(traits: Traits) -> tuple[Kind, float]:
    """How the note was started, and how likely that is right, 0.5 to 1."""
    air = air_chance(traits)
    confidence = max(air, 1.0 - air)
    if confidence < _SURE:
        return "unsure", confidence
    return ("air" if air > 0.5 else "tongued"), confidence


def air_chance(traits: Traits) -> float:
    """The chance that it was started with the air alone, 0 to 1."""
    octaves = math.log2(max(traits.rise_ms, 1.0) / _MIDDLE_MS)
    weight = min(1.0, max(0.0, (_LOUD_DB - traits.before_db) / (_LOUD_DB - _QUIET_DB)))
    slow = weight * min(_OCTAVES, max(-_OCTAVES, octaves))
    told = _AFTER_DIP
    if traits.breath_db is not None:
        told = _PER_BREATH * _breath(traits.breath_db, traits.room_breath_db)
    odds = _PER_OCTAVE * slow + told
    return 1.0 / (1.0 + math.exp(-odds))


def _breath(breath_db: float, room_breath_db: float) -> float:
    """1 where breath was heard, -1 where it was not though it could have been, 0 where that cannot be said."""
    if room_breath_db > _BREATH_DB:
        return 0.0
    if breath_db < room_breath_db + _HEARD_DB:
        return -1.0
    return min(1.0, max(-1.0, (breath_db - _BREATH_DB) / _BREATH_SPAN_DB))
