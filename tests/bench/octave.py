"""Finds recordings that begin an octave low, and cuts that beginning off.

Some samples of the soundfont sound their octave below, or both, for up to 140 ms before the note that they are named
for. What is true of such a beginning nobody knows, so the clip begins where it is over.

Conventions
-----------
Mono float32, 48 kHz, shape (n,); times in s.
"""

from __future__ import annotations

import numpy as np

from airladder.hearing.block import RATE, Samples
from bench.clip import Floats

DEFECT_DB, OVER_DB = -6.0, -12.0
"""Lines half-way between the harmonics, re the harmonics: a defect above the one, over below the other."""

EARLIEST_SECONDS, LATEST_SECONDS = 0.03, 0.4
"""After the acoustic start: before, an attack of any note has such lines; later, none of these recordings has."""

FADE_SECONDS = 0.010
_PERIODS, _LEAST_SECONDS = 4.2, 0.02
_HOP = 240
_LINES = 6


def octave_low_until(samples: Samples, hz: float, start: float) -> float | None:
    """When the octave below has gone; None where the note begins as it should."""
    times, db = _halfway_db(samples, hz, start)
    if db.max() < DEFECT_DB:
        return None
    return float(times[np.flatnonzero(db > OVER_DB)[-1]]) + _HOP / RATE


def cut_before(samples: Samples, t: float) -> Samples:
    """Silence until `t`, then the sound, faded in."""
    first = round(t * RATE)
    fade = 0.5 - 0.5 * np.cos(np.pi * np.clip((np.arange(len(samples)) - first) / (FADE_SECONDS * RATE), 0.0, 1.0))
    return (samples * fade).astype(np.float32)


def _halfway_db(samples: Samples, hz: float, start: float) -> tuple[Floats, Floats]:
    count = round(max(_LEAST_SECONDS, _PERIODS / hz) * RATE)
    earliest, latest = (round((start + after) * RATE) for after in (EARLIEST_SECONDS, LATEST_SECONDS))
    centres = np.arange(earliest, latest, _HOP)
    frames = np.stack([samples[c - count // 2 :][:count] for c in centres]) * np.hanning(count)
    numbers = np.arange(1, 2 * _LINES + 1) / 2.0
    power = np.abs(frames @ np.exp(-2j * np.pi * hz / RATE * np.outer(np.arange(count), numbers))) ** 2
    return centres / RATE, 10.0 * np.log10(power[:, 0::2].sum(axis=1) / power[:, 1::2].sum(axis=1))
