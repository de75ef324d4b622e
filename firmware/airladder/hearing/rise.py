"""Reads the beginning of a note from the envelope: where it starts, how long it rises, how fast it grows.

Conventions
-----------
The envelope is the mean power over one period of what sounds. The rise is the time from 10 to 90 per cent of the
level that held (in amplitude); its decimal logarithm, in s, is the log attack time of the timbre literature
(ISO/IEC 15938-4; G. Peeters et al., J. Acoust. Soc. Am. 130 (2011) 2902-2916). The start is where the envelope last
stood 30 dB below that level. Where the room or the breath before the note is louder than that, it is looked for 6 dB
above those, and the growth from there is followed back, for a reed's oscillation grows exponentially (W. Li,
A. Almeida, J. Smith, J. Wolfe, J. Acoust. Soc. Am. 140 (2016) 1089) until it saturates.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from airladder.hearing.block import Samples
from airladder.hearing.levels import STRETCH_SECONDS, smoothed

START_DB = 30.0
_START = 10.0 ** (-START_DB / 10.0)
_LOW, _HIGH, _HALF, _NEARLY = 0.10**2, 0.90**2, 0.25, 0.5
_ABOVE_FLOOR = 4.0  # 6 dB
_GROWTH = 10.0  # 10 dB: the growth near the start is measured over so much, up to 3 dB below the level
_HELD_STEPS = 12  # 16 ms
_BEFORE_STEPS, _JUST_BEFORE_STEPS = 120, 30  # 160 and 40 ms: the room is looked for between
_FARTHEST_BACK = 75  # 0.1 s: the growth is not followed further


@dataclass(frozen=True)
class Rise:
    """The beginning of a note.

    Attributes
    ----------
    start : steps from the start to the newest step
    rise_ms : from 10 to 90 per cent, ms
    floor_db : what sounded before the note, dB re its level
    """

    start: float
    rise_ms: float
    floor_db: float


def rise_of(power: Samples, steps: int) -> Rise:
    """Reads it from the newest mean squares, shape (n,), one every 1.33 ms, of which `steps` hold a period."""
    level = smoothed(power, steps)
    held = float(level[-_HELD_STEPS:].mean()) + 1e-12
    half = last_below(level, _HALF * held)
    before = np.sort(level[max(0, half - _BEFORE_STEPS) : max(1, half - _JUST_BEFORE_STEPS)])
    floor = float(before[len(before) // 5]) / held
    shares = level / held
    edge = min(max(_START, _ABOVE_FLOOR * floor), _HALF)
    foot = last_below(shares[: half + 1], edge)
    slope = _slope(shares, foot, edge)
    back = (odds_db(edge) - odds_db(_START)) / slope
    first = foot + int(np.argmax(power[foot : foot + steps + 1] >= edge * held))
    return Rise(
        start=len(power) - first + min(back, _FARTHEST_BACK),
        rise_ms=1000.0 * STRETCH_SECONDS * _rise_steps(shares, foot, edge, slope),
        floor_db=10.0 * math.log10(max(floor, 1e-12)),
    )


def _slope(shares: Samples, foot: int, edge: float) -> float:
    """How fast it grows near the start, dB a step."""
    grown = foot + int(np.argmax(shares[foot:] >= min(_GROWTH * edge, _NEARLY)))
    return max(0.01, (odds_db(float(shares[grown])) - odds_db(float(shares[foot]))) / max(1, grown - foot))


def _rise_steps(shares: Samples, foot: int, edge: float, slope: float) -> float:
    top = foot + int(np.argmax(shares[foot:] >= _HIGH))
    if edge <= _LOW:
        return top - last_below(shares[: top + 1], _LOW)
    return top - foot + min((odds_db(edge) - odds_db(_LOW)) / slope, _FARTHEST_BACK)


def odds_db(share: float) -> float:
    """What grows by even steps while an amplitude grows exponentially and saturates; of a share of the full power."""
    amplitude = math.sqrt(min(max(share, 1e-7), 0.8))
    return 20.0 * math.log10(amplitude / (1.0 - amplitude))


def last_below(values: Samples, limit: float) -> int:
    """Index of the newest value below `limit`; 0 when there is none."""
    below = np.flatnonzero(values < limit)
    return int(below[-1]) if len(below) else 0
