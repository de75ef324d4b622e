"""Recordings made on the fly, and slow, independent ways of measuring what came out of them; a bus plugged in."""

from __future__ import annotations

import wave
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

from i2cplugged import Plugged, plugged_in

Sound = npt.NDArray[np.float64]
Maker = Callable[..., Path]


@pytest.fixture
def sine() -> Callable[..., Sound]:
    """A sine of 440 Hz and amplitude 0.5, shape (n,)."""

    def make(rate: int = 48_000, seconds: float = 2.0, amplitude: float = 0.5, hz: float = 440.0) -> Sound:
        made: Sound = amplitude * np.sin(2 * np.pi * hz * np.arange(round(rate * seconds)) / rate)
        return made

    return make


@pytest.fixture
def plain_wav(tmp_path: Path) -> Maker:
    """Writes whole-number WAV files with Python's own wave module, so that soundfile only reads."""

    def write(sound: Sound, rate: int = 48_000, bits: int = 16, name: str = "take.wav") -> Path:
        numbers = np.round(np.atleast_2d(sound.T).T * 2 ** (bits - 1)).astype("<i8")
        numbers = np.clip(numbers, -(2 ** (bits - 1)), 2 ** (bits - 1) - 1) + (128 if bits == 8 else 0)
        raw = numbers.reshape(-1, 1).view("<u1")[:, : bits // 8].tobytes()
        with wave.open(str(tmp_path / name), "wb") as file:
            file.setparams((numbers.shape[1], bits // 8, rate, 0, "NONE", ""))
            file.writeframes(raw)
        return tmp_path / name

    return write


@pytest.fixture
def written(tmp_path: Path) -> Maker:
    """Writes any other form through soundfile."""
    import soundfile

    def write(sound: Sound, rate: int = 48_000, subtype: str = "FLOAT", name: str = "take.wav") -> Path:
        soundfile.write(tmp_path / name, sound, rate, subtype=subtype)
        return tmp_path / name

    return write


@pytest.fixture
def plugged(monkeypatch: pytest.MonkeyPatch) -> Iterator[Plugged]:
    """Whoever opens a bus by smbus2 gets this one."""
    with plugged_in(monkeypatch) as found:
        yield found
