"""Which long fingerings a pitch could be an overtone of, when nobody says which one is held down.

Conventions
-----------
Frequencies in Hz as they sound; names are the written ones, spelled as players meet them on the keys of the horn:
two flats, three sharps.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from functools import cache

from airladder.music.fingerings import Fingering, fingerings_of
from airladder.music.horns import Horn
from airladder.music.names import Name, spelled
from airladder.music.pitch import A4_HZ, cents, raised
from airladder.music.series import HIGHEST_PARTIAL, Series

WITHIN_CENTS = 50.0
"""Half a tempered semitone: a pitch further from the place of a partial is nearer to another note."""

Candidate = tuple[Fingering, int, float]
"""A fingering, its partial, and the cents from the place of that partial up to the pitch."""

_FLAT_KEYS = (3, 10)  # E flat and B flat; the other black keys of a saxophone are called sharps


def could_be(horn: Horn, hz: float, a4_hz: float = A4_HZ) -> tuple[Candidate, ...]:
    """Every long fingering of which `hz` could be partial 1 to 16: within 50 cents of its place on the real tube.

    The lowest partial comes first, and so the nearest to what players practise; of equal ones the longest tube.
    """
    table = _places(horn, a4_hz)
    first = bisect_left(table, raised(hz, -WITHIN_CENTS), key=_hz)
    last = bisect_right(table, raised(hz, WITHIN_CENTS), key=_hz)
    near = sorted(table[first:last], key=lambda place: (place[2], place[1].written.number))
    return tuple((fingering, partial, cents(hz, place_hz)) for place_hz, fingering, partial in near)


def written_name(horn: Horn, number: int) -> Name:
    """The written name of a sounding note number."""
    written = number - horn.transposition
    return spelled(written, flats=written % 12 in _FLAT_KEYS)


_Place = tuple[float, Fingering, int]


def _hz(place: _Place) -> float:
    return place[0]


@cache
def _places(horn: Horn, a4_hz: float) -> list[_Place]:
    """All places in Hz, rising."""
    tubes = [Series(horn, fingering, a4_hz) for fingering in fingerings_of(horn).values() if fingering.long]
    partials = range(1, HIGHEST_PARTIAL + 1)
    return sorted(((tube.place_hz(n), tube.fingering, n) for tube in tubes for n in partials), key=_hz)
