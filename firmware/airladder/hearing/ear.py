"""The Ear: fed a block, it says what sounds, how a note began, and what the whole tone was.

Conventions
-----------
Its output is a function of the blocks alone. Every note that gave a reading ends in one tone, or in what was sung,
unless nothing of it lasted 30 ms, or samples were lost in it: then the part before the gap is forgotten, and the part
after it has no attack.
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import replace

from airladder.hearing.attacks import AttackWatch
from airladder.hearing.block import HOP_SECONDS, Block
from airladder.hearing.door import Door
from airladder.hearing.ease import KEPT_SECONDS, Level
from airladder.hearing.events import Event, Reading, Tone
from airladder.hearing.gate import Gate, NoteGate
from airladder.hearing.levels import LEVEL_SECONDS, Levels
from airladder.hearing.notes import NoteUnderWay
from airladder.hearing.pitch import Pitch
from airladder.hearing.pitch_track import PitchTrack
from airladder.hearing.singing import VoiceWatch
from airladder.hearing.splits import SplitWatch
from airladder.hearing.tracker import Tracker
from airladder.music.pitch import cents
from airladder.music.series import Against, Series

_RESUMED_SECONDS = 0.2  # a note found this soon after a gap began before it
_LONGEST_SECONDS = 120.0  # longer than any breath: a drone in the room must not fill the memory
_SILENT_DBFS = -66.0  # what is softer is no note, and need not be followed
_FOLLOWING_HOPS = 48  # 256 ms: as long as a split is looked for
_FUNDAMENTAL_SECONDS = 0.5  # what lasts less is no measure of a horn


class Ear:
    """Hears one fingered tube.

    Parameters
    ----------
    series : horn, fingering and A4
    against : what the cents are measured from; with `Against.MEASURED` they are None until the fundamental, or the
        usual fingering of the pitch, has been sounded once
    sings : whether the player was asked to sing: every pitch is then taken for the voice
    measured_hz : the fundamental of this tube, where it was sounded before today, Hz

    Attributes
    ----------
    measured_hz : the fundamental as last sounded, Hz, or None
    usual_hz : usual fingerings as last sounded, Hz, by the partial whose pitch they have; whoever asks for them
        puts them here
    broken : whether the last block was not joined to the one before, or was no sound
    """

    def __init__(
        self,
        series: Series,
        against: Against = Against.TEMPERED,
        *,
        sings: bool = False,
        measured_hz: float | None = None,
    ) -> None:
        self._series = series
        self._against = against
        self.measured_hz = measured_hz
        self.usual_hz: dict[int, float] = {}
        self.broken = False
        self._sings = sings
        self._door = Door()
        self._gap = self._ended_at = -math.inf
        self._time = 0.0
        self._begin_afresh()

    def _begin_afresh(self) -> None:
        """Forget every sample, but not what was learnt about the horn."""
        period = 1.0 / self._series.fundamental_hz
        self._levels = Levels()
        self._recent: deque[Level] = deque(maxlen=round(KEPT_SECONDS / HOP_SECONDS))
        self._tracker = Tracker(self._series)
        self._tune()
        self._pitches = PitchTrack()
        self._splits = SplitWatch(self._series)
        self._voice = VoiceWatch(self._series, asked=self._sings)
        self._attacks = AttackWatch(period)
        self._gate = NoteGate(period)
        self._note: NoteUnderWay | None = None
        self._split: tuple[int, ...] = ()
        self._split_hops = 0

    def asks(self, *, sings: bool) -> None:
        """The player is asked to sing from now on, or to play."""
        self._sings = sings
        self._voice = VoiceWatch(self._series, asked=sings)

    def feed(self, block: Block) -> list[Event]:
        """What this block brings to light, in the order of time."""
        block = self._door.feed(block)
        self.broken = block.lost
        if block.lost:
            self._begin_afresh()
            self._gap = block.time
        self._time = block.time
        self._levels.feed(block.samples)
        events = self._verdict(self._heard())
        self._remember((block.time, self._levels.level_dbfs))
        return events

    def finish(self) -> list[Event]:
        """The end of the recording: whatever still sounds ends here."""
        self._gate.ago = 0.0
        return self._ended()

    def _heard(self) -> Pitch:
        if self._sings:
            return self._pitches.feed(self._levels.clean)
        if self._note is None and self._levels.level_dbfs < _SILENT_DBFS:
            return self._tracker.skip(self._levels.clean)
        return self._tracker.feed(self._levels.clean)

    def _verdict(self, pitch: Pitch) -> list[Event]:
        match self._gate.feed(self._levels, self._steadied(pitch)):
            case Gate.SILENT:
                return []
            case Gate.AGAIN if self._split:
                return self._sounds(pitch)
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

    def _steadied(self, pitch: Pitch) -> Pitch:
        """The lines of a split beat: what is like a tongue, or like noise, in a single note is neither in that."""
        if not self._split:
            return pitch
        return replace(pitch, hz=pitch.hz or self._series.fundamental_hz, clarity=1.0, clear=True)

    def _remember(self, level: Level) -> None:
        self._recent.append(level)
        if self._note is not None:
            self._note.levels.append(level)

    def _began(self, *, after_dip: bool = False) -> None:
        before = [level for level in self._recent if level[0] > self._ended_at + LEVEL_SECONDS]
        self._note = NoteUnderWay(began=self._time, levels=before)
        self._splits.restart(after_dip=after_dip)
        self._voice.restart()
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
        events = self._followed_by_the_horn()
        attack = self._attacks.feed(self._levels, self._time, pitch)
        if attack is not None:
            self._note.attack = attack
            events.append(attack)
        self._split = self._splits.feed(self._levels.clean, pitch.hz if pitch.clear else None)
        self._split_hops = self._split_hops + 1 if self._split else 0
        if self._split and not self._sings:  # nobody sings two partials at once
            self._voice.deny()
        if pitch.hz > 0.0:
            reading = self._reading(pitch)
            self._note.add(reading)
            events.append(reading)
        return events

    def _followed_by_the_horn(self) -> list[Event]:
        """A voice that the horn follows without a pause has ended, and a note of the horn begins."""
        was_voice = self._voice.is_voice
        if self._voice.feed(self._levels.clean, self._time, self._levels.level_dbfs) or not was_voice:
            return []
        self._gate.ago = 0.0
        ended = self._ended()
        self._began()
        return ended

    def _reading(self, pitch: Pitch) -> Reading:
        partial = pitch.partial
        if self._voice.is_voice or (partial is not None and self._is_spacing(partial)):
            partial = None
        return Reading(
            t=self._time,
            hz=pitch.hz,
            partial=partial,
            cents=None if partial is None else self._cents(partial, pitch.hz),
            level_dbfs=self._levels.level_dbfs,
            clarity=pitch.clarity,
            split=self._split,
            clipped=self._door.clipped,
        )

    def _is_spacing(self, partial: int) -> bool:
        """Whether the partial may be no more than the spacing of the lines of a split.

        Two partials that follow each other are heard as a split for a moment, and the second is one all the same.
        """
        if not self._split:
            return False
        return partial < self._split[0] or (partial == 1 and self._split_hops > _FOLLOWING_HOPS)

    def _cents(self, partial: int, hz: float) -> float | None:
        target = self._series.target_hz(partial, self._against, self.measured_hz, self.usual_hz.get(partial))
        return None if target is None else cents(hz, target)

    def _ended(self) -> list[Event]:
        note, self._note, self._split = self._note, None, ()
        if note is None:
            return []
        self._ended_at = self._time - self._gate.ago
        attack = self._attacks.due(self._levels, self._time)
        if attack is not None:
            note.attack = attack
        last: list[Event] = [attack] if attack else []
        sung = self._voice.ended(note.began, self._ended_at)
        if sung is not None:
            return [*last, sung]
        tone = note.ended(self._ended_at)
        if not tone.path and tone.attack is None:  # a bump, or the last of a note: nothing of it lasted
            return []
        self._learn(tone)
        return [*last, tone]

    def _learn(self, tone: Tone) -> None:
        """What a fundamental that stood tells of this horn today: where its partials are to be looked for."""
        if tone.partial == 1 and tone.hz and not tone.split and tone.end - tone.start >= _FUNDAMENTAL_SECONDS:
            self.measured_hz = tone.hz
            self._tune()

    def _tune(self) -> None:
        if self.measured_hz is not None:
            self._tracker.tune(self.measured_hz / self._series.fundamental_hz)
