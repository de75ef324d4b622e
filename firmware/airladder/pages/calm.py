"""Calms what is read on the screen: numbers that do not flicker between two values.

The Ear reports every 5 ms; nobody reads so fast. The pitch shown follows a mean over two turns of a vibrato, and
moves only when that has left a small band round it. Another partial in the same note is shown when it has stood for a
moment; the first one of a note at once. What is kept in the log is what was heard, not what was shown.

Conventions
-----------
Frequencies in Hz, intervals in cents, times in seconds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from airladder.hearing.block import HOP_SECONDS
from airladder.hearing.events import Reading
from airladder.music.pitch import cents, raised

BAND_CENTS = 1.0
"""What is shown stands as long as the mean is no further away."""

VIBRATO_SECONDS = 0.2
"""One turn of a vibrato: a mean over just that does not follow it; one over the mean once more not even one that is
somewhat slower or faster (4 to 6 turns a second are common practice)."""

STANDS_SECONDS = 0.06
"""How long another partial must have stood."""

PAUSE_SECONDS = 0.05
"""What comes after such a pause is another note."""

_READINGS = round(VIBRATO_SECONDS / HOP_SECONDS)


@dataclass(frozen=True)
class Calm:
    """What is shown of the sound.

    Attributes
    ----------
    shown : the reading as it is shown; None in silence
    newest : the newest pitches of the partial that is shown, cents above 1 Hz; over one turn of a vibrato
    means : the newest means of those, over as long again
    heard : the newest reading
    other_since : since when another partial than the one shown has been heard
    """

    shown: Reading | None = None
    newest: tuple[float, ...] = ()
    means: tuple[float, ...] = ()
    heard: Reading | None = None
    other_since: float | None = None

    def fed(self, reading: Reading) -> Calm:
        """After one more reading."""
        shown, heard = self.shown, self.heard
        if reading is heard:
            return self
        if shown is None or heard is None or not 0.0 <= reading.t - heard.t < PAUSE_SECONDS:
            return _at_once(reading)
        if _is_other(shown, reading):
            return self._other(reading, heard)
        return self._followed(reading, shown)

    def _followed(self, reading: Reading, shown: Reading) -> Calm:
        newest = _with(self.newest, cents(reading.hz, 1.0))
        means = _with(self.means, _mean(newest))
        mean_hz = raised(1.0, _mean(means))
        shown_hz = shown.hz if abs(cents(mean_hz, shown.hz)) <= BAND_CENTS else mean_hz
        off = None if reading.cents is None else reading.cents + cents(shown_hz, reading.hz)
        return Calm(replace(reading, hz=shown_hz, cents=off), newest, means, reading)

    def _other(self, reading: Reading, heard: Reading) -> Calm:
        goes_on = self.other_since is not None and not _is_other(heard, reading)
        since = self.other_since if self.other_since is not None and goes_on else reading.t
        if reading.t - since >= STANDS_SECONDS:
            return _at_once(reading)
        return replace(self, heard=reading, other_since=since)


def _at_once(reading: Reading) -> Calm:
    pitch = cents(reading.hz, 1.0)
    return Calm(reading, (pitch,), (pitch,), reading)


def _with(values: tuple[float, ...], value: float) -> tuple[float, ...]:
    return (*values, value)[-_READINGS:]


def _mean(values: tuple[float, ...]) -> float:
    return sum(values) / len(values)


def _is_other(before: Reading, reading: Reading) -> bool:
    """Whether another partial, or another split, is heard."""
    return (before.partial, before.split) != (reading.partial, reading.split)
