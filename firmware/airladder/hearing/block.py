"""The unit of sound that travels through the program.

Conventions
-----------
Mono, float32 in [-1, 1], 48 kHz, one hop of 256 samples (5.3 ms) at a time.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

RATE = 48_000
"""Samples a second."""

HOP = 256
"""Samples in a block."""

HOP_SECONDS = HOP / RATE

Samples = npt.NDArray[np.float32]
"""An array of float32 samples, shape (n,), in [-1, 1]."""


@dataclass(frozen=True, eq=False)
class Block:
    """One hop of sound.

    Attributes
    ----------
    samples : shape (256,), float32, [-1, 1]
    sequence : counts the blocks that the source delivered, from 0
    time : seconds since the source began, at the end of this block's last sample
    lost : True when samples between the block before and this one never arrived
    """

    samples: Samples
    sequence: int
    time: float
    lost: bool = False
