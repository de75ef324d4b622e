"""The usual fingerings that an overtone is set against: of its own pitch, or of a note a consonance below it.

Up to F sharp 6 the usual fingering gives the overtone's own pitch. What lies above that range is set against a note
an octave, a fifth or a twelfth lower. The ratios are those of the just consonances, printed in Helmholtz/Ellis
(1885): the ear tunes to them by the absence of beats. The range is common practice.

Conventions
-----------
Names are the written ones. A usual fingering is a `Series` of which only partial 1 is meant.
"""

from __future__ import annotations

from dataclasses import replace
from enum import Enum

from airladder.music.fingerings import Fingering
from airladder.music.names import LETTERS, lettered, parse
from airladder.music.pitch import cents
from airladder.music.series import Series

HIGHEST_USUAL = parse("F#6")
"""The highest written note with a usual fingering on many horns (common practice)."""


class Interval(Enum):
    """How far the usual fingering lies below the overtone; the value is its name in routines and in the log."""

    UNISON = "unison"
    FIFTH = "fifth"
    OCTAVE = "octave"
    TWELFTH = "twelfth"

    @property
    def semitones(self) -> int:
        """Its size on a tempered keyboard."""
        return _SIZES[self][0]

    @property
    def ratio(self) -> float:
        """Its frequency ratio, 1 or more."""
        return _SIZES[self][2]


_SIZES = {  # semitones, letters, ratio
    Interval.UNISON: (0, 0, 1.0),
    Interval.FIFTH: (7, 4, 1.5),
    Interval.OCTAVE: (12, 7, 2.0),
    Interval.TWELFTH: (19, 11, 3.0),
}

LOW = (Interval.OCTAVE, Interval.FIFTH, Interval.TWELFTH)
"""What an overtone is set against besides its own pitch, the easiest to hear first (common practice)."""


def usual(series: Series, partial: int, interval: Interval = Interval.UNISON) -> Series | None:
    """The usual fingering of the note `interval` below a partial; None where the horn has none."""
    name = series.written_name(partial)
    semitones, letters, _ = _SIZES[interval]
    number = name.number - semitones
    if not series.horn.lowest.number <= number <= HIGHEST_USUAL.number:
        return None
    flats = series.fingering.written.accidental < 0 or name.accidental < 0
    steps = 7 * name.octave + LETTERS.index(name.letter) - letters
    return replace(series, fingering=Fingering(lettered(steps, number, flats=flats), long=False))


def difference_cents(overtone_hz: float, usual_hz: float, interval: Interval) -> float:
    """How far an overtone was above the consonance over the usual fingering, both as measured, in cents."""
    return cents(overtone_hz, usual_hz * interval.ratio)
