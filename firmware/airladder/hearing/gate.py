"""Says when a note begins, goes on, begins anew, and ends.

Conventions
-----------
A note begins when something periodic stands above the room; breath, clicks and noise are not periodic. It ends by
its level, or after a quarter of a second of noise. It begins anew when its level dips and comes back and aubio
hears an onset there, by the high frequency content (P. Masri, Computer modeling of sound for transformation and
synthesis of musical signals, PhD thesis, Bristol, 1996): it fires when the reed opens, not when it is stopped.
"""

from __future__ import annotations

import math
from collections import deque
from enum import Enum, auto

import aubio

from airladder.hearing.block import HOP, HOP_SECONDS, RATE
from airladder.hearing.levels import STRETCH, STRETCH_SECONDS, Levels, highest_of_last, steps_of
from airladder.hearing.pitch import Pitch

_QUIETEST_DBFS = -60.0  # no saxophone note before a microphone is softer
_ABOVE_ROOM_DB = 10.0  # a note begins this far above the room ...
_STILL_ABOVE_ROOM_DB = 5.0  # ... and ends when it is no longer this far above it,
_BELOW_NOTE_DB = 26.0  # or this far below its own level of the last second
_RISES_DB = 6.0  # the last of a note that dies away is no new one: that has to rise
_CLEAR_HOPS = 2
_QUIET_HOPS = 8  # 43 ms of quiet is an end
_UNCLEAR, _UNCLEAR_HOPS = 0.5, 47  # 250 ms of noise is one too
_DIP = 5.0  # the tongue on the reed silences it: the amplitude falls by 14 dB (beats of a split less) and is back ...
_DIP_HOPS = 28  # ... within 150 ms
_APART_HOPS = 12  # 64 ms: nobody tongues faster than 15 times a second


class Gate(Enum):
    """What a hop means for the note."""

    SILENT = auto()
    OPENS = auto()
    SOUNDS = auto()
    AGAIN = auto()
    ENDS = auto()


class NoteGate:
    """Follows levels and pitches hop by hop.

    Parameters
    ----------
    period : of the fingered fundamental, s: the envelope is the highest peak of one period

    Attributes
    ----------
    ago : how long before the newest sample the moment of the last verdict lies, s
    """

    def __init__(self, period: float) -> None:
        self._steps = steps_of(period)
        self._onsets = aubio.onset("hfc", 1024, HOP, RATE)
        self._levels: deque[float] = deque(maxlen=round(1.0 / HOP_SECONDS))
        self.ago = 0.0
        self._open = False
        self._lowest_dbfs = -math.inf  # since the last note ended
        self._clear = self._quiet = self._unclear = self._age = 0

    def feed(self, levels: Levels, pitch: Pitch) -> Gate:
        """What the newest hop means."""
        onset = bool(self._onsets(levels.clean)[0])
        self._clear = self._clear + 1 if pitch.clear else 0
        self._age += 1
        if not self._open:
            return self._closed(levels, pitch)
        self._levels.append(levels.level_dbfs)
        if self._over(levels, pitch):
            self._open = False
            self._lowest_dbfs = levels.level_dbfs
            return Gate.ENDS
        if onset and self._age > _APART_HOPS and self._dipped(levels):
            self._opened()
            return Gate.AGAIN
        return Gate.SOUNDS

    def _closed(self, levels: Levels, pitch: Pitch) -> Gate:
        self._lowest_dbfs = min(self._lowest_dbfs, levels.level_dbfs)
        opening = max(_QUIETEST_DBFS, levels.floor_dbfs + _ABOVE_ROOM_DB, self._lowest_dbfs + _RISES_DB)
        if self._clear >= _CLEAR_HOPS and levels.level_dbfs > opening:
            self._opened()
            return Gate.OPENS
        if not pitch.clear:  # what is periodic is no room, though it may not be a note yet
            levels.rest()
        return Gate.SILENT

    def _opened(self) -> None:
        self._open = True
        self._levels.clear()
        self._quiet = self._unclear = self._age = 0

    def _over(self, levels: Levels, pitch: Pitch) -> bool:
        lowest = max(_QUIETEST_DBFS, levels.floor_dbfs + _STILL_ABOVE_ROOM_DB, max(self._levels) - _BELOW_NOTE_DB)
        self._quiet = self._quiet + 1 if levels.level_dbfs < lowest else 0
        self._unclear = self._unclear + 1 if pitch.clarity < _UNCLEAR else 0
        is_quiet = self._quiet >= _QUIET_HOPS
        self.ago = HOP_SECONDS * (self._quiet if is_quiet else self._unclear)
        return is_quiet or self._unclear >= _UNCLEAR_HOPS

    def _dipped(self, levels: Levels) -> bool:
        hops = min(_DIP_HOPS, self._age)
        held = highest_of_last(levels.envelope(), self._steps)[-hops * HOP // STRETCH :]
        lowest = int(held.argmin())
        if lowest in (0, len(held) - 1):
            return False
        self.ago = (len(held) - lowest) * STRETCH_SECONDS
        return bool(min(held[:lowest].max(), held[lowest:].max()) >= _DIP * held[lowest])
