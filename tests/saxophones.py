"""Recorded saxophones for the tests: Debian's fluid-soundfont-gm, rendered dry by fluidsynth, and a slow truth.

The samples are real saxophones played by people: vibrato, drift and all. They hold no overtones, air starts or
splits: what a player does above the written F6 is not in them.

Conventions
-----------
Mono float32 in [-1, 1] (the mean of both channels), 48 kHz. A note begins at START_SECONDS, after silence, is let
go `seconds` later, and RELEASE_SECONDS follow. Numbers are sounding note numbers. What was rendered is kept
(cachefolder.py); its name holds everything that it depends on.
"""

from __future__ import annotations

import hashlib
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import soundfile

import soundfont
from airladder.hearing.block import RATE, Samples
from airladder.music.horns import Horn
from cachefolder import CACHE
from midifile import MidiNote, midi_file
from slowpitch import slow_pitch_hz as slow_pitch_hz

SOUNDFONT = Path("/usr/share/sounds/sf2/FluidR3_GM.sf2")
"""Where Debian's package fluid-soundfont-gm puts it."""

PROGRAMS = {"soprano": 64, "alto": 65, "tenor": 66, "baritone": 67}
"""General MIDI programs, counted from 0 (General MIDI level 1)."""

START_SECONDS = 0.256
RELEASE_SECONDS = 0.64
"""Both are whole numbers of fluidsynth's own 64-sample blocks, to which it rounds every event."""

GAIN = 1.2
_LATE = 65
"""Samples by which fluidsynth's file player begins a note after its tick, as measured: one block and one."""


@dataclass(frozen=True)
class Played:
    """One note to render: `number` sounding, `bend_cents` within +-200, `velocity` 1 to 127."""

    horn: Horn
    number: int
    seconds: float = 1.2
    velocity: int = 90
    bend_cents: float = 0.0

    @property
    def slot_seconds(self) -> float:
        """The length of the rendered note with the silence before and the release after it."""
        return START_SECONDS + _whole_blocks(self.seconds) + RELEASE_SECONDS

    @property
    def kept_at(self) -> Path:
        """Where its samples are kept."""
        what = f"{SOUNDFONT.stat().st_size} {GAIN} {START_SECONDS} {RELEASE_SECONDS} {self}"
        return CACHE / f"{self.horn.name}-{self.number}-{hashlib.sha256(what.encode()).hexdigest()[:16]}.npy"


def reach(horn: Horn) -> range:
    """The sounding note numbers that make a sound: the keys of the horn's samples."""
    keys = {key for zone in _zones(horn) for key in zone.keys}
    return range(min(keys), max(keys) + 1)


@cache
def stretch(horn: Horn, number: int) -> int:
    """Semitones from the key at which the sample was recorded up to `number`: beyond a few it is no saxophone."""
    return min((number - zone.root for zone in _zones(horn) if number in zone.keys), key=abs)


@cache
def root(horn: Horn, number: int) -> int:
    """The key at which the sample that sounds for `number` was recorded: it tells one recording from another."""
    return number - stretch(horn, number)


@cache
def _zones(horn: Horn) -> list[soundfont.Zone]:
    return soundfont.zones(SOUNDFONT, PROGRAMS[horn.name])


def render(horn: Horn, number: int, seconds: float = 1.2, velocity: int = 90, bend_cents: float = 0.0) -> Samples:
    """One recorded note, shape (n,)."""
    return render_many([Played(horn, number, seconds, velocity, bend_cents)])[0]


def render_many(notes: Sequence[Played]) -> list[Samples]:
    """The notes in their order; all that are not kept yet are rendered by one run of fluidsynth."""
    for note in notes:
        if note.number not in reach(note.horn):
            raise ValueError(f"The {note.horn.name} has no sample for {note.number}; it reaches {reach(note.horn)}.")
    missing = list(dict.fromkeys(note for note in notes if not note.kept_at.exists()))
    if missing:
        CACHE.mkdir(parents=True, exist_ok=True)
        for note, samples in zip(missing, _synthesised(missing), strict=True):
            _keep(note.kept_at, samples)
    return [np.load(note.kept_at) for note in notes]


def _whole_blocks(seconds: float) -> float:
    """Up to the next 4 ms: three blocks of fluidsynth, and a whole number of ticks."""
    return float(np.ceil(round(seconds * 250, 6))) / 250


def performed(notes: Sequence[MidiNote], seconds: float) -> Samples:
    """Any instruments of the soundfont, together, from the time 0 of `notes` on; shape (seconds * 48000,)."""
    frames = round(seconds * RATE)
    return _fluidsynth(midi_file(notes, round(seconds * 1000)), frames + _LATE)[_LATE:][:frames]


def _synthesised(notes: Sequence[Played]) -> list[Samples]:
    begins = np.concatenate([[0.0], np.cumsum([note.slot_seconds for note in notes])])
    score = midi_file(
        (_midi_note(note, begin) for note, begin in zip(notes, begins, strict=False)), round(begins[-1] * 1000)
    )
    sound = _fluidsynth(score, round(begins[-1] * RATE) + _LATE)[_LATE:]
    return [
        sound[round(begin * RATE) :][: round(note.slot_seconds * RATE)]
        for note, begin in zip(notes, begins, strict=False)
    ]


def _midi_note(note: Played, slot: float) -> MidiNote:
    begin = round((slot + START_SECONDS) * 1000)
    end = begin + round(_whole_blocks(note.seconds) * 1000)
    return MidiNote(PROGRAMS[note.horn.name], note.number, note.velocity, note.bend_cents, begin, end)


def _fluidsynth(score: bytes, frames: int) -> Samples:
    with tempfile.TemporaryDirectory() as folder:
        song, wave = Path(folder, "song.mid"), Path(folder, "song.wav")
        song.write_bytes(score)
        options = f"-ni -q -R 0 -C 0 -g {GAIN} -r {RATE} -T wav -O float -F {wave}".split()
        subprocess.run(["fluidsynth", *options, str(SOUNDFONT), str(song)], check=True, capture_output=True)
        stereo, rate = soundfile.read(wave, dtype="float32", always_2d=True)
    if rate != RATE or len(stereo) < frames or np.abs(stereo).max() >= 0.999:
        raise RuntimeError(f"fluidsynth gave {len(stereo)} of {frames} frames at {rate} Hz, or a clipped sound.")
    return np.asarray(stereo.mean(axis=1), np.float32)


def _keep(path: Path, samples: Samples) -> None:
    """Written aside and renamed, so that tests running side by side never see half a file."""
    with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as file:
        np.save(file, samples)
    Path(file.name).replace(path)
