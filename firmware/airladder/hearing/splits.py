"""Hears when more than one partial sounds at once: an undertone, or a split note.

One partial alone gives lines at whole multiples of its own frequency. With another partial under it, or when two
do not lock (multiphonics as quasi-periodic motion of two modes: J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica
100 (2014) 543-554), there are lines that it does not explain. Two questions tell:

- Are there lines near places of other partials, far from the multiples of the partial that is heard?
- If not, or if what is heard is the fundamental, whose multiples lie near all places: are the lines exact
  multiples, or shifted? A pitch tracker calls the spacing of a split's lines a fundamental, and steady.

Conventions
-----------
A window is 171 ms, 256 ms on the lowest tubes; a verdict falls every 43 ms. An undertone is named when all its
lines together are within UNDERTONE_DB of the partial.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import Samples
from airladder.hearing.lines import BAND_HOP, BATCH_HOPS, Floats, Lines, LineWindow
from airladder.music.series import HIGHEST_PARTIAL, Series

UNDERTONE_DB = -19.5
"""What is weaker, re the partial above it, is not named."""

_LOW_TUBE_HZ, _SHORT, _LONG = 90.0, 2048, 3072  # fundamentals below it need the longer window
_WEAKEST_DB = -26.0  # a line below this, re the strongest, is no matter
_ABOVE_NOISE = 14.0  # in power; noise alone is that strong now and then, but hardly twice in a row
_TRUSTED_HOPS = 16  # for so long what the tracker heard last still holds
_SIDE_BANDS = 0.3  # of the fundamental: what lies this near to a stronger line belongs to it
_NEAR = 0.25  # of the fundamental: what lies further from a place does not belong there
_STRAY = 0.5  # of the strangers' power: with more of it near no place at all, this is another instrument
_SHIFTED, _SHIFTED_SHARE = 0.20, 0.008  # bins and share of the pitch: so far from multiples vibrato brings no line
_OF_THE_TWO = 0.5  # of that, for the two lines that are named, by themselves
_STILL = 0.55  # of all that, for what has been named already
_EXACT = 0.25  # bins: strangers this near to multiples of one frequency are one partial's
_OF_STRANGERS_DB = -14.0  # re the strongest of them: those that tell whose they are
_AT_ONCE = 0.25  # of half a window: lines further apart in time sounded one after the other
_KEPT_DB = -3.0  # what has been named is still named when it is so much weaker
_BEGINS, _ENDS = 2, 3  # verdicts in a row
_HARMONICS, _STRONGEST = 8, 6  # lines that are asked whether they are shifted, and that name a split
_DIFFERENCE_DB, _DIFFERENCE_BINS = -6.0, 0.7  # so weak the two lines may be whose difference another one is
_FAR_ABOVE, _FAR_DIFFERENCE_DB = 2.7, -14.0  # and so weak, if they lie so many times higher

Flags = npt.NDArray[np.bool_]


class SplitWatch:
    """Follows one note and says which partials sound at once."""

    def __init__(self, series: Series) -> None:
        self._fundamental = series.fundamental_hz
        count = _SHORT if self._fundamental >= _LOW_TUBE_HZ else _LONG
        self._window = LineWindow(self._fundamental, count)
        places = [series.place_hz(partial) for partial in range(1, HIGHEST_PARTIAL + 1)]
        self._edges = [math.sqrt(low * high) for low, high in pairwise(places)]
        self._needed = count // BAND_HOP
        self.restart()

    def restart(self) -> None:
        """A new note begins: nothing of the one before may be heard in it."""
        self._hops: list[Samples] = []
        self._fed = self._doubts = 0
        self._hz, self._unheard = 0.0, _TRUSTED_HOPS
        self._split: tuple[int, ...] = ()

    def feed(self, samples: Samples, hz: float | None) -> tuple[int, ...]:
        """The partials that sound at once; empty when one alone does, and until a window is full.

        Parameters
        ----------
        samples : the newest hop, shape (256,); it is kept for some hops and must not change
        hz : the frequency that the pitch tracker hears, Hz, or None
        """
        self._hops.append(samples)
        self._fed += 1
        self._unheard += 1
        if hz is not None:
            self._hz, self._unheard = hz, 0
        if len(self._hops) == BATCH_HOPS:
            self._window.feed(self._hops)
            self._hops.clear()
            if self._fed >= self._needed:
                self._weigh(self._verdict())
        return self._split

    def _weigh(self, found: tuple[int, ...]) -> None:
        """A split, and its end, is believed when some verdicts in a row say so."""
        self._doubts = 0 if bool(found) == bool(self._split) else self._doubts + 1
        if self._doubts >= (_ENDS if self._split else _BEGINS) or (found and self._split):
            self._split, self._doubts = found, 0

    def _verdict(self) -> tuple[int, ...]:
        lines = self._window.lines(_WEAKEST_DB, _ABOVE_NOISE).apart(_SIDE_BANDS * self._fundamental)
        if len(lines) < 2:
            return ()
        hz = self._hz
        if self._unheard >= _TRUSTED_HOPS:
            hz = float(lines.hz[0]) / self._partial(float(lines.hz[0]))
        heard = self._partial(hz)
        numbers = _numbers(lines, hz)
        explained = np.abs(lines.hz - numbers * hz) < _NEAR * self._fundamental
        strangers = self._strangers(lines, explained, hz / heard) if heard > 1 else None
        if strangers is not None:
            together = self._at_once(lines.those(explained), strangers)
            return self._under(heard, lines.first(_STRONGEST), strangers, hz / heard) if together else ()
        if heard == 1:  # it may be the spacing of lines that lie far from its multiples
            explained |= _near_a_place(lines.hz / self._fundamental)
        harmonics = explained & (numbers <= _HARMONICS)
        shift = self._least_shift(hz)
        if _off(lines.those(harmonics), numbers[harmonics]) < shift:
            return ()
        return self._named(lines, hz, _OF_THE_TWO * shift)

    def _least_shift(self, hz: float) -> float:
        """How far, in Hz, the lines must be from the multiples of `hz` to be none."""
        shifted = max(_SHIFTED * self._window.bin_hz, _SHIFTED_SHARE * hz)
        return _STILL * shifted if self._split else shifted

    def _strangers(self, lines: Lines, explained: Flags, spacing: float) -> Lines | None:
        """The lines near the places of other partials, if together they are loud enough for one."""
        places = lines.hz / spacing
        near = _near_a_place(places)
        others = ~explained & (places > 1.0 - _NEAR)
        power = float(lines.power[others & near].sum())
        loud = UNDERTONE_DB + (_KEPT_DB if self._split else 0.0)
        if power <= 10.0 ** (loud / 10.0) * lines.power[explained].sum():
            return None
        return lines.those(others & near) if lines.power[others & ~near].sum() < _STRAY * power else None

    def _at_once(self, some: Lines, others: Lines) -> bool:
        """Whether they sound together, and not one after the other in the same window, as in a slur."""
        return len(some) > 0 and abs(self._window.when(some) - self._window.when(others)) < _AT_ONCE

    def _under(self, heard: int, lines: Lines, strangers: Lines, spacing: float) -> tuple[int, ...]:
        """The partial that is heard, and the one whose lines the strangers are."""
        strong = strangers.those(strangers.power > 10.0 ** (_OF_STRANGERS_DB / 10.0) * strangers.power[0])
        numbers = np.round(strong.hz / spacing)
        if _off(strong, numbers) < _EXACT * self._window.bin_hz:
            common = int(np.gcd.reduce(numbers.astype(np.int64)))
            place = (common if common < heard else math.gcd(common, heard)) * _comb_hz(strong, numbers)
        else:
            differences = lines.hz[_differences(lines, _DIFFERENCE_BINS * self._window.bin_hz)]
            place = float(strong.hz[np.argmin(np.isin(strong.hz, differences))])
        return _both(heard, self._partial(place))

    def _named(self, lines: Lines, hz: float, shift: float) -> tuple[int, ...]:
        """The strongest line and the strongest that is no multiple of it, differences of others left out.

        The two by themselves must be shifted by `shift`, in Hz, from multiples of `hz`.
        """
        close = _DIFFERENCE_BINS * self._window.bin_hz
        some = lines.first(_STRONGEST)
        kept = some.those(~_differences(some, close))
        for other in range(1, len(kept)):
            two = kept.those(np.array([0, other]))
            strongest_hz, other_hz = two.hz.tolist()
            if self._independent(strongest_hz, other_hz, close) and _off(two, _numbers(two, hz)) >= shift:
                together = self._at_once(two.those(np.array([0])), two.those(np.array([1])))
                return _both(self._partial(strongest_hz), self._partial(other_hz)) if together else ()
        return ()

    def _independent(self, strongest_hz: float, hz: float, close: float) -> bool:
        """Whether neither line can be a harmonic of the other."""
        strongest, other = self._partial(strongest_hz), self._partial(hz)
        low_hz, high_hz = sorted((strongest_hz, hz))
        low, high = sorted((strongest, other))
        exact = abs(high_hz - round(high_hz / low_hz) * low_hz) < close
        return not (exact and high % low == 0) and (strongest == 1 or other % strongest != 0)

    def _partial(self, hz: float) -> int:
        return bisect_right(self._edges, hz) + 1


def _near_a_place(places: Floats) -> Flags:
    return np.asarray(np.abs(places - np.round(places)) < _NEAR, np.bool_)


def _both(one: int, other: int) -> tuple[int, ...]:
    return tuple(sorted((one, other))) if one != other else ()


def _numbers(lines: Lines, hz: float) -> npt.NDArray[np.floating]:
    """The multiples of `hz` that lie nearest to the lines."""
    return np.maximum(1.0, np.round(lines.hz / hz))


def _comb_hz(lines: Lines, numbers: npt.NDArray[np.floating]) -> float:
    """The frequency whose multiples, by `numbers`, fit the lines best, Hz; the stronger ones count more."""
    weights = np.sqrt(lines.power) * numbers
    return float(weights @ lines.hz / (weights @ numbers))


def _off(lines: Lines, numbers: npt.NDArray[np.floating]) -> float:
    """How far the lines lie from multiples of one frequency, Hz rms; 0 for fewer than two."""
    if len(lines) < 2:
        return 0.0
    weights = np.sqrt(lines.power)
    off = lines.hz - numbers * _comb_hz(lines, numbers)
    return math.sqrt(float(weights @ off**2 / weights.sum()))


def _differences(lines: Lines, close: float) -> Flags:
    """Which lines lie where two higher ones, not much weaker, differ: they may be strong without being partials."""
    hz, power = lines.hz, lines.power
    weakest_db = np.where(hz > _FAR_ABOVE * hz[:, np.newaxis], _FAR_DIFFERENCE_DB, _DIFFERENCE_DB)
    high = (hz > hz[:, np.newaxis] + close) & (power > 10.0 ** (weakest_db / 10.0) * power[:, np.newaxis])
    apart = np.abs(hz[:, np.newaxis] - hz)
    found = (np.abs(apart - hz[:, np.newaxis, np.newaxis]) < close) & high[:, :, np.newaxis] & high[:, np.newaxis, :]
    return np.asarray(found.any(axis=(1, 2)), np.bool_)
