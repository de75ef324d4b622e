"""Hears when the player sings or hums the pitch before playing it, in any octave, and what pitch that was.

Either the exercise asks for the voice: then whatever is periodic is taken for it. Or it comes unasked: then the
colour of the sound and its place tell the voice from the horn. A horn reaches evenly up to its cutoff, near 1 kHz,
and some way beyond; closed lips leave little above 500 Hz, and between the second and third formant of open vowels
(1.2 and 2.5 kHz: G. Peterson, H. Barney, J. Acoust. Soc. Am. 24 (1952) 175-184) lies a gap. But low horns may be as
dark as a hum: on a partial of the tube it is the horn unless the voice was asked for. Where any doubt is left, it was
the horn.

Conventions
-----------
Log odds are natural logarithms, positive for the voice. The pitch is that of a general tracker: a voice is on no
tube. Verdicts fall 85, 171 and 256 ms after a note was noticed; what was the horn by then stays the horn.
"""

from __future__ import annotations

import math
import statistics
from collections import deque

import aubio
import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.events import Sung
from airladder.hearing.stretches import spread
from airladder.music.pitch import cents, note_hz
from airladder.music.series import Series

WINDOW = 4096
"""Samples that one look at the colour is taken from (85 ms)."""

_WINDOW_HOPS = WINDOW // HOP
_READ_HOPS = 8  # a pitch from each 2048 samples (43 ms): two periods of any voice, and fast enough for its vibrato
_LOOKS = 3
_LOWEST_HZ, _HIGHEST_HZ = 60.0, 1100.0  # of any voice
_HIGHEST_UNASKED_HZ = 620.0  # higher ones have too few harmonics for their colour to be told
_CLEAR = 0.70  # least clarity of a pitch that counts

_EDGES_HZ = (60.0, 700.0, 1400.0, 2100.0, 3000.0, 4500.0)  # each band holds a harmonic of every such voice
_FLOOR_DB = -45.0  # below the strongest band there is only noise
_MIDDLE_HZ = 200.0
_OFFSET = -2.81  # these two were fitted by tests/bench/singing.py on the tuning half of its corpora
_WEIGHTS = (-0.80, -2.19, -0.71, 1.81, 0.69)
_MOST_ODDS = 6.0  # one look is never surer than that
_BELOW_CENTS = -100.0
_ON, _OFF, _BELOW = -12.0, -2.0, 1.0  # log odds by the place: on a partial, on none, below all notes of the horn
_HORN_AFTER_ALL = -1.0  # a voice whose log odds fall to this was followed by the horn without a pause

_WEIGHING = np.hanning(WINDOW).astype(np.float32)
_EDGES = np.rint(np.array(_EDGES_HZ) * WINDOW / RATE).astype(int)
_EDGE_SECONDS = 0.1  # at either end of what was sung the voice slides
_NOTHING = 1e-12  # keeps silence from having no logarithm


def colour_of(samples: Samples, hz: float) -> npt.NDArray[np.float64]:
    """What tells a voice of pitch `hz` from a horn in 85 ms of sound; `samples`, shape (4096,).

    Returns
    -------
    Shape (5,): the levels of the bands from 700, 1400, 2100 and 3000 Hz in tens of dB from the strongest of all
    bands (0 to -4.5), and the octaves of the pitch above 200 Hz.
    """
    powers = np.square(np.abs(np.fft.rfft(samples * _WEIGHING)[: _EDGES[-1]]))
    bands = 10.0 * np.log10(np.maximum.reduceat(powers, _EDGES[:-1]) + _NOTHING)
    heights = np.maximum(bands[1:] - bands.max(), _FLOOR_DB) / 10.0
    return np.array([*heights, math.log2(hz / _MIDDLE_HZ)])


