"""The same clips in worse conditions. Each function takes a clip and gives a new one with its own `row`.

Conventions
-----------
Levels in dB re the rms of the steady note. What is added is there before the note too, for LEAD_SECONDS, so that a
listener can learn the room. Everything random hangs on the name of the clip and the row alone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from airladder.hearing.block import HOP, RATE, Samples
from bench import noises
from bench.bleed import Bleed, bleed_track
from bench.clip import Clip, Floats
from bench.envelope import END_DB, smooth_power
from bench.recorded import Take, sound_of
from bench.store import seed_of

Variant = Callable[[Clip], Clip]

LEAD_HOPS = 192
LEAD_SECONDS = LEAD_HOPS * HOP / RATE

THUMP_DB, THUMPS_A_SECOND = (-9.0, 3.0), 2.0
CLICK_DB, CLICKS_A_SECOND = (-27.0, -9.0), 4.0
HUM_DB = -30.0
CLIP_DB = -6.0


def level_of(clip: Clip) -> float:
    """The rms of the steady note, linear: the median over the hops in which a partial sounds."""
    hops = clip.samples[: len(clip.samples) // HOP * HOP].reshape(-1, HOP).astype(np.float64)
    return float(np.sqrt(np.median(np.mean(hops**2, axis=1)[clip.partials() > 0])))


def led_in(clip: Clip, hops: int = LEAD_HOPS) -> Clip:
    """The clip after `hops` of silence."""
    later = hops * HOP / RATE
    return replace(
        clip,
        samples=np.pad(clip.samples, (hops * HOP, 0)),
        soundings=tuple(replace(s, start=s.start + later, end=s.end + later) for s in clip.soundings),
        hz=np.pad(clip.hz, (hops, 0), constant_values=np.nan),
        onsets=tuple(replace(onset, t=onset.t + later) for onset in clip.onsets),
    )


def pink(clip: Clip, snr_db: float) -> Clip:
    """Pink noise, `snr_db` below the note."""
    row = f"pink {snr_db:g} dB"
    rng, clip = _rng(clip, row), led_in(clip)
    return _with(clip, row, noises.pink(len(clip.samples), rng), -snr_db)


def bleed(clip: Clip, kind: Bleed, level_db: float) -> Clip:
    """Other music, its loud half `level_db` re the note."""
    row = f"bleed {kind} {level_db:g} dB"
    rng, clip = _rng(clip, row), led_in(clip)
    track = bleed_track(kind, clip.half, clip.series.horn.name)
    first = int(rng.integers(0, len(track) - len(clip.samples)))
    return _with(clip, row, track[first:][: len(clip.samples)], level_db)


def undertone(clip: Clip, level_db: float) -> Clip:
    """The recorded fundamental of the fingering sounds under the overtone, from its beginning to its end."""
    row = f"undertone {level_db:g} dB"
    if clip.soundings[0].partial in (None, 1):
        raise ValueError(f"{clip.name} is no overtone; wanted one to put its fundamental under.")
    samples, shape = sound_of(Take(clip.series, 1))
    under = np.zeros(len(clip.samples))
    later = round((clip.onsets[0].t - shape.begin) * RATE)
    put = samples[max(-later, 0) :][: len(under) - max(later, 0)]
    under[max(later, 0) :][: len(put)] = put
    return _with(led_in(clip), row, np.pad(under / shape.level, (LEAD_HOPS * HOP, 0)), level_db)


def hum(clip: Clip, mains_hz: float) -> Clip:
    """Mains hum, 50 or 60 Hz."""
    row = f"hum {mains_hz:g} Hz"
    rng, clip = _rng(clip, row), led_in(clip)
    return _with(clip, row, noises.hum(len(clip.samples), mains_hz, rng), HUM_DB)


def thumps(clip: Clip) -> Clip:
    """Bumps of the clip-on, before, in and after the note; their peaks re the peak of a sine as loud as the note."""
    rng, clip = _rng(clip, "thumps"), led_in(clip)
    bumps = noises.scattered(len(clip.samples), noises.thump, THUMPS_A_SECOND, THUMP_DB, rng)
    return _with(clip, "thumps", bumps * np.sqrt(2.0), 0.0)


def key_clicks(clip: Clip) -> Clip:
    """Keys that shut, before, in and after the note; levels as of thumps."""
    rng, clip = _rng(clip, "key clicks"), led_in(clip)
    clicks = noises.scattered(len(clip.samples), noises.key_click, CLICKS_A_SECOND, CLICK_DB, rng)
    return _with(clip, "key clicks", clicks * np.sqrt(2.0), 0.0)


def room(clip: Clip) -> Clip:
    """In a room; the last sounding lasts until the reverberation has fallen as far as a note's end does."""
    rng, clip = _rng(clip, "room"), led_in(clip)
    level = level_of(clip)
    wet = noises.convolved(clip.samples, noises.room(rng))
    loud = smooth_power(wet, HOP) > 10 ** (END_DB / 10) * level**2
    last = replace(clip.soundings[-1], end=float(np.flatnonzero(loud)[-1] + 1) / RATE)
    clip = replace(clip, soundings=(*clip.soundings[:-1], last))
    return remade(clip, "room", wet)


def clipped(clip: Clip) -> Clip:
    """Cut hard at half its peak."""
    limit = float(np.abs(clip.samples).max()) * 10 ** (CLIP_DB / 20.0)
    return remade(clip, "clipped", np.clip(clip.samples, -limit, limit))


def _rng(clip: Clip, row: str) -> np.random.Generator:
    return np.random.default_rng(seed_of(f"{clip.name} {row}"))


def _with(clip: Clip, row: str, other: Floats | Samples, level_db: float) -> Clip:
    """`other` has a level of 1 and comes to lie `level_db` re the note."""
    return remade(clip, row, clip.samples + other * level_of(clip) * 10 ** (level_db / 20.0))


def remade(clip: Clip, row: str, samples: Floats | Samples) -> Clip:
    """The clip with other samples, in another row."""
    return replace(clip, name=f"{clip.name}, {row}", row=row, samples=np.asarray(samples, np.float32))
