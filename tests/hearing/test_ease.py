"""How easily a note spoke: sounds made with a known level before the note are told to the decibel."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from additive.note import Note
from additive.voice import sound
from airladder.hearing.block import HOP_SECONDS, RATE, Samples
from airladder.hearing.ease import Level, push_db
from airladder.hearing.events import Attack, Reading
from airladder.hearing.notes import NoteUnderWay
from listening import heard, readings, series_of, tones

horns = pytest.mark.parametrize("horn", ["soprano", "alto", "tenor", "baritone"])
NOTE_DBFS = -18.0


def room(seconds: float, dbfs: float = -70.0, seed: int = 0) -> Samples:
    noise = np.random.default_rng(seed).standard_normal(round(seconds * RATE))
    return (10 ** (dbfs / 20) * noise).astype(np.float32)


def in_room(*sounds: Samples) -> Samples:
    samples = np.concatenate([np.zeros(RATE // 2, np.float32), *sounds, np.zeros(RATE // 2, np.float32)])
    return samples + room(len(samples) / RATE)


def steps(*levels: tuple[float, float]) -> list[Level]:
    """Levels as (seconds, dBFS), one after the other, hop by hop."""
    each = [level for seconds, level in levels for _ in range(round(seconds / HOP_SECONDS))]
    return [((hop + 1) * HOP_SECONDS, level) for hop, level in enumerate(each)]


def test_a_note_that_spoke_out_of_silence_was_not_pushed() -> None:
    levels = steps((0.5, -70.0), (1.0, -20.0))
    assert push_db(levels, 0.5, 0.54, -20.0) == -50.0


def test_what_sounds_in_the_last_50_ms_before_it_is_heard_is_the_note_itself() -> None:
    levels = steps((0.5, -70.0), (0.04, -20.0), (1.0, -20.0))
    assert push_db(levels, None, 0.54, -20.0) == -50.0


def test_a_level_that_jumped_before_it_spoke_is_told_against_the_steady_one() -> None:
    levels = steps((0.5, -70.0), (0.2, -14.0), (1.0, -20.0))
    assert push_db(levels, 0.5, 0.72, -20.0) == 6.0


def test_what_was_over_300_ms_before_is_forgotten() -> None:
    levels = steps((0.2, -10.0), (0.4, -60.0), (1.0, -20.0))
    assert push_db(levels, None, 0.62, -20.0) == -40.0


def test_nothing_is_told_when_nothing_is_known_of_the_time_before() -> None:
    assert push_db(steps((1.0, -20.0)), 0.0, 0.02, -20.0) is None
    assert push_db([], None, 1.0, -20.0) is None


@given(st.lists(st.floats(-90, 0), min_size=80, max_size=80), st.floats(0.37, 0.42), st.floats(-40, 0))
def test_it_is_never_more_than_the_loudest_level_and_shifts_with_the_gain(
    values: list[float], spoke: float, gain: float
) -> None:
    levels = [((hop + 1) * HOP_SECONDS, level) for hop, level in enumerate(values)]
    told = push_db(levels, None, spoke, -20.0)
    assert told is not None
    assert told <= max(values) + 20.0
    quieter = [(t, level + gain) for t, level in levels]
    assert push_db(quieter, None, spoke, -20.0 + gain) == pytest.approx(told, abs=1e-9)


def test_a_tone_tells_how_unsteady_its_level_was_and_how_much_was_cut_off() -> None:
    note = NoteUnderWay(began=0.0)
    for hop in range(400):
        level = -20.0 + (hop % 11)
        note.add(Reading((hop + 1) * HOP_SECONDS, 415.0, 3, 1.0, level, 0.99, clipped=hop < 100))
    tone = note.ended(10.0)
    assert tone.unsteady_db == pytest.approx(4.0, abs=0.5)
    assert tone.clipped == 0.25
    assert tone.push_db is None


def test_the_log_attack_time_is_the_decimal_logarithm_of_the_rise_in_seconds() -> None:
    """ISO/IEC 15938-4: 10 ms are -2, 100 ms -1."""
    for rise_ms, wanted in ((10.0, -2.0), (100.0, -1.0), (0.0, -3.0)):
        assert Attack(0.0, 0.1, "tongued", rise_ms, 0.9).log_attack_time == pytest.approx(wanted)


@horns
@pytest.mark.parametrize("partial", [1, 3, 6])
def test_the_ear_hears_that_a_clean_note_was_not_pushed_and_a_soft_breath_before_it_little(
    horn: str, partial: int
) -> None:
    series = series_of(horn, "Bb3")
    (tongued,) = tones(heard(in_room(sound(series, Note(partial, level_dbfs=NOTE_DBFS), 1)), series))
    (air,) = tones(heard(in_room(sound(series, Note(partial, kind="air", level_dbfs=NOTE_DBFS), 1)), series))
    assert tongued.push_db is not None
    assert tongued.push_db < -40.0
    assert air.push_db is not None
    assert -40.0 < air.push_db < -20.0


@horns
@pytest.mark.parametrize("above_db", [-12.0, -6.0, 0.0])
def test_the_ear_tells_to_the_decibel_how_hard_the_breath_was_before_the_note(horn: str, above_db: float) -> None:
    series = series_of(horn, "Bb3")
    swelling = room(0.5, NOTE_DBFS + above_db, 3) * np.linspace(0.02, 1.0, RATE // 2, dtype=np.float32)
    note = sound(series, Note(3, level_dbfs=NOTE_DBFS), 4)
    tone = tones(heard(in_room(np.concatenate([swelling, note])), series))[-1]
    assert tone.partial == 3
    assert tone.push_db == pytest.approx(above_db, abs=2.0)  # the loudest 21 ms of a swell that stops 50 ms too soon


@horns
@pytest.mark.parametrize("other", [1, 2])
def test_a_low_note_that_honks_out_first_is_as_loud_as_it_was(horn: str, other: int) -> None:
    series = series_of(horn, "Bb3")
    (tone,) = tones(heard(in_room(sound(series, Note(4, crack=(other, 0.25)), 5)), series))
    assert tone.push_db == pytest.approx(0.0, abs=1.5)


def test_tremolo_is_unsteady_and_a_plain_tone_is_not() -> None:
    """5 Hz by 6 dB to either side: four fifths of a sine's time lie within 0.951 of its height."""
    series = series_of("alto", "Bb3")
    plain = sound(series, Note(3, seconds=2.0), 1)
    sway = 10 ** (6.0 / 20.0 * np.sin(2 * np.pi * 5.0 * np.arange(len(plain)) / RATE))
    (steady,) = tones(heard(in_room(plain), series))
    (swaying,) = tones(heard(in_room((0.5 * plain * sway).astype(np.float32)), series))
    assert steady.unsteady_db is not None
    assert steady.unsteady_db < 0.5
    assert swaying.unsteady_db == pytest.approx(0.951 * 6.0, abs=0.6)


@horns
def test_a_note_cut_off_at_full_scale_is_said_to_be_and_the_same_note_below_is_not(horn: str) -> None:
    series = series_of(horn, "Bb3")
    note = in_room(sound(series, Note(1), 2))
    loud = np.clip(np.round(8.0 * note * 32768) / 32768, -1.0, 32767 / 32768).astype(np.float32)
    (cut,) = tones(heard(loud, series))
    (whole,) = tones(heard(note, series))
    assert cut.clipped is not None
    assert cut.clipped > 0.9
    assert whole.clipped == 0.0
    assert not any(reading.clipped for reading in readings(heard(note, series)))
