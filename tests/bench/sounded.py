"""What really sounded in the mouthpiece of the physical player: measured on its pressure, offline, never assumed.

A partial sounds where the pressure repeats after that partial's period and after no shorter one: normalised
autocorrelation (P. McLeod, G. Wyvill, ICMC 2005) over two and a half periods of the fundamental, centred. A split is
a motion of two frequencies that do not lock: lines at m times one and n times the other, m and n whole numbers
(J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica 100 (2014) 543-554).

Conventions
-----------
Pressures as `virtualhorn.physical.Performance` has them, shape (n,), 48 kHz; tracks have one value a hop, at its end.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, RATE
from airladder.music.pitch import cents
from airladder.music.series import Series
from airladder.virtualhorn.physical import Performance
from bench.clip import Floats

SPEAKS = 0.004
"""rms pressure, in units of the one that shuts the reed: below it nothing sounds but breath."""

_PERIODS = 2.5
_LIKE, _AS_LIKE = 0.93, 0.9  # how well it repeats; and how nearly as well as after any longer period
_LINE_DB, _LINE_HZ, _HIGHEST_HZ = -20.0, 1.5, 2000.0
_ORDER = 5
_APART_HZ = 4.0  # two frequencies closer than that to whole-number neighbours could be one locked motion
_ON_PARTIAL_CENTS = 90.0
_UNDER_DB = -8.0
_SAME = 0.99  # what explains less leaves a tenth of the amplitude to something else


@dataclass(frozen=True)
class Split:
    """Two partials at once: which, at which frequencies, Hz."""

    partials: tuple[int, int]
    hz: tuple[float, float]


def partial_track(pressure: Floats, series: Series) -> npt.NDArray[np.int64]:
    """The partial that sounds at the end of each hop: 0 for silence, -1 for none or several."""
    window = round(_PERIODS * RATE / series.fundamental_hz)
    padded = np.pad(pressure, (window // 2, window))
    ends = (np.arange(len(pressure) // HOP) + 1) * HOP
    return np.array([partial_of(padded[end : end + window], series) for end in ends], np.int64)


def partial_of(pressure: Floats, series: Series) -> int:
    """The partial that sounds in a stretch of at least two periods of the fundamental; 0 silence, -1 none."""
    if float(np.std(pressure)) < SPEAKS:
        return 0
    hz = repeated_hz(pressure, series.fundamental_hz)
    if hz is None:
        return -1
    partial, off = series.nearest(hz)
    return partial if abs(off) <= _ON_PARTIAL_CENTS else -1


def repeated_hz(pressure: Floats, fundamental_hz: float, as_like: float = _AS_LIKE) -> float | None:
    """How often a second the pressure repeats; None where it does not.

    A shorter period is taken when it explains the pressure `as_like` as well as the best one.
    """
    likeness = _likeness(pressure, round(1.07 * RATE / fundamental_hz))
    peaks = _peaks(likeness)
    if not len(peaks) or likeness[peaks].max() < _LIKE:
        return None
    lag = peaks[likeness[peaks] >= as_like * likeness[peaks].max()][0]
    before, there, after = likeness[lag - 1 : lag + 2]
    return float(RATE / (lag + 0.5 * (before - after) / (before - 2.0 * there + after)))


def split_of(pressure: Floats, series: Series) -> Split | None:
    """The split that sounds in a steady stretch of 0.3 s or more; None where it is no split."""
    if float(np.std(pressure)) < SPEAKS:
        return None
    lines = lines_of(pressure)
    for one, two in combinations(sorted(lines, key=lambda line: -line[1])[:4], 2):
        pair = (min(one[0], two[0]), max(one[0], two[0]))
        places = [series.nearest(hz) for hz in pair]
        named = places[0][0] != places[1][0] and all(abs(off) <= _ON_PARTIAL_CENTS for _, off in places)
        if named and _unlocked(pair) and all(_explained(hz, pair) for hz, _ in lines):
            return Split((places[0][0], places[1][0]), pair)
    return None


def lines_of(pressure: Floats) -> list[tuple[float, float]]:
    """The lines of the spectrum within 20 dB of the strongest, below 2 kHz: Hz and dB re the strongest."""
    size = 8 * len(pressure)
    spectrum = np.abs(np.fft.rfft((pressure - pressure.mean()) * np.hanning(len(pressure)), size))
    decibels = 20.0 * np.log10(spectrum / spectrum.max() + 1e-12)
    hz = np.arange(len(spectrum)) * RATE / size
    strong = [i for i in _peaks(decibels) if decibels[i] > _LINE_DB and hz[i] < _HIGHEST_HZ]
    return [(float(hz[i]), float(decibels[i])) for i in strong]


def undertone_of(played: Performance, series: Series, window: slice) -> tuple[int, float] | None:
    """A partial that outweighs the motion of the fundamental in which it stands, and the level of the rest, dB.

    The level is that of all other harmonics of the fundamental together, re those that belong to the partial, outside
    the horn. None where the motion does not have the fundamental's period, or the rest is -8 dB or more:
    then it is a low note with a strong harmonic.
    """
    hz = repeated_hz(played.pressure[window], series.fundamental_hz, _SAME)
    if hz is None or series.nearest(hz)[0] != 1:
        return None
    heard = played.samples[window].astype(np.float64)
    power = np.abs(np.fft.rfft(heard * np.hanning(len(heard)))) ** 2
    near = np.round(np.fft.rfftfreq(len(heard), hz / RATE)).astype(np.int64)
    harmonics = np.bincount(near, power)[1:33]
    partial = int(np.argmax(harmonics)) + 1
    own = float(harmonics[partial - 1 :: partial].sum())
    rest = 10.0 * np.log10((float(harmonics.sum()) - own) / own + 1e-12)
    return (partial, float(rest)) if partial > 1 and rest < _UNDER_DB else None


def _unlocked(pair: tuple[float, float]) -> bool:
    """Whether no small whole numbers join the two."""
    ratios = ((m, n) for m in range(1, 9) for n in range(1, 9))
    return all(abs(m * pair[0] - n * pair[1]) > _APART_HZ for m, n in ratios)


def _explained(hz: float, pair: tuple[float, float]) -> bool:
    orders = range(-_ORDER, _ORDER + 1)
    sums = (m * pair[0] + n * pair[1] for m in orders for n in orders if abs(m) + abs(n) <= _ORDER)
    return any(abs(hz - line) < _LINE_HZ * 2.0 for line in sums)


def _likeness(pressure: Floats, longest: int) -> Floats:
    """How like the pressure is to itself so many samples later, -1 to 1, shape (longest + 1,)."""
    x = pressure - pressure.mean()
    size = 1 << (2 * len(x) - 1).bit_length()
    products = np.fft.irfft(np.abs(np.fft.rfft(x, size)) ** 2, size)[: longest + 1]
    power = np.concatenate([[0.0], np.cumsum(x * x)])
    lags = np.arange(longest + 1)
    both = power[len(x) - lags] + power[-1] - power[lags]
    likeness: Floats = 2.0 * products / np.maximum(both, 1e-30)
    return likeness


def _peaks(values: Floats) -> npt.NDArray[np.int64]:
    inner = values[1:-1]
    return np.flatnonzero((inner > values[:-2]) & (inner >= values[2:])) + 1


def off_cents(hz: float, series: Series, partial: int) -> float:
    """How far `hz` lies above the place of the partial on this tube, cents."""
    return cents(hz, series.place_hz(partial))
