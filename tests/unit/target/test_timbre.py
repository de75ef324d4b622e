"""The target's sound is in tune, gentle and never loud, measured by its spectrum."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.faults import BadInput
from airladder.hearing.block import HOP, RATE, Samples
from airladder.target.timbre import (
    END_SECONDS,
    HIGHEST_HZ,
    LONGEST_SECONDS,
    LOWEST_HZ,
    PEAK,
    SHORTEST_SECONDS,
    START_SECONDS,
    TOP_HZ,
    Sounding,
    tone,
)

Spectrum = npt.NDArray[np.float64]
PITCHES = [LOWEST_HZ, 69.3, 138.59, 233.08, 440.0, 622.25, 1046.5, 1479.98, 2500.0, HIGHEST_HZ]
ANY_HZ = st.floats(LOWEST_HZ, HIGHEST_HZ)


def spectrum_db(samples: Samples) -> Spectrum:
    """Amplitudes in dB re the greatest; the window is that of F. Harris, Proc. IEEE 66, 1978: side lobes -92 dB."""
    n = len(samples)
    turns = 2.0 * np.pi * np.arange(n) / n
    window = 0.35875 - 0.48829 * np.cos(turns) + 0.14128 * np.cos(2 * turns) - 0.01168 * np.cos(3 * turns)
    amplitudes = np.abs(np.fft.rfft(samples * window))
    return np.asarray(20.0 * np.log10(amplitudes / amplitudes.max() + 1e-12))


def fitted_hz(samples: Samples, near: float) -> float:
    """By how far the phase has turned between two windows 1 s apart; `near` need only be within 0.4 Hz."""
    window = np.hanning(RATE)
    turning = np.exp(-2j * np.pi * near * np.arange(RATE) / RATE) * window
    first, second = samples[:RATE] @ turning, samples[RATE : 2 * RATE] @ turning
    turned = float(np.angle(second * np.exp(-2j * np.pi * near) / first))
    return near + turned / (2.0 * np.pi)


def steady(hz: float, seconds: float = 2.0) -> Samples:
    """The part between the soft start and the soft end, shape (seconds * 48000,)."""
    return tone(hz, seconds + 1.0)[RATE // 2 :][: round(seconds * RATE)]


@pytest.mark.parametrize("hz", PITCHES)
def test_it_is_in_tune_within_a_tenth_of_a_cent(hz: float) -> None:
    for near in (hz - 0.3, hz + 0.2):  # so that the fit cannot give back what it was given
        assert abs(1200.0 * np.log2(fitted_hz(steady(hz), near) / hz)) < 0.1


@pytest.mark.parametrize("hz", PITCHES)
def test_its_harmonics_fall_and_nothing_else_sounds(hz: float) -> None:
    level = spectrum_db(steady(hz))
    bins = np.arange(len(level)) / 2.0  # Hz: 2 s long
    wanted = [n * hz for n in range(1, 6) if n * hz <= TOP_HZ]
    peaks = [float(level[np.abs(bins - each) <= 2.0].max()) for each in wanted]
    assert peaks[0] > -0.001
    assert all(later < earlier - 3.0 for earlier, later in pairwise(peaks))
    assert peaks[-1] > -30.0
    elsewhere = np.all([np.abs(bins - each) > 4.0 for each in wanted], axis=0)
    assert level[elsewhere].max() < -60.0


def test_it_begins_and_ends_softly() -> None:
    """A click would be a part above 10 kHz, where the tone has none; a hard cut is measured to show that it tells."""
    samples = tone(440.0, 1.0)
    envelope = np.abs(samples).reshape(-1, 480).max(axis=1) / np.abs(samples).max()  # 10 ms
    start, end = round(START_SECONDS * 100), round(END_SECONDS * 100)
    assert envelope[0] < 0.05
    assert np.all(np.diff(envelope[:start]) > 0)
    assert 0.4 < envelope[start // 2] < 0.75
    assert np.all(envelope[start:-end] > 0.99)
    assert np.all(np.diff(envelope[-end:]) < 0)
    assert envelope[-1] < 0.05

    def above_10_khz(sound: Samples) -> float:
        return float(np.abs(np.fft.rfft(np.pad(sound, 4800)))[round(10_000 * (len(sound) + 9600) / RATE) :].max())

    assert above_10_khz(samples) < 0.01 * above_10_khz(samples[5000:-10000])


@settings(max_examples=60, deadline=None)
@given(ANY_HZ, st.floats(SHORTEST_SECONDS, 3.0))
def test_it_is_never_louder_than_the_cap_and_as_long_as_asked(hz: float, seconds: float) -> None:
    samples = tone(hz, seconds)
    assert samples.dtype == np.float32
    assert len(samples) == round(seconds * RATE)
    assert np.abs(samples).max() <= PEAK
    assert abs(samples[0]) < 1e-6
    assert abs(samples[-1]) < 1e-4


def test_it_is_loud_enough_to_be_heard() -> None:
    assert all(np.abs(steady(hz)).max() > 0.5 * PEAK for hz in PITCHES)


@settings(max_examples=40, deadline=None)
@given(ANY_HZ, st.lists(st.integers(1, 3000), min_size=1, max_size=30))
def test_the_pieces_join_without_a_seam(hz: float, pieces: list[int]) -> None:
    sounding = Sounding(hz, 0.5)
    joined = np.concatenate([sounding.next(piece) for piece in pieces])
    whole = Sounding(hz, 0.5).next(sum(pieces))
    assert np.abs(joined - whole).max() < 1e-7
    assert sounding.over == (sum(pieces) >= 0.5 * RATE)


def test_a_drone_stays_in_tune_to_its_end() -> None:
    """After ten minutes the phase still is that of the first moment."""
    sounding = Sounding(997.3, LONGEST_SECONDS)
    for _ in range(299):
        sounding.next(2 * RATE)
    late = sounding.next(2 * RATE)
    n = np.arange(598 * RATE, 599 * RATE)
    expected = np.exp(-2j * np.pi * np.mod(997.3 * n / RATE, 1.0))
    assert abs(np.angle(late[:RATE] @ expected) + np.pi / 2) < 1e-3
    assert sounding.over


@pytest.mark.parametrize("after", [0.0, 0.03, 0.5, 1.9, 1.99])
@pytest.mark.parametrize("seconds", [0.05, END_SECONDS])
def test_released_it_ends_softly_from_wherever_it_is(after: float, seconds: float) -> None:
    sounding = Sounding(233.08, 2.0)
    before = sounding.next(round(after * RATE))
    sounding.release(seconds)
    sounding.release(10.0)  # a second word changes nothing
    end = min(round(seconds * RATE), round((2.0 - after) * RATE))
    rest = sounding.next(RATE)
    assert sounding.over
    assert not rest[end:].any()
    assert np.any(rest[:end]) or after == 0.0
    whole = np.concatenate([before, rest])
    assert np.abs(np.diff(whole)).max() < 1.05 * np.abs(np.diff(steady(233.08))).max()  # nowhere a step


def test_it_is_not_over_before_it_is_silent() -> None:
    sounding = Sounding(440.0, 1.0)
    while not sounding.over:
        last = sounding.next(HOP)
    assert not sounding.next(HOP).any()
    assert last.any()


@pytest.mark.parametrize("hz", [29.9, 4000.1, 0.0, -440.0, float("nan"), float("inf")])
def test_a_pitch_that_cannot_be_sounded_is_refused(hz: float) -> None:
    sentence = f"a tone of {hz:g} Hz was asked for; wanted 30 to 4000 Hz: choose another pitch."
    with pytest.raises(BadInput, match=f"^{re.escape(sentence)}$"):
        tone(hz, 1.0)


@pytest.mark.parametrize("seconds", [0.0, 0.2, -1.0, 601.0, float("nan"), float("inf")])
def test_a_length_that_cannot_be_sounded_is_refused(seconds: float) -> None:
    sentence = f"a tone of {seconds:g} s was asked for; wanted 0.23 to 600 s: choose another length."
    with pytest.raises(BadInput, match=f"^{re.escape(sentence)}$"):
        Sounding(440.0, seconds)
