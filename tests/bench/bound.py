"""How far the cents of a listener are from the Cramer-Rao bound, on made tones that do not move (exact.py).

The bound depends on how long one listens: a frequency that lags by d behind a steady stretch of sound rests on
about 2 d of it, so the bound is that of twice the listener's own delay and look-ahead. A listener that uses more of
the past than that may come below it: then it smooths beyond its delay, which a pitch that moves would show.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

import numpy as np

from airladder.virtualhorn.bore import CUTOFF_HZ
from bench.delays import OwnDelay
from bench.exact import bound_cents, line_powers
from bench.judge import Mark

_ROW = re.compile(r"exact (-?\d+) dB")
_SHORTEST = 0.002


def times_bound(marks: Iterable[Mark], own: OwnDelay, look_ahead_s: float) -> list[float]:
    """The root mean square error of each exact tone that does not move, in bounds; empty when there are none."""
    found = []
    for mark in marks:
        known = _ROW.fullmatch(mark.row)
        if known is not None and mark.cents and not mark.vibrato:
            bound = _bound(mark, float(known[1]), own, look_ahead_s)
            found.append(float(np.sqrt(np.mean(np.square(mark.cents)))) / bound)
    return found


def _bound(mark: Mark, snr_db: float, own: OwnDelay, look_ahead_s: float) -> float:
    seconds = max(_SHORTEST, 2.0 * (float(own.at(np.array([mark.hz]))[0]) + look_ahead_s))
    return bound_cents(mark.hz, snr_db, seconds, line_powers(mark.hz, CUTOFF_HZ[mark.horn]))
