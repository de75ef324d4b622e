"""Calms what is read on the screen: numbers that do not flicker between two values.

The Ear reports every 5 ms; nobody reads so fast. The frequency shown follows a short mean, and moves only when that
has left a small band round it. Another partial in the same note is shown when it has stood for a moment; the first
one of a note at once. What is kept in the log is what was heard, not what was shown.

Conventions
-----------
Frequencies in Hz, intervals in cents, times in seconds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from airladder.hearing.events import Reading
from airladder.music.pitch import cents, raised

BAND_CENTS = 1.0
"""What is shown stands as long as the mean is no further away."""

MEAN_SECONDS = 0.12
"""Time constant of the mean."""

STANDS_SECONDS = 0.06
"""How long another partial must have stood."""

PAUSE_SECONDS = 0.05
"""What comes after such a pause is another note."""


@dataclass(frozen=True)
class Calm:
    """What is shown of the sound.

    Attributes
    ----------
    shown : the reading as it is shown; None in silence
    mean_hz : the mean of the partial that is shown
    heard : the newest reading
    other_since : since when another partial than the one shown has been heard
    """

    shown: Reading | None = None
    mean_hz: float = 0.0
    heard: Reading | None = None
    other_since: float | None = None

    def fed(self, reading: Reading) -> Calm:
        """After one more reading."""
        shown, heard = self.shown, self.heard
        if reading is heard:
            return self
        if shown is None or heard is None or not 0.0 <= reading.t - heard.t < PAUSE_SECONDS:
            return _at_once(reading)
        if _is_other(shown, reading):
            return self._other(reading, heard)
        return self._followed(reading, shown, reading.t - heard.t)

    def _followed(self, reading: Reading, shown: Reading, passed: float) -> Calm:
        share = 1.0 - math.exp(-passed / MEAN_SECONDS)
        mean_hz = raised(self.mean_hz, share * cents(reading.hz, self.mean_hz))
        shown_hz = shown.hz if abs(cents(mean_hz, shown.hz)) <= BAND_CENTS else mean_hz
        off = None if reading.cents is None else reading.cents + cents(shown_hz, reading.hz)
        return Calm(replace(reading, hz=shown_hz, cents=off), mean_hz, reading)

    def _other(self, reading: Reading, heard: Reading) -> Calm:
        goes_on = self.other_since is not None and not _is_other(heard, reading)
        since = self.other_since if self.other_since is not None and goes_on else reading.t
        if reading.t - since >= STANDS_SECONDS:
            return _at_once(reading)
        return replace(self, heard=reading, other_since=since)


def _at_once(reading: Reading) -> Calm:
    return Calm(reading, reading.hz, reading)


def _is_other(before: Reading, reading: Reading) -> bool:
    """Whether another partial, or another split, is heard."""
    return (before.partial, before.split) != (reading.partial, reading.split)
