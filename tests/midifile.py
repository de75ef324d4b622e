"""Writes the Standard MIDI File that has a synthesiser sound the given notes.

Conventions
-----------
Format 0, one track, one tick a millisecond (Standard MIDI Files 1.0, RP-001). Channels count from 0; 9 is the drums
(General MIDI level 1). Bend range is set by registered parameter 0 (MIDI 1.0 Detailed Specification).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable
from dataclasses import dataclass

BEND_RANGE_CENTS = 200
"""How far the pitch wheel reaches to each side; one step is then 0.024 cents."""


@dataclass(frozen=True)
class MidiNote:
    """A note: program and number from 0, velocity 1-127, `bend_cents` within +-200, begin and end in ms.

    What sounds at the same time on one channel shares its program and bend.
    """

    program: int
    number: int
    velocity: int
    bend_cents: float
    begin_ms: int
    end_ms: int
    channel: int = 0


def midi_file(notes: Iterable[MidiNote], end_ms: int) -> bytes:
    """The whole file; of notes that follow each other on a channel the earlier stands first. It ends at `end_ms`."""
    notes = list(notes)
    events = [(0, bytes([0xFF, 0x51, 3]) + (500_000).to_bytes(3, "big"))]
    events += [event for channel in sorted({note.channel for note in notes}) for event in _bend_range(channel)]
    for note in notes:
        events += [
            (note.begin_ms, bytes([0xC0 | note.channel, note.program])),
            (note.begin_ms, bytes([0xE0 | note.channel, *_wheel(note.bend_cents)])),
            (note.begin_ms, bytes([0x90 | note.channel, note.number, note.velocity])),
            (note.end_ms, bytes([0x80 | note.channel, note.number, 64])),
        ]
    events.append((end_ms, bytes([0xFF, 0x2F, 0])))
    track, now = b"", 0
    for at, message in sorted(events, key=lambda event: event[0]):
        track += _variable_length(at - now) + message
        now = at
    return b"MThd" + struct.pack(">IHHH", 6, 0, 1, 500) + b"MTrk" + struct.pack(">I", len(track)) + track


def _bend_range(channel: int) -> list[tuple[int, bytes]]:
    semitones, cents = divmod(BEND_RANGE_CENTS, 100)
    controls = ((101, 0), (100, 0), (6, semitones), (38, cents), (101, 127), (100, 127))
    return [(0, bytes([0xB0 | channel, control, value])) for control, value in controls]


def _wheel(cents: float) -> tuple[int, int]:
    value = 8192 + round(cents / BEND_RANGE_CENTS * 8192)
    if not 0 <= value <= 16383:
        raise ValueError(f"A bend of {cents:g} cents was asked for; the wheel reaches {BEND_RANGE_CENTS}.")
    return value & 127, value >> 7


def _variable_length(number: int) -> bytes:
    out = bytes([number & 127])
    while number := number >> 7:
        out = bytes([128 | number & 127]) + out
    return out
