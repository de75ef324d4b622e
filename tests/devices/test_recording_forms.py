"""Every form of recording comes out as the same sound: 440 Hz, of the level that was written.

The truth is the sine that was written (its frequency by definition, its rms A/sqrt 2), and what came out is
measured by the maximum of its Fourier transform, searched to 1e-7 Hz: slow, and nothing of ours.
"""

from __future__ import annotations

import math
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.devices.recording import Recording
from airladder.hearing.block import HOP, RATE, Block

Maker = Callable[..., Path]
Sound = npt.NDArray[Any]
Siner = Callable[..., Sound]


def blocks(path: Path, chunk: int = 16_384) -> tuple[list[Block], list[str]]:
    recording = Recording(path, chunk)
    recording.open()
    heard = list(iter(recording.read, None))
    recording.close()
    return heard, recording.notes


def sound(path: Path, chunk: int = 16_384) -> Sound:
    return np.concatenate([block.samples for block in blocks(path, chunk)[0]]).astype(np.float64)


def loudest_hz(samples: Sound) -> float:
    """The frequency at which the Fourier transform is largest."""
    windowed = samples * np.blackman(len(samples))
    times = np.arange(len(samples)) / RATE

    def size(hz: float) -> float:
        return float(abs(np.exp(-2j * np.pi * hz * times) @ windowed))

    middle = int(np.argmax(np.abs(np.fft.rfft(windowed)))) * RATE / len(samples)
    low, high = middle - RATE / len(samples), middle + RATE / len(samples)
    while high - low > 1e-7:
        third = (high - low) / 3
        low, high = (low + third, high) if size(low + third) < size(high - third) else (low, high - third)
    return (low + high) / 2


