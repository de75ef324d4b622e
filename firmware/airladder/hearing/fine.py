"""The frequency of the partial that sounds, to a fraction of a cent.

Once the partial is known, its harmonics are too: each is heard in two windows a whole number of periods apart, and
the phase it has gained between them tells the frequency (the phase vocoder's measure: J. L. Flanagan and R. M.
Golden, Bell Syst. Tech. J. 45 (1966) 1493). A whole number of periods of the fingered fundamental, so that its
other harmonics, where they ring along, stand alike in both windows and do not count. Harmonics are weighted as the
least squares of the phases asks for: with their power, and their number as the lever.

Conventions
-----------
Frequencies in Hz. What is told is the mean over the two windows: it lags by half of them, 20 ms, and by up to 42 ms
on the lowest notes (69 Hz).
"""

from __future__ import annotations

import math
from collections import OrderedDict
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import Samples

_SPAN_SECONDS = 0.040  # both windows together: longer ones smooth a vibrato, shorter ones let noise in
_APART_SECONDS = 0.014  # about: a whole number of periods of the fundamental
_WINDOW_PERIODS = 4.8  # of the note, at least: then its harmonics are apart in each window
_HARMONICS = 16
_TURNS = 140  # harmonics that turn more often between the windows: a few cents would look like none
_GRID_CENTS = 8.0  # the windows are made for frequencies on this grid; off by half a step they do no worse
_KEPT = 48  # of them: a vibrato passes over half a dozen

_NOTHING = 1e-30

Complexes = npt.NDArray[np.complex64]


class Measure(NamedTuple):
    """A frequency, Hz, and how alike the harmonics of the two windows are in strength: 1 if in proportion."""

    hz: float
    alike: float


class FinePitch:
    """Measures frequencies in the band.

    Parameters
    ----------
    rate : samples a second of the band
    """

    def __init__(self, rate: int) -> None:
        self._rate = rate
        self._combs: OrderedDict[int, Comb] = OrderedDict()

    def measure(self, newest: Samples, near_hz: float, partial: int, held: float) -> Measure | None:
        """The frequency of a partial near `near_hz`; None when it has not sounded for long enough.

        Parameters
        ----------
        newest : the newest samples of the band, shape (n,)
        near_hz : where it was heard, Hz
        partial : which it is: undertones are looked past
        held : for how long it has sounded, s
        """
        comb = self._comb(near_hz, partial)
        return comb.measure(newest) if comb.span <= min(len(newest), held * self._rate) else None

    def _comb(self, near_hz: float, partial: int) -> Comb:
        key = round(1200.0 / _GRID_CENTS * math.log2(near_hz)) * 32 + partial
        comb = self._combs.get(key)
        if comb is None:
            comb = self._combs[key] = Comb(near_hz, partial, self._rate)
            if len(self._combs) > _KEPT:
                self._combs.popitem(last=False)
        else:
            self._combs.move_to_end(key)
        return comb


class Comb:
    """Two windows on the harmonics of one frequency.

    Attributes
    ----------
    span : samples from the oldest to the newest that are used
    """

    def __init__(self, hz: float, partial: int, rate: int) -> None:
        turns = partial * max(1, round(_APART_SECONDS * hz / partial))
        self._apart = round(turns * rate / hz)
        window = max(round(_SPAN_SECONDS * rate) - self._apart, round(_WINDOW_PERIODS * rate / hz))
        self.span = window + self._apart
        numbers = np.arange(1, max(1, min(_HARMONICS, int(0.4 * rate / hz), _TURNS // turns)) + 1)
        turning = np.exp(-2j * np.pi * hz / rate * np.arange(window))
        rows = np.empty((len(numbers), window), np.complex128)
        row = np.hanning(window).astype(np.complex128)
        for number in range(
            len(numbers)
        ):  # powers by products: an exponential for each value would take a hop's time
            row = rows[number] = row * turning
        both = np.stack([rows.real, rows.imag], axis=1).reshape(-1, window)  # so that two results are one
        self._bank: Samples = np.ascontiguousarray(both, np.float32)  # complex number
        self._back: Complexes = np.exp(-2j * np.pi * hz / rate * self._apart * numbers).astype(np.complex64)
        self._numbers, self._levers = numbers.astype(np.float32), numbers.astype(np.float32) ** 2
        self._hz, self._to_hz = hz, rate / (2.0 * math.pi * self._apart)

    def measure(self, newest: Samples) -> Measure:
        """What is heard in the newest samples, shape (n,), n at least `span`."""
        was = (self._bank @ newest[-self.span : -self._apart]).view(np.complex64)
        now = (self._bank @ newest[self._apart - self.span :]).view(np.complex64)
        gained = now * was.conj() * self._back
        weights = np.abs(gained)
        turned = np.arctan2(gained.imag, gained.real)
        off = float((weights * turned) @ self._numbers) / (float(weights @ self._levers) + _NOTHING)
        alike = float(weights.sum()) / math.sqrt(
            float(np.vdot(was, was).real) * float(np.vdot(now, now).real) + _NOTHING
        )
        return Measure(self._hz + self._to_hz * off, alike)
