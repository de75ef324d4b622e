"""What is odd about a recording, but does not keep it from being heard.

Conventions
-----------
Levels are peaks in dB re full scale. A recording is clipped where it has flat tops: three or more samples in
a row at the highest (or lowest) value of their channel, beside which it falls off more steeply than a smooth
curve can that was rounded to the steps of the file. Such a curve is a parabola near its top: where n samples
round to one value (it fell by 1 step at most over (n-1)/2 samples), the next has fallen by ((n+1)/(n-1))**2
steps at most, and 1 for rounding.
"""

from __future__ import annotations

import numpy as np

from airladder.devices.soundfiles import Frames, SoundReader
from airladder.hearing.block import Samples

OFFSET = 0.01
"""Constant offset from here on is remarked on, as a share of full scale."""

CLIPPED = 1e-4
"""Share of clipped samples from here on."""

QUIET = 1e-3
"""-60 dBFS: what stays below throughout is called silent."""

_ROW = 3


class Remarks:
    """Looks at a recording chunk by chunk.

    Parameters
    ----------
    step : smallest step between two samples
    channels : of the recording
    """

    def __init__(self, step: float, channels: int) -> None:
        self._frames, self._sum = 0, 0.0
        self._low, self._high = np.inf, -np.inf
        self._tops = [FlatTops(step) for _ in range(2 * channels)]

    def feed(self, frames: Frames, heard: Samples) -> None:
        """Take the next chunk: all channels, shape (n, channels), and what is heard of them, shape (n,)."""
        self._frames += len(heard)
        self._sum += float(heard.sum(dtype=np.float64))
        self._low = min(self._low, float(heard.min()))
        self._high = max(self._high, float(heard.max()))
        sides = [side * channel for channel in frames.T for side in (1, -1)]
        for tops, side in zip(self._tops, sides, strict=True):
            tops.feed(side)

    def sentences(self) -> list[str]:
        """All remarks on what was fed, one sentence each; none when all is well or nothing was fed."""
        if not self._frames:
            return []
        return [*self._offset(), *self._silence(), *self._clipping(), *self._excess()]

    def _offset(self) -> list[str]:
        offset = self._sum / self._frames
        if abs(offset) < OFFSET:
            return []
        return [f"The recording has a constant offset of {offset:+.1%} of full scale; listening takes it out."]

    def _silence(self) -> list[str]:
        if (self._high - self._low) / 2 >= QUIET:
            return []
        return ["The recording is silent: nothing in it reaches -60 dBFS; check the microphone and its gain."]

    def _clipping(self) -> list[str]:
        uppers, lowers = self._tops[::2], self._tops[1::2]
        most = max(upper.samples + lower.samples for upper, lower in zip(uppers, lowers, strict=True))
        share = most / self._frames
        if share < CLIPPED:
            return []
        return [f"The recording is clipped in {share:.2%} of its samples; record it again with less gain."]

    def _excess(self) -> list[str]:
        peak = max(self._high, -self._low)
        if peak <= 1.0:
            return []
        over = 20 * np.log10(peak)
        return [f"The recording goes {over:.1f} dB over full scale and was cut off there; export it quieter."]


class FlatTops:
    """Counts the samples in flat tops of one channel's upper side, at the highest value met so far.

    Attributes
    ----------
    samples : how many lie in flat tops at that value
    """

    def __init__(self, step: float) -> None:
        self.samples = 0
        self._step = step
        self._top = 0.0

    def feed(self, side: Samples) -> None:
        """Take the next samples. A row that a chunk's edge cuts counts as two, each by what is seen of it."""
        top = float(side.max())
        if top < self._top or top <= 0.0:
            return
        if top > self._top:
            self._top, self.samples = top, 0
        edges = np.diff(np.concatenate([[False], side == top, [False]]).astype(np.int8))
        starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
        # The neighbours; at the chunk's own edge the row is its own neighbour and shows no fall on that side.
        around = np.minimum(side[np.maximum(starts - 1, 0)], side[np.minimum(ends, len(side) - 1)])
        rows = ends - starts
        rows, falls = rows[rows >= _ROW], (top - around)[rows >= _ROW]
        smooth = ((rows + 1) / (rows - 1)) ** 2 + 1
        self.samples += int(rows[falls > smooth * self._step].sum())


def broken_off(reader: SoundReader) -> list[str]:
    """The remark on a recording that is shorter than its header promises, when all of it has been read."""
    promised = reader.promised
    if promised is None or reader.delivered >= promised:
        return []
    there, wanted = reader.delivered / reader.rate, promised / reader.rate
    return [f"The recording breaks off: {there:.2f} s of the {wanted:.2f} s that it promises were there and used."]
