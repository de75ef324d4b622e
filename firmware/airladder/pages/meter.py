"""How loud it is at the microphone: for the page that sets its place, and to wake the screen.

Conventions
-----------
Levels in dB re full scale, of the microphone and not of the air: this is no sound-level meter. Times in seconds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

SILENT_DBFS = -90.0
HIGHEST_SECONDS = 2.0
"""How long the highest peak is remembered."""

WAKES_DB, WAKES_DBFS = 20.0, -50.0
"""A sound wakes the screen when it is so far above the room, and so loud at all."""

_ROOM_RISES_DB = 2.0  # a second: a room that has become louder is believed after a while
_FALLS_DB = 40.0  # a second: fast enough to follow, slow enough to read


@dataclass(frozen=True)
class Level:
    """The level of the newest stretch of sound, a few hundredths of a second, which ends at `t`."""

    t: float
    dbfs: float
    peak_dbfs: float


@dataclass(frozen=True)
class Meter:
    """What is shown of the level.

    Attributes
    ----------
    t : of the newest level
    dbfs : rises at once and falls slowly
    peak_dbfs : the highest peak of the last seconds
    peak_at : when that was
    room_dbfs : how loud it is when nobody plays
    """

    t: float = -math.inf
    dbfs: float = SILENT_DBFS
    peak_dbfs: float = SILENT_DBFS
    peak_at: float = -math.inf
    room_dbfs: float = 0.0

    def fed(self, level: Level) -> Meter:
        """After one more level."""
        passed = 0.0 if math.isinf(self.t) else max(0.0, level.t - self.t)
        now = max(SILENT_DBFS, level.dbfs)
        room = min(self.room_dbfs + _ROOM_RISES_DB * passed, now)
        held = max(now, self.dbfs - _FALLS_DB * passed)
        fed = replace(self, t=level.t, dbfs=held, room_dbfs=max(SILENT_DBFS, room))
        if level.peak_dbfs >= self.peak_dbfs or level.t - self.peak_at > HIGHEST_SECONDS:
            return replace(fed, peak_dbfs=max(SILENT_DBFS, level.peak_dbfs), peak_at=level.t)
        return fed

    def wakes(self, level: Level) -> bool:
        """Whether `level` is so much louder than the room that somebody must be there."""
        return level.dbfs >= max(WAKES_DBFS, self.room_dbfs + WAKES_DB)
