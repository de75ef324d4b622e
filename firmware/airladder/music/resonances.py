"""Where the partials of a real tube lie: stretched above the pure series, the more so the shorter the fingering.

The peaks of the air column were computed with openwind (A. Thibault, J. Chabassier et al., Inria) for a generic alto
and a generic tenor, reed included, and rounded to the cent. Mouthpiece and bell move them by tens of cents, so the
trend is the truth here, not the digits. The soprano is taken like the alto and the baritone like the tenor: assumed
from how saxophones are scaled, from memory. Above the tone-hole cutoff, near 1 kHz, the peaks stop belonging to the
series (A. Benade, Fundamentals of Musical Acoustics): there the player sets the pitch more than the tube does,
and the stretch fades out.

Conventions
-----------
Cents above n times the nominal fundamental of the written fingering.
"""

from __future__ import annotations

import numpy as np

from airladder.music.horns import Horn
from airladder.music.names import parse

_ALTO = {
    "Bb3": (11, -5, 0, 14, 25, 39),
    "C4": (10, -5, 19, 40, 54),
    "D4": (10, -3, 33, 65, 108, 88),
    "E4": (9, 6, 51, 100, 98),
    "G4": (5, 34, 103, 152),
    "A4": (0, 58, 157, 198),
}
_TENOR = {
    "Bb3": (13, -4, -3, 3, 10),
    "C4": (10, -6, 6, 16, 30),
    "D4": (11, -6, 12, 31, 43),
    "E4": (10, -2, 21, 54, 68),
    "G4": (4, 13, 52, 93, 96),
    "A4": (0, 24, 87, 137),
}
_PEAKS = {"soprano": _ALTO, "alto": _ALTO, "tenor": _TENOR, "baritone": _TENOR}

_PURE_FROM = 14  # beyond it neighbours lie within two semitones: no room to guess at a stretch
_PULLED_SHARE, _PULLED_CENTS = 0.5, 50.0  # of its stretch a player takes back half, but not more than a lip gives


def peak_cents(horn: Horn, written: int, partial: int) -> float:
    """Where the tube resonates.

    Parameters
    ----------
    horn : which table to read
    written : note number of the written fingering; between the fingerings of the table it is interpolated, beyond
        them the nearest one counts
    partial : from 1

    Returns
    -------
    Cents of peak `partial` above `partial` times the nominal fundamental.
    """
    table = _PEAKS[horn.name]
    fingered = [parse(name).number for name in table]
    return float(np.interp(written, fingered, [_along(row, partial) for row in table.values()]))


def place_cents(horn: Horn, written: int, partial: int) -> float:
    """Where a note on that resonance is expected to sound: see `peak_cents` for parameters and unit.

    Not on the peak: whoever plays listens, and pulls towards the pure place with lip and throat. By how much differs
    from player to player; half the stretch, at most 50 cents, is a middle way that is never further than
    50 cents from those who do not pull at all.
    """
    peak = peak_cents(horn, written, partial)
    return peak - max(-_PULLED_CENTS, min(_PULLED_SHARE * peak, _PULLED_CENTS))


def _along(row: tuple[int, ...], partial: int) -> float:
    last = len(row)
    if partial <= last:
        return row[partial - 1]
    return row[-1] * max(0.0, (_PURE_FROM - partial) / (_PURE_FROM - last))
