"""The Ear: fed a block, it says what sounds, how a note began, and what the whole tone was.

Conventions
-----------
Its output is a function of the blocks alone. Every note that gave a reading ends in one tone, unless samples were
lost in it: then the part before the gap is forgotten, and the part after it is a tone without attack.
"""

from __future__ import annotations

import math

from airladder.hearing.attacks import AttackWatch
from airladder.hearing.block import Block
from airladder.hearing.events import Event, Reading
from airladder.hearing.gate import Gate, NoteGate
from airladder.hearing.levels import Levels
from airladder.hearing.notes import NoteUnderWay
from airladder.hearing.pitch import Pitch
from airladder.hearing.splits import SplitWatch
from airladder.hearing.tracker import Tracker
from airladder.music.pitch import cents
from airladder.music.series import Against, Series

_RESUMED_SECONDS = 0.2  # a note found this soon after a gap began before it
_LONGEST_SECONDS = 120.0  # longer than any breath: a drone in the room must not fill the memory
_SILENT_DBFS = -66.0  # what is softer is no note, and need not be followed
_FUNDAMENTAL_SECONDS = 0.5  # what lasts less is no measure of a horn


class Ear:
    """Hears one fingered tube.

    Parameters
    ----------
    series : horn, fingering and A4
    against : what the cents are measured from; with `Against.MEASURED` they are None until the fundamental has
        been sounded once

    Attributes
    ----------
    measured_hz : the fundamental as last sounded, Hz, or None
    """

    def __init__(self, series: Series, against: Against = Against.TEMPERED) -> None:
        self._series = series
        self._against = against
        self.measured_hz: float | None = None
        self._gap = -math.inf
        self._time = 0.0
        self._begin_afresh()

    def _begin_afresh(self) -> None:
        """Forget every sample, but not what was learnt about the horn."""
        period = 1.0 / self._series.fundamental_hz
        self._levels = Levels()
        self._tracker = Tracker(self._series)
        self._splits = SplitWatch(self._series)
        self._attacks = AttackWatch(period)
        self._gate = NoteGate(period)
        self._note: NoteUnderWay | None = None

    def feed(self, block: Block) -> list[Event]:
        """What this block brings to light, in the order of time."""
        if block.lost:
            self._begin_afresh()
            self._gap = block.time
        self._time = block.time
        self._levels.feed(block.samples)
        pitch = self._heard()
        match self._gate.feed(self._levels, pitch):
            case Gate.SILENT:
                return []
            case Gate.ENDS:
                return self._ended()
            case Gate.AGAIN:
                ended = self._ended()
                self._began(after_dip=True)
                return [*ended, *self._sounds(pitch)]
            case Gate.OPENS:
                self._began()
                return self._sounds(pitch)
            case Gate.SOUNDS:
                return [*self._too_long(), *self._sounds(pitch)]

    def _heard(self) -> Pitch:
        if self._note is None and self._levels.level_dbfs < _SILENT_DBFS:
            return self._tracker.skip(self._levels.clean)
        return self._tracker.feed(self._levels.clean)

    def finish(self) -> list[Event]:
        """The end of the recording: whatever still sounds ends here."""
        self._gate.ago = 0.0
        return self._ended()

    def _began(self, *, after_dip: bool = False) -> None:
        self._note = NoteUnderWay(began=self._time)
        self._splits.restart()
        if self._time - self._gap > _RESUMED_SECONDS:
            self._attacks.expect(self._time, dip=self._gate.ago if after_dip else None)

    def _too_long(self) -> list[Event]:
        """A note longer than any breath ends, and goes on as another without an attack."""
        if self._note is None or self._time - self._note.began < _LONGEST_SECONDS:
            return []
        self._gate.ago = 0.0
        ended = self._ended()
        self._note = NoteUnderWay(began=self._time)
        return ended

    def _sounds(self, pitch: Pitch) -> list[Event]:
        if self._note is None:
            return []
        events: list[Event] = []
        attack = self._attacks.feed(self._levels, self._time)
        if attack is not None:
            self._note.attack = attack
            events.append(attack)
        if pitch.hz > 0.0:
            reading = self._reading(pitch)
            self._note.add(reading)
            events.append(reading)
        return events

    def _reading(self, pitch: Pitch) -> Reading:
        split = self._splits.feed(self._levels.clean, pitch.hz if pitch.clear else None)
        partial = pitch.partial
        if split and partial not in split:  # the spacing of the lines of a split is heard as a fundamental
            partial = None
        return Reading(
            t=self._time,
            hz=pitch.hz,
            partial=partial,
            cents=None if partial is None else self._cents(partial, pitch.hz),
            level_dbfs=self._levels.level_dbfs,
            clarity=pitch.clarity,
            split=split,
        )

    def _cents(self, partial: int, hz: float) -> float | None:
        target = self._series.target_hz(partial, self._against, self.measured_hz)
        return None if target is None else cents(hz, target)

    def _ended(self) -> list[Event]:
        note, self._note = self._note, None
        if note is None:
            return []
        attack = self._attacks.due(self._levels, self._time)
        if attack is not None:
            note.attack = attack
        tone = note.ended(self._time - self._gate.ago)
        if tone.partial == 1 and tone.hz and not tone.split and tone.end - tone.start >= _FUNDAMENTAL_SECONDS:
            self.measured_hz = tone.hz
        return [*([attack] if attack else []), tone]
