"""Figures of a stretch of sound from the microphone: noise, hum, offset, bits that never move, peak, clipping.

Conventions
-----------
Samples as in `hearing.block`, shape (n,), mono, 48 kHz. Levels in dB re full scale, rms as in `hearing.levels`. Hum
is the sum of what lies at the first six multiples of the mains frequency, each with half a per cent for a grid that
wanders (EN 50160 allows 1 %, from memory; a tenth of that is common practice). Pure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from airladder.hearing.block import RATE, Samples
from airladder.hearing.levels import dbfs

MAINS_HZ = (50, 60)
FULL = 0.9999
"""A sample so high is at the end of the scale: 16 bits end at 0.99997."""

_MULTIPLES = 6
_WANDERS = 0.005
_LOBE_BINS = 2  # half the main lobe of the window
_BITS = 16


@dataclass(frozen=True)
class Quiet:
    """What is there while nobody makes a sound.

    Attributes
    ----------
    offset : the mean, as a share of full scale
    noise_dbfs : what is left of it without the mean
    hum_hz, hum_dbfs : the louder one of the two mains frequencies with its multiples
    dead : whether all samples are the same
    stuck_bits : those of the upper 16 that never move though the sound goes far enough, 0 the lowest
    """

    offset: float
    noise_dbfs: float
    hum_hz: int
    hum_dbfs: float
    dead: bool
    stuck_bits: tuple[int, ...]


@dataclass(frozen=True)
class Loud:
    """What is there while somebody plays: the highest peak, how many samples are clipped, bits that never move."""

    peak_dbfs: float
    clipped: int
    stuck_bits: tuple[int, ...]


def quiet(samples: Samples) -> Quiet:
    """The figures of a quiet stretch of a second at least."""
    x = np.asarray(samples, np.float64)
    offset = float(x.mean())
    centred = x - offset
    hums = {hz: hum_dbfs(centred, hz) for hz in MAINS_HZ}
    hum_hz = max(hums, key=lambda hz: hums[hz])
    return Quiet(
        offset=offset,
        noise_dbfs=dbfs(float(np.sqrt(np.mean(centred**2)))),
        hum_hz=hum_hz,
        hum_dbfs=hums[hum_hz],
        dead=bool(x.min() == x.max()),
        stuck_bits=stuck_bits(samples),
    )


def loud(samples: Samples) -> Loud:
    """The figures of a stretch with sound."""
    size = np.abs(samples)
    peak = float(size.max(initial=0.0))
    return Loud(dbfs(peak), int(np.count_nonzero(size >= FULL)), stuck_bits(samples))


def hum_dbfs(samples: np.ndarray, hz: int) -> float:
    """The level of what lies at the multiples of `hz`."""
    window = np.hanning(len(samples))
    powers = np.abs(np.fft.rfft(samples * window)) ** 2 * 2.0 / (len(samples) * np.sum(window**2))
    bins_a_hz = len(samples) / RATE
    total = 0.0
    for multiple in range(1, _MULTIPLES + 1):
        centre, width = multiple * hz * bins_a_hz, multiple * hz * _WANDERS * bins_a_hz + _LOBE_BINS
        total += float(powers[math.ceil(centre - width) : math.floor(centre + width) + 1].sum())
    return dbfs(math.sqrt(total))


def stuck_bits(samples: Samples) -> tuple[int, ...]:
    """Which of the upper 16 bits are always 0 or always 1, though the samples span twice what makes them turn."""
    steps = np.floor(np.asarray(samples, np.float64) * 2.0 ** (_BITS - 1)).astype(np.int64)
    if not len(steps):
        return ()
    span = int(steps.max() - steps.min())
    movable = [bit for bit in range(_BITS - 1) if span >= 4 << bit]
    return tuple(bit for bit in movable if len(np.unique(steps >> bit & 1)) == 1)
