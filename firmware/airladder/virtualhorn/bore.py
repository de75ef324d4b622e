"""The air column of a fingered saxophone, as the peaks of its input impedance.

Where the peaks lie is `music.resonances` (computed with openwind for a generic alto and tenor; the soprano and the
baritone are these scaled, which is an assumption). Their heights and widths follow a conical bore with its tone
holes: the second higher than the first, and small above the cutoff of the open holes near 1 kHz. The figures are
round ones; tests/bench/test_bore.py puts the first three beside a cone computed with openwind. They hang on the
frequency re the horn's lowest note, for bell and holes stay where they are.
"""

from __future__ import annotations

import numpy as np

from airladder.music.names import parse
from airladder.music.pitch import note_hz, raised
from airladder.music.resonances import peak_cents
from airladder.music.series import Series
from airladder.virtualhorn.modes import Mode

DIRECT = 1.0
"""What is left of the impedance between and above the peaks: a tube without end."""

CUTOFF_HZ = {"soprano": 1200.0, "alto": 1000.0, "tenor": 800.0, "baritone": 550.0}
"""The cutoff of the open tone holes: what is lower stays in the horn, the more the lower it is.

About 800 Hz on a tenor and 1.2 kHz on a soprano (Music Acoustics, University of New South Wales, saxophone pages for
tenor B3 and soprano D4); alto and baritone are set between and below.
"""

PEAKS = 10
"""More than this many peaks do nothing that can be heard."""

DISPLACED_PERIODS = 0.001
"""What the moving reed takes in at rest, in periods of the fingered fundamental; see `reed.Stretch.displaced`."""

_LOWEST = parse("Bb3")
_PLACES = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 14.0)  # times the lowest fundamental
_HEIGHTS = (11.0, 18.0, 16.0, 11.0, 6.0, 4.0, 3.0, 2.0, 1.2, 0.8)
_QS = (22.0, 28.0, 30.0, 28.0, 25.0, 22.0, 20.0, 20.0, 18.0, 15.0)


def bore(series: Series) -> list[Mode]:
    """The resonances of the fingered tube, the lowest first."""
    return [_peak(series, number) for number in range(1, PEAKS + 1)]


def _peak(series: Series, number: int) -> Mode:
    written = series.fingering.written.number
    hz = raised(series.pure_hz(number), peak_cents(series.horn, written, number))
    place = hz / note_hz(series.horn.sounding(_LOWEST.number), series.a4_hz)
    height, q = (float(np.interp(place, _PLACES, values)) for values in (_HEIGHTS, _QS))
    pulled = np.pi * DISPLACED_PERIODS * number * height / q
    return Mode(hz * (1.0 + pulled), height, q)
