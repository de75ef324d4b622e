"""How loud a note is from sample to sample, and when it begins, stands and ends.

Conventions
-----------
Mono float32, 48 kHz, shape (n,). Powers are mean squares, levels their roots, linear; times in s.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airladder.hearing.block import RATE, Samples
from bench.clip import Floats

START_DB, END_DB = -30.0, -25.0
"""Re the level of the note: where its sound begins, and where it has ended."""

_START_HALF = round(0.0015 * RATE)
_RISE_PERIODS, _RISE_SECONDS = 0.5, 0.002
_SETTLED_SECONDS = 0.25


@dataclass(frozen=True)
class Shape:
    """One note in silence: when it was begun, the level of its steady part, its acoustic start and end, its rise."""

    begin: float
    level: float
    start: float
    end: float
    rise_ms: float


def smooth_power(samples: Samples | Floats, half: int) -> Floats:
    """The mean square over 2 * `half` + 1 samples around each, shape (n,)."""
    total = np.cumsum(np.pad(np.square(samples, dtype=np.float64), (half + 1, half)))
    mean: Floats = np.maximum(total[2 * half + 1 :] - total[: -2 * half - 1], 0.0) / (2 * half + 1)
    return mean


def shape_of(samples: Samples, hz: float, begin: float, let_go: float) -> Shape:
    """The shape of the note of about `hz` that was begun at `begin` s and let go at `let_go` s."""
    settled = slice(round((begin + min(_SETTLED_SECONDS, (let_go - begin) / 2)) * RATE), round(let_go * RATE))
    level = float(np.sqrt(np.median(smooth_power(samples, round(RATE / hz))[settled])))
    quick = smooth_power(samples, _START_HALF)
    start = _first(quick > 10 ** (START_DB / 10) * level**2)
    slow = smooth_power(samples, round(max(_RISE_PERIODS / hz, _RISE_SECONDS) * RATE))
    end = len(slow) - _first(slow[::-1] > 10 ** (END_DB / 10) * level**2)
    return Shape(begin, level, start / RATE, end / RATE, rise_ms(slow, level))


def rise_ms(power: Floats, level: float) -> float:
    """From the last time below 10 per cent of `level` to the first above 90, ms."""
    top = _first(power > (0.9 * level) ** 2)
    foot = top - _first(power[: top + 1][::-1] < (0.1 * level) ** 2)
    return 1000.0 * (top - foot) / RATE


def _first(where: np.ndarray) -> int:
    return int(np.argmax(where))
