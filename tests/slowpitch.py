"""Two slow ways to tell the pitch of a whole note, neither of them ours: the truth for recorded saxophones.

`slow_pitch_hz` is Praat's autocorrelation (P. Boersma, Proc. Inst. Phonetic Sciences 17, 1993, 97-110), through
praat-parselmouth. `harmonic_pitch_hz` fits one comb to the peaks of spectra of twelve periods and is there to
cross-check it.

Conventions
-----------
Both take mono float32 at 48 kHz, shape (n,), holding one note in silence, and give the median frequency in Hz over
its steady part: the middle three fifths of the time in which it is within 20 dB of its loudest.
"""

from __future__ import annotations

import numpy as np
import parselmouth

from airladder.hearing.block import RATE, Samples

LOWEST_HZ, HIGHEST_HZ = 55.0, 3600.0
_PERIODS = 12
_SPECTRUM = 65_536
_HOP = 480


def slow_pitch_hz(samples: Samples) -> float:
    """The note's pitch in Hz by Praat: first looked for everywhere, then finely, two semitones to each side."""
    rough = _praat_hz(samples, LOWEST_HZ, HIGHEST_HZ)
    return _praat_hz(samples, rough * 2 ** (-2 / 12), rough * 2 ** (2 / 12))


def harmonic_pitch_hz(samples: Samples, near_hz: float) -> float:
    """The note's pitch in Hz by the comb that fits the peaks of 12-period spectra best, half a semitone around."""
    frame = round(_PERIODS * RATE / near_hz)
    begin, end = (round(edge * RATE) - frame // 2 for edge in steady(samples))
    frames = (samples[start : start + frame] for start in range(max(begin, 0), end, _HOP))
    return float(np.median([_comb_hz(samples, near_hz) for samples in frames]))


def steady(samples: Samples) -> tuple[float, float]:
    """Begin and end of the steady part in s."""
    hops = samples[: len(samples) // _HOP * _HOP].reshape(-1, _HOP)
    rms = np.sqrt(np.mean(np.square(hops, dtype=np.float64), axis=1))
    loud = np.flatnonzero(rms > rms.max() / 10)
    begin, end = loud[0] * _HOP / RATE, (loud[-1] + 1) * _HOP / RATE
    return begin + 0.2 * (end - begin), end - 0.2 * (end - begin)


def _praat_hz(samples: Samples, floor: float, ceiling: float) -> float:
    begin, end = steady(samples)
    sound = parselmouth.Sound(samples.astype(np.float64), RATE)
    pitch = sound.to_pitch_ac(0.005, floor, very_accurate=True, pitch_ceiling=ceiling)
    times, hz = pitch.xs(), pitch.selected_array["frequency"]
    return float(np.median(hz[(times >= begin) & (times <= end) & (hz > 0)]))


def _comb_hz(frame: Samples, near_hz: float) -> float:
    """Least squares over the harmonics: each votes with its height, a higher one with a longer lever."""
    decibels = 20 * np.log10(np.abs(np.fft.rfft(frame * np.hanning(len(frame)), _SPECTRUM)) + 1e-9)
    numbers = np.arange(1, min(12, int(16_000 / near_hz)) + 1)
    places = [_peak_bin(decibels, number * near_hz * _SPECTRUM / RATE) for number in numbers]
    weights = np.array([10 ** (decibels[round(place)] / 10) for place in places])
    hz = np.array(places) * RATE / _SPECTRUM
    return float(np.sum(weights * numbers * hz) / np.sum(weights * numbers**2))


def _peak_bin(decibels: np.ndarray, near: float) -> float:
    """The highest bin within half a semitone of `near`, refined by a parabola."""
    low, high = int(near * 2 ** (-1 / 24)), int(np.ceil(near * 2 ** (1 / 24)))
    peak = low + int(np.argmax(decibels[low : high + 1]))
    left, middle, right = decibels[peak - 1 : peak + 2]
    bend = left - 2 * middle + right
    return peak + (0.5 * (left - right) / bend if bend < 0 else 0.0)
