"""The lines of a note: one comb of harmonics, or the many lines of two partials at once; and the breath.

How a saxophone's envelope bends is taken from measurements: its slope becomes much steeper above the cutoff of
the open tone holes (Music Acoustics, University of New South Wales, saxophone pages; figures: virtualhorn/bore.py).
The slopes, 3 and 15 dB an octave, are invented. What grows louder grows brighter (same source, introduction).

Conventions
-----------
Phases in radians, frequencies in Hz, one value a sample, shape (n,). What comes out has an rms of 1 where `swell`
is 1, and nothing above 18 kHz.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import RATE

Floats = npt.NDArray[np.float64]

HIGHEST_HZ = 18_000.0
"""No line lies above: far enough below half the sampling rate for any vibrato."""

_WEAKEST = 10 ** (-75 / 20)  # of the strongest line: what is weaker is left out
_DULL = 0.1  # each harmonic falls by a tenth of a dB more than the one below it, for each dB below full level
_CONTROL = 64  # samples between two values of a line's gain
_ORDER, _ORDER_DB = 6, 4.0  # mixed lines of two partials: how many oscillations together, and what each costs


def gain(hz: Floats, cutoff_hz: float) -> Floats:
    """The amplitude of a line at `hz`, any shape: the envelope of the spectrum, of no fixed reference."""
    near_top = np.clip((HIGHEST_HZ - hz) / 2000.0, 0.0, 1.0)
    return near_top * (hz / cutoff_hz) ** -0.5 / (1.0 + (hz / cutoff_hz) ** 2)


def comb(phase: Floats, hz: Floats, swell: Floats, cutoff_hz: float) -> Floats:
    """One partial alone: the harmonics of the frequency `hz`, whose phase is `phase`.

    Sines of multiples by the recurrence sin((k+1)x) = 2 cos(x) sin(kx) - sin((k-1)x).
    """
    grid = np.arange(0, len(hz) + _CONTROL, _CONTROL)
    coarse_hz = np.interp(grid, np.arange(len(hz)), hz)
    total, power = np.zeros(len(hz)), np.zeros(len(grid))
    before, sine, turn = np.zeros(len(hz)), np.sin(phase), 2.0 * np.cos(phase)
    strength, dull = np.ones(len(hz)), swell**_DULL
    for number in range(1, int(HIGHEST_HZ / hz.min()) + 1):
        gains = gain(number * coarse_hz, cutoff_hz)
        if gains.max() < _WEAKEST * gain(coarse_hz, cutoff_hz).max():
            break
        total += np.interp(np.arange(len(hz)), grid, gains) * strength * sine
        power += gains**2 / 2.0
        before, sine = sine, turn * sine - before
        strength *= dull
    return total / np.interp(np.arange(len(hz)), grid, np.sqrt(power))


def mixed(phases: tuple[Floats, Floats], hz: tuple[float, float], lowest_hz: float, cutoff_hz: float) -> Floats:
    """Two partials at once: lines at m times one frequency plus n times the other, m and n any whole numbers.

    So does the motion of two modes that do not lock (J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica 100 (2014)
    543-554). Lines below `lowest_hz` are left out; how the others weaken with |m| + |n| is invented.
    """
    total, power = np.zeros(len(phases[0])), 0.0
    for m in range(-_ORDER, _ORDER + 1):
        for n in range(abs(m) - _ORDER, _ORDER - abs(m) + 1):
            line_hz = m * hz[0] + n * hz[1]
            if lowest_hz <= line_hz <= HIGHEST_HZ:
                cost = 10 ** (-_ORDER_DB * (abs(m) + abs(n) - 1) / 20)
                strength = cost * float(gain(np.array(line_hz), cutoff_hz))
                total += strength * np.sin(m * phases[0] + n * phases[1])
                power += strength**2 / 2.0
    even: Floats = total / np.sqrt(power)
    return even


def breath(count: int, rng: np.random.Generator) -> Floats:
    """The noise of the air, shape (count,), rms 1: a broad hump around 2 kHz (invented)."""
    hz = np.fft.rfftfreq(count, 1.0 / RATE)
    shape = (hz / 2000.0) / (1.0 + (hz / 2000.0) ** 2) * np.clip((HIGHEST_HZ - hz) / 2000.0, 0.0, 1.0)
    noise = np.fft.irfft(np.fft.rfft(rng.standard_normal(count)) * shape, count)
    even: Floats = noise / np.sqrt(np.mean(noise**2))
    return even
