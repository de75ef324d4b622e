"""What sounds, hop by hop: its frequency, how periodic it is, and the partial of the fingered tube that it is.

Conventions
-----------
One answer each hop of 256 samples, from the 10 to 80 ms that end with it: what the partial is, from the newest
20 ms or two periods of the fundamental; its frequency, when it has been the same for so long, from up to 80 ms.
"""

from __future__ import annotations

from airladder.hearing.band import Band
from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.fine import FinePitch, Measure
from airladder.hearing.partials import PartialTrack
from airladder.hearing.periods import Periods
from airladder.hearing.pitch import NOTHING, Pitch
from airladder.music.pitch import cents, raised
from airladder.music.series import Series

_KEPT_SECONDS = 0.11  # more than the finest measure of the lowest note asks for
_CLEAR = 0.80  # least likeness of something periodic that is on no partial
_CLEAR_PARTIAL = 0.45  # and of a partial: knowing where to look, less will do
_SURE_HOPS = 1  # how often a partial in noise must have been heard before it counts
_TUNED_CENTS = 25.0
_STANDS_HOPS = 12  # a partial that has been heard for 64 ms ...
_STANDS_CLEARLY = 0.88  # ... and is so clear that no noise is about ...
_LOOK_HOPS = 6  # ... is looked at every 32 ms only, ...
_ALIKE = 0.9  # ... unless its harmonics change
_ONE_PERIOD = 0.01  # what is further from a multiple of the period than this is none
_WITHIN_CENTS = 30.0  # a fine measure further off than this has measured something else


class Tracker:
    """Hears the partials of one tube."""

    def __init__(self, series: Series) -> None:
        self._band = Band(series.fundamental_hz, _KEPT_SECONDS)
        self._periods = Periods(series.fundamental_hz, self._band.rate)
        self._partials = PartialTrack(series, self._band.rate)
        self._fine = FinePitch(self._band.rate)
        self._partial = self._held = self._unseen = 0
        self._hz = self._clarity = 0.0

    def tune(self, ratio: float) -> None:
        """This player's fundamental is `ratio` times the nominal one; taken up by half, within 25 cents.

        By half, since who bends the fundamental does not bend the others along with it.
        """
        off = max(-_TUNED_CENTS, min(_TUNED_CENTS, cents(ratio, 1.0) / 2.0))
        self._partials.tune(raised(1.0, off))

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
        self._held += 1
        return self._followed() or self._looked()

    def _followed(self) -> Pitch | None:
        """What stands clearly is only followed by its phase, and looked at now and then; None when it moves off."""
        self._unseen += 1
        stands = self._partial != 0 and self._held >= _STANDS_HOPS and self._clarity >= _STANDS_CLEARLY
        if not stands or self._unseen >= _LOOK_HOPS:
            return None
        measure = self._measured(self._hz)
        if measure is None or measure.alike < _ALIKE:
            return None
        self._hz = measure.hz
        return Pitch(measure.hz, self._clarity, True, self._partial)

    def _looked(self) -> Pitch:
        self._unseen = 0
        self._periods.feed(self._band.newest)
        peaks = self._periods.peaks()
        self._partials.feed(peaks)
        partial, period = self._partials.partial, self._partials.period
        if partial != self._partial:
            self._partial, self._held = partial, 0
        before = self._hz
        if period > 0.0:
            self._hz = self._band.rate / refined(period, peaks)
        elif self._held == 0 or partial == 0:
            self._clarity = 0.0
            return NOTHING
        self._clarity = min(1.0, max(0.0, self._partials.likeness))
        if partial == 0:
            return Pitch(self._hz, self._clarity, self._clarity >= _CLEAR)
        sure = self._clarity >= _CLEAR or (self._clarity >= _CLEAR_PARTIAL and self._held >= _SURE_HOPS)
        if self._held >= _STANDS_HOPS:  # an undertone may draw the likeness aside, the phase it cannot
            self._hz = self._finest(before) or self._finest(self._hz) or self._hz
        else:
            self._hz = self._finest(self._hz) or self._hz
        return Pitch(self._hz, self._clarity, sure, partial)

    def _finest(self, near_hz: float) -> float | None:
        measure = self._measured(near_hz)
        return None if measure is None else measure.hz

    def _measured(self, near_hz: float) -> Measure | None:
        measure = self._fine.measure(self._band.newest, near_hz, self._partial, self._held * HOP / RATE)
        return None if measure is None or abs(cents(measure.hz, near_hz)) > _WITHIN_CENTS else measure


def refined(period: float, peaks: list[tuple[float, float]]) -> float:
    """A period, in samples, read off the peaks at its multiples, the shortest first, ever more exactly."""
    for lag, _ in peaks:
        times = round(lag / period)
        if times > 1 and abs(lag - times * period) < _ONE_PERIOD * lag:
            period = lag / times
    return period
