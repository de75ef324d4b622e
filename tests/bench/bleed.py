"""What is played next door: a minute each of piano, drums and another saxophone, rendered from the soundfont.

The notes are drawn from a seed, other ones for each half. Conventions: mono, 48 kHz, shape (n,), rms of the louder
half of its hops 1.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np

from airladder.hearing.block import HOP, Samples
from bench.clip import Floats, Half
from bench.store import kept, seed_of
from midifile import MidiNote
from saxophones import PROGRAMS, SOUNDFONT, performed

Bleed = Literal["piano", "drums", "saxophone"]

SECONDS = 60.0
_PIANO, _DRUM_KIT, _DRUM_CHANNEL = 0, 0, 9
_KICK, _SNARE, _HAT, _CRASH = 36, 38, 42, 49
_MAJOR = (0, 2, 4, 5, 7, 9, 11)
Rng = np.random.Generator


def bleed_track(kind: Bleed, half: Half, beside: str) -> Floats:
    """A minute of it; the saxophone is another one than `beside`."""
    other = "tenor" if beside == "alto" else "alto"
    return _track(kind, half, other if kind == "saxophone" else "")


@cache
def _track(kind: Bleed, half: Half, horn: str) -> Floats:
    def make() -> list[Samples]:
        notes = _notes(kind, np.random.default_rng(seed_of(what)), horn)
        return [levelled(performed(notes, SECONDS)).astype(np.float32)]

    what = f"bleed {kind} {half} {horn}"
    return kept(f"{what} {SOUNDFONT.stat().st_size}", make)[0].astype(np.float64)


def levelled(sound: Samples | Floats) -> Floats:
    """The sound with an rms of 1 over the louder half of its hops: over what sounds, pauses left out."""
    power = np.mean(sound[: len(sound) // HOP * HOP].reshape(-1, HOP).astype(np.float64) ** 2, axis=1)
    return np.asarray(sound / np.sqrt(np.mean(power[power >= np.median(power)])), np.float64)


def _notes(kind: Bleed, rng: Rng, horn: str) -> list[MidiNote]:
    match kind:
        case "piano":
            return _piano(rng)
        case "drums":
            return _drums(rng)
        case "saxophone":
            return _saxophone(rng, horn)


def _piano(rng: Rng) -> list[MidiNote]:
    """A chord each half second, and a melody above it."""
    notes, key = list[MidiNote](), int(rng.integers(48, 60))
    for begin in range(0, round(SECONDS * 1000) - 500, 500):
        step = int(rng.integers(0, 7))
        tones = [key + _MAJOR[(step + third) % 7] for third in (0, 2, 4)] + [key + 12 + _MAJOR[int(rng.integers(7))]]
        velocity = int(rng.integers(40, 70))
        notes += [MidiNote(_PIANO, tone, velocity, 0.0, begin, begin + 480) for tone in dict.fromkeys(tones)]
    return notes


def _drums(rng: Rng) -> list[MidiNote]:
    """Eighths on the hat, kick and snare by turns, now and then a crash."""
    notes = list[MidiNote]()
    for beat, begin in enumerate(range(0, round(SECONDS * 1000) - 250, 250)):
        hits = {_HAT} | ({_KICK, _SNARE} if rng.random() < 0.1 else {(_KICK, _HAT, _SNARE, _HAT)[beat % 4]})
        hits |= {_CRASH} if rng.random() < 0.03 else set()
        notes += [
            MidiNote(_DRUM_KIT, hit, int(rng.integers(50, 90)), 0.0, begin, begin + 200, _DRUM_CHANNEL)
            for hit in sorted(hits)
        ]
    return notes


def _saxophone(rng: Rng, horn: str) -> list[MidiNote]:
    """A scale that wanders, notes of 0.15 to 0.8 s, a breath now and then."""
    notes, begin, step = list[MidiNote](), 100, 7
    key = int(rng.integers(50, 56))
    while begin < SECONDS * 1000 - 1000:
        step = int(np.clip(step + rng.integers(-3, 4), 0, 16))
        length = int(rng.integers(150, 800))
        number = key + 12 * (step // 7) + _MAJOR[step % 7]
        notes.append(MidiNote(PROGRAMS[horn], number, int(rng.integers(60, 100)), 0.0, begin, begin + length))
        begin += length + (int(rng.integers(200, 700)) if rng.random() < 0.15 else 0)
    return notes
