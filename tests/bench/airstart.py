"""Recorded notes started by the air alone: their attack is made over into a slow exponential growth, after breath.

A reed's oscillation grows exponentially, with the air alone some tens to some hundreds of dB a second (W. Li,
A. Almeida, J. Smith, J. Wolfe, J. Acoust. Soc. Am. 140 (2016) 1089). Breath noise is heard before, and gives way to
the tone; its level is invented.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from additive.spectrum import breath
from airladder.hearing.block import HOP, RATE
from bench.clip import Clip, Floats, Onset
from bench.envelope import START_DB, rise_ms, smooth_power
from bench.store import seed_of
from bench.variants import led_in, level_of, remade

ROW = "air start"
GROWS_FROM_DB, GROWTH_SECONDS = -60.0, (0.1, 0.3)
BREATH_DB, BREATH_SECONDS = (-35.0, -28.0), 0.25
_STEADY_DB = -1.0
_POWER_SECONDS = 0.002


def air_start(clip: Clip) -> Clip:
    """The clip of one tongued note, begun with the air alone.

    The onset is where the tone, without the breath, first is 30 dB below its level: nobody hears it begin earlier.
    """
    rng, clip = np.random.default_rng(seed_of(f"{clip.name} {ROW}")), led_in(clip)
    level, begin = level_of(clip), clip.onsets[0].t
    swell = _swell(len(clip.samples), begin, rng.uniform(*GROWTH_SECONDS))
    tone = clip.samples * swell
    power = smooth_power(tone, round(_POWER_SECONDS * RATE))
    start = float(np.argmax(power > 10 ** (START_DB / 10) * level**2)) / RATE
    noise = breath(len(tone), rng) * _breath_swell(swell, begin) * level * 10 ** (rng.uniform(*BREATH_DB) / 20.0)
    settled = swell[(np.arange(len(clip.hz)) + 1) * HOP - 1] > 10 ** (_STEADY_DB / 20.0)
    changed = replace(
        clip,
        soundings=(replace(clip.soundings[0], start=start), *clip.soundings[1:]),
        onsets=(Onset(start, "air", rise_ms(power, level)), *clip.onsets[1:]),
        hz=np.where(settled, clip.hz, np.nan),
    )
    return remade(changed, ROW, tone + noise)


def _swell(count: int, begin: float, growth_seconds: float) -> Floats:
    """Exponential growth that saturates; it reaches half after `growth_seconds`."""
    seconds = np.arange(count) / RATE - begin
    grown = 10 ** (np.minimum(GROWS_FROM_DB * (1.0 - seconds / growth_seconds), 120.0) / 20.0)
    return grown / (1.0 + grown)


def _breath_swell(swell: Floats, begin: float) -> Floats:
    """Rises for BREATH_SECONDS before the tone begins to grow, and gives way to it."""
    seconds = np.arange(len(swell)) / RATE - begin
    return np.clip(1.0 + seconds / BREATH_SECONDS, 0.0, 1.0) * (1.0 - swell)