class VoiceWatch:
    """Follows one note and says whether it is a voice, and its pitch.

    A note that was a voice and is one no more is the horn, which followed without a pause.

    Parameters
    ----------
    series : the tube that is fingered
    asked : whether the exercise asks for the voice now, so that every pitch is taken for it

    Attributes
    ----------
    odds : natural log odds that the note is a voice; -inf before the first look
    is_voice : whether it is taken for one
    """

    def __init__(self, series: Series, *, asked: bool = False) -> None:
        self._series = series
        self._lowest_hz = note_hz(series.horn.sounding(series.horn.lowest.number), series.a4_hz)
        self._asked = asked
        self._track = aubio.pitch("yinfast", _READ_HOPS * HOP, _READ_HOPS * HOP, RATE)
        self._track.set_unit("Hz")
        self._track.set_silence(-90.0)
        self._hops: deque[Samples] = deque(maxlen=_WINDOW_HOPS)
        self._looks: deque[float] = deque(maxlen=_LOOKS)
        self.restart()

    def restart(self) -> None:
        """A new note begins."""
        self._hops.clear()
        self._looks.clear()
        self._age = self._looked = 0
        self._known_at: float | None = None
        self._readings: list[tuple[float, float, float]] = []
        self.odds = -math.inf
        self.is_voice = False

    def feed(self, samples: Samples, t: float, level_dbfs: float) -> bool:
        """Take the newest hop of the note, shape (256,), that ended at `t`; whether the note is a voice."""
        self._hops.append(samples)
        self._age += 1
        doubtful = self.is_voice or self._looked < _LOOKS
        if doubtful and not self._asked and self._age % _WINDOW_HOPS == 0:
            self._look(t)
        if (self._asked or self.is_voice) and self._age % _READ_HOPS == 0:
            self._read(t, level_dbfs)
        return self.is_voice

    def deny(self) -> None:
        """Something else has shown that this note is the horn, from its beginning."""
        self._looked = _LOOKS
        self._known_at = None
        self._readings.clear()
        self.is_voice = False

    def ended(self, start: float, end: float) -> Sung | None:
        """What was sung from `start` to `end`, s; None when it was no voice, or had no pitch to speak of."""
        inside = [r for r in self._readings if start + _EDGE_SECONDS <= r[0] <= end - _EDGE_SECONDS]
        steady = inside or self._readings
        if self._known_at is None or not steady:
            return None
        hz = statistics.median(reading[1] for reading in steady)
        return Sung(
            start=start,
            end=end,
            hz=hz,
            spread_cents=spread(np.array([cents(reading[1], hz) for reading in steady])),
            level_dbfs=statistics.median(reading[2] for reading in steady),
            known_at=self._known_at,
        )

    def _read(self, t: float, level_dbfs: float) -> None:
        hz = self._pitch_hz()
        if hz is None:
            return
        self._readings.append((t, hz, level_dbfs))
        if self._asked:
            self._is_voice_at(t)

    def _look(self, t: float) -> None:
        self._looked += 1
        hz = self._pitch_hz()
        if hz is None or hz > _HIGHEST_UNASKED_HZ:
            self._looks.append(-_MOST_ODDS)
        else:
            self._looks.append(self._place_odds(hz) + self._colour_odds(hz))
        self.odds = statistics.fmean(self._looks)
        if self.is_voice:
            self.is_voice = self.odds > _HORN_AFTER_ALL
        elif self._looked > 1 and self.odds > 0.0:
            self._is_voice_at(t)

    def _is_voice_at(self, t: float) -> None:
        self.is_voice = True
        if self._known_at is None:
            self._known_at = t

    def _pitch_hz(self) -> float | None:
        hz = float(self._track(np.concatenate(list(self._hops)[-_READ_HOPS:]))[0])
        clear = float(self._track.get_confidence()) >= _CLEAR
        return hz if clear and _LOWEST_HZ <= hz <= _HIGHEST_HZ else None

    def _colour_odds(self, hz: float) -> float:
        odds = _OFFSET + float(colour_of(np.concatenate(self._hops), hz) @ _WEIGHTS)
        return max(-_MOST_ODDS, min(_MOST_ODDS, odds))

    def _place_odds(self, hz: float) -> float:
        if cents(hz, self._lowest_hz) < _BELOW_CENTS:
            return _BELOW
        partial, off = self._series.nearest(hz)
        below, above = self._series.room_cents(partial)
        return _ON if -below <= off <= above else _OFF
