"""How easily a note spoke. Forcing can be heard: the level jumps before the note speaks, or another partial honks
out instead (common practice of teachers).

Conventions
-----------
Levels are in dB re full scale, one a hop, each the rms of the 21 ms before its time.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from operator import itemgetter

Level = tuple[float, float]
"""A time in s and the level of the 21 ms before it in dBFS."""

KEPT_SECONDS = 0.5
"""The Ear has to remember the levels of this long before it notices a note."""

_LOOKS_BACK_SECONDS = 0.3
_HEARD_LATE_SECONDS = 0.05  # a partial may sound for so long before it is heard: that level is its own
_AT_ONCE_SECONDS = 0.1  # what speaks so soon after its start had no time to be forced


def push_db(levels: Sequence[Level], start: float | None, spoke: float, steady_dbfs: float) -> float | None:
    """How loud it was already before the note spoke: the measure of pushing.

    The loudest level in the 300 ms that end 50 ms before the final partial was first heard, against its steady
    level. The 50 ms are the tracker's, whose first reading of a partial comes so late at most; of a note that
    spoke within 100 ms of its start only what came before the start counts.

    Parameters
    ----------
    levels : in order; of the note, and of the half second before it as far as no other note sounded in it
    start : when the note started, s; None when that is not known
    spoke : time of the first reading of its final partial, s
    steady_dbfs : median level of the steady part of that partial

    Returns
    -------
    dB, far below 0 when it spoke out of silence or out of a soft breath, about 0 or above when it was pushed;
    None when nothing is known of the time before.
    """
    until = spoke - _HEARD_LATE_SECONDS
    if start is not None and spoke - start <= _AT_ONCE_SECONDS:
        until = min(until, start)
    first = bisect_left(levels, until - _LOOKS_BACK_SECONDS, key=itemgetter(0))
    before = levels[first : bisect_right(levels, until, key=itemgetter(0))]
    return max(level for _, level in before) - steady_dbfs if before else None
