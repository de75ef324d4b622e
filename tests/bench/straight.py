"""Recorded notes without their vibrato: the time is bent so that the pitch stands still, the sound stays recorded.

Nearly every recording of the soundfont sways by more than 2 cents, so cents on steady tones could not be judged by
them otherwise. Truth is fitted to the result anew; whatever the first fit missed is in it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airladder.hearing.block import HOP, RATE, Samples
from bench.clip import Clip, Floats
from bench.recorded import VIBRATO_CENTS, spread_cents
from bench.store import kept
from bench.truth import fitted_hz, true_hz, without_gaps
from bench.variants import level_of

ROW = "steady"
_TIMES = 16  # so much oversampled, straight lines between the samples err by -74 dB at 5 kHz
_VERSION = "straight 5"


def straightened(clip: Clip) -> Clip:
    """The clip of one note at its own median frequency throughout; its `vibrato` tells whether some is left."""
    samples, hz, times = kept(f"{_VERSION} {clip.name}", lambda: _made(clip))
    track = hz.astype(np.float64)
    (sounding,), (onset,), (start, end, begin) = clip.soundings, clip.onsets, map(float, times)
    return replace(
        clip,
        name=f"{clip.name}, {ROW}",
        row=ROW,
        samples=samples.astype(np.float32),
        soundings=(replace(sounding, start=start, end=end),),
        hz=track,
        onsets=(replace(onset, t=begin),),
        vibrato=spread_cents(track) > VIBRATO_CENTS,
    )


def _made(clip: Clip) -> tuple[Samples, Floats, Floats]:
    """Samples, track, and when the sounding starts and ends and was begun."""
    cycles, middle_hz = _phase(clip)
    at = np.arange(len(cycles))
    many = _TIMES * np.fft.irfft(np.fft.rfft(clip.samples), _TIMES * len(clip.samples))
    was_at = np.interp(at * middle_hz / RATE, cycles, at)
    straight = np.interp(was_at * _TIMES, np.arange(len(many)), many).astype(np.float32)
    track = true_hz(straight, middle_hz, level_of(replace(clip, samples=straight)))
    were = np.array([clip.soundings[0].start, clip.soundings[0].end, clip.onsets[0].t])
    return straight, track, np.interp(were * RATE, at, cycles) / middle_hz


def _phase(clip: Clip) -> tuple[Floats, float]:
    """Cycles since the first sample, at every sample; and the median frequency.

    The fit alone bridges where truth is not sure enough to be judged by.
    """
    known = np.flatnonzero(np.isfinite(clip.hz))
    middle_hz = float(np.median(clip.hz[known]))
    inside = np.arange(known[0], known[-1] + 1)
    track = fitted_hz(clip.samples, without_gaps(clip.hz, middle_hz))[inside]
    hz = np.interp(np.arange(len(clip.samples)), (inside + 1) * HOP, track)
    return np.cumsum(hz) / RATE, middle_hz
