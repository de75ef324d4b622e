"""Made tones whose pitch is known exactly, in white noise, and the bound that no unbiased estimator of it can pass.

Spectra like a saxophone's (additive/spectrum.py). The bound: D. C. Rife, R. R. Boorstyn, IEEE Trans. Inf. Theory
20 (1974) 591-598, for one sinusoid; for a harmonic note the harmonics add up, each with its number squared.

Halves: partials by turns, the other way round on every second fingering.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from additive.spectrum import HIGHEST_HZ as HIGHEST_LINE_HZ
from additive.spectrum import comb, gain
from airladder.hearing.block import HOP, RATE
from airladder.music.pitch import raised
from airladder.music.series import HIGHEST_PARTIAL, Series
from airladder.virtualhorn.bore import CUTOFF_HZ
from bench.clip import Clip, Floats, Half, Onset, Sounding
from bench.envelope import START_DB
from bench.recorded import BENDS, all_series
from bench.store import fraction_of, seed_of

LEVEL = 0.1
BEGIN_SECONDS, SECONDS, FADE_SECONDS, AFTER_SECONDS = 0.512, 1.2, 0.015, 0.128
HIGHEST_HZ = 3600.0
VIBRATO_CENTS, VIBRATO_HZ = 15.0, 5.0
_UNJUDGED_SECONDS = 0.04  # at both ends


def exact_clips(half: Half, snr_db: float, vibrato: bool = False, share: float = 1.0) -> Iterator[Clip]:
    """Partials 1 to 16 of every long fingering, below 3600 Hz, each bent by one of BENDS."""
    for place, series in enumerate(all_series()):
        for partial in range(1, HIGHEST_PARTIAL + 1):
            mine: Half = "tuning" if (place + partial) % 2 else "checking"
            bend = BENDS[(3 * place + 2 * partial) % len(BENDS)]
            chosen = fraction_of(f"exact {series} {partial}") < share
            if mine == half and chosen and raised(series.pure_hz(partial), bend) < HIGHEST_HZ:
                yield exact_clip(half, series, partial, bend, snr_db, VIBRATO_CENTS if vibrato else 0.0)


def exact_clip(
    half: Half, series: Series, partial: int, bend: float, snr_db: float, vibrato_cents: float = 0.0
) -> Clip:
    """One tone, `bend` cents above the pure place of the partial, `snr_db` above white noise over the whole band."""
    row = f"exact{' vibrato' if vibrato_cents else ''} {snr_db:g} dB"
    name = f"{row} {series.horn.name} {series.fingering} p{partial} {bend:+g}c"
    seconds = np.arange(round((BEGIN_SECONDS + SECONDS + AFTER_SECONDS) * RATE)) / RATE
    hz = _hz(raised(series.pure_hz(partial), bend), vibrato_cents, seconds)
    swell = _swell(seconds)
    tone = swell * comb(2.0 * np.pi * np.cumsum(hz) / RATE, hz, np.ones(len(hz)), CUTOFF_HZ[series.horn.name])
    noise = np.random.default_rng(seed_of(name)).standard_normal(len(hz)) * 10 ** (-snr_db / 20.0)
    start = float(np.argmax(swell > 10 ** (START_DB / 20.0))) / RATE
    return Clip(
        name=name,
        row=row,
        half=half,
        series=series,
        samples=(LEVEL * (tone + noise)).astype(np.float32),
        soundings=(Sounding(start, BEGIN_SECONDS + SECONDS, partial),),
        hz=_judged(hz),
        onsets=(Onset(BEGIN_SECONDS, "tongued", 1000.0 * FADE_SECONDS * _RISE_SHARE),),
        vibrato=vibrato_cents > 0.0,
    )


def line_powers(hz: float, cutoff_hz: float) -> Floats:
    """The powers of the harmonics of such a tone, the first one's first; the scale means nothing."""
    return gain(np.arange(1.0, HIGHEST_LINE_HZ // hz + 1.0) * hz, cutoff_hz) ** 2


def bound_cents(hz: float, snr_db: float, seconds: float, powers: Floats) -> float:
    """The Cramer-Rao bound of the standard deviation, cents, of a pitch heard for `seconds`.

    `powers` are those of its harmonics; `snr_db` is the whole tone's over that of white noise up to 24 kHz.
    """
    gained = float(np.sum(np.arange(1, len(powers) + 1) ** 2 * powers) / np.sum(powers))
    count = seconds * RATE
    variance = 12.0 / (10 ** (snr_db / 10.0) * gained * count * (count**2 - 1.0))
    return float(1200.0 / np.log(2.0) * np.sqrt(variance) * RATE / (2.0 * np.pi * hz))


_RISE_SHARE = float(np.arccos(-0.8) - np.arccos(0.8)) / np.pi
"""Of the fade, a half cosine: the share between 10 and 90 per cent."""


def _hz(middle_hz: float, vibrato_cents: float, seconds: Floats) -> Floats:
    return np.asarray(middle_hz * 2.0 ** (vibrato_cents * np.sin(2.0 * np.pi * VIBRATO_HZ * seconds) / 1200.0))


def _swell(seconds: Floats) -> Floats:
    from_ends = np.minimum(seconds - BEGIN_SECONDS, BEGIN_SECONDS + SECONDS - seconds)
    return np.asarray(0.5 - 0.5 * np.cos(np.pi * np.clip(from_ends / FADE_SECONDS, 0.0, 1.0)))


def _judged(hz: Floats) -> Floats:
    """The frequency at the end of each hop, nan near the ends of the note."""
    ends = (np.arange(len(hz) // HOP) + 1) * HOP
    seconds = ends / RATE - BEGIN_SECONDS
    inside = (seconds > _UNJUDGED_SECONDS) & (seconds < SECONDS - _UNJUDGED_SECONDS)
    return np.where(inside, hz[np.minimum(ends, len(hz) - 1)], np.nan)
