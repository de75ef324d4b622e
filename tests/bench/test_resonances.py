"""The places of `music.resonances` against the air columns of openwind (A. Thibault, J. Chabassier et al., Inria).

The tube here is not the one from which the table came: a plain cone with a lattice of open holes, its missing tip
a mouthpiece of the same volume (A. Benade, Fundamentals of Musical Acoustics). So the trend is compared, not digits.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Sequence
from functools import cache

import numpy as np
import pytest

from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.pitch import cents
from airladder.music.resonances import peak_cents
from airladder.music.series import Series

FINGERINGS = ("Bb3", "D4", "G4", "A4")
SOUND_METRES_A_SECOND = 347.0  # at 25 degrees C
SLOPE, NECK_METRES = 0.030, 0.0062  # radius a metre of length, and at the neck: an alto's, from memory
HOLE_SHARE, CHIMNEY_METRES = 0.7, 0.004  # wide holes, as saxophones have them
HOLES, HOLE_AT, BELL_AT = 11, 0.965, 0.975  # semitones above low B flat; end corrections, about

horns = pytest.mark.parametrize("horn", ["alto", "tenor"])


def series_of(horn: str, fingering: str) -> Series:
    return Series(HORNS[horn], fingering_named(HORNS[horn], fingering))


@cache
def resonances(horn: str, fingering: str) -> tuple[float, ...]:
    """The first four peaks of the input impedance, Hz."""
    low = series_of(horn, "Bb3").fundamental_hz
    opened = round(cents(series_of(horn, fingering).fundamental_hz, low) / 100.0)
    whole, tip = SOUND_METRES_A_SECOND / (2.0 * low), NECK_METRES / SLOPE
    mouthpiece, bell = tip / 3.0, BELL_AT * whole  # a cylinder as wide as the neck, of the volume of the tip
    bore = [
        [0.0, mouthpiece, NECK_METRES, NECK_METRES, "linear"],
        [mouthpiece, mouthpiece + bell - tip, NECK_METRES, SLOPE * bell, "linear"],
    ]
    places = {f"hole{n}": HOLE_AT * whole * 2.0 ** (-n / 12.0) for n in range(1, HOLES + 1)}
    holes = [
        ["label", "position", "radius", "chimney"],
        *([name, mouthpiece + at - tip, HOLE_SHARE * SLOPE * at, CHIMNEY_METRES] for name, at in places.items()),
    ]
    chart = [["label", "it"], *([name, "o" if n < opened else "x"] for n, name in enumerate(places))]
    return _peaks(bore, holes, chart)


def _peaks(*geometry: Sequence[Sequence[object]]) -> tuple[float, ...]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it imports parts of scipy by their old names
        from openwind import ImpedanceComputation

        computed = ImpedanceComputation(
            np.arange(60.0, 2000.0, 2.0), *geometry, temperature=25, note="it", radiation_category="unflanged"
        )
        return tuple(float(hz) for hz in computed.resonance_frequencies(4))


def stretch(horn: str, fingering: str) -> list[float]:
    """Cents of peaks 2 to 4 above 2 to 4 times the first."""
    first, *others = resonances(horn, fingering)
    return [cents(hz, n * first) for n, hz in enumerate(others, 2)]


def in_table(horn: str, fingering: str) -> list[float]:
    written = series_of(horn, fingering).fingering.written.number
    first, *others = (peak_cents(HORNS[horn], written, n) for n in range(1, 5))
    return [peak - first for peak in others]


@horns
def test_the_table_and_openwind_agree_on_how_the_stretch_grows(horn: str) -> None:
    tube = [value for fingering in FINGERINGS for value in stretch(horn, fingering)]
    table = [value for fingering in FINGERINGS for value in in_table(horn, fingering)]
    assert float(np.corrcoef(tube, table)[0, 1]) > 0.95
    assert max(abs(one - other) for one, other in zip(tube, table, strict=True)) < 75.0


@horns
@pytest.mark.parametrize("fingering", FINGERINGS)
def test_every_peak_of_openwind_gets_the_name_of_its_number(horn: str, fingering: str) -> None:
    """Also where the nearest multiple of the first peak would be another."""
    tube = series_of(horn, fingering)
    for number, hz in enumerate(resonances(horn, fingering), 1):
        named, off = tube.nearest(hz)
        below, above = tube.room_cents(number)
        assert (named, -below < off < above) == (number, True), f"{off:+.0f} cents"


@horns
def test_the_stretch_grows_with_the_number_and_on_shorter_tubes(horn: str) -> None:
    long, short = stretch(horn, "Bb3"), stretch(horn, "A4")
    assert short == sorted(short)
    assert all(above > below + 20.0 for above, below in zip(short, long, strict=True))
    assert math.hypot(*long) < math.hypot(*short) / 2.0
