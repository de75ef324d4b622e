"""The band of the sound that tells the partial: filtered, at a lower rate, the newest samples at hand.

Conventions
-----------
The band runs at 12 kHz. Rumble and whatever lies below the fingered fundamental go; so does what lies above
4.5 kHz. Filters are Butterworth, by the bilinear transform (A. Oppenheim, R. Schafer, Discrete-Time Signal
Processing).
"""

from __future__ import annotations

import math
from typing import Literal

import aubio
import numpy as np

from airladder.hearing.block import HOP, RATE, Samples

_BELOW = 0.8  # of the fundamental: what is lower is no partial
_ABOVE_HZ = 4500.0  # there is more noise than tone
_STEP = 4
_COUNT = HOP // _STEP
_FOURTH_ORDER = (0.541196, 1.306563)  # Q of the two halves of a Butterworth filter of order four
_SECOND_ORDER = (math.sqrt(0.5),)


def butterworth(
    kind: Literal["low", "high"], corner_hz: float, rate: int, qs: tuple[float, ...]
) -> list[aubio.digital_filter]:
    """The second-order sections, for `rate` samples a second, whose quality factors are `qs`."""
    sections = []
    for q in qs:
        warped = math.tan(math.pi * corner_hz / rate)
        norm = 1.0 / (1.0 + warped / q + warped**2)
        gain, sign = (warped**2 * norm, 1.0) if kind == "low" else (norm, -1.0)
        section = aubio.digital_filter(3)
        section.set_biquad(
            gain, sign * 2.0 * gain, gain, 2.0 * (warped**2 - 1.0) * norm, (1.0 - warped / q + warped**2) * norm
        )
        sections.append(section)
    return sections


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
        self._low, self._lower = butterworth("low", _ABOVE_HZ, RATE, _FOURTH_ORDER)
        (self._high,) = butterworth("high", _BELOW * fundamental_hz, self.rate, _SECOND_ORDER)
        self.newest: Samples = np.zeros(math.ceil(seconds * self.rate), np.float32)

    def feed(self, samples: Samples) -> None:
        """Take the next 256 samples."""
        smooth = self._lower(self._low(samples))
        self.newest[:-_COUNT] = self.newest[_COUNT:]
        self.newest[-_COUNT:] = self._high(smooth[::_STEP].copy())
