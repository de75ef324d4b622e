"""The true pitch of a recorded note at the end of every hop, from a slow careful fit that a second method must back.

The fit: each harmonic is turned down to 0 Hz by the pitch track found so far, and the slope of its phase under a
window of 50 ms (or seven periods) centred AT the end of the hop corrects the track; harmonics weigh by power and
number squared, which is least squares (the slope under a window: F. Auger, P. Flandrin, IEEE Trans. Signal Process.
43 (1995) 1068-1089). It looks ahead, and has no delay.
The second: Praat's autocorrelation (P. Boersma, Proc. Inst. Phonetic Sciences 17, 1993, 97-110).

Conventions
-----------
Samples: mono float32, 48 kHz, shape (n,). Tracks: Hz, shape (n // 256,), value i at sample (i + 1) * 256.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import parselmouth
from numpy.lib.stride_tricks import sliding_window_view

from airladder.hearing.block import HOP, RATE, Samples
from bench.clip import Floats
from bench.envelope import smooth_power

AGREE_CENTS = 1.0
"""Where the two methods differ by more, neither is believed."""

_WINDOW_SECONDS, _WINDOW_PERIODS = 0.050, 7.0
_SECOND_SECONDS = 0.035
_SMOOTH_HOPS = 11
_HARMONICS, _HIGHEST_HZ = 12, 9_000.0
_STEADY_DB = -8.0  # re the level of the note; the window must not reach into what is softer
_CENTS = 1200.0


def true_hz(samples: Samples, near_hz: float, level: float) -> Floats:
    """The track of a note that sounds near `near_hz`; nan in its attack and release and where the methods differ.

    `level` is the rms level of its steady part, linear.
    """
    second = praat_hz(samples, near_hz)
    first = fitted_hz(samples, without_gaps(second, near_hz))
    half = _half_window(near_hz)
    power = np.pad(smooth_power(samples, round(0.75 * RATE / near_hz)), (half, half + 1))
    softest = sliding_window_view(power, 2 * half + 1)[HOP::HOP].min(axis=1)
    apart = np.abs(_CENTS * np.log2(first / second))
    good = (softest > 10 ** (_STEADY_DB / 10) * level**2) & (apart <= AGREE_CENTS)
    return np.where(good, first, np.nan)


def fitted_hz(samples: Samples, track: Floats) -> Floats:
    """The least-squares track, starting from `track`, which has no nan and is within some ten cents of it."""
    half = _half_window(float(np.median(track)))
    padded = np.pad(samples.astype(np.float64), (half, half + 1))
    ends = (np.arange(len(track)) + 1) * HOP
    return track + _correction(padded, track, ends, half)


def praat_hz(samples: Samples, near_hz: float) -> Floats:
    """Praat's track within 150 cents of `near_hz`; nan where it finds no pitch."""
    lowest, ceiling = (near_hz * 2 ** (cents / _CENTS) for cents in (-150.0, 150.0))
    sound = parselmouth.Sound(samples.astype(np.float64), RATE)
    floor = min(lowest, 6.0 / _SECOND_SECONDS)  # its window is six periods of the floor
    pitch = sound.to_pitch_ac(HOP / RATE / 2, floor, very_accurate=True, pitch_ceiling=ceiling, octave_cost=0.1)
    hz = pitch.selected_array["frequency"]
    hz = np.where(hz > lowest, hz, np.nan)
    ends = (np.arange(len(samples) // HOP) + 1) * HOP / RATE
    track: Floats = np.interp(ends, pitch.xs(), hz, left=np.nan, right=np.nan)
    return track


def without_gaps(track: Floats, otherwise: float) -> Floats:
    """The track without gaps, smoothed: what is faster than the fit's window the fit cannot correct."""
    known = np.flatnonzero(np.isfinite(track))
    if not len(known):
        return np.full(len(track), otherwise)
    filled = np.interp(np.arange(len(track)), known, track[known])
    window = np.hanning(_SMOOTH_HOPS + 2)[1:-1]
    smooth: Floats = np.convolve(np.pad(filled, _SMOOTH_HOPS // 2, mode="edge"), window / window.sum(), mode="valid")
    return smooth


def _half_window(hz: float) -> int:
    return round(max(_WINDOW_SECONDS, _WINDOW_PERIODS / hz) * RATE / 2)


def _correction(padded: Floats, track: Floats, ends: npt.NDArray[np.int64], half: int) -> Floats:
    """What to add to `track`, in Hz: the slopes of the harmonics' phases, all in one least-squares estimate."""
    at = np.arange(len(padded)) - half
    phase = 2.0 * np.pi * np.cumsum(np.interp(at, ends, track)) / RATE
    angle = 2.0 * np.pi * np.arange(-half, half + 1) / (2 * half + 2)
    hann, its_slope = 0.5 + 0.5 * np.cos(angle), np.sin(angle) * np.pi / (2 * half + 2)
    window = np.stack([hann**2, 2.0 * hann * its_slope], axis=1)  # squared: neighbours leak 20 dB less
    top, bottom = np.zeros(len(ends)), np.full(len(ends), 1e-30)
    for number in range(1, 1 + min(_HARMONICS, int(_HIGHEST_HZ / np.median(track)))):
        turned = padded * np.exp(-1j * number * phase)
        value, slope = (sliding_window_view(turned, 2 * half + 1)[ends] @ window).T
        top += number * np.imag(slope * np.conj(value))
        bottom += number**2 * np.abs(value) ** 2
    hz: Floats = np.clip(top / bottom * RATE / (2.0 * np.pi), -0.05 * track, 0.05 * track)
    return hz
