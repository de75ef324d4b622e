"""Which partials a sung pitch stands for: players sing where it is comfortable, often octaves below."""

from __future__ import annotations

from airladder.music.pitch import octave_folded_cents
from airladder.music.series import HIGHEST_PARTIAL, Series

WITHIN_CENTS = 50.0
"""Half a tempered semitone: further off, another note is nearer."""


def stands_for(series: Series, hz: float) -> tuple[tuple[int, float], ...]:
    """The partials whose pitch class `hz` is, within 50 cents, and the cents from the nearest octave of each.

    The cents are from the tempered place: who sings for a partial has its usual fingering's note in the ear. The
    lowest partial comes first; octaves of it (2 and 4 of 1, 6 and 12 of 3) are named with it.
    """
    found = ((n, octave_folded_cents(hz, series.tempered_hz(n))) for n in range(1, HIGHEST_PARTIAL + 1))
    return tuple((n, off) for n, off in found if abs(off) <= WITHIN_CENTS)