def check(path: Path, decibels: float = 0.02) -> None:
    heard = sound(path)
    steady = heard[RATE // 4 : RATE // 4 + RATE]
    assert abs(1200 * math.log2(loudest_hz(steady) / 440.0)) < 0.1
    rms = math.sqrt(float(np.mean(steady**2)))
    assert 20 * math.log10(rms / (0.5 / math.sqrt(2))) == pytest.approx(0.0, abs=decibels)


@pytest.mark.parametrize("bits", [8, 16, 24, 32])
def test_whole_numbers_of_every_depth_keep_pitch_and_level(plain_wav: Maker, sine: Siner, bits: int) -> None:
    check(plain_wav(sine(), bits=bits), decibels=0.05 if bits == 8 else 0.001)


@pytest.mark.parametrize("subtype", ["FLOAT", "DOUBLE"])
def test_floating_point_of_both_depths_keeps_pitch_and_level(written: Maker, sine: Siner, subtype: str) -> None:
    check(written(sine(), subtype=subtype), decibels=0.001)


@pytest.mark.parametrize("rate", [8_000, 11_025, 22_050, 44_100, 48_000, 88_200, 96_000, 192_000])
def test_every_rate_comes_out_at_48_khz_with_its_pitch_level_and_length(
    plain_wav: Maker, sine: Siner, rate: int
) -> None:
    path = plain_wav(sine(rate), rate)
    check(path, decibels=0.001)
    heard = blocks(path)[0]
    assert len(heard) == math.ceil(2 * RATE / HOP)
    assert heard[-1].time == pytest.approx(2.0, abs=HOP / RATE)


@pytest.mark.parametrize("subtype", ["PCM_S8", "PCM_16", "PCM_24"])
def test_flac_of_every_depth_keeps_pitch_and_level(written: Maker, sine: Siner, subtype: str) -> None:
    check(written(sine(96_000), 96_000, subtype, "take.flac"), decibels=0.05 if subtype == "PCM_S8" else 0.001)


@pytest.mark.parametrize("channels", [2, 6])
def test_equal_channels_mix_to_the_same_sound(plain_wav: Maker, sine: Siner, channels: int) -> None:
    check(plain_wav(np.column_stack([sine()] * channels)), decibels=0.001)


def test_the_mix_of_channels_is_their_mean(plain_wav: Maker, sine: Siner) -> None:
    """One sounding channel of six is a sixth of it: 15.6 dB weaker."""
    silent = np.zeros_like(sine())
    heard = sound(plain_wav(np.column_stack([silent, silent, sine(), silent, silent, silent])))
    assert np.abs(heard).max() == pytest.approx(0.5 / 6, rel=1e-3)


def test_channels_in_opposite_phase_do_not_vanish_and_the_loudest_is_heard_alone(
    plain_wav: Maker, sine: Siner
) -> None:
    path = plain_wav(np.column_stack([-0.9 * sine(), sine()]))
    check(path, decibels=0.001)
    assert blocks(path)[1] == ["The channels cancel when mixed (opposite phase), so channel 2 was heard alone."]


def test_a_constant_offset_does_not_hide_that_channels_cancel(plain_wav: Maker, sine: Siner) -> None:
    path = plain_wav(0.2 + np.column_stack([-sine(), sine()]))
    assert any("cancel" in note for note in blocks(path)[1])


def test_the_beginning_stays_in_place_when_the_rate_is_changed(plain_wav: Maker) -> None:
    """A click at 0.5 s is at 0.5 s afterwards: the converter's delay is taken out."""
    click = np.zeros(44_100)
    click[22_050] = 0.9
    assert int(np.argmax(np.abs(sound(plain_wav(click, 44_100))))) == 24_000


def test_a_file_of_48_khz_is_handed_on_bit_by_bit(plain_wav: Maker) -> None:
    numbers = np.random.default_rng(7).integers(-(2**15), 2**15, 10_000)
    heard = sound(plain_wav(numbers / 2**15))
    assert np.array_equal(heard[:10_000] * 2**15, numbers)
    assert not heard[10_000:].any()


def test_rf64_extensible_and_big_endian_wav_are_read_too(tmp_path: Path, sine: Siner) -> None:
    for form, endian in (("RF64", "FILE"), ("WAVEX", "FILE"), ("WAV", "BIG")):
        path = tmp_path / f"{form}{endian}.wav"
        soundfile.write(path, sine(), RATE, format=form, endian=endian, subtype="PCM_24")
        check(path, decibels=0.001)
        assert blocks(path)[1] == []


def test_the_form_is_told_from_the_contents_not_from_the_name(plain_wav: Maker, sine: Siner) -> None:
    check(plain_wav(sine(), name="take.raw"))


def test_blocks_are_numbered_timed_whole_and_never_lost(plain_wav: Maker, sine: Siner) -> None:
    heard = blocks(plain_wav(sine(44_100), 44_100))[0]
    assert [block.sequence for block in heard] == list(range(len(heard)))
    assert [block.time for block in heard] == [(i + 1) * HOP / RATE for i in range(len(heard))]
    assert {block.samples.shape for block in heard} == {(HOP,)}
    assert {block.samples.dtype for block in heard} == {np.dtype(np.float32)}
    assert not any(block.lost for block in heard)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(chunk=st.integers(1, 6_000), rate=st.sampled_from([8_000, 44_100, 48_000, 192_000]))
def test_the_blocks_do_not_depend_on_how_much_is_read_at_a_time(plain_wav: Maker, chunk: int, rate: int) -> None:
    noise = np.random.default_rng(rate).uniform(-1, 1, (3_000, 2))
    path = plain_wav(noise, rate)
    assert np.array_equal(sound(path, chunk), sound(path))


def test_a_recording_can_be_opened_again_and_is_the_same(plain_wav: Maker, sine: Siner) -> None:
    recording = Recording(plain_wav(sine(44_100), 44_100))
    recording.open()
    first = [block.samples for block in iter(recording.read, None)]
    recording.open()
    assert np.array_equal(first, [block.samples for block in iter(recording.read, None)])
    recording.close()
    recording.close()
    assert recording.read() is None


def test_a_long_recording_is_never_held_in_memory(plain_wav: Maker) -> None:
    """Five minutes at 8 kHz come out as 58 MB of samples; far less than that is ever held."""
    recording = Recording(plain_wav(np.zeros(8_000 * 300), 8_000, bits=8))
    tracemalloc.start()
    recording.open()
    count = sum(1 for _ in iter(recording.read, None))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert count == 300 * RATE // HOP
    assert peak < 6e6
