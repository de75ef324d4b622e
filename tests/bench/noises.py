"""The other sounds of a practice room, each made from a seed: noise, hum, bumps, keys, and the room itself.

All invented, but for what stands beside them. Conventions: shape (n,), 48 kHz, linear.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from airladder.hearing.block import RATE, Samples
from bench.clip import Floats

Rng = np.random.Generator

PINK_FROM_HZ = 20.0
_HUM_HARMONICS = 10
_REFLECTIONS_AFTER = 0.005
_ROOM_60_DB = (0.4, 0.8)
_ROOM_DIRECT_DB = 6.0


def rms(sound: Floats) -> float:
    """The root of the mean square."""
    return float(np.sqrt(np.mean(np.square(sound))))


def pink(count: int, rng: Rng) -> Floats:
    """Noise of equal power in every octave from 20 Hz to 24 kHz, rms 1."""
    hz = np.fft.rfftfreq(count, 1.0 / RATE)
    shape = np.where(hz >= PINK_FROM_HZ, 1.0 / np.sqrt(np.maximum(hz, PINK_FROM_HZ)), 0.0)
    noise = np.fft.irfft(np.fft.rfft(rng.standard_normal(count)) * shape, count)
    return np.asarray(noise / rms(noise))


def hum(count: int, mains_hz: float, rng: Rng) -> Floats:
    """The mains and its harmonics, the k-th weaker by k, rms 1; `mains_hz` wanders by up to 0.02 Hz from nominal."""
    hz = mains_hz + rng.uniform(-0.02, 0.02)
    seconds = np.arange(count) / RATE
    total = np.zeros(count)
    for number in range(1, _HUM_HARMONICS + 1):
        total += np.sin(2.0 * np.pi * (number * hz * seconds + rng.random())) / number
    return total / rms(total)


def thump(rng: Rng) -> Floats:
    """A bump of the clip-on: one low resonance, 30 to 80 Hz, that dies in 30 to 100 ms; peak 1."""
    seconds = np.arange(round(0.4 * RATE)) / RATE
    sound = np.sin(2.0 * np.pi * rng.uniform(30.0, 80.0) * seconds) * np.exp(-seconds / rng.uniform(0.03, 0.1))
    return _peaked(sound * np.minimum(seconds / 0.002, 1.0))


def key_click(rng: Rng) -> Floats:
    """A key that shuts: 2 to 5 ms of broad noise, and two felt-damped resonances of 200 to 2000 Hz; peak 1."""
    seconds = np.arange(round(0.08 * RATE)) / RATE
    sound = 0.5 * rng.standard_normal(len(seconds)) * (seconds < rng.uniform(0.002, 0.005))
    for _ in range(2):
        hz, dies = np.exp(rng.uniform(np.log(200.0), np.log(2000.0))), rng.uniform(0.004, 0.015)
        sound += rng.uniform(0.3, 1.0) * np.sin(2.0 * np.pi * hz * seconds) * np.exp(-seconds / dies)
    return _peaked(sound)


def scattered(
    count: int, make: Callable[[Rng], Floats], a_second: float, peak_db: tuple[float, float], rng: Rng
) -> Floats:
    """`make` again and again at random times, `a_second` in the mean, each peak a random level within `peak_db`."""
    total = np.zeros(count)
    for at in np.sort(rng.integers(0, count, round(a_second * count / RATE))):
        one = make(rng)[: count - at]
        total[at : at + len(one)] += one * 10 ** (rng.uniform(*peak_db) / 20.0)
    return total


def room(rng: Rng) -> Floats:
    """The response of a room: the direct sound, then noise that dies exponentially (ISO 3382's idea of a decay).

    It takes 0.4 to 0.8 s to fall by 60 dB; all reflections together lie 6 dB below the direct sound.
    """
    fall = rng.uniform(*_ROOM_60_DB)
    seconds = np.arange(round(fall * RATE)) / RATE
    tail = rng.standard_normal(len(seconds)) * 10 ** (-3.0 * seconds / fall) * (seconds >= _REFLECTIONS_AFTER)
    tail *= 10 ** (-_ROOM_DIRECT_DB / 20.0) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return np.asarray(tail)


def convolved(sound: Samples, response: Floats) -> Floats:
    """`sound` through `response`, as long as `sound`."""
    size = 1 << (len(sound) + len(response) - 1).bit_length()  # transforms of other lengths can be slow
    wet: Floats = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(response, size), size)
    return wet[: len(sound)]


def _peaked(sound: Floats) -> Floats:
    return sound / float(np.abs(sound).max())
