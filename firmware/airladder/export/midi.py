"""A session as a Standard MIDI File, so that notation programs show what was played and synthesizers sound its cents.

Standard MIDI Files 1.0 (MIDI Association, RP-001), type 1. Pitches between the keys are bends by the convention of
MIDI Polyphonic Expression (MIDI Association, M1-100-UM): a lower zone, set up by registered parameter 6 on its
manager channel; the notes take its member channels in turn, so that the bend of one does not move the tail of
another. The bend range is set by registered parameter 0 to the 2 semitones that instruments without the convention
have anyway (General MIDI level 1); channel 10 stays out of the zone, since those have their drums there.

Import this file where it is needed, not before: mido takes a tenth of a second on a desk computer.

Conventions
-----------
A tick is a millisecond and a beat a second: 1000 ticks a quarter note, 60 quarter notes a minute. Tick 0 is the whole
second before the first try. Concert pitch: key 69 sounds 440 Hz. mido counts channels from 0.
"""

from __future__ import annotations

import math
from io import BytesIO
from typing import Any

import mido

from airladder.export.played import Note, notes_of
from airladder.journal.dating import Dated
from airladder.journal.records import Session
from airladder.music.horns import horn_named
from airladder.music.pitch import note_number
from airladder.practice.attempt import Attempt

TICKS_PER_SECOND = 1000
MANAGER, MEMBERS = 0, range(1, 9)
BEND_SEMITONES = 2
LOUDEST_VELOCITY = 112

PROGRAMS = {"soprano": 64, "alto": 65, "tenor": 66, "baritone": 67}
"""The saxophones among the instruments of General MIDI level 1, counted from 0."""

_WHEEL = 8192
_QUIETEST_DB = 80.0  # below the loudest: the least velocity there is
_OFF, _WORDS, _BEND, _ON = range(4)
"""What comes first in one tick: a note makes room for the next one, whose bend is there before it."""


def midi_file(session: Session, dated: Dated) -> bytes:
    """The whole file.

    Parameters
    ----------
    session : with its tries, as `Reader.session` gives it
    dated : its date (`journal.dating`)

    Raises
    ------
    BadInput : when the log names a horn or a fingering that this program does not know.
    """
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS_PER_SECOND, charset="ascii")
    file.tracks.append(_conductor(session, dated))
    file.tracks.append(_player(session))
    out = BytesIO()
    file.save(file=out)
    return out.getvalue()


def _conductor(session: Session, dated: Dated) -> Any:
    unsure = "" if dated.known else " (nobody knew the date)"
    invented = ", an invented player" if session.head.invented else ""
    return mido.MidiTrack(
        [
            mido.MetaMessage(
                "track_name", name=f"Session {session.id}, {dated.when:%Y-%m-%d %H:%M}{unsure}{invented}"
            ),
            mido.MetaMessage("set_tempo", tempo=1_000_000),
            mido.MetaMessage("time_signature", numerator=4, denominator=4),
            mido.MetaMessage("text", text=f"Begins at second {_origin(session)} of the session's sound."),
            mido.MetaMessage("end_of_track"),
        ]
    )


def _player(session: Session) -> Any:
    """The track of all that sounded."""
    head = session.head
    origin = _origin(session)
    track = mido.MidiTrack(
        [mido.MetaMessage("track_name", name=f"{head.horn} saxophone, concert pitch (as it sounds)")]
    )
    track += _set_up(PROGRAMS[horn_named(head.horn).name])
    placed: list[tuple[int, int, Any]] = []
    tries = [(attempt, notes_of(attempt, head)) for attempt in session.attempts]
    loudest = max((_level(note) for _, notes in tries for note in notes), default=0.0)
    turn = 0
    for attempt, notes in tries:
        placed.append((_tick(_moment(attempt), origin), _WORDS, mido.MetaMessage("text", text=told(attempt))))
        for note in notes:
            placed += _sounded(note, attempt, MEMBERS[turn % len(MEMBERS)], origin, loudest)
            turn += 1
    now = 0
    for tick, _, message in sorted(placed, key=lambda event: event[:2]):
        track.append(message.copy(time=tick - now))
        now = tick
    track.append(mido.MetaMessage("end_of_track"))
    return track


def _set_up(program: int) -> list[Any]:
    """The zone, the bend range of its members, and the instrument of all its channels."""
    zone = [*_parameter(MANAGER, 6, len(MEMBERS)), mido.Message("program_change", channel=MANAGER, program=program)]
    for channel in MEMBERS:
        zone += [
            *_parameter(channel, 0, BEND_SEMITONES),
            mido.Message("program_change", channel=channel, program=program),
        ]
    return zone


def _parameter(channel: int, number: int, value: int) -> list[Any]:
    """A registered parameter (MIDI 1.0 Detailed Specification): chosen, set, and let go."""
    controls = ((101, 0), (100, number), (6, value), (38, 0), (101, 127), (100, 127))
    return [mido.Message("control_change", channel=channel, control=which, value=to) for which, to in controls]


def _sounded(note: Note, attempt: Attempt, channel: int, origin: int, loudest: float) -> list[tuple[int, int, Any]]:
    number = note_number(note.hz)
    key = min(127, max(0, round(number)))
    bend = min(_WHEEL - 1, max(-_WHEEL, round((number - key) / BEND_SEMITONES * _WHEEL)))
    velocity = max(1, round(LOUDEST_VELOCITY * 10 ** (max(_level(note) - loudest, -_QUIETEST_DB) / 40)))
    begin = _tick(note.begin, origin)
    end = max(begin + 1, _tick(note.end, origin))
    return [
        (begin, _WORDS, mido.MetaMessage("lyrics", text=_lyric(note, attempt))),
        (begin, _BEND, mido.Message("pitchwheel", channel=channel, pitch=bend)),
        (begin, _ON, mido.Message("note_on", channel=channel, note=key, velocity=velocity)),
        (end, _OFF, mido.Message("note_off", channel=channel, note=key, velocity=64)),
    ]


def told(attempt: Attempt) -> str:
    """All that was found of a try, in one line of ASCII."""
    words = [f"Try {attempt.number}: {attempt.outcome.value}", f"partial {attempt.wanted} wanted"]
    tone = attempt.tone
    if tone is not None:
        words.append("no partial stood" if tone.partial is None else f"partial {tone.partial} stood")
        words += [] if tone.cents is None else [f"{tone.cents:+.1f} cents"]
        words += [] if not attempt.others else [f"by way of {' '.join(map(str, attempt.others))}"]
        words += [] if tone.attack is None else [f"attack {tone.attack.kind}"]
        words += [] if tone.speak_ms is None else [f"spoke after {tone.speak_ms:.0f} ms"]
        words += [] if not tone.split else [f"split for {tone.split:.0%} of the time"]
    return ", ".join(words) + "."


def _lyric(note: Note, attempt: Attempt) -> str:
    """The partial and, where it was measured, the cents."""
    cents = attempt.tone.cents if attempt.tone and note.stood else None
    return str(note.partial) if cents is None else f"{note.partial} {round(cents):+d}"


def _moment(attempt: Attempt) -> float:
    """When a try began to sound; when it was judged where nothing sounded."""
    return attempt.t if attempt.tone is None else attempt.tone.start


def _origin(session: Session) -> int:
    return math.floor(min(_moment(attempt) for attempt in session.attempts))


def _tick(t: float, origin: int) -> int:
    return round((t - origin) * TICKS_PER_SECOND)


def _level(note: Note) -> float:
    return max(-120.0, note.level_dbfs)
