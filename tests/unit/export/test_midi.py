"""A session as MIDI: midicsv, which shares no code with the library that writes it, reads what the log has."""

from __future__ import annotations

import csv
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.export.midi import midi_file, told
from airladder.export.played import notes_of
from airladder.faults import BadInput
from airladder.journal.dating import Dated
from airladder.journal.records import Head, Session
from airladder.music.pitch import cents, note_hz
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.judge import Outcome
from unit.journal.conftest import HEAD, TONE

Tried = Callable[..., Attempt]
DATED = Dated(HEAD.started, known=True)


@dataclass(frozen=True)
class Record:
    """A line of midicsv: track, tick, kind, and what else there is."""

    track: int
    tick: int
    kind: str
    rest: tuple[str, ...]


def read(content: bytes, folder: Path) -> list[Record]:
    """All events of the file, as midicsv prints them."""
    (folder / "session.mid").write_bytes(content)
    done = subprocess.run(["midicsv", folder / "session.mid"], capture_output=True, check=True)
    assert done.stderr == b""
    rows = csv.reader(done.stdout.decode("ascii").splitlines(), skipinitialspace=True)
    return [Record(int(row[0]), int(row[1]), row[2], tuple(row[3:])) for row in rows]


def session_of(*attempts: Attempt, head: Head = HEAD) -> Session:
    return Session(12, head, attempts)


def of_kind(records: list[Record], *kinds: str) -> list[Record]:
    return [record for record in records if record.kind in kinds]


def test_a_tick_is_a_millisecond(tried: Tried, tmp_path: Path) -> None:
    """Type 1, two tracks, 1000 ticks a quarter note of 1,000,000 microseconds (RP-001)."""
    records = read(midi_file(session_of(tried()), DATED), tmp_path)
    assert records[0] == Record(0, 0, "Header", ("1", "2", "1000"))
    assert of_kind(records, "Tempo") == [Record(1, 0, "Tempo", ("1000000",))]


def test_the_zone_stands_before_the_first_note(tried: Tried, tmp_path: Path) -> None:
    """MIDI Polyphonic Expression (M1-100-UM): parameter 6 on channel 1 says how many members; parameter 0 the bend.

    midicsv counts channels from 0; program 65 is the alto saxophone (General MIDI level 1, from 0).
    """
    records = read(midi_file(session_of(tried()), DATED), tmp_path)
    controls = [tuple(map(int, record.rest)) for record in of_kind(records, "Control_c")]
    assert controls[:6] == [(0, 101, 0), (0, 100, 6), (0, 6, 8), (0, 38, 0), (0, 101, 127), (0, 100, 127)]
    for channel in range(1, 9):
        own = [(control, value) for its, control, value in controls if its == channel]
        assert own == [(101, 0), (100, 0), (6, 2), (38, 0), (101, 127), (100, 127)]
    assert {record.rest for record in of_kind(records, "Program_c")} == {(str(n), "65") for n in range(9)}
    first = next(n for n, record in enumerate(records) if record.kind == "Note_on_c")
    assert not of_kind(records[first:], "Control_c", "Program_c")


def test_a_cracked_tone_is_the_notes_that_sounded_on_its_way(tried: Tried, tmp_path: Path) -> None:
    """TONE goes 2, none, 3 from 10.5 s on; tick 0 is second 10. The lower one is reckoned from the upper."""
    records = read(midi_file(session_of(tried()), DATED), tmp_path)
    notes = [(record.tick, record.kind) for record in of_kind(records, "Note_on_c", "Note_off_c")]
    assert notes == [(500, "Note_on_c"), (750, "Note_off_c"), (875, "Note_on_c"), (2750, "Note_off_c")]
    on_the_way, stood = sounding(records)
    assert cents(stood, 415.1) == pytest.approx(0.0, abs=0.02)
    assert cents(415.1, on_the_way) == pytest.approx(702.0, abs=25.0)  # a fifth, on a tube that is a little stretched
    assert [record.rest[0] for record in of_kind(records, "Lyric_t")] == ["2", "3 -7"]


def sounding(records: list[Record]) -> list[float]:
    """The frequency of each note in Hz: its key, and the bend that its channel had then, of 2 semitones at most."""
    bends: dict[str, int] = {}
    found = []
    for record in records:
        match record.kind, record.rest:
            case "Pitch_bend_c", (channel, value):
                bends[channel] = int(value)
            case "Note_on_c", (channel, key, _):
                found.append(note_hz(int(key) + 2 * (bends[channel] - 8192) / 8192))
    return found


