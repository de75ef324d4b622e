"""How alike the newest sound is to itself a lag ago, for every lag that could be the period of a partial.

Conventions
-----------
The likeness of a lag is the normalised cross-correlation of the newest stretch with the one a lag before it, each
side with its own energy: 1 for a wave that repeats, even while it grows (D. Talkin, A robust algorithm for pitch
tracking, in Speech Coding and Synthesis, 1995). Lags are in samples of the band.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import Samples

WINDOW_PERIODS = 2.15
"""Of the fingered fundamental: what is looked at must show it twice."""

WINDOW_SECONDS = 0.0213
"""And no less than this."""

FRESH_SECONDS = 0.012
"""What is so much older counts e times less on either side: new notes are heard sooner."""

LEAST = 0.3
"""Lower peaks are noise."""

_OF_BEST = 0.4  # lower ones speak for nothing beside the best

_LOWEST_HZ = 85.0  # lags go up to this period even on a short tube: a man's voice is no partial of it
_HIGHEST_PARTIAL = 17.0  # no partial has a shorter period than this part of the fundamental's
_BEYOND = 1.04  # and beyond the fundamental's own period by this much
_FLAT = 1e-4
_ENERGY = 1e-9  # keeps silence from being divided by silence: -90 dBFS rms

Bools = npt.NDArray[np.bool_]


class Periods:
    """Compares the newest window of the band with itself.

    Parameters
    ----------
    fundamental_hz : of the fingered tube, Hz
    rate : samples a second of the band

    Attributes
    ----------
    likeness : shape (lags,), -1 to 1, of each lag from 0 samples up
    """

    def __init__(self, fundamental_hz: float, rate: int) -> None:
        period = rate / fundamental_hz
        self.window = math.ceil(max(WINDOW_SECONDS * rate, WINDOW_PERIODS * period))
        self.lags = math.ceil(max(_BEYOND * period, min(rate / _LOWEST_HZ, self.window / 1.8))) + 2
        ages = np.arange(self.window - 1, -1, -1, dtype=np.float32) / rate
        self._fresh: Samples = np.exp(-ages / FRESH_SECONDS).astype(np.float32)
        self._size = _fast(self.window + self.lags)
        self._shortest = max(1, math.floor(period / _HIGHEST_PARTIAL) - 2)
        self._energy: Samples = np.zeros(self.window + 1, np.float32)
        self._least = (_ENERGY * self.window) ** 2
        self.likeness: Samples = np.zeros(self.lags, np.float32)

    def feed(self, newest: Samples) -> None:
        """Look at the band's newest samples, shape (n,), n at least the window."""
        frame = newest[-self.window :] * self._fresh
        spectrum = np.fft.rfft(frame, self._size)
        products = np.fft.irfft(spectrum * spectrum.conj(), self._size)[: self.lags]
        energy = self._energy
        np.cumsum(frame * frame, out=energy[1:])
        later = energy[-1] - energy[: self.lags]
        earlier = energy[: -self.lags - 1 : -1]
        self.likeness = products / np.sqrt(later * earlier + self._least)

    def peaks(self) -> list[tuple[float, float]]:
        """Lags at which the likeness is highest of all around, and how high, the shortest lag first.

        Lags between samples are read off a cosine. Low peaks, and shorter lags than that of any
        partial, are left out.
        """
        part = self.likeness[self._shortest :]
        here = part[1:-1]
        least = max(LEAST, _OF_BEST * float(here.max()))
        tops = (here > part[:-2]) & (here >= part[2:]) & (here > least)
        found = []
        for place in tops.nonzero()[0].tolist():
            left, top, right = part[place : place + 3].tolist()
            shift, height = _top_of_cosine(left, top, right)
            found.append((self._shortest + 1 + place + shift, height))
        return found


def _top_of_cosine(left: float, top: float, right: float) -> tuple[float, float]:
    """Where the cosine through three samples a step apart is highest, in steps from the middle one, and how high.

    The likeness of a sine is a cosine: of a lag of five samples a parabola would be cents off.
    """
    turn = math.acos(max(-0.9, 0.5 * (left + right) / top))
    if turn < _FLAT:
        return 0.0, top
    phase = math.atan((right - left) / (2.0 * top * math.sin(turn)))
    return phase / turn, top / math.cos(phase)


def _fast(least: int) -> int:
    """The next length that is quick to transform: 2, 3 or 5 times a power of two, or one itself."""
    power = 1 << max(0, (least - 1).bit_length() - 3)
    return next(power * times for times in (4, 5, 6, 8) if power * times >= least)
