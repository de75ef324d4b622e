"""The level at the microphone, a few times a second: for the eye, not for the ear.

Conventions
-----------
dB re full scale; a full-scale sine is -3.0 dBFS rms.
"""

from __future__ import annotations

import math

import numpy as np

from airladder.hearing.block import Block
from airladder.pages.meter import SILENT_DBFS, Level

BLOCKS = 8
"""Blocks in a level: 43 ms."""


class Metering:
    """Makes one level of every eight blocks."""

    def __init__(self) -> None:
        self._squares: list[float] = []
        self._peak = 0.0

    def fed(self, block: Block) -> Level | None:
        """The level that this block completes; a block that holds no numbers is passed over."""
        square = float(np.dot(block.samples, block.samples)) / len(block.samples)
        if not math.isfinite(square):
            return None
        self._squares.append(square)
        self._peak = max(self._peak, float(np.abs(block.samples).max()))
        if len(self._squares) < BLOCKS:
            return None
        level = Level(block.time, _db(math.sqrt(sum(self._squares) / BLOCKS)), _db(self._peak))
        self._squares.clear()
        self._peak = 0.0
        return level


def _db(amplitude: float) -> float:
    return SILENT_DBFS if amplitude <= 0.0 else max(SILENT_DBFS, 20.0 * math.log10(amplitude))
