"""What the screen shows as the sound: the newest reading, or the medians of the tone just judged.

Conventions
-----------
Cents from the exercise's target, positive when sharp; Hz as it sounds.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.practice.judge import Outcome
from airladder.practice.state import Phase, State


@dataclass(frozen=True)
class Heard:
    """One sound: `partial` (None between partials), `cents` (None without a target), `hz`, and its `split`."""

    partial: int | None
    cents: float | None
    hz: float | None
    split: tuple[int, ...] = ()


def heard(state: State) -> Heard | None:
    """What sounds now, or sounded in the try whose result is shown; None for silence."""
    if state.phase is Phase.RESULT:
        return _judged(state)
    if state.phase not in (Phase.SOUNDING, Phase.FREE) or state.reading is None:
        return None
    reading = state.reading
    cents = None if reading.partial is None else reading.cents
    return Heard(reading.partial, cents, reading.hz, reading.split)


def _judged(state: State) -> Heard | None:
    last = state.last
    if last is None or last.tone is None:
        return None
    split = state.reading.split if last.outcome is Outcome.SPLIT and state.reading is not None else ()
    return Heard(last.tone.partial, last.tone.cents, last.tone.hz, split)
