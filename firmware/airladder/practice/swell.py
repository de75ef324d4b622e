"""How much a long note grew and fell again.

Conventions
-----------
Levels in dB re full scale.
"""

from __future__ import annotations

import statistics
from collections.abc import Sequence

LEAST = 9
"""Fewer levels than this, ten a second, are too short a note for a swell."""


def swell_db(levels: Sequence[tuple[float, float]]) -> float | None:
    """The rise to the middle third and the fall from it, whichever is smaller.

    Parameters
    ----------
    levels : (time, dBFS) in order, evenly spaced, of one note

    Returns
    -------
    dB between the medians of the thirds; negative when the middle was the softer; None for a note under a second.
    """
    if len(levels) < LEAST:
        return None
    values = [level for _, level in levels]
    third = len(values) // 3
    first, middle, last = values[:third], values[third:-third], values[-third:]
    return statistics.median(middle) - max(statistics.median(first), statistics.median(last))