@settings(deadline=None, max_examples=60)  # each runs another program
@given(
    hz=st.lists(st.floats(40.0, 4000.0), min_size=1, max_size=12),
    level=st.lists(st.floats(-90.0, 0.0) | st.just(float("-inf")), min_size=12, max_size=12),
    a4_hz=st.sampled_from([430.0, 440.0, 450.0]),
)
def test_every_tone_has_its_pitch_whatever_the_tuning(
    hz: list[float], level: list[float], a4_hz: float, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Within the 0.0122 cents of half a step of the wheel. Each note is the only one on its channel."""
    tones = [
        replace(TONE, start=3.0 * n, end=3.0 * n + 1.5, path=((3, 1.5),), hz=it, level_dbfs=level[n])
        for n, it in enumerate(hz)
    ]
    tries = [Attempt(n + 1, tone.end, 3, Outcome.SPOKE, tone) for n, tone in enumerate(tones)]
    folder = tmp_path_factory.mktemp("midi")
    records = read(midi_file(session_of(*tries, head=replace(HEAD, a4_hz=a4_hz)), DATED), folder)
    assert [cents(found, true) for found, true in zip(sounding(records), hz, strict=True)] == pytest.approx(
        [0.0] * len(hz), abs=0.0125
    )
    channels = [int(record.rest[0]) for record in of_kind(records, "Note_on_c")]
    assert channels == [1 + n % 8 for n in range(len(hz))]  # a bend moves no tail of the note before
    velocities = [int(record.rest[2]) for record in of_kind(records, "Note_on_c")]
    assert max(velocities) == 112
    assert min(velocities) >= 1
    held: set[str] = set()
    for record in of_kind(records, "Note_on_c", "Note_off_c"):
        assert (record.rest[0] in held) == (record.kind == "Note_off_c")
        held ^= {record.rest[0]}
    assert held == set()


def test_six_decibels_less_are_the_velocity_that_general_midi_2_gives_them(tried: Tried, tmp_path: Path) -> None:
    """40 times the decimal logarithm: 12.04 dB less are half the velocity (General MIDI 2; from memory)."""
    quiet = tried(2, start=20.0, end=22.25, level_dbfs=-21.5 - 12.04)
    records = read(midi_file(session_of(tried(), quiet), DATED), tmp_path)
    assert [int(record.rest[2]) for record in of_kind(records, "Note_on_c")] == [112, 112, 56, 56]


def test_what_was_found_stands_in_texts(tried: Tried, tmp_path: Path) -> None:
    silent = tried(2, Outcome.NOTHING, tone=None)
    records = read(midi_file(session_of(tried(), silent), DATED), tmp_path)
    texts = [(record.track, record.tick, record.rest[0]) for record in of_kind(records, "Text_t")]
    found = "partial 3 stood, -7.2 cents, by way of 2, attack air, spoke after 120 ms, split for 6% of the time."
    assert texts == [
        (1, 0, "Begins at second 10 of the session's sound."),
        (2, 500, f"Try 1: cracked, partial 3 wanted, {found}"),
        (2, 2000, "Try 2: nothing, partial 3 wanted."),
    ]
    assert [record.rest[0] for record in of_kind(records, "Title_t")] == [
        "Session 12, 2026-05-04 18:03",
        "alto saxophone, concert pitch (as it sounds)",
    ]


def test_an_unsure_date_and_an_invented_player_are_said(tried: Tried, tmp_path: Path) -> None:
    session = session_of(tried(), head=replace(HEAD, invented=True))
    records = read(midi_file(session, Dated(HEAD.started, known=False)), tmp_path)
    name = "Session 12, 2026-05-04 18:03 (nobody knew the date), an invented player"
    assert of_kind(records, "Title_t")[0].rest[0] == name


def test_a_session_without_a_sound_is_a_file_all_the_same(tried: Tried, tmp_path: Path) -> None:
    records = read(midi_file(session_of(tried(1, Outcome.NOTHING, tone=None)), DATED), tmp_path)
    assert not of_kind(records, "Note_on_c")
    assert records[-1].kind == "End_of_file"


def test_a_usual_fingering_is_a_tube_of_its_own(tried: Tried) -> None:
    """Where no partial stood, the way is told from the tube that was fingered: F4 on the alto sounds A flat 3."""
    asked = Asked("compare", "F4")
    nothing = replace(tried(hz=None, partial=None, cents=None, path=((1, 2.25),)), asked=asked)
    (note,) = notes_of(nothing, HEAD)
    assert cents(note.hz, note_hz(56)) == pytest.approx(0.0, abs=15.0)
    assert not note.stood


def test_what_the_way_leaves_out_belongs_to_its_beginning(tried: Tried) -> None:
    """TONE lasts 2.25 s; here its way tells of 2 s only."""
    first, last = notes_of(tried(path=((2, 0.125), (3, 1.875))), HEAD)
    assert [(first.begin, first.end), (last.begin, last.end)] == [(10.5, 10.875), (10.875, 12.75)]


def test_a_way_longer_than_its_tone_does_not_begin_before_it(tried: Tried) -> None:
    notes = notes_of(tried(path=((2, 9.0), (1, 9.0), (3, 1.0))), HEAD)
    assert [(note.partial, note.begin) for note in notes] == [(1, 10.5), (3, 11.75)]


def test_a_tone_on_no_partial_is_told_and_not_noted(tried: Tried) -> None:
    strange = tried(1, Outcome.NOTHING, partial=None, hz=None, cents=None, speak_ms=None, path=((None, 2.25),))
    assert notes_of(strange, HEAD) == []
    assert told(strange).startswith("Try 1: nothing, partial 3 wanted, no partial stood, attack air")


def test_a_horn_that_nobody_knows_is_told(tried: Tried) -> None:
    with pytest.raises(BadInput, match="is no horn that we know"):
        midi_file(session_of(tried(), head=replace(HEAD, horn="sopranino")), DATED)
