"""The easy note that every listener must hear, whoever it is."""

from __future__ import annotations

import numpy as np

from bench.delays import own_delay, swaying
from bench.judge import marks
from bench.listeners import Listener

ALTO_OCTAVE = swaying()[4]


def hears_the_swaying_note(listener: Listener, within_cents: float = 5.0) -> bool:
    """Whether nearly all hops of an octave on the alto have the right partial, and most of them the right cents."""
    answer = listener.listen(ALTO_OCTAVE)
    (mark,) = marks(ALTO_OCTAVE, answer, listener.name, own_delay(listener), listener.look_ahead_s)
    return mark.right >= 0.95 * mark.hops and float(np.median(mark.cents)) < within_cents
