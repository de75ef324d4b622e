"""The pitch of what sounds, from aubio, and the partial of the fingered tube that it is.

Conventions
-----------
The tracker looks at the newest 2048 samples (43 ms), so that the lowest fundamental (65 Hz) shows two periods.
"""

from __future__ import annotations

from dataclasses import dataclass

import aubio

from airladder.hearing.block import HOP, RATE, Samples
from airladder.music.pitch import cents
from airladder.music.series import HIGHEST_PARTIAL, Series

WINDOW = 2048
"""Samples that one pitch is read from."""

CLEAR = 0.80
"""Least clarity of a pitch that counts. A saxophone tone without noise reads 0.95 and more."""

LOWEST_HZ, HIGHEST_HZ = 40.0, 4500.0
"""What lies outside is no note of any of the horns (65 to 3730 Hz): a click repeats at once, rumble for ever."""

_WIDEST_CENTS = 60.0  # how far from its place a partial may be bent and still be meant
_OF_THE_GAP = 0.42  # high partials lie closer than that: never more than this share of the step to the next
_STEADY_CENTS = 35.0  # two hops further apart than this are a note on its way to another


@dataclass(frozen=True)
class Pitch:
    """One reading of the tracker: frequency in Hz, clarity 0 to 1."""

    hz: float
    clarity: float

    @property
    def clear(self) -> bool:
        """Whether something periodic sounds at all."""
        return self.clarity >= CLEAR


class PitchTrack:
    """Reads the pitch hop by hop.

    YIN in its fast form: A. de Cheveigné and H. Kawahara, YIN, a fundamental frequency estimator for speech and
    music, J. Acoust. Soc. Am. 111 (2002) 1917-1930. Of aubio's methods it is the one with no bias on low notes.
    """

    def __init__(self) -> None:
        self._aubio = aubio.pitch("yinfast", WINDOW, HOP, RATE)
        self._aubio.set_unit("Hz")
        self._aubio.set_silence(-90.0)

    def feed(self, samples: Samples) -> Pitch:
        """The pitch of the 43 ms that end with these 256 samples; 0 Hz, not clear at all, when there is none."""
        hz = float(self._aubio(samples)[0])
        if not LOWEST_HZ <= hz <= HIGHEST_HZ:
            return Pitch(0.0, 0.0)
        return Pitch(hz, min(1.0, max(0.0, float(self._aubio.get_confidence()))))


class PartialTrack:
    """Maps pitches to partials of one tube; None for what lies between, or is on its way.

    A partial is believed when two hops in a row agree: one alone may hold the end of a note and the start of
    another.
    """

    def __init__(self, series: Series) -> None:
        self._series = series
        self._before: Pitch | None = None

    def feed(self, pitch: Pitch) -> int | None:
        """The partial that `pitch` is, or None."""
        before, self._before = self._before, pitch if pitch.clear else None
        if before is None or not pitch.clear or abs(cents(pitch.hz, before.hz)) > _STEADY_CENTS:
            return None
        partial, off = self._series.nearest(pitch.hz)
        return partial if abs(off) <= tolerance_cents(partial) else None


def tolerance_cents(partial: int) -> float:
    """How far, in cents, a partial may lie from its pure place and still be taken for it."""
    if partial >= HIGHEST_PARTIAL:
        partial = HIGHEST_PARTIAL - 1
    return min(_WIDEST_CENTS, _OF_THE_GAP * cents(partial + 1, partial))
