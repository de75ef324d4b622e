"""How loud it is: the whole sound, and its breathy part, on a grid fine enough to time an attack.

Conventions
-----------
Amplitudes are linear peaks of short stretches of 64 samples (1.33 ms); levels are rms in dB re full scale.
"""

from __future__ import annotations

import math
from collections import deque

import aubio
import numpy as np

from airladder.hearing.block import HOP, RATE, Samples

STRETCH = 64
"""Samples in one step of the envelope."""

STRETCH_SECONDS = STRETCH / RATE

SILENCE_DBFS = -120.0
"""What a level of nothing at all is called."""

_KEPT = round(1.5 / STRETCH_SECONDS)
_LEARNT_HOPS, _LEAST_HOPS = 190, 47  # the room is what was heard in the last second, a quarter at least
_LEVEL_HOPS = 4  # 21 ms: more than one period of the lowest fundamental (65 Hz), so that the level stands still
_RUMBLE_HZ = 30.0  # constant offsets and handling lie below, every fundamental well above (lowest: 65 Hz)
_BREATH_HZ = 4000.0  # breath noise tells best above this


def dbfs(rms: float) -> float:
    """An rms value as a level; not below -120."""
    return max(SILENCE_DBFS, 20.0 * math.log10(max(rms, 1e-12)))


def highpass(corner_hz: float) -> aubio.digital_filter:
    """A second-order Butterworth high-pass at 48 kHz (bilinear transform: Oppenheim and Schafer)."""
    warped = math.tan(math.pi * corner_hz / RATE)
    norm = 1.0 / (1.0 + math.sqrt(2.0) * warped + warped**2)
    section = aubio.digital_filter(3)
    section.set_biquad(
        norm,
        -2.0 * norm,
        norm,
        2.0 * (warped**2 - 1.0) * norm,
        (1.0 - math.sqrt(2.0) * warped + warped**2) * norm,
    )
    return section


def steps_of(period: float) -> int:
    """Steps of the envelope that surely hold the highest peak of a wave of `period` seconds."""
    return math.ceil(period / STRETCH_SECONDS) + 1


def highest_of_last(values: Samples, steps: int) -> Samples:
    """The running maximum over the newest `steps` values, shape kept; a rise is not moved by it."""
    padded = np.concatenate([np.full(steps - 1, values[0] if len(values) else 0.0, np.float32), values])
    highest: Samples = np.lib.stride_tricks.sliding_window_view(padded, steps).max(axis=1)
    return highest


class Levels:
    """Follows the level hop by hop and remembers the envelope of the last 1.5 s.

    Attributes
    ----------
    clean : shape (256,), the newest hop without rumble and constant offset
    level_dbfs : rms level of the last 21 ms
    floor_dbfs : the level of the room, followed while nothing sounds
    breath_floor : amplitude of the room above 4 kHz
    """

    def __init__(self) -> None:
        self.clean: Samples = np.zeros(HOP, np.float32)
        self.level_dbfs = SILENCE_DBFS
        self.floor_dbfs = SILENCE_DBFS
        self.breath_floor = 0.0
        self._rumble = highpass(_RUMBLE_HZ)
        self._breathy = highpass(_BREATH_HZ)
        self._powers: deque[float] = deque(maxlen=_LEVEL_HOPS)
        self._envelope: deque[float] = deque(maxlen=_KEPT)
        self._breath: deque[float] = deque(maxlen=_KEPT)
        self._quiet: deque[tuple[float, float]] = deque(maxlen=_LEARNT_HOPS)

    def feed(self, samples: Samples) -> None:
        """Take the next 256 samples."""
        self.clean = self._rumble(samples).copy()
        self._powers.append(float(np.mean(np.square(self.clean))))
        self.level_dbfs = dbfs(math.sqrt(sum(self._powers) / len(self._powers)))
        self._envelope.extend(np.abs(self.clean).reshape(-1, STRETCH).max(axis=1).tolist())
        breath = self._breathy(self.clean)
        self._breath.extend(np.sqrt(np.square(breath).reshape(-1, STRETCH).mean(axis=1)).tolist())

    def rest(self) -> None:
        """Nothing sounds now: let the room's level be learnt from this hop (a low percentile of the last second)."""
        self._quiet.append((self.level_dbfs, self._breath[-1]))
        if len(self._quiet) < _LEAST_HOPS:
            return
        levels, breaths = zip(*self._quiet, strict=True)
        self.floor_dbfs = sorted(levels)[len(levels) // 5]
        self.breath_floor = sorted(breaths)[len(breaths) // 5]

    def envelope(self) -> Samples:
        """Peak amplitudes of the last 1.5 s at most, newest last, shape (n,), one every 1.33 ms."""
        return np.array(self._envelope, np.float32)

    def breath(self) -> Samples:
        """Rms amplitudes above 4 kHz on the grid of `envelope`."""
        return np.array(self._breath, np.float32)
