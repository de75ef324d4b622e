"""What is odd about a recording is remarked on in one sentence each, and it is heard all the same."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from airladder.devices.recording import Recording

Maker = Callable[..., Path]
Sound = npt.NDArray[Any]
Siner = Callable[..., Sound]


def heard(path: Path) -> tuple[Sound, list[str]]:
    recording = Recording(path)
    recording.open()
    samples = [block.samples for block in iter(recording.read, None)]
    return np.concatenate(samples), recording.notes


@pytest.mark.parametrize("bits", [8, 16])
@pytest.mark.parametrize("hz", [65.0, 440.0, 1_500.0])
@pytest.mark.parametrize("amplitude", [0.02, 0.5, 0.99])
def test_a_sound_recording_gets_no_remark(
    plain_wav: Maker, sine: Siner, bits: int, hz: float, amplitude: float
) -> None:
    for rate in (8_000, 48_000, 192_000):
        assert heard(plain_wav(sine(rate, 0.5, amplitude, hz), rate, bits))[1] == []


@pytest.mark.parametrize("offset", [-0.05, 0.05])
def test_a_constant_offset_is_remarked_on_and_left_in(plain_wav: Maker, sine: Siner, offset: float) -> None:
    samples, notes = heard(plain_wav(sine() + offset))
    assert samples.mean() == pytest.approx(offset, abs=1e-3)
    told = f"The recording has a constant offset of {offset:+.1%} of full scale; listening takes it out."
    assert notes == [told]


def test_a_small_offset_is_not_worth_a_remark(plain_wav: Maker, sine: Siner) -> None:
    assert heard(plain_wav(sine() + 0.008))[1] == []


@pytest.mark.parametrize("ceiling", [1.0, 0.7])
@pytest.mark.parametrize("bits", [16, 24])
def test_clipping_is_remarked_on_also_below_full_scale(
    plain_wav: Maker, sine: Siner, ceiling: float, bits: int
) -> None:
    """A sine of twice the ceiling is cut off for the time between 30 and 150 degrees: two thirds of it."""
    _, notes = heard(plain_wav(np.clip(sine(amplitude=2 * ceiling), -ceiling, ceiling), bits=bits))
    assert len(notes) == 1
    share = float(notes[0].split()[5].rstrip("%"))
    assert share == pytest.approx(66.7, abs=2.0)
    assert notes[0].endswith("of its samples; record it again with less gain.")


def test_float_sound_beyond_full_scale_is_cut_off_and_remarked_on(written: Maker, sine: Siner) -> None:
    samples, notes = heard(written(sine(amplitude=2.0)))
    assert np.abs(samples).max() == 1.0
    assert notes == ["The recording goes 6.0 dB over full scale and was cut off there; export it quieter."]


@pytest.mark.parametrize("offset", [0.0, 0.2])
def test_silence_is_remarked_on_and_an_offset_is_not_taken_for_sound(
    plain_wav: Maker, sine: Siner, offset: float
) -> None:
    _, notes = heard(plain_wav(sine(amplitude=0.0009) + offset))
    assert notes[-1] == "The recording is silent: nothing in it reaches -60 dBFS; check the microphone and its gain."
    assert len(notes) == (2 if offset else 1)
