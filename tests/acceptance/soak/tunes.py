"""What the soak's player plays: recorded saxophones, one note a partial, and the noise of a room."""

from __future__ import annotations

import math
from random import Random

import numpy as np

from airladder.config import Settings
from airladder.hearing.block import HOP, Samples
from airladder.music.horns import HORNS
from saxophones import Played, reach, render_many

ROOM_DBFS = -70.0
PARTIALS = range(1, 9)
_HORN = "alto"
_SECONDS, _BENDS = 1.3, (-14.0, 0.0, 9.0)
_ROOM_HOPS = 941  # of noise, over and over; a prime number


class Tunes:
    """The sounds, made once.

    Recorded are the notes a player has on the keys; the partials above are stretched by the sound font.
    """

    def __init__(self, seed: int = 1) -> None:
        self._lots = Random(seed)
        series, horn = Settings().series, HORNS[_HORN]
        within = reach(horn)
        self._wanted = []
        for partial in PARTIALS:
            number = 69.0 + 12.0 * math.log2(series.tempered_hz(partial) / 440.0)
            whole = min(max(round(number), within.start), within.stop - 1)
            off = 100.0 * (number - whole)
            self._wanted += [Played(horn, whole, _SECONDS, 90, _within(off + bend)) for bend in _BENDS]
        self._notes = render_many(self._wanted)
        loud = 10 ** (ROOM_DBFS / 20.0) * np.random.default_rng(seed).standard_normal((_ROOM_HOPS, HOP))
        self._room = loud.astype(np.float32)
        self._at = 0

    def note(self, partial: int) -> Samples:
        """One of the notes on that partial, whole hops."""
        first = (min(max(partial, 1), PARTIALS[-1]) - 1) * len(_BENDS)
        note = self._notes[first + self._lots.randrange(len(_BENDS))]
        return note[: len(note) // HOP * HOP]

    def room(self) -> Samples:
        """A hop of silence, shape (256,)."""
        self._at = (self._at + 1) % _ROOM_HOPS
        room: Samples = self._room[self._at]
        return room


def _within(cents: float) -> float:
    return round(min(200.0, max(-200.0, cents)), 1)
