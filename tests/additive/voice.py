"""The additive voice: turns a note into sound of exactly known pitch, by adding up sines. It is invented.

A note grows exponentially until it saturates, as reed instruments do: several tens to several hundred dB a second
(W. Li, A. Almeida, J. Smith, J. Wolfe, J. Acoust. Soc. Am. 140 (2016) 1089, clarinet). Started by the air alone it
takes 200 dB a second here, breath being heard first; with the tongue 1200, a rise of 32 ms like that of recorded
saxophones (medians 28 to 46 ms over the samples of fluid-soundfont-gm).

Conventions
-----------
Mono float32, 48 kHz. The same arguments give the same samples.
"""

from __future__ import annotations

import numpy as np

from additive.note import Note
from additive.spectrum import Floats, breath, comb, mixed
from airladder.hearing.block import RATE, Samples
from airladder.music.series import Series
from airladder.virtualhorn.bore import CUTOFF_HZ

LEAD_SECONDS = {"tongued": 0.0, "air": 0.25}
"""What a note's sound holds before the tone begins: breath, when the air alone starts it."""

RELEASE_SECONDS = {"tongued": 0.08, "air": 0.16}
"""What it holds after the player has let go; a note is left as it was started, the tongue being the quicker way
(M. Pàmies-Vilà and others, Front. Psychol. 9 (2018) 617)."""

_GROWTH_DB_A_SECOND = {"tongued": 1200.0, "air": 200.0}
_FROM_DB = {"tongued": -40.0, "air": -60.0}
_GLIDE_SECONDS = 0.025
_BREATH_BEFORE_DB, _BREATH_WITHIN_DB = -28.0, -42.0  # re the level of the note


def sound(series: Series, note: Note, seed: int = 0) -> Samples:
    """The sound of `note` on the tube of `series`: lead, tone and release, shape (n,).

    `seed` chooses the breath noise.
    """
    swell = _swell(note)
    tone = _tone(series, note, swell) * swell
    lead = round(LEAD_SECONDS[note.kind] * RATE)
    tone, swell = (np.concatenate([np.zeros(lead), part]) for part in (tone, swell))
    noise = breath(len(swell), np.random.default_rng(seed)) * _breath_swell(note, swell, lead)
    return ((tone + noise) * 10 ** (note.level_dbfs / 20.0)).astype(np.float32)


def _tone(series: Series, note: Note, swell: Floats) -> Floats:
    """The tone at even strength; `swell` only makes its soft parts duller."""
    hz, cutoff = _hz(series, note, len(swell)), CUTOFF_HZ[series.horn.name]
    phase = 2.0 * np.pi * np.cumsum(hz) / RATE
    if note.split_with is not None:
        ratio = note.split_with / note.partial * 2.0 ** (note.split_cents / 1200.0)
        middle = float(np.median(hz))
        tone = mixed((phase, ratio * phase), (middle, ratio * middle), series.fundamental_hz / 2.0, cutoff)
    else:
        tone = comb(phase, hz, swell, cutoff)
    if note.undertone_db is not None:
        under = comb(phase / note.partial, hz / note.partial, swell, cutoff)
        tone = tone + 10 ** (note.undertone_db / 20.0) * under
    return tone


def _hz(series: Series, note: Note, count: int) -> Floats:
    """The frequency, one value a sample; it glides from the partial of a crack to the wanted one."""
    seconds = np.arange(count) / RATE
    drift = note.drift_cents * (np.minimum(seconds / note.seconds, 1.0) - 0.5)
    vibrato = note.vibrato_cents * np.sin(2.0 * np.pi * note.vibrato_hz * seconds)
    octaves = np.full(count, np.log2(series.pure_hz(note.partial))) + (note.cents + drift + vibrato) / 1200.0
    if note.crack is not None:
        first, until = note.crack
        away = np.clip((until - seconds) / _GLIDE_SECONDS + 0.5, 0.0, 1.0)
        octaves += np.log2(first / note.partial) * away
    hz: Floats = np.exp2(octaves)
    return hz


def _swell(note: Note) -> Floats:
    """How loud, 0 to 1: exponential growth that saturates, then exponential decay."""
    release = RELEASE_SECONDS[note.kind]
    seconds = np.arange(round((note.seconds + release) * RATE)) / RATE
    grown = 10 ** ((_FROM_DB[note.kind] + _GROWTH_DB_A_SECOND[note.kind] * seconds) / 20.0)
    left = np.clip((seconds - note.seconds) / release, 0.0, 1.0)
    swell: Floats = grown / (1.0 + grown) * 10 ** (-3.0 * left) * (1.0 - left)
    return swell


def _breath_swell(note: Note, swell: Floats, lead: int) -> Floats:
    """How loud the breath is: before an air start it swells and gives way to the tone; within, it follows it."""
    within = 10 ** (_BREATH_WITHIN_DB / 20.0) * swell
    if note.kind == "tongued":
        return within
    held = np.clip(np.arange(len(swell)) / lead, 0.0, 1.0)
    held[round(lead + note.seconds * RATE) :] = 0.0
    return within + 10 ** (_BREATH_BEFORE_DB / 20.0) * held * (1.0 - swell)
