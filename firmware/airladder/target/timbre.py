"""The sound of the wanted pitch: a few falling harmonics, begun and ended softly, never loud.

The harmonics are exact multiples, so that ear and player find the fundamental even where a small loudspeaker gives
next to nothing of it. None lies so high that it would be shrill or fold back.

Conventions
-----------
Mono float32, 48 kHz. Frequencies in Hz, times in seconds, amplitudes re full scale.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from airladder.faults import BadInput
from airladder.hearing.block import RATE, Samples

PEAK = 0.1
"""No sample is ever greater than this (-20 dBFS), whatever is asked: it may be heard in earphones."""

LOWEST_HZ, HIGHEST_HZ = 30.0, 4000.0
"""What can be sounded; every partial that is practised lies well within."""

START_SECONDS, END_SECONDS = 0.08, 0.15
"""Length of the soft start and of the soft end, each half a wave of a raised cosine."""

SHORTEST_SECONDS, LONGEST_SECONDS = START_SECONDS + END_SECONDS, 600.0

WEIGHTS = (1.0, 0.42, 0.22, 0.11, 0.05)
"""Amplitudes of the harmonics 1, 2, 3 ... against each other."""

TOP_HZ = 8000.0
"""Harmonics above this are left out."""


class Sounding:
    """One pitch that sounds, fetched piece by piece. What comes does not depend on the size of the pieces.

    Parameters
    ----------
    hz : 30 to 4000
    seconds : from its first sample to its last, soft start and end included; 0.23 to 600

    Raises
    ------
    BadInput : when one of them is out of range, or not a number.
    """

    def __init__(self, hz: float, seconds: float) -> None:
        if not LOWEST_HZ <= hz <= HIGHEST_HZ:
            raise BadInput(
                f"a tone of {hz:g} Hz was asked for; wanted {LOWEST_HZ:g} to {HIGHEST_HZ:g} Hz: choose another pitch."
            )
        if not SHORTEST_SECONDS <= seconds <= LONGEST_SECONDS:
            raise BadInput(
                f"a tone of {seconds:g} s was asked for; wanted {SHORTEST_SECONDS:g} to {LONGEST_SECONDS:g} s: "
                "choose another length."
            )
        weights = np.array([w for n, w in enumerate(WEIGHTS, 1) if n * hz <= TOP_HZ])
        self._amplitudes = weights * (PEAK / weights.sum())  # so that they stay below PEAK even all at once
        self._turns = hz / RATE  # of the fundamental, a sample
        self._at = 0
        self._falls = [(round((seconds - END_SECONDS) * RATE), round(END_SECONDS * RATE))]  # from frame, frames

    @property
    def over(self) -> bool:
        """Whether only silence follows."""
        return any(self._at >= begin + length for begin, length in self._falls)

    def release(self, seconds: float = END_SECONDS) -> None:
        """End softly from here on, within `seconds`, unless it ends sooner. Harmless when it is released already."""
        if len(self._falls) == 1:
            self._falls.append((self._at, max(1, round(seconds * RATE))))

    def next(self, frames: int) -> Samples:
        """The next samples, shape (frames,); zeros when it is over."""
        n = np.arange(self._at, self._at + frames)
        wave = self._wave(n)
        if self._at < START_SECONDS * RATE:
            wave *= _eased(n / (START_SECONDS * RATE))
        for begin, length in self._falls:
            if self._at + frames > begin:
                wave *= _eased(1.0 - (n - begin) / length)
        self._at += frames
        samples: Samples = wave.astype(np.float32)
        return samples

    def _wave(self, n: npt.NDArray[np.int64]) -> npt.NDArray[np.float64]:
        """The harmonics at the frames `n`, one from the two below: sin (k + 1) x = 2 cos x sin kx - sin (k - 1) x."""
        x = 2.0 * np.pi * ((n * self._turns) % 1.0)
        twice, below, harmonic = 2.0 * np.cos(x), np.zeros(len(n)), np.sin(x)
        wave: npt.NDArray[np.float64] = self._amplitudes[0] * harmonic
        for amplitude in self._amplitudes[1:]:
            below, harmonic = harmonic, twice * harmonic - below
            wave += amplitude * harmonic
        return wave


def tone(hz: float, seconds: float) -> Samples:
    """A whole tone, shape (seconds * 48000,).

    Raises
    ------
    BadInput : as `Sounding` does.
    """
    return Sounding(hz, seconds).next(round(seconds * RATE))


def _eased(way: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """From 0 to 1 along half a wave of a raised cosine, as `way` goes from 0 to 1; flat before and after."""
    return 0.5 - 0.5 * np.cos(np.pi * np.clip(way, 0.0, 1.0))
