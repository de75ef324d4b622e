"""The spectral lines of a note: where the strong ones lie, how strong they are, and when in the window they sound.

The sound is taken to a quarter of its rate first: the lines that tell partials apart lie below 4.4 kHz. Places are
read by a parabola through the three highest points of the log spectrum (J. O. Smith, Spectral Audio Signal
Processing, quadratic interpolation); times by the ratio of two spectra, one of them of the sound times its time
(F. Auger, P. Flandrin, IEEE Trans. Signal Processing 43 (1995) 1068, reassignment).

Conventions
-----------
Places in Hz, powers of no fixed reference, times from -1 to 1, the two ends of the window.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, RATE, Samples

BAND_RATE = RATE // 4
"""Samples a second of the band."""

BAND_HOP = HOP // 4
"""Samples of the band from one hop."""

_TAPS, _CORNER_HZ, _KAISER = 65, 5200.0, 6.0  # of the low-pass; what would fold back lies 60 dB down
_ROW = 64  # samples in a row of the product
_NEW = _ROW * BAND_HOP // HOP  # samples of the band that a row brings
_OF_A_LINE = 1.5  # a steady line's power in all points of the spectrum, re the highest (Hann window)
_LOWEST, _HIGHEST, _HIGHEST_HZ = 0.6, 12.6, 4400.0  # where lines are looked for: times the fundamental, and Hz
_QUIET = 1 / 3  # of the band lies between the lines of any note, and is noise
_TINY = 1e-30
_ROUND_THE_TOP = np.array([[-1], [0], [1]])

Floats = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines, the strongest first; each array has the shape (n,).

    Attributes
    ----------
    hz, power : place and strength
    points : where in the spectrum each is highest
    """

    hz: Floats
    power: Floats
    points: npt.NDArray[np.intp]

    def __len__(self) -> int:
        return len(self.hz)

    def those(self, which: npt.NDArray[np.bool_] | npt.NDArray[np.intp]) -> Lines:
        """Only the lines where `which`, shape (n,), is true; or those of these numbers."""
        return Lines(self.hz[which], self.power[which], self.points[which])

    def first(self, count: int) -> Lines:
        """The `count` strongest."""
        return Lines(self.hz[:count], self.power[:count], self.points[:count])

    def apart(self, width_hz: float) -> Lines:
        """Without those that lie within `width_hz` of a stronger one: vibrato and roughness put them there."""
        if len(self) < 2:
            return self
        near = np.abs(self.hz[:, np.newaxis] - self.hz) < width_hz
        return self.those(near.argmax(axis=1) == np.arange(len(self)))


class LineWindow:
    """The newest samples of the band, and the lines in them.

    Parameters
    ----------
    fundamental_hz : of the tube, Hz
    count : samples of the band that make one window

    Attributes
    ----------
    bin_hz : one over the length of the window: lines are told apart from about two of it on
    """

    def __init__(self, fundamental_hz: float, count: int) -> None:
        self.bin_hz = BAND_RATE / count
        self._newest = np.zeros(count, np.float32)
        self._shape = np.hanning(count).astype(np.float32)
        self._ramp = self._shape * np.linspace(-1.0, 1.0, count, dtype=np.float32)
        self._last = np.zeros(_ROW, np.float32)
        self._low_pass = _low_pass()
        highest_hz = min(_HIGHEST * fundamental_hz, _HIGHEST_HZ)
        self._part = slice(math.floor(_LOWEST * fundamental_hz / self.bin_hz), math.ceil(highest_hz / self.bin_hz))
        self._pink = np.arange(self._part.start, self._part.stop, dtype=np.float32)
        self._quiet = int(_QUIET * len(self._pink))
        self._whole: npt.NDArray[np.complexfloating] = np.zeros(len(self._pink), np.complex64)
        self._spectrum = self._whole

    def feed(self, hops: list[Samples]) -> None:
        """Take the next hops, each of shape (256,); many at once cost less than each by itself."""
        raw = np.concatenate([self._last, *hops])
        self._last = raw[-_ROW:]
        halves = raw.reshape(-1, _ROW) @ self._low_pass
        new = halves[:-1, :_NEW] + halves[1:, _NEW:]
        self._newest[: -new.size] = self._newest[new.size :]
        self._newest[-new.size :] = new.ravel()

    def lines(self, weakest_db: float, above_noise: float) -> Lines:
        """The lines within `weakest_db` of the strongest whose power is `above_noise` times that of pink noise."""
        self._whole = np.fft.rfft(self._newest * self._shape)[self._part.start :]
        self._spectrum = self._whole[: len(self._pink)]
        power = self._spectrum.real**2 + self._spectrum.imag**2
        even = power * self._pink
        even.partition(self._quiet)
        weakest = float(power.max()) * 10.0 ** (weakest_db / 10.0)
        rising = power[1:] > power[:-1]
        points = np.flatnonzero(rising[:-1] > rising[1:]) + 1
        found = power[points]
        strong = (found > weakest) & (found * self._pink[points] > above_noise * even[self._quiet])
        points, found = points[strong], found[strong]
        order = np.argsort(-found)
        points, found = points[order], found[order]
        left, top, right = np.log(power[points + _ROUND_THE_TOP] + _TINY)
        shift = 0.5 * (left - right) / (left - 2.0 * top + right)
        return Lines((points + self._part.start + shift) * self.bin_hz, found, points)

    def power(self) -> float:
        """Of the whole band, above the lowest place where lines are looked for, lines and all else."""
        return float(np.vdot(self._whole, self._whole).real) / _OF_A_LINE

    def when(self, lines: Lines) -> float:
        """The middle of the time in which these of the newest lines sound, the stronger ones counting more."""
        ramped = np.fft.rfft(self._newest * self._ramp)[self._part]
        times = (ramped[lines.points] / self._spectrum[lines.points]).real
        return float(times @ lines.power / lines.power.sum())


def _low_pass() -> Floats:
    """What turns two rows of 64 samples into 16 of the band: a windowed sinc at each fourth place.

    The first 16 columns are for the first row, the others for the second, shape (64, 32).
    """
    places = np.arange(_TAPS) - _TAPS // 2
    taps = np.sinc(2.0 * _CORNER_HZ / RATE * places) * np.kaiser(_TAPS, _KAISER)
    product = np.zeros((2 * _ROW, _NEW), np.float32)
    for number in range(_NEW):
        first = number * HOP // BAND_HOP
        product[first : first + _TAPS, number] = taps / taps.sum()
    return np.hstack([product[:_ROW], product[_ROW:]])
