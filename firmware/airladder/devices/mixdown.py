"""Makes one channel of many.

The mean of the channels, unless they cancel: a stereo recording with one side in opposite phase would all
but vanish, so then the loudest channel is heard alone. Which of the two is decided once for a whole recording,
from all of it, so that nothing changes in the middle.

Conventions
-----------
Frames have the shape (n, channels). Powers are without the constant offset, which would hide a cancellation.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress

import numpy as np

from airladder.devices.soundfiles import Frames
from airladder.faults import SoundFault
from airladder.hearing.block import Samples

CANCELLED_DB = 20.0
"""The mean must be this much weaker than the loudest channel before that channel is taken alone."""


def mono(frames: Frames, alone: int | None = None) -> Samples:
    """One channel, shape (n,): channel `alone` (counted from 0), or the mean of all of them."""
    if alone is not None or frames.shape[1] == 1:
        return frames[:, alone or 0]
    # Column by column: many times faster than numpy's mean over so short an axis.
    mean: Samples = sum(frames.T[1:], start=frames[:, 0]) / np.float32(frames.shape[1])
    return mean


def cancelled(chunks: Iterable[Frames]) -> int | None:
    """The loudest channel (counted from 0) when the channels cancel in their mean, else None.

    Parameters
    ----------
    chunks : the whole recording; a fault on the way ends it, for whoever reads the sound next will tell of it
    """
    count, sums, products = 0, np.zeros(1), np.zeros((1, 1))
    with suppress(SoundFault):
        for frames in chunks:
            count += len(frames)
            sums = sums + np.ones(len(frames), np.float32) @ frames
            products = products + frames.T @ frames
    if not count:
        return None
    # Each channel's power stands on the diagonal of the covariance; that of the mean is the mean of all of it.
    covariance = products / count - np.outer(sums, sums) / count**2
    loudest = int(np.argmax(np.diagonal(covariance)))
    return loudest if covariance.mean() < covariance[loudest, loudest] * 10 ** (-CANCELLED_DB / 10) else None
