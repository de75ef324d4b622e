"""The Ear that the session wants now, and what was learnt about the horn today that outlives it.

Another fingering is another tube, so it has an Ear of its own; the fundamentals and usual fingerings that were
measured today go along.
"""

from __future__ import annotations

from airladder.hearing.ear import Ear
from airladder.music.series import Series
from airladder.music.usual import Interval
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import ARRIVED
from airladder.practice.state import Listening


class Ears:
    """One Ear at a time, changed as the session asks.

    Parameters
    ----------
    listening : what is listened for at first

    Attributes
    ----------
    ear : the one that is to be fed
    """

    def __init__(self, listening: Listening) -> None:
        self._fundamentals: dict[Series, float] = {}
        self._usual: dict[str, dict[int, float]] = {}
        self._listening = listening
        self.ear = self._made(listening)

    def listen(self, listening: Listening) -> None:
        """Listen for this from the next block on."""
        if listening == self._listening:
            return
        before, self._listening = self._listening, listening
        if _is_same_tube(before, listening):
            self.ear.asks(sings=listening.sings)
            return
        if self.ear.measured_hz is not None:
            self._fundamentals[before.series] = self.ear.measured_hz
        self.ear = self._made(listening)

    def learn(self, attempt: Attempt) -> None:
        """Remember a usual fingering: with `Against.MEASURED` its overtone is measured from it."""
        asked, tone = attempt.asked, attempt.tone
        if asked is None or asked.task is not Task.USUAL or asked.interval != Interval.UNISON.value:
            return
        if attempt.outcome in ARRIVED and tone is not None and tone.hz is not None:
            assert asked.beside_fingering is not None
            assert asked.beside_partial is not None
            self._usual.setdefault(asked.beside_fingering, {})[asked.beside_partial] = tone.hz

    def _made(self, listening: Listening) -> Ear:
        series = listening.series
        ear = Ear(series, listening.against, sings=listening.sings, measured_hz=self._fundamentals.get(series))
        ear.usual_hz = self._usual.setdefault(str(series.fingering), {})
        return ear


def _is_same_tube(a: Listening, b: Listening) -> bool:
    return (a.series, a.against) == (b.series, b.against)
