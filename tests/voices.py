"""Voices for the tests: made ones, and the recorded choirs of Debian's fluid-soundfont-gm.

A made voice is a source and a filter (G. Fant, Acoustic Theory of Speech Production, 1960): glottal pulses that fall
by 9 to 14 dB an octave, jitter, a slide into the note, vibrato, breath; and formants near those of G. Peterson and
H. Barney, J. Acoust. Soc. Am. 24 (1952) 175-184. Behind closed lips little is left above the first. Levels of the
formants, and all ranges, are invented.

Conventions
-----------
Mono float32, 48 kHz. A made voice starts at once; what it is like follows from its seed.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import RATE, Samples
from midifile import MidiNote
from saxophones import performed

Floats = npt.NDArray[np.float64]

AAHS, OOHS, SYNTH_VOICE = 52, 53, 54
"""General MIDI programs, counted from 0: choir aahs, voice oohs, synth voice (General MIDI level 1)."""

FORMANTS = {
    "hum": ((260, 60, 0), (1000, 120, -26), (2200, 200, -34)),
    "oo": ((320, 70, 0), (800, 90, -10), (2300, 150, -28), (3200, 200, -34)),
    "oh": ((480, 80, 0), (850, 90, -6), (2500, 150, -24), (3300, 200, -28)),
    "ee": ((290, 60, 0), (2200, 120, -14), (2900, 160, -16), (3500, 200, -22)),
    "ah": ((720, 90, 0), (1150, 100, -3), (2600, 150, -16), (3400, 200, -20)),
}
"""Of each vowel, and of closed lips: frequency in Hz, width in Hz, level in dB."""

_LIPS_HZ = 600.0
_HIGHEST_HZ = 6000.0
_SLOT_MS, _NOTE_MS = 1500, 1000


def made(vowel: str, hz: float, seconds: float, seed: int, level: float = 0.05) -> Samples:
    """One sung or hummed note of pitch `hz` and rms `level`, shape (seconds * 48000,)."""
    rng = np.random.default_rng(seed)
    t = np.arange(round(seconds * RATE)) / RATE
    phase = 2.0 * np.pi * np.cumsum(hz * 2.0 ** (_wandering(t, rng) / 1200.0)) / RATE
    numbers = np.arange(1.0, _HIGHEST_HZ // hz + 1.0)
    gains = numbers ** (-rng.uniform(9.0, 14.0) / 6.02) * _filter(numbers * hz, vowel, rng.uniform(0.92, 1.2))
    tone = sum(gain * np.sin(n * phase + rng.uniform(0.0, 6.28)) for n, gain in zip(numbers, gains, strict=True))
    swell = np.clip(t / rng.uniform(0.04, 0.15), 0.0, 1.0) * np.clip((seconds - t) / 0.1, 0.0, 1.0)
    voiced = tone * swell
    breath = swell * rng.standard_normal(len(t)) * 10.0 ** (-rng.uniform(30.0, 45.0) / 20.0)
    return np.asarray(level * (voiced / np.sqrt(np.mean(np.square(voiced))) + breath), np.float32)


def choir(program: int, numbers: list[int]) -> list[Samples]:
    """Notes of one recorded choir, by sounding note number, each of one second."""
    notes = [
        MidiNote(program, number, 90, 0.0, place * _SLOT_MS, place * _SLOT_MS + _NOTE_MS)
        for place, number in enumerate(numbers)
    ]
    sound = performed(notes, len(notes) * _SLOT_MS / 1000)
    return [sound[note.begin_ms * RATE // 1000 : note.end_ms * RATE // 1000] for note in notes]


def darker(samples: Samples, db_an_octave: float, above_hz: float = 500.0) -> Samples:
    """The sound with its spectrum falling so much more steeply: a horn that is blown more softly."""
    hz = np.maximum(np.fft.rfftfreq(len(samples), 1.0 / RATE), above_hz)
    gains = (hz / above_hz) ** (-db_an_octave / 6.02)
    return np.asarray(np.fft.irfft(np.fft.rfft(samples) * gains, len(samples)), np.float32)


def _wandering(t: Floats, rng: np.random.Generator) -> Floats:
    """Cents from the pitch that is meant: vibrato after a while, the slide into the note, and jitter."""
    vibrato = rng.uniform(0.0, 30.0) * np.clip(t / 0.5 - 0.4, 0.0, 1.0)
    slide = -rng.uniform(20.0, 200.0) * np.exp(-t / rng.uniform(0.03, 0.12))
    jitter = np.repeat(rng.normal(0.0, rng.uniform(5.0, 14.0), len(t) // 200 + 1), 200)[: len(t)]
    return np.asarray(vibrato * np.sin(2.0 * np.pi * rng.uniform(4.5, 6.5) * t) + slide + jitter)


def _filter(hz: Floats, vowel: str, size: float) -> Floats:
    """The amplitude that a throat of this size (1: a man's) lets through."""
    total = np.zeros(len(hz))
    for place, width, level_db in FORMANTS[vowel]:
        ratio = hz / (place * size)
        total += 10.0 ** (level_db / 20.0) / np.sqrt((1.0 - ratio**2) ** 2 + (width / (place * size) * ratio) ** 2)
    return total / np.sqrt(1.0 + (hz / _LIPS_HZ) ** 4) if vowel == "hum" else total
