"""A microphone for tests: it plays given samples and fails on cue."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping

import numpy as np

from airladder.devices.microphone import Microphone, Reblocker
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block, Samples


class ScriptedMicrophone(Microphone):
    """Plays an array as fast as it is read.

    Parameters
    ----------
    samples : shape (n,), [-1, 1], 48 kHz
    name : what a sentence calls it
    live : whether it counts as a microphone or as a recording
    gaps : {after frame: frames lost there}, by the position in `samples`
    goes_away_at : seconds of `samples` at which it is unplugged, once; opened again, it plays on from there
    fails_to_open : how many times `open` finds nothing before it succeeds

    Attributes
    ----------
    opened : how many times `open` was called
    is_open : whether it is open now
    """

    def __init__(
        self,
        samples: Samples,
        *,
        name: str = "the scripted microphone",
        live: bool = True,
        gaps: Mapping[int, int] | None = None,
        goes_away_at: float | None = None,
        fails_to_open: int = 0,
    ) -> None:
        self.name = name
        self.live = live
        self.opened = 0
        self.is_open = False
        self._samples = np.asarray(samples, np.float32)
        self._gaps = dict(gaps or {})
        self._leaves_at = None if goes_away_at is None else round(goes_away_at * RATE)
        self._fails_to_open = fails_to_open
        self._position = 0

    def open(self) -> None:
        """Begin, or go on where it went away."""
        self.opened += 1
        if self.opened <= self._fails_to_open:
            raise SoundFault(f"there is no microphone {self.name}: plug it in.")
        self.is_open = True
        self._reblocker = Reblocker()
        self._ready: deque[Block] = deque()

    def read(self) -> Block | None:
        """The next block; None after the last sample (filled up with silence), and once closed."""
        while self.is_open:
            if self._ready:
                return self._ready.popleft()
            if self._leaves_at is not None and self._position >= self._leaves_at:
                self._leaves_at = None
                raise SoundFault(f"{self.name} has been unplugged: plug it in again.")
            if self._position >= len(self._samples):
                return next(self._reblocker.last(), None)
            self._play()
        return None

    def close(self) -> None:
        """End; `open` goes on at the same sample."""
        self.is_open = False

    def _play(self) -> None:
        """One block's worth, or less up to a cue."""
        cues = [*self._gaps, len(self._samples)] + ([] if self._leaves_at is None else [self._leaves_at])
        end = min([cue for cue in cues if cue >= self._position] + [self._position + HOP])
        self._ready.extend(self._reblocker.blocks(self._samples[self._position : end]))
        lost = self._gaps.pop(end, 0)
        if lost:
            self._reblocker.gap(lost / RATE)
        self._position = end + lost
