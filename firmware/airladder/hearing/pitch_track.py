"""The pitch of what sounds when no fingering says where to look, from aubio.

Conventions
-----------
The tracker looks at the newest 2048 samples (43 ms), so that the lowest fundamental (65 Hz) shows two periods.
"""

from __future__ import annotations

import aubio

from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.pitch import NOTHING, Pitch

WINDOW = 2048
"""Samples that one pitch is read from."""

CLEAR = 0.80
"""Least clarity of a pitch that counts. A saxophone tone without noise reads 0.95 and more."""

LOWEST_HZ, HIGHEST_HZ = 40.0, 4500.0
"""What lies outside is no note of any of the horns (65 to 3730 Hz): a click repeats at once, rumble for ever."""


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
            return NOTHING
        clarity = min(1.0, max(0.0, float(self._aubio.get_confidence())))
        return Pitch(hz, clarity, clarity >= CLEAR)
