"""The door of the Ear: what is no sound is kept out, and what was cut off at full scale is remarked.

A level is overdriven where the wave has flat tops: three samples in a row or more at its highest value, next to full
scale (the rule of `devices.soundnotes`, for what is heard at this moment). Of two channels mixed into one, only what
is cut off in both is seen here.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airladder.hearing.block import HOP, Block, Samples

LOUDEST = 4.0
"""Re full scale. Resampling overshoots it a little; what is louder than this comes from no microphone."""

FULL = 0.98
"""Flat tops lower than this were made before the microphone: a wave may be square and yet fit."""

_HOPS = 4  # 21 ms: longer than a period of the lowest fundamental (65 Hz), which need not have a top in every hop


class Door:
    """Looks at every block before the Ear hears it.

    Attributes
    ----------
    clipped : whether a flat top at full scale was met in the last 21 ms
    """

    def __init__(self) -> None:
        self.clipped = False
        self._since = _HOPS

    def feed(self, block: Block) -> Block:
        """The block itself; silence in its place, marked `lost`, when its samples are not all finite and sane."""
        highest = float(np.abs(block.samples).max())
        sound = highest <= LOUDEST  # false for what is not a number, too
        self._since = 0 if sound and highest >= FULL and flat_topped(block.samples, highest) else self._since + 1
        self.clipped = self._since < _HOPS
        return block if sound else replace(block, samples=np.zeros(HOP, np.float32), lost=True)


def flat_topped(samples: Samples, highest: float) -> bool:
    """Whether three samples in a row, of shape (n,), lie at `highest` or at its negative."""
    for side in (highest, -highest):
        top = samples == np.float32(side)
        if bool((top[2:] & top[1:-1] & top[:-2]).any()):
            return True
    return False
