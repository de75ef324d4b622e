"""How far a listener's frequency lags behind the sound, measured on tones that sway by a known amount.

The delay is the shift at which its frequencies fit the true ones best, a constant error apart. It is removed before
cents are judged, so that nobody is charged twice for being late; in the rows of delay nothing is removed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from airladder.hearing.block import HOP, RATE
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from bench.clip import Clip, Floats, Sounding
from bench.listeners import Listener, ends_s

SWAY_CENTS, SWAY_HZ = 30.0, 5.0
"""Vibrato as players make it (common practice: about 5 Hz)."""

SECONDS = 1.6
_JUDGED = (0.3, SECONDS - 0.15)
_SHIFTS = np.arange(-0.040, 0.120, 0.0005)
_NOTES = (
    ("baritone", 1),
    ("tenor", 1),
    ("alto", 1),
    ("soprano", 1),
    ("alto", 2),
    ("alto", 3),
    ("soprano", 3),
    ("soprano", 4),
    ("soprano", 6),
)
_HARMONICS, _HIGHEST_HZ = 10, 12_000.0


@dataclass(frozen=True, eq=False)
class OwnDelay:
    """Delays in s, measured at rising frequencies in Hz; negative where a look-ahead lets it answer early."""

    hz: Floats
    seconds: Floats

    def at(self, hz: Floats) -> Floats:
        """The delay at other frequencies, interpolated over log frequency; nan at nan."""
        if not len(self.hz):
            return np.zeros_like(hz)
        return np.asarray(np.interp(np.log(hz), np.log(self.hz), self.seconds), np.float64)


def own_delay(listener: Listener) -> OwnDelay:
    """Measured; notes of which the listener hears less than half are left out."""
    found = [(clip.series.pure_hz(clip.soundings[0].partial or 1), _delay(listener, clip)) for clip in swaying()]
    known = sorted((hz, delay) for hz, delay in found if np.isfinite(delay))
    return OwnDelay(np.array([hz for hz, _ in known]), np.array([delay for _, delay in known]))


@cache
def swaying() -> tuple[Clip, ...]:
    """The tones by which delays are measured."""
    return tuple(_swaying(Series(HORNS[h], fingering_named(HORNS[h], "Bb3")), n) for h, n in _NOTES)


def shifted(track: Floats, by: Floats | float) -> Floats:
    """What the track, of one value at the end of each hop, was `by` seconds before; nan where that is not known."""
    ends = ends_s(len(track))
    log_hz = np.interp(ends - by, ends, np.log(track), left=np.nan, right=np.nan)
    return np.asarray(np.exp(log_hz), np.float64)


def _swaying(series: Series, partial: int) -> Clip:
    t = np.arange(round(SECONDS * RATE)) / RATE
    hz = series.pure_hz(partial) * 2.0 ** (SWAY_CENTS / 1200.0 * np.sin(2 * np.pi * SWAY_HZ * t))
    phase = 2 * np.pi * np.cumsum(hz) / RATE
    numbers = range(1, 1 + min(_HARMONICS, int(_HIGHEST_HZ / hz.max())))
    sound = sum(np.cos(n * phase + n * n) / n for n in numbers) * np.minimum(t / 0.02, 1.0)
    return Clip(
        name=f"swaying {series.horn.name} p{partial}",
        row="swaying",
        half="tuning",
        series=series,
        samples=np.asarray(0.2 * sound, np.float32),
        soundings=(Sounding(0.0, SECONDS, partial),),
        hz=np.asarray(hz[HOP - 1 :: HOP], np.float64)[: len(t) // HOP],
        vibrato=True,
    )


def _delay(listener: Listener, clip: Clip) -> float:
    answer = listener.listen(clip)
    ends = ends_s(len(answer.hz))
    judged = (ends > _JUDGED[0]) & (ends < _JUDGED[1]) & (answer.partial == clip.soundings[0].partial)
    if np.count_nonzero(judged) < 0.5 * np.count_nonzero((ends > _JUDGED[0]) & (ends < _JUDGED[1])):
        return float("nan")
    misfits = [_misfit(answer.hz[judged], shifted(clip.hz, by)[judged]) for by in _SHIFTS]
    return float(_SHIFTS[int(np.argmin(misfits))])


def _misfit(hz: Floats, true: Floats) -> float:
    off = np.log(hz / true)
    return float(np.median(np.abs(off - np.median(off))))
