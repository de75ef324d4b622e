"""Hears when more than one partial sounds at once: an undertone, or a split note.

One partial alone gives lines at whole multiples of its own frequency. A split gives a shifted comb: lines that
no single fundamental explains (multiphonics as quasi-periodic motion of two modes: J.-B. Doc, C. Vergez,
S. Missoum, Acta Acustica 100 (2014) 543-554). So every strong line is asked whether the partial that is heard
explains it.

Conventions
-----------
A window is 16384 samples (341 ms): shorter ones cannot tell a comb from a shifted comb on the lowest horns.
"""

from __future__ import annotations

import math
from collections import deque

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, RATE, Samples
from airladder.music.pitch import cents
from airladder.music.series import HIGHEST_PARTIAL, Series

WINDOW = 16384
"""Samples that one verdict is read from."""

EVERY_HOPS = 8
"""A verdict every 43 ms: it costs one long Fourier transform."""

_WEAKEST_DB = -20.0  # an extra line below this (re the strongest) is no partial that a player would hear
_OFF_CENTS = 18.0  # a line this near to its place is explained: vibrato and reading error of real notes
_SIDE_BANDS = 0.3  # of the fundamental: what lies this near to a stronger line belongs to it (vibrato)
_NEAR_CENTS = 45.0  # lines this near to the heard comb say where it really lies in the mean of the window
_SAME_VERDICTS = 2  # a split, and its end, is believed when two verdicts in a row say so

Floats = npt.NDArray[np.float64]
Line = tuple[float, float]
"""A spectral line: its place in Hz, its level in dB (of no fixed reference)."""


class SplitWatch:
    """Follows one note and says which partials sound at once."""

    def __init__(self, series: Series) -> None:
        self._series = series
        self._hops: deque[Samples] = deque(maxlen=WINDOW // HOP)
        self._window = np.hanning(WINDOW)
        self._since = 0
        self._doubts = 0
        self._split: tuple[int, ...] = ()

    def restart(self) -> None:
        """A new note begins: nothing of the one before may be heard in it."""
        self._hops.clear()
        self._since = self._doubts = 0
        self._split = ()

    def feed(self, samples: Samples, hz: float | None) -> tuple[int, ...]:
        """The partials that sound at once; empty when one alone does.

        Parameters
        ----------
        samples : the newest hop, shape (256,)
        hz : the frequency that the pitch tracker hears, Hz, or None
        """
        self._hops.append(samples)
        self._since += 1
        if len(self._hops) == self._hops.maxlen and self._since >= EVERY_HOPS:
            self._since = 0
            found = self._verdict(hz)
            self._doubts = 0 if bool(found) == bool(self._split) else self._doubts + 1
            if self._doubts >= _SAME_VERDICTS or (found and self._split):
                self._split, self._doubts = found, 0
        return self._split

    def _verdict(self, hz: float | None) -> tuple[int, ...]:
        fundamental = self._series.fundamental_hz
        lines = strong_lines(
            np.concatenate(self._hops) * self._window, 0.6 * fundamental, (HIGHEST_PARTIAL + 0.5) * fundamental
        )
        lines = _without_side_bands(lines, _SIDE_BANDS * fundamental)
        comb = None if hz is None else _comb_hz(lines, hz)
        strangers = [line for line in lines if comb is None or _off_cents(line, comb) > _OFF_CENTS]
        if not strangers:
            return ()
        heard = 1 if comb is None else self._series.nearest(comb)[0]
        return self._both(heard, lines, strangers)

    def _both(self, heard: int, lines: list[Line], strangers: list[Line]) -> tuple[int, ...]:
        """The partial that is heard and the strongest that it does not explain.

        A pitch tracker calls the spacing of a split's comb "the fundamental", and a line at that difference of
        the two may be strong (Doc, Vergez, Missoum): then the two strongest lines above it tell.
        """
        if heard > 1:
            others = [n for n in map(self._partial, strangers) if n % heard]
            return tuple(sorted({heard, *others[:1]})) if others else ()
        strongest = [n for n in dict.fromkeys(map(self._partial, lines)) if n > 1][:2]
        return tuple(sorted(strongest)) if len(strongest) > 1 else ()

    def _partial(self, line: Line) -> int:
        return self._series.nearest(line[0])[0]


def _without_side_bands(lines: list[Line], width_hz: float) -> list[Line]:
    kept: list[Line] = []
    for line in lines:  # the strongest first
        if all(abs(line[0] - stronger[0]) > width_hz for stronger in kept):
            kept.append(line)
    return kept


def _off_cents(line: Line, hz: float) -> float:
    return abs(cents(line[0], max(1, round(line[0] / hz)) * hz))


def _comb_hz(lines: list[Line], hz: float) -> float:
    """The frequency whose multiples the lines near those of `hz` really are, in the mean of the window."""
    near = [line for line in lines if _off_cents(line, hz) <= _NEAR_CENTS]
    weights = [10.0 ** (db / 20.0) for _, db in near]
    if not near:
        return hz
    places = [line_hz / max(1, round(line_hz / hz)) for line_hz, _ in near]
    return float(np.average(places, weights=weights))


def strong_lines(windowed: Floats, lowest_hz: float, highest_hz: float) -> list[Line]:
    """The spectral lines within 20 dB of the strongest, strongest first, as (Hz, dB).

    `windowed`, shape (n,), is the sound under a Hann window. Places are read by a parabola through the three
    highest points of the log spectrum (J. O. Smith, Spectral Audio Signal Processing, quadratic interpolation).
    """
    spectrum = 20.0 * np.log10(np.abs(np.fft.rfft(windowed)) + 1e-12)
    bin_hz = RATE / len(windowed)
    low, high = max(2, math.floor(lowest_hz / bin_hz)), math.ceil(highest_hz / bin_hz)
    part = spectrum[low - 1 : high + 2]
    middle = part[1:-1]
    loud = part.max() + _WEAKEST_DB
    peaks = np.flatnonzero((middle > part[:-2]) & (middle >= part[2:]) & (middle > loud)) + 1
    return sorted((_placed(part, int(peak), low - 1, bin_hz) for peak in peaks), key=lambda line: -line[1])


def _placed(part: Floats, peak: int, offset: int, bin_hz: float) -> Line:
    left, top, right = part[peak - 1 : peak + 2]
    shift = 0.5 * (left - right) / (left - 2.0 * top + right)
    return (peak + offset + float(shift)) * bin_hz, float(top)
