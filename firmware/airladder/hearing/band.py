"""The band of the sound that tells the partial: filtered, at a lower rate, the newest samples at hand.

Conventions
-----------
The band runs at 12 kHz. Rumble and whatever lies below the fingered fundamental go; so does what lies above
4.5 kHz.
"""

from __future__ import annotations

import math

import numpy as np

from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.filters import FOURTH_ORDER, SECOND_ORDER, butterworth

_BELOW = 0.8  # of the fundamental: what is lower is no partial
_ABOVE_HZ = 4500.0  # there is more noise than tone
_STEP = 4
_COUNT = HOP // _STEP


class Band:
    """Takes hops of 256 samples at 48 kHz and keeps the newest `seconds` of the band.

    Parameters
    ----------
    fundamental_hz : of the fingered tube, Hz
    seconds : how much is kept

    Attributes
    ----------
    rate : samples a second of the band
    newest : shape (n,), the newest samples, newest last; zeros before the first
    """

    def __init__(self, fundamental_hz: float, seconds: float) -> None:
        self.rate = RATE // _STEP
        self._low, self._lower = butterworth("low", _ABOVE_HZ, RATE, FOURTH_ORDER)
        (self._high,) = butterworth("high", _BELOW * fundamental_hz, self.rate, SECOND_ORDER)
        self.newest: Samples = np.zeros(math.ceil(seconds * self.rate), np.float32)

    def feed(self, samples: Samples) -> None:
        """Take the next 256 samples."""
        smooth = self._lower(self._low(samples))
        self.newest[:-_COUNT] = self.newest[_COUNT:]
        self.newest[-_COUNT:] = self._high(smooth[::_STEP].copy())
