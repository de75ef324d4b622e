"""A synthesizer that knows nothing of us sounds the file at the cents that were played: fluidsynth, heard by Praat.

The recorded saxophones are out of tune by themselves, so each tone is held against the same key without a bend, from
a file that our tests write by other means.
"""

from __future__ import annotations

import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
import soundfile

import saxophones
from airladder.export.midi import midi_file
from airladder.hearing.block import RATE, Samples
from airladder.journal.dating import Dated
from airladder.journal.records import Session
from airladder.music.horns import HORNS
from airladder.music.pitch import cents, note_hz, note_number, raised
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from slowpitch import slow_pitch_hz
from unit.journal.conftest import HEAD, TONE

PLAYED = ((49, 12.5), (61, -33.0), (68, 48.0), (68, -7.25), (73, 0.0), (77, -46.0), (73, 21.0), (65, 5.5), (61, 40.0))
"""Keys and cents beside them: more tones than the zone has channels, up to what its samples reach."""

SLOT, SECONDS = 2.0, 1.2


def heard(content: bytes, folder: Path) -> Samples:
    """The file as fluidsynth sounds it, dry; shape (n,)."""
    (folder / "session.mid").write_bytes(content)
    options = f"-ni -q -R 0 -C 0 -g 1.2 -r {RATE} -T wav -O float -F {folder / 'session.wav'}".split()
    subprocess.run(
        ["fluidsynth", *options, saxophones.SOUNDFONT, folder / "session.mid"], check=True, capture_output=True
    )
    stereo, rate = soundfile.read(folder / "session.wav", dtype="float32", always_2d=True)
    assert rate == RATE
    sound: Samples = stereo.mean(axis=1)
    return sound


def test_every_tone_sounds_within_three_cents_of_what_was_played(tmp_path: Path) -> None:
    tries = []
    for n, (key, off) in enumerate(PLAYED):
        start = 100.0 + SLOT * n
        tone = replace(TONE, start=start, end=start + SECONDS, path=((3, SECONDS),), hz=raised(note_hz(key), off))
        tries.append(Attempt(n + 1, tone.end, 3, Outcome.SPOKE, tone))
    sound = heard(midi_file(Session(1, HEAD, tuple(tries)), Dated(HEAD.started, True)), tmp_path)
    plain = saxophones.render_many([saxophones.Played(HORNS[HEAD.horn], key, SECONDS) for key, _ in PLAYED])
    for n, ((key, off), reference) in enumerate(zip(PLAYED, plain, strict=True)):
        slot = sound[round(SLOT * n * RATE) : round(SLOT * (n + 1) * RATE)]
        hz = slow_pitch_hz(slot)
        assert cents(hz, slow_pitch_hz(reference)) == pytest.approx(off, abs=3.0), key
        assert note_number(hz) == pytest.approx(key, abs=0.75)  # the very key, no octave beside it
