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

from airladder.hearing.block import Samples

STRETCH_PERIODS = 1.15
"""Of the fingered fundamental: the newest stretch, which is compared with those before, must show it once."""

STRETCH_SECONDS = 0.0105
"""And is no shorter than this."""

FRESH_SECONDS = 0.014
"""What is so much older counts e times less on either side: new notes are heard sooner."""

LEAST = 0.3
"""Lower peaks are noise."""

_OF_BEST = 0.4  # lower ones speak for nothing beside the best

_LOWEST_HZ = 95.0  # lags go up to this period even on a short tube: a man's voice is no partial of it
_HIGHEST_PARTIAL = 17.0  # no partial has a shorter period than this part of the fundamental's
_BEYOND = 1.04  # and beyond the fundamental's own period by this much
_FLAT = 1e-4
_ENERGY = 1e-9  # keeps silence from being divided by silence: -90 dBFS rms


class Periods:
    """Compares the newest window of the band with itself.

    Parameters
    ----------
    fundamental_hz : of the fingered tube, Hz
    rate : samples a second of the band

    Attributes
    ----------
    shortest : the first lag, in samples
    likeness : shape (n,), -1 to 1, of each lag from `shortest` up
    window : how many samples are looked at
    """

    def __init__(self, fundamental_hz: float, rate: int) -> None:
        period = rate / fundamental_hz
        longest = math.ceil(max(_BEYOND * period, rate / _LOWEST_HZ)) + 2
        self.shortest = max(1, math.floor(period / _HIGHEST_PARTIAL) - 2)
        self._stretch = math.ceil(max(STRETCH_SECONDS * rate, STRETCH_PERIODS * period))
        self.window = self._stretch + longest
        ages = np.arange(self.window - 1, -1, -1, dtype=np.float32) / rate
        self._fresh: Samples = np.exp(-ages / FRESH_SECONDS).astype(np.float32)
        self._energy: Samples = np.zeros(self.window + 1, np.float32)
        self._least = (_ENERGY * self._stretch) ** 2
        self.likeness: Samples = np.zeros(longest - self.shortest + 1, np.float32)

    def feed(self, newest: Samples) -> None:
        """Look at the band's newest samples, shape (n,), n at least the window."""
        fresh = newest[-self.window :] * self._fresh
        stretch = self._stretch
        products = np.correlate(fresh[: self.window - self.shortest], fresh[-stretch:])
        np.cumsum(fresh * fresh, out=self._energy[1:])
        energies = self._energy[stretch : self.window + 1 - self.shortest] - self._energy[: len(products)]
        own = self._energy[-1] - self._energy[-1 - stretch]
        self.likeness = (products / np.sqrt(energies * own + self._least))[::-1]

    def peaks(self) -> list[tuple[float, float]]:
        """Lags at which the likeness is highest of all around, and how high, the shortest lag first.

        Lags between samples are read off a cosine. Low peaks, and shorter lags than that of any
        partial, are left out.
        """
        part = self.likeness
        here = part[1:-1]
        least = max(LEAST, _OF_BEST * float(here.max()))
        tops = (here > least) & (here > part[:-2]) & (here >= part[2:])
        values, found = part.tolist(), []
        for place in tops.nonzero()[0].tolist():
            shift, height = _top_of_cosine(*values[place : place + 3])
            found.append((self.shortest + 1 + place + shift, height))
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
