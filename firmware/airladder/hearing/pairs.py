"""Which partials make the lines of a spectrum: one whose multiples they are, or two whose whole-number sums.

Two modes that do not lock give lines at m times one frequency plus n times the other (J.-B. Doc, C. Vergez,
S. Missoum, Acta Acustica 100 (2014) 543-554). Any two of three such lines make the same set. Of all that would do,
those two are meant that are strong in the mouthpiece, where the reed closes the loop, and near their places: outside
a saxophone what is higher is stronger, the more so the further below the tone-hole cutoff (A. Benade, S. Lutgen,
J. Acoust. Soc. Am. 83 (1988) 1900-1907; from memory). How much stronger was fitted on the physical player.
"""

from __future__ import annotations

import math
from itertools import combinations
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from airladder.hearing.lines import Floats, Lines
from airladder.music.series import Series

_RADIATES = 2.5  # power outside re inside the mouthpiece goes with this power of the frequency
_ON_PLACE_CENTS = 90.0  # further from its place no partial of a split was seen
_CENTS_DB = 0.1  # a cent further from its place weighs as much as a line so much weaker
_CANDIDATES = 4  # lines that may be one of the two
_UNSURE, _LOCKED_SHARE = (
    0.15,
    0.002,
)  # bins, and share of the fundamental: so near to whole ratios two lines are locked
_MADE, _MADE_SHARE = 0.9, 0.8  # bins: so near to their places the sums lie; and how much must be sums
_ORDER = 5  # |m| + |n|, at most
_SUMS = np.array(
    [(m, n) for m in range(-_ORDER, _ORDER + 1) for n in range(_ORDER + 1) if 0 < abs(m) + n <= _ORDER], np.float32
)


class _Candidate(NamedTuple):
    fit_db: float
    line: int
    partial: int


class Pair(NamedTuple):
    """Two partials, and their lines."""

    partials: tuple[int, int]
    lines: tuple[int, int]


def pair_of(lines: Lines, series: Series, bin_hz: float) -> Pair | None:
    """The two partials that do not lock and make the lines, or None.

    Parameters
    ----------
    lines : of one spectrum
    bin_hz : one over the length of its window
    """
    for one, other in _by_fit(lines, series):
        hz = lines.hz[[one.line, other.line]]
        locked = _locked((float(hz[0]), float(hz[1])), (one.partial, other.partial), bin_hz)
        if one.partial != other.partial and not locked and _made_of(hz, lines, bin_hz) > _MADE_SHARE:
            return Pair((one.partial, other.partial), (one.line, other.line))
    return None


def on_place(hz: float, series: Series) -> int | None:
    """The partial that can sound at `hz` on this tube."""
    partial, off = series.nearest(hz)
    return partial if abs(off) < _ON_PLACE_CENTS else None


def inside(lines: Lines) -> Floats:
    """The powers of the lines in the mouthpiece, of no fixed reference, shape (n,)."""
    return np.asarray(lines.power / lines.hz**_RADIATES, np.float32)


def comb_hz(lines: Lines, numbers: npt.NDArray[np.floating]) -> float:
    """The frequency whose multiples, by `numbers`, fit the lines best, Hz; the stronger ones count more."""
    weights = np.sqrt(lines.power) * numbers
    return float(weights @ lines.hz / (weights @ numbers))


def off_comb(lines: Lines, numbers: npt.NDArray[np.floating]) -> float:
    """How far the lines lie from multiples of one frequency, Hz rms; 0 for fewer than two."""
    if len(lines) < 2:
        return 0.0
    weights = np.sqrt(lines.power)
    off = lines.hz - numbers * comb_hz(lines, numbers)
    return math.sqrt(float(weights @ off**2 / weights.sum()))


def _by_fit(lines: Lines, series: Series) -> list[tuple[_Candidate, _Candidate]]:
    """Pairs of lines that lie near places of partials, the likeliest first."""
    levels = 10.0 * np.log10(inside(lines))
    candidates = []
    for line in np.argsort(-levels).tolist():
        partial, off = series.nearest(float(lines.hz[line]))
        if abs(off) < _ON_PLACE_CENTS:
            candidates.append(_Candidate(float(levels[line]) - _CENTS_DB * abs(off), line, partial))
    pairs = combinations(candidates[:_CANDIDATES], 2)
    return sorted(pairs, key=lambda pair: -pair[0].fit_db - pair[1].fit_db)


def _locked(hz: tuple[float, float], partials: tuple[int, int], bin_hz: float) -> bool:
    """Whether two lines are, as well as can be told, multiples of one frequency."""
    one, other = hz[0] / partials[0], hz[1] / partials[1]
    unsure = _UNSURE * bin_hz * math.hypot(1.0 / partials[0], 1.0 / partials[1])
    return abs(one - other) < max(unsure, _LOCKED_SHARE * one)


def _made_of(two_hz: Floats, lines: Lines, bin_hz: float) -> float:
    """The share of the lines, by amplitude, that are sums of the two."""
    sums = np.abs(_SUMS @ two_hz)
    near = np.abs(lines.hz[:, np.newaxis] - sums).min(axis=1) < _MADE * bin_hz
    amplitudes = np.sqrt(lines.power)
    return float(amplitudes[near].sum() / amplitudes.sum())
