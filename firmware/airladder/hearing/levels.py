"""How loud it is: the whole sound, and its breathy part, on a grid fine enough to time an attack.

Conventions
-----------
Powers are mean squares of stretches of 64 samples (1.33 ms), amplitudes their roots, linear; levels are rms in dB re
full scale.
"""

from __future__ import annotations

import math
from collections import deque

import numpy as np

from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.filters import SECOND_ORDER, butterworth

STRETCH = 64
"""Samples in one step of the envelope."""

STRETCH_SECONDS = STRETCH / RATE
STEPS = HOP // STRETCH
"""Steps of the envelope in a hop."""

SILENCE_DBFS = -120.0
"""What a level of nothing at all is called."""

_KEPT = round(1.5 / STRETCH_SECONDS)
_ROOM = 8  # times as much room as is kept
_LEARNT_HOPS, _LEAST_HOPS = 190, 47  # the room is what was heard in the last second, a quarter at least
_LEARNS_EVERY = 8  # hops
_FALLEN_DB, _FALLEN_HOPS = 6.0, 8  # what was so much louder was not the room
_LEVEL_HOPS = 4  # 21 ms: more than one period of the lowest fundamental (65 Hz), so that the level stands still
_RUMBLE_HZ = 30.0  # constant offsets and handling lie below, every fundamental well above (lowest: 65 Hz)
_BREATH_HZ = 4000.0  # breath noise tells best above this
_MEAN: Samples = np.full(STRETCH, 1.0 / STRETCH, np.float32)
_QUARTER: Samples = np.full(STEPS, 1.0 / STEPS, np.float32)


def dbfs(rms: float) -> float:
    """An rms value as a level; not below -120."""
    return max(SILENCE_DBFS, 20.0 * math.log10(max(rms, 1e-12)))


LEVEL_SECONDS = _LEVEL_HOPS * HOP / RATE
"""What a level is the mean of."""


class Levels:
    """Follows the level hop by hop and remembers the envelope of the last 1.5 s.

    Attributes
    ----------
    clean : shape (256,), the newest hop without rumble and constant offset
    level_dbfs : rms level of the last 21 ms
    hop_power, hop_breath : mean square of the newest hop, whole and above 4 kHz
    floor_dbfs : the level of the room, followed while nothing sounds
    breath_floor : rms amplitude of the room above 4 kHz
    power, breath_power : mean squares of the last 1.5 s, whole and above 4 kHz, newest last, shape (1125,), one every
        1.33 ms; zeros before the first sample. They are views, good until the next hop
    """

    def __init__(self) -> None:
        self.clean: Samples = np.zeros(HOP, np.float32)
        self.level_dbfs = SILENCE_DBFS
        self.floor_dbfs = SILENCE_DBFS
        self.hop_power = self.hop_breath = self.breath_floor = 0.0
        self._sounds: Samples = np.zeros((2, HOP), np.float32)
        self._kept: Samples = np.zeros((2, _ROOM * _KEPT), np.float32)
        self._end = _KEPT
        self.power, self.breath_power = self._kept[:, : self._end]
        (self._rumble,) = butterworth("high", _RUMBLE_HZ, RATE, SECOND_ORDER)
        (self._breathy,) = butterworth("high", _BREATH_HZ, RATE, SECOND_ORDER)
        self._powers: deque[float] = deque([0.0] * _LEVEL_HOPS, maxlen=_LEVEL_HOPS)
        self._quiet: deque[tuple[float, float]] = deque(maxlen=_LEARNT_HOPS)
        self._rested = self._fallen = 0

    def feed(self, samples: Samples) -> None:
        """Take the next 256 samples."""
        self.clean = self._rumble(samples).copy()
        self._sounds[0], self._sounds[1] = self.clean, self._breathy(self.clean)
        means = (np.square(self._sounds).reshape(-1, STRETCH) @ _MEAN).reshape(2, STEPS)
        if self._end + STEPS > self._kept.shape[1]:  # moved to the front once in a while: a copy each hop costs more
            self._kept[:, :_KEPT] = self._kept[:, self._end - _KEPT : self._end].copy()
            self._end = _KEPT
        self._kept[:, self._end : self._end + STEPS] = means
        self._end += STEPS
        self.power, self.breath_power = self._kept[:, self._end - _KEPT : self._end]
        self.hop_power, self.hop_breath = (means @ _QUARTER).tolist()
        self._powers.append(self.hop_power)
        self.level_dbfs = dbfs(math.sqrt(sum(self._powers) / _LEVEL_HOPS))
        self._forget_a_louder_room()

    def _forget_a_louder_room(self) -> None:
        self._fallen = self._fallen + 1 if self.level_dbfs < self.floor_dbfs - _FALLEN_DB else 0
        if self._fallen == _FALLEN_HOPS:
            self._quiet.clear()
            self.floor_dbfs, self.breath_floor = SILENCE_DBFS, 0.0

    def rest(self) -> None:
        """Nothing sounds now: let the room's level be learnt from this hop (a low percentile of the last second)."""
        self._quiet.append((self.level_dbfs, self.hop_breath))
        self._rested += 1
        if self._rested % _LEARNS_EVERY or len(self._quiet) < _LEAST_HOPS:
            return
        levels, breaths = zip(*self._quiet, strict=True)
        self.floor_dbfs = sorted(levels)[len(levels) // 5]
        self.breath_floor = math.sqrt(sorted(breaths)[len(breaths) // 5])


def smoothed(power: Samples, steps: int) -> Samples:
    """The mean of `steps` values around each, shape (n - steps + 1,); value i lies (steps - 1) / 2 later than i."""
    total = np.cumsum(power, dtype=np.float64)
    total[steps:] -= total[:-steps].copy()
    mean: Samples = (np.maximum(total[steps - 1 :], 0.0) / steps).astype(np.float32)
    return mean


def steps_of(period: float) -> int:
    """Steps of the envelope that hold a wave of `period` seconds, 4 ms at least: their mean stands still."""
    return max(3, math.ceil(period / STRETCH_SECONDS))
