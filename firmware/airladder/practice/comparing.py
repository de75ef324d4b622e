"""Finds the overtone that a usual fingering is set against."""

from __future__ import annotations

from collections.abc import Sequence

from airladder.practice.ask import Beside, Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import ARRIVED


def overtone_hz(attempts: Sequence[Attempt], beside: Beside) -> float | None:
    """The overtone as last sounded in `attempts`, Hz; None when it was not reached in any of them."""
    fingering = str(beside.series.fingering)
    for attempt in reversed(attempts):
        asked, tone = attempt.asked, attempt.tone
        if asked is None or tone is None or asked.task is not Task.PLAY or attempt.outcome not in ARRIVED:
            continue
        if asked.fingering == fingering and attempt.wanted == beside.partial:
            return tone.hz
    return None
