"""The Ear when nobody says what is fingered: it names the pitch, and every long fingering that it may come from.

Conventions
-----------
Notes begin, end and are gathered as with the Ear; where that counts partials, tempered note numbers are counted
here. Cents are from the nearest tempered note, names are written ones. A note keeps its number until its pitch is
65 cents away, so that one played between two notes does not flicker.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from airladder.hearing.block import Block, Samples
from airladder.hearing.ear import Ear
from airladder.hearing.events import Event, Reading, Tone, as_json
from airladder.hearing.pitch import Pitch
from airladder.hearing.pitch_track import PitchTrack
from airladder.hearing.singing import VoiceWatch
from airladder.hearing.splits import SplitWatch
from airladder.music.fingerings import fingerings_of
from airladder.music.free import could_be, written_name
from airladder.music.horns import Horn
from airladder.music.pitch import A4_HZ, cents, note_hz, note_number
from airladder.music.series import Series

_KEPT_SEMITONES = 0.65

Candidates = tuple[tuple[str, int], ...]
"""Fingerings by their written fundamental, each with its partial."""


@dataclass(frozen=True)
class FreeReading(Reading):
    """A reading with no fingering: `partial` is None and `cents` are from `note`.

    Attributes
    ----------
    note : written name of the nearest tempered note
    could_be : the long fingerings of which it could be a partial, the lowest partial first
    """

    note: str = ""
    could_be: Candidates = ()


@dataclass(frozen=True)
class FreeTone(Tone):
    """A tone with no fingering: `partial` is None, `path` empty.

    Attributes
    ----------
    note : written name of the last note that stood; None when none did
    could_be : the long fingerings of which it could be a partial
    notes : what sounded on the way, as (written name, seconds), in order
    """

    note: str | None = None
    could_be: Candidates = ()
    notes: tuple[tuple[str, float], ...] = ()


class NoteTrack:
    """The general pitch tracker, with the tempered note number in the place of the partial.

    Parameters
    ----------
    a4_hz : Hz
    """

    def __init__(self, a4_hz: float) -> None:
        self._track = PitchTrack()
        self._a4_hz = a4_hz
        self._number = 0

    def feed(self, samples: Samples) -> Pitch:
        """Take the next 256 samples, and say what is heard."""
        pitch = self._track.feed(samples)
        if not pitch.clear:
            return pitch
        number = note_number(pitch.hz, self._a4_hz)
        if abs(number - self._number) > _KEPT_SEMITONES:
            self._number = round(number)
        return replace(pitch, partial=self._number)


class _NoSplits(SplitWatch):
    """A split is named by its partials; without a fingering there are none."""

    def feed(self, samples: Samples, hz: float | None) -> tuple[int, ...]:
        return ()


class _NoVoice(VoiceWatch):
    """Whatever sounds is named by its pitch, sung or played."""

    def feed(self, samples: Samples, t: float, level_dbfs: float) -> bool:
        return False


class FreeEar(Ear):
    """Hears whatever a horn sounds.

    Parameters
    ----------
    horn : what is played
    a4_hz : Hz
    """

    def __init__(self, horn: Horn, a4_hz: float = A4_HZ) -> None:
        self._horn = horn
        self._a4_hz = a4_hz
        longest = next(iter(fingerings_of(horn).values()))
        super().__init__(Series(horn, longest, a4_hz))

    def feed(self, block: Block) -> list[Event]:
        """What this block brings to light, in the order of time."""
        return [self._named(event) for event in super().feed(block)]

    def finish(self) -> list[Event]:
        """The end of the recording: whatever still sounds ends here."""
        return [self._named(event) for event in super().finish()]

    def _begin_afresh(self) -> None:
        super()._begin_afresh()
        self._notes = NoteTrack(self._a4_hz)
        self._splits = _NoSplits(self._series)
        self._voice = _NoVoice(self._series)

    def _heard(self) -> Pitch:
        return self._notes.feed(self._levels.clean)

    def _cents(self, partial: int, hz: float) -> float:
        return cents(hz, note_hz(partial, self._a4_hz))

    def _named(self, event: Event) -> Event:
        match event:
            case Reading():
                return self._reading_named(event)
            case Tone():
                return self._tone_named(event)
            case _:
                return event

    def _reading_named(self, reading: Reading) -> FreeReading:
        number = reading.partial or round(note_number(reading.hz, self._a4_hz))
        fields = {**vars(reading), "partial": None, "cents": self._cents(number, reading.hz)}
        return FreeReading(**fields, note=self._name(number), could_be=self._candidates(reading.hz))

    def _tone_named(self, tone: Tone) -> FreeTone:
        fields = {**vars(tone), "partial": None, "path": ()}
        return FreeTone(
            **fields,
            note=None if tone.partial is None else self._name(tone.partial),
            could_be=() if tone.hz is None else self._candidates(tone.hz),
            notes=tuple((self._name(number), seconds) for number, seconds in tone.path if number is not None),
        )

    def _name(self, number: int) -> str:
        return str(written_name(self._horn, number))

    def _candidates(self, hz: float) -> Candidates:
        return tuple((str(fingering), partial) for fingering, partial, _ in could_be(self._horn, hz, self._a4_hz))


def heard_as_json(event: Event) -> dict[str, Any]:
    """As `events.as_json`; a free reading is a reading and a free tone a tone, which says its `hz` too."""
    match event:
        case FreeReading():
            return {**as_json(event), "event": "reading"}
        case FreeTone():
            return {**as_json(event), "event": "tone", "hz": None if event.hz is None else round(event.hz, 3)}
        case _:
            return as_json(event)
