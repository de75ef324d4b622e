"""Sound in which no note of ours begins: keys, bumps, breath, talk, song, the neighbours, noise, hum.

Levels in dB re a note of usual level, LEVEL. Each clip is 10 s; there are six of every kind in each half.
"""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Callable, Iterator
from functools import cache
from typing import get_args

import numpy as np
import soundfile
import soxr

from additive.spectrum import breath
from airladder.hearing.block import HOP, RATE
from bench import noises
from bench.bleed import Bleed, bleed_track, levelled
from bench.clip import Clip, Floats, Half
from bench.recorded import all_series
from bench.store import fraction_of, kept, seed_of
from bench.variants import CLICK_DB, CLICKS_A_SECOND, THUMP_DB, THUMPS_A_SECOND
from midifile import MidiNote
from saxophones import SOUNDFONT, performed

LEVEL = 0.1
CLIPS, SECONDS = 6, 10.0
TALK_DB, SONG_DB = -15.0, -10.0
BREATH_DB = (-35.0, -15.0)
_SINE_PEAK = 2.0**0.5  # over its rms
_COUNT = round(SECONDS * RATE)
_OOHS = 53
_VOICES = {"tuning": ("en-us", "de"), "checking": ("en-gb+f3", "fr+m3")}
_TALK = (
    "Once more from the second bar, please, and not so loud. How long is the break? Somebody left the window open.",
    "I think we should start a little slower, one, two, three, four, and then take the repeat. Where is my pencil?",
    "That was much better. Can you hear the difference? Now the low notes again, and listen to the one above them.",
)
Rng = np.random.Generator


def distractor_clips(half: Half, kind: str, share: float = 1.0) -> Iterator[Clip]:
    """Six clips of one of KINDS; nothing sounds in them that is ours, and no note begins."""
    series = all_series()
    for turn in range(CLIPS):
        name = f"{kind} {half} {turn}"
        rng = np.random.default_rng(seed_of(name))
        tube = series[int(rng.integers(len(series)))]
        if fraction_of(name) < share:
            samples = (LEVEL * KINDS[kind](half, tube.horn.name, rng)).astype(np.float32)
            yield Clip(name, f"no note: {kind}", half, tube, samples, (), np.full(len(samples) // HOP, np.nan))


def _clicks(_half: Half, _horn: str, rng: Rng) -> Floats:
    return _SINE_PEAK * noises.scattered(_COUNT, noises.key_click, CLICKS_A_SECOND, CLICK_DB, rng)


def _thumps(_half: Half, _horn: str, rng: Rng) -> Floats:
    return _SINE_PEAK * noises.scattered(_COUNT, noises.thump, THUMPS_A_SECOND, THUMP_DB, rng)


def _breaths(_half: Half, _horn: str, rng: Rng) -> Floats:
    """Air through the horn, a breath every other second, each swelling and ebbing in its own time."""
    total, at = np.zeros(_COUNT), 0.3
    while at < SECONDS - 1.5:
        seconds = np.arange(round(rng.uniform(0.4, 1.4) * RATE)) / RATE
        rise, fall = rng.uniform(0.02, 0.3, 2)
        swell = np.clip(np.minimum(seconds / rise, (seconds[-1] - seconds) / fall), 0.0, 1.0)
        first = round(at * RATE)
        total[first:][: len(swell)] += swell * breath(len(swell), rng) * 10 ** (rng.uniform(*BREATH_DB) / 20.0)
        at += rng.uniform(1.0, 2.0)
    return total


def _excerpt(track: Floats, level_db: float, rng: Rng) -> Floats:
    first = int(rng.integers(0, len(track) - _COUNT))
    return track[first:][:_COUNT] * 10 ** (level_db / 20.0)


def _bleeding(kind: Bleed, level_db: float) -> Callable[[Half, str, Rng], Floats]:
    return lambda half, horn, rng: _excerpt(bleed_track(kind, half, horn), level_db, rng)


def _pink(level_db: float) -> Callable[[Half, str, Rng], Floats]:
    return lambda _half, _horn, rng: noises.pink(_COUNT, rng) * 10 ** (level_db / 20.0)


def _hum(_half: Half, _horn: str, rng: Rng) -> Floats:
    return noises.hum(_COUNT, float(rng.choice([50.0, 60.0])), rng) * 10 ** (-30.0 / 20.0)


def _talk(half: Half, _horn: str, rng: Rng) -> Floats:
    return _excerpt(talk_track(half), TALK_DB, rng)


def _song(half: Half, _horn: str, rng: Rng) -> Floats:
    return _excerpt(song_track(half), SONG_DB, rng)


@cache
def talk_track(half: Half) -> Floats:
    """Sentences spoken by espeak-ng, two voices for each half; the rms of what is said is 1."""
    return kept(f"talk 1 {half} {_VOICES[half]} {_TALK}", lambda: [levelled(_spoken(half))])[0].astype(np.float64)


@cache
def song_track(half: Half) -> Floats:
    """A voice (General MIDI program 54, "voice oohs") on slow notes, for a minute; rms while it sings 1."""
    rng, notes, at = np.random.default_rng(seed_of(f"song {half}")), list[MidiNote](), 100
    while at < 57_000:
        length = int(rng.integers(300, 1500))
        notes.append(MidiNote(_OOHS, int(rng.integers(50, 74)), 80, 0.0, at, at + length))
        at += length + int(rng.integers(0, 400))
    what = f"song 1 {half} {SOUNDFONT.stat().st_size}"
    return kept(what, lambda: [levelled(performed(notes, 60.0))])[0].astype(np.float64)


def _spoken(half: Half) -> Floats:
    if shutil.which("espeak-ng") is None:
        raise RuntimeError("espeak-ng is not on this computer; the talk is made by it: apt-get install espeak-ng")
    parts = list[Floats]()
    for voice in _VOICES[half]:
        for sentence in _TALK:
            words = ["espeak-ng", "-v", voice, "-s", "150", "--stdout", sentence]
            wave = subprocess.run(words, check=True, capture_output=True).stdout
            sound, rate = soundfile.read(io.BytesIO(wave), dtype="float64")
            parts += [soxr.resample(sound, rate, RATE), np.zeros(RATE // 2)]
    return np.concatenate(parts)


KINDS: dict[str, Callable[[Half, str, Rng], Floats]] = {
    "key clicks": _clicks,
    "thumps": _thumps,
    "breath": _breaths,
    "talk": _talk,
    "song": _song,
    "hum": _hum,
    **{f"{kind} {level:g} dB": _bleeding(kind, level) for kind in get_args(Bleed) for level in (-20.0, -10.0)},
    **{f"pink {level:g} dB": _pink(level) for level in (-20.0, -10.0)},
}
"""What makes each kind: half, name of the player's horn, generator -> 10 s, re LEVEL."""
