"""What is put into the virtual board that practises: recorded saxophone, and releases of this very program."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import numpy as np
import soundfile

from airladder.appliance.release import make
from airladder.hearing.block import RATE
from airladder.music.horns import HORNS
from saxophones import Played, render_many

TRIES = 24
"""Notes in the recording."""

_NUMBERS = (49, 61, 68, 73)  # partials 1 to 4 of the alto's written Bb3
_SECONDS, _BEFORE, _AFTER = 0.45, 0.15, 0.25
_VERSIONS = ("7.1", "7.2")


def recording(folder: Path) -> Path:
    """A second of sound a try: partials 1 to 4 of a recorded alto, over and over, at several strengths."""
    notes = [
        Played(HORNS["alto"], _NUMBERS[n % 4], seconds=_SECONDS, velocity=70 + 10 * (n // 4 % 4))
        for n in range(TRIES)
    ]
    parts = []
    for note, sound in zip(notes, render_many(notes), strict=True):
        sounding = sound[round((note.slot_seconds - 0.64 - _SECONDS - _BEFORE) * RATE) :]
        parts.append(sounding[: round((_BEFORE + _SECONDS + _AFTER) * RATE)])
    fade = np.linspace(1.0, 0.0, round(0.05 * RATE), dtype=np.float32)
    for part in parts:
        part[-len(fade) :] *= fade
    soundfile.write(folder / "sound.wav", np.concatenate(parts), RATE, subtype="PCM_16")
    return folder / "sound.wav"


def releases(folder: Path, package: Path) -> Path:
    """Two releases of `package`, which differ in their number alone; the folder in which they lie."""
    folder.mkdir()
    for version in _VERSIONS:
        copy = folder / f"tree-{version}" / "airladder"
        shutil.copytree(package, copy, ignore=shutil.ignore_patterns("__pycache__"))
        own = copy / "__init__.py"
        own.write_text(re.sub(r'__version__ = "[^"]*"', f'__version__ = "{version}"', own.read_text()))
        make(folder, package=copy)
        shutil.rmtree(copy.parent)
    return folder
