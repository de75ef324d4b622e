"""What sounds, hop by hop: its frequency, how periodic it is, and the partial of the fingered tube that it is.

Conventions
-----------
One answer each hop of 256 samples, from the 10 to 80 ms that end with it: what the partial is, from the newest
20 ms or two periods of the fundamental; its frequency, when it has been the same for so long, from up to 80 ms.
"""

from __future__ import annotations

from airladder.hearing.band import Band
from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.fine import FinePitch
from airladder.hearing.partials import PartialTrack
from airladder.hearing.periods import Periods
from airladder.hearing.pitch import NOTHING, Pitch
from airladder.music.pitch import cents
from airladder.music.series import Series

_KEPT_SECONDS = 0.11  # more than the finest measure of the lowest note asks for
_CLEAR = 0.80  # least likeness of something periodic that is on no partial
_CLEAR_PARTIAL = 0.45  # and of a partial: knowing where to look, less will do
_SURE_HOPS = 2  # how often a partial in noise must have been heard before it counts
_ONE_PERIOD = 0.01  # what is further from a multiple of the period than this is none
_WITHIN_CENTS = 30.0  # a fine measure further off than this has measured something else


class Tracker:
    """Hears the partials of one tube."""

    def __init__(self, series: Series) -> None:
        self._band = Band(series.fundamental_hz, _KEPT_SECONDS)
        self._periods = Periods(series.fundamental_hz, self._band.rate)
        self._partials = PartialTrack(series, self._band.rate)
        self._fine = FinePitch(self._band.rate)
        self._partial = self._held = 0
        self._hz = 0.0

    def skip(self, samples: Samples) -> Pitch:
        """Take 256 samples that are too soft to be a note."""
        self._band.feed(samples)
        self._partials.forget()
        self._partial = self._held = 0
        self._hz = 0.0
        return NOTHING

    def feed(self, samples: Samples) -> Pitch:
        """Take the next 256 samples, and say what is heard."""
        self._band.feed(samples)
        self._periods.feed(self._band.newest)
        peaks = self._periods.peaks()
        self._partials.feed(peaks)
        partial, period = self._partials.partial, self._partials.period
        self._held = self._held + 1 if partial == self._partial else 0
        self._partial = partial
        if period > 0.0:
            self._hz = self._band.rate / refined(period, peaks)
        elif self._held == 0 or partial == 0:
            return NOTHING
        clarity = min(1.0, max(0.0, self._partials.likeness))
        if partial == 0:
            return Pitch(self._hz, clarity, clarity >= _CLEAR)
        sure = clarity >= _CLEAR or (clarity >= _CLEAR_PARTIAL and self._held >= _SURE_HOPS)
        return Pitch(self._finest(partial), clarity, sure, partial)

    def _finest(self, partial: int) -> float:
        hz = self._fine.measure(self._band.newest, self._hz, partial, self._held * HOP / RATE)
        return self._hz if hz is None or abs(cents(hz, self._hz)) > _WITHIN_CENTS else hz


def refined(period: float, peaks: list[tuple[float, float]]) -> float:
    """A period, in samples, read off the peaks at its multiples, the shortest first, ever more exactly."""
    for lag, _ in peaks:
        times = round(lag / period)
        if times > 1 and abs(lag - times * period) < _ONE_PERIOD * lag:
            period = lag / times
    return period
