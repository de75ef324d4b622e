"""The physical player: a gesture on a fingered tube becomes the sound that physics makes of it.

Whether the wanted partial sounds is not settled here. Who needs to know measures it, on the pressure in the
mouthpiece, which nothing but this reed has made.

Conventions
-----------
Mono float32, 48 kHz. The same arguments give the same samples. A second of sound takes 0.15 s of a
desk computer's core.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from airladder.hearing.block import RATE, Samples
from airladder.music.series import Series
from airladder.virtualhorn.bore import CUTOFF_HZ, DIRECT, bore
from airladder.virtualhorn.gesture import LEAD_SECONDS, Gesture
from airladder.virtualhorn.modes import step
from airladder.virtualhorn.playing import Floats, stretches
from airladder.virtualhorn.reed import blow

_DC_HZ = 20.0  # what is slower is the steady pressure and its building up
_LOUDEST = 0.95
_SPEAKS = 0.004  # rms pressure in the mouthpiece: what stays below is breath, and is not made louder than a soft note
_STEADY_SHARE = 0.5


@dataclass(frozen=True, eq=False)
class Performance:
    """What came of a gesture.

    Attributes
    ----------
    samples : the sound outside the horn, shape (n,)
    pressure : the alternating pressure in the mouthpiece, shape (n,), of which truth is measured
    begins : when the tongue left the reed or the first breath of an air start came, s
    let_go : when the player let go, s
    """

    samples: Samples
    pressure: Floats
    begins: float
    let_go: float


def play(series: Series, gesture: Gesture, seed: int = 0) -> Performance:
    """The sound of `gesture` on the tube of `series`; `seed` chooses the roughness of the breath."""
    return next(made for made in performing(series, gesture, seed) if made is not None)


def performing(series: Series, gesture: Gesture, seed: int = 0) -> Iterator[Performance | None]:
    """The same in small steps, for who has to do other things in between: None a millisecond of sound, then it."""
    parts = stretches(series, gesture, np.random.default_rng(seed))
    blown: list[float] = []
    for pressures in blow([step(mode) for mode in bore(series)], DIRECT, parts):
        blown += pressures
        yield None
    yield _performance(series, gesture, np.array(blown))


def _performance(series: Series, gesture: Gesture, blown: Floats) -> Performance:
    pressure = _passed(blown, _DC_HZ)
    let_go = LEAD_SECONDS + gesture.seconds
    outside = _passed(pressure, CUTOFF_HZ[series.horn.name])
    samples = (outside * _gain(pressure, outside, gesture)).astype(np.float32)
    return Performance(samples, pressure, LEAD_SECONDS, let_go)


def _passed(pressure: Floats, cutoff_hz: float) -> Floats:
    """What is above `cutoff_hz` passes, what is below passes the less the lower it is: 6 dB an octave.

    Outside the horn so: below the cutoff of the open tone holes they let the less out the lower the sound is.
    """
    padded = 1 << (len(pressure) + RATE // 4).bit_length()  # a power of two: some lengths take twenty times as long
    ratio = 1j * np.fft.rfftfreq(padded, 1.0 / RATE) / cutoff_hz
    passed: Floats = np.fft.irfft(np.fft.rfft(pressure, padded) * ratio / (1.0 + ratio), padded)[: len(pressure)]
    return passed


def _gain(pressure: Floats, outside: Floats, gesture: Gesture) -> float:
    until = round((LEAD_SECONDS + gesture.seconds) * RATE)
    steady = slice(until - round(_STEADY_SHARE * gesture.seconds * RATE), until)
    heard = float(np.std(outside[steady])) * max(1.0, _SPEAKS / (float(np.std(pressure[steady])) + 1e-12))
    return float(min(10 ** (gesture.level_dbfs / 20.0) / heard, _LOUDEST / (np.max(np.abs(outside)) + 1e-12)))
