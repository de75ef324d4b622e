"""Says when a note begins, goes on, begins anew, and ends.

Conventions
-----------
A note begins when something periodic stands above the room, or a partial is heard again and again in one as loud;
breath and noise are not periodic, and what clicks rings out. It ends by its level, or after a quarter of a second of
noise; what has sounded for less than a tenth of a second ends sooner, for a key that shuts rings a little. The end is
where the level last stood within 25 dB of the note's own, or where the room drowned it. It begins anew when the
tongue is heard (retongue.py), or when its level leaps: then what sounded was not the note yet.
"""

from __future__ import annotations

import math
from collections import deque
from enum import Enum, auto

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP_SECONDS, Samples
from airladder.hearing.levels import STEPS, STRETCH_SECONDS, Levels, smoothed, steps_of
from airladder.hearing.pitch import Pitch
from airladder.hearing.retongue import Retongue

_QUIETEST_DBFS = -60.0  # no saxophone note before a microphone is softer
_ABOVE_ROOM_DB = 10.0  # a note begins this far above the room ...
_STILL_ABOVE_ROOM_DB = 5.0  # ... and ends when it is no longer this far above it,
_BELOW_NOTE_DB = 25.0  # or this far below its own level of the last second
_RISES_DB = 6.0  # the last of a note that dies away is no new one: that has to rise
_CLEAR_HOPS = 2  # one is not enough: after the click of a key the band rings
_SURE_HOPS, _RISES_IN_NOISE_DB = 3, 1.0  # noise alone is not on a partial for 16 ms
_LOUDEST_EVERY = 8
_FALLS = 1.4  # power: 1.5 dB
_RING_STEPS = 12  # 16 ms: more than one period of the lowest fundamental
_QUIET_HOPS = 8  # 43 ms of quiet is an end
_UNCLEAR, _UNCLEAR_HOPS = 0.5, 47  # 250 ms of noise is one too
_YOUNG_HOPS, _YOUNG_UNCLEAR_HOPS = 19, 6  # in its first 100 ms a note that is unclear for 32 ms was a key or a bump
_LEAP_HOPS, _LEAP_DB = 12, 12.0  # 12 dB in 64 ms,
_GREW_DB, _DYING_DB = 2.0, 3.0  # after 64 ms in which it did not grow, or even died
_LEFT_DB = 3.0  # above what it was: there the new note begins


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
    period : of the fingered fundamental, s

    Attributes
    ----------
    ago : how long before the newest sample the moment of the last verdict lies, s
    """

    def __init__(self, period: float) -> None:
        self._longest = period
        self._retongue = Retongue()
        self._levels: deque[float] = deque(maxlen=round(1.0 / HOP_SECONDS))
        self._partials: deque[int | None] = deque(maxlen=_LEAP_HOPS + 1)
        self.ago = 0.0
        self._open = False
        self._lowest_dbfs = -math.inf  # since the last note ended
        self._clear = self._quiet = self._unclear = self._age = 0
        self._hz = 0.0
        self._loudest = -math.inf  # of the last second

    def feed(self, levels: Levels, pitch: Pitch) -> Gate:
        """What the newest hop means."""
        self._clear = self._clear + 1 if pitch.clear else 0
        self._age += 1
        if not self._open:
            return self._closed(levels, pitch)
        if pitch.clear:
            self._hz = pitch.hz
        if self._over(levels, pitch):
            self._open = False
            self._lowest_dbfs = levels.level_dbfs if self._quiet else -math.inf
            return Gate.ENDS
        if self._retongue.feed(levels, pitch):
            self._opened()
            self.ago = self._retongue.ago
            return Gate.AGAIN
        if self._leaps(pitch.partial):
            left_dbfs = self._levels[-1 - _LEAP_HOPS] + _LEFT_DB
            ago = self._since(self._level(levels, _LEAP_HOPS + 4) < 10.0 ** (left_dbfs / 10.0))
            self._opened()
            self.ago = ago
            return Gate.AGAIN
        return Gate.SOUNDS

    def _leaps(self, partial: int | None) -> bool:
        """Whether a level that did not grow rises faster than a crescendo: what sounded was an echo, or another's.

        From a partial that stood to another one it is the note itself, which speaks at last.
        """
        self._partials.append(partial)
        if len(self._levels) <= 2 * _LEAP_HOPS or self._levels[-1] - self._levels[-1 - _LEAP_HOPS] <= _LEAP_DB:
            return False
        *earlier, before = list(self._levels)[-1 - 2 * _LEAP_HOPS : -_LEAP_HOPS]
        dies = max(earlier) - before > _DYING_DB
        return before - min(earlier) < _GREW_DB and (dies or self._partials[0] in (None, partial))

    def _steps(self) -> int:
        return steps_of(1.0 / self._hz if self._hz > 0.0 else self._longest)

    def _closed(self, levels: Levels, pitch: Pitch) -> Gate:
        self._lowest_dbfs = min(self._lowest_dbfs, levels.level_dbfs)
        if self._stands_out(levels.level_dbfs, levels.floor_dbfs, pitch) and not rings_out(levels):
            self._opened()
            self._hz = pitch.hz
            return Gate.OPENS
        if not pitch.clear:  # what is periodic is no room, though it may not be a note yet
            levels.rest()
        return Gate.SILENT

    def _stands_out(self, level: float, floor: float, pitch: Pitch) -> bool:
        """Whether a note is there: by its level, or in a noisy room by a partial that is heard again and again."""
        if self._clear < _CLEAR_HOPS or level < _QUIETEST_DBFS:
            return False
        if level > max(floor + _ABOVE_ROOM_DB, self._lowest_dbfs + _RISES_DB):
            return True
        return (
            pitch.partial is not None and self._clear >= _SURE_HOPS and level > self._lowest_dbfs + _RISES_IN_NOISE_DB
        )

    def _opened(self) -> None:
        self._open = True
        self._levels.clear()
        self._loudest = -math.inf
        self._partials.clear()
        self._retongue.restart()
        self._quiet = self._unclear = self._age = 0
        self.ago = 0.0

    def _over(self, levels: Levels, pitch: Pitch) -> bool:
        level = levels.level_dbfs
        self._levels.append(level)
        if level > self._loudest or self._age % _LOUDEST_EVERY == 0:
            self._loudest = max(self._levels)
        lowest = max(_QUIETEST_DBFS, self._loudest - _BELOW_NOTE_DB)
        placed = pitch.clear and pitch.partial is not None  # and that may be in a noise as loud as the note
        if not placed:
            lowest = max(lowest, levels.floor_dbfs + _STILL_ABOVE_ROOM_DB)
        self._quiet = self._quiet + 1 if level < lowest else 0
        self._unclear = self._unclear + 1 if pitch.clarity < _UNCLEAR and not placed else 0
        if self._quiet >= _QUIET_HOPS:
            self.ago = self._since(self._level(levels, self._quiet + 5) >= 10.0 ** (lowest / 10.0))
            return True
        self.ago = HOP_SECONDS * self._unclear
        return self._unclear >= (_UNCLEAR_HOPS if self._age > _YOUNG_HOPS else _YOUNG_UNCLEAR_HOPS)

    def _level(self, levels: Levels, hops: int) -> Samples:
        """The mean squares of the last hops, each over one period of the note, newest last."""
        return smoothed(levels.power[-hops * STEPS :], self._steps())

    def _since(self, so: npt.NDArray[np.bool_]) -> float:
        """How long ago it was last so, in s; `so` is of each value of `_level`, shape (n,)."""
        when = so.nonzero()[0]
        later = len(so) - 1 - int(when[-1]) if len(when) else len(so)
        return (later + 0.5 * (self._steps() - 1)) * STRETCH_SECONDS


def rings_out(levels: Levels) -> bool:
    """Whether the sound falls by over 1.5 dB in 16 ms: a key that shuts rings like a note, but notes begin rising."""
    newest, before = levels.power[-_RING_STEPS:], levels.power[-2 * _RING_STEPS : -_RING_STEPS]
    return bool(_FALLS * newest.sum() < before.sum())
