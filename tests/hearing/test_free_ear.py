"""The Ear that is told no fingering, on recorded saxophones and on overtones of the additive voice."""

from __future__ import annotations

import numpy as np
import pytest

from additive.note import Note
from additive.voice import sound
from airladder.devices.microphone import Reblocker
from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.events import Attack, Event
from airladder.hearing.free_ear import FreeEar, FreeReading, FreeTone, NoteTrack, heard_as_json
from airladder.music.horns import HORNS, Horn
from airladder.music.names import parse
from airladder.music.pitch import cents, note_hz, note_number
from listening import series_of
from saxophones import Played, render_many
from slowpitch import slow_pitch_hz
from voices import made


def freely(samples: Samples, horn: Horn) -> list[Event]:
    """All that is said of `samples`, shape (n,), 48 kHz."""
    ear, cutter, events = FreeEar(horn), Reblocker(), list[Event]()
    for block in (*cutter.blocks(samples), *cutter.last()):
        events += ear.feed(block)
    return events + ear.finish()


def tones(events: list[Event]) -> list[FreeTone]:
    return [event for event in events if isinstance(event, FreeTone)]


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
def test_recorded_notes_are_named_as_they_are_written(horn: Horn) -> None:
    """Their pitch is checked by Praat's autocorrelation (P. Boersma 1993), which shares nothing with ours."""
    names = ("D4", "Bb4", "F#5", "C6")
    played = [Played(horn, horn.sounding(parse(name).number)) for name in names]
    for name, note, samples in zip(names, played, render_many(played), strict=True):
        (tone,) = tones(freely(samples, horn))
        assert tone.note == name
        assert tone.cents == pytest.approx(cents(slow_pitch_hz(samples), note_hz(note.number)), abs=5.0)


def test_an_overtone_names_the_tubes_that_it_may_come_from() -> None:
    series = series_of("alto", "Bb3")
    samples = np.concatenate([sound(series, Note(partial, seconds=0.8), partial) for partial in (3, 5)])
    events = freely(samples, series.horn)
    assert [(tone.note, tone.could_be) for tone in tones(events)] == [
        ("F5", (("Bb3", 3),)),
        ("D6", (("D4", 4), ("Bb3", 5))),
    ]
    assert sum(isinstance(event, Attack) for event in events) == 2
    last = [event for event in events if isinstance(event, FreeReading)][-20]
    assert last.partial is None
    assert last.note == "D6"


def test_the_public_form_is_that_of_the_ear_with_note_and_candidates() -> None:
    series = series_of("tenor", "D4")
    told = [heard_as_json(event) for event in freely(sound(series, Note(2, seconds=0.8), 1), series.horn)]
    assert {event["event"] for event in told} == {"reading", "attack", "tone"}
    reading = [event for event in told if event["event"] == "reading"][-30]
    assert reading["partial"] is None
    assert reading["note"] == "D5"
    assert reading["could_be"] == [["D4", 2]]
    assert reading["hz"] == pytest.approx(series.place_hz(2), rel=0.01)
    (tone,) = (event for event in told if event["event"] == "tone")
    assert tone["notes"][-1][0] == "D5"
    assert tone["hz"] == pytest.approx(reading["hz"], rel=0.01)


def test_what_is_sung_is_named_like_what_is_played() -> None:
    """Middle C sounds a major sixth above E flat, so an alto writes A (any orchestration handbook)."""
    (tone,) = tones(freely(made("hum", note_hz(60), 1.0, 1), HORNS["alto"]))
    assert tone.note == "A4"
    assert tone.could_be == ()


def test_silence_says_nothing() -> None:
    assert freely(np.zeros(RATE, np.float32), HORNS["alto"]) == []


def test_a_pitch_between_two_notes_keeps_its_name() -> None:
    """It wavers by 10 cents about the middle between A4 and B flat 4, and comes up from A."""
    t = np.arange(RATE) / RATE
    off = np.where(t < 0.3, 0.0, 50.0 + 10.0 * np.sin(2.0 * np.pi * 5.0 * t))
    phase = 2.0 * np.pi * np.cumsum(440.0 * 2.0 ** (off / 1200.0)) / RATE
    track = NoteTrack(440.0)
    samples = (0.1 * np.sin(phase)).astype(np.float32)
    heard = [track.feed(hop) for hop in samples[: RATE // HOP * HOP].reshape(-1, HOP)]
    assert {pitch.partial for pitch in heard if pitch.clear} == {69}
    assert {round(note_number(pitch.hz)) for pitch in heard if pitch.clear} == {69, 70}
