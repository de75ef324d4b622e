"""What the virtual board's microphone hears: a recorded alto saxophone on partials of its Bb3, over and over."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import soundfile

from airladder.hearing.block import RATE
from airladder.music.horns import HORNS
from saxophones import render

PARTIALS = {1: 49, 2: 61, 3: 68}
"""Sounding note numbers by the partial of the alto's Bb3, whose fundamental is the sounding Db3."""

_SECONDS = 1.2


def write(path: Path) -> None:
    """Write it as a WAV of 48 kHz, 16 bit, two channels: first the fundamental, then 2, then 3."""
    notes = [render(HORNS["alto"], number, _SECONDS) for number in PARTIALS.values()]
    mono = np.concatenate(notes)
    soundfile.write(path, np.column_stack([mono, mono]), RATE, subtype="PCM_16")
