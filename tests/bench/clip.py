"""What the benchmark listens to: a stretch of sound, and what is true of it.

Conventions
-----------
Mono float32, 48 kHz. Times in seconds from the first sample of the clip. Truth comes from the making of the sound;
where a recorded sample is itself off, from a slow offline fit of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.events import Kind
from airladder.music.series import Series

Half = Literal["tuning", "checking"]
"""Constants are chosen on the one, figures are reported of the other; parted by instrument and pitch."""

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Sounding:
    """A stretch in which the same partial (or the same several) sounds.

    Attributes
    ----------
    start, end : s; `start` is the acoustic start, 30 dB below the level of the note, where it begins a note
    partial : the one partial, or None where what sounds is on none, or is a split
    split : the partials that sound at once; empty when only one does
    """

    start: float
    end: float
    partial: int | None
    split: tuple[int, ...] = ()


@dataclass(frozen=True)
class Onset:
    """A note that begins with an attack: where its sound was started, s, how, and its 10 to 90 per cent rise, ms."""

    t: float
    kind: Kind
    rise_ms: float | None = None


@dataclass(frozen=True, eq=False)
class Clip:
    """One clip.

    Attributes
    ----------
    name : tells it from all others
    row : the kind of condition it belongs to, e.g. "clean", "pink 10 dB"
    half : tuning or checking
    series : horn and fingering that the listener is told
    samples : shape (n,)
    soundings : what sounds, in order; nothing sounds outside them
    hz : the true frequency of what sounds at the end of each hop (sample (i + 1) * 256), shape (n // 256,), Hz;
        nan where nothing, or no single pitch, sounds, or it is not known well enough to judge cents by it
    onsets : the attacks, in order
    vibrato : whether the pitch moves by more than 2 cents
    """

    name: str
    row: str
    half: Half
    series: Series
    samples: Samples
    soundings: tuple[Sounding, ...]
    hz: Floats
    onsets: tuple[Onset, ...] = field(default=())
    vibrato: bool = False

    def partials(self) -> npt.NDArray[np.int64]:
        """The true partial at the end of each hop, shape (n // 256,): 0 for silence, -1 for none or a split."""
        ends = (np.arange(len(self.samples) // HOP) + 1) * HOP / RATE
        true = np.zeros(len(ends), np.int64)
        for sounding in self.soundings:
            inside = (ends > sounding.start) & (ends <= sounding.end)
            true[inside] = -1 if sounding.partial is None else sounding.partial
        return true
