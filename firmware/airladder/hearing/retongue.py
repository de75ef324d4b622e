"""Hears that the tongue touched the reed while a note sounded: another note begins, though there was no silence.

Three things speak for it: the sound dips, most of all above 4 kHz; for a moment it is not like itself a period ago;
and it stays on its partial. When the partial changes, the sound is unlike itself in any case: a slur is that and no
more, so the dip has to be deeper. The weights are a logistic regression on the tuning half of the recorded
saxophones, notes that abut against slurs and steady notes (D. R. Cox, J. R. Stat. Soc. B 20 (1958) 215).
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from itertools import accumulate

import numpy as np

from airladder.hearing.block import Samples
from airladder.hearing.levels import STEPS, STRETCH_SECONDS, Levels, smoothed, steps_of
from airladder.hearing.pitch import Pitch

HOPS = 15
"""80 ms: what is looked at. A dip is judged when it lies in the middle."""

_MIDDLE = HOPS // 2
_SPREAD = 36  # steps: 48 ms in the middle, in which the dip is looked for
_RISEN_DB = 1.5  # the dip lasts until the level has come back by so much
_LOWER = 2.0  # power of a hop on either side of the lowest: 3 dB
_UNLIKE = 0.06
_BROKEN = 0.08  # two partials at once beat: the sound dips, but stays like itself ...
_EDGE_STEPS, _ABRUPT_DB, _FALL_DB, _RISE_DB = (
    6,
    5.0,
    4.5,
    3.5,
)  # ... and has no edges of 8 ms as the tongue makes them
_DIES_DB = 8.0  # what comes back so much softer is an echo
_PER_DB, _PER_DB_ABOVE, _PER_CLARITY, _CHANGED, _NOTHING = 0.117, 0.67, 12.5, -4.83, -6.3
_MOST_DB, _MOST_CLARITY = 15.0, 0.6


@dataclass(frozen=True)
class Dip:
    """A fall of the level between two heights.

    Attributes
    ----------
    depth_db : below the lower one of the heights
    falls_db : by how much the height after it is lower than the one before
    end : steps from where it ends to the newest step
    abrupt : whether its edges are as steep as those that the tongue makes
    """

    depth_db: float
    falls_db: float
    end: float
    abrupt: bool


class Retongue:
    """Follows a note hop by hop.

    Attributes
    ----------
    ago : how long before the newest sample the sound was lowest, s
    """

    def __init__(self) -> None:
        self.ago = 0.0
        self.restart()

    def restart(self) -> None:
        """Another note: what was before it is no dip of it."""
        self._clarity: deque[float] = deque(maxlen=HOPS)
        self._powers: deque[float] = deque(maxlen=HOPS)
        self._breaths: deque[float] = deque(maxlen=HOPS)
        self._pitches: deque[Pitch] = deque(maxlen=HOPS)

    def feed(self, levels: Levels, pitch: Pitch) -> bool:
        """Whether another note began about 40 ms ago."""
        self._clarity.append(pitch.clarity)
        self._powers.append(levels.hop_power)
        self._breaths.append(levels.hop_breath)
        self._pitches.append(pitch)
        return len(self._clarity) == HOPS and self._looks_like_one() and self._evidence(levels) > 0.0

    def _looks_like_one(self) -> bool:
        return (
            depth_in_middle(self._clarity) > _UNLIKE
            or ratio_in_middle(self._powers) > _LOWER
            or ratio_in_middle(self._breaths) > _LOWER
        )

    def _evidence(self, levels: Levels) -> float:
        """The logarithm of the odds that it was the tongue."""
        steps = steps_of(1.0 / min((pitch.hz for pitch in self._pitches if pitch.hz > 0.0), default=1000.0))
        count = HOPS * STEPS + steps - 1
        whole, above = dip_in(levels.power[-count:], steps), dip_in(levels.breath_power[-count:], steps)
        self.ago = max(whole, above, key=lambda dip: dip.depth_db).end * STRETCH_SECONDS
        changed = len({pitch.partial for pitch in self._pitches if pitch.partial}) > 1 or not self._pitches[-1].clear
        unlike = deepest(list(self._clarity))
        if whole.falls_db > _DIES_DB:
            return _NOTHING
        if whole.abrupt and not changed:
            return 1.0
        if unlike < _BROKEN:
            return _NOTHING
        return (
            _NOTHING
            + _PER_DB * min(whole.depth_db, _MOST_DB)
            + _PER_DB_ABOVE * min(above.depth_db, _MOST_DB)
            + _PER_CLARITY * min(unlike, _MOST_CLARITY)
            + _CHANGED * changed
        )


def depth_in_middle(values: deque[float]) -> float:
    """How far the middle one lies below the rest on either side; 0 unless it is the lowest of all."""
    kept = list(values)
    middle = kept[_MIDDLE]
    if middle > min(kept):
        return 0.0
    return min(max(kept[:_MIDDLE]), max(kept[_MIDDLE + 1 :])) - middle


def ratio_in_middle(values: deque[float]) -> float:
    """How many times the middle one goes into the highest on either side; 0 unless it is the lowest of all."""
    return (depth_in_middle(values) + values[_MIDDLE]) / (values[_MIDDLE] + 1e-12)


def deepest(values: list[float]) -> float:
    """How far the lowest valley lies below the lower one of the heights on its sides."""
    before = list(accumulate(values, max))
    after = list(accumulate(reversed(values), max))[::-1]
    return max(min(left, right) - value for left, right, value in zip(before, after, values, strict=True))


def dip_in(power: Samples, steps: int) -> Dip:
    """The deepest dip in the middle of the newest mean squares, shape (n,), of which `steps` hold a period."""
    level = 10.0 * np.log10(smoothed(power, steps) + 1e-11)
    depth = np.minimum(np.maximum.accumulate(level), np.maximum.accumulate(level[::-1])[::-1]) - level
    first = (len(depth) - _SPREAD) // 2
    place = first + int(depth[first : first + _SPREAD].argmax())
    lowest = float(depth[place])
    end = place + max(0, int((depth[place:] < lowest - _RISEN_DB).argmax()) - 1)
    edge = max(_EDGE_STEPS, steps)
    rises = level[edge:] - level[:-edge]
    abrupt = lowest >= _ABRUPT_DB and float(rises.min()) <= -_FALL_DB and float(rises.max()) >= _RISE_DB
    falls = float(level[:place].max() - level[place:].max())
    return Dip(lowest, falls, len(level) - 0.5 - end + 0.5 * (steps - 1), abrupt)
